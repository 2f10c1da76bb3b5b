"""Functions over few variables as tables, and what a table says more simply."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from fractions import Fraction
from itertools import product
from math import gcd, lcm, prod
from typing import Any

from deduce.errors import ProblemError
from deduce.puzzle.problems.described import WeightedTotal

__all__ = ["MOST_TUPLES", "MOST_VARIABLES", "as_total", "tabulate"]

MOST_VARIABLES = 4
"""The most variables that a function may have."""

MOST_TUPLES = 20_000
"""The most combinations of values for which a function is called."""

_MOST_SIGNED = 3_000
"""A table with more combinations than this is not compared with sums of terms like ``a + b - c``."""


def tabulate(
    title: str, function: Callable[..., Any], domains: Sequence[dict[int, Hashable]], names: Sequence[str]
) -> tuple[tuple[int, ...], ...]:
    """Call a function for each combination of its variables' values, and list the digits of those that it accepts.

    Raises
    ------
    ProblemError
        If there are too many variables or combinations, or if the function fails on one.
    """
    if len(domains) > MOST_VARIABLES:
        problem = f"{title} is a function of {len(domains)} variables"
        raise ProblemError(
            problem,
            f"functions of at most {MOST_VARIABLES} are tabulated: state it by sums or by several smaller functions",
        )
    size = prod(map(len, domains))
    if size > MOST_TUPLES:
        problem = f"{title} has {size} combinations of values"
        raise ProblemError(
            problem,
            f"at most {MOST_TUPLES} are tabulated: narrow the domains, or state it by sums or smaller functions",
        )
    accepted = []
    for digits in product(*domains):
        values = [domain[digit] for domain, digit in zip(domains, digits, strict=True)]
        try:
            holds = bool(function(*values))
        except Exception as error:
            given = ", ".join(f"{name} = {value!r}" for name, value in zip(names, values, strict=True))
            problem = f"{title} failed for {given} ({type(error).__name__}: {error})"
            raise ProblemError(
                problem, "make the function answer for every combination of values in the domains"
            ) from error
        if holds:
            accepted.append(digits)
    return tuple(accepted)


def as_total(
    table: Sequence[tuple[int, ...]], domains: Sequence[dict[int, Hashable]], number: Callable[[Hashable], Fraction]
) -> WeightedTotal | None:
    """Return the sum that says exactly what a table says, if there is a simple one.

    Parameters
    ----------
    table : sequence of tuple of int
        The accepted combinations of digits.
    domains : sequence of dict
        The values by digit.
    number : callable
        From a value to its exact number; raises ValueError for what is none.

    Returns
    -------
    WeightedTotal or None
        An equation if the accepted combinations span one, else an inequality with factors 1, 0 and -1.
    """
    try:
        values = [{digit: number(value) for digit, value in domain.items()} for domain in domains]
    except ValueError:
        return None
    if not table or len(table) == prod(map(len, domains)):
        return None
    accepted = {tuple(column[d] for column, d in zip(values, digits, strict=True)) for digits in table}
    rest = {point for point in product(*(set(column.values()) for column in values)) if point not in accepted}
    return _equation(sorted(accepted), rest) or _inequality(accepted, rest)


def _times(factors: Sequence[Fraction], point: Sequence[Fraction]) -> Fraction:
    return sum((a * x for a, x in zip(factors, point, strict=True)), Fraction(0))


def _equation(accepted: Sequence[tuple[Fraction, ...]], rest: set[tuple[Fraction, ...]]) -> WeightedTotal | None:
    """Return the only equation that all accepted points meet, if no other point does."""
    size = len(accepted[0])
    rows: dict[int, list[Fraction]] = {}  # the differences from the first point, reduced: 1 where each leads, and alone
    for point in accepted[1:]:
        row = [x - x0 for x, x0 in zip(point, accepted[0], strict=True)]
        for at, known in rows.items():
            row = _less(row, row[at], known)
        lead = next((i for i, a in enumerate(row) if a), None)
        if lead is not None:
            row = [a / row[lead] for a in row]
            rows = {at: _less(known, known[lead], row) for at, known in rows.items()} | {lead: row}
            if len(rows) == size:
                return None
    if len(rows) != size - 1:
        return None
    free = next(i for i in range(size) if i not in rows)
    factors = _whole([Fraction(1) if i == free else -rows[i][free] for i in range(size)])
    value = _times(factors, accepted[0])
    if any(_times(factors, point) == value for point in rest):
        return None
    return WeightedTotal(tuple(factors), value, value)


def _less(row: Sequence[Fraction], times: Fraction, known: Sequence[Fraction]) -> list[Fraction]:
    return [a - times * b for a, b in zip(row, known, strict=True)]


def _whole(factors: Sequence[Fraction]) -> list[Fraction]:
    """Return the factors of an equation whole, without a common divisor, the first of them positive."""
    scale = Fraction(lcm(*(factor.denominator for factor in factors)), gcd(*(factor.numerator for factor in factors)))
    sign = next(1 if factor > 0 else -1 for factor in factors if factor)
    return [factor * scale * sign for factor in factors]


def _inequality(accepted: set[tuple[Fraction, ...]], rest: set[tuple[Fraction, ...]]) -> WeightedTotal | None:
    """Return an inequality with factors 1, 0 and -1 that holds for the accepted points and for no other."""
    if len(accepted) + len(rest) > _MOST_SIGNED:
        return None
    size = len(next(iter(accepted)))
    signs = [Fraction(1), Fraction(-1), Fraction(0)]
    for factors in product(signs, repeat=size):
        if sum(map(abs, factors)) < size:
            continue  # a variable without a part would have left the table to the others
        most = max(_times(factors, point) for point in accepted)
        if all(_times(factors, point) > most for point in rest):
            if sum(factors) < 0:
                return WeightedTotal(tuple(-factor for factor in factors), -most, None)
            return WeightedTotal(factors, None, most)
    return None
