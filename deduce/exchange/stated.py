"""What puzzle a document is about, in words: its layout, its rules and its givens, and where its names mislead.

The kernel proves steps from the rules that a document states; whether those are the rules that a reader has in mind, no
proof can say.  So they are told, and can be held against a puzzle that somebody expects.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from deduce.exchange.layouts import encode_layout
from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.house import lines
from deduce.puzzle.layout import SYMBOLS, House, Layout, box_shape
from deduce.puzzle.problems.compiled import Part
from deduce.puzzle.text import line

__all__ = ["PuzzleStatement", "differences", "stated"]

MOST_SUMS = 6
"""How many sums of one constraint of a problem are printed."""


@dataclass(frozen=True, slots=True)
class PuzzleStatement:
    """What a document says that the puzzle is.

    Parameters
    ----------
    layout : str
        In a few words, such as ``"plain 9x9"``.
    houses, rules : tuple of str
        What has to be told besides: the houses that are not what those words say, and every further rule.
    givens : str
        One character a cell, or a list where the cells are no rectangle.
    warnings : tuple of str
        Where something is not what its name says.
    form : object
        The layout as a document states it.
    """

    layout: str
    houses: tuple[str, ...]
    rules: tuple[str, ...]
    givens: str
    warnings: tuple[str, ...]
    form: Any

    def lines(self) -> Iterator[str]:
        """Yield what to print."""
        yield f"Puzzle: {self.layout}"
        yield from (f"    house {house}" for house in self.houses)
        yield from (f"    rule: {rule}" for rule in self.rules)
        yield f"Givens: {self.givens or 'none'}"
        yield from (f"Warning: {warning}." for warning in self.warnings)

    def value(self) -> dict[str, Any]:
        """Return the same as plain values."""
        told = {"puzzle": self.layout, "layout": self.form, "houses": list(self.houses), "rules": list(self.rules)}
        return {**told, "givens": self.givens, "warnings": list(self.warnings)}


def stated(grid: Grid) -> PuzzleStatement:
    """Return what the puzzle of a position is.

    Examples
    --------
    >>> print(*stated(Grid.parse("12.. .... ...3 ..4.")).lines(), sep="; ")
    Puzzle: plain 4x4; Givens: 12.........3..4.
    """
    layout = grid.layout
    form, warnings = encode_layout(layout), tuple(_warnings(layout))
    if layout.problem:
        head = f"a problem with {layout.cells} variables ({', '.join(layout.problem.variable_names)})"
        head += f" and {layout.order} values ({', '.join(layout.symbols)})"
        houses = tuple(_group(layout, house) for house in layout.houses)
        parts = tuple(_parts(layout.model.names, layout.problem.parts))
        return PuzzleStatement(head, houses, parts, _givens(grid), warnings, form)
    rules = tuple(rule.name(layout) for rule in layout.rules)
    return PuzzleStatement(*_houses(layout), rules, _givens(grid), warnings, form)


def differences(grid: Grid, expected: Grid) -> tuple[str, ...]:
    """Say what about the puzzle of a position is other than expected; empty if nothing is."""
    here, there = grid.layout, expected.layout
    told, wanted = stated(grid), stated(expected)
    found = []
    if here != there:
        if told.layout != wanted.layout:
            found.append(f"it is {told.layout}, not {wanted.layout}")
        places = [tuple(layout.cell_name(cell) for cell in range(layout.cells)) for layout in (here, there)]
        found += _apart("has", "cell", *places)
        found += _apart("has", "house", *([_group(a, house) for house in a.houses] for a in (here, there)))
        found += _apart("has", "rule", told.rules, wanted.rules)
        if not found:
            found.append("its layout says something else under the same names")
    givens = [[str(side.candidate(c)) for c in bits(side.givens)] for side in (grid, expected)]
    found += _apart("gives", "", *givens)
    return tuple(found)


def _apart(verb: str, noun: str, here: Iterable[str], there: Iterable[str]) -> Iterator[str]:
    """Say what one side has and the other lacks, the first few by name."""
    one, other = Counter(here), Counter(there)
    for extra, say in ((one - other, f"it {verb}"), (other - one, "it lacks" if noun else "it does not give")):
        names = [*extra.elements()]
        if names:
            more = f" and {len(names) - 3} more" if len(names) > 3 else ""
            listed = ", ".join(names[:3]) if not noun else "; ".join(f"the {noun} {name!r}" for name in names[:3])
            yield f"{say} {listed}{more}"


def _cells(layout: Layout, house: House) -> str:
    return " ".join(map(layout.cell_name, house.cells))


def _group(layout: Layout, house: House) -> str:
    return f"{house.name}: {_cells(layout, house)}"


def _houses(layout: Layout) -> tuple[str, tuple[str, ...]]:
    """Say what a layout is in a few words, and list the houses that those words do not cover."""
    order = layout.order
    square = _square(layout)
    signs = "" if layout.symbols == SYMBOLS[:order] else f", digits written {layout.symbols}"
    if layout.boxes:
        boxes = "" if box_shape(order) == layout.boxes else " with boxes of {}x{}".format(*layout.boxes)
        further = f" and further rules ({len(layout.rules)})" if layout.rules else ""
        return f"{'' if boxes or further or signs else 'plain '}{order}x{order}{boxes}{signs}{further}", ()
    head = f"{order}x{order}" if square else f"{layout.cells} cells on a canvas of {layout.height}x{layout.width}"
    named = [house for house in layout.houses if house.kind in ("row", "column", "box") and _as_named(layout, house)]
    said = [_counted(layout, grid, named) for grid in sorted({house.grid for house in layout.houses})]
    listed = tuple(_group(layout, house) for house in layout.houses if house not in named)
    other = f" and {len(listed)} other house{'s' * (len(listed) > 1)}" if listed else ""
    return f"{head} of {order} digits{signs}, with {'; '.join(said) or 'no houses'}{other}", listed


def _counted(layout: Layout, grid: int, named: list[House]) -> str:
    """Count the houses of a grid that are what their names say."""
    count = Counter(house.kind for house in named if house.grid == grid)
    plural = {"row": "rows", "column": "columns", "box": "boxes"}
    said = [f"{count[kind] or 'no'} {kind if count[kind] == 1 else plural[kind]}" for kind in plural]
    if count["box"]:
        said[-1] += " of {}x{}".format(*_box(layout, grid))
    row, column = _corner(layout, grid)
    return (f"grid {grid} at r{row + 1}c{column + 1}: " if grid else "") + ", ".join(said)


@lru_cache(maxsize=256)
def _corner(layout: Layout, grid: int) -> tuple[int, int]:
    """Return where a grid of the canvas begins; 0 stands for the canvas itself."""
    places = [layout.places[cell] for house in layout.houses if house.grid == grid for cell in house.cells]
    return (min(row for row, _ in places), min(column for _, column in places)) if grid else (0, 0)


@lru_cache(maxsize=256)
def _box(layout: Layout, grid: int) -> tuple[int, int]:
    """Return over how many rows and columns the first box of a grid goes."""
    first = next(house for house in layout.houses if house.kind == "box" and house.grid == grid)
    rows, columns = ({layout.places[cell][axis] for cell in first.cells} for axis in (0, 1))
    return len(rows), len(columns)


def _square(layout: Layout) -> bool:
    return layout.cells == layout.order**2 and layout.height == layout.width == layout.order


def _as_named(layout: Layout, house: House) -> bool:
    """Whether a row, column or box is the one of that number on the canvas, or in its grid there."""
    order, at = layout.order, house.number - 1
    top, left = _corner(layout, house.grid)
    if house.kind == "box":
        high, wide = _box(layout, house.grid)
        down, right = divmod(at, order // wide) if high * wide == order else (0, 0)
        there = {(top + down * high + i, left + right * wide + j) for i in range(high) for j in range(wide)}
    elif house.grid:
        there = {(top + at, left + i) if house.kind == "row" else (top + i, left + at) for i in range(order)}
    else:
        there = {place for place in layout.places if place[house.kind == "column"] == at}
    return {layout.places[cell] for cell in house.cells} == there


def _warnings(layout: Layout) -> Iterator[str]:
    """Say where something is not what its name promises."""
    if layout.problem:
        for house in layout.houses:
            named = re.fullmatch(r"(row|column) (\d+)", house.name)
            places = [re.fullmatch(r"r(\d+)c(\d+)", layout.cell_name(cell)) for cell in house.cells]
            axis = 1 + bool(named and named[1] == "column")
            if named and any(place is None or int(place[axis]) != int(named[2]) for place in places):
                yield f"what is called {house.name} is {_cells(layout, house)}"
        return
    if any(sign in SYMBOLS and SYMBOLS.index(sign) != digit for digit, sign in enumerate(layout.symbols)):
        yield f"the signs {layout.symbols} stand for the digits 1 to {layout.order}, in this order"
    for house in layout.houses:
        if house.kind in ("row", "column", "box") and not _as_named(layout, house):
            yield f"{house.name} is not what its name says; its cells are {_cells(layout, house)}"
    if _square(layout):
        there = {house.cells for house in layout.houses}
        for row_or_column in lines(layout.order):
            if row_or_column.cells not in there:
                yield f"{row_or_column.name} of the grid is no house, so digits may be alike in it"


def _givens(grid: Grid) -> str:
    layout = grid.layout
    if layout.problem or layout.cells != layout.height * layout.width:
        return ", ".join(str(grid.candidate(c)) for c in bits(grid.givens))
    return line(layout, grid.givens)


def _parts(names: tuple[str, ...], parts: Iterable[Part]) -> Iterator[str]:
    """Tell the constraints of a problem: what each is called, and the sums that it is taken for."""
    for part in parts:
        sums = [_sum(names, rule) for rule in part.constraints[:MOST_SUMS]]
        left = len(part.constraints) - MOST_SUMS
        more = f"; and {left} more, which --json lists" if left > 0 else ""
        yield f"{part.title!r}, which is: {'; '.join(sums)}{more}"


def _sum(names: tuple[str, ...], rule: Constraint) -> str:
    terms = " + ".join(f"{'' if a == 1 else f'{a} '}({names[c]})" for c, a in rule.terms) or "0"
    least = "" if rule.lower is None or rule.lower == rule.upper else f"{rule.lower} <= "
    most = "" if rule.upper is None else f" {'=' if rule.lower == rule.upper else '<='} {rule.upper}"
    return f"{least}{terms}{most}"
