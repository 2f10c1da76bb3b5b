"""Exact numbers from the values that constraints add up."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import isfinite
from numbers import Rational

__all__ = ["exact"]

_PLACES = 10**6
"""A float is read as the decimal that it prints, if that has no more than six places."""


def exact(value: object) -> Fraction:
    """Return a number exactly.

    Raises
    ------
    ValueError
        If it is no number, or a float that no short decimal names.

    Notes
    -----
    python-constraint rounds sums of floats to ten places, so it too reads 0.1 + 0.2 as 0.3.

    Examples
    --------
    >>> exact(True), exact(0.1), exact(Decimal("1.5"))
    (Fraction(1, 1), Fraction(1, 10), Fraction(3, 2))
    """
    if isinstance(value, Rational):
        return Fraction(int(value.numerator), int(value.denominator))
    if isinstance(value, Decimal) and value.is_finite():
        return Fraction(value)
    if isinstance(value, float) and isfinite(value):
        read = Fraction(repr(value))
        if _PLACES % read.denominator == 0:
            return read
        raise ValueError(f"{value!r} is no decimal of at most six places")
    raise ValueError(f"{value!r} is no number")
