"""Basic fish: k parallel lines whose places for one digit lie in k cross lines."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import combinations

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import Family, counted
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.subsets import closed_sets
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_places
from deduce.positions import apart, bits, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "SIZES", "read_lines"]

SIZES = {"X-wing": 2, "swordfish": 3, "jellyfish": 4}
_CROSS = {"row": "column", "column": "row"}


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each set of k parallel lines, two or more places of the digit in each, that share k cross lines.

    The digit falls from the rest of the cross lines.  The argument has the base lines as bases and the cross lines as
    covers.  No two lines of a kind share a place of the digit, as those of grids that overlap may do, and each place
    has a cross line.
    """
    layout, digit = board.layout, scope.item
    plane = board.planes[digit]
    masks = layout.house_masks
    for name in names:
        size = SIZES[name]
        for kind, cross in _CROSS.items():
            lines = [h for h, house in enumerate(layout.houses) if house.kind == kind and plane & masks[h]]
            crossing = [h for h, house in enumerate(layout.houses) if house.kind == cross]
            crossed = united(masks[h] for h in crossing)
            items = []
            for line in lines:
                here = plane & masks[line]
                if 2 <= here.bit_count() <= size and not here & ~crossed:
                    items.append((line, sum(1 << h for h in crossing if here & masks[h])))
            for bases, union in closed_sets(items, size):
                covers = tuple(bits(union))
                inside = united(masks[h] for h in bases)
                if not apart(plane & masks[h] for h in bases) or not apart(plane & masks[h] for h in covers):
                    continue
                if any(plane & masks[h] & ~inside for h in covers):
                    yield _proof(board, name, digit, bases, covers)


def _proof(board: Board, name: str, digit: int, bases: tuple[int, ...], covers: tuple[int, ...]) -> Proof:
    """Build the proof from its roles."""
    layout = board.layout
    corners = board.planes[digit] & united(layout.house_masks[h] for h in bases)
    roles = (
        Role("digit", "digits", (digit,)),
        Role("base lines", "houses", bases),
        Role("cover lines", "houses", covers),
        Role("corners", "candidates", tuple(bits(board.shift(digit, corners)))),
    )
    argument = Counting(
        tuple((layout.house_constraint(h, digit), 1) for h in bases),
        tuple((layout.house_constraint(h, digit), 1) for h in covers),
    )
    return counted(board.grid, Pattern(name, roles), argument)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (digit,), bases, covers = pattern.role("digit"), pattern.role("base lines"), pattern.role("cover lines")
    size = SIZES[pattern.name]
    if len(set(bases)) != size or len(set(covers)) != size:
        return f"{pattern.name} needs {size} lines and {size} cross lines"
    kinds = {layout.houses[h].kind for h in bases}, {layout.houses[h].kind for h in covers}
    if kinds not in (({"row"}, {"column"}), ({"column"}, {"row"})):
        return "the lines are not parallel, or the cross lines do not cross them"
    places_of = {h: grid.live & layout.masks[layout.house_constraint(h, digit)] for h in (*bases, *covers)}
    if not apart(places_of[h] for h in bases) or not apart(places_of[h] for h in covers):
        return "two of the lines, or two of the cross lines, share a place of the digit"
    inside = united(places_of[h] for h in covers)
    corners = 0
    for h in bases:
        places = places_of[h]
        if places & ~inside:
            return f"the digit also has a place in {layout.houses[h].name} outside the cross lines"
        corners |= places
    if tuple(bits(corners)) != pattern.role("corners"):
        return "the corners are not the places of the digit in the base lines"
    return None


def read_lines(grid: Grid, shape: SumShape) -> tuple[tuple[Role, ...], tuple[int, ...], tuple[int, ...]] | None:
    """Read bases and covers on one digit as as many lines and cross lines, with one further region at most.

    Returns
    -------
    tuple, optional
        The roles of the digit, of the lines, and of the corners; the region, if there is one; and the places of the
        base lines outside the cross lines.  None if there is anything else.
    """
    layout = grid.layout
    digits = {digit for _, digit in (*shape.base_houses, *shape.cover_houses)}
    if shape.base_cells or shape.cover_cells or len(digits) != 1:
        return None
    (digit,) = digits
    lines = tuple(house for house, _ in shape.base_houses)
    regions = tuple(h for h, _ in shape.cover_houses if layout.houses[h].kind not in _CROSS)
    across = tuple(house for house, _ in shape.cover_houses if house not in regions)
    if len(lines) != len(across) or len(regions) > 1:
        return None
    inside = united(layout.masks[layout.house_constraint(h, digit)] for h in across)
    plane = grid.live & ~grid.true
    places = sorted(c for h in lines for c in bits(plane & layout.masks[layout.house_constraint(h, digit)]))
    roles = (
        Role("digit", "digits", (digit,)),
        Role("base lines", "houses", lines),
        Role("cover lines", "houses", across),
        Role("corners", "candidates", tuple(c for c in places if inside >> c & 1)),
    )
    return roles, regions, tuple(c for c in places if not inside >> c & 1)


def _read(grid: Grid, _: Inference, shape: SumShape) -> Iterable[Pattern]:
    found = read_lines(grid, shape)
    if found is not None and not found[1]:
        yield from (Pattern(name, found[0]) for name, size in SIZES.items() if size == len(shape.base_houses))


def _why_not(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at parallel lines whose places for a digit should lie in as many cross lines."""
    layout, size = grid.layout, SIZES[name]
    if len(named.digits) != 1:
        return None
    (digit,) = named.digits
    readings = []
    for kind, cross in _CROSS.items():
        lines = [h for h in named.houses if layout.houses[h].kind == kind]
        given = [h for h in named.houses if layout.houses[h].kind == cross]
        if not lines:
            continue
        if len(lines) != size:
            readings.append(Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, houses=tuple(lines)))
            continue
        across = [h for h, house in enumerate(layout.houses) if house.kind == cross]
        choices: Iterable[Sequence[int]] = [given] if len(given) == size else combinations(across, size)
        constraints = [layout.house_constraint(h, digit) for h in lines]
        for covers in choices:
            allowed = united(layout.masks[layout.house_constraint(h, digit)] for h in covers)
            readings.append(extra_places(grid, name, [(number, allowed) for number in constraints]))
    right = [fault for fault in readings if fault.kind is not FaultKind.WRONG_SIZE]
    return easiest(right or readings)


FINDERS = tuple(
    Family(
        (name,),
        by_digit,
        _search,
        _fault,
        roles={"digit": "", "base lines": "base", "cover lines": "cover", "corners": "pattern"},
        reads=ShapeReading(_read),
        why_not=_why_not,
    )
    for name in SIZES
)
