"""How much a search may try."""

from __future__ import annotations

from deduce.deadline import in_time
from deduce.kernel import Model

__all__ = ["Meter", "allowance"]

ALLOWED = 16_000_000
"""What a search may try, divided by the number of candidates.

At order 9 that is twice what the hardest of our lists take; at order 25 it is about a minute.
"""


def allowance(model: Model) -> int:
    """Return how much a search may try unless a caller says otherwise.

    Examples
    --------
    >>> from deduce.puzzle.layout import Layout
    >>> [allowance(Layout.standard(order).model) for order in (9, 16, 25)]
    [21947, 3906, 1024]
    """
    return ALLOWED // max(1, len(model.names))


PIVOTS = 50
"""How many steps of the simplex method count as much as one more linear program: most programs take fewer, those of an
open board many more."""


class Meter:
    """Counts what a search tries, and stops it.

    What it counts is the same on every machine: suppositions, linear programs, and steps of the simplex method.

    Parameters
    ----------
    limit : int or None
        How many suppositions may be tried and linear programs solved; None for as many as it takes.

    Attributes
    ----------
    spent : bool
        Whether more was asked for than is allowed.
    """

    def __init__(self, limit: int | None = None) -> None:
        self.limit = limit
        self.used = 0
        self.spent = False

    def take(self) -> bool:
        """Count one more trial; say whether it is allowed."""
        in_time()
        if self.limit is not None and self.used >= self.limit:
            self.spent = True
            return False
        self.used += 1
        return True

    def pivots(self, number: int) -> None:
        """Count the steps that a linear program took beside the program itself."""
        self.used += number // PIVOTS
