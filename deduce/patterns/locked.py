"""Locked candidates: all places of a digit in one house lie in another one."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import permutations

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.finder import Family, counted
from deduce.patterns.shape import Reading, SumShape
from deduce.patterns.why_not import Fault, Named, easiest, extra_places
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["CLAIMING", "FINDERS", "POINTING"]

POINTING = "locked candidates, pointing"
CLAIMING = "locked candidates, claiming"
_LINES = ("row", "column")


def _name(layout: Layout, base: int, cover: int) -> str:
    """Pointing leads from a region to a row or column; everything else is claiming."""
    pointing = layout.houses[base].kind not in _LINES and layout.houses[cover].kind in _LINES
    return POINTING if pointing else CLAIMING


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each pair of houses such that a digit's places in the base, two or more, all lie in the cover.

    The digit falls from the rest of the cover.  The argument has the base house as base and the cover house as cover.
    """
    layout, digit = board.layout, scope.item
    plane = board.planes[digit]
    masks = layout.house_masks
    for base, mask in enumerate(masks):
        here = plane & mask
        if not here & (here - 1):
            continue
        for cover in layout.houses_of[here.bit_length() - 1]:
            if cover != base and not here & ~masks[cover] and plane & masks[cover] & ~here:
                name = _name(layout, base, cover)
                if name in names:
                    yield _proof(board, name, digit, base, cover, here)


def _proof(board: Board, name: str, digit: int, base: int, cover: int, cells: int) -> Proof:
    """Build the proof from its roles."""
    layout = board.layout
    roles = (
        Role("digit", "digits", (digit,)),
        Role("base", "houses", (base,)),
        Role("cover", "houses", (cover,)),
        Role("locked", "candidates", tuple(bits(board.shift(digit, cells)))),
    )
    argument = Counting(
        ((layout.house_constraint(base, digit), 1),),
        ((layout.house_constraint(cover, digit), 1),),
    )
    return counted(board.grid, Pattern(name, roles), argument)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (digit,), (base,), (cover,) = pattern.role("digit"), pattern.role("base"), pattern.role("cover")
    if _name(layout, base, cover) != pattern.name:
        return f"{layout.houses[base].name} and {layout.houses[cover].name} make the other kind of locked candidates"
    places = grid.live & layout.masks[layout.house_constraint(base, digit)]
    if tuple(bits(places)) != pattern.role("locked") or places.bit_count() < 2:
        return f"the digit has other places in {layout.houses[base].name}"
    if places & ~layout.masks[layout.house_constraint(cover, digit)]:
        return f"the digit also has a place outside {layout.houses[cover].name}"
    return None


def _read(grid: Grid, _: Inference, shape: SumShape) -> Iterable[Pattern]:
    if shape.base_cells or shape.cover_cells or len(shape.base_houses) != 1 or len(shape.cover_houses) != 1:
        return
    ((base, digit),), ((cover, other),) = shape.base_houses, shape.cover_houses
    if digit == other:
        here = grid.live & grid.layout.masks[grid.layout.house_constraint(base, digit)]
        roles = (
            Role("digit", "digits", (digit,)),
            Role("base", "houses", (base,)),
            Role("cover", "houses", (cover,)),
            Role("locked", "candidates", tuple(bits(here))),
        )
        yield Pattern(_name(grid.layout, base, cover), roles)


def _why_not(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at a house whose places for a digit should lie in another one."""
    layout = grid.layout
    if len(named.digits) != 1 or not named.houses:
        return None
    (digit,) = named.digits
    readings = []
    for base, cover in permutations(range(len(layout.houses)), 2):
        named_ones = {*named.houses} <= {base, cover} and (len(named.houses) == 2 or base in named.houses)
        if not named_ones or _name(layout, base, cover) != name:
            continue
        places = grid.live & layout.masks[layout.house_constraint(base, digit)]
        allowed = layout.masks[layout.house_constraint(cover, digit)]
        if (places & allowed).bit_count() > 1:
            readings.append(extra_places(grid, name, [(layout.house_constraint(base, digit), allowed)]))
    return easiest(readings)


FINDERS = tuple(
    Family(
        (name,),
        by_digit,
        _search,
        _fault,
        roles={"digit": "", "base": "base", "cover": "cover", "locked": "pattern"},
        reads=Reading(_read, settles=True),
        why_not=_why_not,
        aliases=("locked candidates", "locked candidate", verb, f"{verb} pair", f"{verb} triple"),
    )
    for name, verb in ((POINTING, "pointing"), (CLAIMING, "claiming"))
)
