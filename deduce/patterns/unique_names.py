"""The names of the patterns that assume a unique solution."""

from __future__ import annotations

from deduce.proof import Pattern
from deduce.puzzle.layout import Layout

__all__ = ["AVOIDABLE", "BIVALUE_GRID", "CHAINS", "EXTENDED", "LOCKED", "ONE_DIGIT", "OPEN_CORNER", "RECTANGLES"]
__all__ += ["STRONG", "SWAPS", "UNIQUE", "WAY", "way_role", "ways_of"]

OPEN_CORNER = "unique rectangle, one corner open"
ONE_DIGIT = "unique rectangle, exits on one digit"
STRONG = "unique rectangle with strong links"
LOCKED = "unique rectangle with a locked set"
CHAINS = "unique rectangle with chains"
AVOIDABLE = "avoidable rectangle"
EXTENDED = "extended rectangle"
SWAPS = {"swap of 6 cells": 6, "swap of 8 cells": 8}
BIVALUE_GRID = "bivalue grid"

RECTANGLES = (OPEN_CORNER, ONE_DIGIT, STRONG, LOCKED, CHAINS)
"""The rectangles of four open cells, by how their exits come to a conclusion."""

UNIQUE = frozenset((*RECTANGLES, AVOIDABLE, EXTENDED, *SWAPS, BIVALUE_GRID))
"""The names that may be used only where a unique solution is assumed."""

WAY = "way of "
"""How the names of the roles begin that the ways of exits play."""


def way_role(layout: Layout, exit_: int) -> str:
    """Return the name of the role that the way of an exit plays."""
    return f"{WAY}{layout.candidate(exit_)}"


def ways_of(pattern: Pattern) -> tuple[tuple[int, ...], ...]:
    """Return the ways from the exits of a pattern: an exit, then what is false and true in turn, a candidate each."""
    return tuple(role.items for role in pattern.roles if role.name.startswith(WAY))
