"""What a layout is before anything is worked out of it: cells on a canvas, houses, rules, and what they are called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from types import MappingProxyType
from typing import Any, ClassVar, NamedTuple, NoReturn

from deduce.errors import GridError, LayoutError
from deduce.proof import Candidate
from deduce.puzzle.house import SYMBOLS, House, lines
from deduce.puzzle.rules import Rule

__all__ = ["Description", "Nouns"]


class Nouns(NamedTuple):
    """What sentences call the cells of a layout, its digits, and a digit that is still open in a cell."""

    cell: str = "cell"
    digit: str = "digit"
    note: str = "note"


class Description:
    """Cells, houses and rules as they were given, with names for cells and candidates.

    Rules read no more than this, since the model is made of them.  :class:`~deduce.puzzle.layout.Layout` has the
    constructors and says what the attributes mean.  Layouts are shared, so none can be changed once it is made.
    """

    nouns: ClassVar[Nouns] = Nouns()

    order: int
    symbols: str
    places: tuple[tuple[int, int], ...]
    cells: int
    height: int
    width: int
    houses: tuple[House, ...]
    rules: tuple[Rule, ...]
    _key: tuple[object, ...]
    _hash: int

    def _fill(
        self,
        order: int,
        places: tuple[tuple[int, int], ...],
        houses: Iterable[House],
        rules: Iterable[Rule],
        symbols: str | None,
    ) -> None:
        """Set and check everything that describes the layout."""
        symbols = SYMBOLS[:order] if symbols is None else symbols
        if len(symbols) != order or len(set(symbols)) != order:
            raise LayoutError(f"{symbols!r} does not name {order} digits", f"give {order} different characters")
        if any(symbol.isspace() or symbol in ".0_*|+-=#{}[]:" for symbol in symbols):
            advice = "leave out blanks and . 0 _ * | + - = # { } [ ] :"
            raise LayoutError(f"{symbols!r} uses a character that grids need", advice)
        if list(places) != sorted(set(places)) or not places or min(min(place) for place in places) < 0:
            raise LayoutError("the cells are not in reading order", "give different rows and columns from 0, sorted")
        houses, rules, count = tuple(houses), tuple(rules), len(places)
        for house in houses:
            cells = house.cells
            fits = len(cells) == order and cells == tuple(sorted(set(cells)))
            if not fits or cells[0] < 0 or cells[-1] >= count:
                problem = f"{house.name} has cells {cells}"
                raise LayoutError(problem, f"give {order} different cells of the grid")
        for rule in rules:
            if not rule.cells or not all(0 <= cell < count for cell in rule.cells):
                raise LayoutError(f"a rule ({rule.kind}) names cells {rule.cells}", f"give cells 0 to {count - 1}")
        names = [house.name for house in houses]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise LayoutError(f"two houses are called {twice}", "give each house a name of its own")
        given: dict[str, Any] = {"order": order, "symbols": symbols, "places": places, "houses": houses, "rules": rules}
        self._hold(tuple(given.values()), **given)

    def _hold(self, key: tuple[object, ...], *, places: Sequence[tuple[int, int]], **given: Any) -> None:
        """Take hold of what describes the layout, once and for all; `key` is what makes two of them equal."""
        if vars(self):
            self._frozen("order")
        height, width = (1 + max((place[axis] for place in places), default=-1) for axis in (0, 1))
        vars(self).update(given, places=places, cells=len(places), height=height, width=width)
        vars(self).update(_key=key, _hash=hash(key))

    def _frozen(self, name: str, _: object = None) -> NoReturn:
        """Refuse to change: a layout and all that is worked out of it serve every grid of the process."""
        raise AttributeError(f"a layout does not change, so {name!r} cannot be set; make another layout")

    __setattr__ = __delattr__ = _frozen

    @cached_property
    def region_kind(self) -> str | None:
        """What the houses behind rows and columns are called; None unless there are only such, numbered from 1."""
        if (self.height, self.width) != (self.order, self.order) or self.houses[: 2 * self.order] != lines(self.order):
            return None
        rest = self.houses[2 * self.order :]
        kind = rest[0].kind if rest else "box"
        return kind if all(house == House(kind, n, house.cells) for n, house in enumerate(rest, 1)) else None

    @cached_property
    def regions(self) -> tuple[House, ...]:
        """The houses that are neither rows nor columns."""
        return tuple(house for house in self.houses if house.kind not in ("row", "column"))

    def is_slanting(self, cells: Sequence[int]) -> bool:
        """Whether cells stand corner to corner in a straight line."""
        places = [self.places[cell] for cell in cells]
        steps = {(r - q, c - b) for (q, b), (r, c) in pairwise(places)}
        return steps in ({(1, 1)}, {(1, -1)})

    def number(self, digit: int, cell: int) -> int:
        """Return the number of the candidate for a digit (from 1) in a cell (from 0)."""
        return (digit - 1) * self.cells + cell

    def candidate(self, number: int) -> Candidate:
        """Return a candidate by its number in the model."""
        digit, cell = divmod(number, self.cells)
        row, column = self.places[cell]
        symbol = self.symbols[digit]
        return Candidate(digit + 1, row + 1, column + 1, "" if symbol == str(digit + 1) else symbol)

    def cell_name(self, cell: int) -> str:
        """Return the name of a cell, such as ``"r4c7"``."""
        row, column = self.places[cell]
        return f"r{row + 1}c{column + 1}"

    @cached_property
    def cell_at(self) -> Mapping[tuple[int, int], int]:
        """For each place of the canvas, row and column from 0, that has a cell the number of the cell."""
        return MappingProxyType({place: cell for cell, place in enumerate(self.places)})

    def parse_cell(self, text: str) -> int:
        """Read the name of a cell back to its number; the inverse of `cell_name`.

        Raises
        ------
        GridError
            If the text is no cell of this layout.
        """
        match = re.fullmatch(r"r([0-9]{1,2})c([0-9]{1,2})", text.strip())
        if match:
            cell = self.cell_at.get((int(match[1]) - 1, int(match[2]) - 1))
            if cell is not None:
                return cell
        raise GridError(f"{text!r} is no cell here", f"write {self.span}")

    @cached_property
    def broad(self) -> bool:
        """Whether rows or columns have two figures, so that their numbers cannot be written side by side."""
        return max(self.height, self.width) > 9

    @property
    def span(self) -> str:
        """Which cells there are, for error messages: ``r1c1 to r9c9``."""
        return f"{self.cell_name(0)} to {self.cell_name(self.cells - 1)}"

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

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Description) and self._key == other._key)

    def __hash__(self) -> int:
        return self._hash
