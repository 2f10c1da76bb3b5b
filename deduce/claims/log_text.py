"""Solve logs from text: moves, comments, and candidate grids between them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from deduce.claims.claim import Claim
from deduce.claims.text import parse_claim
from deduce.errors import ClaimError, GridError, TextError
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import EMPTY, read

__all__ = ["Line", "read_log"]

_NUMBER = re.compile(r"\s*(?:step\s+)?[0-9]+\s*[.):]\s+", re.IGNORECASE)
_UNDONE = re.compile(r"\s*(?:undo|undone|undid|take (?:it|that) back|back)[.!]*\s*", re.IGNORECASE)
_NOTED = re.compile(r"\s*(?:notes?|noted|pencil(?:led|ed)?|pencilmarks?)\b", re.IGNORECASE)


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
    undoes : bool
        Whether it takes the move before it back.
    """

    number: int
    text: str
    comment: str = ""
    claim: Claim | None = None
    notes: str = ""
    error: TextError | None = None
    undoes: bool = False


def read_log(layout: Layout, moves: str | Iterable[str]) -> tuple[Line, ...]:
    r"""Read a solve log.

    Parameters
    ----------
    layout : Layout
        The layout of the puzzle.
    moves : str or iterable of str
        The log, or its lines.  A move is written as `parse_claim` reads it and may have its number in front; what
        follows ``#`` is a comment, and so is what follows ``;`` unless it is another move; ``undo`` takes a move back;
        what begins with ``note`` is a comment; lines of digits that form a grid are a candidate grid.

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
            found += _moves(layout, rows[at], at + 1, text)
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
        return Line(start + 1, block, error=replace(error, text=text, line=line))
    return Line(start + 1, block, notes=block)


def _moves(layout: Layout, row: str, number: int, text: str) -> list[Line]:
    """Read one line that is no grid: a move, or several with semicolons between them."""
    if _NOTED.match(row):
        return [Line(number, "", row)]
    said, sign, comment = row.partition("#")
    first, semicolon, rest = said.partition(";")
    line = _move(layout, first.rstrip(), number, text)
    if not semicolon:
        return [replace(line, comment=sign + comment)]
    more = _moves(layout, rest + sign + comment, number, text)
    if line.claim is None or any(one.error or not (one.undoes or (one.claim and one.claim.candidates)) for one in more):
        return [replace(line, comment=row[len(first) :])]
    return [line, *more]


def _move(layout: Layout, said: str, number: int, text: str) -> Line:
    """Read one move."""
    label = _NUMBER.match(said)
    skipped = label.end() if label else 0
    body = said[skipped:]
    if not body.strip() or _UNDONE.fullmatch(body):
        return Line(number, said, undoes=bool(body.strip()))
    try:
        claim = parse_claim(layout, body)
    except ClaimError as error:
        column = error.column + skipped if error.column else 0
        return Line(number, said, error=replace(error, text=text, line=number, column=column))
    return Line(number, said, claim=claim)
