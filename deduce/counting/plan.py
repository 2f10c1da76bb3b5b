"""A way from a position to its solution, planned ahead and pruned to what the solution rests on."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from math import inf

from deduce.counting.costs import Cost
from deduce.counting.fit import fit
from deduce.counting.gather import Meter, level_of, refutations, sums, supposition
from deduce.counting.least import least_on_board
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.quick import possible, quickly
from deduce.counting.rules import Rules
from deduce.counting.system import System
from deduce.counting.trail import Source, Trail, size_of
from deduce.kernel import Argument, Position, Supposition, bits, place

__all__ = ["Plan", "make_plan"]

DEEP = 3
"""How many more hard suppositions are followed after the first that breaks down, in search of an easier one."""

HARD = 140
"""From deductions of more than this effort on, hard suppositions are considered as well."""

TOLERABLE = 400
"""A hard supposition of more than this size does not end the search for an easier one."""

INNER_LEVELS = (20, 60, 180)
"""The sizes up to which sums are looked for under a hard supposition."""


RESTED = 12
"""How many candidates must have gone before a supposition that did not break down is followed again."""


@dataclass(slots=True)
class _Search:
    """What a search for one plan knows.

    Parameters
    ----------
    rules : Rules
        The model.
    meter : Meter
        Stops it.
    solution : int
        Bitset of candidates that are true in some solution, if any is known; they are not worth supposing.
    screened : dict of int to int
        See :func:`refutations`.
    broken : dict of int to Supposition
        Hard suppositions that broke down in an earlier position; they still do.
    firm : dict of int to int
        Suppositions that did not, with the number of candidates that were open then.
    """

    rules: Rules
    meter: Meter
    solution: int
    screened: dict[int, int] = field(default_factory=dict)
    broken: dict[int, Supposition] = field(default_factory=dict)
    firm: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Plan:
    """What to do from a position on.

    Parameters
    ----------
    arguments : tuple of Argument
        In order; each holds once the ones before it, and what singles, locked candidates and chains conclude in
        between, have been taken.
    complete : bool
        Whether the plan leads to the solution, or to a contradiction; otherwise it ends where nothing more was found.
    """

    arguments: tuple[Argument, ...]
    complete: bool


def make_plan(rules: Rules, position: Position, names: Collection[str], meter: Meter) -> Plan:
    """Plan a way from a position to its solution.

    Parameters
    ----------
    rules : Rules
        The model.
    position : Position
        Where to begin.
    names : collection of str
        Which of `NAMES` may be used.
    meter : Meter
        Stops the search.

    Returns
    -------
    Plan
        What the solution, or the contradiction, rests on; everything else that was found on the way is left out.

    Notes
    -----
    Singles, locked candidates and chains are drawn freely.  When they are exhausted, sums and suppositions are gathered
    and those of the lowest level of effort are drawn.  If there are none, suppositions are refuted with sums inside.
    Planning ahead is what keeps walks short: most of what can be eliminated on a hard position leads nowhere.

    Without `COUNTING` among the names nothing else may be concluded in between, so the plan is one supposition.
    """
    search = _Search(rules, meter, possible(rules, position))
    if search.solution and not _open(position, search.solution):
        return Plan((), complete=False)
    if COUNTING not in names:
        found = [*refutations(rules, position, _open(position, search.solution), meter)]
        hardest = [*found] or _hard(search, position, inf)
        return Plan((min(hardest, key=_order),) if hardest else (), complete=False)
    trail = Trail(rules, position)
    while True:
        if trail.run():
            return Plan(_arguments(trail, trail.drawn[-1].roots), complete=True)
        here = trail.position
        if here.live == here.true:
            return Plan(_arguments(trail, trail.roots_of(here.true & ~position.true)), complete=True)
        fresh = 0
        for argument in _gathered(search, here, names):
            fresh += trail.offer(argument)
        if not fresh:
            return Plan(_arguments(trail, (1 << len(trail.drawn)) - 1), complete=False)


def _arguments(trail: Trail, roots: int) -> tuple[Argument, ...]:
    """Return the arguments of some of a trail's inferences, in order."""
    return tuple(trail.drawn[number].inference.argument for number in bits(roots))


def _order(argument: Argument) -> tuple[int, str]:
    return size_of(argument), repr(argument)


def _gathered(search: _Search, position: Position, names: Collection[str]) -> list[Argument]:
    """Return the arguments of the lowest level of size at which there are any."""
    rules, meter, solution = search.rules, search.meter, search.solution
    found: list[Argument] = []
    if SUPPOSITION in names:
        found += refutations(rules, position, _open(position, solution), meter, search.screened)
    limit = level_of(min(map(size_of, found), default=inf))
    if meter.take():
        if limit < inf:
            found += sums(rules.model, position, limit, solution)
        else:
            found += _simplest_sums(rules, position, inf, solution)
    limit = level_of(min(map(size_of, found), default=inf))
    if limit > HARD and SUPPOSITION in names:
        found += _hard(search, position, limit)
        limit = level_of(min(map(size_of, found), default=inf))
    return [argument for argument in found if size_of(argument) <= limit]


def _open(position: Position, solution: int = 0) -> list[int]:
    """List the open candidates that may be false."""
    return bits(position.live & ~position.true & ~solution)


def _hard(search: _Search, position: Position, limit: float) -> list[Argument]:
    """Return the easiest of a few suppositions that break down only with sums inside, and what is about as easy.

    Those that settle most by themselves are tried first: they leave the least to read.  If none breaks down, after
    every candidate has been tried at depth one, suppositions are made under the supposition.
    """
    rules, meter = search.rules, search.meter
    found: list[Argument] = []
    for candidate in sorted(search.broken):
        fitted = fit(rules, position, search.broken[candidate])
        if fitted is not None and size_of(fitted.argument) <= limit:
            found.append(fitted.argument)
            limit = min(limit, level_of(size_of(fitted.argument)))
    candidates = [c for c in _by_what_is_left(rules, position, search.solution) if c not in search.broken]
    size = len(_open(position))
    shallow: tuple[Source, ...] = (lambda here, most: _simplest_sums(rules, here, most),)
    deep: tuple[Source, ...] = (*shallow, lambda here, _: refutations(rules, here, _open(here), meter))
    for sources in (shallow, deep):
        more = DEEP
        for candidate in candidates:
            if limit < inf and search.firm.get(candidate, inf) < size + RESTED:
                continue
            if not more or not meter.take():
                break
            more -= limit <= TOLERABLE
            supposed = supposition(rules, position, candidate, sources, limit)
            if supposed is None:
                search.firm[candidate] = size
                continue
            search.broken[candidate] = supposed
            found.append(supposed)
            limit = size_of(supposed)
        if limit < inf or meter.spent:
            break
    limit = level_of(min(map(size_of, found), default=inf))
    return [argument for argument in found if size_of(argument) <= limit]


def _simplest_sums(rules: Rules, position: Position, most: float, solution: int = 0) -> Iterator[Argument]:
    """Yield the sums of the lowest level of size at which there are any."""
    top = min(most, INNER_LEVELS[-1])
    # Whether there is anything at all is asked first: most of the time there is not.
    largest = [*sums(rules.model, position, top, solution)]
    for limit in INNER_LEVELS[:-1] if largest else ():
        if limit < top and limit < min(map(size_of, largest)):
            found = [*sums(rules.model, position, limit, solution)]
            if found:
                yield from found
                return
    if not largest and top < most:
        unit = Cost([1] * len(rules.masks), [1] * len(rules.masks))
        least = least_on_board(System(rules.model, position), unit, below=most + 1, solution=solution)
        if least is not None and least.argument is not None:
            yield least.argument
        return
    level = level_of(min(map(size_of, largest), default=inf))
    yield from (argument for argument in largest if size_of(argument) <= level)


def _by_what_is_left(rules: Rules, position: Position, solution: int) -> list[int]:
    """Return the open candidates, those first whose truth leaves least open after what follows cheaply."""
    candidates = _open(position, solution)
    if not all(rules.plain):
        return candidates
    left = {}
    for candidate in candidates:
        end, _ = quickly(rules, *place(rules.model, position, candidate))
        left[candidate] = 0 if end is None else (end.live & ~end.true).bit_count()
    return sorted(candidates, key=lambda c: (left[c], c))
