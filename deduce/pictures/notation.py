"""The written chain: nodes joined by ``=`` for strong links and ``-`` for weak ones, then what follows; out and in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NoReturn

from deduce.errors import ClaimError
from deduce.pictures.names import Names, grid_of
from deduce.proof import Candidate, Chain, Link, Proof
from deduce.puzzle.layout import Layout

__all__ = ["Written", "conclusion", "notation", "parse_chain", "parse_notation", "written_chain"]


def notation(proof: Proof) -> str:
    """Write the chain of a proof with its conclusion; empty if its pattern is no chain.

    A loop ends with its last weak link and the first node once more.
    """
    chain = written_chain(proof)
    return f"{chain} => {conclusion(proof)}" if chain else ""


def written_chain(proof: Proof) -> str:
    """Write the chain of a proof alone, such as ``(7)r1c9 = (7)r1c3 - (8)r1c3``."""
    chain = proof.pattern.chain
    if chain is None:
        return ""
    names = Names(grid_of(proof).layout)
    written = names.node(chain.nodes[0])
    following = (*chain.nodes[1:], chain.nodes[0]) if chain.loop else chain.nodes[1:]
    for link, node in zip(chain.links, following, strict=True):
        written += f" {'=' if link.strong else '-'} {names.node(node)}"
    return written


def conclusion(proof: Proof) -> str:
    """Write what a proof concludes, such as ``r1c1 <> 7, r2c2 <> 7`` or ``r1c1 = 7``."""
    if proof.contradiction:
        return "contradiction"
    placed = [f"{_cell(c)} = {_symbol(c)}" for c in proof.places]
    lost = sorted(proof.eliminates, key=lambda c: (c.row, c.column, c.digit))
    return ", ".join(placed + [f"{_cell(c)} <> {_symbol(c)}" for c in lost])


@dataclass(frozen=True, slots=True)
class Written:
    """A written chain with its conclusion, read back.

    Parameters
    ----------
    chain : Chain
        The chain.
    places, eliminates : tuple of int
        Candidates, in ascending order.
    """

    chain: Chain
    places: tuple[int, ...] = ()
    eliminates: tuple[int, ...] = ()


def parse_chain(layout: Layout, text: str, live: int | None = None) -> Chain:
    """Read a written chain; the inverse of `written_chain`.

    Parameters
    ----------
    layout : Layout
        Says which digits and cells there are.
    text : str
        Such as ``(7)r1c9 = (7)r1c3 - (8)r1c3 = (8)r4c3``, with spaces or without.  ``==`` and ``--`` are read as ``=``
        and ``-``; two digits in one bracket, ``(7=8)r1c3``, are two nodes in the same cells.  A chain that ends with a
        weak link to its own first node is a loop.
    live : int, optional
        Bitset of the live candidates.  If it is given, strong links keep only the constraints in which nothing else
        is live.

    Returns
    -------
    Chain
        Each link has the constraints that hold all candidates of both its nodes; none if the link has no such reason,
        which is for a judge to find fault with and not for a reader.

    Raises
    ------
    ClaimError
        With line, column and a caret.

    Examples
    --------
    >>> chain = parse_chain(Layout.standard(), "(7)r1c9=(7)r1c3--(8)r1c3=(8)r45c3")
    >>> [link.strong for link in chain.links], len(chain.nodes[-1])
    ([True, False, True], 2)
    """
    reader = _Reader(layout, text)
    chain = reader.chain(live)
    reader.end()
    return chain


def parse_notation(layout: Layout, text: str, live: int | None = None) -> Written:
    """Read a written chain with its conclusion; the inverse of `notation`.

    Parameters
    ----------
    layout, text, live
        As for `parse_chain`; the text may go on with ``=>`` and a list such as ``r1c1 <> 7, r2c2 = 5``.

    Raises
    ------
    ClaimError
        With line, column and a caret.
    """
    reader = _Reader(layout, text)
    chain = reader.chain(live)
    places: list[int] = []
    eliminates: list[int] = []
    if reader.take("=>"):
        while True:
            cells = reader.cells()
            if reader.take("<>"):
                found = eliminates
            elif any(reader.take(sign) for sign in _STRONG):
                found = places
            else:
                reader.complain("<> or =", "say what the cell is or is not")
            digit = reader.digit()
            found += [layout.number(digit, cell) for cell in cells]
            if not reader.take(","):
                break
    reader.end()
    return Written(chain, tuple(sorted(places)), tuple(sorted(eliminates)))


# Not str.isdigit, which accepts superscripts as well.
_FIGURES = frozenset("0123456789")
_STRONG = ("==", "=")
_WEAK = ("--", "-", "\N{EN DASH}", "\N{MINUS SIGN}")


class _Reader:
    """A written chain and how far it has been read.

    Parameters
    ----------
    layout : Layout
        Says which digits and cells there are.
    text : str
        What is read.
    """

    def __init__(self, layout: Layout, text: str) -> None:
        self.layout = layout
        self.text = text
        self.at = 0

    def chain(self, live: int | None) -> Chain:
        """Read nodes and links up to an arrow or the end."""
        starts: list[int] = []
        strong: list[bool] = []
        nodes = self._bracket(starts, strong)
        while True:
            before = self._here()
            kind = self._link()
            if kind is None:
                break
            self._alternate(kind, len(strong), before)
            strong.append(kind)
            nodes += self._bracket(starts, strong)
        loop = len(strong) % 2 == 0 and len(nodes) > 2
        if loop and nodes[-1] != nodes[0]:
            self._fail("the chain ends with a weak link", "end with a strong link, or at the first node", starts[-1])
        if not strong:
            self.complain("a strong link", "write = and the next node")
        following = nodes[1:]
        links = tuple(self._reason(*step, live) for step in zip(strong, nodes, following, strict=False))
        return Chain(tuple(nodes[:-1] if loop else nodes), links, loop)

    def cells(self) -> list[int]:
        """Read cells such as ``r4c7``, ``r12c9``, ``r1c1/r2c2``; above order 9 ``r10/11c1``."""
        found: list[int] = []
        while True:
            start = self._here()
            if not (self.take("r") or self.take("R")):
                self.complain("a cell", f"write {self.layout.span}")
            rows = self._lines("row")
            if not (self.take("c") or self.take("C")):
                self.complain("c and a column", f"write {self.layout.span}")
            columns = self._lines("column")
            for row in rows:
                for column in columns:
                    cell = self.layout.cell_at.get((row - 1, column - 1))
                    if cell is None:
                        self._fail(f"there is no cell r{row}c{column}", "name cells of this layout", start)
                    found.append(cell)
            if len(set(found)) < len(found):
                self._fail("a cell is named twice", "name each cell once", start)
            mark = self.at
            if not (self.take("/") and self._next() in ("r", "R")):
                self.at = mark
                return found

    def digit(self) -> int:
        """Read the symbol of a digit."""
        symbol = self._next()
        number = self.layout.symbols.find(symbol) if symbol else -1
        if number < 0:
            self.complain("a digit", f"write one of {self.layout.symbols}")
        self.at += 1
        return number + 1

    def take(self, sign: str) -> bool:
        """Pass over a sign if it comes next, blanks before it included."""
        self._next()
        if self.text.startswith(sign, self.at):
            self.at += len(sign)
            return True
        return False

    def end(self) -> None:
        """Complain unless everything has been read."""
        if self._next():
            self.complain("the end", "take this out, or write = or - and the next node")

    def complain(self, wanted: str, advice: str) -> NoReturn:
        """Refuse what comes next."""
        found = self._next()
        got = repr(found) if found else "the end of the text"
        self._fail(f"{got} where {wanted} should be", advice, self.at)

    def _fail(self, problem: str, advice: str, at: int) -> NoReturn:
        before = self.text[:at]
        line = before.count("\n") + 1
        column = at - (before.rfind("\n") + 1) + 1
        raise ClaimError(problem, advice, text=self.text, line=line, column=column)

    def _next(self) -> str:
        """Return the next character that is no blank; empty at the end."""
        while self.text[self.at : self.at + 1].isspace():
            self.at += 1
        return self.text[self.at : self.at + 1]

    def _here(self) -> int:
        """Return where the next character stands."""
        self._next()
        return self.at

    def _link(self) -> bool | None:
        """Read a link: True for a strong one, False for a weak one, None if something else comes."""
        self._next()
        if self.text.startswith("=>", self.at):
            return None
        if any(self.take(sign) for sign in _STRONG):
            return True
        return False if any(self.take(sign) for sign in _WEAK) else None

    def _alternate(self, strong: bool, position: int, at: int) -> None:
        """Refuse two strong links or two weak ones in a row, and a weak one at the start."""
        if strong == (position % 2 == 0):
            return
        wanted = "weak" if strong else "strong"
        advice = "links alternate, strong first: = then - then ="
        self._fail(f"a {'strong' if strong else 'weak'} link where a {wanted} one should be", advice, at)

    def _bracket(self, starts: list[int], strong: list[bool]) -> list[tuple[int, ...]]:
        """Read ``(7)r1c3``, ``(7)r1c3/(8)r2c4``, or ``(7=8)r1c3``, which is two nodes and the link between them."""
        start = self._here()
        digits = self._digits(strong)
        cells = self.cells()
        nodes = [{self.layout.number(digit, cell) for cell in cells} for digit in digits]
        while self.take("/"):
            again = self._here()
            more = self._digits([])
            if len(digits) > 1 or len(more) > 1:
                self._fail("a link inside a node of several digits", "write each node by itself", again)
            nodes[0] |= {self.layout.number(more[0], cell) for cell in self.cells()}
        starts += [start] * len(nodes)
        return [tuple(sorted(node)) for node in nodes]

    def _digits(self, strong: list[bool]) -> list[int]:
        """Read a bracket with one digit, or with several and the links between them."""
        if not self.take("("):
            self.complain("a node", "write a digit in brackets and its cells, such as (7)r1c3")
        digits = [self.digit()]
        while True:
            before = self._here()
            kind = self._link()
            if kind is None:
                break
            self._alternate(kind, len(strong), before)
            strong.append(kind)
            digits.append(self.digit())
        if not self.take(")"):
            self.complain("a closing bracket", "write a digit in brackets and its cells, such as (7)r1c3")
        return digits

    def _lines(self, what: str) -> list[int]:
        """Read the numbers of rows or columns: one figure each up to order 9, else joined by slashes."""
        found = [self._number(what)]
        while True:
            mark = self.at
            if (not self.layout.broad or self.take("/")) and self._next() in _FIGURES:
                found.append(self._number(what))
            else:
                self.at = mark
                return found

    def _most(self, what: str) -> int:
        """Return the greatest number that a row, a column or another house has."""
        layout = self.layout
        return {"row": layout.height, "column": layout.width}.get(what, layout.order)

    def _number(self, what: str) -> int:
        """Read the number of one row or column."""
        start = self._here()
        figures = ""
        while self.text[self.at : self.at + 1] in _FIGURES and (self.layout.broad or not figures):
            figures += self.text[self.at]
            self.at += 1
        if not figures:
            self.complain(f"the number of a {what}", f"write a number from 1 to {self._most(what)}")
        # A number of many figures is out of range whatever they are, and slow to convert.
        if len(figures) > 3 or not 1 <= int(figures) <= self._most(what):
            self._fail(f"there is no {what} {figures[:6]}", f"write a number from 1 to {self._most(what)}", start)
        return int(figures)

    def _reason(self, strong: bool, near: tuple[int, ...], far: tuple[int, ...], live: int | None) -> Link:
        """Return a link with the constraints that hold both its nodes."""
        layout = self.layout
        together = {*near, *far}
        sides = layout.at_least_one if strong else layout.at_most_one
        numbers = [n for n in sides[near[0]] if all(n in sides[c] for c in together)]
        if strong and live is not None:
            held = sum(1 << candidate for candidate in together)
            numbers = [n for n in numbers if not live & layout.model.masks[n] & ~held]
        return Link(strong, tuple(numbers))


def _cell(candidate: Candidate) -> str:
    return f"r{candidate.row}c{candidate.column}"


def _symbol(candidate: Candidate) -> str:
    return candidate.symbol or str(candidate.digit)
