"""Empty rectangle: a region whose places for a digit lie in a row and a column, and a line with two places.

Roles
-----
empty rectangle
    ``digit`` (digits), ``region`` (houses, one), ``arms`` (houses, two: the one towards what falls, then the one that
    meets the line), ``line`` (houses, one).  The chain has four nodes: the two arms in the region, the two places in
    the line.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache
from itertools import product

from deduce.links.sets import Shape
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.chain_fault import both_ways, chain_family, houses_of_link, node_digits
from deduce.patterns.chains import chain_proof
from deduce.positions import bits, bitset
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["EMPTY_RECTANGLE", "FINDERS"]

EMPTY_RECTANGLE = "empty rectangle"
_CROSS = {"row": "column", "column": "row"}


def _search(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield a region whose places for a digit, three or more, lie in a row and a column, and a line with two places.

    Neither arm has all the places (one where the arms cross counts for the first).  One place of the line lies in the
    second arm outside the region, the other one in neither.  If the digit is not in the first arm of the region it is
    in the second, which pushes it to the other end of the line: so what sees all of the first arm in the region and
    that end loses the digit.
    """
    layout, digit = board.layout, scope.item
    plane, masks, houses = board.planes[digit], layout.house_masks, layout.houses
    pairs = [item for item in board.two_places(digit) if houses[item[0]].kind in _CROSS]
    if not pairs:
        return
    for region, house in enumerate(houses):
        inside = plane & masks[region]
        if house.kind in _CROSS or inside.bit_count() < 3:
            continue
        for first, second, near, far in _arms(board, region, inside):
            for line, *ends in pairs:
                for foot, end in (ends, ends[::-1]):
                    if not (masks[second] & ~masks[region]) >> foot & 1 or inside >> end & 1:
                        continue
                    if (masks[first] | masks[second]) >> end & 1 or line in (first, second):
                        continue
                    parts = [board.shift(digit, part) for part in (near, far, 1 << foot, 1 << end)]
                    if not board.conflicts(parts[0]) & board.conflicts(parts[3]):
                        continue
                    roles = _roles(digit, region, (first, second), line)
                    yield chain_proof(board.grid, EMPTY_RECTANGLE, [tuple(bits(part)) for part in parts], roles)


@lru_cache(maxsize=1 << 12)
def _lines(shape: Shape, region: int) -> tuple[int, ...]:
    """Return the rows and columns that run through a region."""
    layout = shape.layout
    through = {h for cell in layout.houses[region].cells for h in layout.houses_of[cell]}
    return tuple(sorted(h for h in through if layout.houses[h].kind in _CROSS))


def _arms(board: Board, region: int, inside: int) -> Iterator[tuple[int, int, int, int]]:
    """Yield each row and column, in either order, that between them have these cells, and which of them each has.

    One where they cross counts for the first; each has one that the other lacks.
    """
    layout, masks = board.layout, board.layout.house_masks
    for first in _lines(board.shape, region):
        near, far = inside & masks[first], inside & ~masks[first]
        cross = _CROSS[layout.houses[first].kind]
        for second in layout.houses_of[far.bit_length() - 1] if near and far else ():
            if layout.houses[second].kind == cross and not far & ~masks[second] and near & ~masks[second]:
                yield first, second, near, far


def _roles(digit: int, region: int, arms: tuple[int, int], line: int) -> tuple[Role, ...]:
    where = Role("region", "houses", (region,)), Role("arms", "houses", arms), Role("line", "houses", (line,))
    return Role("digit", "digits", (digit,)), *where


def _of_chain(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    layout, digits = grid.layout, node_digits(grid, chain)
    masks, kinds = layout.house_masks, [house.kind for house in layout.houses]
    if chain.loop or len(digits) != 4 or len({*digits}) > 1:
        return
    for way in both_ways(chain):
        near, far, foot, end = (bitset(c % layout.cells for c in node) for node in way.nodes)
        arms = layout.houses_of[way.nodes[0][0] % layout.cells]
        links = (houses_of_link(grid, link) for link in way.links)
        for region, second, line, first in product(*links, arms):
            if kinds[region] in _CROSS or _CROSS.get(kinds[first]) != kinds[second] or kinds[line] not in _CROSS:
                continue
            meet = not near & ~masks[first] and not far & masks[first] and near & ~masks[second]
            aside = masks[first] | masks[second] | masks[region]
            if meet and (near | far).bit_count() > 2 and not foot & masks[region] and not end & aside:
                yield Pattern(EMPTY_RECTANGLE, _roles(digits[0], region, (first, second), line), way)


FINDERS = (
    chain_family(
        (EMPTY_RECTANGLE,),
        by_digit,
        _search,
        _of_chain,
        {"digit": "", "region": "base", "arms": "cover", "line": "base"},
    ),
)
