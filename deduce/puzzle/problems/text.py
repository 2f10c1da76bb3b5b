"""A position of a problem as text: one line a variable, with its value or with those that are left."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.errors import GridError
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.puzzle.word import Word

__all__ = ["line", "pencil", "read"]

_GIVEN = " (given)"


def line(layout: Layout, true: int) -> str:
    """Print the values that are placed on one line."""
    placed = [str(layout.candidate(number)) for number in sorted(bits(true), key=lambda c: (c % layout.cells, c))]
    left = layout.cells - len({number % layout.cells for number in bits(true)})
    return ", ".join([*placed, f"{left} open"] if left else placed)


def pencil(layout: Layout, live: int, true: int, givens: int) -> str:
    """Print a position as text that :func:`read` reads back.

    Behind ``=`` stands the value that a variable has, behind ``:`` stand those that are left.
    """
    names = [layout.cell_name(cell) for cell in range(layout.cells)]
    wide = max(map(len, names))
    printed = []
    for cell, name in enumerate(names):
        here = [number for number in range(cell, layout.order * layout.cells, layout.cells) if live >> number & 1]
        placed = [number for number in here if true >> number & 1]
        shown = ", ".join(layout.symbols[number // layout.cells] for number in placed or here)
        given = _GIVEN if any(givens >> number & 1 for number in placed) else ""
        printed.append(f"{name.ljust(wide)} {'=' if placed else ':'} {shown}{given}".rstrip())
    return "\n".join(printed)


def read(text: str, layout: Layout) -> tuple[tuple[int, ...], tuple[int, ...], int]:
    """Read a position of a problem.

    Parameters
    ----------
    text : str
        One line for each variable that something is known of; those that are left out may still take any value.
    layout : Layout
        The layout of the problem.

    Returns
    -------
    givens, entered : tuple of int
        The candidates placed by the puzzle, and the others that are placed.
    notes : int
        Bitset of the candidates that are left.

    Raises
    ------
    GridError
        With line, column and a caret.
    """
    names = sorted(((layout.cell_name(cell), cell) for cell in range(layout.cells)), key=lambda item: -len(item[0]))
    givens: list[int] = []
    entered: list[int] = []
    notes = layout.every
    seen: set[int] = set()
    for number, row in enumerate(text.splitlines(), 1):
        body = row.strip()
        if not body or body.startswith("#"):
            continue
        word = Word(body, number, row.index(body) + 1, text)
        found = [item for item in names if body.startswith(item[0]) and body[len(item[0]) :].lstrip()[:1] in "=:"]
        if not found or len(body) == len(found[0][0]):
            raise word.wrong(GridError, "this line names no variable", "write a variable, then = or :, then values")
        name, cell = found[0]
        if cell in seen:
            raise word.wrong(GridError, f"{name} has a line already", "write one line a variable")
        seen.add(cell)
        sign = body[len(name) :].lstrip()[0]
        at = body.index(sign, len(name)) + 1
        given = sign == "=" and body.endswith(_GIVEN)
        rest = body[at : len(body) - len(_GIVEN)] if given else body[at:]
        digits = _values(rest.strip(), layout.symbols)
        if digits is None or (sign == "=" and len(digits) != 1):
            expected = f"write {'one of ' if sign == '=' else ''}{', '.join(layout.symbols[:12])}"
            place = word.part(at + len(rest) - len(rest.lstrip()))
            raise place.wrong(GridError, f"{rest.strip()!r} is no value of {name}", expected)
        candidates = [layout.number(digit + 1, cell) for digit in digits]
        if sign == "=":
            (givens if given else entered).extend(candidates)
        else:
            notes &= ~layout.masks[cell] | sum(1 << candidate for candidate in candidates)
    return tuple(givens), tuple(entered), notes


def _values(text: str, symbols: Sequence[str]) -> list[int] | None:
    """Take a list of values apart, of which each may hold commas itself; None if it is no such list."""
    if not text:
        return []
    for digit in sorted(range(len(symbols)), key=lambda d: -len(symbols[d])):
        symbol = symbols[digit]
        if text == symbol:
            return [digit]
        if text.startswith(f"{symbol},"):
            rest = _values(text[len(symbol) + 1 :].lstrip(), symbols)
            if rest:
                return [digit, *rest]
    return None
