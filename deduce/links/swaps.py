"""Swappables: cells whose digits could change places without any rule noticing, and what prevents it.

A swappable is what the kernel's swap rule is about.  A puzzle with one solution cannot have its cells confined to the
pattern, so one of the exits is true.  This module looks for swappables that are near at hand; whether the rule accepts
one is for the kernel to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations, islice, product
from typing import NamedTuple

from deduce.kernel import Model, Swap
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["LONGEST", "MOST_EXITS", "Swappable", "bivalue_grids", "can_fill", "exchangeable", "extended_rectangles"]
__all__ += ["ladders", "rectangle_corners", "rectangles", "same_totals", "swappable_over", "two_digit_swaps"]

MOST_EXITS = 8
"""How many exits a swappable may have to be looked at."""

LONGEST = 8
"""How many cells a two-digit swap may have."""

OPEN_ENDS = 2
"""How many cells with exits a two-digit swap of six or more cells or an extended rectangle may have."""

MOST_CYCLES = 5_000
"""How many cycles are looked at for each two digits in search of two-digit swaps."""

WIDEST = 4
"""How many lines may cross the two lines of an extended rectangle."""

STRAYS = 2
"""How many open cells of a bivalue grid may have more than two candidates."""


class Swappable(NamedTuple):
    """Cells whose digits could change places.

    Parameters
    ----------
    cells : tuple of int
        In reading order.
    digits : tuple of int
        The digits of the pattern, from 1, ascending.
    pattern : tuple of int
        The candidates of the cells between which the digits would move, dead ones included, ascending.
    exits : tuple of int
        The other live candidates of the cells, ascending: one of them is true if the puzzle has one solution.
    """

    cells: tuple[int, ...]
    digits: tuple[int, ...]
    pattern: tuple[int, ...]
    exits: tuple[int, ...]

    @property
    def swap(self) -> Swap:
        """The kernel's argument."""
        return Swap(self.pattern, self.exits)


def same_totals(model: Model, one: Iterable[int], other: Iterable[int]) -> bool:
    """Whether two sets of candidates give every constraint the same total.

    Examples
    --------
    >>> layout = Layout.standard(4)
    >>> def tokens(text): return [layout.parse_candidate(token) for token in text.split()]
    >>> same_totals(layout.model, tokens("1r1c1 2r1c3 2r2c1 1r2c3"), tokens("2r1c1 1r1c3 1r2c1 2r2c3"))
    True
    >>> same_totals(layout.model, tokens("1r1c1 2r1c3 2r3c1 1r3c3"), tokens("2r1c1 1r1c3 1r3c1 2r3c3"))
    False
    """
    totals: Counter[int] = Counter()
    for sign, candidates in ((1, one), (-1, other)):
        for candidate in candidates:
            for number in model.touching[candidate]:
                plain = model.exclusive[number]
                totals[number] += sign if plain else sign * dict(model.constraints[number].terms)[candidate]
    return not any(totals.values())


def swappable_over(grid: Grid, cells: Sequence[int], digits: Sequence[int]) -> Swappable:
    """Return the swappable of some digits in some cells, in which every other candidate of the cells is an exit."""
    layout = grid.layout
    pattern = [layout.number(digit, cell) for digit in digits for cell in cells]
    inside = sum(1 << c for c in pattern)
    exits = sum(grid.live & ~grid.true & layout.masks[cell] for cell in cells) & ~inside
    return Swappable(tuple(sorted(cells)), tuple(sorted(digits)), tuple(sorted(pattern)), tuple(bits(exits)))


@lru_cache(maxsize=16)
def rectangle_corners(layout: Layout) -> tuple[tuple[int, int, int, int], ...]:
    """Return the corners of each rectangle in which opposite corners balance the other two in every house.

    Opposite corners share no house: where all four lie in one region, no digit could stand in two of them.  In the
    order upper left, upper right, lower left, lower right.
    """
    at, houses = layout.cell_at, layout.houses_of
    found = []
    for top, bottom in combinations(range(layout.height), 2):
        for left, right in combinations(range(layout.width), 2):
            corners = [at.get(place) for place in ((top, left), (top, right), (bottom, left), (bottom, right))]
            a, b, c, d = corners
            if a is None or b is None or c is None or d is None:
                continue
            if sorted(houses[a] + houses[d]) == sorted(houses[b] + houses[c]) and {*houses[a]}.isdisjoint(houses[d]):
                found.append((a, b, c, d))
    return tuple(found)


def _held(grid: Grid) -> list[int]:
    """Return for each cell its live digits (bit d is digit d), the placed one too; 0 for a cell that holds a given."""
    size, layout = grid.layout.cells, grid.layout
    found = [0] * size
    for candidate in bits(grid.live):
        found[candidate % size] |= 1 << candidate // size + 1
    return [0 if grid.givens & layout.masks[cell] else digits for cell, digits in enumerate(found)]


def rectangles(grid: Grid) -> Iterator[Swappable]:
    """Yield rectangles of four cells between which two digits could change places.

    Parameters
    ----------
    grid : Grid
        The position.

    Yields
    ------
    Swappable
        Each with an exit, by its cells and then by its digits.  No corner is a given; at least one corner holds nothing
        but the two digits; and one of the two ways in which they could fill the corners is still possible.
    """
    layout, held = grid.layout, _held(grid)
    for corners in rectangle_corners(layout):
        a, b, c, d = (held[cell] for cell in corners)
        if not (a & d and b & c):
            continue
        least = min((a, b, c, d), key=int.bit_count)
        if least.bit_count() > 2:
            continue
        pairs = {tuple(sorted(pair)) for pair in product(bits(a & d), bits(b & c)) if pair[0] != pair[1]}
        for x, y in sorted(pairs):
            both = 1 << x | 1 << y
            if all(digits & ~both for digits in (a, b, c, d)):
                continue
            found = swappable_over(grid, corners, (x, y))
            if 0 < len(found.exits) <= MOST_EXITS and exchangeable(layout, corners, (x, y)):
                yield found


def exchangeable(layout: Layout, corners: Sequence[int], digits: Sequence[int]) -> bool:
    """Whether two digits in the corners of a rectangle can change places without any rule of the layout noticing."""
    a, b, c, d = corners
    x, y = digits
    one = [layout.number(x, a), layout.number(y, b), layout.number(y, c), layout.number(x, d)]
    other = [layout.number(y, a), layout.number(x, b), layout.number(x, c), layout.number(y, d)]
    return same_totals(layout.model, one, other)


@lru_cache(maxsize=16)
def ladders(layout: Layout) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Return for each two parallel lines the pairs of cells, one of each, that lie in the same other houses."""
    found = []
    for kind, along in (("row", 1), ("column", 0)):
        lines = [(h, house.cells) for h, house in enumerate(layout.houses) if house.kind == kind]
        for (h, one), (i, other) in combinations(lines, 2):
            facing = {layout.places[cell][along]: cell for cell in other}
            rungs = []
            for cell in one:
                opposite = facing.get(layout.places[cell][along])
                if opposite is not None and {*layout.houses_of[cell]} - {h} == {*layout.houses_of[opposite]} - {i}:
                    rungs.append((cell, opposite))
            if len(rungs) > 2:
                found.append(tuple(rungs))
    return tuple(found)


def extended_rectangles(grid: Grid) -> Iterator[Swappable]:
    """Yield two by three cells, or two by four, in which as many digits could change places between the two lines.

    Parameters
    ----------
    grid : Grid
        The position.

    Yields
    ------
    Swappable
        Each with an exit, those with fewer cells first.  The two cells that cross the lines together share their
        regions.  No cell is a given, and all but at most `OPEN_ENDS` hold none but as many digits as there are cells
        in a line, which can still fill them; of several choices of such digits those that the cells with the fewest
        candidates hold are looked at.
    """
    held = _held(grid)
    seen = set()
    for width in range(3, WIDEST + 1):
        for rungs in ladders(grid.layout):
            free = [(one, other) for one, other in rungs if held[one] and held[other]]
            for chosen in _few_open_ends(held, free, width):
                cells = [cell for rung in chosen for cell in rung]
                by_size = sorted((held[cell] for cell in cells), key=int.bit_count)
                union = 0
                for place, digits in enumerate(by_size, 1):
                    union |= digits
                    if union.bit_count() > width:
                        break
                    if union.bit_count() == width and place >= len(cells) - OPEN_ENDS:
                        found = swappable_over(grid, cells, bits(union))
                        open_ends = sum(bool(held[cell] & ~union) for cell in cells)
                        if not 0 < len(found.exits) <= MOST_EXITS or open_ends > OPEN_ENDS or found in seen:
                            continue
                        seen.add(found)
                        if can_fill(grid, cells, bits(union)):
                            yield found


def _few_open_ends(
    held: Sequence[int], free: Sequence[tuple[int, int]], width: int
) -> Iterator[tuple[tuple[int, int], ...]]:
    """Yield each choice of so many rungs in which at most `OPEN_ENDS` cells hold more digits than there are rungs."""
    many = [sum(held[cell].bit_count() > width for cell in rung) for rung in free]

    def extend(start: int, chosen: tuple[tuple[int, int], ...], ends: int) -> Iterator[tuple[tuple[int, int], ...]]:
        if len(chosen) == width:
            yield chosen
            return
        for i in range(start, len(free)):
            if ends + many[i] <= OPEN_ENDS:
                yield from extend(i + 1, (*chosen, free[i]), ends + many[i])

    return extend(0, (), 0)


def can_fill(grid: Grid, cells: Sequence[int], digits: Sequence[int]) -> bool:
    """Whether digits that are live in some cells can fill them, none of them twice in a house.

    Examples
    --------
    >>> grid = Grid.empty(Layout.standard(4))
    >>> can_fill(grid, (0, 1, 4, 5), (1, 2, 3, 4)), can_fill(grid, (0, 1, 4, 5), (1, 2, 3))
    (True, False)
    """
    layout = grid.layout

    def fill(place: int, used: dict[int, int]) -> bool:
        if place == len(cells):
            return True
        cell = cells[place]
        for digit in digits:
            if grid.live >> layout.number(digit, cell) & 1 and not used.get(digit, 0) >> cell & 1:
                more = {**used, digit: used.get(digit, 0) | layout.neighbours[cell]}
                if fill(place + 1, more):
                    return True
        return False

    return fill(0, {})


def two_digit_swaps(grid: Grid) -> Iterator[Swappable]:
    """Yield six or eight cells round which two digits alternate and could change places.

    Parameters
    ----------
    grid : Grid
        The position.

    Yields
    ------
    Swappable
        Each with an exit, those with fewer cells first, then those with fewer exits.  No cell is a given, and all but
        at most `OPEN_ENDS` hold nothing but the two digits.

    Notes
    -----
    Take the rows and columns as nodes of a graph, and each cell that may take part as an edge.  A ring of cells that
    share a row and a column by turns is a cycle of this graph, and networkx lists its cycles up to a length.  Whether
    the regions notice the change is seen afterwards, by the totals.  For each two digits the first `MOST_CYCLES`
    cycles are looked at; 9x9 puzzles have up to about a hundred.
    """
    import networkx as nx

    layout, places, height = grid.layout, grid.layout.places, grid.layout.height
    held = _held(grid)
    found = []
    for x, y in combinations(range(1, layout.order + 1), 2):
        both = 1 << x | 1 << y
        clean = [cell for cell, digits in enumerate(held) if digits and not digits & ~both]
        if len(clean) < 6 - OPEN_ENDS:
            continue
        loose = [
            cell for cell, digits in enumerate(held) if not both & ~digits and 1 <= (digits & ~both).bit_count() <= 3
        ]
        graph = nx.k_core(nx.Graph([(places[cell][0], height + places[cell][1]) for cell in (*clean, *loose)]), 2)
        for cycle in islice(nx.simple_cycles(graph, length_bound=LONGEST), MOST_CYCLES):
            if len(cycle) < 6:
                continue
            ring = [
                layout.cell_at[min(one, other), max(one, other) - height]
                for one, other in zip(cycle, (*cycle[1:], cycle[0]), strict=True)
            ]
            if sum(cell in loose for cell in ring) > OPEN_ENDS:
                continue
            one = [layout.number((x, y)[i % 2], cell) for i, cell in enumerate(ring)]
            other = [layout.number((y, x)[i % 2], cell) for i, cell in enumerate(ring)]
            alive = any(all(grid.live >> c & 1 for c in filling) for filling in (one, other))
            if alive and same_totals(layout.model, one, other):
                swappable = swappable_over(grid, ring, (x, y))
                if 0 < len(swappable.exits) <= MOST_EXITS:
                    found.append(swappable)
    yield from sorted(found, key=lambda one: (len(one.cells), len(one.exits), one))


def bivalue_grids(grid: Grid) -> Iterator[Swappable]:
    """Yield the swappable of a whole board on which all but a few open cells have two candidates.

    Parameters
    ----------
    grid : Grid
        The position.

    Yields
    ------
    Swappable
        All open cells, with two candidates of each as the pattern so that every digit has two places in it, or none, in
        every house.  At most `STRAYS` cells have more candidates; these are the exits.  Whichever of the two each cell
        took, it could take the other.
    """
    layout, size = grid.layout, grid.layout.cells
    open_ = grid.live & ~grid.true
    cells = [cell for cell in range(size) if open_ & layout.masks[cell]]
    strays = [cell for cell in cells if (open_ & layout.masks[cell]).bit_count() > 2]
    if not strays or len(strays) > STRAYS or any((open_ & layout.masks[cell]).bit_count() < 2 for cell in cells):
        return
    masks = layout.masks
    certain = open_ & ~sum(masks[cell] for cell in strays)
    for choice in product(*(combinations(bits(open_ & layout.masks[cell]), 2) for cell in strays)):
        pattern = certain | sum(1 << c for pair in choice for c in pair)
        if all((pattern & mask).bit_count() in (0, 2) for mask in masks):
            listed = tuple(bits(pattern))
            digits = tuple(sorted({c // size + 1 for c in listed}))
            exits = tuple(bits(open_ & ~pattern))
            if len(exits) <= MOST_EXITS:
                yield Swappable(tuple(cells), digits, listed, exits)
