"""Everything that can be concluded in a position within some size: sums, and suppositions that break down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf

from deduce.counting.costs import unit_cost
from deduce.counting.exact import whole_weights
from deduce.counting.fillings import Fillings
from deduce.counting.least import Searcher
from deduce.counting.meter import Meter
from deduce.counting.reach import Scan
from deduce.counting.system import System
from deduce.kernel import Counting, Model, Position, Supposition
from deduce.links.statements import Statements
from deduce.suppositions.trail import Source, Trail, size_of

__all__ = ["LEVELS", "Settled", "level_of", "refutations", "sums", "supposition"]

LEVELS = (24, 40, 60, 90, 140, 180, 220, 300, 400, 600, inf)
"""Efforts between which no difference is made when deductions are chosen."""


TRIED = 6
"""How many branchings the search for whole weights may try for each candidate; long ones seldom end in a small sum."""


def level_of(size: float) -> float:
    """Return the smallest of the `LEVELS` that holds an size."""
    return next(level for level in LEVELS if size <= level)


@dataclass(slots=True)
class Settled:
    """What sums of any size conclude along one solve; what they conclude once, they conclude ever after.

    Parameters
    ----------
    false, true : int
        Bitsets of the candidates that some sum shows to be false, and to be true.
    """

    false: int = 0
    true: int = 0


def sums(
    model: Model,
    position: Position,
    limit: float,
    meter: Meter,
    solution: int = 0,
    fillings: Fillings | None = None,
    settled: Settled | None = None,
) -> Iterator[Counting]:
    """Yield counting arguments of an size up to a limit that between them conclude all that such arguments can.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        The position.
    limit : float
        The largest size of an argument.
    meter : Meter
        Counts the linear programs that are solved.
    solution : int
        Bitset of the true candidates of a solution, if one is known.
    fillings : Fillings, optional
        Fillings found before.
    settled : Settled, optional
        What was found in earlier positions of the same solve; updated in place.  With it, whether any sum concludes
        something is asked first: hardly any does where a solve is stuck, and most answers are known from before.
    """
    if settled is not None and solution:
        scan = Scan(System(model, position), solution, fillings=fillings, meter=meter)
        scan.answer(settled.false, settled.true, known=True)
        for question in scan.questions():
            for column, sign in question.items():
                bit = 1 << scan.system.open[column]
                settled.false |= bit if sign > 0 else 0
                settled.true |= bit if sign < 0 else 0
        scan.tighten(limit)
        scan.answer(settled.false, settled.true, known=False)
        yield from _small(scan, limit)
    elif not _all_answered(position, limit, solution, fillings):
        yield from _small(Scan(System(model, position), solution, limit=limit, fillings=fillings, meter=meter), limit)


def _all_answered(position: Position, limit: float, solution: int, fillings: Fillings | None) -> bool:
    """Whether fillings that are known show that no argument within a limit concludes anything."""
    can, need_not = fillings.known(position, limit) if fillings is not None else (0, 0)
    if not can:
        return False
    if solution:
        can, need_not = can | solution, need_not | ~solution
    open_ = position.live & ~position.true
    return not open_ & ~can and not open_ & ~need_not


def _small(scan: Scan, limit: float) -> Iterator[Counting]:
    """Yield the arguments up to a limit that answer the questions of a scan."""
    system = scan.system
    if not system.rows:
        return
    searcher: Searcher | None = None
    for question in scan.questions():
        if question:
            argument, _ = whole_weights(system, scan.covers(), scan.program, question)
            if size_of(argument) <= limit:
                yield argument
                continue
        # The multipliers were halves or thirds and have grown: look for whole ones that are as small.
        if searcher is None:
            searcher = Searcher(system, unit_cost(system.model), TRIED, hand_over=False)
        found = searcher.least(question, limit + 1)
        if found is not None and found.argument is not None and found.cost <= limit:
            yield found.argument


def refutations(
    statements: Statements,
    position: Position,
    candidates: Iterable[int],
    meter: Meter,
    sources: Sequence[Source] = (),
    limit: float = inf,
) -> Iterator[Supposition]:
    """Yield suppositions with the inferences by which they break down, none much longer than the shortest so far.

    Parameters
    ----------
    statements : Statements
        The model.
    position : Position
        The position.
    candidates : iterable of int
        What may be supposed, the most promising ones first; one that does not break down is passed over.
    meter : Meter
        Counts each supposition that is followed.
    sources : sequence of Source
        Arguments beyond singles, locked candidates and chains.
    limit : float
        The largest size of a supposition.
    """
    for candidate in candidates:
        if not meter.take():
            return
        found = supposition(statements, position, candidate, sources, limit)
        if found is not None:
            limit = min(limit, level_of(size_of(found)))
            yield found


def supposition(
    statements: Statements,
    position: Position,
    candidate: int,
    sources: Sequence[Source] = (),
    limit: float = inf,
    *,
    together: bool = False,
) -> Supposition | None:
    """Return the supposition of a candidate with the inferences by which it breaks down, or None.

    Parameters
    ----------
    statements : Statements
        The model.
    position : Position
        The position.
    candidate : int
        The open candidate supposed true.
    sources : sequence of Source
        Arguments beyond singles, locked candidates and chains.
    limit : float
        The largest size of the supposition.
    together : bool
        Whether the first source is asked whenever chains are, not only after them: often, not always, that is shorter.
    """
    inner = inf if limit == inf else (limit - 1) // 2
    refuted = Trail.supposing(statements, position, candidate, inner, sources, together=together).refutation()
    if refuted is None:
        return None
    # An argument may rest on more when it is drawn than it did when it was queued.
    found = Supposition(candidate, refuted)
    return found if size_of(found) <= limit else None
