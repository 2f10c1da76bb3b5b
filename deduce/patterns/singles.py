"""Hidden and naked singles."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_house, everywhere
from deduce.patterns.finder import Family
from deduce.patterns.shape import Reading, SumShape
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_digits, extra_places, restorable
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "HIDDEN", "NAKED"]

HIDDEN = "hidden single"
NAKED = "naked single"


def _hidden_singles(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield each digit that has exactly one place left in a house, by digit.

    The argument is the constraint "this digit in this house" as the only base.
    """
    layout = board.layout
    mask = layout.house_masks[scope.item]
    for digit, plane in enumerate(board.planes):
        here = plane & mask
        if here and not here & (here - 1):
            candidate = layout.number(digit, here.bit_length() - 1)
            argument = Counting(((layout.house_constraint(scope.item, digit), 1),), ())
            roles = (Role("placed", "candidates", (candidate,)), Role("house", "houses", (scope.item,)))
            yield Proof(board.grid, (Inference(argument, (), (candidate,)),), Pattern(HIDDEN, roles))


def _naked_singles(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield each open cell with exactly one candidate, in reading order.

    The argument is the constraint "a digit in this cell" as the only base.
    """
    layout = board.layout
    for cell in bits(board.single_cells):
        candidate = (board.open & layout.masks[cell]).bit_length() - 1
        argument = Counting(((layout.cell_constraint(cell), 1),), ())
        pattern = Pattern(NAKED, (Role("placed", "candidates", (candidate,)),))
        yield Proof(board.grid, (Inference(argument, (), (candidate,)),), pattern)


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
        placed = Role("placed", "candidates", inference.true)
        yield Pattern(HIDDEN, (placed, Role("house", "houses", (shape.base_houses[0][0],))))


def _read_naked(_: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    if len(inference.true) == 1 and len(shape.base_cells) == 1 == shape.parts:
        yield Pattern(NAKED, (Role("placed", "candidates", inference.true),))


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
        (HIDDEN,),
        by_house,
        _hidden_singles,
        _hidden_fault,
        roles={"placed": "pattern", "house": "base"},
        reads=Reading(_read_hidden, settles=True),
        why_not=_why_not,
    ),
    Family(
        (NAKED,),
        everywhere,
        _naked_singles,
        _naked_fault,
        roles={"placed": "pattern"},
        reads=Reading(_read_naked, settles=True),
        why_not=_why_not,
    ),
)
