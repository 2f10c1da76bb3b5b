"""Layouts: the cells of a puzzle, its houses, and the model that they compile to.

Here are the ways to make a layout; `description` holds what was given, `facts` what is worked out of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from deduce.errors import LayoutError
from deduce.puzzle.facts import Facts
from deduce.puzzle.house import SYMBOLS, House, box_shape, lines
from deduce.puzzle.rules import Rule
from deduce.window import ShownLayout

if TYPE_CHECKING:
    from deduce.puzzle.problems.layout import ProblemLayout

__all__ = ["SYMBOLS", "House", "Layout", "box_shape"]


class Layout(ShownLayout, Facts):
    """Cells on a canvas, houses that hold every digit once, and further rules.

    The constructor makes a square grid with rows, columns and regions; :meth:`build` takes any cells and houses.

    Parameters
    ----------
    order : int
        How many digits, rows and columns; 2 to 25.
    regions : sequence of sequence of int
        The cells (numbered from 0 in reading order) of each region; each region has `order` cells.
    symbols : str, optional
        One character for each digit.
    region_kind : str, optional
        What a region is called.
    rules : iterable of Rule, optional
        What else has to hold.

    Attributes
    ----------
    order, cells : int
        How many digits, and how many cells.
    places : tuple of (int, int)
        For each cell its row and column on the canvas, from 0.  Cells are numbered in reading order.
    height, width : int
        Rows and columns of the canvas.
    houses : tuple of House
        The sets of cells that hold every digit exactly once.
    rules : tuple of Rule
        Everything else.

    Raises
    ------
    LayoutError
        If the order, a region or the symbols do not fit.

    Notes
    -----
    Candidates are numbered by digit first: candidate ``(digit - 1) * cells + cell``.  The candidates of one digit are
    then a contiguous slice of a bitset, one bit for each cell, which is what makes searching quick.

    Constraints are numbered cells first (constraint number = cell number), then house by house and digit by digit;
    these are exact, "exactly one of these".  Those of the rules follow, in the order of the rules.
    """

    def __init__(
        self,
        order: int,
        regions: Sequence[Sequence[int]] = (),
        *,
        symbols: str | None = None,
        region_kind: str = "box",
        rules: Iterable[Rule] = (),
    ) -> None:
        _check_order(order)
        found = [House(region_kind, number, tuple(sorted(region))) for number, region in enumerate(regions, 1)]
        places = tuple(divmod(cell, order) for cell in range(order * order))
        self._fill(order, places, (*lines(order), *found), rules, symbols)

    @classmethod
    def build(
        cls,
        order: int,
        places: Iterable[tuple[int, int]],
        houses: Iterable[House],
        rules: Iterable[Rule] = (),
        *,
        symbols: str | None = None,
    ) -> Layout:
        """Return a layout of any cells and houses.

        Parameters
        ----------
        order : int
            How many digits.
        places : iterable of (int, int)
            For each cell its row and column on the canvas, from 0, in reading order.
        houses : iterable of House
            Each with `order` cells; no two with the same name.
        rules : iterable of Rule, optional
            What else has to hold.
        symbols : str, optional
            One character for each digit.

        Raises
        ------
        LayoutError
            If something does not fit.

        Examples
        --------
        >>> Layout.build(2, [(0, 0), (0, 1), (1, 1)], [House("row", 1, (0, 1)), House("column", 2, (1, 2))])
        <Layout of order 2 with 3 cells and 2 houses>
        """
        _check_order(order)
        layout = cls.__new__(cls)
        layout._fill(order, tuple(places), houses, rules, symbols)  # noqa: SLF001 - a second constructor
        return layout

    def with_rules(self, *rules: Rule) -> Layout:
        """Return the layout with further rules after its own."""
        return _built(self.order, self.symbols, self.places, self.houses, (*self.rules, *rules))

    def with_houses(self, kind: str, sets: Iterable[Iterable[int]]) -> Layout:
        """Return the layout with further houses of one kind after its own, numbered on from those it has.

        Raises
        ------
        LayoutError
            If one does not have as many cells as there are digits.
        """
        first = 1 + sum(house.kind == kind for house in self.houses)
        more = tuple(House(kind, number, tuple(sorted(cells))) for number, cells in enumerate(sets, first))
        return _built(self.order, self.symbols, self.places, (*self.houses, *more), self.rules)

    @cached_property
    def boxes(self) -> tuple[int, int] | None:
        """Rows and columns of a box of a grid whose houses are its rows, columns and rectangular boxes, or None."""
        shapes = [(rows, self.order // rows) for rows in range(1, self.order + 1) if self.order % rows == 0]
        grids = ((shape, Layout.standard(self.order, shape)) for shape in shapes if 4 <= self.order <= len(SYMBOLS))
        return next((shape for shape, grid in grids if (grid.places, grid.houses) == (self.places, self.houses)), None)

    @property
    def problem(self) -> ProblemLayout | None:
        """The layout itself if its cells are the variables of a problem, shown as a table of their values, or None."""
        return None

    @classmethod
    def standard(cls, order: int = 9, box: tuple[int, int] | None = None) -> Layout:
        """Return the layout with rectangular boxes; the same object each time.

        Parameters
        ----------
        order : int
            4, 6, 9, 12, 16, 25, or any other order from 4 to 25 that is no prime.
        box : (int, int), optional
            Rows and columns of a box; by default the squarest with no more rows than columns.

        Raises
        ------
        LayoutError
            If boxes of that shape do not tile the grid.

        Examples
        --------
        >>> Layout.standard(6).houses[12].name, Layout.standard(6).houses[12].cells
        ('box 1', (0, 1, 2, 6, 7, 8))
        """
        return _standard(order, box)

    @classmethod
    def parse(cls, text: str) -> Layout:
        r"""Read a layout from text; the form is described in :mod:`deduce.puzzle.layout_text`.

        Raises
        ------
        LayoutTextError
            With line, column and a caret.

        Examples
        --------
        >>> Layout.parse("grid 9\ndiagonals\ncage r1c1-r1c2 = 3\nknight")
        <Layout of order 9 with 29 houses, 2 rules>
        """
        from deduce.puzzle.layout_text import read_layout

        return read_layout(text)

    def text(self) -> str:
        """Return the layout in the form that :meth:`parse` reads.

        Raises
        ------
        LayoutError
            If a rule has no line in that form.
        """
        from deduce.puzzle.layout_text import layout_text

        return layout_text(self)

    def __reduce__(self) -> tuple[object, ...]:
        if self.region_kind and not self.rules:
            regions = tuple(house.cells for house in self.houses[2 * self.order :])
            return _rebuild, (self.order, regions, self.symbols, self.region_kind)
        return _built, (self.order, self.symbols, self.places, self.houses, self.rules)

    def __repr__(self) -> str:
        cells = "" if self.cells == self.order**2 else f"{self.cells} cells and "
        rules = f", {len(self.rules)} rules" if self.rules else ""
        return f"<Layout of order {self.order} with {cells}{len(self.houses)} houses{rules}>"


def _check_order(order: object) -> None:
    """Refuse an order that no layout has."""
    if type(order) is not int or not 2 <= order <= len(SYMBOLS):
        raise LayoutError(f"order {order!r} is not possible", f"give a whole number from 2 to {len(SYMBOLS)}")


@lru_cache(maxsize=64)
def _built(
    order: int, symbols: str, places: tuple[tuple[int, int], ...], houses: tuple[House, ...], rules: tuple[Rule, ...]
) -> Layout:
    """Return one shared layout for each description, so that unpickled grids share a compiled model."""
    return Layout.build(order, places, houses, rules, symbols=symbols)


@lru_cache(maxsize=64)
def _rebuild(order: int, regions: tuple[tuple[int, ...], ...], symbols: str, kind: str) -> Layout:
    """Return the shared layout of a square grid with regions: a short description for the layouts used most."""
    layout = Layout(order, regions, symbols=symbols, region_kind=kind)
    return _built(order, symbols, layout.places, layout.houses, ())


@lru_cache(maxsize=64)
def _standard(order: int, box: tuple[int, int] | None) -> Layout:
    """Build a layout with rectangular boxes."""
    if type(order) is not int or not 4 <= order <= len(SYMBOLS):
        raise LayoutError(f"order {order!r} is not possible", f"give a whole number from 4 to {len(SYMBOLS)}")
    shape = box or box_shape(order)
    if shape is None:
        raise LayoutError(f"order {order} has no rectangular boxes", "give an order that is no prime, or regions")
    rows, columns = shape
    if rows < 1 or columns < 1 or rows * columns != order:
        raise LayoutError(f"boxes of {rows}x{columns} do not hold {order} cells", "give rows x columns = order")
    regions = [
        tuple((top + r) * order + left + c for r in range(rows) for c in range(columns))
        for top in range(0, order, rows)
        for left in range(0, order, columns)
    ]
    return _rebuild(order, tuple(regions), SYMBOLS[:order], "box")
