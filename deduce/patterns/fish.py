"""Fish: k parallel lines whose places for one digit lie in k cross lines, but for fins in one region.

Roles
-----
X-wing, swordfish, jellyfish
    ``digit`` (digits), ``base lines``, ``cover lines`` (houses), ``corners`` (candidates: places of the base lines in
    the cover lines).
finned X-wing, sashimi X-wing and so on
    Besides: ``region`` (houses, one, that of the fins), ``fins`` (candidates: the other places of the base lines).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import partial
from itertools import combinations

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import NOT_THERE, Family, counted
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.subsets import closed_sets
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_places
from deduce.positions import apart, bits, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "KINDS"]

SIZES = {"X-wing": 2, "swordfish": 3, "jellyfish": 4}
KINDS = {name: ("", size) for name, size in SIZES.items()} | {
    f"{kind} {name}": (kind, size) for name, size in SIZES.items() for kind in ("finned", "sashimi")
}
_CROSS = {"row": "column", "column": "row"}

_Lines = tuple[tuple[int, ...], tuple[int, ...], int | None]
"""Base lines, cover lines and the region of the fins."""


def _lines(board: Board, kind: str, plane: int) -> tuple[list[int], list[int]]:
    """Return the lines of a kind with two places or more, and all lines that cross them."""
    houses = [(h, house.kind) for h, house in enumerate(board.layout.houses)]
    masks = board.layout.house_masks
    lines = [h for h, its in houses if its == kind and (plane & masks[h]).bit_count() >= 2]
    return lines, [h for h, its in houses if its == _CROSS[kind]]


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each set of k parallel lines, two or more places of the digit in each, that share k cross lines.

    The digit falls from the rest of the cross lines.  The argument has the base lines as bases and the cross lines as
    covers.  No two lines of a kind share a place of the digit, as those of grids that overlap may do, and each place
    has a cross line.
    """
    digit = scope.item
    plane, masks = board.planes[digit], board.layout.house_masks
    for name in names:
        size = SIZES[name]
        for kind in _CROSS:
            lines, crossing = _lines(board, kind, plane)
            crossed = united(masks[h] for h in crossing)
            items = []
            for line in lines:
                here = plane & masks[line]
                if here.bit_count() <= size and not here & ~crossed:
                    items.append((line, sum(1 << h for h in crossing if here & masks[h])))
            for bases, union in closed_sets(items, size):
                covers = tuple(bits(union))
                inside = united(masks[h] for h in bases)
                if not apart(plane & masks[h] for h in bases) or not apart(plane & masks[h] for h in covers):
                    continue
                if any(plane & masks[h] & ~inside for h in covers):
                    yield _proof(board, name, digit, (bases, covers, None))


def _finned(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each set of k parallel lines whose places for a digit outside one region lie in exactly k cross lines.

    Places in the region outside these cross lines, one at least, are the fins; each base line has two places or more,
    at least one of them no fin.  If a fin is true, the digit falls from the rest of the region; if none is, the k base
    lines fill the k cross lines.  So either way it falls from where the cross lines run through the region, beside the
    base lines.  Finned: without the fins every base line has two places or more; sashimi: some base line has only one.
    """
    for name in names:
        wanted, size = KINDS[name]
        for kind, found in board.remember(("finned fish", scope.item, size), partial(_all, board, scope.item, size)):
            if kind == wanted:
                yield _proof(board, name, scope.item, found)


def _all(board: Board, digit: int, size: int) -> list[tuple[str, _Lines]]:
    """Return the kind, base lines, cover lines and region of each fish with fins of one size."""
    plane, masks = board.planes[digit], board.layout.house_masks
    regions = [h for h, house in enumerate(board.layout.houses) if house.kind not in _CROSS and plane & masks[h]]
    found: list[tuple[str, _Lines]] = []
    for kind in _CROSS:
        lines, crossing = _lines(board, kind, plane)

        def crossed(cells: int, crossing: list[int] = crossing) -> int:
            return sum(1 << h for h in crossing if cells & masks[h])

        whole = [(line, crossed(plane & masks[line])) for line in lines]
        for region in regions:
            through = [line for line in lines if plane & masks[line] & masks[region]]
            first = [(line, crossed(plane & masks[line] & ~masks[region])) for line in through]
            rest = [item for item in whole if item[0] not in through and item[1].bit_count() <= size]
            for chosen, union in closed_sets(first + rest, size, len(first)):
                lines_ = (tuple(sorted(chosen)), tuple(bits(union)), region)
                what = _kind(board, digit, *lines_)
                if what:
                    found.append((what, lines_))
    return sorted(found, key=lambda item: item[1])


def _kind(board: Board, digit: int, bases: tuple[int, ...], covers: tuple[int, ...], region: int) -> str | None:
    """Return whether lines with fins in a region are finned or sashimi; None if they are no fish or nothing falls."""
    plane, masks = board.planes[digit], board.layout.house_masks
    base, cover = united(masks[h] for h in bases), united(masks[h] for h in covers)
    if not apart(plane & masks[h] for h in bases) or not apart(plane & masks[h] for h in covers):
        # Lines of grids that overlap.
        return None
    fins = plane & base & ~cover
    if not fins or fins & ~masks[region] or not plane & cover & masks[region] & ~base:
        return None
    return _fins_make(plane & masks[h] & cover for h in bases)


def _fins_make(corners: Iterable[int]) -> str | None:
    """Return what fish with fins are called by the corners that each line has; None if a line has only fins."""
    return (None, "sashimi", "finned")[min(2, *(mask.bit_count() for mask in corners))]


def _roles(digit: int, lines: _Lines, corners: Iterable[int], fins: Iterable[int]) -> tuple[Role, ...]:
    bases, covers, region = lines
    found = (
        Role("digit", "digits", (digit,)),
        Role("base lines", "houses", bases),
        Role("cover lines", "houses", covers),
    )
    inside = Role("corners", "candidates", tuple(corners))
    if region is None:
        return *found, inside
    return *found, Role("region", "houses", (region,)), inside, Role("fins", "candidates", tuple(fins))


def _proof(board: Board, name: str, digit: int, lines: _Lines) -> Proof:
    """Build the proof from its roles: the base lines are bases, the cover lines and the region of the fins are covers.

    A fin is covered by the region, a corner by its cover line, and what lies in both weighs two against a slack of one.
    """
    layout, plane, masks = board.layout, board.planes[digit], board.layout.house_masks
    bases, covers, region = lines
    base, cover = united(masks[h] for h in bases), united(masks[h] for h in covers)
    corners, fins = (bits(board.shift(digit, plane & base & part)) for part in (cover, ~cover))
    argument = Counting(
        tuple((layout.house_constraint(h, digit), 1) for h in bases),
        tuple((layout.house_constraint(h, digit), 1) for h in (*covers, *([] if region is None else [region]))),
    )
    pattern = Pattern(name, _roles(digit, lines, corners, fins))
    if region is None:
        return counted(board.grid, pattern, argument)
    gone = tuple(bits(board.shift(digit, plane & cover & masks[region] & ~base)))
    return Proof(board.grid, (Inference(argument, gone),), pattern)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout, houses = grid.layout, grid.layout.houses
    (digit,), region = pattern.role("digit"), pattern.role("region")
    bases, covers = pattern.role("base lines"), pattern.role("cover lines")
    kind, size = KINDS[pattern.name]
    if not len({*bases}) == len(bases) == len({*covers}) == len(covers) == size or len(region) != bool(kind):
        return f"{pattern.name} needs {size} lines and {size} cross lines, and a region if it has fins"
    kinds = {houses[h].kind for h in bases}, {houses[h].kind for h in covers}
    if kinds not in (({"row"}, {"column"}), ({"column"}, {"row"})) or any(houses[h].kind in _CROSS for h in region):
        return "the lines are not parallel, the cross lines do not cross them, or the region is a line"
    places, across = (
        [grid.live & layout.masks[layout.house_constraint(h, digit)] for h in lines] for lines in (bases, covers)
    )
    if not apart(places) or not apart(across):
        return "two of the lines, or two of the cross lines, share a place of the digit"
    inside, together = united(across), united(places)
    fins = together & ~inside
    if (pattern.role("corners"), pattern.role("fins")) != (tuple(bits(together & inside)), tuple(bits(fins))):
        return "the corners and fins are not the places of the digit in the base lines"
    if not kind:
        return None
    block = layout.masks[layout.house_constraint(region[0], digit)]
    if not fins or fins & ~block:
        return "there is no fin, or one outside the region"
    if not all(together & ~block & mask for mask in across):
        return "a cover line has no place of a base line outside the region"
    if min(mask.bit_count() for mask in places) < 2:
        return "a base line has fewer than two places"
    return (
        None
        if kind == _fins_make(mask & inside for mask in places)
        else "it is the other kind, or a line has only fins"
    )


def _read(grid: Grid, _: Inference, shape: SumShape) -> Iterable[Pattern]:
    """Read bases and covers on one digit as as many lines and cross lines, with one further region at most."""
    layout = grid.layout
    digits = {digit for _, digit in (*shape.base_houses, *shape.cover_houses)}
    lines = tuple(house for house, _ in shape.base_houses)
    regions = [h for h, _ in shape.cover_houses if layout.houses[h].kind not in _CROSS]
    across = tuple(house for house, _ in shape.cover_houses if house not in regions)
    if shape.base_cells or shape.cover_cells or len(digits) != 1 or len(lines) != len(across) or len(regions) > 1:
        return
    (digit,) = digits
    masks = [[layout.masks[layout.house_constraint(h, digit)] for h in part] for part in (lines, across)]
    inside = united(masks[1])
    places = sorted(c for mask in masks[0] for c in bits(grid.live & ~grid.true & mask))
    corners, fins = ([c for c in places if (inside >> c & 1) == wanted] for wanted in (1, 0))
    roles = _roles(digit, (lines, across, next(iter(regions), None)), corners, fins)
    yield from (
        Pattern(name, roles)
        for name, (kind, size) in KINDS.items()
        if (bool(kind), size) == (bool(regions), len(lines))
    )


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


_ROLES = {"digit": "", "base lines": "base", "cover lines": "cover", "corners": "pattern"}

FINDERS = tuple(
    Family(
        (name,),
        by_digit,
        _finned if kind else _search,
        _fault,
        roles=_ROLES | ({"region": "cover", "fins": "fin"} if kind else {}),
        reads=ShapeReading(_read),
        why_not=NOT_THERE if kind else _why_not,
    )
    for name, (kind, _) in KINDS.items()
)
