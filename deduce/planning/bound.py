"""How many advanced steps are needed at least: take everything on offer at once, and count the rounds.

A round makes every advanced deduction of a position at once and then every simple one.  A plan makes one advanced
deduction at a time, so after n of them it knows no more than n rounds do, provided that a stronger position offers
whatever a weaker one does.  It does, unless the pattern has shrunk to a smaller one under another name: a triple of
which one cell has been filled is a pair.  So the rounds are also allowed what the patterns of the plan can shrink to,
and nothing is claimed for patterns of which that is not known.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from deduce.kernel import Model, Position, place
from deduce.links import all_links, closure
from deduce.patterns.catalogue import NAMES, find
from deduce.patterns.chains import CHAIN_NAMES, LOOP, X_CHAIN, XY_CHAIN
from deduce.patterns.locked import CLAIMING, POINTING
from deduce.patterns.singles import are_singles
from deduce.planning.terrain import Terrain
from deduce.positions import bits, bitset
from deduce.puzzle.grid import Grid
from deduce.walks.effort import SIMPLE

__all__ = ["SHRINKS", "Rounds", "moved", "one_round", "relaxed"]

_ALONE: tuple[str, ...] = ()

SHRINKS: dict[str, tuple[str, ...]] = {
    # Once one of their candidates is settled, singles carry the rest of these through.
    **dict.fromkeys(
        (
            *SIMPLE,
            "pointing pair",
            "claiming pair",
            "naked pair",
            "hidden pair",
            "X-wing",
            "skyscraper",
            "two-string kite",
            "XY-wing",
            "W-wing",
            "remote pairs",
            X_CHAIN,
            XY_CHAIN,
        ),
        _ALONE,
    ),
    "pointing triple": POINTING[:1],
    "claiming triple": CLAIMING[:1],
    "pointing group": POINTING[:2],
    "claiming group": CLAIMING[:2],
    "naked triple": ("naked pair",),
    "hidden triple": ("hidden pair",),
    "naked quad": ("naked pair", "naked triple"),
    "hidden quad": ("hidden pair", "hidden triple"),
    "swordfish": ("X-wing",),
    "jellyfish": ("X-wing", "swordfish"),
    "XYZ-wing": ("naked pair", "XY-wing"),
    # Of several chains to one conclusion only the shortest is offered, and its name may differ from position to
    # position; and what a loop concludes, chains conclude one by one.
    **dict.fromkeys((*CHAIN_NAMES, LOOP), CHAIN_NAMES),
}
"""For each pattern whose behaviour in stronger positions is known, the patterns that it can shrink to."""

_CHAINED = frozenset(
    {"skyscraper", "two-string kite", "XY-wing", "W-wing", "remote pairs", X_CHAIN, XY_CHAIN, LOOP, *CHAIN_NAMES}
)
"""Patterns whose every conclusion is one of the closure of chains."""


def relaxed(names: Iterable[str]) -> tuple[str, ...] | None:
    """Return the names with all that they can shrink to, in the order of the catalogue; None if that is not known."""
    found: set[str] = set()
    for name in names:
        if name not in SHRINKS:
            return None
        found |= {name, *SHRINKS[name]}
    return tuple(name for name in NAMES if name in found)


class Rounds:
    """Counts rounds from positions of a terrain.

    Parameters
    ----------
    terrain : Terrain
        The terrain.

    Attributes
    ----------
    known : bool
        Whether the patterns are all such that rounds give a bound; if not, only the first step from a position is
        looked at, and only if singles are all that is simple.
    free : Terrain
        The terrain with all that the patterns can shrink to.
    """

    def __init__(self, terrain: Terrain) -> None:
        self.terrain = terrain
        simple = relaxed((*terrain.simple, *SIMPLE))
        advanced = relaxed(terrain.advanced)
        self.known = simple is not None and advanced is not None
        self._simple_is_singles = are_singles(terrain.simple)
        self.free = Terrain(terrain.start, simple or SIMPLE, advanced or (), assume_unique=terrain.assume_unique)
        self._least: dict[Position, int | None] = {}

    def least(self, position: Position, enough: int) -> int | None:
        """Return a number of advanced steps below which no plan solves the puzzle from a position.

        Parameters
        ----------
        position : Position
            One in which simple steps are used up.
        enough : int
            Stop counting here: whether it is more does not matter.

        Returns
        -------
        int or None
            None if no plan solves it at all.
        """
        if position not in self._least:
            self._least[position] = self._count(position, enough)
        return self._least[position]

    def _count(self, position: Position, enough: int) -> int | None:
        terrain = self.terrain
        if terrain.solved(position):
            return 0
        if not self.known:
            offers = terrain.offers(position)
            if not offers:
                return None
            if not self._simple_is_singles:
                return 1
            joined = terrain.after_simple_steps(_joined(position, [offer.after for offer in offers]))
            return 1 if joined is None or terrain.solved(joined) else 2
        count = 0
        here = self.free.after_simple_steps(position)
        while here is not None and not terrain.solved(here) and count < enough:
            stronger = one_round(terrain.grid(here), self.free.advanced, assume_unique=terrain.assume_unique)
            if stronger is None:
                break
            if stronger == here:
                return None
            here = self.free.after_simple_steps(stronger)
            count += 1
        return count


def _joined(position: Position, others: Iterable[Position | None]) -> Position:
    """Return what several positions know together; a position without a solution knows everything."""
    live, true = position
    for other in others:
        live &= other.live if other is not None else 0
        true |= other.true if other is not None else 0
    return Position(live, true & live)


def one_round(
    grid: Grid, names: Collection[str], spared: int = 0, unplaced: int = 0, *, assume_unique: bool = False
) -> Position | None:
    """Return the position after every deduction by these patterns at once.

    Parameters
    ----------
    grid : Grid
        The position before.
    names : collection of str
        The patterns.
    spared, unplaced : int
        Bitsets of candidates that no deduction may rule out, or place.
    assume_unique : bool
        As for :func:`deduce.find`.

    Returns
    -------
    Position or None
        None after a contradiction.
    """
    false = put = 0
    if set(CHAIN_NAMES) <= set(names):
        reach = closure(all_links(grid))
        false, put = reach.false, reach.true
        names = [name for name in names if name not in _CHAINED]
    for proof in find(grid, names, assume_unique=assume_unique) if names else ():
        for inference in proof.inferences:
            if inference.contradiction:
                return None
            false |= bitset(inference.false)
            put |= bitset(inference.true)
    return moved(grid.model, Position(grid.live, grid.true), false & ~spared, put & ~unplaced)


def moved(model: Model, position: Position, false: int, true: int) -> Position | None:
    """Return a position with candidates ruled out and placed, or None if they are at odds."""
    position = Position(position.live & ~false, position.true)
    for candidate in bits(true & ~position.true):
        if not position.live >> candidate & 1:
            return None
        position = place(model, position, candidate)
    return position
