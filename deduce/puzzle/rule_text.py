"""The lines of the text form that state one rule each: reading them; each rule prints its own line."""

from __future__ import annotations

import re
from collections.abc import Mapping

from deduce.errors import LayoutTextError
from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Apart, Cage, Equal, Pair, Restricted, Rule, Total
from deduce.puzzle.word import Word, words as words_of

__all__ = ["RULE_WORDS", "Word", "complain", "read_cells", "read_rules", "split"]

RULE_WORDS = ("cage", "total", "equal", "difference", "ratio", "even", "odd", "only", "knight", "king", "neighbours")
"""The words that begin a line of a rule; a line that begins with a cell states which cells are less than others."""

_WORD = re.compile(r"<=|>=|[<>=]|[^\s<>=]+")
_CELL = re.compile(r"r([1-9][0-9]?)c([1-9][0-9]?)")


def split(line: str, number: int, whole: str) -> list[Word]:
    """Split a line into words and signs."""
    return [*words_of(_WORD, line, number, whole)]


def complain(word: Word, problem: str, expected: str, *, after: bool = False) -> LayoutTextError:
    """Return the error for a word, or for what is missing after it."""
    return word.wrong(LayoutTextError, problem, expected, at=len(word.text) if after else 0)


def read_rules(layout: Layout, words: list[Word], letters: Mapping[str, tuple[int, ...]]) -> list[Rule]:
    """Read the line of one rule; a chain such as ``r1c1 < r1c2 < r1c3`` is a rule for each sign.

    Parameters
    ----------
    layout : Layout
        Gives the cells.
    words : list of Word
        The line, not empty.
    letters : mapping of str to tuple of int
        The cells of the letters of a map of cages; such a letter stands for its cells.

    Raises
    ------
    LayoutTextError
        With line, column and a caret.
    """
    first, rest = words[0], words[1:]
    if first.text in ("knight", "king"):
        where = _all(layout, rest, first, letters) if rest else tuple(range(layout.cells))
        return [Apart(tuple(sorted(where)), first.text)]
    if first.text == "neighbours":
        if [word.text for word in rest[:2]] != ["differ", "by"]:
            raise complain(rest[0] if rest else first, "this says nothing", "write: neighbours differ by 2")
        amount = _number(rest[2:3], rest[1], 1)
        where = _all(layout, rest[3:], first, letters) if rest[3:] else tuple(range(layout.cells))
        return [Apart(tuple(sorted(where)), "beside", amount)]
    if first.text in ("even", "odd"):
        kept = tuple(d for d in range(1, layout.order + 1) if d % 2 == (first.text == "odd"))
        return [Restricted(_all(layout, rest, first, letters), kept, first.text)]
    if first.text == "only":
        if not rest:
            raise complain(first, "there are no digits", "write: only 123 r1c1", after=True)
        digits = tuple(sorted({_digit(layout, sign) for sign in rest[0].characters()}))
        return [Restricted(_all(layout, rest[1:], rest[0], letters), digits)]
    if _CELL.fullmatch(first.text):
        return [*_less(layout, words)]
    if first.text not in RULE_WORDS:
        known = ", ".join(RULE_WORDS)
        raise complain(first, f"{first.text!r} begins no line of a layout", f"rules begin with a cell or with {known}")
    return [_signed(layout, first, rest, letters)]


def _signed(layout: Layout, first: Word, rest: list[Word], letters: Mapping[str, tuple[int, ...]]) -> Rule:
    """Read a line that has cells, a sign, and a number or more cells."""
    at = next((i for i, word in enumerate(rest) if word.text in ("=", "<=", ">=")), len(rest))
    cells = _all(layout, rest[:at], first, letters, again=first.text in ("total", "equal"))
    sign = rest[at].text if at < len(rest) else ""
    behind = rest[at + 1 :]
    if first.text == "cage":
        if len(cells) > layout.order:
            raise complain(first, f"{len(cells)} cells cannot all differ", f"a cage has at most {layout.order} cells")
        if not sign:
            return Cage(tuple(sorted(cells)))
        if sign != "=":
            raise complain(rest[at], f"a cage has no {sign}", "write: cage r1c1 r1c2 = 3, or a line that begins total")
        total = _number(behind, rest[at], 1)
        least, most = sum(range(1, len(cells) + 1)), sum(range(layout.order - len(cells) + 1, layout.order + 1))
        if not least <= total <= most:
            many = "one digit" if len(cells) == 1 else f"{len(cells)} different digits"
            problem = f"{many} cannot total {total}"
            raise complain(behind[0], problem, f"write a total from {least} to {most}")
        return Cage(tuple(sorted(cells)), total)
    if not sign:
        last = rest[-1] if rest else first
        raise complain(last, f"a line that begins {first.text} lacks its sign", "write = and what follows", after=True)
    if first.text == "equal":
        if sign != "=":
            raise complain(rest[at], "sums are only compared for being equal", "write =")
        return Equal((*cells, *_all(layout, behind, rest[at], letters, again=True)), len(cells))
    if first.text == "total":
        return _bounded(cells, rest[at:])
    amount = _number(behind, rest[at], 1)
    if len(cells) != 2:
        raise complain(first, f"a {first.text} is between two cells, not {len(cells)}", "name two cells")
    if first.text == "ratio":
        if sign != "=" or amount < 2:
            raise complain(rest[at], "a ratio is one number", "write: ratio r1c1 r1c2 = 2")
        return Pair((cells[0], cells[1]), "ratio", amount)
    return Pair((cells[0], cells[1]), {"=": "differ", ">=": "apart", "<=": "near"}[sign], amount)


def _bounded(cells: tuple[int, ...], words: list[Word]) -> Total:
    """Read ``= 12``, ``>= 5``, ``<= 9`` or both of the last two."""
    bounds: dict[str, int] = {}
    signs: list[Word] = []
    for sign, *number in (words[at : at + 2] for at in range(0, len(words), 2)):
        if sign.text not in ("=", "<=", ">=") or sign.text in bounds or (bounds and "=" in (sign.text, *bounds)):
            raise complain(sign, "one sum has one bound on each side", "write = 12, or >= 5 <= 9")
        signs.append(sign)
        bounds[sign.text] = _number(number, sign, 0)
    if bounds.get(">=", 0) > bounds.get("<=", bounds.get(">=", 0)):
        problem = f"no sum is both {bounds['>=']} or more and {bounds['<=']} or less"
        raise complain(signs[-1], problem, "let the bound behind >= be the smaller one")
    exact = bounds.get("=")
    return Total(cells, bounds.get(">=", exact), bounds.get("<=", exact))


def _less(layout: Layout, words: list[Word]) -> list[Rule]:
    """Read ``r1c1 < r1c2 > r2c2``."""
    rules: list[Rule] = []
    cells = []
    for i, word in enumerate(words):
        if i % 2 == 0:
            cells += read_cells(layout, word, {})
            if len(cells) != i // 2 + 1:
                raise complain(word, "one cell is compared with one cell", "write single cells")
        elif word.text not in ("<", ">"):
            advice = "write < or > between cells; sums are compared so: equal r1c1 = r2c1 r3c1"
            raise complain(word, f"{word.text!r} compares nothing", advice)
    if len(words) < 3 or len(words) % 2 == 0:
        raise complain(words[-1], "the comparison ends too soon", "write: r1c1 < r1c2", after=True)
    for i, word in enumerate(words[1::2]):
        pair = (cells[i], cells[i + 1]) if word.text == "<" else (cells[i + 1], cells[i])
        if pair[0] == pair[1]:
            raise complain(word, "no cell is less than itself", "compare two cells")
        rules.append(Pair(pair, "less"))
    return rules


def _all(
    layout: Layout, words: list[Word], before: Word, letters: Mapping[str, tuple[int, ...]], *, again: bool = False
) -> tuple[int, ...]:
    """Read one or more cells, letters and ranges, in the order in which they stand; none twice unless `again`."""
    if not words:
        advice = "name cells such as r1c2, or a range such as r1c2-r1c4"
        raise complain(before, "there are no cells", advice, after=True)
    found: list[int] = []
    for word in words:
        for cell in read_cells(layout, word, letters):
            if cell in found and not again:
                raise complain(word, f"{layout.cell_name(cell)} stands there twice", "name each cell once")
            found.append(cell)
    return tuple(found)


def read_cells(layout: Layout, word: Word, letters: Mapping[str, tuple[int, ...]]) -> list[int]:
    """Read a cell, a range from corner to corner, or a letter of the map of cages.

    Raises
    ------
    LayoutTextError
        If it is none of these, or not on the layout.
    """
    if word.text in letters:
        return [*letters[word.text]]
    corners = [*map(_CELL.fullmatch, word.text.split("-"))]
    places = [(int(corner[1]), int(corner[2])) for corner in corners if corner]
    if len(places) < len(corners) or len(corners) > 2:
        known = f", or a letter of the cages ({' '.join(letters)})" if letters else ""
        raise complain(word, f"{word.text!r} is no cell", f"write cells such as r1c2 or r1c2-r1c4{known}")
    (top, left), (bottom, right) = places[0], places[-1]
    if top > bottom or left > right:
        raise complain(word, "the range runs backwards", "name its upper left and its lower right cell")
    found = []
    for row in range(top, bottom + 1):
        for column in range(left, right + 1):
            cell = layout.cell_at.get((row - 1, column - 1))
            if cell is None:
                raise complain(word, f"there is no cell r{row}c{column}", f"the cells are {layout.span}")
            found.append(cell)
    return found


def _number(words: list[Word], before: Word, least: int) -> int:
    """Read one whole number that ends the line."""
    if not words:
        raise complain(before, "there is no number", "write a whole number", after=True)
    word = words[0]
    if not (word.text.isascii() and word.text.isdigit() and len(word.text) < 6 and int(word.text) >= least):
        raise complain(word, f"{word.text!r} is no number here", f"write a whole number from {least}")
    if words[1:]:
        raise complain(words[1], f"{words[1].text!r} is too much", "end the line before it")
    return int(word.text)


def _digit(layout: Layout, sign: Word) -> int:
    """Read one symbol of a digit."""
    found = layout.symbols.find(sign.text)
    if found < 0:
        raise complain(sign, f"{sign.text!r} is no digit", f"the digits are {layout.symbols}")
    return found + 1
