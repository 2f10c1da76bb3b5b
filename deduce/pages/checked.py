"""The independent checker in a page: the proof document and the script that checks it where it is read."""

from __future__ import annotations

import re

from deduce.pages.frame import resource

__all__ = ["embed", "script"]


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
        ``deduce-refused``, where the document was touched.

    Examples
    --------
    >>> embed('{"format": "deduce-proof"}').startswith('<script type="application/json" class="deduce-document">')
    True
    """
    safe = document.replace("<", "\\u003c")  # so that no text in it ends the element
    return f'<script type="application/json" class="deduce-document">\n{safe}</script>\n{script()}'


def script() -> str:
    """Return the checker and what tells its verdict, as one element of a page."""
    checker = re.sub(r"^export ", "", resource("checker.mjs"), flags=re.MULTILINE)
    return f"<script>\n(() => {{\n{checker}\n{resource('checked.js')}}})();\n</script>\n"
