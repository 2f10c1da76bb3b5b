"""The independent checker in a page: the proof document and the script that checks it where it is read.

``python -m deduce.pages.checked FILE`` puts the checker as it is now into a page that has a place for it, such as
``notebooks/proof_viewer.html``.
"""

from __future__ import annotations

import re
import sys
import zlib
from pathlib import Path

from deduce.pages.frame import resource

__all__ = ["embed", "script", "with_checker"]


def embed(document: str) -> str:
    """Return what a page needs to check its own proof document: the document, and the script with the checker.

    Parameters
    ----------
    document : str
        A proof document as JSON text.

    Returns
    -------
    str
        Two ``<script>`` elements.  The first holds the document for whoever reads the page's source.  The second
        defines ``deduceCheck(document)``, the checker of ``checker.mjs``, and fills each element with the attribute
        ``data-deduce-checked``: "all 86 steps checked in this browser" - or what is wrong, with the class
        ``deduce-refused``, where the document was touched, even if what came of it is no lie.

    Examples
    --------
    >>> embed('{"format": "deduce-proof"}').startswith('<script type="application/json" class="deduce-document" ')
    True
    """
    safe = document.replace("<", "\\u003c")  # so that no text in it ends the element
    total = zlib.crc32(safe.strip().encode())
    return f'<script type="application/json" class="deduce-document" data-sum="{total}">\n{safe}</script>\n{script()}'


def script() -> str:
    """Return the checker and what tells its verdict, as one element of a page."""
    checker = re.sub(r"^export ", "", resource("checker.mjs"), flags=re.MULTILINE)
    return f"<script>\n(() => {{\n{checker}\n{resource('checked.js')}}})();\n</script>\n"


def with_checker(page: str) -> str:
    """Return a page with the checker as it is now between the comments that say where it stands."""
    place = re.compile("(<!-- checker -->\n).*?(<!-- /checker -->)", re.DOTALL)
    return place.sub(lambda found: f"{found[1]}{script()}{found[2]}", page)


if __name__ == "__main__":
    for name in sys.argv[1:]:
        Path(name).write_text(with_checker(Path(name).read_text(encoding="utf-8")), encoding="utf-8")
