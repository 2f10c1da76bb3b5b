"""Claims about the variables of a problem: what they are and what they are not, without reasons."""

from __future__ import annotations

import re
from functools import lru_cache

from deduce.claims.claim import Claim
from deduce.errors import ClaimError
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
    eliminates: set[int] = set()
    places: set[int] = set()
    at = 0
    while True:
        cell, at = _one(text, at, _cells(layout), "a variable", layout.span)
        denied, at = _one(text, at, _SIGNS, "= or <>", "write VARIABLE = VALUE or VARIABLE <> VALUE")
        digit, at = _one(text, at, _digits(layout), "a value", f"write one of {layout.symbols}")
        (eliminates if denied else places).add(layout.number(digit + 1, cell))
        behind = _JOINT.match(text, at)
        if behind is None:
            at += len(text[at:]) - len(text[at:].lstrip())
            raise _wrong(text, at, "something stands behind the claim", "claims about problems take no reasons")
        at = behind.end()
        if at == len(text):
            return Claim(text, tuple(sorted(eliminates)), tuple(sorted(places)))


_JOINT = re.compile(r"[.\s]*$|\s*[,;\n]\s*(?:and\s+)?|\s+and\s+")
_SIGNS = {**dict.fromkeys(_NO, 1), **dict.fromkeys(_YES, 0)}


@lru_cache(maxsize=16)
def _cells(layout: Layout) -> dict[str, int]:
    return {layout.cell_name(cell): cell for cell in range(layout.cells)}


@lru_cache(maxsize=16)
def _digits(layout: Layout) -> dict[str, int]:
    return {name: digit for digit, name in enumerate(layout.symbols)}


def _one(text: str, at: int, table: dict[str, int], what: str, advice: str) -> tuple[int, int]:
    """Read the longest of some words; return what it stands for and the place behind it."""
    while text[at : at + 1].isspace():
        at += 1
    for name in sorted(table, key=len, reverse=True):
        end = at + len(name)
        # A word ends where the text goes on with something else than a letter or figure.
        whole = not (name[-1].isalnum() and text[end : end + 1].isalnum())
        if text.startswith(name, at) and whole:
            return table[name], end
    raise _wrong(text, at, f"here should be {what}", advice)


def _wrong(text: str, at: int, problem: str, advice: str) -> ClaimError:
    line = text.count("\n", 0, at) + 1
    column = at - text.rfind("\n", 0, at)
    return ClaimError(problem, advice, text=text, line=line, column=column)
