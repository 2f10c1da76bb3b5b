"""Claims from text: eliminations and placements as people write them, named patterns, and written chains."""

from __future__ import annotations

import difflib
import re
from functools import lru_cache

from deduce.claims.claim import Claim, Named, Span, WrittenChain
from deduce.claims.problem_claim import parse_problem_claim
from deduce.claims.reader import Reader
from deduce.patterns import ALIASES, NAMES
from deduce.puzzle.layout import Layout

__all__ = ["LABELS", "parse_claim"]

LABELS = ("pivot", "pincer", "pincers", "stem", "fin", "fins")
"""Words that give the cells behind them a part in a named pattern."""

_NO = (
    "is not", "isn't", "is no", "are not", "aren't", "cannot be", "can't be", "can not be", "must not be", "is never",
    "loses", "lose", "not",
)  # fmt: skip
_YES = ("is", "are", "must be", "has to be", "can only be")
_NOT_SIGNS = ("<>", "!=", "=/=", "\u2260")
_SIGNS = (":=", "==", "=")
_MINUS = ("-", "\u2212", "\u2013")
_BEGIN_FALSE = ("eliminate", "eliminates", "remove", "removes", "strike", "strikes")
_BEGIN_TRUE = ("place", "places", "put", "enter")
_SO = ("so", "hence", "therefore", "thus", "then")
_BECAUSE = ("because", "since", "by", "from", "via")
_FILLERS = (
    "on", "in", "at", "of", "with", "the", "a", "an", "and", "or", "for", "to", "through", "over", "is", "are", "here",
    "digit", "digits", "cell", "cells", "candidate", "candidates", "line", "lines", "base", "cover", "bridge",
)  # fmt: skip


def parse_claim(layout: Layout, text: str) -> Claim:
    """Read a claim.

    Parameters
    ----------
    layout : Layout
        Says which digits, cells and houses there are.
    text : str
        Conclusions, a reason, or both in either order.

        Conclusions: ``r8c3 <> 6``, ``r8c3 is not 6``, ``-6r8c3``, ``eliminate 6 from r8c3``, ``r8c3 = 9``, ``+9r8c3``,
        ``9 in r8c3``; several cells at once (``r78c3 <> 6``, ``r8c39``, ``r12c9/r3c1``), several digits, several
        conclusions separated by commas.

        Reasons: the name of a pattern with the digits, cells or houses that tell it apart (``naked pair 47 r2c8
        r9c8``, ``skyscraper on 8 in rows 3 and 7``), or a written chain (``(8)r3c1 = (8)r3c9 - (8)r7c9 = ...``, with
        spaces or without, ``==`` and ``--`` too, groups ``(8)r12c9``, two nodes of a cell as ``(7=8)r1c3``).

        A reason in front is joined by ``=>``, ``so`` or a colon, one behind by ``because``, ``by`` or a colon.

        On the layout of a problem: ``WA = red``, ``WA is not red``, without reasons.

    Returns
    -------
    Claim
        What is claimed; whether any of it holds is for :func:`deduce.judge` to say.

    Raises
    ------
    ClaimError
        With line, column and a caret, and what was expected there.

    Examples
    --------
    >>> claim = parse_claim(Layout.standard(), "r78c3 <> 6 because naked pair 67 r1c3 r2c3")
    >>> [Layout.standard().model.names[c] for c in claim.eliminates], claim.reason.names
    (['6r7c3', '6r8c3'], ('naked pair',))
    """
    if layout.problem:
        return parse_problem_claim(layout, text)
    return _Parser(Reader(layout, text)).claim()


class _Parser:
    """The grammar of claims over a reader.

    Parameters
    ----------
    reader : Reader
        The text.
    """

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.layout = reader.layout
        self.eliminates: set[int] = set()
        self.places: set[int] = set()

    def claim(self) -> Claim:
        """Read the whole text."""
        reader = self.reader
        if not reader.next():
            reader.complain("a claim", "write what falls or is placed, such as r8c3 <> 6, or a reason")
        reason = self._reason()
        if reason is None:
            self._conclusions()
            reason = self._reason_behind()
        elif self._joint() or reader.word() in (*_BEGIN_FALSE, *_BEGIN_TRUE):
            self._conclusions()
        reader.take(".")
        if reader.next():
            reader.complain("the end of the claim", "take this out, or join it with a comma or with because")
        return Claim(reader.text, tuple(sorted(self.eliminates)), tuple(sorted(self.places)), reason)

    def _joint(self) -> bool:
        """Pass over what joins a reason to its conclusions."""
        reader = self.reader
        if reader.take(","):
            reader.take_word(*_SO)
            return True
        return reader.take_arrow() or reader.take(":") or bool(reader.take_word(*_SO))

    # Reasons

    def _reason_behind(self) -> Named | WrittenChain | None:
        """Read a reason that follows its conclusions."""
        reader = self.reader
        wrapped = False
        if not (reader.take(":") or reader.take_word(*_BECAUSE)):
            mark = reader.at
            # A bracket round a pattern's name; that round a digit begins a chain.
            wrapped = reader.take("(") and not reader.sees_digits()
            if not wrapped:
                reader.at = mark
                if not self._chain_comes():
                    return None
        reader.take_word("of")
        reader.take_word("the", "a", "an")
        reason = self._reason()
        if reason is None:
            reader.complain("a reason", "name a pattern with its digits and cells, or write a chain")
        if wrapped and not reader.take(")"):
            reader.complain("a closing bracket", "close the bracket round the reason")
        return reason

    def _reason(self) -> Named | WrittenChain | None:
        """Read a reason if one comes next."""
        reader = self.reader
        if self._chain_comes():
            return self._chain(None)
        names = self._name()
        if not names:
            return None
        named = self._details(names)
        mark = reader.at
        reader.take(":")
        if self._chain_comes():
            return self._chain(named)
        reader.at = mark
        return named

    def _chain_comes(self) -> bool:
        """Whether a written chain comes next: a bracket with a digit, or bare nodes with a link behind the first."""
        reader, mark = self.reader, self.reader.at
        try:
            if reader.next() == "(":
                return reader.take("(") and reader.sees_digits()
            if not reader.sees_digits():
                return False
            reader.digit()
            if not reader.sees_cell():
                return False
            reader.cells()
            kind = reader.link()
            # "4r1c1 - 5r2c2" is a chain, "4r1c1 = 5" is not.
            return kind is not None and (reader.next() == "(" or reader.sees_digits())
        finally:
            reader.at = mark

    def _chain(self, named: Named | None) -> WrittenChain:
        """Read nodes and links up to an arrow or the end."""
        reader = self.reader
        strong: list[bool] = []
        nodes: list[tuple[int, ...]] = []
        spans: list[Span] = []
        last: Span | None = None
        while True:
            start, before = reader.here(), len(strong)
            nodes += reader.node(strong)
            here = start, reader.at
            if last is not None:
                spans.append((last[0], here[1]))
            spans += [here] * (len(strong) - before)
            last = here
            if not reader.take_link(strong):
                break
        if not strong:
            reader.complain("a link", "write = for a strong link and the next node, such as (7)r1c9 = (7)r1c3")
        return WrittenChain(tuple(nodes), tuple(strong), tuple(spans), named)

    def _name(self) -> tuple[str, ...]:
        """Read the name of a pattern if one comes next; a word that begins no claim at all is refused here."""
        reader = self.reader
        start = reader.here()
        for spelling, names in _spellings():
            found = spelling.match(reader.text, start)
            if found:
                reader.at = found.end()
                return names
        word = reader.word()
        conclusive = word in (*_BEGIN_FALSE, *_BEGIN_TRUE, "no", "not")
        if word and not conclusive and not reader.sees_cell() and not reader.sees_digits():
            rest = " ".join(reader.text[start:].lower().split()[:3])
            near = [name for name in NAMES if _alike(name, rest)]
            advice = f"did you mean {' or '.join(near[:3])}?" if near else "write r8c3 <> 6, or name a pattern"
            reader.fail(f"{word!r} is neither a conclusion nor a pattern", advice, start)
        return ()

    def _details(self, names: tuple[str, ...]) -> Named:
        """Read the digits, cells and houses that tell a pattern apart."""
        reader = self.reader
        digits: set[int] = set()
        cells: set[int] = set()
        houses: set[int] = set()
        labels: dict[str, list[int]] = {}
        label = ""
        while reader.next() and not reader.sees_arrow():
            mark = reader.at
            word = reader.word()
            if word in (*_SO, *_BEGIN_FALSE, *_BEGIN_TRUE) or reader.next() in (")", ":", "("):
                break
            if reader.take(",") or reader.take("/") or reader.take(";") or reader.take("&"):
                if self._conclusion_comes():
                    reader.at = mark
                    break
                continue
            if reader.sees_houses():
                houses.update(reader.houses())
            elif reader.sees_cell():
                found = reader.cells()
                if self._operator_comes():
                    reader.at = mark
                    break
                cells.update(found)
                if label:
                    labels.setdefault(label, []).extend(found)
                continue
            elif reader.take_word(*LABELS):
                label = word.rstrip("s")
                continue
            elif word and reader.take_word(*_FILLERS):
                if word in ("and", "or", "cell", "cells"):
                    continue
            elif reader.sees_digits():
                digits.update(reader.digits())
                if reader.sees_cell():
                    continue
            else:
                reader.complain("a digit, a cell or a house", "tell the pattern apart, such as naked pair 47 r2c8 r9c8")
            label = ""
        marked = tuple(sorted((name, tuple(sorted(found))) for name, found in labels.items()))
        return Named(names, tuple(sorted(digits)), tuple(sorted(cells)), tuple(sorted(houses)), marked)

    # Conclusions

    def _conclusions(self) -> None:
        """Read one conclusion or several."""
        reader = self.reader
        judged = reader.judged()
        if judged is not None:
            (self.places if judged[0] else self.eliminates).update(judged[1])
            return
        self._conclusion()
        while True:
            mark = reader.at
            joined = reader.take(",") or reader.take(";") or reader.take("&") or bool(reader.take_word("and"))
            if not self._conclusion_comes():
                if joined and not reader.next():
                    reader.complain("a conclusion", "write another one, or take the comma out")
                reader.at = mark
                return
            self._conclusion()

    def _conclusion_comes(self) -> bool:
        """Whether a conclusion comes next."""
        reader = self.reader
        if reader.next() in ("+", *_MINUS) or reader.word() in (*_BEGIN_FALSE, *_BEGIN_TRUE, "no", "not"):
            return True
        mark = reader.at
        try:
            if reader.sees_cell():
                self._cells(subject=True)
                return self._operator_comes()
            if not reader.sees_digits():
                return False
            reader.digit()
            return reader.word() in ("in", "at")
        finally:
            reader.at = mark

    def _operator_comes(self) -> bool:
        """Whether what comes next says what a cell is or is not."""
        reader, mark = self.reader, self.reader.at
        found = not reader.sees_arrow() and self._operator() is not None
        reader.at = mark
        return found

    def _conclusion(self) -> None:
        """Read one conclusion."""
        reader = self.reader
        if any(reader.take(sign) for sign in _MINUS):
            digits = reader.digits()
            self._false(digits, self._cells())
        elif reader.take("+"):
            self._true([reader.digit()], self._cells())
        elif reader.take_word("no", "not"):
            digits = reader.digits()
            reader.take_word("in", "at")
            self._false(digits, self._cells())
        elif reader.take_word(*_BEGIN_FALSE):
            digits = reader.digits()
            reader.take_word("from", "in", "at")
            self._false(digits, self._cells())
        elif reader.take_word(*_BEGIN_TRUE):
            self._digit_in_cell()
        elif not reader.sees_cell():
            self._digit_in_cell(bare=True)
        else:
            cells = self._cells(subject=True)
            false = self._operator()
            if false is None:
                reader.complain("<> or =", "say what the cell is or is not, such as r8c3 <> 6 or r8c3 = 9")
            at = reader.here()
            digits = reader.digits()
            if false:
                self._false(digits, cells)
            elif len(digits) > 1:
                reader.fail("a cell holds only one digit", "write one digit, or <> for what it is not", at)
            else:
                self._true(digits, cells)

    def _digit_in_cell(self, *, bare: bool = False) -> None:
        """Read ``9 in r8c3``; the digit and its cells alone are enough behind a word such as "place"."""
        reader = self.reader
        start = reader.here()
        if not reader.sees_digits():
            reader.complain("a conclusion", "write r8c3 <> 6, r8c3 = 9, or a reason")
        digit = reader.digit()
        if not reader.take_word("in", "at") and bare:
            reader.cells()
            token = reader.text[start : reader.at]
            reader.fail("a candidate alone says nothing", f"write +{token} if it is true, -{token} if it falls", start)
        self._true([digit], self._cells())

    def _operator(self) -> bool | None:
        """Read what a cell is (False) or is not (True); None if nothing of the kind comes."""
        reader = self.reader
        if any(reader.take(sign) for sign in _NOT_SIGNS):
            return True
        if any(reader.take_words(phrase) for phrase in _NO):
            return True
        if not reader.sees_arrow() and any(reader.take(sign) for sign in _SIGNS):
            return False
        return False if any(reader.take_words(phrase) for phrase in _YES) else None

    def _cells(self, *, subject: bool = False) -> list[int]:
        """Read cells, several with commas or "and" between them.

        A subject goes on up to what is said of it; elsewhere cells of which something is said begin a conclusion.
        """
        reader = self.reader
        found = reader.cells()
        while True:
            mark = reader.at
            joined = reader.take(",") or reader.take("&") or bool(reader.take_word("and"))
            if joined and reader.sees_cell():
                more = reader.cells()
                if subject or not self._operator_comes():
                    found += more
                    continue
            reader.at = mark
            return found

    def _false(self, digits: list[int], cells: list[int]) -> None:
        self.eliminates.update(self.layout.number(digit, cell) for digit in digits for cell in cells)

    def _true(self, digits: list[int], cells: list[int]) -> None:
        self.places.update(self.layout.number(digit, cell) for digit in digits for cell in cells)


@lru_cache(maxsize=1)
def _spellings() -> tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]:
    """Return the spellings of every name, the longest first: any case, hyphens, blanks and commas all alike."""
    known = {**ALIASES, **{name.lower(): (name,) for name in NAMES}}
    found = []
    for text, names in known.items():
        parts = [re.escape(part) for part in re.split(r"[-\s,]+", text)]
        found.append((re.compile(r"[-\s,]*".join(parts) + r"(?![\w'])", re.IGNORECASE), names))
    return tuple(sorted(found, key=lambda item: -len(item[0].pattern)))


def _alike(name: str, text: str) -> bool:
    """Whether a pattern's name looks like the beginning of a text."""
    words = len(name.split())
    return bool(difflib.get_close_matches(name.lower(), [" ".join(text.split()[:words])], cutoff=0.75))
