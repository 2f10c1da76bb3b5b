"""Tables: where their rows and columns stand, and the lines and labels between and beside them."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from deduce.pictures.geometry import Point, figure
from deduce.pictures.themes import Theme

__all__ = ["ROW", "TableGeometry", "table_labels", "table_lines"]

ROW = 26.0
_LETTER = 7.2
"""Width of a letter of a label, on the safe side."""

_MOST_LETTERS = 18
"""Longer labels are cut; the words that go with a picture have them in full."""


def short(name: str) -> str:
    """Cut a label that is too long."""
    return name if len(name) <= _MOST_LETTERS else f"{name[: _MOST_LETTERS - 1]}\u2026"


class TableGeometry:
    """Coordinates of a table; x to the right, y down.

    Parameters
    ----------
    rows, columns : sequence of str
        The names of its rows and columns.
    """

    def __init__(self, rows: Iterable[str], columns: Iterable[str]) -> None:
        self.rows = [*map(short, rows)]
        self.columns = [*map(short, columns)]
        longest = max(map(len, self.columns))
        # Labels that are wider than a column stand upright.
        self.upright = longest > 6
        self.step = 30.0 if self.upright else max(30.0, longest * _LETTER + 12)
        self.left = 22 + max(map(len, self.rows)) * _LETTER
        self.top = 16 + longest * _LETTER if self.upright else 30.0
        self.wide = self.step * len(self.columns)
        self.high = ROW * len(self.rows)
        self.width = max(self.left + self.wide + 20, 330.0)

    def note(self, cell: int, digit: int) -> Point:
        """Return the place of a candidate."""
        return self.left + (digit - 0.5) * self.step, self.top + (cell + 0.5) * ROW


def table_lines(place: TableGeometry, look: Theme) -> Iterable[str]:
    """Draw the lines between rows and columns, and the frame."""
    wide, high = figure(place.wide), figure(place.high)
    left, top = figure(place.left), figure(place.top)
    across = "".join(f"M{left} {figure(place.top + i * ROW)}h{wide}" for i in range(1, len(place.rows)))
    down = "".join(f"M{figure(place.left + i * place.step)} {top}v{high}" for i in range(1, len(place.columns)))
    yield f'<path stroke="{look.thin}" d="{across}{down}"/>'
    yield f'<path stroke="{look.thick}" stroke-width="1.6" d="M{left} {top}h{wide}v{high}h-{wide}z"/>'


def table_labels(place: TableGeometry, look: Theme) -> Iterable[str]:
    """Write the names of rows and columns."""
    yield f'<g fill="{look.ink}" font-size="12">'
    for number, name in enumerate(place.rows):
        y = place.top + (number + 0.5) * ROW + 4.5
        yield f'<text text-anchor="end" x="{figure(place.left - 9)}" y="{figure(y)}">{escape(name)}</text>'
    for number, name in enumerate(place.columns):
        x, y = place.left + (number + 0.5) * place.step, place.top - 8
        if place.upright:
            turned = f'text-anchor="start" transform="rotate(-90 {figure(x + 4)} {figure(y)})"'
            yield f'<text {turned} x="{figure(x + 4)}" y="{figure(y)}">{escape(name)}</text>'
        else:
            yield f'<text x="{figure(x)}" y="{figure(y)}">{escape(name)}</text>'
    yield "</g>"
