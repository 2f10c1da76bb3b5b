"""Proofs of a claim that came without one: on the board, along a walk, and by counting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from deduce.errors import ProofError
from deduce.kernel import bits, check
from deduce.patterns import CATALOGUE, find
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.walks.chain_check import same_chain
from deduce.walks.grids import grid_of
from deduce.walks.suppose import suppose, supposed_place
from deduce.walks.truth import Count, Facts
from deduce.walks.uses import holds, replay, rests_on, shortened, slice_of
from deduce.walks.verdict import Attempt, Mend, Remedy
from deduce.walks.walk import Outcome, Walk, walk

__all__ = ["Seeker", "single_for"]

_SINGLES = ("hidden single", "naked single")


class Seeker:
    """What can be proved from one position, found out when it is first asked for.

    Parameters
    ----------
    grid : Grid
        The position.
    facts : Facts
        The solutions of its puzzle; a proof that rests on a candidate of the only solution being ruled out is not used.
    steps : int, optional
        How many steps a walk may take; by default as many as it needs.
    """

    def __init__(self, grid: Grid, facts: Facts, steps: int | None = None) -> None:
        self.grid = grid
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
        """A walk from the position; None if the position has lost the solution and so leads nowhere."""
        return None if self.lost else walk(self.grid, budget=self.steps)

    def in_error(self, proof: Proof) -> bool:
        """Whether a proof rests on something false.

        That is a candidate being ruled out that is in the only solution, or there being one solution only where that is
        not known.
        """
        if proof.assumes_unique and self.facts.count is not Count.ONE:
            return True
        return bool(self.lost and rests_on(proof) & self.lost)

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

    def along_the_walk(self, eliminates: Sequence[int], places: Sequence[int]) -> tuple[Proof, ...]:
        """Return the steps of a walk that lead to the conclusions, and no others; empty if it never gets there."""
        if self.walked is None or self.walked.outcome is Outcome.IMPOSSIBLE:
            return ()
        steps = self.walked.steps
        for number, step in enumerate(steps):
            if holds(step.after, eliminates, places):
                return shortened(self.grid, steps[: number + 1], eliminates, places)
        return ()

    def seek(self, eliminates: Sequence[int], places: Sequence[int]) -> tuple[tuple[Proof, ...], tuple[Attempt, ...]]:
        """Look for a proof: in one step, then along a walk, then by what else there is."""
        proofs = self.one_step(eliminates, places)
        tried = [Attempt("one step", len(self._seen), exhausted=True)]
        if not proofs and self.walked is not None:
            tried.append(Attempt("walk", len(self.walked), self.walked.outcome is not Outcome.BUDGET_SPENT))
            proofs = self.along_the_walk(eliminates, places)
            if not proofs and self.walked.outcome is Outcome.STUCK:
                proofs, attempt = self._by_suppositions(self.walked, eliminates, places)
                tried.append(attempt)
        return proofs, tuple(tried)

    def _by_suppositions(
        self, walked: Walk, eliminates: Sequence[int], places: Sequence[int]
    ) -> tuple[tuple[Proof, ...], Attempt]:
        """Return proofs by supposition of what a walk has not settled, behind the steps on which they rest."""
        grid = walked.grid
        open_false = [c for c in eliminates if grid.live >> c & 1]
        open_true = [c for c in places if not grid.true >> c & 1]
        found: list[Proof] = []
        attempt = Attempt("suppositions", len(open_false) + len(open_true), exhausted=True)
        for candidate in (*open_false, *open_true):
            proofs = (
                supposed_place(grid, candidate, self.steps)
                if candidate in open_true
                else tuple(filter(None, [suppose(grid, candidate, self.steps)]))
            )
            if not proofs:
                return (), attempt
            found.extend(proofs)
            grid = grid.moved(check(grid_of(proofs[-1]), proofs[-1]).after, proofs[-1])
        steps = walked.steps
        absent = 0
        for proof in found:
            absent |= rests_on(proof)
        settled = [c for c in eliminates if c not in open_false]
        wanted = [*settled, *(c for c in bits(absent & self.grid.live) if not walked.grid.live >> c & 1)]
        kept = slice_of(steps, wanted, [c for c in places if c not in open_true])
        every = (*(steps[number].proof for number in kept), *found)
        try:
            proofs, end = replay(self.grid, every)
        except ProofError:
            proofs, end = replay(self.grid, (*(step.proof for step in steps), *found))
        return (proofs if holds(end, eliminates, places) else ()), attempt

    def mend(self, candidate: int) -> Mend:
        """Say whether a candidate that stands in the way can be eliminated."""
        solution = self.facts.solution
        if solution is not None and solution.true >> candidate & 1:
            return Mend(candidate, Remedy.NEVER)
        proofs = self.one_step([candidate], ())
        if proofs:
            return Mend(candidate, Remedy.NOW, proofs)
        proofs = self.along_the_walk([candidate], ())
        return Mend(candidate, Remedy.LATER, proofs) if proofs else Mend(candidate, Remedy.NOT_FOUND)


def single_for(grid: Grid, candidate: int) -> Proof | None:
    """Return the hidden or naked single that places a candidate, if it is one."""
    return next((p for p in find(grid, _SINGLES) if candidate in p.inferences[0].true), None)


def _order(proof: Proof) -> tuple[int, int]:
    """Return how late a proof comes: the place of its finder in the catalogue, then its effort."""
    name = proof.pattern.name
    number = next((i for i, finder in enumerate(CATALOGUE) if name in finder.names), len(CATALOGUE))
    return number, proof.effort
