"""Proofs moved to other positions, and the part of a walk that still proves a conclusion."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deduce.errors import ProofError
from deduce.kernel import Position, check, place
from deduce.positions import Needs, bitset
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.uniqueness import one_solution
from deduce.walks.dependencies import steps_behind
from deduce.walks.walk import Outcome, Step, Walk

__all__ = ["as_walk", "holds", "moved_by", "replay", "rests_on", "shortened"]


def rests_on(proof: Proof) -> int:
    """Return the bitset of the candidates whose absence a proof uses."""
    return proof.needs.gone


def holds(position: Grid, eliminates: Iterable[int], places: Iterable[int]) -> bool:
    """Whether a position has ruled out some candidates and placed others."""
    return not any(position.live >> c & 1 for c in eliminates) and all(position.true >> c & 1 for c in places)


def replay(start: Grid, proofs: Iterable[Proof]) -> tuple[tuple[Proof, ...], Grid]:
    """Move proofs to the positions that those before them leave, each one checked by the kernel again.

    Parameters
    ----------
    start : Grid
        The position of the first.
    proofs : iterable of Proof
        Proofs in order.

    Returns
    -------
    tuple of Proof
        The same arguments, each in its new position.
    Grid
        The position after the last.

    Raises
    ------
    ProofError
        For the first proof that does not hold there.
    """
    position = start
    moved = []
    for proof in proofs:
        moved.append(Proof(position, proof.inferences, proof.pattern))
        position = position.moved(check(position, moved[-1]).after, moved[-1])
    return tuple(moved), position


def as_walk(grid: Grid, proofs: Iterable[Proof]) -> Walk:
    """Return the walk along a list of proofs, such as the path that a setter has in mind, each checked in its turn.

    Parameters
    ----------
    grid : Grid
        Where it begins.
    proofs : iterable of Proof
        Each is checked in the position that the ones before it lead to, wherever it was found.

    Raises
    ------
    ProofError
        For the first proof that does not hold in its turn.
    SeveralSolutionsError
        If a proof assumes a unique solution and the puzzle has two.
    """
    steps: list[Step] = []
    position, outcome = grid, Outcome.STUCK
    patterns: dict[str, None] = {}
    for proof in proofs:
        here = Proof(position, proof.inferences, proof.pattern)
        checked = check(position, here)
        after = position.moved(checked.after, here)
        steps.append(Step(position, here, after, checked))
        patterns[proof.pattern.name] = None
        position = after
        if checked.contradiction:
            outcome = Outcome.IMPOSSIBLE
            break
    if position.true.bit_count() == position.layout.cells:
        outcome = Outcome.SOLVED
    known = one_solution(grid) if any(step.proof.assumes_unique for step in steps) else None
    return Walk(grid, tuple(steps), outcome, tuple(patterns), known)


def shortened(
    start: Grid, steps: Sequence[Step], eliminates: Sequence[int], places: Sequence[int]
) -> tuple[Proof, ...]:
    """Return the proofs of the steps that some conclusions need, in order.

    Should a dependency ever be missed, the kernel refuses a proof of the shorter list, and the whole list is returned.
    """
    kept = steps_behind(steps, Needs(bitset(eliminates), bitset(places)))
    try:
        proofs, end = replay(start, (steps[number].proof for number in kept))
    except ProofError:
        return tuple(step.proof for step in steps)
    return proofs if holds(end, eliminates, places) else tuple(step.proof for step in steps)


def moved_by(grid: Grid, eliminates: Iterable[int], places: Iterable[int], *by: Proof) -> Grid:
    """Return the position in which a move has been made, proved or not: peers of what is placed are cleared.

    What the proofs of the move, `by`, assume, the position remembers.
    """
    live = grid.live
    for candidate in eliminates:
        live &= ~(1 << candidate)
    position = Position(live, grid.true)
    for candidate in places:
        position = place(grid.model, Position(position.live | 1 << candidate, position.true), candidate)
    return grid.moved(position, *by)
