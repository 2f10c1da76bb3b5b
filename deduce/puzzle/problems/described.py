"""What a problem says, as plain data: variables with their values, and what each constraint states about them."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

__all__ = ["Described", "Stated", "WeightedTotal"]


@dataclass(frozen=True, slots=True)
class WeightedTotal:
    """A sum with factors: ``least <= sum of factor * value <= most``.

    Parameters
    ----------
    factors : tuple of Fraction
        One for each variable of the scope.
    least, most : Fraction or None
        The bounds; None where that side is open.
    """

    factors: tuple[Fraction, ...]
    least: Fraction | None
    most: Fraction | None


@dataclass(frozen=True, slots=True)
class Stated:
    """One constraint of a problem.

    Parameters
    ----------
    number : int
        From 1, in the order in which the constraints were added.
    kind : str
        What it states: ``"different"``, ``"equal"``, ``"sum"``, ``"each in"``, ``"count in"``, or ``"table"``.
    title : str
        Its printable name, different from that of any other.
    scope : tuple of int
        The numbers of its variables, in its own order.
    total : WeightedTotal, optional
        For ``"sum"``.
    allowed : tuple of frozenset of int, optional
        For ``"each in"`` and ``"count in"``: for each variable of the scope the digits that lie in the set.
    least, most : int or None, optional
        For ``"count in"``: how many variables take a value of the set.
    table : tuple of tuple of int, optional
        For ``"table"``: the digits that the variables may take together.
    own : constraint.Constraint or str, optional
        The caller's own constraint, a copy of which `to_problem` gives back.  It takes no part in comparison, and is
        left behind when the problem is pickled or written out.
    """

    number: int
    kind: str
    title: str
    scope: tuple[int, ...]
    total: WeightedTotal | None = None
    allowed: tuple[frozenset[int], ...] = ()
    least: int | None = None
    most: int | None = None
    table: tuple[tuple[int, ...], ...] = ()
    own: Any = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Described:
    """A whole problem.

    Parameters
    ----------
    variables : tuple
        The caller's variables, in the order in which they were added.
    values : tuple
        Every value that some variable may take, each once: numbers ascending, anything else as it first occurs.
    domains : tuple of dict
        For each variable its digits (numbers of `values`, from 0) in order, each with the caller's own object.
    stated : tuple of Stated
        The constraints.
    """

    variables: tuple[Hashable, ...]
    values: tuple[Hashable, ...]
    domains: tuple[dict[int, Hashable], ...]
    stated: tuple[Stated, ...]
