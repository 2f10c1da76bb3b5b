"""Notebooks run and written as pages with their pictures, which load nothing from anywhere.

``python tests/rendered.py [FOLDER NAME ...]`` writes these notebooks into a folder; without arguments the one that is
kept, `notebooks/walk_and_present.html`.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

FOLDER = Path(__file__).parent.parent / "notebooks"
KEPT = "walk_and_present"

STYLE = """
body { font: 16px/1.5 "DejaVu Sans", Verdana, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem }
h1, h2 { line-height: 1.2; margin-top: 2.2rem }
a.anchor-link { display: none }
pre { overflow-x: auto; white-space: pre-wrap; margin: 0; font: 14px/1.45 "DejaVu Sans Mono", monospace }
.highlight { background: #f3f3f3; border-left: 4px solid #0072b2; padding: .6rem .8rem; margin: .8rem 0 .4rem }
code { background: #f3f3f3; padding: 0 .2rem } .highlight code, pre code { background: none }
.jp-OutputArea-child { margin: .4rem 0 .8rem } img, svg { max-width: 100%; height: auto }
table { border-collapse: collapse } td, th { padding: .1rem .6rem; text-align: left }
@media (prefers-color-scheme: dark) { :root { color-scheme: light } body { background: #fff; color: #000 } }
"""


def rendered(name: str) -> str:
    """Run a notebook in a folder of its own and return it as a page."""
    import nbformat
    from nbclient import NotebookClient
    from nbconvert import HTMLExporter
    from pygments.formatters import HtmlFormatter

    notebook = nbformat.read(FOLDER / f"{name}.ipynb", as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(FOLDER / "shelf.txt", folder)
        NotebookClient(notebook, timeout=300, resources={"metadata": {"path": folder}}).execute()
    exporter = HTMLExporter(template_name="basic", exclude_input_prompt=True, exclude_output_prompt=True)
    body, _ = exporter.from_notebook_node(notebook)
    body = "\n".join(line.rstrip() for line in body.splitlines())
    style = STYLE + HtmlFormatter(style="friendly").get_style_defs(".highlight .hll, .highlight")
    head = f'<meta charset="utf-8">\n<meta name="viewport" content="width=device-width">\n<title>{name}</title>'
    start = f'<!doctype html>\n<html lang="en">\n<head>\n{head}\n<style>{style}</style>\n</head>'
    return f"{start}\n<body>\n{body}\n</body>\n</html>\n"


if __name__ == "__main__":
    into, names = (Path(sys.argv[1]), sys.argv[2:]) if sys.argv[1:] else (FOLDER, [KEPT])
    for each in names:
        (into / f"{each}.html").write_text(rendered(each), encoding="utf-8")
