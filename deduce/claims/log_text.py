"""Solve logs from text: moves, comments, and candidate grids between them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from deduce.claims.claim import Claim
from deduce.claims.text import parse_claim
from deduce.errors import ClaimError, GridError, TextError
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import EMPTY, read

__all__ = ["Line", "read_log"]

_NUMBER = re.compile(r"\s*(?:step\s+)?[0-9]+\s*[.):]\s+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a log, or one candidate grid of several.

    Parameters
    ----------
    number : int
        Its number, from 1; of a grid the first one.
    text : str
        As it stands in the log, without its comment.
    comment : str
        What follows ``#`` or ``;``, with the sign; empty if nothing does.
    claim : Claim, optional
        The move.
    notes : str
        The candidate grid; empty for every other line.
    error : TextError, optional
        What is wrong with a line that is neither.
    """

    number: int
    text: str
    comment: str = ""
    claim: Claim | None = None
    notes: str = ""
    error: TextError | None = None


def read_log(layout: Layout, moves: str | Iterable[str]) -> tuple[Line, ...]:
    r"""Read a solve log.

    Parameters
    ----------
    layout : Layout
        The layout of the puzzle.
    moves : str or iterable of str
        The log, or its lines.  A move is written as `parse_claim` reads it and may have its number in front; what
        follows ``#`` or ``;`` is a comment; lines of digits that form a grid are a candidate grid.

    Returns
    -------
    tuple of Line
        Every line in order, blank ones and comments too; a line that cannot be read carries its error.

    Examples
    --------
    >>> lines = read_log(Layout.standard(4), "1. r1c1 = 3 # the last one\n\nr2c2 <> 5")
    >>> [(line.number, bool(line.claim), line.comment) for line in lines]
    [(1, True, '# the last one'), (2, False, ''), (3, False, '')]
    >>> print(lines[2].error)
    line 3, column 9: '5' where a digit should be; write one of 1234
      r2c2 <> 5
              ^
    """
    rows = moves.splitlines() if isinstance(moves, str) else [row.rstrip("\n") for row in moves]
    text = "\n".join(rows)
    gridlike = re.compile(rf"[{re.escape(layout.symbols + EMPTY)}{{}}\[\]|+=\s-]*")
    found: list[Line] = []
    at = 0
    while at < len(rows):
        end = at
        while end < len(rows) and rows[end].strip() and gridlike.fullmatch(rows[end]):
            end += 1
        if end > at:
            found.append(_grid(layout, rows, at, end, text))
            at = end
        else:
            found.append(_move(layout, rows[at], at + 1, text))
            at += 1
    return tuple(found)


def _grid(layout: Layout, rows: list[str], start: int, end: int, text: str) -> Line:
    """Read a candidate grid; nothing but rulers is a line drawn for the eye."""
    block = "\n".join(rows[start:end])
    if not any(char in layout.symbols or char in EMPTY for char in block):
        return Line(start + 1, block)
    try:
        read(block, layout)
    except GridError as error:
        line = start + error.line if error.line else start + 1
        return Line(
            start + 1,
            block,
            error=GridError(error.problem, error.expected, text=text, line=line, column=error.column),
        )
    return Line(start + 1, block, notes=block)


def _move(layout: Layout, row: str, number: int, text: str) -> Line:
    """Read one line that is no grid."""
    signs = [i for i in (row.find("#"), row.find(";")) if i >= 0]
    cut = min(signs, default=len(row))
    said, comment = row[:cut].rstrip(), row[cut:]
    label = _NUMBER.match(said)
    skipped = label.end() if label else 0
    body = said[skipped:]
    if not body.strip():
        return Line(number, said, comment)
    try:
        claim = parse_claim(layout, body)
    except ClaimError as error:
        column = error.column + skipped if error.column else 0
        return Line(
            number,
            said,
            comment,
            error=ClaimError(error.problem, error.expected, text=text, line=number, column=column),
        )
    return Line(number, said, comment, claim)
