"""The words of claims: cells, digits, houses and links, read left to right, with complaints that point at a place."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import NoReturn

from deduce.errors import ClaimError
from deduce.puzzle.layout import Layout

__all__ = ["Reader", "plural"]

# Not str.isdigit, which accepts superscripts as well.
_FIGURES = frozenset("0123456789")
_LINKS = (
    ("==", True),
    ("=", True),
    ("--", False),
    ("-", False),
    ("\u2013", False),
    ("\u2014", False),
    ("\u2212", False),
)
_ARROW = re.compile(r"[=-]{1,2}>|\u21d2|\u2192")
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
        self.next()
        found = _WORD.match(self.text, self.at)
        return found[0].lower().replace("\u2019", "'") if found else ""

    def sees_cell(self) -> bool:
        """Whether a cell or the beginning of one comes next."""
        self.next()
        return _CELL.match(self.text, self.at) is not None

    def sees_digits(self) -> bool:
        """Whether digits come next: symbols of the layout up to a cell or the end of the word."""
        self.next()
        return self._run() > self.at

    def sees_arrow(self) -> bool:
        """Whether an arrow comes next."""
        self.next()
        return _ARROW.match(self.text, self.at) is not None

    # Passing over

    def take(self, sign: str) -> bool:
        """Pass over a sign if it comes next."""
        self.next()
        if self.text.startswith(sign, self.at):
            self.at += len(sign)
            return True
        return False

    def take_word(self, *words: str) -> str:
        """Pass over the next word if it is one of these; return it, or nothing."""
        found = self.word()
        if found in words:
            self.at += len(found)
            return found
        return ""

    def take_words(self, phrase: str) -> bool:
        """Pass over several words in a row if they all come next."""
        mark = self.at
        if all(self.take_word(word) for word in phrase.split()):
            return True
        self.at = mark
        return False

    def take_arrow(self) -> bool:
        """Pass over an arrow if one comes next."""
        self.next()
        found = _ARROW.match(self.text, self.at)
        if found:
            self.at = found.end()
        return found is not None

    def judged(self) -> tuple[bool, list[int]] | None:
        """Read candidates and what all of them are, such as ``8r4c3 and 8r5c8 are false``; None, and nothing, else."""
        mark, found = self.at, list[int]()
        with suppress(ClaimError):
            while self.take("the ") or self.sees_digits():
                digit = self.digit()
                self.take("in ")
                found += [self.layout.number(digit, cell) for cell in self.cells()]
                if self.take("falls") or self.take("fall "):
                    return False, found
                if self.take("is") or self.take("are"):
                    if self.take("true"):
                        return True, found
                    if self.take("false"):
                        return False, found
                    break
                if not self.take(",") and not self.take("and"):
                    break
        self.at = mark
        return None

    def link(self) -> bool | None:
        """Read a link: True for a strong one, False for a weak one, None if something else comes."""
        if self.sees_arrow():
            return None
        return next((strong for sign, strong in _LINKS if self.take(sign)), None)

    def take_link(self, links: list[bool]) -> bool:
        """Pass over a link if one comes next, and append to `links` whether it is a strong one."""
        start = self.here()
        kind = self.link()
        if kind is None:
            return False
        self.linked(kind, len(links), start)
        links.append(kind)
        return True

    def linked(self, strong: bool, number: int, at: int) -> None:
        """Take note of a link, by its number in the chain; whoever will not have it here refuses it."""

    # Reading

    def cells(self) -> list[int]:
        """Read cells such as ``r4c7``, ``r12c9``, ``r1c1/r2c2``; above order 9 ``r10/11c1``."""
        found: list[int] = []
        while True:
            start = self.here()
            if not (self.take("r") or self.take("R")):
                self.complain("a cell", self._cell_advice())
            rows = self._lines("row")
            if not (self.take("c") or self.take("C")):
                self.complain("c and a column", self._cell_advice())
            columns = self._lines("column")
            for row in rows:
                for column in columns:
                    cell = self.layout.cell_at.get((row - 1, column - 1))
                    if cell is None:
                        self.fail(f"there is no cell r{row}c{column}", "name cells of this layout", start)
                    found.append(cell)
            if len(set(found)) < len(found):
                self.fail("a cell is named twice", "name each cell once", start)
            mark = self.at
            if not (self.take("/") and self.sees_cell()):
                self.at = mark
                return found

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
            if self.take_words("of grid"):
                grid = self._number("grid")
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

    def comes(self) -> str:
        """Return what comes next as complaints name it: a word or a sign."""
        return self.word() or self.next()

    def complain(self, wanted: str, advice: str) -> NoReturn:
        """Refuse what comes next."""
        found = self.comes()
        got = repr(found) if found else "the end of the text"
        self.fail(f"{got} where {wanted} should be", advice, self.at)

    def fail(self, problem: str, advice: str, at: int) -> NoReturn:
        """Refuse what stands at a place."""
        before = self.text[:at]
        line = before.count("\n") + 1
        column = at - (before.rfind("\n") + 1) + 1
        raise ClaimError(problem, advice, text=self.text, line=line, column=column)

    def _run(self) -> int:
        """Return where the digits that come next end; `at` if none come."""
        end = self.at
        while end < len(self.text) and self.text[end] in self.layout.symbols:
            if end > self.at and _CELL.match(self.text, end):
                break
            end += 1
        behind = self.text[end : end + 1]
        if end == self.at or not (behind.isalnum() or behind == "_") or _CELL.match(self.text, end):
            return end
        return self.at

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
        found = [self._number(what)]
        while several:
            mark = self.at
            if not self.layout.broad:
                more = self.text[self.at : self.at + 1] in _FIGURES
            else:
                more = self.take("/") and self.next() in _FIGURES
            if not more:
                self.at = mark
                break
            found.append(self._number(what))
        if self.text[self.at : self.at + 1] in _FIGURES:
            self.complain(f"one {what}", f"for several write {plural(what)} 3 and 7")
        return found

    def _most(self, what: str) -> int:
        """Return the greatest number that a row, a column or another house has."""
        layout = self.layout
        return {"row": layout.height, "column": layout.width}.get(what, layout.order)

    def _number(self, what: str) -> int:
        """Read the number of one row, column or other house."""
        start = self.here()
        figures = ""
        while self.text[self.at : self.at + 1] in _FIGURES and (self.layout.broad or not figures):
            figures += self.text[self.at]
            self.at += 1
        if not figures:
            self.complain(f"the number of a {what}", f"write a number from 1 to {self._most(what)}")
        # A number of many figures is out of range whatever they are, and slow to convert.
        if len(figures) > 3 or not 1 <= int(figures) <= self._most(what):
            self.fail(f"there is no {what} {figures[:6]}", f"write a number from 1 to {self._most(what)}", start)
        return int(figures)

    def house(self, kind: str, number: int, start: int, grid: int | None = None) -> int:
        """Return the house of a kind and number, on a canvas of several grids that of one of them."""
        found = [
            h
            for h, house in enumerate(self.layout.houses)
            if (house.kind, house.number) == (kind, number) and grid in (None, house.grid)
        ]
        if not found:
            self.fail(f"there is no {kind} {number}", "name a house of this layout", start)
        if len(found) > 1:
            self.fail(f"several grids have a {kind} {number}", f"write {kind} {number} of grid 1", start)
        return found[0]

    def _cell_advice(self) -> str:
        return f"write {self.layout.span}"
