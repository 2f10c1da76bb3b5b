"""Which steps a conclusion rests on, and the shortest part of a walk that still proves it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deduce.errors import ProofError
from deduce.kernel import Position, bits, check, place
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.walks.grids import grid_of
from deduce.walks.walk import Step

__all__ = ["holds", "moved_by", "replay", "rests_on", "shortened", "slice_of", "steps_used"]


def rests_on(proof: Proof) -> int:
    """Return the bitset of the candidates whose absence a proof uses."""
    layout = grid_of(proof).layout
    return sum(1 << layout.number(c.digit, layout.cell_at[c.row - 1, c.column - 1]) for c in proof.rests_on)


def holds(position: Grid, eliminates: Iterable[int], places: Iterable[int]) -> bool:
    """Whether a position has ruled out some candidates and placed others."""
    return not any(position.live >> c & 1 for c in eliminates) and all(position.true >> c & 1 for c in places)


def steps_used(steps: Sequence[Step]) -> tuple[tuple[int, ...], ...]:
    """Return for each step the earlier ones that its proof uses directly, by their index in ascending order.

    A step uses another one if it needs a candidate to be absent that the other one removed, by eliminating it or by
    placing a digit that clears it.
    """
    removed: dict[int, int] = {}
    used = []
    for number, step in enumerate(steps):
        used.append(tuple(sorted({removed[c] for c in bits(rests_on(step.proof)) if c in removed})))
        for candidate in bits(step.before.live & ~step.after.live):
            removed.setdefault(candidate, number)
    return tuple(used)


def slice_of(steps: Sequence[Step], eliminates: Iterable[int], places: Iterable[int]) -> tuple[int, ...]:
    """Return the indices of the steps on which some conclusions rest, directly or by way of others."""
    wanted_false, wanted_true = tuple(eliminates), tuple(places)
    todo = []
    for number, step in enumerate(steps):
        gone, placed = step.before.live & ~step.after.live, step.after.true & ~step.before.true
        if any(gone >> c & 1 for c in wanted_false) or any(placed >> c & 1 for c in wanted_true):
            todo.append(number)
    used = steps_used(steps)
    needed: set[int] = set()
    while todo:
        number = todo.pop()
        if number not in needed:
            needed.add(number)
            todo.extend(used[number])
    return tuple(sorted(needed))


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
        position = position.moved(check(position, moved[-1]).after)
    return tuple(moved), position


def shortened(
    start: Grid, steps: Sequence[Step], eliminates: Sequence[int], places: Sequence[int]
) -> tuple[Proof, ...]:
    """Return the proofs of the steps that some conclusions need, in order.

    Dependencies are read from absent candidates.  Should that ever miss one, the kernel refuses a proof of the shorter
    list, and the whole list is returned.
    """
    kept = slice_of(steps, eliminates, places)
    try:
        proofs, end = replay(start, (steps[number].proof for number in kept))
    except ProofError:
        return tuple(step.proof for step in steps)
    return proofs if holds(end, eliminates, places) else tuple(step.proof for step in steps)


def moved_by(grid: Grid, eliminates: Iterable[int], places: Iterable[int]) -> Grid:
    """Return the position in which a move has been made, proved or not: peers of what is placed are cleared."""
    live = grid.live
    for candidate in eliminates:
        live &= ~(1 << candidate)
    position = Position(live, grid.true)
    for candidate in places:
        position = place(grid.model, Position(position.live | 1 << candidate, position.true), candidate)
    return grid.moved(position)
