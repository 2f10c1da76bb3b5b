"""Skyscraper and two-string kite: two lines that each hold a digit twice, joined at one end."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations, product

from deduce.patterns.board import Board, Scope, by_digit
from deduce.patterns.chain_fault import both_ways, chain_family, houses_of_link, node_digits
from deduce.patterns.chains import chain_proof
from deduce.patterns.why_not import Fault, FaultKind, Named, easiest, extra_places
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "KITE", "SKYSCRAPER"]

SKYSCRAPER = "skyscraper"
KITE = "two-string kite"
_CROSS = {"row": "column", "column": "row"}


def _search(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield two lines with two places each, four different cells, one of each in a common house.

    Skyscraper: the lines are parallel, and the common house is a cross line, which the free ends do not have as well.
    Two-string kite: a row and a column, and a region.  What sees both free ends loses the digit.
    """
    layout, digit = board.layout, scope.item
    plane, houses = board.planes[digit], layout.houses
    lines = [item for item in board.two_places(digit) if houses[item[0]].kind in _CROSS]
    rows, columns = ([item for item in lines if houses[item[0]].kind == kind] for kind in _CROSS)
    for name in names:
        for (one, *ends), (other, *theirs) in product(rows, columns) if name == KITE else combinations(lines, 2):
            parallel = houses[one].kind == houses[other].kind
            if parallel == (name == KITE) or len({*ends, *theirs}) < 4:
                continue
            for (near, free), (near2, free2) in product((ends, ends[::-1]), (theirs, theirs[::-1])):
                joints = _joints(layout, name, one, near, near2)
                if not joints or not plane & board.seeing(free, free2):
                    continue
                if parallel and _joints(layout, name, one, free, free2):
                    continue
                nodes = [layout.number(digit, cell) for cell in (free, near, near2, free2)]
                yield chain_proof(board.grid, name, nodes, _roles(name, digit, (one, other), joints[0]))


def _joints(layout: Layout, name: str, line: int, cell: int, other: int) -> list[int]:
    """Return the houses that hold two cells: the cross lines of a line, for a kite the regions."""
    shared = [h for h in layout.houses_of[cell] if layout.house_masks[h] >> other & 1]
    if name == KITE:
        return [h for h in shared if layout.houses[h].kind not in _CROSS]
    return [h for h in shared if layout.houses[h].kind == _CROSS[layout.houses[line].kind]]


def _roles(name: str, digit: int, lines: tuple[int, int], joint: int) -> tuple[Role, ...]:
    where = Role("region" if name == KITE else "cross line", "houses", (joint,))
    return Role("digit", "digits", (digit,)), Role("lines", "houses", lines), where


def _of_chain(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    layout, digits = grid.layout, node_digits(grid, chain)
    if chain.loop or len(digits) != 4 or len({*digits}) > 1 or any(len(node) > 1 for node in chain.nodes):
        return
    for way in both_ways(chain):
        cells = [node[0] % layout.cells for node in way.nodes]
        for one, joint, other in product(*(houses_of_link(grid, link) for link in way.links)):
            kinds = [layout.houses[h].kind for h in (one, other)]
            name = KITE if kinds == ["row", "column"] else SKYSCRAPER
            if len({*cells}) < 4 or not {*kinds} <= _CROSS.keys() or (name == SKYSCRAPER and kinds[0] != kinds[1]):
                continue
            free = _joints(layout, name, one, cells[0], cells[3]) if name == SKYSCRAPER else ()
            if joint in _joints(layout, name, one, cells[1], cells[2]) and not free:
                yield Pattern(name, _roles(name, digits[0], (one, other), joint), way)


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
        cells = product(*([c % layout.cells for c in two] for two in (pair, other)))
        if any(_joints(layout, name, lines[0], near, far) for near, far in cells):
            allowed = [sum(1 << c for c in two) for two in (pair, other)]
            readings.append(extra_places(grid, name, list(zip(numbers, allowed, strict=True))))
    best = easiest(readings)
    return best or Fault(FaultKind.NOT_TOGETHER, pattern=name, houses=lines, digits=(digit,))


FINDERS = tuple(
    chain_family(
        (name,),
        by_digit,
        _search,
        _of_chain,
        {"digit": "", "lines": "base", joint: "cover"},
        why_not=_why_not,
        aliases=aliases,
    )
    for name, joint, aliases in ((SKYSCRAPER, "cross line", ()), (KITE, "region", ("kite",)))
)
