"""Empty rectangle: a region whose places for a digit lie in a row and a column, and a line with two places.

Roles
-----
empty rectangle
    ``digit`` (digits), ``region`` (houses, one), ``arms`` (houses, two: the one towards what falls, then the one that
    meets the line), ``line`` (houses, one).  The chain has four nodes: the two arms in the region, the two places in
    the line.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache
from itertools import product

from deduce.links import Shape
from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.chain_fault import both_ways, chain_fault, houses_of_link
from deduce.patterns.chains import chain_proof
from deduce.patterns.finder import BY_CHAIN, Family
from deduce.positions import bits
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
                    roles = (
                        Role("digit", "digits", (digit,)),
                        Role("region", "houses", (region,)),
                        Role("arms", "houses", (first, second)),
                        Role("line", "houses", (line,)),
                    )
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


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    fault, chain, layout = chain_fault(grid, pattern), pattern.chain, grid.layout
    if fault or chain is None or chain.loop or len(chain.nodes) != 4:
        return fault or "the chain does not have four nodes"
    (digit,), (region,), (line,) = pattern.role("digit"), pattern.role("region"), pattern.role("line")
    first, second = pattern.role("arms")
    houses, masks = layout.houses, layout.house_masks
    if any(c // layout.cells + 1 != digit for node in chain.nodes for c in node):
        return "the chain leaves its digit"
    if houses[region].kind in _CROSS or _CROSS.get(houses[first].kind) != houses[second].kind:
        return "the arms are not a row and a column of a region"
    places = [sum(1 << c % layout.cells for c in node) for node in chain.nodes]
    inside = grid.live & layout.masks[layout.house_constraint(region, digit)]
    if inside.bit_count() < 3 or tuple(bits(inside)) != tuple(sorted((*chain.nodes[0], *chain.nodes[1]))):
        return "the region does not have three places or more, all in the arms"
    if places[0] & ~masks[first] or places[1] & ~(masks[second] & ~masks[first]) or not places[0] & ~masks[second]:
        return "an arm does not have the places that it should"
    aside = masks[first] | masks[second] | masks[region]
    if places[2] & masks[region] or places[2] & ~masks[second] or places[3] & aside:
        return "the line does not meet the second arm, or ends in an arm"
    if houses[line].kind not in _CROSS or layout.house_constraint(line, digit) not in chain.links[2].constraints:
        return "the two places are not alone in the line"
    return None


def _of_chain(grid: Grid, chain: Chain) -> Iterable[Pattern]:
    layout = grid.layout
    digits = {node[0] // layout.cells + 1 for node in chain.nodes}
    if chain.loop or len(chain.nodes) != 4 or len(digits) != 1 or all(len(node) == 1 for node in chain.nodes):
        return
    for way in both_ways(chain):
        houses = layout.houses_of[way.nodes[0][0] % layout.cells]
        arms = [h for h in houses if layout.houses[h].kind in _CROSS]
        for region, middle, line in product(*(houses_of_link(grid, link) for link in way.links)):
            for arm in arms:
                roles = (
                    Role("digit", "digits", tuple(digits)),
                    Role("region", "houses", (region,)),
                    Role("arms", "houses", (arm, middle)),
                    Role("line", "houses", (line,)),
                )
                yield Pattern(EMPTY_RECTANGLE, roles, way)


FINDERS = {
    EMPTY_RECTANGLE: Family(
        (EMPTY_RECTANGLE,),
        by_digit,
        _search,
        _fault,
        roles={"digit": "", "region": "base", "arms": "cover", "line": "base"},
        reads=BY_CHAIN,
        of_chain=_of_chain,
    )
}
