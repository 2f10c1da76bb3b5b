"""Suppositions as a last resort: suppose a candidate true and walk into a contradiction."""

from __future__ import annotations

from deduce.errors import ProofError
from deduce.kernel import Inference, Position, Supposition, bits, check, place
from deduce.patterns import find
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.walks.uses import replay, steps_used
from deduce.walks.walk import Outcome, walk

__all__ = ["SUPPOSITION", "suppose", "supposed_place"]

SUPPOSITION = "supposition"


def suppose(grid: Grid, candidate: int, steps: int | None = None) -> Proof | None:
    """Return a proof that a candidate is false, by the contradiction into which a walk from it runs.

    Parameters
    ----------
    grid : Grid
        The position.
    candidate : int
        The candidate supposed true.
    steps : int, optional
        How many steps the walk may take.

    Returns
    -------
    Proof or None
        Only the steps on which the contradiction rests are kept.  None if the walk meets none.
    """
    supposed = grid.moved(place(grid.model, Position(grid.live, grid.true), candidate))
    tried = walk(supposed, budget=steps)
    if tried.outcome is not Outcome.IMPOSSIBLE:
        return None
    used = steps_used(tried.steps)
    todo, needed = [len(tried.steps) - 1], set()
    while todo:
        number = todo.pop()
        if number not in needed:
            needed.add(number)
            todo.extend(used[number])
    proofs = [tried.steps[number].proof for number in sorted(needed)]
    try:
        replay(supposed, proofs)
    except ProofError:
        proofs = [step.proof for step in tried.steps]
    inferences = tuple(inference for proof in proofs for inference in proof.inferences)
    argument = Supposition(candidate, inferences)
    pattern = Pattern(SUPPOSITION, (Role("supposed", "candidates", (candidate,)),))
    proof = Proof(grid, (Inference(argument, (candidate,)),), pattern)
    check(grid, proof)
    return proof


def supposed_place(grid: Grid, candidate: int, steps: int | None = None) -> tuple[Proof, ...]:
    """Return proofs that place a candidate: each rival in one of its houses or its cell refuted, then the single.

    Parameters
    ----------
    grid, candidate, steps
        As for `suppose`.

    Returns
    -------
    tuple of Proof
        To be read in order, each in its own position; empty if some rival is not refuted.
    """
    open_ = grid.live & ~grid.true
    rivals = min((open_ & grid.layout.masks[k] for k in grid.layout.touching[candidate]), key=int.bit_count)
    proofs: list[Proof] = []
    position = grid
    for rival in bits(rivals & ~(1 << candidate)):
        if not position.live >> rival & 1:
            continue
        proof = suppose(position, rival, steps)
        if proof is None:
            return ()
        proofs.append(proof)
        position = position.moved(check(position, proof).after, proof)
    singles = (proof for proof in find(position, ("hidden single", "naked single")))
    last = next((proof for proof in singles if candidate in proof.inferences[0].true), None)
    return () if last is None else (*proofs, last)
