"""What leads from a position to its solution, planned ahead and pruned to what the solution rests on."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from math import inf

from deduce.counting.meter import Meter
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Argument, Position
from deduce.links.statements import Statements
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.suppositions.search import EASY, Search, easiest, order
from deduce.suppositions.trail import Trail, size_of

__all__ = ["PlannedAhead", "plan_ahead"]


@dataclass(frozen=True, slots=True)
class PlannedAhead:
    """The arguments that lead on from a position.

    Parameters
    ----------
    arguments : tuple of Argument
        In order; each holds once the ones before it, and what singles, locked candidates and chains conclude in
        between, have been taken.
    complete : bool
        Whether it leads to the solution, or to a contradiction; otherwise it ends where nothing more was found.
    """

    arguments: tuple[Argument, ...]
    complete: bool


def plan_ahead(
    statements: Statements, position: Position, names: Collection[str], meter: Meter, layout: Layout | None = None
) -> PlannedAhead:
    """Return the arguments that lead from a position to its solution, no more than it rests on.

    Parameters
    ----------
    statements : Statements
        The model.
    position : Position
        Where to begin.
    names : collection of str
        Which of `NAMES` may be used.
    meter : Meter
        Stops the search.
    layout : Layout, optional
        Where the candidates of a puzzle stand.  Without it no chains over groups and almost locked sets are drawn, and
        harder suppositions are refuted with sums at once.

    Returns
    -------
    PlannedAhead
        What the solution, or the contradiction, rests on; everything else that was found is left out.

    Notes
    -----
    Singles, locked candidates and chains are drawn freely.  When they are exhausted, sums and suppositions are gathered
    and those of the lowest level of effort are drawn.  If there are none, suppositions are refuted with sums inside.
    Planning ahead is what keeps walks short: most of what can be eliminated on a hard position leads nowhere.

    Without `COUNTING` among the names nothing else may be concluded in between, so the plan is one supposition.
    """
    search = Search(statements, position, meter, layout)
    if search.solution and not search.open(position):
        return PlannedAhead((), complete=False)
    if COUNTING not in names:
        found = search.refuted(position) or search.refuted_by_set_chains(position, inf)
        hardest = [*found] or search.hard(position, inf)
        return PlannedAhead((min(hardest, key=order),) if hardest else (), complete=False)
    trail = Trail(statements, position)
    while True:
        if trail.run():
            return PlannedAhead(_arguments(trail, trail.drawn[-1].roots), complete=True)
        here = trail.position
        if here.live == here.true:
            return PlannedAhead(_arguments(trail, trail.roots_of(here.true & ~position.true)), complete=True)
        fresh = 0
        for argument in _easiest_arguments(search, here, names):
            fresh += trail.offer(argument)
        if not fresh:
            return PlannedAhead(_arguments(trail, (1 << len(trail.drawn)) - 1), complete=False)


def _arguments(trail: Trail, roots: int) -> tuple[Argument, ...]:
    """Return the arguments of some of a trail's inferences, in order."""
    return tuple(trail.drawn[number].inference.argument for number in bits(roots))


def _easiest_arguments(search: Search, position: Position, names: Collection[str]) -> list[Argument]:
    """Return the arguments of the lowest level of size at which there are any."""
    found: list[Argument] = []
    if SUPPOSITION in names:
        found += search.refuted(position)
    found += search.sums(position, min(easiest(found), EASY))
    limit = easiest(found)
    if limit > EASY and SUPPOSITION in names:
        found += search.refuted_by_set_chains(position, limit)
        limit = easiest(found)
    if limit > EASY:
        found += search.sums(position, limit)
        limit = easiest(found)
    if limit == inf and SUPPOSITION in names:
        found += search.hard(position, limit)
        limit = easiest(found)
    return [argument for argument in found if size_of(argument) <= limit]
