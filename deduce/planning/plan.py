"""Plan: the line of deduction that suits the lesson, with an honest word on whether there is a better one."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from deduce.deadline import Cancel, within
from deduce.errors import OutOfTime, PatternError
from deduce.patterns.catalogue import NAMES, find
from deduce.planning.allowlist import choose_patterns
from deduce.planning.best_first import LIGHTEST, BestPlan, PlanCost, Price, cheapest
from deduce.planning.bound import SHRINKS
from deduce.planning.terrain import AdvancedStep, Terrain
from deduce.puzzle.grid import Grid
from deduce.solving.hitting import hitting_of_size
from deduce.walks.effort import SIMPLE, WalkEffort, effort, walk_effort
from deduce.walks.prune import prune
from deduce.walks.walk import Step, Walk, walk

__all__ = ["BUDGET", "Answer", "Objective", "Plan", "key", "plan"]

BUDGET = 100
"""How many positions a plan looks at by default."""


class Objective(StrEnum):
    """What makes one plan better than another; only advanced steps count."""

    FEWEST_STEPS = "fewest advanced steps"
    LEAST_EFFORT = "least total effort"
    LEAST_PEAK = "least peak effort"
    FEWEST_PATTERNS = "fewest distinct patterns"
    MOST_ALIKE = "most alike"


class Answer(StrEnum):
    """What a bounded search for a plan has shown."""

    PROVED = "proved best"
    FOUND = "best found"
    NONE = "none exists"
    OPEN = "none found"


@dataclass(frozen=True, slots=True)
class Plan:
    """A line of deduction chosen by an objective, or the news that there is none.

    Parameters
    ----------
    walk : Walk
        The plan, pruned; if there is none, how far the allowed patterns lead: its last position is the one where they
        stick.
    answer : Answer
        `PROVED`: no plan is better.  `FOUND`: a plan, but the budget ended the search for a better one.  `NONE`: no
        plan exists within the allowed patterns.  `OPEN`: none was found before the budget was spent.
    objective : Objective
        What was asked for.
    cost : tuple of int or None
        What the plan comes to by the objective: the number of advanced steps that are not preferred (only if some
        patterns are preferred), then the number that the objective names.
    simple, allowed, preferred, required : tuple of str
        What was allowed to whom: simple steps, advanced ones, and those that were wanted.
    looked : int
        How many positions had all their advanced steps looked at.
    """

    walk: Walk
    answer: Answer
    objective: Objective
    cost: PlanCost | None
    simple: tuple[str, ...]
    allowed: tuple[str, ...]
    preferred: tuple[str, ...]
    required: tuple[str, ...]
    looked: int

    @property
    def exists(self) -> bool:
        """Whether there is a plan."""
        return self.answer in (Answer.PROVED, Answer.FOUND)

    @property
    def advanced(self) -> tuple[Step, ...]:
        """The steps that are not simple: with the fewest advanced steps as objective, the key of the puzzle."""
        return tuple(step for step in self.walk.steps if step.proof.pattern.name not in self.simple)

    @property
    def stuck(self) -> Grid | None:
        """The position where the allowed patterns stick, if there is no plan."""
        return None if self.exists else self.walk.grid

    @property
    def profile(self) -> WalkEffort:
        """The effort of the walk."""
        return walk_effort(self.walk, self.simple)

    def __repr__(self) -> str:
        return f"<Plan: {self.answer.value}, {len(self.advanced)} advanced of {len(self.walk)} steps>"


def key(grid: Grid, allowed: Iterable[str] | None = None, *, budget: int = BUDGET, assume_unique: bool = False) -> Plan:
    """Return the plan with the fewest advanced steps: its `advanced` steps are the smallest set that opens the puzzle.

    The answer says whether it is proved to be the smallest.
    """
    return plan(grid, allowed, budget=budget, assume_unique=assume_unique)


def plan(
    grid: Grid,
    allowed: Iterable[str] | None = None,
    *,
    objective: Objective | str = Objective.FEWEST_STEPS,
    preferred: Iterable[str] = (),
    forbidden: Iterable[str] = (),
    required: Iterable[str] = (),
    simple: Iterable[str] = SIMPLE,
    budget: int = BUDGET,
    assume_unique: bool = False,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Plan:
    """Search for the best line of deduction from a grid to its solution.

    Parameters
    ----------
    grid : Grid
        Where to begin.
    allowed : iterable of str, optional
        Names of the patterns that advanced steps may use; by default all that may be used.  Simple steps are
        always allowed.
    objective : Objective or str
        What makes a plan good: the number of advanced steps, the sum or the largest of their efforts, the number of
        their different patterns, or, for `MOST_ALIKE`, the number of advanced steps by other patterns than one
        favourite, which the search chooses.
    preferred : iterable of str
        A plan with fewer advanced steps by other patterns than these is better, whatever the objective says.
    forbidden : iterable of str
        Names that may not be used, not even as simple steps.
    required : iterable of str
        Names that the plan must use and cannot do without: if the steps by that pattern were left out one at a time,
        one of them would be missed.
    simple : iterable of str
        Names of the steps that are always taken when there are any, and cost nothing.
    budget : int
        How many positions may be looked at; a tenth of them where patterns are allowed that leave it open how many
        steps are still needed, since a long search then hardly ever finds or proves more.
    assume_unique : bool
        Whether patterns may be used that hold only in a puzzle with one solution, as for :func:`deduce.walk`.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Returns
    -------
    Plan
        The best plan found, and what is proved about it.

    Raises
    ------
    PatternError
        For an unknown name, and for a required or preferred one that is not allowed.
    ValueError
        For an unknown objective or a budget below 1.

    Notes
    -----
    Plans are compared among those that take every simple step before the next advanced one, and whose advanced steps
    are among what :func:`deduce.find` offers where they are taken.  Whoever leaves simple steps lying, or sees a chain
    longer than need be, may find a line that is not among them.

    Examples
    --------
    >>> from deduce.solving.generate import minimal_puzzle
    >>> found = plan(minimal_puzzle(58), ["hidden pair", "X-wing", "XY-chain", "W-wing"])
    >>> found.answer.value, [step.proof.pattern.name for step in found.advanced]
    ('proved best', ['hidden pair', 'X-wing', 'XY-chain', 'XY-chain'])
    """
    if budget < 1:
        raise ValueError(f"budget is {budget}; give the number of positions that may be looked at, at least 1")
    # What is barred is not used, so it may be anything.
    barred = _ordered(forbidden, assume_unique=True)
    fluent = tuple(name for name in _ordered(simple, assume_unique=assume_unique) if name not in barred)
    usable = _ordered(allowed, assume_unique=assume_unique)
    kept = tuple(name for name in usable if name not in fluent and name not in barred)
    liked, wanted = (_ordered(names, assume_unique=assume_unique) for names in (preferred, required))
    for name in (*liked, *wanted):
        if name not in kept:
            raise PatternError(name, kept)
    try:
        aim = Objective(objective)
    except ValueError:
        known = ", ".join(repr(one.value) for one in Objective)
        raise ValueError(f"objective is {str(objective)!r}; give one of {known}") from None
    request = _Request(grid, aim, fluent, kept, liked, wanted, budget, assume_unique)
    with within(seconds, cancel):
        try:
            best = _searched(request)
        except OutOfTime:
            best = BestPlan(None, None, False, 0)
        if best.route is None:
            return request.settled(best)
    # A plan that was found is told in full, whatever time is left.
    return request.settled(best)


def _ordered(names: Iterable[str] | None, *, assume_unique: bool) -> tuple[str, ...]:
    """Return names in the order of the catalogue; None stands for all that may be used."""
    finders = choose_patterns(names, assume_unique=assume_unique)
    return tuple(name for _, finder, wanted in finders for name in finder.names if name in wanted)


@dataclass(frozen=True, slots=True)
class _Request:
    """What was asked for, checked and put into the order of the catalogue."""

    grid: Grid
    objective: Objective
    simple: tuple[str, ...]
    allowed: tuple[str, ...]
    preferred: tuple[str, ...]
    required: tuple[str, ...]
    budget: int
    assume_unique: bool

    def terrain(self, advanced: Collection[str] | None = None, favourite: Collection[str] = ()) -> Terrain:
        """Return the terrain with these advanced patterns, and with some that are as good as simple."""
        names = self.allowed if advanced is None else advanced
        singled_out = [name for name in names if name in self.required or name in self.preferred]
        return Terrain(self.grid, (*self.simple, *favourite), names, singled_out, assume_unique=self.assume_unique)

    def search(self, price: Price, terrain: Terrain | None = None, *, looked: int = 0) -> BestPlan:
        """Search for a cheapest plan with what is left of the budget; positions looked at before are counted."""
        budget = max(1, self.budget - looked)
        found = cheapest(terrain or self.terrain(), price, required=self.required, budget=budget)
        return replace(found, looked=found.looked + looked)

    def walk(self, names: Iterable[str]) -> Walk:
        """Walk the grid by some patterns."""
        return walk(self.grid, names, assume_unique=self.assume_unique)

    def leads_on(self, grid: Grid, name: str) -> bool:
        """Whether a pattern concludes anything in a position."""
        return next(find(grid, [name], assume_unique=self.assume_unique), None) is not None

    def disliked(self, offer: AdvancedStep) -> int:
        """Return 1 for a step by a pattern that is not preferred although others are."""
        return int(bool(self.preferred) and offer.name not in self.preferred)

    def cost(self, walked: Walk) -> PlanCost:
        """Return what a walk comes to by the objective."""
        steps = [step for step in walked.steps if step.proof.pattern.name not in self.simple]
        names = [step.proof.pattern.name for step in steps]
        efforts = [effort(step.proof).total for step in steps]
        amount = {
            Objective.FEWEST_STEPS: len(steps),
            Objective.LEAST_EFFORT: sum(efforts),
            Objective.LEAST_PEAK: max(efforts, default=0),
            Objective.FEWEST_PATTERNS: len(set(names)),
            Objective.MOST_ALIKE: len(names) - max(map(names.count, names), default=0),
        }[self.objective]
        return (sum(name not in self.preferred for name in names), amount) if self.preferred else (amount,)

    def settled(self, best: BestPlan) -> Plan:
        """Turn what a search found into a plan."""
        cost = None
        if best.route is None:
            answer = Answer.NONE if best.proved else Answer.OPEN
            walked = self.walk((*self.simple, *self.allowed))
        else:
            answer = Answer.PROVED if best.proved else Answer.FOUND
            simple = best.simple or self.simple
            terrain = Terrain(self.grid, simple, self.allowed, assume_unique=self.assume_unique)
            route = terrain.route([offer.proof for offer in best.route], self._names())
            walked = prune(route)
            cost = self.cost(walked)
        return Plan(
            walked, answer, self.objective, cost, self.simple, self.allowed, self.preferred, self.required, best.looked
        )

    def _names(self) -> tuple[str, ...]:
        return tuple(name for name in NAMES if name in self.simple or name in self.allowed)


def _searched(request: _Request) -> BestPlan:
    if request.objective is Objective.FEWEST_PATTERNS:
        return _fewest_patterns(request)
    if request.objective is Objective.MOST_ALIKE:
        return _most_alike(request)
    return request.search(_PRICES[request.objective](request))


def _steps(request: _Request) -> Price:
    """Count advanced steps."""
    return Price(
        (0, 0),
        lambda cost, offer: (cost[0] + request.disliked(offer), cost[1] + 1),
        lambda cost, rounds, _: (cost[0], cost[1] + rounds),
    )


def _efforts(request: _Request) -> Price:
    """Add up efforts."""
    return Price(
        (0, 0),
        lambda cost, offer: (cost[0] + request.disliked(offer), cost[1] + offer.effort),
        lambda cost, rounds, easiest: (cost[0], cost[1] + easiest + (rounds - 1) * LIGHTEST),
    )


def _peaks(request: _Request) -> Price:
    """Find the largest effort; of ways with the same one so far those of fewer steps are followed first."""
    return Price(
        (0, 0, 0),
        lambda cost, offer: (cost[0] + request.disliked(offer), max(cost[1], offer.effort), cost[2] + 1),
        lambda cost, rounds, easiest: (cost[0], max(cost[1], easiest), cost[2] + rounds),
    )


def _fewest_patterns(request: _Request) -> BestPlan:
    """Try sets of patterns, smallest first, that hold one of those that lead on wherever another set stuck.

    A set that sticks in a position shows that a set which solves the puzzle holds a pattern with a deduction there, or
    one that can shrink to such a pattern, or one of which that is not known.  So a smallest set that satisfies all
    that was shown this way is a lower bound.  A set that sticks although it holds such a pattern is searched: it may
    do without the deduction that was in its way.
    """
    looked, proved = 0, True
    leads: list[frozenset[str]] = []
    tried: set[tuple[str, ...]] = set()
    while looked < request.budget and (chosen := _smallest(request, leads, tried)) is not None:
        looked += 1
        tried.add(chosen)
        walked = request.walk((*request.simple, *chosen))
        if not walked.solved:
            here = {name for name in request.allowed if request.leads_on(walked.grid, name)}
            leads.append(frozenset(n for n in request.allowed if n not in SHRINKS or here & {n, *SHRINKS[n]}))
            if leads[-1].isdisjoint(chosen):
                continue
        best = _within(request, chosen, looked)
        looked = best.looked
        if best.route is not None:
            return replace(best, proved=proved)
        proved = proved and best.proved
    return _unopened(request, looked)


def _unopened(request: _Request, looked: int) -> BestPlan:
    """Search without regard to the number of patterns, to say whether there is any plan at all."""
    found = request.search(_steps(request), looked=looked)
    if found.route is None:
        return found
    names = tuple(sorted({offer.name for offer in found.route}))
    return replace(found, cost=_rank(request, names), proved=False)


def _within(request: _Request, chosen: tuple[str, ...], looked: int) -> BestPlan:
    """Search for a plan by a set of patterns; what it costs is the set."""
    found = request.search(_steps(request), request.terrain(chosen), looked=looked)
    return found if found.route is None else replace(found, cost=_rank(request, chosen))


def _rank(request: _Request, chosen: Collection[str]) -> PlanCost:
    """Return how many patterns of a set are not preferred although others are, and how many there are."""
    return sum(name not in request.preferred for name in chosen) if request.preferred else 0, len(chosen)


def _smallest(
    request: _Request, shown: Collection[frozenset[str]], passed_over: Collection[tuple[str, ...]]
) -> tuple[str, ...] | None:
    """Return the set of least rank that holds the required patterns and one of each set shown, or None."""
    if not all(shown):
        return None
    bit = {name: 1 << i for i, name in enumerate(name for name in request.allowed if name not in request.required)}
    unmet = [sum(bit.get(name, 0) for name in lead) for lead in shown if lead.isdisjoint(request.required)]
    best: tuple[str, ...] | None = None
    for size in range(len(bit) + 1):
        for more in hitting_of_size(len(bit), unmet, size):
            chosen = tuple(name for name in request.allowed if name in request.required or more & bit[name])
            if chosen not in passed_over and (best is None or _rank(request, chosen) < _rank(request, best)):
                best = chosen
                if not request.preferred:
                    return best
        # With preferred patterns a larger set may rank before a smaller one, but not before one that is all preferred.
        if best is not None and (size > SEARCHED or _rank(request, best)[0] == 0):
            return best
    return best


SEARCHED = 3
"""Up to this size sets of patterns are compared with larger ones that hold more preferred patterns."""


def _most_alike(request: _Request) -> BestPlan:
    """Take each pattern as the favourite, whose steps are then as good as simple, and count the other steps."""
    names = [name for name in request.allowed if not request.preferred or name in request.preferred]
    reached = {name: request.walk((*request.simple, name)).grid for name in names}
    names.sort(key=lambda name: -reached[name].true.bit_count())
    best = BestPlan(None, None, True, 0)
    proved, looked = True, 0
    for name in names:
        if looked >= request.budget:
            proved = False
            break
        required = [other for other in request.required if other != name]
        terrain = request.terrain([other for other in request.allowed if other != name], [name])
        found = cheapest(terrain, _steps(request), required=required, budget=request.budget - looked, below=best.cost)
        looked += found.looked
        proved = proved and found.proved
        if found.route is None or found.cost is None:
            continue
        if name in request.required:
            walked = prune(terrain.route([offer.proof for offer in found.route], terrain.simple))
            if not any(step.proof.pattern.name == name for step in walked.steps):
                proved = False
                continue
        best = BestPlan(found.route, found.cost, True, 0, terrain.simple)
        if found.cost == (0, 0):
            proved = True
            break
    return BestPlan(best.route, best.cost, proved, looked, best.simple)


_PRICES = {Objective.FEWEST_STEPS: _steps, Objective.LEAST_EFFORT: _efforts, Objective.LEAST_PEAK: _peaks}
"""For the objectives that one search settles what its steps cost."""
