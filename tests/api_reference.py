"""The reference of the library as HTML, made by pdoc from the docstrings: ``python tests/api_reference.py FOLDER``.

One page for `deduce` and one for each public room, with an index of them. Links to what is not public, such as a base
class that errors share, lose their address and keep their words.
"""

from __future__ import annotations

import re
import sys
from functools import cache
from html import escape
from importlib import import_module
from inspect import getdoc
from pathlib import Path

MODULES = (
    "deduce",
    *(
        f"deduce.{room}"
        for room in ("walks", "counting", "exchange", "patterns", "pictures", "puzzle", "surveys", "errors")
    ),
)
"""What programs import from."""

BACK = '<nav class="pdoc">'


@cache
def anchors(page: Path) -> frozenset[str]:
    """Return where on a page one can link to."""
    return frozenset(re.findall(r'\bid="([^"]+)"', page.read_text(encoding="utf-8")))


def broken(page: Path, link: str) -> bool:
    """Return whether a link leads nowhere."""
    if re.match(r"https?:|data:|\$", link):
        return False
    file, _, anchor = link.partition("#")
    target = page.parent / file if file else page
    return not target.is_file() or (bool(anchor) and anchor not in anchors(target))


def make(folder: Path) -> list[Path]:
    """Write the reference into a folder and return its pages."""
    from pdoc import pdoc, render

    render.configure(docformat="numpy", show_source=False, search=False)
    pdoc(*MODULES, output_directory=folder)
    pages = sorted(folder.rglob("*.html"))
    for page in pages:
        text = page.read_text(encoding="utf-8")
        up = "../" * (len(page.relative_to(folder).parts) - 1)
        text = text.replace(BACK, f'{BACK}\n<p><a href="{up}index.html">All rooms</a></p>', 1)
        for link in {link for link in re.findall(r' href="([^"]+)"', text) if broken(page, link)}:
            text = text.replace(f' href="{link}"', "")
        page.write_text(text, encoding="utf-8")
    rows = []
    for name in MODULES:
        said = escape((getdoc(import_module(name)) or "").split("\n")[0])
        rows.append(f'<dt><a href="{name.replace(".", "/")}.html">{name}</a></dt><dd>{said}</dd>')
    style = "body{font:16px/1.5 sans-serif;max-width:44rem;margin:2rem auto;padding:0 1rem}dt{font-weight:bold}"
    head = f'<meta charset="utf-8"><title>deduce: reference</title><style>{style}</style>'
    index = f'<!doctype html>\n<html lang="en"><head>{head}</head>\n<body><h1>Reference of deduce</h1>\n<dl>\n'
    (folder / "index.html").write_text(index + "\n".join(rows) + "\n</dl></body></html>\n", encoding="utf-8")
    return pages


if __name__ == "__main__":
    made = make(Path(sys.argv[1]))
    print(f"Wrote {len(made)} pages; begin with {sys.argv[1]}/index.html.")
