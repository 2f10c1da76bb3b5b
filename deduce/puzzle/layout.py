"""Layouts: the cells of a puzzle, its houses, and the model that they compile to."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import isqrt

from deduce.errors import GridError, LayoutError
from deduce.kernel import Constraint, Model
from deduce.proof import Candidate

__all__ = ["SYMBOLS", "House", "Layout", "box_shape"]

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
    """

    kind: str
    number: int
    cells: tuple[int, ...]

    @property
    def name(self) -> str:
        """The printable name, such as ``"box 2"``."""
        return f"{self.kind} {self.number}"


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


class Layout:
    """A square grid with rows, columns and regions, each of which holds every digit once.

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

    Raises
    ------
    LayoutError
        If the order, a region or the symbols do not fit.

    Notes
    -----
    Candidates are numbered by digit first: candidate ``(digit - 1) * cells + cell``.  The candidates of one digit are
    then a contiguous slice of a bitset, one bit for each cell, which is what makes searching quick.

    Constraints are numbered cells first (constraint number = cell number), then house by house and digit by digit.
    """

    def __init__(
        self,
        order: int,
        regions: Sequence[Sequence[int]] = (),
        *,
        symbols: str | None = None,
        region_kind: str = "box",
    ) -> None:
        if type(order) is not int or not 2 <= order <= len(SYMBOLS):
            raise LayoutError(f"order {order!r} is not possible", f"give a whole number from 2 to {len(SYMBOLS)}")
        self.order = order
        self.symbols = SYMBOLS[:order] if symbols is None else symbols
        if len(self.symbols) != order or len(set(self.symbols)) != order:
            raise LayoutError(f"{self.symbols!r} does not name {order} digits", f"give {order} different characters")
        if any(symbol.isspace() or symbol in ".0_*|+-=#{}[]:" for symbol in self.symbols):
            advice = "leave out blanks and . 0 _ * | + - = # { } [ ] :"
            raise LayoutError(f"{self.symbols!r} uses a character that grids need", advice)
        self.cells = order * order
        houses = [House("row", r + 1, tuple(range(r * order, (r + 1) * order))) for r in range(order)]
        houses += [House("column", c + 1, tuple(range(c, self.cells, order))) for c in range(order)]
        for number, region in enumerate(regions, 1):
            cells = tuple(sorted(region))
            if len(cells) != order or len(set(cells)) != order or cells[0] < 0 or cells[-1] >= self.cells:
                problem = f"{region_kind} {number} has cells {cells}"
                raise LayoutError(problem, f"give {order} different cells of the grid")
            houses.append(House(region_kind, number, cells))
        self.houses = tuple(houses)
        self._key = (order, self.symbols, tuple((house.kind, house.cells) for house in houses))

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

    @cached_property
    def model(self) -> Model:
        """The kernel's model: exactly one digit in each cell, each digit exactly once in each house."""
        names = [str(self.candidate(number)) for number in range(self.order * self.cells)]
        digits = range(self.order)

        def one(name: str, candidates: Sequence[int]) -> Constraint:
            return Constraint(name, tuple((candidate, 1) for candidate in candidates), 1, 1)

        rules = [one(f"cell {self.cell_name(v)}", [d * self.cells + v for d in digits]) for v in range(self.cells)]
        for house in self.houses:
            for digit in digits:
                name = f"{self.symbols[digit]} in {house.name}"
                rules.append(one(name, [digit * self.cells + cell for cell in house.cells]))
        return Model(names, rules)

    @cached_property
    def masks(self) -> tuple[int, ...]:
        """For each constraint the bitset of its candidates."""
        return self.model.masks

    @cached_property
    def touching(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the constraints that it stands in: its cell first, then its houses."""
        return self.model.touching

    @cached_property
    def peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of those that cannot be true together with it."""
        found = []
        for candidate, numbers in enumerate(self.touching):
            mask = 0
            for number in numbers:
                mask |= self.masks[number]
            found.append(mask & ~(1 << candidate))
        return tuple(found)

    @cached_property
    def same_digit_peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of the candidates of its digit that it sees."""
        plane = (1 << self.cells) - 1
        return tuple(mask & plane << c // self.cells * self.cells for c, mask in enumerate(self.peers))

    @cached_property
    def house_masks(self) -> tuple[int, ...]:
        """For each house the bitset of its cells (not candidates)."""
        return tuple(sum(1 << cell for cell in house.cells) for house in self.houses)

    @cached_property
    def houses_of(self) -> tuple[tuple[int, ...], ...]:
        """For each cell the numbers of the houses that hold it."""
        return tuple(
            tuple(h for h, house in enumerate(self.houses) if cell in house.cells) for cell in range(self.cells)
        )

    @cached_property
    def neighbours(self) -> tuple[int, ...]:
        """For each cell the bitset of the other cells that share a house with it."""
        found = []
        for cell, houses in enumerate(self.houses_of):
            mask = 0
            for house in houses:
                mask |= self.house_masks[house]
            found.append(mask & ~(1 << cell))
        return tuple(found)

    @cached_property
    def every(self) -> int:
        """The bitset of all candidates."""
        return (1 << self.order * self.cells) - 1

    def number(self, digit: int, cell: int) -> int:
        """Return the number of the candidate for a digit (from 1) in a cell (from 0)."""
        return (digit - 1) * self.cells + cell

    def candidate(self, number: int) -> Candidate:
        """Return a candidate by its number in the model."""
        digit, cell = divmod(number, self.cells)
        row, column = divmod(cell, self.order)
        symbol = self.symbols[digit]
        return Candidate(digit + 1, row + 1, column + 1, "" if symbol == str(digit + 1) else symbol)

    def cell_name(self, cell: int) -> str:
        """Return the name of a cell, such as ``"r4c7"``."""
        row, column = divmod(cell, self.order)
        return f"r{row + 1}c{column + 1}"

    def parse_cell(self, text: str) -> int:
        """Read the name of a cell back to its number; the inverse of `cell_name`.

        Raises
        ------
        GridError
            If the text is no cell of this layout.
        """
        match = re.fullmatch(r"r([0-9]{1,2})c([0-9]{1,2})", text.strip())
        if match:
            row, column = int(match[1]), int(match[2])
            if 1 <= row <= self.order and 1 <= column <= self.order:
                return (row - 1) * self.order + column - 1
        raise GridError(f"{text!r} is no cell here", f"write r1c1 to r{self.order}c{self.order}")

    def parse_candidate(self, text: str) -> int:
        """Read a candidate token such as ``5r4c7`` back to its number; the inverse of printing one.

        Raises
        ------
        GridError
            If the text is no candidate of this layout.
        """
        token = text.strip()
        digit = self.symbols.find(token[:1]) if token else -1
        if digit < 0:
            raise GridError(f"{text!r} does not start with a digit", f"write one of {self.symbols}, then the cell")
        return self.number(digit + 1, self.parse_cell(token[1:]))

    def cell_constraint(self, cell: int) -> int:
        """Return the number of the constraint "exactly one digit in this cell"."""
        return cell

    def house_constraint(self, house: int, digit: int) -> int:
        """Return the number of the constraint "this digit (from 1) exactly once in this house"."""
        return self.cells + house * self.order + digit - 1

    def shared(self, first: int, second: int) -> tuple[int, ...]:
        """Return the constraints that hold both candidates, in order."""
        theirs = self.touching[second]
        return tuple(number for number in self.touching[first] if number in theirs)

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Layout) and self._key == other._key)

    def __hash__(self) -> int:
        return hash(self._key)

    def __reduce__(self) -> tuple[object, ...]:
        regions = [house for house in self.houses if house.kind not in ("row", "column")]
        kind = regions[0].kind if regions else "box"
        return _rebuild, (self.order, tuple(house.cells for house in regions), self.symbols, kind)

    def __repr__(self) -> str:
        return f"<Layout of order {self.order} with {len(self.houses)} houses>"


@lru_cache(maxsize=64)
def _rebuild(order: int, regions: tuple[tuple[int, ...], ...], symbols: str, kind: str) -> Layout:
    """Return one shared layout for each description, so that unpickled grids share a compiled model."""
    return Layout(order, regions, symbols=symbols, region_kind=kind)


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
