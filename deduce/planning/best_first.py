"""Best-first search for a cheapest plan, with a budget and an account of what it has proved."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count

from deduce.deadline import in_time
from deduce.errors import OutOfTime
from deduce.kernel import Inference, Position, check
from deduce.planning.bound import Rounds
from deduce.planning.terrain import AdvancedStep, Terrain
from deduce.proof import Proof
from deduce.walks.effort import effort
from deduce.walks.prune import prune, restated
from deduce.walks.walk import walk

__all__ = ["BestPlan", "PlanCost", "Price", "cheapest", "indispensable", "leads_to"]

PlanCost = tuple[int, ...]
"""What a plan costs so far; costs are compared part by part, the first part first."""

_Route = tuple[AdvancedStep, ...]

LIGHTEST = 2
"""No proof has less effort: it reads one place for one digit."""


@dataclass(frozen=True, slots=True)
class Price:
    """How the cost of a plan adds up.

    Parameters
    ----------
    start : tuple of int
        The cost of a plan without advanced steps.
    add : callable
        From a cost and an offer to the cost with that step; it never gets less.
    least : callable
        From a cost, a number of advanced steps still needed at least, and the effort of the easiest one on offer, to
        the least that a plan can come to.
    """

    start: PlanCost
    add: Callable[[PlanCost, AdvancedStep], PlanCost]
    least: Callable[[PlanCost, int, int], PlanCost]


@dataclass(frozen=True, slots=True)
class BestPlan:
    """The cheapest plan that a search found, and what it has proved of it.

    Parameters
    ----------
    route : tuple of Offer or None
        The advanced steps of the cheapest plan found.
    cost : tuple of int or None
        Its cost.
    proved : bool
        Whether the search has shown that there is no cheaper one (without a route: that there is none).
    looked : int
        How many positions had all their advanced steps looked at.
    simple : tuple of str
        What the search took as simple, if that was more than was asked for.
    """

    route: _Route | None
    cost: PlanCost | None
    proved: bool
    looked: int
    simple: tuple[str, ...] = ()


def cheapest(
    terrain: Terrain, price: Price, *, required: Collection[str] = (), budget: int = 100, below: PlanCost | None = None
) -> BestPlan:
    """Return a cheapest plan, by best-first search.

    Parameters
    ----------
    terrain : Terrain
        Where to search.
    price : Price
        What plans cost.
    required : collection of str
        Names of patterns that the plan must not be able to do without; see :func:`indispensable`.
    budget : int
        How many positions of the terrain may have been looked at before the search gives up; the first dive may take
        more.
    below : tuple of int, optional
        Only a plan that costs less than this is of interest.

    Returns
    -------
    BestPlan
        Among plans of equal cost the one of least total effort that the search came across.

    Notes
    -----
    A search from the cheapest towards the dearest (A*), with the bound of :class:`deduce.planning.bound.Rounds`.  Each
    position is kept once, by the cheapest way to it; with required patterns, where the way matters, each set of
    advanced steps is.  Dives that follow whatever unlocks most, or costs least, and the pruned walk set a first
    mark, so that the search may end as soon as nothing cheaper is left.
    """
    start = terrain.after_simple_steps(Position(terrain.start.live, terrain.start.true))
    if start is None:
        return BestPlan(None, None, True, 0)
    if terrain.solved(start) and not required:
        route: _Route = ()
        return (
            BestPlan(route, price.start, True, 0)
            if below is None or price.start < below
            else BestPlan(None, None, True, 0)
        )
    search = _Search(terrain, price, tuple(sorted(required)), below, budget)
    try:
        search.dive(start, lambda offer: (_open(offer.after), offer.effort), sure=True)
        if not search.rounds.known:
            # Little shows how much is still needed, so that a long search hardly ever finds or proves more.
            search.budget = max(1, budget // 10)
        search.follow(start)
        search.dive(start, lambda offer: (*price.add(price.start, offer), _open(offer.after)))
        for name in search.required:
            search.dive(start, _favour(name))
        return search.run(start)
    except OutOfTime:
        return BestPlan(search.route, search.cost, False, terrain.looked)


def _favour(name: str) -> Callable[[AdvancedStep], PlanCost]:
    """Return a rank by which a dive takes steps by one pattern first."""
    return lambda offer: (offer.name != name, _open(offer.after), offer.effort)


class _Search:
    """One search: the cheapest plan so far, and the ways that may still lead to a cheaper one."""

    def __init__(
        self, terrain: Terrain, price: Price, required: tuple[str, ...], below: PlanCost | None, budget: int
    ) -> None:
        self.terrain, self.price, self.required, self.budget = terrain, price, required, budget
        self.rounds = Rounds(terrain)
        self.mark = below
        self.route: _Route | None = None
        self.cost: PlanCost | None = None

    def dive(self, start: Position, rank: Callable[[AdvancedStep], PlanCost], *, sure: bool = False) -> bool:
        """Follow the step that ranks lowest each time, then leave out the steps that were not needed."""
        position, route = start, []
        while not self.terrain.solved(position):
            if self._spent(position) and not sure:
                return False
            offers = [offer for offer in self.terrain.offers(position) if offer.after is not None]
            if not offers:
                return False
            best = min(offers, key=rank)
            route.append(best)
            position = best.after or position
        self._consider(self._shortened(route) if not self.required else route)
        return True

    def follow(self, start: Position) -> None:
        """Take the advanced steps of the pruned walk, which always makes the first deduction of the catalogue."""
        terrain = self.terrain
        walked = walk(terrain.grid(start), (*terrain.simple, *terrain.advanced), assume_unique=terrain.assume_unique)
        if not walked.solved:
            return
        position: Position | None = start
        route = []
        for step in prune(walked).steps:
            moved = None if position is None else restated(step.proof, terrain.grid(position))
            if moved is not None and position is not None and moved.pattern.name not in terrain.simple:
                position = terrain.after_simple_steps(check(terrain.grid(position), moved).after)
                route.append(AdvancedStep(moved, effort(moved).total, position))
        if position is not None and terrain.solved(position):
            self._consider(route if self.required else self._shortened(route))

    def _spent(self, position: Position) -> bool:
        """Whether looking at a position would go beyond the budget."""
        return self.terrain.looked >= self.budget and not self.terrain.known(position)

    def _shortened(self, route: list[AdvancedStep]) -> list[AdvancedStep]:
        """Leave out steps from the last to the first, as long as the rest leads to the solution."""
        for offer in reversed(route):
            fewer = [other for other in route if other is not offer]
            end = leads_to(self.terrain, [other.proof for other in fewer])
            if end is not None and self.terrain.solved(end):
                route = fewer
        return route

    def _consider(self, route: list[AdvancedStep]) -> None:
        """Take a plan as the best so far if it is cheaper and cannot do without what is required."""
        cost = self.price.start
        for offer in route:
            cost = self.price.add(cost, offer)
        if self.mark is not None and cost >= self.mark:
            return
        proofs = [offer.proof for offer in route]
        if all(indispensable(self.terrain, proofs, name) for name in self.required):
            self.route, self.cost, self.mark = tuple(route), cost, cost

    def run(self, start: Position) -> BestPlan:
        """Expand the ways in order of the least that they can come to."""
        price, order = self.price, count()
        heap: list[tuple[PlanCost, int, int, int, PlanCost, Position, _Route, bool]] = []
        best: dict[object, PlanCost] = {}

        def push(cost: PlanCost, position: Position, route: _Route, least: PlanCost, *, bounded: bool) -> None:
            if not self.terrain.solved(position):
                least = max(least, price.least(cost, 1, LIGHTEST))
            total = sum(offer.effort for offer in route)
            heappush(heap, (least, _open(position), total, next(order), cost, position, route, bounded))

        push(price.start, start, (), price.start, bounded=False)
        while heap:
            in_time()
            least, _, _, _, cost, position, route, bounded = heappop(heap)
            if self.mark is not None and least >= self.mark:
                break
            key = self._key(position, route)
            if key in best and (best[key] < cost or (bounded is False and best[key] == cost)):
                continue
            best[key] = cost
            if self.terrain.solved(position):
                self._consider(list(route))
                continue
            if not bounded:
                if self._spent(position):
                    return BestPlan(self.route, self.cost, False, self.terrain.looked)
                rounds = self.rounds.least(position, 99)
                offers = self.terrain.offers(position)
                if rounds is None or not offers:
                    continue
                easiest = min(offer.effort for offer in offers)
                least = max(least, price.least(cost, max(1, rounds), easiest))
                push(cost, position, route, least, bounded=True)
                continue
            for offer in self._distinct(position):
                if offer.after is not None:
                    total = price.add(cost, offer)
                    # What this position needed at least, a step from it still needs but for that step.
                    push(total, offer.after, (*route, offer), max(least, total), bounded=False)
        return BestPlan(self.route, self.cost, True, self.terrain.looked)

    def _key(self, position: Position, route: _Route) -> object:
        if not self.required:
            return position
        return position, frozenset((offer.name, offer.proof.inferences) for offer in route)

    def _distinct(self, position: Position) -> list[AdvancedStep]:
        """List the offers of a position, only the cheapest of those that lead to the same place.

        Where it matters what a plan could do without, steps that lead to the same place are not the same.
        """
        offers = self.terrain.offers(position)
        if self.required:
            return list(offers)
        kept: dict[Position | None, AdvancedStep] = {}
        for offer in offers:
            known = kept.get(offer.after)
            if known is None or self._weight(offer) < self._weight(known):
                kept[offer.after] = offer
        return list(kept.values())

    def _weight(self, offer: AdvancedStep) -> tuple[PlanCost, int]:
        return self.price.add(self.price.start, offer), offer.effort


def leads_to(terrain: Terrain, proofs: list[Proof]) -> Position | None:
    """Take proofs in order, with simple steps used up before each and at last.

    Returns
    -------
    Position or None
        Where that leads; None if one of them does not hold or if there turns out to be no solution.
    """
    position = terrain.after_simple_steps(Position(terrain.start.live, terrain.start.true))
    for proof in proofs:
        moved = None if position is None else restated(proof, terrain.grid(position))
        if moved is None or position is None:
            return None
        checked = check(terrain.grid(position), moved)
        position = None if checked.contradiction else terrain.after_simple_steps(checked.after)
    return position


def indispensable(terrain: Terrain, proofs: list[Proof], name: str) -> bool:
    """Whether one of the proofs by a pattern cannot be left out.

    Without it the others, in whatever order and as far as they hold, miss the solution.
    """
    for number, proof in enumerate(proofs):
        if proof.pattern.name == name:
            end = _all_that_hold(terrain, proofs[:number] + proofs[number + 1 :])
            if end is not None and not terrain.solved(end):
                return True
    return False


def _all_that_hold(terrain: Terrain, proofs: list[Proof]) -> Position | None:
    """Take proofs until none that is left holds, with simple steps used up; None if there is no solution."""
    position = terrain.after_simple_steps(Position(terrain.start.live, terrain.start.true))
    left = list(proofs)
    moving = True
    while moving and position is not None:
        moving = False
        for proof in left:
            moved = restated(_still_of_use(proof, position), terrain.grid(position))
            if moved is not None:
                left.remove(proof)
                checked = check(terrain.grid(position), moved)
                position = None if checked.contradiction else terrain.after_simple_steps(checked.after)
                moving = True
                break
    return position


def _still_of_use(proof: Proof, position: Position) -> Proof:
    """Return a proof without the conclusions that a position holds already."""
    settled = ~position.live | position.true
    kept = []
    for inference in proof.inferences:
        false = tuple(c for c in inference.false if not settled >> c & 1)
        true = tuple(c for c in inference.true if not settled >> c & 1)
        if false or true or inference.contradiction:
            kept.append(Inference(inference.argument, false, true))
    return replace(proof, inferences=tuple(kept))


def _open(position: Position | None) -> int:
    """Return how many candidates are left to be settled."""
    return position.live.bit_count() - position.true.bit_count() if position is not None else 0
