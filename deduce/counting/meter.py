"""How much a search may try."""

from __future__ import annotations

from deduce.kernel import Model

__all__ = ["Meter", "allowance"]

UNLIMITED = 1_000
"""Up to this many candidates (order 9 has 729) a search ends by itself in a few seconds."""

ALLOWED = 16_000_000
"""What a search may try on larger models, divided by the number of their candidates: about a minute at order 25."""


def allowance(model: Model) -> int | None:
    """Return how much a search may try unless a caller says otherwise; None for as much as it takes.

    Examples
    --------
    >>> from deduce.puzzle.layout import Layout
    >>> [allowance(Layout.standard(order).model) for order in (9, 16, 25)]
    [None, 3906, 1024]
    """
    size = len(model.names)
    return None if size <= UNLIMITED else ALLOWED // size


class Meter:
    """Counts what a search tries, and stops it.

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
        if self.limit is not None and self.used >= self.limit:
            self.spent = True
            return False
        self.used += 1
        return True
