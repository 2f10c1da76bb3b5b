"""XY-wing, XYZ-wing and W-wing: two cells with two candidates each, held together by a third place."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import reduce
from itertools import combinations, permutations
from operator import and_

from deduce.kernel import Counting, Inference
from deduce.links.sets import houses_holding
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.chain_fault import chain_family, houses_of_link, node_digits
from deduce.patterns.chains import chain_proof
from deduce.patterns.finder import Family
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_digits, notes_of, sees
from deduce.positions import bits, bitset, united
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "W_WING", "XYZ_WING", "XY_WING", "wing_proof"]

XY_WING = "XY-wing"
XYZ_WING = "XYZ-wing"
W_WING = "W-wing"


def _pincers(board: Board, pivot: int) -> Iterator[tuple[int, int, int]]:
    """Yield pairs of two-candidate cells that see a pivot and share one digit: first, second, the shared digit."""
    near = [cell for cell in board.pairs if board.layout.neighbours[pivot] >> cell & 1]
    for first, second in combinations(near, 2):
        common = board.digits[first] & board.digits[second]
        if common.bit_count() == 1:
            yield first, second, common.bit_length() - 1


def _xy_wings(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield a pivot with two digits x and y, and two pincers x-z and y-z that see it.

    What sees both pincers loses z.  Written as a chain: z = x in one pincer, x - x, x = y in the pivot, y - y, y = z.
    """
    layout = board.layout
    for pivot in board.pairs:
        for first, second, z in _pincers(board, pivot):
            others = (board.digits[first] | board.digits[second]) & ~(1 << z)
            if others != board.digits[pivot] or not board.planes[z] & board.seeing(first, second):
                continue
            x = (board.digits[first] & ~(1 << z)).bit_length() - 1
            y = (board.digits[second] & ~(1 << z)).bit_length() - 1
            places = ((z, first), (x, first), (x, pivot), (y, pivot), (y, second), (z, second))
            nodes = [layout.number(digit, cell) for digit, cell in places]
            yield chain_proof(board.grid, XY_WING, nodes, _pivot_roles(pivot, (first, second), z))


def _pivot_roles(pivot: int, pincers: tuple[int, int], digit: int) -> tuple[Role, ...]:
    """Return the roles that the two wings with a pivot share."""
    return (Role("pivot", "cells", (pivot,)), Role("pincers", "cells", pincers), Role("digit", "digits", (digit,)))


def _xyz_wings(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield a pivot with three digits x, y and z, and two pincers x-z and y-z that see it.

    What sees z in all three cells loses z.  The argument has the three cells as bases; covers are x and y where a
    pincer meets the pivot, and z in two houses that hold the victims, between them all three cells.
    """
    for pivot in (cell for cell, digits in enumerate(board.digits) if digits.bit_count() == 3):
        for first, second, z in _pincers(board, pivot):
            if board.digits[first] | board.digits[second] != board.digits[pivot]:
                continue
            if board.planes[z] & board.seeing(pivot, first, second):
                roles = _pivot_roles(pivot, (first, second), z)
                yield wing_proof(board, XYZ_WING, roles, (pivot, first, second), z)


def wing_proof(board: Board, name: str, roles: tuple[Role, ...], cells: Sequence[int], z: int) -> Proof:
    """Return the proof of as many cells as digits, all digits but z with their places in one house each.

    The cells are bases; covers are the other digits in the first house that holds them, and z in the fewest houses
    through which a victim sees all its places: one argument for each choice of such houses.
    """
    layout, planes, inside = board.layout, board.planes, bitset(cells)
    digits = bits(united(board.digits[cell] for cell in cells) & ~(1 << z))
    joints = [layout.house_constraint(houses_holding(board.shape, planes[d] & inside)[0], d) for d in digits]
    spots = bits(planes[z] & inside)
    inferences = []
    left = planes[z] & board.seeing(*spots)
    while left:
        houses = _fewest_houses(layout, left.bit_length() - 1, tuple(spots))
        covers = sorted((*joints, *(layout.house_constraint(h, z) for h in houses)))
        argument = Counting(tuple((cell, 1) for cell in sorted(cells)), tuple((number, 1) for number in covers))
        fallen = reduce(and_, (layout.house_masks[h] for h in houses), left)
        inferences.append(Inference(argument, tuple(bits(board.shift(z, fallen)))))
        left &= ~fallen
    return Proof(board.grid, tuple(inferences), Pattern(name, roles))


def _fewest_houses(layout: Layout, cell: int, others: tuple[int, ...]) -> tuple[int, ...]:
    """Return the fewest houses of a cell through which it sees all the others."""
    for size in range(1, len(others) + 1):
        for houses in combinations(layout.houses_of[cell], size):
            if all(any(layout.house_masks[h] >> other & 1 for h in houses) for other in others):
                return houses
    raise ValueError(f"{layout.cell_name(cell)} does not see all of {others}")


def _w_wings(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield two cells with the same digits z and w that share no house, and a house that has w in two places only.

    Neither place is one of the two cells, one sees the first cell and the other the second.  What sees both cells
    loses z.  Written as a chain: z = w in one cell, w - w, w = w across the house, w - w, w = z in the other cell.
    """
    layout = board.layout
    for first, second in combinations(board.pairs, 2):
        digits = board.digits[first]
        if digits != board.digits[second] or layout.neighbours[first] >> second & 1:
            continue
        for w in bits(digits):
            z = (digits & ~(1 << w)).bit_length() - 1
            if not board.planes[z] & board.seeing(first, second):
                continue
            for house, *feet in board.two_places(w):
                if {first, second} & {*feet}:
                    continue
                # Where both places see both cells, either order of them is the same wing.
                for near, far in (feet, feet[::-1]):
                    if layout.neighbours[first] >> near & layout.neighbours[second] >> far & 1:
                        roles = _bridge_roles((first, second), house, z)
                        places = ((z, first), (w, first), (w, near), (w, far), (w, second), (z, second))
                        nodes = [layout.number(digit, cell) for digit, cell in places]
                        yield chain_proof(board.grid, W_WING, nodes, roles)
                        break


def _xyz_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (pivot,), pincers, (z,) = pattern.role("pivot"), pattern.role("pincers"), pattern.role("digit")
    if len(pincers) != 2 or not all(sees(layout, pivot, cell) for cell in pincers):
        return "a pincer does not see the pivot"
    one, other = (notes_of(grid, cell) for cell in pincers)
    if len(one) != 2 or len(other) != 2 or one & other != {z}:
        return "the pincers are not two cells of two candidates with just the digit in common"
    return None if notes_of(grid, pivot) == one | other else "the pivot does not hold the digits that it needs"


def _bridge_roles(pincers: tuple[int, int], house: int, digit: int) -> tuple[Role, ...]:
    where = Role("pincers", "cells", pincers), Role("bridge", "houses", (house,))
    return *where, Role("digit", "digits", (digit,))


def _read(grid: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    cells = shape.base_cells
    if shape.base_houses or shape.cover_cells or len(cells) != 3:
        return
    digits = set().union(*(notes_of(grid, cell) for cell in cells))
    falling = {c // grid.layout.cells + 1 for c in inference.false}
    for pivot in cells if len(digits) == 3 and len(falling) == 1 else ():
        pincers = Role("pincers", "cells", tuple(cell for cell in cells if cell != pivot))
        yield Pattern(XYZ_WING, (Role("pivot", "cells", (pivot,)), pincers, Role("digit", "digits", tuple(falling))))


def _of_chain(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    layout, digits = grid.layout, node_digits(grid, chain)
    cells = [node[0] % layout.cells for node in chain.nodes]
    if chain.loop or len(cells) != 6 or cells[0] != cells[1] or cells[4] != cells[5] or max(map(len, chain.nodes)) > 1:
        return
    first, second, (z, x, near, far, y, last) = cells[0], cells[5], digits
    if z != last or x != near or far != y or any(len(notes_of(grid, cell)) != 2 for cell in (first, second)):
        return
    pivot = cells[2]
    bends = cells[3] == pivot and len(notes_of(grid, pivot)) == 2
    if x != y and bends and sees(layout, pivot, first) and sees(layout, pivot, second):
        yield Pattern(XY_WING, _pivot_roles(pivot, (first, second), z), chain)
    if x == y and first != second and not sees(layout, first, second):
        for house in houses_of_link(grid, chain.links[2]):
            yield Pattern(W_WING, _bridge_roles((first, second), house, z), chain)


_Plan = list[tuple[int, tuple[int, ...]]]


def _xy(layout: Layout, cells: tuple[int, ...], digits: tuple[int, ...], pivots: Iterable[int]) -> Iterator[_Plan]:
    """Yield what an XY-wing would have each cell hold."""
    for pivot in pivots:
        one, other = (cell for cell in cells if cell != pivot)
        if sees(layout, pivot, one) and sees(layout, pivot, other):
            for x, y, z in permutations(digits, 3):
                yield [(pivot, (x, y)), (one, (x, z)), (other, (y, z))]


def _xyz(layout: Layout, cells: tuple[int, ...], digits: tuple[int, ...], pivots: Iterable[int]) -> Iterator[_Plan]:
    """Yield what an XYZ-wing would have each cell hold."""
    for plan in _xy(layout, cells, digits, pivots):
        (pivot, (x, y)), (one, (_, z)), pincer = plan
        yield [(pivot, (x, y, z)), (one, (x, z)), pincer]


def _w(_: Layout, cells: tuple[int, ...], digits: tuple[int, ...], __: Iterable[int]) -> Iterator[_Plan]:
    """Yield what a W-wing would have its two pincers hold; its bridge is not looked at here."""
    for pair in combinations(digits, 2):
        yield [(cell, pair) for cell in cells]


_PLANS: dict[str, tuple[int, Callable[..., Iterator[_Plan]]]] = {
    XY_WING: (3, _xy),
    XYZ_WING: (3, _xyz),
    W_WING: (2, _w),
}


def _why_not(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at cells with two or three digits each that see one another in the right way."""
    layout, cells = grid.layout, named.cells
    size, plans = _PLANS[name]
    if not cells:
        return None
    if len(cells) != size:
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells)
    pivots = dict(named.labels).get("pivot", cells)
    held = sorted(set().union(*(notes_of(grid, cell) for cell in cells)))
    digits = named.digits if len(named.digits) >= (2 if name == W_WING else 3) else tuple(held)
    readings = [
        extra_digits(grid, name, plan)
        for plan in plans(layout, cells, digits, pivots)
        if all({*wanted} <= notes_of(grid, cell) for cell, wanted in plan)
    ]
    best = easiest(readings)
    if best is not None and not (name == W_WING and best.kind is FaultKind.NOTHING_FALLS):
        return best
    if name == W_WING or any(sum(sees(layout, p, c) for c in cells) == 2 for p in pivots):
        return None
    return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells)


_PIVOT = {"pivot": "pivot", "pincers": "pincer", "digit": ""}
_BRIDGE = {"pincers": "pincer", "bridge": "base", "digit": ""}

FINDERS = (
    chain_family((XY_WING,), everywhere, _xy_wings, _of_chain, _PIVOT, why_not=_why_not),
    chain_family((W_WING,), everywhere, _w_wings, _of_chain, _BRIDGE, why_not=_why_not),
    Family((XYZ_WING,), everywhere, _xyz_wings, _xyz_fault, roles=_PIVOT, reads=ShapeReading(_read), why_not=_why_not),
)
