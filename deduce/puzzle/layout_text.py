"""Layouts as text: a grid or a map of region letters, then one line for each further thing.

The form
--------
Blank lines and lines that begin with ``#`` are passed over.  First comes what there is to fill::

    grid 9                      rows, columns, and boxes (grid 6 boxes 3x2: of another shape; grid 5 without boxes)
    grid 9 at r7c7              one of several grids on a canvas, by its upper left corner; boxes that coincide are one

or a map, one character for each cell, whose letters are the regions of a square grid (``.`` is in none)::

    regions
    AABB
    ABBC ...

or any cells at all, ``o`` a cell and ``-`` a hole, with their houses one by one::

    order 4
    cells
    oooo-- ...
    house row 1 r1c1-r1c4       (house row 1 of grid 2 ...)

``symbols ABCD`` gives the digits other signs; they count from 1 all the same.  Then what else there is, in any order::

    diagonals                   both diagonals of each grid are houses
    windows                     and so are the boxes set off by one row and column
    house window r2c2-r4c4      and these cells
    cage r1c1 r1c2 = 3          different digits with this total; without one, just different digits
    total r1c1 r1c1 r1c2 = 9    a sum in which digits may repeat, and cells; also >= 5, <= 9 or both
    equal r1c1 = r2c1 r3c1      sums that agree; an arrow has one cell on its first side
    r1c1 < r1c2 > r1c3          less and greater
    difference r1c1 r1c2 >= 2   also = and <=
    ratio r1c1 r1c2 = 2         one of them is twice the other
    even r1c1 r5c5              odd; only 123 r1c1
    knight                      no digit twice a knight's move apart; king
    neighbours differ by 2      at least, beside or below one another

Knight, king and neighbours may be followed by the cells that they are about; cells are written ``r1c2``, or
``r1c2-r3c4`` from corner to corner.

After ``cages`` may follow a map like that of regions; a letter of it then stands for its cells, as in ``cage a = 15``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from deduce.errors import LayoutError, LayoutTextError
from deduce.puzzle.canvas import diagonals, join, windows
from deduce.puzzle.layout import SYMBOLS, House, Layout
from deduce.puzzle.rule_text import complain, read_cells, read_rules, split
from deduce.puzzle.rules import Rule
from deduce.puzzle.word import Word

__all__ = ["layout_text", "read_layout"]

MOST_CELLS = 2500
"""The most cells that a layout of a text may have."""

_PLACE = re.compile(r"r[0-9]+c[0-9]")

_FIRST = ("grid", "regions", "order", "cells")

_EXTRA = {"diagonals": diagonals, "windows": windows}

_GRID = re.compile(
    r"grid (?P<order>[0-9]{1,2})(?: (?P<plain>without) boxes| boxes (?P<high>[0-9]{1,2})x(?P<wide>[0-9]{1,2}))?"
    r"(?: at r(?P<row>[1-9][0-9]?)c(?P<column>[1-9][0-9]?))?"
)


def read_layout(text: str) -> Layout:
    r"""Read a layout; the form is described at the head of this module.

    Raises
    ------
    LayoutTextError
        With line, column and a caret.

    Examples
    --------
    >>> read_layout("grid 4\ndiagonals\ncage r1c1-r1c2 = 3")
    <Layout of order 4 with 14 houses, 1 rules>
    """
    return _Reader(text).layout()


class _Reader:
    """Reads one text, line by line."""

    def __init__(self, text: str) -> None:
        lines = [split(line, number, text) for number, line in enumerate(text.splitlines(), 1)]
        self.lines = [words for words in lines if words and not words[0].text.startswith("#")]
        self.symbols: str | None = None

    def layout(self) -> Layout:
        """Read the whole text."""
        symbols = [words for words in self.lines if words[0].text == "symbols"]
        self.lines = [words for words in self.lines if words not in symbols]
        if len(symbols) > 1:
            raise complain(symbols[1][0], "the symbols are given twice", "leave one of the lines out")
        for words in symbols:
            if len(words) != 2:
                raise complain(words[0], "symbols are one word", "write: symbols ABCD")
            self.symbols = words[1].text
        if not self.lines:
            told = "the text holds no layout", "begin with a line such as: grid 9"
            raise complain(symbols[0][0], *told) if symbols else LayoutTextError(*told)
        self.last = self.lines[0][0]
        try:
            return self._body()
        except LayoutError as error:
            # What a layout as a whole refuses is told at the line that was read last.
            at = symbols[0][1] if symbols and repr(self.symbols) in error.problem else self.last
            raise complain(at, error.problem, error.advice) from None

    def _next(self) -> list[Word]:
        """Take the next line."""
        words = self.lines.pop(0)
        self.last = words[0]
        return words

    def _body(self) -> Layout:
        parts = self._grids()
        # Diagonals and windows belong to each grid, so they are added before grids are joined on a canvas.
        for words in [words for words in self.lines if words[0].text in _EXTRA]:
            _alone(words)
            self.last = words[0]
            parts = [(_EXTRA[words[0].text](part), row, column) for part, row, column in parts]
        self.lines = [words for words in self.lines if words[0].text not in _EXTRA]
        layout = parts[0][0] if len(parts) == 1 and parts[0][1:] == (0, 0) else join(parts)
        letters: dict[str, tuple[int, ...]] = {}
        cages: Word | None = None
        used: set[str] = set()
        rules: list[Rule] = []
        while self.lines:
            words = self._next()
            first = words[0]
            if first.text == "cages":
                _alone(words)
                if cages is not None:
                    raise complain(first, "there is a map of cages already", "draw one map with all of them")
                cages, letters = first, self._map(layout, first)
            elif first.text == "house":
                layout = _with_house(layout, words)
            elif first.text in _FIRST:
                raise complain(first, f"{first.text} comes too late", "begin the text with it")
            else:
                rules += read_rules(layout, words, letters)
                used.update(word.text for word in words if word.text in letters)
        if cages is not None and set(letters) - used:
            letter = min(set(letters) - used)
            raise complain(cages, f"no line speaks of the cells {letter}", f"write: cage {letter} = and their total")
        return layout.with_rules(*rules) if rules else layout

    def _grids(self) -> list[tuple[Layout, int, int]]:
        """Read what there is to fill: each grid with the place of its corner."""
        first = self.lines[0][0]
        if first.text in ("regions", "order"):
            return [(self._regions() if first.text == "regions" else self._cells(), 0, 0)]
        found: list[tuple[Layout, int, int]] = []
        while self.lines and self.lines[0][0].text == "grid":
            words = self._next()
            grid, row, column = self._grid(words)
            if (row, column) in [(top, left) for _, top, left in found]:
                problem = f"a grid stands at r{row + 1}c{column + 1} already"
                raise complain(words[0], problem, "write: grid 9 at r7c7, another corner for each")
            found.append((grid, row, column))
        if not found:
            raise complain(first, f"{first.text!r} is no beginning of a layout", "begin with grid, regions or order")
        return found

    def _grid(self, words: list[Word]) -> tuple[Layout, int, int]:
        """Read ``grid 9``, ``grid 6 boxes 3x2``, ``grid 5 without boxes``, each with ``at r1c1`` or without."""
        if len(words) == 1:
            raise complain(words[0], "a grid has an order", "write: grid 9", after=True)
        begun = [_GRID.fullmatch(" ".join(word.text for word in words[:count])) for count in range(len(words) + 1)]
        match = begun[-1]
        if match is None:
            odd = words[max((count for count, fits in enumerate(begun) if fits), default=1)]
            advice = (
                "write: grid 9, grid 6 boxes 3x2 or grid 5 without boxes; and perhaps at r1c7, its upper left corner"
            )
            raise complain(odd, f"{odd.text!r} says nothing of a grid here", advice)
        order, row, column = int(match["order"]), int(match["row"] or 1), int(match["column"] or 1)
        box = (int(match["high"]), int(match["wide"])) if match["high"] else None
        layout = Layout(order) if match["plain"] else Layout.standard(order, box)
        if self.symbols is not None:
            layout = Layout.build(order, layout.places, layout.houses, symbols=self.symbols)
        return layout, row - 1, column - 1

    def _regions(self) -> Layout:
        """Read a map of regions; the first row says how large the grid is."""
        words = self._next()
        kind = " ".join(word.text for word in words[1:]) or "region"
        if not self.lines:
            raise complain(words[-1], "the map is missing", "give one line for each row of the grid", after=True)
        order = len(_row(self.lines[0], "the letters")[0])
        letters = self._map(Layout(order, symbols=self.symbols), words[0])
        for letter, cells in letters.items():
            if len(cells) != order:
                problem = f"the region {letter} has {len(cells)} cells"
                raise complain(words[0], problem, f"each region has {order}, or its letter is .")
        return Layout(order, [*letters.values()], symbols=self.symbols, region_kind=kind)

    def _map(self, layout: Layout, before: Word) -> dict[str, tuple[int, ...]]:
        """Read one line for each row of the canvas, a character for each place; return the cells of each letter."""
        if len(self.lines) < layout.height:
            problem = f"the map has {len(self.lines)} row{'' if len(self.lines) == 1 else 's'}"
            raise complain(before, problem, f"it needs {layout.height}")
        letters: dict[str, list[int]] = {}
        for row in range(layout.height):
            signs, first = _row(self._next(), "the letters")
            if len(signs) != layout.width:
                problem = f"this row of the map has {len(signs)} characters"
                raise complain(first, problem, f"write {layout.width} without blanks")
            for column, letter in enumerate(signs):
                cell = layout.cell_at.get((row, column))
                if letter != "." and cell is not None:
                    letters.setdefault(letter, []).append(cell)
                elif letter not in ".-":
                    place = first.part(column, column + 1)
                    raise complain(place, "there is no cell", "write . or - where the canvas has a hole")
        return {letter: tuple(cells) for letter, cells in sorted(letters.items())}

    def _cells(self) -> Layout:
        """Read ``order 4``, then ``cells`` and a map of them."""
        words = self._next()
        if len(words) != 2 or not _figures(words[1].text):
            raise complain(words[-1], "an order is one number", "write: order 9")
        if not self.lines or [word.text for word in self.lines[0]] != ["cells"]:
            raise complain(words[-1], "the cells are missing", "write cells, and on the lines below o or -", after=True)
        after = self._next()[0]
        rows = []
        while self.lines and set(self.lines[0][0].text) <= {"o", "-"}:
            rows.append(_row(self._next(), "o and -")[0])
        places = [(row, column) for row, signs in enumerate(rows) for column, sign in enumerate(signs) if sign == "o"]
        if not places:
            at = self.lines[0][0] if self.lines else after
            raise complain(at, "there are no cells", "below cells write rows of o, a cell, and -, a hole")
        if len(places) > MOST_CELLS:
            raise complain(words[0], f"{len(places)} cells are too many", f"at most {MOST_CELLS}")
        return Layout.build(int(words[1].text), places, (), symbols=self.symbols)


def _alone(words: list[Word]) -> None:
    """Refuse more words on a line than one."""
    if len(words) > 1:
        raise complain(words[1], f"{words[1].text!r} is too much", f"{words[0].text} stands alone on its line")


def _row(words: list[Word], what: str) -> tuple[str, Word]:
    """Read a row of a map."""
    if len(words) > 1:
        raise complain(words[1], "a row of the map is one word", f"write {what} without blanks")
    return words[0].text, words[0]


def _figures(text: str) -> bool:
    """Whether a text is a number of one or two figures."""
    return text.isascii() and text.isdigit() and len(text) < 3


def _with_house(layout: Layout, words: list[Word]) -> Layout:
    """Read ``house KIND CELLS``, ``house KIND 2 CELLS`` or ``house KIND 2 of grid 3 CELLS``."""
    texts = [word.text for word in words]
    ends = (at for at, text in enumerate(texts) if at and (_figures(text) or _PLACE.match(text)))
    start = next(ends, len(texts))
    kind = " ".join(texts[1:start])
    number = 1 + sum(house.kind == kind for house in layout.houses)
    grid = 0
    if start < len(texts) and _figures(texts[start]):
        number, start = int(texts[start]), start + 1
        if texts[start : start + 2] == ["of", "grid"] and start + 2 < len(texts) and _figures(texts[start + 2]):
            grid, start = int(texts[start + 2]), start + 3
    if not kind or start == len(texts):
        raise complain(words[-1], "a house has a kind and cells", "write: house window r2c2-r4c4", after=True)
    cells = sorted(cell for word in words[start:] for cell in read_cells(layout, word, {}))
    if len({*cells}) != layout.order or len(cells) != layout.order:
        twice = next((layout.cell_name(cell) for cell in cells if cells.count(cell) > 1), None)
        problem = f"names {twice} twice" if twice else f"has {len(cells)} cell{'s' * (len(cells) != 1)}"
        raise complain(words[start], f"this house {problem}", f"name {layout.order} different cells")
    houses = (*layout.houses, House(kind, number, tuple(cells), grid))
    return Layout.build(layout.order, layout.places, houses, layout.rules, symbols=layout.symbols)


def layout_text(layout: Layout) -> str:
    r"""Print a layout in the form that `read_layout` reads back to an equal one.

    Raises
    ------
    LayoutError
        If a rule or a kind of house has no line in this form.

    Examples
    --------
    >>> print(layout_text(read_layout("grid 4\ncage r1c1-r1c2 = 3")))
    grid 4
    cage r1c1 r1c2 = 3
    """
    lines = [*_shape(layout), *(rule.line(layout) for rule in layout.rules)]
    if layout.symbols != SYMBOLS[: layout.order]:
        lines.insert(1, f"symbols {layout.symbols}")
    text = "\n".join(lines)
    try:
        again = read_layout(text)
    except LayoutTextError as error:
        raise LayoutError(f"the layout has no text form ({error.problem})", "use other names and symbols") from None
    if again != layout:
        raise LayoutError("the layout has no text form", "use rules and kinds of houses that the form knows")
    return text


def _shape(layout: Layout) -> Iterator[str]:
    """Yield the lines of the cells and houses."""
    order = layout.order
    base = Layout.build(order, layout.places, layout.houses)
    rows = [(r, order // r) for r in range(1, order + 1) if order % r == 0]
    for rule in ("", "diagonals", "windows", "diagonals\nwindows", "windows\ndiagonals"):
        for start in ("", *(f" boxes {high}x{wide}" for high, wide in rows), " without boxes"):
            text = f"grid {order}{start}\n{rule}".strip()
            try:
                found = read_layout(text)
            except LayoutTextError:
                continue
            if found == base:
                yield from text.split("\n")
                return
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYabcdefghijklmnopqrstuvwxyz"
    regions = base.houses[2 * order :]
    apart = len({cell for house in regions for cell in house.cells}) == sum(len(house.cells) for house in regions)
    if base.region_kind and regions and apart:
        owner = {cell: letters[number] for number, house in enumerate(regions) for cell in house.cells}
        yield f"regions {base.region_kind}"
        for row in range(order):
            yield "".join(owner.get(row * order + column, ".") for column in range(order))
        return
    yield f"order {order}"
    yield "cells"
    for row in range(layout.height):
        yield "".join("o" if (row, column) in layout.cell_at else "-" for column in range(layout.width))
    for house in layout.houses:
        yield f"house {house.name} {' '.join(map(layout.cell_name, house.cells))}"
