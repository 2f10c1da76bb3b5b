"""A table, printed as text, CSV or HTML."""

from __future__ import annotations

import csv
import html
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from textwrap import wrap

__all__ = ["Table", "percent"]

_WIDTH = 100
"""How long the lines of a note may be in text."""

Cell = str | int | float | Decimal | None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings.

    Parameters
    ----------
    title : str
        What the table shows.
    heads : tuple of str
        One heading a column.
    rows : tuple of tuple
        Text, whole numbers, shares as floats from 0 to 1, other numbers as decimals, or None for an empty cell.
    note : str, optional
        What a reader must know.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""

    @classmethod
    def of(cls, title: str, heads: Iterable[str], rows: Iterable[Iterable[Cell]], note: str = "") -> Table:
        """Return a table from any iterables."""
        return cls(title, tuple(heads), tuple(map(tuple, rows)), note)

    @property
    def slug(self) -> str:
        """The title as the name of a file.

        Examples
        --------
        >>> Table("Solved, by level", (), ()).slug
        'solved-by-level'
        """
        return re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-")

    def text(self) -> str:
        """Return the table in aligned columns.

        Examples
        --------
        >>> print(Table("Shares", ("what", "n", "share"), (("all", 1200, 1.0), ("none", 0, None))).text())
        Shares
        what      n   share
        ----  -----  ------
        all   1,200  100.0%
        none      0
        """
        cells = [[_shown(cell) for cell in row] for row in self.rows]
        widths = [max(map(len, column)) for column in zip(self.heads, *cells, strict=True)]
        numeric = self._numeric()
        lines = [self.title]
        for row in [[*self.heads], ["-" * width for width in widths], *cells]:
            placed = [
                cell.rjust(width) if right else cell.ljust(width)
                for cell, width, right in zip(row, widths, numeric, strict=True)
            ]
            lines.append("  ".join(placed).rstrip())
        lines += wrap(self.note, _WIDTH)
        return "\n".join(lines)

    def csv(self) -> str:
        """Return the rows as CSV with headings; shares keep all their digits."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(self.heads)
        writer.writerows(self.rows)
        return out.getvalue()

    def html(self) -> str:
        """Return the table as HTML, with the title as its caption."""
        right = ["" if not numeric else ' class="n"' for numeric in self._numeric()]
        heads = "".join(
            f'<th scope="col"{style}>{html.escape(head)}</th>' for head, style in zip(self.heads, right, strict=True)
        )
        body = []
        for row in self.rows:
            first, *others = (html.escape(_shown(cell)) for cell in row)
            rest = "".join(f"<td{style}>{cell}</td>" for cell, style in zip(others, right[1:], strict=True))
            body.append(f'<tr><th scope="row"{right[0]}>{first}</th>{rest}</tr>')
        note = f"<p>{html.escape(self.note)}</p>" if self.note else ""
        caption = f"<caption>{html.escape(self.title)}</caption>"
        return f"<table>{caption}<thead><tr>{heads}</tr></thead><tbody>{''.join(body)}</tbody></table>{note}"

    def _repr_html_(self) -> str:
        return self.html()

    def _numeric(self) -> list[bool]:
        """Say which columns hold nothing but numbers."""
        columns = zip(*self.rows, strict=True) if self.rows else [()] * len(self.heads)
        return [bool(column) and not any(isinstance(cell, str) for cell in column) for column in columns]


def _shown(cell: Cell) -> str:
    """Return a cell as people read it."""
    if cell is None:
        return ""
    if isinstance(cell, float):
        return percent(cell)
    return cell if isinstance(cell, str) else f"{cell:,}"


def percent(share: float) -> str:
    """Return a share as a percentage; only all is 100 %, and only none is 0 %.

    Examples
    --------
    >>> percent(0.4567), percent(1.0), percent(4915 / 4916), percent(1 / 30000)
    ('45.7%', '100.0%', '99.98%', '0.003%')
    """
    text = f"{share:.1%}"
    for digits in range(2, 12):
        if share in (0, 1) or float(text[:-1]) not in (0, 100):
            break
        text = f"{share:.{digits}%}"
    return text
