"""Fractional fillings that were found once, kept because they still answer questions in other positions."""

from __future__ import annotations

from collections import deque
from math import inf

from deduce.kernel import Position

__all__ = ["Fillings"]

KEPT = 4_000
"""How many fillings are remembered; the oldest are forgotten first."""


class Fillings:
    """Fillings that were found: values of the candidates that meet every rule, or miss each by no more than allowed.

    Notes
    -----
    A filling that gives a candidate the value 1 shows that no sum makes it false.  It was found in one position, but it
    fits every other one in which all that it uses is live and all that is true there has the value 1 in it: what it
    does not use may be gone or not.  Positions along a solve, and those under its suppositions, differ in few
    candidates, so that most questions have been answered before.

    Only which candidates are used, and which have the value 1, is kept.
    """

    def __init__(self) -> None:
        self._points: deque[tuple[int, int, float]] = deque(maxlen=KEPT)

    def add(self, used: int, whole: int, limit: float) -> None:
        """Remember a filling.

        Parameters
        ----------
        used, whole : int
            Bitsets of the candidates with a value above 0, and with the value 1.
        limit : float
            Each row may be missed by one part in this much; infinite if none is missed.
        """
        self._points.append((used, whole, limit))

    def known(self, position: Position, limit: float = inf) -> tuple[int, int]:
        """Return the bitsets of candidates that can have the value 1, and the value 0, in a position.

        Parameters
        ----------
        position : Position
            The position.
        limit : float
            How much the rows may be missed by, as in :meth:`add`.

        Returns
        -------
        int, int
            What some remembered filling shows; both 0 if none fits.
        """
        live, true = position
        can, need_not = 0, 0
        for used, whole, most in self._points:
            if not used & ~live and not true & ~whole and most >= limit:
                can |= whole
                need_not |= ~used
        return can, need_not & live
