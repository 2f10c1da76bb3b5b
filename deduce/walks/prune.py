"""Prune: keep the steps of a walk that its goal needs, and no step that could be left out.

Two facts about the kernel carry everything here.  What it accepts in a position it accepts in every stronger one where
the conclusion is still open; and a walk without some of its steps passes through weaker positions only.  Therefore:

If some of the steps of a walk can be left out together, then the last one of them can be left out alone.  For the
steps before it are as they were, and the steps after it stood in a weaker position when all were left out.

So a walk of which no single step can be left out is a walk of which no choice of steps can be left out, and going once
through the steps from the last to the first, leaving out what can be, arrives at such a walk.  The same holds for
single conclusions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from deduce.errors import PatternError, ProofError
from deduce.kernel import Inference, Position, check
from deduce.patterns.catalogue import fault, named
from deduce.patterns.singles import HIDDEN, LAST
from deduce.positions import Needs, after
from deduce.proof import Candidate, Chain, Proof
from deduce.puzzle.grid import Grid
from deduce.walks.dependencies import steps_behind
from deduce.walks.effort import effort
from deduce.walks.walk import Outcome, Step, Walk

__all__ = ["needed_steps", "only", "prune", "restated"]


@dataclass(frozen=True, slots=True)
class _Goal:
    """What must hold at the end: candidates gone, candidates true, or a contradiction."""

    gone: int = 0
    true: int = 0
    contradiction: bool = False

    def met(self, position: Position, contradiction: bool) -> bool:
        if self.contradiction:
            return contradiction
        return not position.live & self.gone and not self.true & ~position.true


def prune(walk: Walk, goal: Iterable[Candidate | str] | None = None, *, narrow: bool = False) -> Walk:
    """Return a walk with only those steps that its goal needs, each checked again where it now stands.

    Parameters
    ----------
    walk : Walk
        The walk.
    goal : iterable of Candidate or str, optional
        Candidates that the walk placed or ruled out, such as ``["5r4c7"]``; the pruned walk settles them the same way.
        By default all that the walk led to: the solution, the contradiction, or, if it got stuck, its last position.
    narrow : bool
        Also drop each conclusion of a remaining proof that nothing needs.  By default proofs stay whole, since a
        reader of the grid would cross out all that a pattern concludes.

    Returns
    -------
    Walk
        In the order of the original.  None of its steps (with `narrow`, none of its conclusions) can be left out.  Of
        several such walks it is not always the shortest: steps of most effort are tried first for leaving out.  With
        a `goal`, unless that leaves nothing open, the outcome is that of a walk that was cut off.

    Raises
    ------
    ProofError
        If the walk itself does not check.
    ValueError
        If the walk settles a goal neither way.
    GridError
        If a goal is no candidate of the layout.

    Notes
    -----
    A step stays only while the kernel accepts it and its pattern still is what its name says, in the position that
    the remaining steps lead to.

    Examples
    --------
    >>> from deduce.walks import walk
    >>> walked = walk(Grid.parse("..24......1..2.."))
    >>> len(walked), len(prune(walked)), len(prune(walked, ["3r1c1"]))
    (12, 12, 3)
    """
    aim = _aim(walk, goal)
    proofs = [walk.steps[i].proof for i in needed_steps(walk, goal)]
    if narrow:
        proofs = _narrowed(walk.start, proofs, aim)
    steps, outcome = _strict(walk.start, proofs), walk.outcome
    if goal is not None and not (steps and steps[-1].checked.contradiction):
        last = steps[-1].after if steps else walk.start
        outcome = Outcome.SOLVED if last.true.bit_count() == last.layout.cells else Outcome.REACHED
    return Walk(walk.start, steps, outcome, walk.patterns, walk.one_solution)


def only(walk: Walk, kept: Iterable[int]) -> Walk:
    """Return a walk with those of its steps that have these indices, each checked again where it now stands."""
    steps = _strict(walk.start, [walk.steps[i].proof for i in kept])
    return Walk(walk.start, steps, walk.outcome, walk.patterns, walk.one_solution)


def needed_steps(walk: Walk, goal: Iterable[Candidate | str] | None = None) -> tuple[int, ...]:
    """Return the indices of the steps that :func:`prune` keeps.

    Raises
    ------
    ProofError
        If the walk itself does not check.
    ValueError
        If the walk settles a goal neither way.
    """
    aim = _aim(walk, goal)
    walk.check()
    run = _Run(walk, aim)
    kept = [*steps_behind(walk.steps, Needs(aim.gone, aim.true), last=aim.contradiction)]
    if not run.holds(kept):
        # The arguments of these steps hold, but some pattern is not what its name says without the steps beside them.
        kept = list(range(len(walk)))
    # Without a heavy step others may become idle too, so whole groups go first, the heaviest at their head.
    weights = {i: effort(walk.steps[i].proof).total for i in kept}
    for i in sorted(kept, key=lambda i: (-weights[i], -i)):
        if i in kept:
            fewer = run.without(kept, i)
            kept = kept if fewer is None else fewer
    for i in reversed(kept):
        fewer = [j for j in kept if j != i]
        if run.holds(fewer):
            kept = fewer
    return tuple(kept)


class _Run:
    """Runs through some of the steps of a walk; a step is verified only where a fact that it needs is missing."""

    def __init__(self, walk: Walk, aim: _Goal) -> None:
        self.start, self.steps, self.aim = walk.start, walk.steps, aim
        self.needs = [step.proof.needs for step in walk.steps]

    def holds(self, chosen: Sequence[int]) -> bool:
        """Whether these steps alone check, one after the other, and reach the goal."""
        ran, met = self._through(chosen)
        return met and len(ran) == len(chosen)

    def without(self, chosen: Sequence[int], left_out: int) -> list[int] | None:
        """Return those of the steps that still check without one of them, or None if they miss the goal."""
        ran, met = self._through([i for i in chosen if i != left_out])
        return ran if met else None

    def _through(self, chosen: Sequence[int]) -> tuple[list[int], bool]:
        """Run the chosen steps that hold; return them, and whether the goal is met."""
        model = self.start.model
        position = Position(self.start.live, self.start.true)
        contradiction = False
        ran = []
        for i in chosen:
            if not self._stands(i, position):
                continue
            ran.append(i)
            for inference in self.steps[i].proof.inferences:
                contradiction = contradiction or inference.contradiction
                position = after(model, position, inference)
        return ran, self.aim.met(position, contradiction)

    def _stands(self, i: int, position: Position) -> bool:
        step, used = self.steps[i], self.needs[i]
        if (step.before.live, step.before.true) == position:
            return True
        missing = used.gone & position.live or used.true & ~position.true
        return restated(step.proof, self.start.moved(position), trusted=not missing) is not None


def restated(proof: Proof, grid: Grid, *, trusted: bool = False) -> Proof | None:
    """Return a proof as it stands in another position, or None if it does not stand there.

    Parameters
    ----------
    proof : Proof
        The proof.
    grid : Grid
        Another position of the same puzzle.
    trusted : bool
        Whether the kernel is known to accept it there, so that only the pattern is looked at.

    Returns
    -------
    Proof or None
        The same inferences.  Of a chain's strong links only those reasons are kept that hold in `grid`.  None if the
        kernel refuses the inferences, or if the pattern is no longer what its name says.  A last open cell of a house
        that has others here becomes a hidden single, which asks for less.
    """
    moved = Proof(grid, proof.inferences, proof.pattern)
    if not trusted:
        try:
            check(grid, moved)
        except ProofError:
            return None
    chain = proof.pattern.chain
    if chain is not None:
        moved = replace(moved, pattern=replace(proof.pattern, chain=_still_linked(chain, grid)))
    try:
        if proof.pattern.name == LAST and fault(moved, grid):
            moved = replace(moved, pattern=replace(proof.pattern, name=HIDDEN))
        return None if fault(moved, grid) else moved
    except PatternError:
        # A name that is no pattern of the catalogue: there is nothing but the argument to look at.
        return moved


def _still_linked(chain: Chain, grid: Grid) -> Chain:
    """Return a chain whose strong links name only constraints that nothing but the link's two sides can meet."""
    links = []
    ends = [*chain.nodes, chain.nodes[0]]
    for link, near, far in zip(chain.links, ends, ends[1:], strict=False):
        reasons = link.constraints
        if link.strong and len(reasons) > 1 and not link.covers:
            both = sum(1 << candidate for candidate in {*near, *far})
            # The first reason is the one that the argument uses, so it stays for better or worse.
            masks = grid.model.masks
            reasons = (reasons[0], *(n for n in reasons[1:] if not grid.live & masks[n] & ~both))
        links.append(replace(link, constraints=reasons))
    return Chain(chain.nodes, tuple(links), chain.loop)


def _strict(start: Grid, proofs: Iterable[Proof]) -> tuple[Step, ...]:
    """Return the steps of a walk by these proofs, each checked by the kernel."""
    steps = []
    grid = start
    for proof in proofs:
        moved = restated(proof, grid, trusted=True)
        if moved is None:
            moved = Proof(grid, proof.inferences, proof.pattern)
        # The other names that the same chain could be given depend on the position.
        here = named(grid, replace(moved, pattern=replace(moved.pattern, also=())))
        checked = check(grid, here)
        following = grid.moved(checked.after, here)
        steps.append(Step(grid, here, following, checked))
        grid = following
    return tuple(steps)


def _narrowed(start: Grid, proofs: Sequence[Proof], aim: _Goal) -> list[Proof]:
    """Drop every conclusion that neither the goal nor another proof needs, the last ones first."""
    kept = list(proofs)
    for i in reversed(range(len(kept))):
        for number in reversed(range(len(kept[i].inferences))):
            for candidate in reversed((*kept[i].inferences[number].false, *kept[i].inferences[number].true)):
                fewer = [*kept[:i], _less(kept[i], number, candidate), *kept[i + 1 :]]
                if fewer[i].inferences and _reach(start, fewer, aim):
                    kept = fewer
    return kept


def _less(proof: Proof, number: int, candidate: int) -> Proof:
    """Return a proof without one conclusion, and without the inference if that was all that it concluded."""
    inferences = list(proof.inferences)
    old = inferences[number]
    left = Inference(
        old.argument, tuple(c for c in old.false if c != candidate), tuple(c for c in old.true if c != candidate)
    )
    inferences[number : number + 1] = [left] if left.false or left.true else []
    return replace(proof, inferences=tuple(inferences))


def _reach(start: Grid, proofs: Sequence[Proof], aim: _Goal) -> bool:
    """Whether the proofs hold one after the other and reach the goal."""
    grid, contradiction = start, False
    for proof in proofs:
        if restated(proof, grid) is None:
            return False
        checked = check(grid, proof)
        contradiction = contradiction or checked.contradiction
        grid = grid.moved(checked.after, proof)
    return aim.met(Position(grid.live, grid.true), contradiction)


def _aim(walk: Walk, goal: Iterable[Candidate | str] | None) -> _Goal:
    """Turn what a caller wants into facts about the last position."""
    last = walk.grid
    if goal is None:
        if walk.outcome is Outcome.IMPOSSIBLE:
            return _Goal(contradiction=True)
        if walk.solved:
            return _Goal(true=last.true)
        return _Goal(gone=walk.start.live & ~last.live, true=last.true)
    if isinstance(goal, (str, Candidate)):
        raise TypeError(f"goal is the single candidate {goal}; give a list, such as ['{goal}']")
    gone = true = 0
    for candidate in goal:
        bit = 1 << walk.start.number(candidate)
        if last.true & bit:
            true |= bit
        elif not last.live & bit:
            gone |= bit
        else:
            raise ValueError(f"the walk neither places nor rules out {candidate}; give a candidate that it settles")
    return _Goal(gone & walk.start.live, true)
