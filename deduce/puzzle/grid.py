"""Grid: an immutable position on a layout."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import index
from typing import Any, SupportsIndex

from deduce.errors import GridError
from deduce.kernel import Model, Position, place
from deduce.positions import bits, bitset, united
from deduce.proof import Candidate, Proof
from deduce.puzzle import text as _text
from deduce.puzzle.layout import Layout
from deduce.puzzle.problems.layout import ProblemLayout
from deduce.puzzle.status import Finding, findings
from deduce.window import ShownGrid

__all__ = ["Grid", "grid_of"]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Grid(ShownGrid):
    """A position: which candidates are live, which digits are placed, and which of those were given.

    Grids do not change; every method that moves returns a new one.  Make them with :meth:`parse`, :meth:`of` or
    :meth:`empty`.

    Attributes
    ----------
    layout : Layout
        Cells, houses and symbols.
    live, true, givens : int
        Bitsets over the candidates of ``layout.model``: not ruled out, placed, and placed by the puzzle itself.
    assumed : int
        Bitset of the candidates that a person's own notes rule out although the givens alone do not.
    resting : tuple of (int, int)
        For each of these notes its candidate and the bitset of what rests on it: the candidate itself, and what steps
        on the way here ruled out or placed because of it.  A proof that uses something of it names the note
        (``proof.assumes``).
    presumed : int
        Bitset of the candidates that steps on the way here ruled out, or placed, assuming that the puzzle has one
        solution; a proof that rests on one says so (``proof.assumes_unique``).

    Notes
    -----
    Two grids are equal when layout, live candidates, placed digits and givens are; `assumed`, `resting` and `presumed`
    only remember where eliminations came from and take no part.
    """

    layout: Layout
    live: int
    true: int
    givens: int
    assumed: int = 0
    presumed: int = 0
    resting: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        """Let each note rest on itself where nothing else is said."""
        if self.assumed and not self.resting:
            object.__setattr__(self, "resting", tuple((c, 1 << c) for c in bits(self.assumed)))

    @classmethod
    def parse(cls, text: str, layout: Layout | None = None) -> Grid:
        """Read a grid from text.

        Parameters
        ----------
        text : str
            One of: a line with one character a cell; the same on several lines, with or without rulers; a candidate
            grid with one word a cell that lists its remaining digits.  Empty cells are ``.``, ``0``, ``_``, ``*`` or,
            where the lines have their full length, blanks.  Lines that start with ``#`` are passed over.
        layout : Layout, optional
            By default the layout with rectangular boxes whose number of cells fits.

        Returns
        -------
        Grid
            With the peers of the placed digits cleared.

        Raises
        ------
        GridError
            For malformed text, with line, column and a caret.  A grid that is well formed but impossible is not an
            error: ask :meth:`status`.

        Notes
        -----
        In a candidate grid a bare digit is a given, ``[5]`` is a digit that was entered, ``{5}`` is a cell whose only
        note is 5, and ``.`` is a cell without notes, where everything that the placed digits allow is live.

        Examples
        --------
        >>> grid = Grid.parse("1... .... .... ....".replace(" ", ""))
        >>> grid.notes(1, 2), grid.notes(4, 4)
        ((2, 3, 4), (1, 2, 3, 4))
        """
        read = _text.read(text, layout)
        return cls.from_numbers(read.layout, read.givens, read.entered, read.notes)

    @classmethod
    def of(cls, givens: Digits, values: Digits = (), notes: Digits | None = None, layout: Layout | None = None) -> Grid:
        """Return a grid from plain data.

        Parameters
        ----------
        givens, values : iterable or mapping
            The digits of the puzzle, and those that a person entered: candidates or their tokens (``"5r4c7"``); or a
            mapping from cells (``"r4c7"`` or ``(4, 7)``) to digits; or rows of digits, such as nested lists or an array
            of numpy, with 0, ``"."``, ``""`` or None for an open cell.
        notes : the same, optional
            What a person's notes leave of the open cells: candidates, or a mapping from cells to digits, or rows of
            them.  A cell without notes keeps every digit that the placed ones allow.
        layout : Layout, optional
            By default the layout with rectangular boxes of as many rows as are given, else that of order 9.

        Raises
        ------
        GridError
            For a cell or digit that the layout lacks, and for rows of a wrong number or length; says where.
        TypeError
            For anything else.

        Examples
        --------
        >>> Grid.of(["1r1c1"], layout=Layout.standard(4)).line()
        '1...............'
        >>> Grid.of([[1, 0, 0, 0], [0, 0, 0, 2], [0, 0, 0, 0], [0, 0, 0, 0]], {"r1c2": 2}).digits[0]
        (1, 2, 0, 0)
        """
        layout = layout or _layout_of(givens)
        # Two digits in one cell are kept, see `status`; one that is named twice is one.
        given = dict.fromkeys(_numbers(layout, "givens", givens))
        entered = dict.fromkeys(_numbers(layout, "values", values))
        if notes is None:
            return cls.from_numbers(layout, given, entered)
        noted = bitset(_numbers(layout, "notes", notes))
        bare = united(layout.masks[c] for c in range(layout.cells) if not layout.masks[c] & noted)
        return cls.from_numbers(layout, given, entered, noted | bare)

    @classmethod
    def empty(cls, layout: Layout | None = None) -> Grid:
        """Return the grid without any given."""
        return cls.of((), layout=layout)

    @classmethod
    def from_problem(cls, problem: Any, *, names: Sequence[str | None] | None = None) -> Grid:
        """Read a python-constraint problem: its variables become cells, its values digits.

        Parameters
        ----------
        problem : constraint.Problem
            Of python-constraint or of its fork python-constraint2; it is only read, neither solved nor changed.
        names : sequence of (str or None), optional
            Names for the constraints in the order in which they were added; None for one that is named by what it
            says, or by the docstring or the name of its function.

        Returns
        -------
        Grid
            On a `ProblemLayout`; candidates print as ``WA = red``.

        Raises
        ------
        ProblemError
            For what cannot be read, by name: a constraint of an unknown kind, a function of more than 4 variables or
            20,000 combinations of values, a sum over what is no number.

        Notes
        -----
        A function is called once for each combination of its variables' values.  The kinds that are understood:
        AllDifferent, AllEqual, ExactSum, MaxSum, MinSum, InSet, NotInSet, SomeInSet, SomeNotInSet, Function.  A sum is
        taken for what its documentation says, also where some release of the library errs (negative values and
        multipliers).  Read a problem before it is solved: solving takes values out of its domains.

        Examples
        --------
        >>> from constraint import AllDifferentConstraint, Problem
        >>> problem = Problem()
        >>> problem.addVariables(["left", "right"], ["cup", "jug"])
        >>> problem.addConstraint(AllDifferentConstraint())
        >>> problem.addConstraint(lambda side: side != "cup", ["left"])
        >>> print(Grid.from_problem(problem))
        left  : jug
        right : cup, jug
        """
        return cls.empty(ProblemLayout.of(problem, names))

    @classmethod
    def from_numbers(
        cls, layout: Layout, givens: Iterable[int], entered: Iterable[int] = (), notes: int | None = None
    ) -> Grid:
        """Return a grid from candidate numbers of the layout's model.

        Parameters
        ----------
        layout : Layout
            The layout.
        givens, entered : iterable of int
            The digits that the puzzle gives, and those that a person placed; contradictions are kept, see `status`.
        notes : int, optional
            Bitset of the candidates that a person's notes leave; what else the givens allow is then `assumed` false.
        """
        model = layout.model
        start = _placed(model, Position(layout.start, 0), givens)
        true = start.true
        if notes is None:
            position = _placed(model, start, entered)
        else:
            position = Position(start.live & (notes | start.true), start.true)
            for candidate in entered:
                # Notes say what is left.  What sums leave room for depends on the order of placing, peers do not.
                placed = position.true | 1 << candidate
                position = Position(position.live & ~layout.peers[candidate] | placed, placed)
        return cls(layout, position.live, position.true, true, start.live & ~position.live)

    @property
    def model(self) -> Model:
        """The kernel's model of the layout."""
        return self.layout.model

    @property
    def solved(self) -> bool:
        """Whether every cell holds a digit and no rule is broken."""
        return self.true.bit_count() == self.layout.cells and self.live == self.true and not self.status()

    def candidate(self, number: int) -> Candidate:
        """Return a candidate by its number in the model."""
        return self.layout.candidate(number)

    def number(self, candidate: Candidate | str) -> int:
        """Return the number in the model of a candidate or of its token.

        Raises
        ------
        GridError
            If the layout has no such candidate.
        """
        return self.layout.parse_candidate(str(candidate))

    def digit(self, row: int, column: int) -> int | None:
        """Return the digit placed in a cell (row and column from 1), or None."""
        here = self.true & self.layout.masks[self._cell(row, column)]
        return (here.bit_length() - 1) // self.layout.cells + 1 if here else None

    def notes(self, row: int, column: int) -> tuple[int, ...]:
        """Return the live digits of a cell (row and column from 1), in order."""
        here = self.live & self.layout.masks[self._cell(row, column)]
        return tuple(number // self.layout.cells + 1 for number in bits(here))

    @property
    def digits(self) -> tuple[tuple[int, ...], ...]:
        """The placed digits, row by row of the canvas, 0 for an open cell and for a place without a cell."""
        layout, held = self.layout, dict[tuple[int, int], int]()
        for number in bits(self.true):
            held[layout.places[number % layout.cells]] = number // layout.cells + 1
        return tuple(tuple(held.get((row, c), 0) for c in range(layout.width)) for row in range(layout.height))

    def candidates(self) -> tuple[Candidate, ...]:
        """Return the live candidates of cells that hold no digit yet, by digit and then in reading order."""
        return tuple(map(self.candidate, bits(self.live & ~self.true)))

    def enter(self, *candidates: Candidate | str) -> Grid:
        """Return the grid with these digits entered, as a person would; their peers lose them.

        Raises
        ------
        GridError
            If a candidate is not on the layout, or its cell holds another digit.  A digit that has been ruled out may
            be entered; what is impossible about the position tells :meth:`status`.
        """
        position = Position(self.live, self.true)
        for number in map(self.number, candidates):
            held = position.true & self.layout.masks[number % self.layout.cells] & ~(1 << number)
            if held:
                raise GridError(f"{self.candidate(bits(held)[0])} is placed there", "enter digits in open cells")
            position = place(self.model, position, number)
        return self.moved(position)

    def without(self, *candidates: Candidate | str | Iterable[Candidate | str]) -> Grid:
        """Return the grid with these candidates, one or several, ruled out by assumption, as a person's notes would.

        Raises
        ------
        GridError
            If a candidate is not on the layout or is placed.

        Examples
        --------
        >>> grid = Grid.parse("1... .... .... ....".replace(" ", ""))
        >>> grid.without("2r1c2", "3r1c2") == grid.without(["2r1c2", "3r1c2"])
        True
        """
        gone = 0
        for some in candidates:
            gone |= bitset(map(self.number, [some] if isinstance(some, Candidate | str) else some))
        placed = bits(gone & self.true)
        if placed:
            raise GridError(f"{self.candidate(placed[0])} is placed", "rule out only candidates of open cells")
        gone &= self.live
        resting = tuple(sorted((*self.resting, *((c, 1 << c) for c in bits(gone)))))
        return Grid(self.layout, self.live & ~gone, self.true, self.givens, self.assumed | gone, self.presumed, resting)

    def moved(self, position: Position, *by: Proof) -> Grid:
        """Return the grid at another position of the same puzzle.

        Parameters
        ----------
        position : Position
            Where to, such as ``check(grid, proof).after``.
        *by : Proof
            The proofs that lead there.  If one assumes a unique solution, what they settle is `presumed`; what they
            settle rests on the notes that they assume.

        Notes
        -----
        What an earlier step settled under an assumption stays marked, even where it would follow without by now;
        except that a digit placed without it accounts for itself and for all that it clears.
        """
        presumed, resting = self.presumed, self.resting
        if by:
            settled = self.live & ~position.live | position.true & ~self.true
            accounted = 0
            if resting or presumed:
                for candidate in bits(position.true & ~self.true):
                    accounted |= self.layout.peers[candidate] | 1 << candidate
            presumed = presumed | settled if any(proof.assumes_unique for proof in by) else presumed & ~accounted
            if resting:
                notes = {note for proof in by for note in proof.noted}
                resting = tuple(
                    (note, mask | settled if note in notes else mask & ~accounted | 1 << note) for note, mask in resting
                )
        return Grid(self.layout, position.live, position.true, self.givens, self.assumed, presumed, resting)

    def status(self) -> tuple[Finding, ...]:
        """Return what is impossible about the position, each finding with the house at fault; empty if nothing is.

        Examples
        --------
        >>> for finding in Grid.parse("11.............." ).status()[:2]: print(finding)
        1 stands twice in row 1: r1c1 and r1c2
        1 stands twice in box 1: r1c1 and r1c2
        """
        return findings(self.layout, self.live, self.true)

    def line(self) -> str:
        """Return the placed digits as one line, ``.`` for an open cell."""
        return _text.line(self.layout, self.true)

    def pencil(self) -> str:
        """Return the candidate grid as text that :meth:`parse` reads back to an equal grid."""
        return _text.pencil(self.layout, self.live, self.true, self.givens)

    def __str__(self) -> str:
        return self.pencil() if self.layout.problem else _text.block(self.layout, self.true)

    def __repr__(self) -> str:
        return f"<Grid {self.line()}>"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Grid):
            return NotImplemented
        mine = (self.live, self.true, self.givens)
        return mine == (other.live, other.true, other.givens) and self.layout == other.layout

    def __hash__(self) -> int:
        return hash((self.live, self.true, self.givens))

    def _cell(self, row: int, column: int) -> int:
        found = self.layout.cell_at.get((row - 1, column - 1))
        # Where there is no such cell, the reader of names knows what to say.
        return self.layout.parse_cell(f"r{row}c{column}") if found is None else found


def grid_of(proof: Proof) -> Grid:
    """Return the grid of a proof.

    Raises
    ------
    TypeError
        If the proof was found on a model without cells and digits, of which words, pictures, claims and notes speak.
    """
    if not isinstance(proof.grid, Grid):
        name = type(proof.grid).__name__
        raise TypeError(f"words, pictures, claims and notes need a proof on a Grid, not on a {name}")
    return proof.grid


def _placed(model: Model, position: Position, candidates: Iterable[int]) -> Position:
    """Place candidates, in whatever order they come; those that contradict others stay, so that status() can say so.

    What a placement clears may leave less room in a sum through another one, so all are placed again until nothing
    more falls.
    """
    chosen = sorted(candidates)
    position = Position(position.live, position.true | bitset(chosen))
    before = None
    while position != before:
        before = position
        for candidate in chosen:
            position = place(model, position, candidate)
    return position


Digits = Iterable[Any] | Mapping[Any, Any]
"""Digits as plain data; see `Grid.of`."""


def _layout_of(givens: Digits) -> Layout:
    """Return the layout with as many rows as are given; that of order 9 for anything but rows."""
    rows = () if isinstance(givens, Mapping | str) else tuple(givens) if hasattr(givens, "__len__") else ()
    return Layout.standard(len(rows)) if rows and not isinstance(rows[0], Candidate | str) else Layout.standard()


def _numbers(layout: Layout, name: str, digits: Digits) -> Iterator[int]:
    """Yield the candidates that plain data state."""
    if isinstance(digits, str | bytes):
        raise TypeError(f"{name} is the text {digits!r}; Grid.parse reads text, Grid.of takes tokens, maps and rows")
    if isinstance(digits, Mapping):
        for cell, held in digits.items():
            at = layout.parse_cell(cell if isinstance(cell, str) else "r{}c{}".format(*cell))
            for digit in _held(held):
                yield _candidate(layout, at, digit)
        return
    items = list(digits)
    if all(isinstance(item, Candidate | str) for item in items):
        for item in items:
            yield layout.parse_candidate(str(item))
        return
    height, width = layout.height, layout.width
    if len(items) != height or any(len(row) != width for row in items):
        lengths = sorted({len(row) for row in items})
        problem = f"{name} has {len(items)} rows of {' and '.join(map(str, lengths))} cells"
        raise GridError(problem, f"give {height} rows of {width}, as the layout has")
    for row, cells in enumerate(items):
        for column, held in enumerate(cells):
            for digit in _held(held):
                if (row, column) not in layout.cell_at:
                    raise GridError(f"{name} has {digit} in r{row + 1}c{column + 1}", "the layout has no cell there")
                yield _candidate(layout, layout.cell_at[row, column], digit)


def _held(digits: Any) -> list[Any]:
    """Return the digits of one cell: one, several, or none."""
    if digits is None or (isinstance(digits, str) and digits in ("", *_text.EMPTY)):
        return []
    several = digits if isinstance(digits, list | tuple | set | frozenset) else [digits]
    return [digit for digit in several if not (isinstance(digit, SupportsIndex) and index(digit) == 0)]


def _candidate(layout: Layout, cell: int, digit: Any) -> int:
    """Return a candidate by its cell and its digit, a number or as it is written."""
    if isinstance(digit, SupportsIndex) and not isinstance(digit, bool):
        if 1 <= index(digit) <= layout.order:
            return layout.number(index(digit), cell)
    elif isinstance(digit, str) and digit in layout.symbols:
        return layout.number(layout.symbols.index(digit) + 1, cell)
    raise GridError(f"{layout.cell_name(cell)} holds {digit!r}", f"give a digit from 1 to {layout.order}")
