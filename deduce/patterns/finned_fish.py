"""Finned and sashimi fish of two to four lines.

Roles
-----
finned X-wing, sashimi X-wing and so on
    ``digit`` (digits), ``base lines``, ``cover lines`` (houses), ``region`` (houses, one, that of the fins),
    ``corners`` (candidates: places of the base lines in the cover lines), ``fins`` (candidates: the other places of the
    base lines).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import partial

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import Family
from deduce.patterns.fish import SIZES, read_lines
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.positions import apart, bits, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "KINDS"]

KINDS = {f"{kind} {name}": (kind, size) for name, size in SIZES.items() for kind in ("finned", "sashimi")}
_CROSS = {"row": "column", "column": "row"}


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
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


_Lines = tuple[tuple[int, ...], tuple[int, ...], int]


def _all(board: Board, digit: int, size: int) -> list[tuple[str, _Lines]]:
    """Return the kind, base lines, cover lines and region of each fish with fins of one size."""
    layout, plane = board.layout, board.planes[digit]
    masks, houses = layout.house_masks, layout.houses
    regions = [h for h, house in enumerate(houses) if house.kind not in _CROSS and plane & masks[h]]
    found: list[tuple[str, _Lines]] = []
    for kind, cross in _CROSS.items():
        lines = [h for h, house in enumerate(houses) if house.kind == kind and (plane & masks[h]).bit_count() >= 2]
        crossing = [h for h, house in enumerate(houses) if house.kind == cross]

        def crossed(cells: int, crossing: list[int] = crossing) -> int:
            return sum(1 << h for h in crossing if cells & masks[h])

        whole = [(line, crossed(plane & masks[line])) for line in lines]
        for region in regions:
            through = [line for line in lines if plane & masks[line] & masks[region]]
            first = [(line, crossed(plane & masks[line] & ~masks[region])) for line in through]
            rest = [item for item in whole if item[0] not in through and item[1].bit_count() <= size]
            for chosen, union in _sets(first, rest, size):
                lines_ = (tuple(sorted(chosen)), tuple(bits(union)), region)
                what = _kind(board, digit, *lines_)
                if what:
                    found.append((what, lines_))
    return sorted(found, key=lambda item: item[1])


def _sets(
    first: list[tuple[int, int]], rest: list[tuple[int, int]], size: int
) -> Iterator[tuple[tuple[int, ...], int]]:
    """Yield each choice of `size` items, one at least of the first, whose bitsets have a union of just as many bits."""
    items = first + rest

    def extend(start: int, stop: int, chosen: tuple[int, ...], union: int) -> Iterator[tuple[tuple[int, ...], int]]:
        for i in range(start, stop):
            line, mask = items[i]
            joined = union | mask
            if joined.bit_count() <= size:
                if len(chosen) + 1 < size:
                    yield from extend(i + 1, len(items), (*chosen, line), joined)
                elif joined.bit_count() == size:
                    yield (*chosen, line), joined

    yield from extend(0, len(first), (), 0)


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
    fewest = min((plane & masks[h] & cover).bit_count() for h in bases)
    return None if fewest == 0 else "sashimi" if fewest == 1 else "finned"


def _proof(board: Board, name: str, digit: int, found: _Lines) -> Proof:
    """Build the proof from its roles: the base lines are bases, the cover lines and the region of the fins are covers.

    A fin is covered by the region, a corner by its cover line, and what lies in both weighs two against a slack of one.
    """
    layout = board.layout
    bases, covers, region = found
    plane, masks = board.planes[digit], layout.house_masks
    base, cover = united(masks[h] for h in bases), united(masks[h] for h in covers)
    roles = (
        Role("digit", "digits", (digit,)),
        Role("base lines", "houses", bases),
        Role("cover lines", "houses", covers),
        Role("region", "houses", (region,)),
        Role("corners", "candidates", tuple(bits(board.shift(digit, plane & base & cover)))),
        Role("fins", "candidates", tuple(bits(board.shift(digit, plane & base & ~cover)))),
    )
    argument = Counting(
        tuple((layout.house_constraint(h, digit), 1) for h in bases),
        tuple((layout.house_constraint(h, digit), 1) for h in (*covers, region)),
    )
    gone = tuple(bits(board.shift(digit, plane & cover & masks[region] & ~base)))
    return Proof(board.grid, (Inference(argument, gone),), Pattern(name, roles))


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (digit,), (region,) = pattern.role("digit"), pattern.role("region")
    bases, covers = pattern.role("base lines"), pattern.role("cover lines")
    kind, size = KINDS[pattern.name]
    houses = layout.houses
    if len(set(bases)) != size or len(set(covers)) != size or len(bases) != size or len(covers) != size:
        return f"it needs {size} lines and {size} cross lines"
    kinds = {houses[h].kind for h in bases}, {houses[h].kind for h in covers}
    if kinds not in (({"row"}, {"column"}), ({"column"}, {"row"})) or houses[region].kind in _CROSS:
        return "the lines are not parallel, the cross lines do not cross them, or the region is a line"
    across = [grid.live & ~grid.true & layout.masks[layout.house_constraint(h, digit)] for h in covers]
    inside = united(across)
    block = layout.masks[layout.house_constraint(region, digit)]
    places = [grid.live & ~grid.true & layout.masks[layout.house_constraint(h, digit)] for h in bases]
    if not apart(places) or not apart(across):
        return "two of the base lines, or two of the cover lines, share a place of the digit"
    together = united(places)
    told = pattern.role("corners"), pattern.role("fins")
    if told != (tuple(bits(together & inside)), tuple(bits(together & ~inside))):
        return "the corners and fins are not the places of the base lines"
    if not together & ~inside or together & ~inside & ~block:
        return "there is no fin, or one outside the region"
    if any(not together & ~block & layout.masks[layout.house_constraint(h, digit)] for h in covers):
        return "a cover line has no place of a base line outside the region"
    if min(mask.bit_count() for mask in places) < 2:
        return "a base line has fewer than two places"
    fewest = min((mask & inside).bit_count() for mask in places)
    actual = (None, "sashimi", "finned")[min(fewest, 2)]
    return None if kind == actual else "it is the other kind, or a line has only fins"


def _read(grid: Grid, _: Inference, shape: SumShape) -> Iterable[Pattern]:
    found = read_lines(grid, shape)
    if found is not None and found[1]:
        (*lines, corners), region, fins = found
        roles = (*lines, Role("region", "houses", region), corners, Role("fins", "candidates", fins))
        yield from (Pattern(name, roles) for name, (_, size) in KINDS.items() if size == len(shape.base_houses))


FINDERS = tuple(
    Family(
        (name,),
        by_digit,
        _search,
        _fault,
        roles={
            "digit": "",
            "base lines": "base",
            "cover lines": "cover",
            "region": "cover",
            "corners": "pattern",
            "fins": "fin",
        },
        reads=ShapeReading(_read),
    )
    for name in KINDS
)
