"""The ear for claims: a text cut into cells, digits, houses, names and classes of words, each with its place."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.resources import files
from unicodedata import category

from deduce.claims.claim import Span, WrittenChain
from deduce.claims.reader import Reader
from deduce.patterns import ALIASES, NAMES

__all__ = ["Ear", "Token", "called", "names_meant"]

_NUMBERS = ("two", "three", "four", "five", "six", "seven", "eight", "nine")
_NUMBER = re.compile(rf"({'|'.join(_NUMBERS)})e?s?(?!\w)(?!\s+(?:cell|place|spot|digit|candidate|option|string))", re.I)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_ORDINAL = re.compile(rf"({'|'.join(_ORDINALS)}|([1-9])(?:st|nd|rd|th))\s+(\w+)", re.I)
_SIDES = re.compile(
    r"(top|upper|middle|cent(?:er|re)|bottom|lower)?[-\s]*(left|middle|cent(?:er|re)|right)?[-\s]*(?:box|block)(?!\w|\s*\d)",
    re.I,
)
_SIDE = {"top": 0, "upper": 0, "left": 0, "bottom": 2, "lower": 2, "right": 2}
_CELL = re.compile(
    r"(?!(?-i:r)\d+c\d+(?!\d|-\d))(?:r|row\s+)(?P<row>\d+)(?:-(?P<last_row>\d))?(?:\s*,)?\s*c(?:ol(?:umn)?\b)?\s*"
    r"(?P<column>\d+)(?:-(?P<last_column>\d))?(?![\w/]|\s*r\d)",
    re.I,
)
"""A cell in other words than ``r4c3``."""
_TURNED = re.compile(r"c(?:ol(?:umn)?\b)?\s*(?P<column>\d+),?\s*r(?:ow\b)?\s*(?P<row>\d+)(?!\w)", re.I)
_SHORT = re.compile(r"(?P<row>[1-9])[cC](?P<column>[1-9])(?!\w)")
_REACH = re.compile(r"\s*(?:-|\u2013|to|through|thru)\s*(?=r\s?\d|row\s|\dc\d)", re.I)
_NEXT_NODE = re.compile(r"\(|\w\s*r\s?\d", re.I)
_SIGNS = {",": ",", ";": ",", ":": ":", "(": "(", ")": ")", "?": "?", "+": "+", **dict.fromkeys("-\u2212\u2013", "-")}
_WORD = re.compile(r"[^\W\d_]+(?:['\u2019][^\W\d_]+)*")
_ALIKE, _CLOSE, _MARGIN = 0.8, 0.6, 0.07


@dataclass(frozen=True, slots=True)
class Token:
    """A part of a claim.

    Parameters
    ----------
    letter : str
        Its class: ``C`` cells, ``D`` digits, ``H`` houses, ``P`` a pattern, ``X`` a written chain; others are those of
        ``speech.txt``.
    at, end : int
        Where it stands in the text.
    items : tuple of int
        The cells, digits or houses.
    names : tuple of str
        The patterns that may be meant.
    chain : WrittenChain, optional
        The chain.
    """

    letter: str
    at: int
    end: int
    items: tuple[int, ...] = ()
    names: tuple[str, ...] = ()
    chain: WrittenChain | None = None


class Ear(Reader):
    """A reader that cuts a text into tokens; what it took for something else than was written is in `heard`."""

    heard: tuple[tuple[str, str], ...] = ()
    named = False
    """Whether a pattern was named, so that "row 3, column 7" are two houses and no cell."""

    def tokens(self) -> list[Token]:
        """Cut the whole text."""
        found: list[Token] = []
        while self.next():
            at = self.at
            judged = self.judged() if not (found and found[-1].letter in "+-") else None
            if judged is not None:
                for number in judged[1]:
                    digit, cell = divmod(number, self.layout.cells)
                    sign = Token("+" if judged[0] else "-", at, at)
                    found += [sign, Token("D", at, at, (digit + 1,)), Token("C", at, self.at, (cell,))]
                continue
            bound = bool(found) and found[-1].letter in "+-"
            self.named = any(token.letter == "P" for token in found) and found[-1].letter != "S"
            token = self._token(at, chains=not bound)
            if token.letter != "_":
                found.append(replace(token, at=at, end=self.at))
        return found

    def _token(self, at: int, *, chains: bool) -> Token:
        """Read what comes next; the caller sets its place."""
        if chains and self._chain_comes():
            return Token("X", at, at, chain=self._chain())
        for letter, spoken in (("C", self._spoken_cells), ("H", self._spoken_houses), ("D", self._spoken_digits)):
            # A name may begin as a house does: "box-line".
            names = self.takes(_lexicon().spellings) if letter == "H" else None
            if names:
                return Token("P", at, at, names=_lexicon().known[_key(names[1])])
            items = spoken()
            if items:
                return Token(letter, at, at, tuple(items))
        phrase = self.takes(_lexicon().phrases)
        if phrase:
            return Token(_lexicon().letters[_plain(phrase[0])], at, at)
        word = _WORD.match(self.text, at)
        if word:
            return self._mistaken(at, word)
        self.at += 1
        sign = self.text[at]
        silent = sign in ".!\"'\u2026{}[]" or category(sign) in ("So", "Sk", "Mn", "Cf")
        return Token("_" if silent else _SIGNS.get(sign, "x"), at, at)

    def _chain_comes(self) -> bool:
        """Whether a written chain comes next: a bracket with a digit, or bare nodes with a link behind the first."""
        mark = self.at
        try:
            if self.next() == "(":
                return self.take("(") and self.sees_digits() and not _lexicon().spellings.match(self.text, self.here())
            if not self.sees_digits():
                return False
            self.digit()
            if not self.sees_cell() or not re.compile(r"[rR]\s?\d+\s*[cC]").match(self.text, self.here()):
                return False
            self.cells()
            return self.link() is not None and bool(_NEXT_NODE.match(self.text, self.here()))
        finally:
            self.at = mark

    def _chain(self) -> WrittenChain:
        """Read nodes and links up to an arrow or the end."""
        strong: list[bool] = []
        nodes: list[tuple[int, ...]] = []
        spans: list[Span] = []
        last: Span | None = None
        while True:
            start, before = self.here(), len(strong)
            nodes += self.node(strong)
            here = start, self.at
            if last is not None:
                spans.append((last[0], here[1]))
            spans += [here] * (len(strong) - before)
            last = here
            if not self.take_link(strong):
                break
        if not strong:
            self.complain("a link", "write = for a strong link and the next node, such as (7)r1c9 = (7)r1c3")
        return WrittenChain(tuple(nodes), tuple(strong), tuple(spans))

    def _spoken_cells(self) -> list[int]:
        """Read cells in any spelling, ranges too; nothing if none come."""
        start = self.at
        found = self._cells_here()
        reach = _REACH.match(self.text, self.at) if found else None
        if reach is None:
            return found
        self.at = reach.end()
        places = [self.layout.places[cell] for cell in (found[-1], *self._cells_here())]
        (row, column), (last_row, last_column) = places[0], places[-1]
        if len(places) > 2 or (row != last_row and column != last_column) or (row, column) >= (last_row, last_column):
            self.fail("a range goes along one row or column", "name the cells one by one", start)
        rows, columns = range(row, last_row + 1), range(column, last_column + 1)
        return [*found[:-1], *(self.cell(r + 1, c + 1, start) for r in rows for c in columns)]

    def _cells_here(self) -> list[int]:
        start, broad = self.at, self.layout.broad
        for form in (_CELL, _TURNED) if broad else (_CELL, _TURNED, _SHORT):
            found = form.match(self.text, start)
            told = found.groupdict() if found else {}
            if found and (broad or len(told["row"]) == len(told["column"]) == 1 or "row" in found[0].lower()):
                if form is _CELL and "," in found[0] and self.named:
                    return []
                self.at = found.end()
                rows, columns = (
                    range(int(told[line]), int(told.get(f"last_{line}") or told[line]) + 1)
                    for line in ("row", "column")
                )
                if not rows or not columns:
                    self.fail("a range goes upwards", "write the smaller number first", start)
                return [self.cell(row, column, start) for row in rows for column in columns]
        return self.cells() if self.sees_cell() and not self.sees_houses() else []

    def _spoken_houses(self) -> list[int]:
        """Read houses: by number, as the third row, or as the top left box."""
        start = self.at
        side = _SIDES.match(self.text, start)
        boxes = [h for h, house in enumerate(self.layout.houses) if house.kind == "box"]
        if side and (side[1] or side[2]) and len(boxes) == 9 and self.layout.order == 9:
            down, across = (_SIDE.get((part or "middle").lower(), 1) for part in side.groups())
            for part, number, more in (
                (side[1], down, "left, middle or right"),
                (side[2], across, "top, middle or bottom"),
            ):
                if number != 1 and not (side[1] and side[2]):
                    self.fail(f"the {part} box is one of three", f"add {more}, or give its number", start)
            self.at = side.end()
            return [boxes[3 * down + across]]
        nth = _ORDINAL.match(self.text, start)
        if nth and nth[3].lower() in self.kinds:
            self.at = nth.end()
            number = int(nth[2]) if nth[2] else _ORDINALS.index(nth[1].lower()) + 1
            return [self.house(self.kinds[nth[3].lower()][0], number, start)]
        return self.houses() if self.sees_houses() else []

    def _spoken_digits(self) -> list[int]:
        """Read digits: symbols of the layout in one word, with a plural s, or a number as a word."""
        symbols = re.escape(self.layout.symbols)
        here = re.compile(rf"([{symbols}]+?(?:/[{symbols}])*)(?:['\u2019]?s(?!\w)|(?!\w)|(?=[rR]\s?\d))").match(
            self.text, self.at
        )
        number = _NUMBER.match(self.text, self.at)
        named = self.layout.symbols.find(str(_NUMBERS.index(number[1].lower()) + 2)) + 1 if number else 0
        if number and named:
            self.at = number.end()
            return [named]
        found: list[int] = []
        for place, symbol in enumerate(here[1] if here else "", self.at):
            digit = self.layout.symbols.find(symbol) + 1
            if digit in found:
                self.fail(f"{symbol} is named twice", "name each digit once", place)
            found += [digit] * bool(digit)
        self.at = here.end() if here else self.at
        return found

    def _mistaken(self, at: int, word: re.Match[str]) -> Token:
        """Take a word that nobody knows for the nearest one that claims know, or refuse it."""
        rest = [*re.finditer(r"[\w'\u2019]+", self.text[at:])][:4]
        scored: list[tuple[float, str, int]] = []
        words = (phrase for phrase in _lexicon().letters if " " not in phrase)
        for known in (text for text in (*map(str.lower, _lexicon().called), *words) if len(text) > 4):
            size = len(re.split(r"[-\s/]+", known))
            if size <= len(rest):
                end = rest[size - 1].end()
                said = re.sub(r"[-\s]+", " ", self.text[at : at + end].lower())
                scored.append((difflib.SequenceMatcher(None, said, known).ratio(), known, end))
        scored.sort(reverse=True)
        near = [one for one in scored if one[0] > max(_ALIKE, scored[0][0] - _MARGIN)] if len(word[0]) > 3 else []
        meant = {_lexicon().known.get(_key(one[1])) or _lexicon().letters[one[1]] for one in near}
        if len(meant) == 1 or (meant and meant <= {"V", "F"}):
            what = _lexicon().known.get(_key(near[0][1])) or _lexicon().letters[near[0][1]]
            self.at = at + near[0][2]
            self.heard = (*self.heard, (self.text[at : self.at], near[0][1]))
            return Token(what, at, at) if isinstance(what, str) else Token("P", at, at, names=what)
        close = list(dict.fromkeys(one[1] for one in scored if one[0] > _CLOSE))[:3] if len(word[0]) > 3 else []
        advice = (
            f"did you mean {' or '.join(close)}?" if close else "say r8c3 <> 6, name a pattern, or ask about a cell"
        )
        return self.fail(f"{word[0]!r} is no word that claims know", advice, at)


def names_meant(text: str) -> tuple[str, ...]:
    """Return the patterns that a name or alias may mean; none if it is neither.

    Examples
    --------
    >>> names_meant("y-wing"), names_meant("no such thing")
    (('XY-wing',), ())
    """
    return _lexicon().known.get(_key(text), ())


def called(names: tuple[str, ...]) -> str:
    """Return what people call some patterns together: a name, or the first alias that means just these."""
    if len(names) == 1:
        return names[0]
    return next((text for text in _lexicon().called if names_meant(text) == names), " or ".join(names))


def _key(text: str) -> str:
    return re.sub(r"[-\s,/]+", "", text.lower())


def _plain(phrase: str) -> str:
    return re.sub(r"\s+", " ", phrase.lower().replace("\u2019", "'"))


@dataclass(frozen=True, slots=True)
class _Lexicon:
    """The words that claims know.

    Parameters
    ----------
    letters : dict of str to str
        The class of every phrase.
    known : dict of str to tuple of str
        What every name of a pattern may mean.
    called : tuple of str
        The names of patterns as they are written, names of the catalogue last.
    phrases, spellings : re.Pattern
        Every phrase, and every name in any case, with hyphens, blanks, commas and plurals all alike; the longest first.
    """

    letters: dict[str, str]
    known: dict[str, tuple[str, ...]]
    called: tuple[str, ...]
    phrases: re.Pattern[str]
    spellings: re.Pattern[str]


@lru_cache(maxsize=1)
def _lexicon() -> _Lexicon:
    """Read ``speech.txt``, each line of it a class or the names of patterns, and their phrases.

    The names and aliases of the families come before what else patterns are called; what stands first counts.
    """
    letters: dict[str, str] = {}
    known = {_key(alias): names for alias, names in ALIASES.items()} | {_key(name): (name,) for name in NAMES}
    called_ = [*ALIASES]
    text = files("deduce.claims").joinpath("speech.txt").read_text(encoding="utf-8")
    for heads, listed in re.findall(r'^(".+?"|[^#]): (.+)$', text, re.MULTILINE):
        phrases = listed.split(", ")
        if len(heads) == 1:
            letters |= {phrase: heads for phrase in phrases if phrase not in letters}
            continue
        meant = [name for head in heads.strip('"').split(", ") for name in known.get(_key(head), ())]
        known |= {_key(one): tuple(dict.fromkeys(meant)) for one in phrases if meant and _key(one) not in known}
        called_ += phrases
    names = [name for name in (*called_, *NAMES) if _key(name) in known]
    spelled = (r"[-\s,/]*".join(map(re.escape, re.split(r"[-\s,/]+", one))) for one in _longest(names))
    spoken = (
        re.escape(phrase).replace(r"\ ", r"\s+").replace("'", "['\u2019]") + _END * phrase[-1].isalnum()
        for phrase in _longest(letters)
    )
    spellings = re.compile(rf"({'|'.join(spelled)})s?{_END}", re.IGNORECASE)
    return _Lexicon(letters, known, tuple(names), re.compile("|".join(spoken), re.IGNORECASE), spellings)


_END = r"(?![\w'\u2019])"


def _longest(texts: Iterable[str]) -> list[str]:
    return sorted({*texts}, key=lambda text: (-len(text), text))
