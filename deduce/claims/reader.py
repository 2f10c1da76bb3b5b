"""The words of claims: cells, digits, houses and links, read left to right, with complaints that point at a place."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import NoReturn

from deduce.errors import ClaimError
from deduce.puzzle.layout import Layout

__all__ = ["Reader", "plural"]

# Not \d, which takes the figures of other scripts as well.
_LINK = re.compile(r"(?![=-]{1,2}>)(?:(==?)|--?|[\u2013\u2014\u2212])")
_NUMBER = re.compile(r"[0-9]+")
_FIGURE = re.compile(r"[0-9]")
_NUMBERS = re.compile(r"[0-9]+(?:\s*/\s*[0-9]+)*")
_OF_GRID = re.compile(r"\s*of\s+grid\b", re.I)
_JUDGED = re.compile(r"falls|fall\s|(?:is|are)\s*(true|false)")
_WORD = re.compile(r"[^\W\d_]+(?:['\u2019][^\W\d_]+)?")
_CELL = re.compile(r"[rR]\s?[0-9]")
_HOUSE = re.compile(r"[rcRC][0-9]{1,2}(?![\w/])")
_MORE = re.compile(
    r"(?:\s*(?:,(?:\s*and\b)?|[/&]|and\b)\s*|\s+)(?=\d)(?!\d+\s*(?:[rRcC]\s?\d|(?:in|at|from|is|isn|are|aren|can|cannot"
    r"|falls?|goes|must|has|out|does|doesn|only|pair|triple|quad)(?![^\W])|(?:isnt|cant|doesnt)\b))"
)
_ALSO = {"column": ("col",), "box": ("block", "nonet")}


def plural(kind: str) -> str:
    """Return the plural of a kind of house.

    Examples
    --------
    >>> plural("row"), plural("box")
    ('rows', 'boxes')
    """
    return f"{kind}es" if kind.endswith(("x", "s", "ch", "sh")) else f"{kind}s"


class Reader:
    """A text and how far it has been read.

    Parameters
    ----------
    layout : Layout
        Says which digits, cells and houses there are.
    text : str
        What is read.
    """

    def __init__(self, layout: Layout, text: str) -> None:
        self.layout = layout
        self.text = text
        self.at = 0
        self._digits = re.compile(rf"[{re.escape(layout.symbols)}]+?(?:(?=[rR]\s?[0-9])|(?!\w))")
        self.kinds: dict[str, tuple[str, bool]] = {}
        for house in layout.houses:
            for kind in (house.kind.lower(), *_ALSO.get(house.kind, ())):
                self.kinds |= {kind: (house.kind, False), plural(kind): (house.kind, True)}

    # Looking

    def next(self) -> str:
        """Return the next character that is no blank, lying where `at` now points; empty at the end."""
        while self.text[self.at : self.at + 1].isspace():
            self.at += 1
        return self.text[self.at : self.at + 1]

    def here(self) -> int:
        """Return where the next character stands."""
        self.next()
        return self.at

    def word(self) -> str:
        """Return the next word in small letters without passing over it; empty if something else comes."""
        found = self.sees(_WORD)
        return found[0].lower().replace("\u2019", "'") if found else ""

    def sees(self, form: re.Pattern[str]) -> re.Match[str] | None:
        """Return what comes next if it has a form."""
        self.next()
        return form.match(self.text, self.at)

    def sees_cell(self) -> bool:
        """Whether a cell or the beginning of one comes next."""
        return self.sees(_CELL) is not None

    def sees_digits(self) -> bool:
        """Whether digits come next: symbols of the layout up to a cell or the end of the word."""
        return self.sees(self._digits) is not None

    # Passing over

    def take(self, sign: str) -> bool:
        """Pass over a sign if it comes next."""
        self.next()
        if self.text.startswith(sign, self.at):
            self.at += len(sign)
            return True
        return False

    def takes(self, form: re.Pattern[str]) -> re.Match[str] | None:
        """Pass over what comes next and return it, if it has a form."""
        found = self.sees(form)
        if found:
            self.at = found.end()
        return found

    def judged(self) -> tuple[bool, list[int]] | None:
        """Read candidates and what all of them are, such as ``8r4c3 and 8r5c8 are false``; None, and nothing, else."""
        mark, found = self.at, list[int]()
        with suppress(ClaimError):
            while self.take("the ") or self.sees_digits():
                digit = self.digit()
                self.take("in ")
                found += [self.layout.number(digit, cell) for cell in self.cells()]
                what = self.takes(_JUDGED)
                if what:
                    return what[1] == "true", found
                if not self.take(",") and not self.take("and"):
                    break
        self.at = mark
        return None

    def link(self) -> bool | None:
        """Read a link: True for a strong one, False for a weak one, None if something else comes."""
        found = self.takes(_LINK)
        return bool(found[1]) if found else None

    def take_link(self, links: list[bool]) -> bool:
        """Pass over a link if one comes next, and append to `links` whether it is a strong one."""
        kind = self.link()
        if kind is None:
            return False
        links.append(kind)
        return True

    # Reading

    def cells(self) -> list[int]:
        """Read cells such as ``r4c7``, ``r12c9``, ``r1c1/r2c2``; above order 9 ``r10/11c1``."""
        found: list[int] = []
        while True:
            start = self.here()
            if not (self.take("r") or self.take("R")):
                self.complain("a cell", f"write {self.layout.span}")
            rows = self._lines("row")
            if not (self.take("c") or self.take("C")):
                self.complain("c and a column", f"write {self.layout.span}")
            columns = self._lines("column")
            found += [self.cell(row, column, start) for row in rows for column in columns]
            if len(set(found)) < len(found):
                self.fail("a cell is named twice", "name each cell once", start)
            mark = self.at
            if not (self.take("/") and self.sees_cell()):
                self.at = mark
                return found

    def cell(self, row: int, column: int, start: int) -> int:
        """Return the cell of a row and column, named at a place."""
        cell = self.layout.cell_at.get((row - 1, column - 1))
        if cell is None:
            self.fail(f"there is no cell r{row}c{column}", "name cells of this layout", start)
        return cell

    def digit(self) -> int:
        """Read the symbol of one digit."""
        symbol = self.next()
        number = self.layout.symbols.find(symbol) if symbol else -1
        if number < 0:
            self.complain("a digit", f"write one of {self.layout.symbols}")
        self.at += 1
        return number + 1

    def sees_houses(self) -> bool:
        """Whether houses come next: "row 3", "rows 3 and 7", or short for them ``r37``."""
        return self.word() in self.kinds or _HOUSE.match(self.text, self.here()) is not None

    def houses(self) -> list[int]:
        """Read houses, each by its kind and number."""
        word = self.word()
        if word in self.kinds:
            kind, several = self.kinds[word]
            self.at += len(word)
        else:
            kind, several = ("row" if self.next() in "rR" else "column"), True
            self.at += 1
        found = []
        waiting: list[tuple[int, int]] = []
        while True:
            start = self.here()
            waiting += [(number, start) for number in self._lines(kind, several=several)]
            of_grid = _OF_GRID.match(self.text, self.at)
            if of_grid:
                self.at = of_grid.end()
                (grid,) = self._lines("grid", several=False)
                found += [self.house(kind, number, at, grid) for number, at in waiting]
                waiting = []
            more = _MORE.match(self.text, self.at)
            if not several or not more:
                return found + [self.house(kind, number, at) for number, at in waiting]
            self.at = more.end()

    def node(self, strong: list[bool]) -> list[tuple[int, ...]]:
        """Read ``(7)r1c3``, ``7r1c3``, ``(7)r1c3/(8)r2c4``, or ``(7=8)r1c3``: two nodes and the link between them.

        The links inside a bracket are appended to `strong`.
        """
        digits = self._bracket(strong)
        cells = self.cells()
        nodes = [{self.layout.number(digit, cell) for cell in cells} for digit in digits]
        while True:
            mark = self.at
            if not (self.take("/") and (self.next() == "(" or self.sees_digits())):
                self.at = mark
                return [tuple(sorted(node)) for node in nodes]
            again = self.here()
            more = self._bracket([])
            if len(digits) > 1 or len(more) > 1:
                self.fail("a link inside a node of several digits", "write each node by itself", again)
            nodes[0] |= {self.layout.number(more[0], cell) for cell in self.cells()}

    def complain(self, wanted: str, advice: str) -> NoReturn:
        """Refuse what comes next."""
        found = self.word() or self.next()
        got = repr(found) if found else "the end of the text"
        self.fail(f"{got} where {wanted} should be", advice, self.at)

    def fail(self, problem: str, advice: str, at: int) -> NoReturn:
        """Refuse what stands at a place."""
        before = self.text[:at]
        line = before.count("\n") + 1
        column = at - (before.rfind("\n") + 1) + 1
        raise ClaimError(problem, advice, text=self.text, line=line, column=column)

    def _bracket(self, strong: list[bool]) -> list[int]:
        """Read a digit in brackets, several with the links between them, or a bare digit."""
        if not self.take("("):
            if not self.sees_digits():
                self.complain("a node", "write a digit in brackets and its cells, such as (7)r1c3")
            return [self.digit()]
        digits = [self.digit()]
        while self.take_link(strong):
            digits.append(self.digit())
        if not self.take(")"):
            self.complain("a closing bracket", "write a digit in brackets and its cells, such as (7)r1c3")
        return digits

    def _lines(self, what: str, *, several: bool = True) -> list[int]:
        """Read the numbers of rows, columns or other houses: one figure each up to order 9, else joined by slashes."""
        layout = self.layout
        most = {"row": layout.height, "column": layout.width}.get(what, layout.order)
        said = self.takes(_NUMBERS if several and layout.broad else _NUMBER)
        if said is None:
            self.complain(f"the number of a {what}", f"write a number from 1 to {most}")
        if not several and not layout.broad and len(said[0]) > 1:
            self.at = said.start() + 1
            self.complain(f"one {what}", f"for several write {plural(what)} 3 and 7")
        found = []
        for part in (_NUMBER if layout.broad else _FIGURE).finditer(said[0]):
            # A number of many figures is out of range whatever they are, and slow to convert.
            if len(part[0]) > 3 or not 1 <= int(part[0]) <= most:
                place = said.start() + part.start()
                self.fail(f"there is no {what} {part[0][:6]}", f"write a number from 1 to {most}", place)
            found.append(int(part[0]))
        return found

    def house(self, kind: str, number: int, start: int, grid: int | None = None) -> int:
        """Return the house of a kind and number, on a canvas of several grids that of one of them."""
        houses = enumerate(self.layout.houses)
        found = [
            h for h, house in houses if (house.kind, house.number) == (kind, number) and grid in (None, house.grid)
        ]
        if not found:
            self.fail(f"there is no {kind} {number}", "name a house of this layout", start)
        if len(found) > 1:
            self.fail(f"several grids have a {kind} {number}", f"write {kind} {number} of grid 1", start)
        return found[0]
