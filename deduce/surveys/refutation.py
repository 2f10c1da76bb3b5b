"""Refutation by singles: suppose a candidate, follow naked and hidden singles, meet a rule that cannot be met.

The search is over bitsets; what it finds becomes a supposition that the kernel checks like any other argument.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from deduce.kernel import Counting, Inference, Supposition
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.finder import Finder
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDER", "REFUTATION", "follow"]

REFUTATION = "refutation by singles"


def follow(layout: Layout, live: int, true: int, candidate: int) -> tuple[list[tuple[int, int]], int, int]:
    """Place a candidate, and then every single that appears.

    Parameters
    ----------
    layout : Layout
        The layout.
    live, true : int
        The position; singles that it already has are not looked for.
    candidate : int
        What is supposed.

    Returns
    -------
    list of (int, int)
        The singles in the order in which they were placed: the constraint with one candidate left, and the candidate.
    int
        The constraint that was left without a candidate, or -1.
    int
        The bitset of what is then placed.

    Notes
    -----
    A constraint is looked at again only when it has lost a candidate.
    """
    masks, touching, peers = layout.masks, layout.touching, layout.peers
    true |= 1 << candidate
    waiting = [(-1, candidate)]
    for done, (_, placed) in enumerate(waiting):
        gone = live & peers[placed]
        live &= ~gone
        while gone:
            low = gone & -gone
            gone ^= low
            for number in touching[low.bit_length() - 1]:
                here = live & masks[number]
                if not here & (here - 1):
                    if not here:
                        return waiting[1 : done + 1], number, true
                    if not here & true:
                        true |= here
                        waiting.append((number, here.bit_length() - 1))
    return waiting[1:], -1, true


def _needed(
    layout: Layout, live: int, candidate: int, singles: Sequence[tuple[int, int]], dead: int
) -> list[tuple[int, int]]:
    """Keep those singles without which the dead constraint would still have a candidate."""
    start, remover = live, {}
    for index, placed in enumerate([candidate, *(single for _, single in singles)], -1):
        gone = live & layout.peers[placed]
        live &= ~gone
        for c in bits(gone):
            remover[c] = index
    kept: set[int] = set()
    waiting = [layout.masks[dead] & start]
    for mask in waiting:
        for index in {remover[c] for c in bits(mask)} - kept - {-1}:
            kept.add(index)
            number, single = singles[index]
            waiting.append(layout.masks[number] & start & ~(1 << single))
    return [singles[index] for index in sorted(kept)]


def _search(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield a refutation of each candidate that singles refute, in order of the candidates.

    What a surviving supposition leads to survives as well, since it leads to no more than that did.
    """
    layout, live, true = board.layout, board.grid.live, board.grid.true
    left = board.open
    while left:
        low = left & -left
        candidate = low.bit_length() - 1
        singles, dead, reached = follow(layout, live, true, candidate)
        if dead < 0:
            left &= ~reached
        else:
            left ^= low
            yield _proof(board.grid, candidate, _needed(layout, live, candidate, singles, dead), dead)


def _proof(grid: Grid, candidate: int, singles: Sequence[tuple[int, int]], dead: int) -> Proof:
    """Build the supposition from what was followed."""
    inner = [Inference(Counting(((number, 1),), ()), (), (single,)) for number, single in singles]
    inner.append(Inference(Counting(((dead, 1),), ())))
    roles = (Role("supposed", "candidates", (candidate,)),)
    return Proof(grid, (Inference(Supposition(candidate, tuple(inner)), (candidate,)),), Pattern(REFUTATION, roles))


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    (candidate,) = pattern.role("supposed")
    if not grid.live & ~grid.true & 1 << candidate:
        return "the supposed candidate is not open"
    _, dead, _ = follow(grid.layout, grid.live, grid.true, candidate)
    return "singles meet no contradiction" if dead < 0 else None


FINDER = Finder((REFUTATION,), everywhere, _search, _fault)
