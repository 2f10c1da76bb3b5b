"""A way from a position to its solution, planned ahead and pruned to what the solution rests on."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf

from deduce.counting.costs import Cost
from deduce.counting.fit import fit
from deduce.counting.gather import Meter, Settled, level_of, refutations, simplest_sums, sums, supposition
from deduce.counting.least import least_on_board
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.points import Points
from deduce.counting.quick import possible, quickly
from deduce.counting.rules import Rules
from deduce.counting.screen import Screen
from deduce.counting.system import System
from deduce.counting.tied import Tied
from deduce.counting.trail import Source, Trail, size_of
from deduce.kernel import Argument, Position, Supposition, bits
from deduce.puzzle.layout import Layout

__all__ = ["Plan", "make_plan"]

DEEP = 3
"""How many more hard suppositions are followed after the first that breaks down, in search of an easier one."""

EASY = 90
"""From deductions of more than this effort on, chains over groups and almost locked sets are drawn as well."""

FOLLOWED = 16
"""How many of the suppositions that break down are followed with their reasons; the others only wait."""

AGAIN = 4
"""How many of the easiest of these are followed once more in another order, which is often shorter."""

INNER_LEVELS = (20, 60, 180)
"""The sizes up to which sums are looked for under a hard supposition."""


RESTED = 12
"""How many candidates must have gone before a supposition that did not break down is followed again."""


class _Search:
    """What a search for one plan knows.

    Parameters
    ----------
    rules : Rules
        The model.
    position : Position
        Where it begins.
    meter : Meter
        Stops it.
    layout : Layout or None
        Where the candidates of a puzzle stand; None for a bare model.

    Attributes
    ----------
    solution : int
        Bitset of candidates that are true in some solution, if any is known; they are not worth supposing.
    quick, tied : Screen or None
        What follows from suppositions by singles, locked candidates and chains of single candidates; and by chains over
        groups and almost locked sets as well.  None where rules say more than "one of these".
    chains : tuple of Source
        The arguments behind `tied`.
    broken : dict of int to Supposition
        Suppositions that broke down by sums in an earlier position; they still do.
    firm : dict of int to int
        Suppositions that did not, with the number of candidates that were open then.
    points : Points
        Fillings by which linear programs have answered questions.
    settled : Settled
        What sums of any size conclude.
    """

    def __init__(self, rules: Rules, position: Position, meter: Meter, layout: Layout | None) -> None:
        self.rules = rules
        self.meter = meter
        self.solution = possible(rules, position)
        self.quick: Screen | None = None
        self.tied: Screen | None = None
        self.chains: tuple[Source, ...] = ()
        if all(rules.plain):
            self.quick = Screen(rules, lambda live, true: quickly(rules, live, true))
            if layout is not None:
                tied = Tied(rules, layout)
                self.tied = Screen(rules, tied.followed)
                self.chains = (tied.arguments,)
        self.broken: dict[int, Supposition] = {}
        self.firm: dict[int, int] = {}
        self.points = Points()
        self.settled = Settled()

    def open(self, position: Position) -> list[int]:
        """List the open candidates that may be false."""
        return bits(position.live & ~position.true & ~self.solution)

    def refuted(self, position: Position) -> list[Supposition]:
        """Return the easiest of the suppositions that break down by singles, locked candidates and chains."""
        return self._followed(position, self.quick, (), inf)

    def tied_up(self, position: Position, limit: float) -> list[Supposition]:
        """Return the easiest of those that break down by chains over groups and almost locked sets as well."""
        found = self._followed(position, self.tied, self.chains, limit) if self.tied else []
        found.sort(key=_order)
        for number, old in enumerate(found[:AGAIN]):
            most = size_of(old) - 1
            new = supposition(self.rules, position, old.candidate, self.chains, most, together=True)
            found[number] = new or old
        return found

    def _followed(
        self, position: Position, screen: Screen | None, sources: Sequence[Source], limit: float
    ) -> list[Supposition]:
        """Return those of the most promising suppositions that are about as easy as the easiest, none above a limit."""
        candidates = self.open(position)
        if screen is not None:
            candidates = [candidate for _, candidate in screen.broken(position, candidates)[:FOLLOWED]]
        return [*refutations(self.rules, position, candidates, self.meter, sources, limit)]


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


def make_plan(
    rules: Rules, position: Position, names: Collection[str], meter: Meter, layout: Layout | None = None
) -> Plan:
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
    layout : Layout, optional
        Where the candidates of a puzzle stand.  Without it no chains over groups and almost locked sets are drawn, and
        harder suppositions are refuted with sums at once.

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
    search = _Search(rules, position, meter, layout)
    if search.solution and not search.open(position):
        return Plan((), complete=False)
    if COUNTING not in names:
        found = search.refuted(position) or search.tied_up(position, inf)
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
    found: list[Argument] = []
    if SUPPOSITION in names:
        found += search.refuted(position)
    found += _sums(search, position, min(_level(found), EASY))
    limit = _level(found)
    if limit > EASY and SUPPOSITION in names:
        found += search.tied_up(position, limit)
        limit = _level(found)
    if limit > EASY:
        found += _sums(search, position, limit)
        limit = _level(found)
    if limit == inf and SUPPOSITION in names:
        found += _hard(search, position, limit)
        limit = _level(found)
    return [argument for argument in found if size_of(argument) <= limit]


def _sums(search: _Search, position: Position, limit: float) -> Iterator[Argument]:
    """Yield the sums up to a level of effort; without a limit, those of the lowest level at which there are any."""
    if not search.meter.take():
        return
    if limit < inf:
        yield from sums(search.rules.model, position, limit, search.solution, search.points, search.settled)
    else:
        yield from _simplest_sums(search, position, inf, search.solution)


def _level(found: Iterable[Argument]) -> float:
    """Return the lowest level of effort that holds any of these arguments."""
    return level_of(min(map(size_of, found), default=inf))


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
    candidates = [c for c in _by_what_is_left(search, position) if c not in search.broken]
    size = len(bits(position.live & ~position.true))
    shallow: tuple[Source, ...] = (
        *search.chains,
        lambda here, most: _simplest_sums(search, here, most),
    )
    deep: tuple[Source, ...] = (*shallow, lambda here, _: refutations(rules, here, bits(here.live & ~here.true), meter))
    for sources in (shallow, deep):
        more = DEEP
        for candidate in candidates:
            if limit < inf and search.firm.get(candidate, inf) < size + RESTED:
                continue
            if not more or not meter.take():
                break
            more -= limit < inf
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


def _simplest_sums(search: _Search, position: Position, most: float, solution: int = 0) -> Iterator[Argument]:
    """Yield the sums of the lowest level of size at which there are any."""
    model = search.rules.model
    top = min(most, INNER_LEVELS[-1])
    levels = (*(level for level in INNER_LEVELS if level < top), top)
    found = simplest_sums(model, position, levels, solution, search.points)
    yield from found
    if not found and top < most:
        unit = Cost([1] * len(model.constraints), [1] * len(model.constraints))
        least = least_on_board(System(model, position), unit, below=most + 1, solution=solution)
        if least is not None and least.argument is not None:
            yield least.argument


def _by_what_is_left(search: _Search, position: Position) -> list[int]:
    """Return the open candidates, those first whose truth leaves least open after what follows cheaply."""
    screen, candidates = search.tied or search.quick, search.open(position)
    if screen is None:
        return candidates
    broken = {candidate for _, candidate in screen.broken(position, candidates)}
    return sorted(candidates, key=lambda c: (0 if c in broken else screen.left(c), c))
