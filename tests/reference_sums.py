"""Dull twins for sums: what a total leaves room for, by trying every filling of its cells.

A sum is plain data; nothing here reads the library's own forms, assignments or constraints.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from reference import Board, Cand

Cands = frozenset[Cand]
Key = tuple[frozenset[int], frozenset[int]]
"""The cells that are added, and those that are taken away."""

MOST_LEFT = 4
MOST_HOUSES = 3


@dataclass(frozen=True)
class Sum:
    """The digits of some cells, less those of others, come to a total.

    `cage` says that no digit stands twice in the cells that are added.
    """

    added: frozenset[int]
    taken: frozenset[int]
    total: int
    cage: bool = False


@dataclass(frozen=True)
class Fact:
    """What falls by a sum.

    `falls` holds the candidates beside which the other cells always come to too much, or always to too little; where
    no filling of different digits goes with a candidate, every filling of the others counts.  `most` holds besides what
    the same argument may settle in passing: candidates that no filling of different digits goes with, and digits that
    every filling of the right total uses up, in the other cells of the houses and cages around.
    """

    falls: Cands
    most: Cands


def judged(board: Board, one: Sum, sums: Sequence[Sum]) -> Fact:
    """Try every filling of the cells; those that hold different digits, if one house or cage holds all the cells."""
    held = {c: board.notes.get(c) or {board.placed[c]} for c in sorted(one.added | one.taken)}
    sign = {c: 1 if c in one.added else -1 for c in held}
    around = holders(board, one, sums)
    different = bool(around) and not (one.added and one.taken)
    falls: set[Cand] = set()
    more: set[Cand] = set()
    for cell in held.keys() & board.notes.keys():
        others = [c for c in held if c != cell]
        fillings = list(product(*(sorted(held[c]) for c in others)))
        for digit in held[cell]:
            apart = [filling for filling in fillings if len({digit, *filling}) == 1 + len(filling)]
            if different and not apart:
                more.add((digit, cell))
            tried = (apart if different else []) or fillings
            totals = [sign[cell] * digit + sum(sign[c] * d for c, d in zip(others, f, strict=True)) for f in tried]
            if min(totals) > one.total or max(totals) < one.total:
                falls.add((digit, cell))
    if different:
        used = [
            set(filling)
            for filling in product(*(sorted(held[c]) for c in held))
            if len(set(filling)) == len(filling) and sum(filling) == abs(one.total)
        ]
        digits = set.intersection(*used)
        outside = set().union(*around) - held.keys()
        more |= {(digit, cell) for cell in outside for digit in board.notes.get(cell, set()) & digits}
    return Fact(frozenset(falls), frozenset(falls | more))


def holders(board: Board, one: Sum, sums: Sequence[Sum]) -> list[frozenset[int]]:
    """The houses and cages that hold all cells of a sum."""
    cells = one.added | one.taken
    every = [frozenset(house) for _, house in board.houses] + [cage.added for cage in sums if cage.cage]
    return [holder for holder in every if cells <= holder]


def sum_bounds(board: Board, sums: Sequence[Sum]) -> dict[Key, Fact]:
    """What each rule that is a sum says."""
    return {(one.added, one.taken): judged(board, one, sums) for one in sums}


def left_over(board: Board, sums: Sequence[Sum]) -> Iterator[Sum]:
    """What one to three neighbouring houses of a kind leave beside sums.

    Taken away are the sums that lie inside; or those and the ones of which the greater part does.  No two of the sums
    share a cell.
    """
    plain = [one for one in sums if not one.taken]
    for kind in dict.fromkeys(kind for kind, _ in board.houses):
        numbers = board.of_kind(kind)
        for size in range(1, MOST_HOUSES + 1):
            for first in range(len(numbers) - size + 1):
                houses = [frozenset(board.houses[h][1]) for h in numbers[first : first + size]]
                inside = frozenset().union(*houses)
                whole = [one for one in plain if one.added <= inside]
                mostly = [one for one in plain if len(one.added - inside) < len(one.added & inside)]
                for used in (whole, mostly):
                    covered = frozenset().union(*(one.added for one in used))
                    total = size * sum(board.digits()) - sum(one.total for one in used)
                    if used and 1 <= len(inside ^ covered) <= MOST_LEFT:
                        yield Sum(inside - covered, covered - inside, total)


def leftover_sums(board: Board, sums: Sequence[Sum]) -> dict[Key, Fact]:
    """What each sum says that houses and rules leave."""
    return {(one.added, one.taken): judged(board, one, sums) for one in left_over(board, sums)}
