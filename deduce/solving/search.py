"""Solutions of a grid by search; the judge of uniqueness, never part of a proof."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from deduce.deadline import Cancel, in_time, timed
from deduce.errors import BudgetSpent
from deduce.positions import bits
from deduce.puzzle.bounds import unreachable_rules
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.singles import place_singles
from deduce.solving.tightening import tighten

__all__ = ["NODES", "propagate", "solutions"]

NODES = 1_000_000
"""The default budget of :func:`solutions`, in positions that had to be branched on."""


def solutions(
    grid: Grid,
    limit: int | None = 2,
    *,
    budget: int = NODES,
    shuffle: random.Random | None = None,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Iterator[Grid]:
    """Yield the solutions of a grid, each as a solved grid.

    Parameters
    ----------
    grid : Grid
        The position; what its notes rule out stays ruled out.
    limit : int or None
        Stop after this many solutions; None for all of them.
    budget : int
        How many positions may be branched on.
    shuffle : random.Random, optional
        Try the branches in random order instead of ascending.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Yields
    ------
    Grid
        In a fixed order (with `shuffle`, fixed by the state of the generator).  A grid with a unique solution yields
        one and then ends; an impossible one yields none.

    Raises
    ------
    BudgetSpent
        When the budget, the deadline (`OutOfTime`) or `cancel` ends the search; whether there are further solutions is
        then not known.
    ValueError
        If the limit is negative.

    Notes
    -----
    Each branch places a candidate and then every naked or hidden single that follows; the constraint with the fewest
    live candidates is branched on first.

    Examples
    --------
    >>> [solved.line() for solved in solutions(Grid.parse("12..34.........."), 3)]
    ['1234341221434321', '1234341223414123', '1234341241232341']
    """
    if limit is not None and limit < 0:
        raise ValueError(f"limit is {limit}; give a number of solutions, or None for all of them")
    return timed(_solutions(grid, limit, budget, shuffle), seconds, cancel)


def _solutions(grid: Grid, limit: int | None, budget: int, shuffle: random.Random | None) -> Iterator[Grid]:
    layout = grid.layout
    if limit == 0 or any((grid.true & mask).bit_count() > 1 for mask in layout.masks):
        return
    if layout.rules and next(unreachable_rules(layout, grid.live, grid.true), None) is not None:
        return
    found = branched = 0
    stack: list[tuple[int, int, Sequence[int]]] = [(grid.live, grid.true, layout.masks)]
    while stack:
        in_time()
        live, true, open_masks = propagate(layout, *stack.pop())
        if open_masks is None:
            continue
        if not open_masks:
            yield Grid(layout, true, true, grid.givens, grid.assumed)
            found += 1
            if found == limit:
                return
            continue
        if branched == budget:
            raise BudgetSpent("the search for solutions", budget, "branchings")
        branched += 1
        pairs = (mask for mask in open_masks if (live & mask).bit_count() == 2)
        # None has fewer than two, since singles are used up.
        fewest = next(pairs, None) or min(open_masks, key=lambda mask: (live & mask).bit_count())
        branches = bits(live & fewest)
        if shuffle is not None:
            shuffle.shuffle(branches)
        for candidate in reversed(branches):
            bit = 1 << candidate
            stack.append((live & ~layout.peers[candidate], true | bit, open_masks))


def propagate(layout: Layout, live: int, true: int, masks: Sequence[int]) -> tuple[int, int, Sequence[int] | None]:
    """Return the position in which singles and sums are used up, and the constraints that it has not met.

    Of the rules beyond houses, conflicts are cleared with each placement, and sums by what they leave room for.

    Parameters
    ----------
    layout : Layout
        The layout.
    live, true, masks
        As for :func:`deduce.solving.singles.place_singles`.

    Returns
    -------
    (int, int, sequence of int or None)
        As there.
    """
    live, true, unmet = place_singles(layout.peers, live, true, masks)
    changed = -1
    while layout.linear and unmet is not None:
        rest = tighten(layout, live, changed)
        if rest is None:
            return live, true, None
        if rest == live:
            break
        before = live
        live, true, unmet = place_singles(layout.peers, rest, true, unmet)
        changed = before & ~live
    return live, true, unmet
