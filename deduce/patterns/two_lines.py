"""Skyscraper and two-string kite: two lines that each hold a digit twice, joined at one end."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import combinations, product

from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.chain_fault import both_ways, houses_of_link, single_chain_fault
from deduce.patterns.chains import chain_proof
from deduce.patterns.finder import BY_CHAIN, Family
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_places, houses_around
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "KITE", "SKYSCRAPER"]

SKYSCRAPER = "skyscraper"
KITE = "two-string kite"
_CROSS = {"row": "column", "column": "row"}


def _skyscrapers(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield two parallel lines with two places each, one of each in a common cross line, the free ends in two others.

    What sees both free ends loses the digit.
    """
    layout, digit = board.layout, scope.item
    plane, houses = board.planes[digit], layout.houses
    lines = [item for item in board.two_places(digit) if houses[item[0]].kind in _CROSS]
    for (one, *ends), (other, *theirs) in combinations(lines, 2):
        if houses[one].kind != houses[other].kind:
            continue
        for near, free in (ends, ends[::-1]):
            for near2, free2 in (theirs, theirs[::-1]):
                kind = _CROSS[houses[one].kind]
                cross = _line_through(board, kind, near, near2)
                if cross is None or len({*ends, *theirs}) < 4 or _line_through(board, kind, free, free2) is not None:
                    continue
                if plane & board.seeing(free, free2):
                    roles = (
                        Role("digit", "digits", (digit,)),
                        Role("lines", "houses", (one, other)),
                        Role("cross line", "houses", (cross,)),
                    )
                    nodes = [layout.number(digit, cell) for cell in (free, near, near2, free2)]
                    yield chain_proof(board.grid, SKYSCRAPER, nodes, roles)


def _line_through(board: Board, kind: str, cell: int, other: int) -> int | None:
    """Return the first row or column that holds both cells; a cell may have none, or one in each of several grids."""
    layout = board.layout
    shared = (h for h in layout.houses_of[cell] if layout.house_masks[h] >> other & 1)
    return next((h for h in shared if layout.houses[h].kind == kind), None)


def _kites(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield a row and a column with two places each, four different cells, one of each in a common region.

    What sees both free ends loses the digit.
    """
    layout, digit = board.layout, scope.item
    plane, houses = board.planes[digit], layout.houses
    lines = board.two_places(digit)
    rows = [item for item in lines if houses[item[0]].kind == "row"]
    columns = [item for item in lines if houses[item[0]].kind == "column"]
    for row, *ends in rows:
        for column, *theirs in columns:
            if len({*ends, *theirs}) < 4:
                continue
            for near, free in (ends, ends[::-1]):
                for near2, free2 in (theirs, theirs[::-1]):
                    region = _region(board, near, near2)
                    if region is None or not plane & board.seeing(free, free2):
                        continue
                    roles = (
                        Role("digit", "digits", (digit,)),
                        Role("lines", "houses", (row, column)),
                        Role("region", "houses", (region,)),
                    )
                    nodes = [layout.number(digit, cell) for cell in (free, near, near2, free2)]
                    yield chain_proof(board.grid, KITE, nodes, roles)


def _region(board: Board, cell: int, other: int) -> int | None:
    """Return the first house that is neither row nor column and holds both cells."""
    layout = board.layout
    shared = (h for h in layout.houses_of[cell] if layout.house_masks[h] >> other & 1)
    return next((h for h in shared if layout.houses[h].kind not in _CROSS), None)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout, chain = grid.layout, pattern.chain
    fault = single_chain_fault(grid, pattern)
    if fault or chain is None:
        return fault or "there is no chain"
    (digit,) = pattern.role("digit")
    if len(chain.nodes) != 4 or any(c // layout.cells + 1 != digit for node in chain.nodes for c in node):
        return "the chain does not have four nodes of one digit"
    cells = [node[0] % layout.cells for node in chain.nodes]
    (one, other), joint = pattern.role("lines"), pattern.role("cross line") or pattern.role("region")
    masks, houses = layout.house_masks, layout.houses
    if not all(masks[h] >> cell & 1 for h, cell in zip((one, one, other, other), cells, strict=True)):
        return "the strong links do not lie in the two lines"
    if len(joint) != 1 or not all(masks[joint[0]] >> cell & 1 for cell in cells[1:3]):
        return f"{layout.cell_name(cells[1])} and {layout.cell_name(cells[2])} do not share that house"
    kinds = [houses[h].kind for h in (one, other, joint[0])]
    if pattern.name == SKYSCRAPER:
        if kinds not in (["row", "row", "column"], ["column", "column", "row"]) or one == other:
            return "the two lines are not parallel, or their joint is no cross line"
        if len(set(cells)) < 4:
            return "the two lines share a place of the digit"
        free = 1 << cells[0] | 1 << cells[3]
        if any(house.kind == kinds[2] and not free & ~mask for house, mask in zip(houses, masks, strict=True)):
            return "the free ends share a cross line as well"
    elif kinds[:2] != ["row", "column"] or kinds[2] in _CROSS or len(set(cells)) < 4:
        return "the lines are not a row and a column that meet in a region"
    return None


def _of_chain(grid: Grid, chain: Chain) -> Iterable[Pattern]:
    size = grid.layout.cells
    if chain.loop or len(chain.nodes) != 4 or any(len(node) > 1 for node in chain.nodes):
        return
    digits = {node[0] // size + 1 for node in chain.nodes}
    for way in both_ways(chain) if len(digits) == 1 else ():
        digit = Role("digit", "digits", tuple(digits))
        for line, middle, second in product(*(houses_of_link(grid, link) for link in way.links)):
            lines = Role("lines", "houses", (line, second))
            yield Pattern(SKYSCRAPER, (digit, lines, Role("cross line", "houses", (middle,))), way)
            yield Pattern(KITE, (digit, lines, Role("region", "houses", (middle,))), way)


def _why_not(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at two lines with two places each, one of each in a common cross line or region."""
    houses = grid.layout.houses
    lines = [h for h in named.houses if houses[h].kind in _CROSS]
    if len(named.digits) != 1 or len(lines) < 2:
        return None
    kite = name == KITE
    pairs = [pair for pair in combinations(lines, 2) if (houses[pair[0]].kind == houses[pair[1]].kind) != kite]
    if not pairs:
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=2, houses=tuple(lines))
    return easiest(_one_pair(grid, name, pair, named.digits[0]) for pair in pairs)


def _one_pair(grid: Grid, name: str, lines: tuple[int, int], digit: int) -> Fault:
    """Say what is wrong with two lines that should have two places each for a digit."""
    layout = grid.layout
    numbers = [layout.house_constraint(h, digit) for h in lines]
    places = [bits(grid.live & layout.masks[number]) for number in numbers]
    for number, found in zip(numbers, places, strict=True):
        if len(found) < 2:
            return Fault(FaultKind.TOO_FEW, pattern=name, constraint=number, extras=tuple(found))
    readings = []
    for pair, other in product(combinations(places[0], 2), combinations(places[1], 2)):
        if {*pair} & {*other}:
            continue
        if any(_joined(layout, near, far, region=name == KITE) for near, far in product(pair, other)):
            allowed = [sum(1 << c for c in two) for two in (pair, other)]
            readings.append(extra_places(grid, name, list(zip(numbers, allowed, strict=True))))
    best = easiest(readings)
    return best or Fault(FaultKind.NOT_TOGETHER, pattern=name, houses=lines, digits=(digit,))


def _joined(layout: Layout, near: int, far: int, *, region: bool) -> bool:
    """Whether two places share a region, or a row or column."""
    shared = houses_around(layout, (near % layout.cells, far % layout.cells))
    return any((layout.houses[h].kind not in _CROSS) == region for h in shared)


FINDERS = {
    SKYSCRAPER: Family(
        (SKYSCRAPER,),
        by_digit,
        _skyscrapers,
        _fault,
        roles={"digit": "", "lines": "base", "cross line": "cover"},
        reads=BY_CHAIN,
        of_chain=_of_chain,
        why_not=_why_not,
    ),
    KITE: Family(
        (KITE,),
        by_digit,
        _kites,
        _fault,
        roles={"digit": "", "lines": "base", "region": "cover"},
        reads=BY_CHAIN,
        of_chain=_of_chain,
        why_not=_why_not,
        aliases=("kite",),
    ),
}
