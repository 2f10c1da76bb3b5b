"""Basic fish: k parallel lines whose places for one digit lie in k cross lines."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from deduce.kernel import Counting, bits
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import Finder, counted
from deduce.patterns.subsets import closed_sets
from deduce.positions import apart, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "SIZES"]

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


FINDERS = {name: Finder((name,), by_digit, _search, _fault) for name in SIZES}
