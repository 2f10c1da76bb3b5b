"""What leads from a position to its solution, planned ahead and pruned to what the solution rests on."""

from __future__ import annotations

from collections.abc import Collection
from math import inf

from deduce.counting.meter import Meter
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Argument, Position
from deduce.links.statements import Statements
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.suppositions.search import EASY, Search, easiest, order
from deduce.suppositions.shorten import shortened
from deduce.suppositions.trail import Trail, size_of

__all__ = ["plan_ahead"]


def plan_ahead(
    statements: Statements, position: Position, names: Collection[str], meter: Meter, layout: Layout | None = None
) -> tuple[Argument, ...]:
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
    tuple of Argument
        What the solution, or the contradiction, rests on, in order; everything else that was found is left out.  Each
        holds once the ones before it have been taken.  Where nothing leads so far, all that was found.

    Notes
    -----
    Singles, locked candidates and chains are drawn freely.  When they are exhausted, sums and suppositions are gathered
    and those of the lowest level of size are drawn.  If there are none, suppositions are refuted with sums inside.
    A way that leads to the solution is then made shorter (see :func:`shortened`).
    Planning ahead is what keeps walks short: most of what can be eliminated on a hard position leads nowhere.

    Without `COUNTING` among the names nothing else may be concluded in between, so the plan is one supposition.
    """
    search = Search(statements, position, meter, layout)
    if search.solution and not search.open(position):
        return ()
    if COUNTING not in names:
        found = search.refuted(position) or search.refuted_by_set_chains(position, inf)
        hardest = [*found] or search.hard(position, inf)
        return (min(hardest, key=order),) if hardest else ()
    trail = Trail(statements, position)
    while True:
        if trail.run():
            return _arguments(trail, trail.drawn[-1].roots)
        here = trail.position
        if here.live == here.true:
            way = _arguments(trail, trail.roots_of(here.true & ~position.true))
            return shortened(search, position, way) if SUPPOSITION in names else way
        if not sum(trail.offer(argument) for argument in _easiest_arguments(search, here, names)):
            return _arguments(trail, (1 << len(trail.drawn)) - 1)


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
