"""Proofs of a claim that came without one: on the board, along a walk, and by counting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from deduce.claims.chain_check import same_chain
from deduce.claims.notes import countings
from deduce.claims.verdict import Attempt, Mend, Remedy
from deduce.errors import ProofError, SeveralSolutionsError
from deduce.kernel import check
from deduce.patterns import CATALOGUE, PLAIN, find
from deduce.patterns.singles import SINGLES
from deduce.positions import Needs, bits, bitset, united
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.truth import Count, SolutionFacts
from deduce.solving.uniqueness import one_solution
from deduce.suppositions.one_candidate import TRIALS, settle
from deduce.suppositions.step import Ending
from deduce.walks.dependencies import steps_behind
from deduce.walks.replay import holds, replay, rests_on, shortened
from deduce.walks.walk import Outcome, Walk, walk

__all__ = ["TRIALS", "Seeker", "single_for", "to_read"]


class Seeker:
    """What can be proved from one position, found out when it is first asked for.

    Parameters
    ----------
    grid : Grid
        The position.
    facts : SolutionFacts
        The solutions of its puzzle; a proof that rests on a candidate of the only solution being ruled out is not used.
    steps : int, optional
        How many steps a walk may take; by default as many as it needs.
    trials : int
        How many linear programs may be solved for each candidate by counting, and in all by a walk that counts.
    """

    def __init__(self, grid: Grid, facts: SolutionFacts, steps: int | None = None, trials: int = TRIALS) -> None:
        self.grid = grid
        self.trials = trials
        self.facts = facts
        self.steps = steps
        self.lost = sum(1 << c for c in facts.lost(grid))
        self._seen: list[Proof] = []
        self._rest = find(grid)

    def available(self) -> Iterator[Proof]:
        """Yield every deduction on the board, easiest first; what has been looked at once is remembered."""
        yield from self._seen
        for proof in self._rest:
            if not proof.contradiction and not self.in_error(proof):
                self._seen.append(proof)
                yield proof

    @cached_property
    def walked(self) -> Walk | None:
        """A walk with the named patterns; None if the position has lost the solution and so leads nowhere."""
        return None if self.lost else walk(self.grid, PLAIN, self.steps)

    @cached_property
    def onward(self) -> Walk | None:
        """The walk from where the named patterns are stuck, by counting and suppositions; None if they are not."""
        if self.walked is None or self.walked.outcome is not Outcome.STUCK or not self.trials:
            return None
        return walk(self.walked.grid, budget=self.steps, trials=self.trials)

    def in_error(self, proof: Proof) -> bool:
        """Whether a proof rests on something false.

        That is a candidate being ruled out that is in the only solution, or there being one solution only where that is
        not known.
        """
        if proof.assumes_unique and not self._only_one:
            return True
        return bool(self.lost and rests_on(proof) & self.lost)

    @cached_property
    def _only_one(self) -> bool:
        """Whether it is known that the puzzle has one solution; notes and entered digits do not count."""
        if self.facts.count is not Count.ONE:
            return False
        try:
            return one_solution(self.grid, self.facts.budget) is True
        except SeveralSolutionsError:
            return False

    def one_step(self, eliminates: Sequence[int], places: Sequence[int]) -> tuple[Proof, ...]:
        """Return deductions on the board that together conclude everything, the easiest of each; empty if they do not.

        One that concludes all of it is preferred to several.
        """
        chosen: list[Proof] = []
        open_false, open_true = set(eliminates), set(places)
        for proof in self.available():
            after = self.grid.moved(check(self.grid, proof).after, proof)
            if holds(after, eliminates, places):
                return (proof,)
            done_false = {c for c in open_false if not after.live >> c & 1}
            done_true = {c for c in open_true if after.true >> c & 1}
            if done_false or done_true:
                chosen.append(proof)
                open_false -= done_false
                open_true -= done_true
        return () if open_false or open_true else tuple(chosen)

    def simpler(self, proof: Proof, eliminates: Sequence[int], places: Sequence[int]) -> Proof | None:
        """Return a deduction that concludes the same and comes earlier."""
        for other in self.available():
            if _order(other)[0] > _order(proof)[0]:
                return None
            if not self.earlier(other, proof) or same_chain(other.pattern, proof.pattern):
                continue
            if holds(self.grid.moved(check(self.grid, other).after, other), eliminates, places):
                return other
        return None

    def earlier(self, one: Proof, other: Proof) -> bool:
        """Whether a proof comes before another one: by its finder in the catalogue, then by effort."""
        return _order(one) < _order(other)

    def along(self, eliminates: Sequence[int], places: Sequence[int], further: Walk | None = None) -> tuple[Proof, ...]:
        """Return the steps of the walk, and of one that goes further, that lead to the conclusions, and no others."""
        walks = [one for one in (self.walked, further) if one is not None]
        if not walks or walks[-1].outcome is Outcome.IMPOSSIBLE:
            return ()
        steps = [step for one in walks for step in one.steps]
        there = next((n for n, step in enumerate(steps, 1) if holds(step.after, eliminates, places)), 0)
        return shortened(self.grid, steps[:there], eliminates, places) if there else ()

    def seek(self, eliminates: Sequence[int], places: Sequence[int]) -> tuple[tuple[Proof, ...], tuple[Attempt, ...]]:
        """Look for a proof: in one step, then along a walk and by counting, whichever is less to read, then further on.

        Counting tries a smallest sum and a supposition for each claimed candidate, in the position itself; where that
        is not enough, what follows where the named patterns are stuck, and at last a walk on from there.
        """
        proofs = self.one_step(eliminates, places)
        tried = [Attempt("one step", len(self._seen), exhausted=True)]
        walked = self.walked
        if proofs or walked is None:
            return proofs, tuple(tried)
        tried.append(Attempt("walk", len(walked), walked.outcome is not Outcome.BUDGET_SPENT))
        along = self.along(eliminates, places)
        direct, complete = self._counted(self.grid, eliminates, places)
        tried.append(Attempt("counting", len(eliminates) + len(places), complete))
        proofs = min(filter(None, (along, direct)), key=to_read, default=())
        if not proofs and walked.outcome is Outcome.STUCK:
            proofs = self._after_the_walk(walked, eliminates, places)
        if not proofs and self.onward is not None:
            ended = self.onward.outcome is not Outcome.BUDGET_SPENT
            tried.append(Attempt("counting along a walk", len(self.onward), ended))
            proofs = self.along(eliminates, places, self.onward)
        return proofs, tuple(tried)

    def _counted(self, grid: Grid, eliminates: Sequence[int], places: Sequence[int]) -> tuple[tuple[Proof, ...], bool]:
        """Return proofs of all claims by sums and suppositions in a position, or none, and whether that is known.

        A candidate is placed by a sum, or by refuting each rival in one of its houses or its cell.
        """
        proofs: list[Proof] = []
        complete = True
        for candidate in (*eliminates, *places):
            for target in (candidate, *_rivals(grid, candidate)) if candidate in places else (candidate,):
                if holds(grid, (), (candidate,)) or not (grid.live & ~grid.true) >> target & 1:
                    continue
                found, outcome = settle(grid, grid.candidate(target), budget=self.trials)
                if found is not None and not found.contradiction and not self.in_error(found):
                    proofs.append(found)
                    grid = grid.moved(check(grid, found).after, found)
                elif target != candidate or candidate not in places:
                    return (), complete and outcome is not Ending.BUDGET_SPENT
                complete = complete and outcome is not Ending.BUDGET_SPENT
            last = single_for(grid, candidate) if candidate in places and not grid.true >> candidate & 1 else None
            if last is not None:
                proofs.append(last)
                grid = grid.moved(check(grid, last).after, last)
        return (tuple(proofs) if holds(grid, eliminates, places) else ()), complete

    def _after_the_walk(self, walked: Walk, eliminates: Sequence[int], places: Sequence[int]) -> tuple[Proof, ...]:
        """Return proofs by counting of what a walk has not settled, behind the steps on which they rest."""
        grid = walked.grid
        open_false = [c for c in eliminates if grid.live >> c & 1]
        open_true = [c for c in places if not grid.true >> c & 1]
        found, _ = self._counted(grid, open_false, open_true)
        absent = united(map(rests_on, found))
        wanted = (bitset(eliminates) | absent & self.grid.live) & ~grid.live
        kept = steps_behind(walked.steps, Needs(wanted, bitset(places) & grid.true))
        every = (*(walked.steps[number].proof for number in kept), *found)
        try:
            proofs, end = replay(self.grid, every)
        except ProofError:
            proofs, end = replay(self.grid, (*(step.proof for step in walked.steps), *found))
        return proofs if found and holds(end, eliminates, places) else ()

    def mend(self, candidate: int) -> Mend:
        """Say whether a candidate that stands in the way can be eliminated."""
        solution = self.facts.solution
        if solution is not None and solution.true >> candidate & 1:
            return Mend(candidate, Remedy.NEVER)
        proofs = self.one_step([candidate], ())
        if proofs:
            return Mend(candidate, Remedy.NOW, proofs)
        proofs = self.along([candidate], ())
        return Mend(candidate, Remedy.LATER, proofs) if proofs else Mend(candidate, Remedy.NOT_FOUND)


def single_for(grid: Grid, candidate: int) -> Proof | None:
    """Return the single that places a candidate, if it is one."""
    return next((p for p in find(grid, SINGLES) if candidate in p.inferences[0].true), None)


def _rivals(grid: Grid, candidate: int) -> list[int]:
    """Return the rivals of a candidate in that one of its houses, or its cell, where there are fewest."""
    open_ = grid.live & ~grid.true & ~(1 << candidate)
    layout = grid.layout
    return bits(min((open_ & layout.model.masks[k] for k in layout.at_least_one[candidate]), key=int.bit_count))


def to_read(proofs: Sequence[Proof]) -> int:
    """Return how much there is to read in some proofs.

    A sum in which constraints count several times is done on paper, over and over, so it counts as often as they do.
    """
    read = 0
    for proof in proofs:
        sums = countings(proof.inferences)
        weights = [weight for one in sums for _, weight in (*one.bases, *one.swaps, *one.covers)]
        read += proof.effort * max(weights, default=1)
    return read


def _order(proof: Proof) -> tuple[int, int]:
    """Return how late a proof comes: the place of its finder in the catalogue, then its effort."""
    name = proof.pattern.name
    number = next((i for i, finder in enumerate(CATALOGUE) if name in finder.names), len(CATALOGUE))
    return number, proof.effort
