"""Claims about the variables of a problem: what they are and what they are not, without reasons."""

from __future__ import annotations

import re

from deduce.claims.claim import Claim
from deduce.claims.reader import Reader
from deduce.puzzle.layout import Layout

__all__ = ["parse_problem_claim"]

_NO = ("<>", "!=", "=/=", "\u2260", "is not", "isn't", "cannot be", "can't be", "must not be")
_YES = ("==", ":=", "=", "must be", "is")


def parse_problem_claim(layout: Layout, text: str) -> Claim:
    """Read a claim about a problem.

    Parameters
    ----------
    layout : Layout
        Of a problem; says which variables and values there are.
    text : str
        ``WA = red``, ``WA is red``, ``WA <> red``, ``WA is not red``; several of them separated by commas,
        semicolons, ``and`` or line breaks.

    Raises
    ------
    ClaimError
        With line, column and a caret.
    """
    reader = Reader(layout, text)
    cells = {layout.cell_name(cell): cell for cell in range(layout.cells)}
    digits = {name: digit for digit, name in enumerate(layout.symbols)}
    eliminates: set[int] = set()
    places: set[int] = set()
    while True:
        cell = _one(reader, cells, "a variable", layout.span)
        denied = _one(reader, _SIGNS, "= or <>", "write VARIABLE = VALUE or VARIABLE <> VALUE")
        digit = _one(reader, digits, "a value", f"write one of {layout.symbols}")
        (eliminates if denied else places).add(layout.number(digit + 1, cell))
        behind = _JOINT.match(text, reader.at)
        if behind is None:
            reader.fail("something stands behind the claim", "claims about problems take no reasons", reader.here())
        reader.at = behind.end()
        if reader.at == len(text):
            return Claim(text, tuple(sorted(eliminates)), tuple(sorted(places)))


_JOINT = re.compile(r"[.\s]*$|\s*[,;\n]\s*(?:and\s+)?|\s+and\s+")
_SIGNS = {**dict.fromkeys(_NO, 1), **dict.fromkeys(_YES, 0)}


def _one(reader: Reader, table: dict[str, int], what: str, advice: str) -> int:
    """Read the longest of some words, and return what it stands for."""
    for name in sorted(table, key=len, reverse=True):
        # A word ends where the text goes on with something else than a letter or figure.
        if reader.takes(re.compile(re.escape(name) + r"(?![^\W_])" * name[-1].isalnum())):
            return table[name]
    return reader.fail(f"here should be {what}", advice, reader.here())
