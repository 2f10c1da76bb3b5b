"""Locked candidates: all places of a digit in one house lie in another one."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache
from itertools import permutations

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import Family, counted
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.why_not import Fault, Named, easiest, extra_places
from deduce.positions import bits, bitset
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["CLAIMING", "EARLIER", "FINDERS", "LOCKED", "POINTING"]

_SIZES = ("pair", "triple", "group")
POINTING = tuple(f"pointing {size}" for size in _SIZES)
CLAIMING = tuple(f"claiming {size}" for size in _SIZES)
LOCKED = (*POINTING, *CLAIMING)

EARLIER = {"locked candidates, pointing": POINTING, "locked candidates, claiming": CLAIMING}
"""What documents and people called them before the names told how many places there are."""

_LINES = ("row", "column")


@lru_cache(maxsize=64)
def _plain(layout: Layout) -> bool:
    """Whether there are only rows, columns and rectangles: what sees all places by several lies in the base itself."""
    for house in layout.houses:
        rows, columns = ({layout.places[cell][axis] for cell in house.cells} for axis in (0, 1))
        if len(rows) * len(columns) != len(house.cells) or house.grid:
            return False
    return not layout.rules


def _name(layout: Layout, base: int, cover: Collection[int], places: int) -> str:
    """Pointing leads from a region to a row or column, or to cells that no house holds with the places.

    Everything else is claiming.  The names tell two or three places; four or more are a group.
    """
    pointing = not cover or (layout.houses[base].kind not in _LINES and layout.houses[min(cover)].kind in _LINES)
    return (POINTING if pointing else CLAIMING)[min(places, 4) - 2]


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each house with two or more places of a digit, all of which lie in another house, or see some cells.

    The digit falls from the rest of the other house, and from what sees all the places otherwise, each by a house or
    rule of its own.  The argument has the base house as base, and as covers the other house, or what bars each place.
    """
    layout, digit = board.layout, scope.item
    plane = board.planes[digit]
    masks = layout.house_masks
    sight = not _plain(layout)
    for base, mask in enumerate(masks):
        here = plane & mask
        if not here & (here - 1):
            continue
        others = plane & ~mask
        for cover in layout.houses_of[here.bit_length() - 1]:
            if cover != base and not here & ~masks[cover] and plane & masks[cover] & ~here:
                others &= ~masks[cover]
                name = _name(layout, base, [cover], here.bit_count())
                if name in names:
                    argument = Counting(_side(layout, base, digit), _side(layout, cover, digit))
                    yield _proof(board, name, digit, base, [cover], here, [argument])
        name = _name(layout, base, (), here.bit_count())
        if sight and others and name in names:
            places = tuple(bits(board.shift(digit, here)))
            seeing = bits(_seeing(layout, places) & board.shift(digit, others))
            if seeing:
                yield _proof(board, name, digit, base, (), here, [_barred(layout, base, places, z) for z in seeing])


def _side(layout: Layout, house: int, digit: int) -> tuple[tuple[int, int], ...]:
    return ((layout.house_constraint(house, digit), 1),)


def _seeing(layout: Layout, places: Iterable[int]) -> int:
    """Return the candidates of the same digit that all of these bar."""
    found = -1
    for place in places:
        found &= layout.same_digit_peers[place]
    return found


def _barred(layout: Layout, base: int, places: Collection[int], candidate: int) -> Counting:
    """Return the argument that a candidate is false because it bars every place of its digit in a house."""
    masks, left = layout.model.masks, bitset(places)
    covers = []
    while left:
        best = max(layout.at_most_one[candidate], key=lambda number: ((masks[number] & left).bit_count(), -number))
        covers.append((best, 1))
        left &= ~masks[best]
    return Counting(_side(layout, base, candidate // layout.cells + 1), tuple(sorted(covers)))


def _roles(digit: int, base: int, cover: Collection[int], places: Iterable[int]) -> tuple[Role, ...]:
    across = (Role("cover", "houses", tuple(cover)),) if cover else ()
    locked = Role("locked", "candidates", tuple(places))
    return (Role("digit", "digits", (digit,)), Role("base", "houses", (base,)), *across, locked)


def _proof(
    board: Board, name: str, digit: int, base: int, cover: Collection[int], cells: int, sums: Iterable[Counting]
) -> Proof:
    """Build the proof from its roles."""
    roles = _roles(digit, base, cover, bits(board.shift(digit, cells)))
    return counted(board.grid, Pattern(name, roles), *sums)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (digit,), (base,), cover = pattern.role("digit"), pattern.role("base"), pattern.role("cover")
    places = grid.live & layout.masks[layout.house_constraint(base, digit)]
    name = _name(layout, base, cover, max(places.bit_count(), 2))
    if pattern.name != name and name not in EARLIER.get(pattern.name, ()):
        return f"{' and '.join(layout.houses[h].name for h in (base, *cover))} make a {name}"
    if tuple(bits(places)) != pattern.role("locked") or places.bit_count() < 2:
        return f"the digit has other places in {layout.houses[base].name}"
    if cover and places & ~layout.masks[layout.house_constraint(cover[0], digit)]:
        return f"the digit also has a place outside {layout.houses[cover[0]].name}"
    return None


def _read(grid: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    layout = grid.layout
    if shape.base_cells or shape.cover_cells or len(shape.base_houses) != 1 or not inference.false:
        return
    ((base, digit),) = shape.base_houses
    here = tuple(bits(grid.live & layout.masks[layout.house_constraint(base, digit)]))
    # All that is concluded sees all the places; where it shares a house with them, that one is the cover.
    alike = {candidate // layout.cells + 1 for candidate in inference.false} == {digit}
    if not alike or bitset(inference.false) & ~_seeing(layout, here) or len(here) < 2:
        return
    cells = {candidate % layout.cells for candidate in (*here, *inference.false)}
    cover = [h for h in layout.houses_of[min(cells)] if h != base and cells <= {*layout.houses[h].cells}][:1]
    yield Pattern(_name(layout, base, cover, len(here)), _roles(digit, base, cover, here))


def _why_not(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at a house whose places for a digit should lie in another one."""
    layout = grid.layout
    if len(named.digits) != 1 or not named.houses:
        return None
    (digit,) = named.digits
    readings = []
    for base, cover in permutations(range(len(layout.houses)), 2):
        named_ones = {*named.houses} <= {base, cover} and (len(named.houses) == 2 or base in named.houses)
        if not named_ones:
            continue
        places = grid.live & layout.masks[layout.house_constraint(base, digit)]
        allowed = layout.masks[layout.house_constraint(cover, digit)]
        locked = (places & allowed).bit_count()
        if locked > 1 and _name(layout, base, [cover], locked) == name:
            readings.append(extra_places(grid, name, [(layout.house_constraint(base, digit), allowed)]))
    return easiest(readings)


FINDERS = tuple(
    Family(
        names,
        by_digit,
        _search,
        _fault,
        roles={"digit": "", "base": "base", "cover": "cover", "locked": "pattern"},
        reads=ShapeReading(_read, settles=True, beyond=None),
        why_not=_why_not,
        aliases=("locked candidates", "locked candidate", verb, earlier),
    )
    for names, verb, earlier in zip((POINTING, CLAIMING), ("pointing", "claiming"), EARLIER, strict=True)
)
