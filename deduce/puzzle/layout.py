"""Layouts: the cells of a puzzle, its houses, and the model that they compile to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from math import isqrt

from deduce.errors import GridError, LayoutError
from deduce.kernel import Constraint, Counting, Model, Position, conclusions
from deduce.proof import Candidate
from deduce.puzzle.rules import Rule

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
        houses = [House("row", r + 1, tuple(range(r * order, (r + 1) * order))) for r in range(order)]
        houses += [House("column", c + 1, tuple(range(c, order * order, order))) for c in range(order)]
        houses += [House(region_kind, number, tuple(sorted(region))) for number, region in enumerate(regions, 1)]
        self._fill(order, tuple(divmod(cell, order) for cell in range(order * order)), houses, rules, symbols)

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

    def _fill(
        self,
        order: int,
        places: tuple[tuple[int, int], ...],
        houses: Iterable[House],
        rules: Iterable[Rule],
        symbols: str | None,
    ) -> None:
        """Set and check everything that describes the layout."""
        self.order = order
        self.symbols = SYMBOLS[:order] if symbols is None else symbols
        if len(self.symbols) != order or len(set(self.symbols)) != order:
            raise LayoutError(f"{self.symbols!r} does not name {order} digits", f"give {order} different characters")
        if any(symbol.isspace() or symbol in ".0_*|+-=#{}[]:" for symbol in self.symbols):
            advice = "leave out blanks and . 0 _ * | + - = # { } [ ] :"
            raise LayoutError(f"{self.symbols!r} uses a character that grids need", advice)
        self.places = places
        self.cells = len(places)
        if list(places) != sorted(set(places)) or not places or min(min(place) for place in places) < 0:
            raise LayoutError("the cells are not in reading order", "give different rows and columns from 0, sorted")
        self.height = 1 + max(row for row, _ in places)
        self.width = 1 + max(column for _, column in places)
        self.houses = tuple(houses)
        self.rules = tuple(rules)
        for house in self.houses:
            cells = house.cells
            fits = len(cells) == order and cells == tuple(sorted(set(cells)))
            if not fits or cells[0] < 0 or cells[-1] >= self.cells:
                problem = f"{house.name} has cells {cells}"
                raise LayoutError(problem, f"give {order} different cells of the grid")
        for rule in self.rules:
            if not rule.cells or not all(0 <= cell < self.cells for cell in rule.cells):
                raise LayoutError(f"a rule ({rule.kind}) names cells {rule.cells}", f"give cells 0 to {self.cells - 1}")
        names = [house.name for house in self.houses]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise LayoutError(f"two houses are called {twice}", "give each house a name of its own")
        self._key = (order, self.symbols, places, self.houses, self.rules)
        self._hash = hash(self._key)

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

    @classmethod
    def from_json(cls, text: str) -> Layout:
        """Read a layout from JSON, as a proof document holds it.

        Raises
        ------
        ExchangeError
            With the path of the place that is wrong.
        """
        from deduce.exchange import layout_from_json

        return layout_from_json(text)

    def to_json(self) -> str:
        """Return the layout as JSON, as a proof document holds it."""
        from deduce.exchange import layout_to_json

        return layout_to_json(self)

    @cached_property
    def plain(self) -> bool:
        """Whether this is a square grid of rows and columns, with boxes or without, and nothing else."""
        order = self.order
        if self.cells != order**2 or (self.height, self.width) != (order, order) or self.rules:
            return False
        rows = [House("row", r + 1, tuple(range(r * order, (r + 1) * order))) for r in range(order)]
        columns = [House("column", c + 1, tuple(range(c, order**2, order))) for c in range(order)]
        return self.houses[: 2 * order] == (*rows, *columns)

    @cached_property
    def regions(self) -> tuple[House, ...]:
        """The houses that are neither rows nor columns."""
        return tuple(house for house in self.houses if house.kind not in ("row", "column"))

    def is_slanting(self, cells: Sequence[int]) -> bool:
        """Whether cells stand corner to corner in a straight line."""
        places = [self.places[cell] for cell in cells]
        steps = {(r - q, c - b) for (q, b), (r, c) in pairwise(places)}
        return steps in ({(1, 1)}, {(1, -1)})

    @cached_property
    def _model(self) -> tuple[Model, tuple[int, ...]]:
        """The model, and for each constraint after the exact ones the number of its rule."""
        names = [str(self.candidate(number)) for number in range(self.order * self.cells)]
        digits = range(self.order)

        def one(name: str, candidates: Sequence[int]) -> Constraint:
            return Constraint(name, tuple((candidate, 1) for candidate in candidates), 1, 1)

        found = [one(f"cell {self.cell_name(v)}", [d * self.cells + v for d in digits]) for v in range(self.cells)]
        for house in self.houses:
            for digit in digits:
                name = f"{self.symbols[digit]} in {house.name}"
                found.append(one(name, [digit * self.cells + cell for cell in house.cells]))
        if not self.rules:
            return Model(names, found), ()
        exact = Model(names, found)
        sources: list[int] = []
        known: dict[str, Constraint] = {}
        for number, rule in enumerate(self.rules):
            for constraint in rule.constraints(self):
                if constraint.name in known:
                    if known[constraint.name] != constraint:
                        problem = f"two rules say {constraint.name!r} and mean different things"
                        raise LayoutError(problem, "leave one of them out")
                    continue
                known[constraint.name] = constraint
                if not _said(exact, constraint):
                    found.append(constraint)
                    sources.append(number)
        return Model(names, found), tuple(sources)

    @cached_property
    def model(self) -> Model:
        """The kernel's model: one digit in each cell, each digit once in each house, then what the rules say.

        A constraint of a rule that a cell or a house says as well is left out.
        """
        return self._model[0]

    @cached_property
    def exact(self) -> int:
        """How many constraints say "exactly one of these" about cells and houses; those of rules come after."""
        return self.cells + len(self.houses) * self.order

    @cached_property
    def masks(self) -> tuple[int, ...]:
        """For each exact constraint the bitset of its candidates: cells, then houses by digits; no rules."""
        return self.model.masks[: self.exact]

    @cached_property
    def touching(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the exact constraints that it stands in: its cell first, then its houses; no rules."""
        exact = self.exact
        return tuple(tuple(number for number in numbers if number < exact) for numbers in self.model.touching)

    @cached_property
    def at_most_one(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the constraints that say "at most one" of it and others, those of rules included."""
        exclusive = self.model.exclusive
        return tuple(tuple(number for number in numbers if exclusive[number]) for numbers in self.model.touching)

    @cached_property
    def at_least_one(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the constraints that say "at least one" of it and others, those of rules included."""
        further = set(self._some)
        exact = self.exact
        return tuple(
            tuple(number for number in numbers if number < exact or number in further)
            for numbers in self.model.touching
        )

    @cached_property
    def _some(self) -> tuple[int, ...]:
        """The constraints of rules that say "at least one of these"."""
        constraints = self.model.constraints
        return tuple(
            number
            for number in range(self.exact, len(constraints))
            if constraints[number].lower == 1 and all(a == 1 for _, a in constraints[number].terms)
        )

    @cached_property
    def rule_choices(self) -> tuple[int, ...]:
        """The bitsets of the constraints of rules that say "at least one of these"."""
        return tuple(self.model.masks[number] for number in self._some)

    @cached_property
    def wide_masks(self) -> tuple[int, ...]:
        """The bitsets of the constraints of rules that say "at most one" of three candidates or more."""
        exclusive, masks = self.model.exclusive, self.model.masks
        further = range(self.exact, len(masks))
        return tuple(masks[number] for number in further if exclusive[number] and masks[number].bit_count() > 2)

    @cached_property
    def linear(self) -> tuple[int, ...]:
        """The constraints of rules that say more than "at most one of these"."""
        constraints, exclusive = self.model.constraints, self.model.exclusive
        return tuple(
            number
            for number in range(self.exact, len(constraints))
            if not exclusive[number] or constraints[number].lower is not None
        )

    @cached_property
    def start(self) -> int:
        """The bitset of the candidates that no rule by itself leaves without room."""
        live = self.every
        for number in range(self.exact, len(self.model.constraints)):
            if self.model.constraints[number].upper is not None:
                ruled = conclusions(self.model, Position(self.every, 0), Counting((), ((number, 1),)))
                live &= ~sum(1 << candidate for candidate in (ruled.false if ruled else ()))
        return live

    @cached_property
    def peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of those that cannot be true together with it by an "at most one"."""
        return self._seen(self.at_most_one)

    @cached_property
    def house_peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of those in its cell and those of its digit in its houses; no rules."""
        return self._seen(self.touching) if self.rules else self.peers

    def _seen(self, touching: Iterable[Iterable[int]]) -> tuple[int, ...]:
        """For each candidate the union of some constraints, without itself."""
        masks = self.model.masks
        found = []
        for candidate, numbers in enumerate(touching):
            mask = 0
            for number in numbers:
                mask |= masks[number]
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
        row, column = self.places[cell]
        symbol = self.symbols[digit]
        return Candidate(digit + 1, row + 1, column + 1, "" if symbol == str(digit + 1) else symbol)

    def cell_name(self, cell: int) -> str:
        """Return the name of a cell, such as ``"r4c7"``."""
        row, column = self.places[cell]
        return f"r{row + 1}c{column + 1}"

    @cached_property
    def cell_at(self) -> dict[tuple[int, int], int]:
        """For each place of the canvas, row and column from 0, that has a cell the number of the cell."""
        return {place: cell for cell, place in enumerate(self.places)}

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

    def cell_constraint(self, cell: int) -> int:
        """Return the number of the constraint "exactly one digit in this cell"."""
        return cell

    def house_constraint(self, house: int, digit: int) -> int:
        """Return the number of the constraint "this digit (from 1) exactly once in this house"."""
        return self.cells + house * self.order + digit - 1

    def house_of(self, constraint: int) -> tuple[int, int] | None:
        """Return house and digit (from 1) of a constraint of the model, or None if it is that of a cell or a rule."""
        if not self.cells <= constraint < self.exact:
            return None
        house, digit = divmod(constraint - self.cells, self.order)
        return house, digit + 1

    def rule_of(self, constraint: int) -> Rule | None:
        """Return the rule that a constraint of the model comes from, or None if it is that of a cell or a house."""
        return self.rules[self._model[1][constraint - self.exact]] if constraint >= self.exact else None

    def shared(self, first: int, second: int) -> tuple[int, ...]:
        """Return the constraints by which at most one of two candidates is true, in order."""
        theirs = self.at_most_one[second]
        return tuple(number for number in self.at_most_one[first] if number in theirs)

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Layout) and self._key == other._key)

    def __hash__(self) -> int:
        return self._hash

    def __reduce__(self) -> tuple[object, ...]:
        if self.plain:
            regions = self.houses[2 * self.order :]
            kind = regions[0].kind if regions else "box"
            if all(house == House(kind, number, house.cells) for number, house in enumerate(regions, 1)):
                return _rebuild, (self.order, tuple(house.cells for house in regions), self.symbols, kind)
        return _built, (self.order, self.symbols, self.places, self.houses, self.rules)

    def __repr__(self) -> str:
        cells = "" if self.cells == self.order**2 else f"{self.cells} cells and "
        rules = f", {len(self.rules)} rules" if self.rules else ""
        return f"<Layout of order {self.order} with {cells}{len(self.houses)} houses{rules}>"


def _check_order(order: object) -> None:
    """Refuse an order that no layout has."""
    if type(order) is not int or not 2 <= order <= len(SYMBOLS):
        raise LayoutError(f"order {order!r} is not possible", f"give a whole number from 2 to {len(SYMBOLS)}")


def _said(exact: Model, constraint: Constraint) -> bool:
    """Whether a cell or a house says at least as much as an "at most one" or "exactly one" of a rule."""
    terms = constraint.terms
    if constraint.upper != 1 or not terms or any(a != 1 for _, a in terms):
        return False
    mask = sum(1 << candidate for candidate, _ in terms)
    around = (exact.masks[number] for number in exact.touching[terms[0][0]])
    if constraint.lower is None:
        return any(not mask & ~other for other in around)
    return mask in around


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
