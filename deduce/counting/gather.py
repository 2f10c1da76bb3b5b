"""Everything that can be concluded in a position within some effort: sums, and suppositions that break down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from deduce.counting.costs import Cost
from deduce.counting.exact import whole_weights
from deduce.counting.least import Searcher
from deduce.counting.quick import quickly
from deduce.counting.reach import Scan
from deduce.counting.rules import Rules
from deduce.counting.system import System
from deduce.counting.trail import Source, Trail, size_of
from deduce.kernel import Counting, Model, Position, Supposition, place

__all__ = ["LEVELS", "Meter", "level_of", "refutations", "sums", "supposition"]

LEVELS = (24, 40, 60, 90, 140, 220, inf)
"""Efforts between which no difference is made when deductions are chosen."""

FOLLOWED = 16
"""How many of the suppositions that break down are followed with their reasons; the others only wait."""


class Meter:
    """Counts what a search tries, and stops it.

    Parameters
    ----------
    limit : int or None
        How many suppositions may be followed and scans by linear programming made; None for as many as it takes.
    """

    def __init__(self, limit: int | None = None) -> None:
        self.limit = limit
        self.used = 0
        self.spent = False

    def take(self) -> bool:
        """Count one more trial; say whether it is allowed."""
        if self.limit is not None and self.used >= self.limit:
            self.spent = True
            return False
        self.used += 1
        return True


def level_of(effort: float) -> float:
    """Return the smallest of the `LEVELS` that holds an effort."""
    return next(level for level in LEVELS if effort <= level)


def sums(model: Model, position: Position, limit: float, solution: int = 0) -> Iterator[Counting]:
    """Yield counting arguments of an effort up to a limit that between them conclude all that such arguments can.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        The position.
    limit : float
        The largest effort of an argument.
    solution : int
        Bitset of the true candidates of a solution, if one is known.
    """
    system = System(model, position)
    if not system.rows:
        return
    scan = Scan(system, solution)
    unit = Cost([1] * len(model.constraints), [1] * len(model.constraints))
    searcher: Searcher | None = None
    if limit < inf:
        ease = [1 / (limit + 0.5)] * len(system.rows)
        scan.ease(ease, ease)
    for question in scan.questions():
        if question:
            argument, _ = whole_weights(system, scan.covers(), scan.program, question)
            if size_of(argument) <= limit:
                yield argument
                continue
        # The multipliers were halves or thirds and have grown: look for whole ones that are as small.
        searcher = searcher or Searcher(system, unit, 60, hand_over=False)
        found = searcher.least(question, limit + 1)
        if found is not None and found.argument is not None and found.cost <= limit:
            yield found.argument


def refutations(
    rules: Rules, position: Position, candidates: Sequence[int], meter: Meter, seen: dict[int, int] | None = None
) -> Iterator[Supposition]:
    """Yield suppositions that break down by singles, locked candidates and chains, those that promise to be short.

    Parameters
    ----------
    rules : Rules
        The model.
    position : Position
        The position.
    candidates : sequence of int
        What may be supposed.
    meter : Meter
        Counts each supposition that is followed.
    seen : dict of int to int, optional
        The candidates whose suppositions broke down in an earlier position of the same walk, with how much was drawn
        until they did; updated in place.  They break down ever after, so they are not screened again.

    Notes
    -----
    A screen over bitsets finds out quickly which suppositions break down, and roughly how much was drawn until they
    did.  The most promising ones are then followed with their reasons, none further than the level of the best so far.
    """
    screened = all(rules.plain)
    ways: list[tuple[int, int]] = []
    known = {} if seen is None else seen
    for candidate in candidates:
        if candidate not in known:
            end, work = quickly(rules, *place(rules.model, position, candidate)) if screened else (None, 0)
            if end is not None:
                continue
            known[candidate] = work
        ways.append((known[candidate], candidate))
    limit = inf
    for _, candidate in sorted(ways)[: FOLLOWED if screened else None]:
        if not meter.take():
            return
        found = supposition(rules, position, candidate, (), limit)
        if found is not None:
            limit = min(limit, level_of(size_of(found)))
            yield found


def supposition(
    rules: Rules, position: Position, candidate: int, sources: Sequence[Source] = (), limit: float = inf
) -> Supposition | None:
    """Return the supposition of a candidate with the inferences by which it breaks down, or None.

    Parameters
    ----------
    rules : Rules
        The model.
    position : Position
        The position.
    candidate : int
        The open candidate supposed true.
    sources : sequence of Source
        Arguments beyond singles, locked candidates and chains.
    limit : float
        The largest effort of the supposition.
    """
    inner = inf if limit == inf else (limit - 1) // 2
    refuted = Trail.supposing(rules, position, candidate, inner, sources).refutation()
    return None if refuted is None else Supposition(candidate, refuted)
