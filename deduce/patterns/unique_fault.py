"""Whether the roles of a pattern that assumes a unique solution are what its name says."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from deduce.links.argue import holding
from deduce.links.sets import almost_locked
from deduce.links.swaps import can_fill, exchangeable, ladders, rectangle_corners, same_totals, swappable_over
from deduce.patterns import unique_names as kinds
from deduce.patterns.almost_locked import places_of
from deduce.positions import bits
from deduce.proof import Pattern
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["fault"]


def fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say what about a pattern is not as its name says: the swappable, its exits, or what goes with them."""
    if any(len(set(role.items)) != len(role.items) for role in pattern.roles):
        return "something is named twice in its part"
    wrong = _bivalue_fault(grid, pattern) if pattern.name == kinds.BIVALUE_GRID else _cells_fault(grid, pattern)
    return wrong or _conclusion_fault(grid, pattern)


def _cells_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say what is wrong with the cells, the digits and the exits of a swappable of the same digits in every cell."""
    layout, cells, digits = grid.layout, pattern.role("cells"), pattern.role("digits")
    if any(grid.givens & layout.masks[cell] for cell in cells):
        return "a cell is a given, which cannot change places"
    if pattern.role("exits") != swappable_over(grid, cells, digits).exits or not pattern.role("exits"):
        return "the exits are not the other candidates of the cells"
    placed = any(grid.true & layout.masks[cell] for cell in cells)
    if pattern.name in (*kinds.RECTANGLES, kinds.AVOIDABLE):
        if cells not in rectangle_corners(layout) or len(digits) != 2 or not exchangeable(layout, cells, digits):
            return "two digits cannot change places there"
        if not can_fill(grid, cells, digits):
            return "the two digits cannot fill the corners"
        if placed != (pattern.name == kinds.AVOIDABLE):
            return "a corner is placed" if placed else "no corner is placed"
        return None
    if pattern.name == kinds.EXTENDED:
        if not _is_ladder(layout, cells, digits):
            return "the cells are no two lines crossed by as many as digits"
        return None if can_fill(grid, cells, digits) else "the digits cannot fill the cells"
    if len(cells) != kinds.SWAPS[pattern.name] or len(digits) != 2:
        return f"it is not a {pattern.name} on two digits"
    ring = _ring(layout, cells)
    if ring is None:
        return "the cells do not share a row and a column by turns"
    one, other = ([layout.number(digits[(i + turn) % 2], cell) for i, cell in enumerate(ring)] for turn in (0, 1))
    return None if same_totals(layout.model, one, other) else "two digits cannot change places there"


def _is_ladder(layout: Layout, cells: tuple[int, ...], digits: tuple[int, ...]) -> bool:
    """Whether cells lie in two parallel lines, those of a cross line in the same regions, and are twice the digits."""
    paired = [sum({*rung} <= {*cells} for rung in rungs) for rungs in ladders(layout)]
    return len(digits) > 2 and len(cells) == 2 * len(digits) and len(digits) in paired


def _ring(layout: Layout, cells: Iterable[int]) -> list[int] | None:
    """Return cells in an order in which each shares its row with one neighbour and its column with the other."""
    left = set(cells)
    ring = [min(left)]
    left.remove(ring[0])
    while left:
        # Row and column of the last one; the next one shares the first of these, then the second, by turns.
        here, turn = layout.places[ring[-1]], 1 - len(ring) % 2
        following = [cell for cell in left if layout.places[cell][turn] == here[turn]]
        if len(following) != 1:
            return None
        ring.append(following[0])
        left.remove(following[0])
    closes = layout.places[ring[0]][1] == layout.places[ring[-1]][1]
    return ring if closes and len(ring) % 2 == 0 else None


def _bivalue_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say what is wrong with a pattern of two candidates in every open cell."""
    layout, open_ = grid.layout, grid.live & ~grid.true
    chosen = sum(1 << c for c in set(pattern.role("pattern")))
    if chosen & ~open_ or tuple(bits(open_ & ~chosen)) != pattern.role("exits") or not pattern.role("exits"):
        return "the exits are not the candidates outside the pattern"
    for number, mask in enumerate(layout.masks):
        if (chosen & mask).bit_count() not in (0, 2):
            return f"{layout.model.constraints[number].name} does not have two candidates of the pattern"
    cells = [mask for mask in layout.masks[: layout.cells] if open_ & mask]
    if any((chosen & mask).bit_count() != 2 for mask in cells):
        return "a cell does not have two candidates of the pattern"
    return None


def _conclusion_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say what is wrong with the strong links, the locked set or the ways that go with the exits."""
    layout, exits, name = grid.layout, pattern.role("exits"), pattern.name
    size = layout.cells
    extra = {role.name for role in pattern.roles} - {"cells", "digits", "pattern", "exits"}
    cells, digits = {c % size for c in exits}, {c // size + 1 for c in exits}
    direct = {kinds.OPEN_CORNER: len(cells) == 1, kinds.ONE_DIGIT: len(digits) == 1 and len(cells) > 1}
    if name in direct:
        return None if direct[name] and not extra else "the exits are not all in one corner, or not all on one digit"
    ways = {kinds.way_role(layout, exit_) for exit_ in exits}
    expected = {kinds.STRONG: {"strong links"}, kinds.LOCKED: {"locked set"}, kinds.CHAINS: ways}
    if extra not in ([expected[name]] if name in expected else [set(), *expected.values(), ways]):
        return "its roles are not those of its kind"
    if not extra and len(cells) > 1 and len(digits) > 1:
        return "nothing clashes with all exits"
    if "strong links" in extra:
        return _strong_fault(grid, pattern)
    if "locked set" in extra:
        return _set_fault(grid, pattern, digits)
    return _ways_fault(grid, pattern) if extra else None


def _strong_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say which constraint is no strong link between two cells of the swappable."""
    layout, open_ = grid.layout, grid.live & ~grid.true
    links = pattern.role("strong links")
    inside = sum(1 << layout.number(digit, cell) for digit in pattern.role("digits") for cell in pattern.role("cells"))
    inside |= sum(1 << c for c in pattern.role("pattern"))
    for number in links:
        here = open_ & layout.masks[number]
        if not layout.cells <= number < layout.exact or here.bit_count() != 2 or here & ~inside:
            return f"{layout.model.constraints[number].name} does not have two places, both in the cells"
    return None if links else "there is no strong link"


def _set_fault(grid: Grid, pattern: Pattern, digits: set[int]) -> str | None:
    """Say why cells do not make up a locked set with the exits."""
    layout, cells, exits = grid.layout, pattern.role("locked set"), pattern.role("exits")
    one = almost_locked(layout, grid.live & ~grid.true, cells)
    if one is None or {*cells} & {*pattern.role("cells")}:
        return "the set is not made of cells outside that are almost locked"
    if not digits <= {*one.digits}:
        return "an exit has a digit that the set lacks"
    nodes = ((*bits(places_of(one, d)), *(e for e in exits if e // layout.cells + 1 == d)) for d in digits)
    return "the exits do not see the set" if sum(not holding(layout, node) for node in nodes) > 1 else None


def _ways_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say which way does not lead from its exit over links to what falls, the same for all."""
    layout, open_ = grid.layout, grid.live & ~grid.true
    ends = set()
    for exit_ in pattern.role("exits"):
        way = pattern.role(kinds.way_role(layout, exit_))
        if len(way) < 2 or len(way) % 2 or way[0] != exit_ or any(not open_ >> c & 1 for c in way):
            return f"the way of {layout.candidate(exit_)} is none"
        ends.add(way[-1])
        for i, (a, b) in enumerate(pairwise(way)):
            joint = holding(layout, (a, b))
            if i % 2:
                masks = layout.model.masks
                joint = tuple(n for n in layout.at_least_one[a] if grid.live & masks[n] == 1 << a | 1 << b)
            if a == b or not joint:
                return f"nothing links {layout.candidate(a)} and {layout.candidate(b)}"
    return None if len(ends) == 1 else "the ways do not end at the same candidate"
