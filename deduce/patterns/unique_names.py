"""The names of the patterns that assume a unique solution."""

from __future__ import annotations

from deduce.puzzle.layout import Layout

__all__ = [
    "AVOIDABLE",
    "BIVALUE_GRID",
    "CHAINS",
    "EXTENDED",
    "LOCKED",
    "ONE_DIGIT",
    "OPEN_CORNER",
    "RECTANGLES",
    "STRONG",
    "SWAPS",
    "UNIQUE",
    "way_role",
]

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


def way_role(layout: Layout, exit_: int) -> str:
    """Return the name of the role that the way of an exit plays."""
    return f"way of {layout.candidate(exit_)}"
