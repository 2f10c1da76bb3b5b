"""How cells, digits, houses and lists of them are spelled in words and pictures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deduce.claims.printing import node_text
from deduce.proof import Candidate, Pattern
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["NUMBERS", "Names", "capital", "digit_of", "in_words", "losses", "named", "series"]

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
"""Small numbers as words; larger ones are printed as figures."""

_AN = set("8AEFHILMNORSX")
"""Characters whose names begin with a vowel when read aloud: eight, A, E, ef, aitch, I, el, em, en, O, ar, es, ex."""


def series(parts: Iterable[str], joint: str = "and") -> str:
    """Write a list as English does.

    Examples
    --------
    >>> series(["r1c2", "r4c5", "r7c8"]), series(["r1c2", "r4c5"], "or"), series(["r1c2"])
    ('r1c2, r4c5 and r7c8', 'r1c2 or r4c5', 'r1c2')
    """
    listed = list(parts)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} {joint} {listed[-1]}"


def in_words(count: int) -> str:
    """Write a small number as a word, a larger one in figures.

    Examples
    --------
    >>> in_words(0), in_words(9), in_words(10)
    ('no', 'nine', '10')
    """
    return NUMBERS[count] if 0 <= count < len(NUMBERS) else str(count)


def digit_of(names: Names, pattern: Pattern) -> tuple[int, str]:
    """Return the digit that a pattern is about, and its symbol."""
    digit = pattern.role("digit")[0]
    return digit, names.digit(digit)


def capital(text: str) -> str:
    """Return the text with its first letter as a capital, the rest untouched."""
    return text[:1].upper() + text[1:]


def losses(candidates: Sequence[Candidate], most: int | None = None) -> str:
    """Say which cells lose which digits, cells that lose the same digits together.

    Parameters
    ----------
    candidates : sequence of Candidate
        What falls.
    most : int, optional
        Cells that lose the same are counted rather than listed if there are more than this.

    Examples
    --------
    >>> losses([Candidate(4, 1, 2), Candidate(4, 1, 8), Candidate(4, 3, 3), Candidate(7, 3, 3)])
    'r1c2 and r1c8 lose 4; r3c3 loses 4 and 7'
    """
    lost: dict[tuple[int, int], list[tuple[int, str]]] = {}
    for candidate in candidates:
        here = lost.setdefault((candidate.row, candidate.column), [])
        here.append((candidate.digit, candidate.symbol or str(candidate.digit)))
    together: dict[tuple[tuple[int, str], ...], list[str]] = {}
    for row, column in sorted(lost):
        together.setdefault(tuple(sorted(lost[row, column])), []).append(f"r{row}c{column}")
    parts = []
    for digits, cells in together.items():
        verb = "loses" if len(cells) == 1 else "lose"
        who = f"{len(cells)} cells" if most is not None and len(cells) > most else series(cells)
        parts.append(f"{who} {verb} {series(symbol for _, symbol in digits)}")
    return "; ".join(parts)


def named(layout: Layout, constraint: int) -> str:
    """Return what sentences call a constraint: a cell by its name, any other as it is printed.

    Examples
    --------
    >>> named(Layout.standard(), 3), named(Layout.standard(), 81)
    ('r1c4', '1 in row 1')
    """
    kind, number, _ = layout.origin(constraint)
    return layout.cell_name(number) if kind == "cell" else layout.model.constraints[constraint].name


class Names:
    """The names of the things on one layout.

    Parameters
    ----------
    layout : Layout
        Gives cells, houses and the symbols of the digits.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout

    def digit(self, digit: int) -> str:
        """Return the symbol of a digit (from 1)."""
        return self.layout.symbols[digit - 1]

    def digits(self, digits: Iterable[int], joint: str = "and") -> str:
        """Return a list of digits in order."""
        return series(map(self.digit, sorted(digits)), joint)

    def a(self, digit: int) -> str:
        """Return a digit with the article that its name takes when read aloud."""
        symbol = self.digit(digit)
        # Of the longer numbers eleven, eighteen and the eighties begin with a vowel.
        vowel = symbol.upper() in _AN or symbol in ("11", "18") or (len(symbol) == 2 and symbol[0] == "8")
        return f"{'an' if vowel else 'a'} {symbol}"

    def cell(self, cell: int) -> str:
        """Return the name of a cell."""
        return self.layout.cell_name(cell)

    def cells(self, cells: Iterable[int], joint: str = "and") -> str:
        """Return a list of cells in reading order."""
        return series(map(self.cell, sorted(cells)), joint)

    def rule(self, constraint: int) -> str:
        """Return what a constraint that is neither of a cell nor of a house says, as a statement."""
        return self.layout.model.constraints[constraint].name

    def split(self, candidate: int) -> tuple[int, int]:
        """Return digit (from 1) and cell of a candidate."""
        digit, cell = divmod(candidate, self.layout.cells)
        return digit + 1, cell

    def houses(self, houses: Sequence[int], joint: str = "and") -> str:
        """Return a list of houses, those of one kind under one plural.

        Examples
        --------
        >>> names = Names(Layout.standard())
        >>> names.houses([1, 6]), names.houses([0, 18]), names.houses([18, 19]), names.houses([4])
        ('rows 2 and 7', 'row 1 and box 1', 'boxes 1 and 2', 'row 5')
        """
        found = [self.layout.houses[house] for house in houses]
        kinds = {(house.kind, house.grid) for house in found}
        if len(kinds) == 1 and len(found) > 1:
            kind, grid = kinds.pop()
            plural = f"{kind}es" if kind.endswith(("x", "s", "ch", "sh")) else f"{kind}s"
            whose = f" of grid {grid}" if grid else ""
            return f"{plural} {series((str(house.number) for house in found), joint)}{whose}"
        return series((house.name for house in found), joint)

    def by_kind(self, houses: Iterable[int]) -> list[str]:
        """List houses, those of one kind together.

        Examples
        --------
        >>> Names(Layout.standard()).by_kind([1, 6, 18])
        ['rows 2 and 7', 'box 1']
        """
        kinds: dict[tuple[str, str | int | None], list[int]] = {}
        for house in houses:
            kinds.setdefault((self.layout.houses[house].kind, self.layout.houses[house].grid), []).append(house)
        return [*map(self.houses, kinds.values())]

    def meeting(self, cells: Iterable[int]) -> str:
        """Return where some cells see one another: the first house that holds them all, empty if there is none."""
        held = {*cells}
        return next((house.name for house in self.layout.houses if held <= {*house.cells}), "")

    def open_cells(self, grid: Grid, house: int) -> list[int]:
        """List the cells of a house that hold no digit yet."""
        layout = self.layout
        return [cell for cell in layout.houses[house].cells if not grid.true & layout.masks[cell]]

    def places(self, grid: Grid, house: int, digit: int) -> list[int]:
        """List the cells of a house that still allow a digit."""
        cells = self.layout.houses[house].cells
        return [cell for cell in cells if grid.live >> self.layout.number(digit, cell) & 1]

    def notes(self, grid: Grid, cell: int) -> list[int]:
        """List the live digits of a cell."""
        return [d for d in range(1, self.layout.order + 1) if grid.live >> self.layout.number(d, cell) & 1]

    def node(self, node: Sequence[int]) -> str:
        """Write a node of a chain: digit in brackets, then the cells with shared rows and columns drawn together.

        Examples
        --------
        >>> names = Names(Layout.standard())
        >>> names.node([8]), names.node([7 * 81 + 8, 7 * 81 + 17]), names.node([0, 10])
        ('(1)r1c9', '(8)r12c9', '(1)r1c1/r2c2')
        """
        return node_text(self.layout, node)
