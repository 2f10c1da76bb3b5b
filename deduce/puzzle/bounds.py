"""How far the sum of a rule can still reach, and which rules are out of reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from deduce.kernel import Constraint
from deduce.puzzle.layout import Layout

__all__ = ["sum_range", "unreachable_rules"]


def sum_range(constraint: Constraint, live: int, true: int) -> tuple[int, int]:
    """Return the least and the most that the sum of a constraint can come to, candidate by candidate."""
    least = most = 0
    for candidate, a in constraint.terms:
        if true >> candidate & 1:
            least += a
            most += a
        elif live >> candidate & 1:
            least += min(a, 0)
            most += max(a, 0)
    return least, most


def unreachable_rules(
    layout: Layout, live: int, true: int, numbers: Iterable[int] | None = None
) -> Iterator[tuple[int, bool]]:
    """Yield the constraints of rules that a position cannot meet by themselves.

    Parameters
    ----------
    layout : Layout
        The layout.
    live, true : int
        The position.
    numbers : iterable of int, optional
        Look at these constraints only; by default at all that come from rules.

    Yields
    ------
    (int, bool)
        The number of the constraint, and whether it is the at-least side that is out of reach.
    """
    constraints = layout.model.constraints
    for number in range(layout.exact, len(constraints)) if numbers is None else numbers:
        constraint = constraints[number]
        least, most = sum_range(constraint, live, true)
        if constraint.lower is not None and most < constraint.lower:
            yield number, True
        elif constraint.upper is not None and least > constraint.upper:
            yield number, False
