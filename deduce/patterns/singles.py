"""Last open cells, hidden and naked singles."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_house, everywhere
from deduce.patterns.finder import Family
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.why_not import (
    Fault,
    FaultKind,
    Named,
    easiest,
    extra_digits,
    extra_places,
    houses_around,
    restorable,
)
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "HIDDEN", "LAST", "NAKED", "SINGLES", "alone_in_cell", "alone_in_house", "are_singles"]

LAST = "last open cell"
HIDDEN = "hidden single"
NAKED = "naked single"

SINGLES = (LAST, HIDDEN, NAKED)
"""The patterns that place a digit for being alone."""


def are_singles(names: Iterable[str]) -> bool:
    """Whether names stand for all singles and nothing else; a last open cell is a hidden single as well.

    Examples
    --------
    >>> are_singles(["naked single", "hidden single"]), are_singles(["last open cell", "naked single"])
    (True, False)
    """
    return {HIDDEN, NAKED} <= {*names} <= {*SINGLES}


def _last_open_cells(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield the one cell of a house that is still open, with the digit that the house lacks.

    The argument is the constraint "this digit in this house" as the only base.
    """
    here = board.open & scope.mask
    if here and not here & (here - 1):
        yield alone_in_house(board.grid, LAST, here.bit_length() - 1, scope.item)


def alone_in_house(grid: Grid, name: str, candidate: int, house: int) -> Proof:
    """Return the proof that a candidate is true as the only place of its digit in a house, under one of two names."""
    constraint = grid.layout.house_constraint(house, candidate // grid.layout.cells + 1)
    return _placing(grid, constraint, candidate, Pattern(name, _in_house(candidate, house)))


def alone_in_cell(grid: Grid, candidate: int) -> Proof:
    """Return the proof that a candidate is true as the only one of its cell."""
    constraint = grid.layout.cell_constraint(candidate % grid.layout.cells)
    return _placing(grid, constraint, candidate, Pattern(NAKED, (Role("placed", "candidates", (candidate,)),)))


def _placing(grid: Grid, constraint: int, candidate: int, pattern: Pattern) -> Proof:
    return Proof(grid, (Inference(Counting(((constraint, 1),), ()), (), (candidate,)),), pattern)


def _in_house(candidate: int, house: int) -> tuple[Role, Role]:
    """Return the roles of a candidate that a house places."""
    return Role("placed", "candidates", (candidate,)), Role("house", "houses", (house,))


def _hidden_singles(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield each digit that has exactly one place left in a house, by digit.

    The argument is the constraint "this digit in this house" as the only base.
    """
    layout = board.layout
    mask = layout.house_masks[scope.item]
    for digit, plane in enumerate(board.planes):
        here = plane & mask
        if here and not here & (here - 1):
            yield alone_in_house(board.grid, HIDDEN, layout.number(digit, here.bit_length() - 1), scope.item)


def _naked_singles(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield each open cell with exactly one candidate, in reading order.

    The argument is the constraint "a digit in this cell" as the only base.
    """
    layout = board.layout
    for cell in bits(board.single_cells):
        yield alone_in_cell(board.grid, (board.open & layout.masks[cell]).bit_length() - 1)


def _last_fault(grid: Grid, pattern: Pattern) -> str | None:
    house = pattern.role("house")
    open_ = _open_cells(grid, house[0]) if house else []
    if len(open_) > 1:
        return f"{grid.layout.houses[house[0]].name} has {len(open_)} open cells"
    return _hidden_fault(grid, pattern)


def _open_cells(grid: Grid, house: int) -> list[int]:
    """List the open cells of a house."""
    return [cell for cell in grid.layout.houses[house].cells if not grid.true & grid.layout.masks[cell]]


def _hidden_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (candidate,), (house,) = pattern.role("placed"), pattern.role("house")
    digit, cell = divmod(candidate, layout.cells)
    if not layout.house_masks[house] >> cell & 1:
        return f"{layout.cell_name(cell)} is not in {layout.houses[house].name}"
    places = grid.live & layout.masks[layout.house_constraint(house, digit + 1)]
    if places != 1 << candidate:
        return f"the digit has {places.bit_count()} places in {layout.houses[house].name}"
    return None


def _naked_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (candidate,) = pattern.role("placed")
    cell = candidate % layout.cells
    if grid.live & layout.masks[cell] != 1 << candidate:
        return f"{layout.cell_name(cell)} has other candidates"
    return None


def _read_hidden(_: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    if len(inference.true) == 1 and len(shape.base_houses) == 1 == shape.parts:
        roles = _in_house(inference.true[0], shape.base_houses[0][0])
        yield Pattern(LAST, roles)
        yield Pattern(HIDDEN, roles)


def _read_naked(_: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    if len(inference.true) == 1 and len(shape.base_cells) == 1 == shape.parts:
        yield Pattern(NAKED, (Role("placed", "candidates", inference.true),))


def _why_not_last(grid: Grid, name: str, named: Named, places: tuple[int, ...]) -> Fault | None:
    """Count the open cells of the house that was mentioned, or of that house of the cell which has the fewest."""
    layout = grid.layout
    cells = {*named.cells, *(c % layout.cells for c in places)}
    houses = named.houses or tuple(houses_around(layout, cells) if cells else ())
    found = [(house, tuple(_open_cells(grid, house))) for house in houses]
    several = [
        Fault(FaultKind.OPEN_CELLS, pattern=name, cells=open_, houses=(house,))
        for house, open_ in found
        if len(open_) > 1
    ]
    if len(several) == len(found):
        return min(several, key=lambda fault: len(fault.cells), default=None)
    return _why_not(grid, name, named, places)


def _why_not(grid: Grid, name: str, named: Named, places: tuple[int, ...]) -> Fault | None:
    """Look at a candidate that should be alone in its cell or in a house."""
    layout = grid.layout
    placed = places or tuple(layout.number(d, cell) for d in named.digits for cell in named.cells)
    if len(placed) != 1:
        return None
    (candidate,) = placed
    if not grid.live >> candidate & 1:
        return Fault(FaultKind.NOT_NOTED, pattern=name, extras=placed, restores=restorable(grid, placed))
    digit, cell = divmod(candidate, layout.cells)
    if name == NAKED:
        return extra_digits(grid, name, [(cell, [digit + 1])])
    houses = [h for h in layout.houses_of[cell] if not named.houses or h in named.houses]
    if not houses:
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=(cell,), houses=named.houses)
    only = 1 << candidate
    return easiest(extra_places(grid, name, [(layout.house_constraint(h, digit + 1), only)]) for h in houses)


FINDERS = (
    Family(
        (LAST,),
        by_house,
        _last_open_cells,
        _last_fault,
        roles={"placed": "pattern", "house": "base"},
        reads=ShapeReading(_read_hidden, settles=True),
        why_not=_why_not_last,
        aliases=("last cell", "last digit", "full house"),
    ),
    Family(
        (HIDDEN,),
        by_house,
        _hidden_singles,
        _hidden_fault,
        roles={"placed": "pattern", "house": "base"},
        reads=ShapeReading(_read_hidden, settles=True),
        why_not=_why_not,
    ),
    Family(
        (NAKED,),
        everywhere,
        _naked_singles,
        _naked_fault,
        roles={"placed": "pattern"},
        reads=ShapeReading(_read_naked, settles=True),
        why_not=_why_not,
    ),
)
