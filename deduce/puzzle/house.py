"""Houses, how digits are written, and the boxes that an order has: what descriptions of layouts are made of."""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

__all__ = ["SYMBOLS", "House", "box_shape", "lines"]

SYMBOLS = "123456789ABCDEFGHIJKLMNOP"
"""How digits are written unless a layout says otherwise: digit 10 is ``A``, digit 25 is ``P``."""


@dataclass(frozen=True, slots=True)
class House:
    """A set of cells that must hold every digit once.

    Parameters
    ----------
    kind : str
        ``"row"``, ``"column"``, ``"box"``, or what else the layout calls it.
    number : int
        From 1, within the kind.
    cells : tuple of int
        Cell numbers in reading order.
    grid : int
        On a canvas of several grids, which of them the house belongs to, from 1; otherwise 0.
    """

    kind: str
    number: int
    cells: tuple[int, ...]
    grid: int = 0

    @property
    def name(self) -> str:
        """The printable name, such as ``"box 2"`` or ``"row 3 of grid 2"``."""
        return f"{self.kind} {self.number} of grid {self.grid}" if self.grid else f"{self.kind} {self.number}"


def lines(order: int) -> tuple[House, ...]:
    """Return the rows, then the columns, of a square grid of this order."""
    rows = [House("row", r + 1, tuple(range(r * order, (r + 1) * order))) for r in range(order)]
    return (*rows, *(House("column", c + 1, tuple(range(c, order**2, order))) for c in range(order)))


def box_shape(order: int) -> tuple[int, int] | None:
    """Return rows and columns of the boxes that a grid of this order has, the squarest that fit; None for a prime.

    Examples
    --------
    >>> [box_shape(order) for order in (4, 6, 9, 12, 16, 25, 7)]
    [(2, 2), (2, 3), (3, 3), (3, 4), (4, 4), (5, 5), None]
    """
    for rows in range(isqrt(order), 1, -1):
        if order % rows == 0:
            return rows, order // rows
    return None
