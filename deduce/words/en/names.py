"""How cells, digits, houses and lists of them are spelled in words and pictures."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from deduce.claims.printing import node_text
from deduce.proof import Candidate
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["NUMBERS", "Names", "alternatives", "article", "capital", "concluded", "entry", "excluded", "in_words"]
__all__ += ["losses", "many", "named", "series", "together"]

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
"""Small numbers as words; larger ones are printed as figures."""

_MOST_VALUES = 12
"""Of a longer list of values, or of runs of them, only the ends are told."""

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


def many(count: int, noun: str, spelled: Callable[[int], str] = in_words) -> str:
    """Write a count with its noun, as a word or, with `str`, in figures.

    Examples
    --------
    >>> many(1, "cell"), many(3, "cell"), many(3, "step", str)
    ('one cell', 'three cells', '3 steps')
    """
    return f"{spelled(count)} {noun}{'' if count == 1 else 's'}"


def article(symbol: str) -> str:
    """Return the symbol of a digit with the article that its name takes when read aloud."""
    # Of the longer numbers eleven, eighteen and the eighties begin with a vowel.
    vowel = symbol.upper() in _AN or symbol in ("11", "18") or (len(symbol) == 2 and symbol[0] == "8")
    return f"{'an' if vowel else 'a'} {symbol}"


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
    if candidates and candidates[0].variable:
        return excluded(candidates)
    parts = []
    for digits, cells in together(candidates).items():
        verb = "loses" if len(cells) == 1 else "lose"
        who = f"{len(cells)} cells" if most is not None and len(cells) > most else series(cells)
        parts.append(f"{who} {verb} {series(digits)}")
    return "; ".join(parts)


def excluded(candidates: Iterable[Candidate]) -> str:
    """Say which variables cannot have which values, those that lose the same together.

    Examples
    --------
    >>> excluded([Candidate(1, 1, 1, "red", "WA"), Candidate(2, 1, 1, "blue", "WA"), Candidate(1, 3, 1, "red", "T")])
    'WA cannot be red or blue; T cannot be red'
    """
    parts = []
    for values, names in together(candidates).items():
        who = f"{names[0]} cannot" if len(names) == 1 else f"neither {series(names, 'nor')} can"
        parts.append(f"{who} be {alternatives(values)}")
    return "; ".join(parts)


def concluded(places: Sequence[Candidate], lost: Sequence[Candidate]) -> str:
    """Say which cells hold which digits, and what falls; under a supposition a cell may have to hold several.

    Examples
    --------
    >>> concluded([Candidate(5, 1, 2)], [Candidate(4, 3, 8)]), concluded([Candidate(5, 1, 2), Candidate(6, 1, 2)], [])
    ('r1c2 is 5 and r3c8 loses 4', 'r1c2 would have to be 5 and 6 at once')
    """
    told = []
    for digits, cells in together(places).items():
        held = "would have to be" if len(digits) > 1 else "is" if len(cells) == 1 else "are"
        told.append(f"{series(cells)} {held} {series(digits)}{' at once' * (len(digits) > 1)}")
    return series([*told, losses(lost)] if lost else told)


def together(candidates: Iterable[Candidate]) -> dict[tuple[str, ...], list[str]]:
    """Return for each list of digits the cells that lose just these."""
    lost: dict[str, list[str]] = {}
    for candidate in sorted(candidates, key=lambda c: (c.row, c.column, c.digit)):
        lost.setdefault(candidate.cell, []).append(candidate.written)
    together: dict[tuple[str, ...], list[str]] = {}
    for cell, digits in lost.items():
        together.setdefault(tuple(digits), []).append(cell)
    return together


def alternatives(values: Sequence[str]) -> str:
    """Write values as alternatives, runs of whole numbers by their ends; of a list too long to read only the ends.

    Examples
    --------
    >>> alternatives(["1", "2"]), alternatives(["-1", "0", "1", "5"]), alternatives([f"v{i}" for i in range(20)])
    ('1 or 2', '-1 to 1 or 5', 'any of the 20 values v0, v1, ... v19')
    """
    runs: list[list[str]] = []
    for value in values:
        if runs and _whole(value) and _whole(runs[-1][-1]) and int(value) == int(runs[-1][-1]) + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    parts = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]
    if len(parts) > _MOST_VALUES:
        return f"any of the {len(values)} values {values[0]}, {values[1]}, ... {values[-1]}"
    return series(parts, "or")


def _whole(name: str) -> bool:
    """Whether a value's name is that of a whole number."""
    return name.isascii() and name.removeprefix("-").isdigit()


def entry(candidate: Candidate) -> str:
    """Write a candidate that is placed.

    Examples
    --------
    >>> entry(Candidate(5, 4, 7)), entry(Candidate(1, 1, 1, "red", "WA"))
    ('5 in r4c7', 'WA = red')
    """
    return str(candidate) if candidate.variable else f"{candidate.written} in {candidate.cell}"


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
        Gives cells, houses and the symbols of the digits; for a problem these are variables, those that must differ,
        and values, and no sentence speaks of sight or places.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.problem = layout.problem is not None
        self.nouns = layout.nouns

    def digit(self, digit: int) -> str:
        """Return the symbol of a digit (from 1)."""
        return self.layout.symbols[digit - 1]

    def digits(self, digits: Iterable[int], joint: str = "and") -> str:
        """Return a list of digits in order."""
        symbols = [self.digit(digit) for digit in sorted(digits)]
        return alternatives(symbols) if self.problem and joint == "or" else series(symbols, joint)

    def a(self, digit: int) -> str:
        """Return a digit with the article that its name takes when read aloud."""
        return article(self.digit(digit))

    def cell(self, cell: int) -> str:
        """Return the name of a cell."""
        return self.layout.cell_name(cell)

    def begins(self, text: str) -> bool:
        """Whether a text begins with the name of a cell or of a value of a problem, spelled as they are."""
        return text.startswith(
            (*map(self.cell, range(self.layout.cells)), *(self.layout.symbols if self.problem else ()))
        )

    def sentence(self, text: str) -> str:
        """Return the text with a capital, unless it begins with a name that is spelled as it is."""
        return text if self.begins(text) else capital(text)

    def worded(self, template: str) -> str:
        """Return a sentence with gaps in the nouns that go with the layout."""
        if not self.problem:
            return template
        template = template.replace("{digit:a} that sees", "whatever clashes with")
        return re.sub(r"\b(cell|digit)(?=s?\b)(?![^{}]*})", lambda found: getattr(self.nouns, found[1]), template)

    def spot(self, cells: str, digit: str) -> str:
        """Name cells together with the digit that is meant there."""
        return f"{cells} = {digit}" if self.problem else f"{digit} in {cells}"

    def has(self, house: str, digit: str, cells: str, where: str = "in") -> str:
        """Say to which cells a digit of a house is left."""
        if self.problem:
            return f"of {house} only {cells} can be {digit}"
        return f"{house} has its {digit} {where} {cells}"

    def room(self, house: str, digit: str) -> str:
        """Say that a house takes a digit only once."""
        return f"only one of {house} is {digit}" if self.problem else f"{house} has room for one {digit}"

    def see(self, cells: Collection[int], others: Iterable[int], house: str) -> str:
        """Say that all of some cells see all of others."""
        if self.problem:
            return f"{self.cells(cells)} must differ from {self.cells(others)}"
        return f"{self.cells(cells)} {'sees' if len(cells) == 1 else 'see'} {self.cells(others)} in {house}"

    def who_sees(self, digit: int, whom: str) -> str:
        """Name whatever cannot have a digit beside some cells of which one has it."""
        return f"whatever clashes with {whom}" if self.problem else f"{self.a(digit)} that sees {whom}"

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
        """Return a list of houses, those of one kind under one plural; of a problem those that must differ.

        Examples
        --------
        >>> names = Names(Layout.standard())
        >>> names.houses([1, 6]), names.houses([0, 18]), names.houses([18, 19]), names.houses([4])
        ('rows 2 and 7', 'row 1 and box 1', 'boxes 1 and 2', 'row 5')
        """
        found = [self.layout.houses[house] for house in houses]
        kinds = {(house.kind, house.grid) for house in found}
        if len(kinds) == 1 and len(found) > 1 and not self.problem:
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

        Nodes of a problem stand in brackets as they are printed.

        Examples
        --------
        >>> names = Names(Layout.standard())
        >>> names.node([8]), names.node([7 * 81 + 8, 7 * 81 + 17]), names.node([0, 10])
        ('(1)r1c9', '(8)r12c9', '(1)r1c1/r2c2')
        """
        if self.problem:
            return f"[{series((str(self.layout.candidate(candidate)) for candidate in sorted(node)), 'or')}]"
        return node_text(self.layout, node)
