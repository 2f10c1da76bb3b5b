"""Claims and questions from text: a grammar over the tokens of the ear, as people speak and as solvers write."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import dropwhile, islice
from typing import NoReturn

from deduce.claims.claim import Claim, Named, Question, WrittenChain
from deduce.claims.hearing import Ear, Token
from deduce.claims.problem_claim import parse_problem_claim
from deduce.errors import ClaimError
from deduce.puzzle.layout import Layout

__all__ = ["LABELS", "parse_claim", "parse_speech"]

LABELS = ("pivot", "pincer", "pincers", "stem", "fin", "fins")
"""Words that give the cells behind them a part in a named pattern."""

# Every token is a letter, so the grammar is made of regular expressions. A comma before digits that lead up to the name
# of a pattern ends a list; "or" joins what is denied and never what is said to be.
_D = r"D(?:[,&|]?D(?!,?P))*"
_C = r"C(?:[,&|]?C)*"
_AT = r"(?:i?H,?)?"
_IN = r"(?:i?H[:,]?)?"
_DENIED = (
    rf"{_C}:?N{_D}(?:[,&]+N{_D})*", rf"{_C}l{_D}", rf"{_D}{_AT}N[io]*{_C}", rf"{_D}{_AT}F[io]*{_C}",
    rf"{_D}i{_C}F", rf"[VF]{_D}F?[io]*{_C}", rf"N{_D}i?{_C}", rf"N{_C}Y{_D}", rf"-{_D}{_C}",
    rf"[Nnk]T{_D}i*{_C}",
)  # fmt: skip
_SAID = (
    rf"{_C}[Y!T]i?{_D}{_AT}", rf"{_D}{_AT}[Y!T]i*{_C}", rf"{_D}i{_C}t?", rf"T{_D}i*{_C}", rf"!{_D}[YM]i*{_C}",
    rf"!iD{_AT}Y{_C}", rf"!{_C}[YM]{_D}", rf"\+{_D}{_C}",
)  # fmt: skip
# A question stands by itself: behind another conclusion its verb would belong to what comes before.
_ASKED = (rf"[Yn]{_C}[Y!]?{_D}", rf"[Yn]{_D}[YT]i*{_C}", rf"Y{_D}i{_C}", rf"n{_D}i{_C}(?=\?)")
_ASKED_WHY_NOT = (
    rf"W[Nnk]{_C}Y?{_D}", rf"W[Nnk]{_D}Y?i*{_C}", rf"W[YM]{_C}N{_D}", rf"W[YM]{_D}Ni*{_C}", rf"[YM]{_D}{_AT}F[io]*{_C}",
    rf"W[YM]{_D}F[io]*{_C}",
)  # fmt: skip
_ASKED_WHY = (rf"WY{_C}Y?{_D}", rf"WY{_D}Y?i*{_C}")
_ONE = rf"(?:{_IN}(?:{'|'.join((*_DENIED, *_SAID))}))"
_MANY = rf"(?:W?{_ONE}(?:[,&b]*{_ONE})*|{_IN}(?:{'|'.join((*_ASKED_WHY_NOT, *_ASKED_WHY, *_ASKED))}))"
_DETAIL = r"(?:[DCHLi]|[,&](?=[DCHLi])|o(?=C))"
_REASON = rf"(?:Y?(?:D(?:[,&|]?D)*,?|{_D}i?HY)?P{_DETAIL}*(?::?X)?|X)"
_ONLY = r"Y?!(?:iD(?!i?C))?(?:i?H)?"
_TAIL = r"(?:,?t)?\??"
_WHOLE = re.compile(
    rf"(?:S?(?P<first>{_MANY})(?:[,:]*(?:(?:B|(?<=,)(?=Y?!i[DH]))(?P<only>{_ONLY})|[Bo]?(?P<behind>{_REASON})|\((?P<wrapped>{_REASON})\)))?"
    rf"|[Bo]?(?P<front>{_REASON})(?:[,:]*S[,:]*|[,:]+|(?=[VF-])|(?<=[PH])(?=C[NY!]))(?P<last>{_MANY})|[Bo]?(?P<alone>{_REASON})){_TAIL}"
)
_MOST = 200
"""How many ways to cut a sentence into conclusions are compared."""
_QUESTIONS = (
    ("easiest", re.compile(r"[AYMnNBi]*EY*i?\??")),
    ("needs", re.compile(r"[ARYM]+UY*i?\??")),
    ("house", re.compile(r"(?=[^DC]*D[^DC]*$)(?=[^H]*H[^H]*$)(?:[YMiH,]*[RA][ADHYMTFi,!:]*|[Ynk][DHYMTi,!]*)\??")),
    ("cell", re.compile(rf"(?=[^C]*{_C}[^C]*$)(?:[YMi,]*A[ADCYMi,&|!:]*\??|[YMk][DCYMi,&|!]*\?|[Mk][DCYMi]*"
     rf"|[DCi,&|]*\?)")),
)  # fmt: skip
_COMPLETIONS = (
    ("D", "a digit", "write one of {symbols}"),
    ("ND", "<> or =", "say what the cell is or is not, such as r8c3 <> 6 or r8c3 = 9"),
    (")", "a closing bracket", "close the bracket round the reason"),
    ("P", "a reason", "name a pattern with its digits and cells, or write a chain"),
    ("C", "a cell", "{span}"),
    ("CND", "a conclusion", "say what a cell is or is not, such as r8c3 <> 6, or name a reason"),
    ("", "the end of the claim", "take this out, or join it with a comma, so or because"),
)
_ASKS = r"(?=[^xu]*$)(?=.*\?$|[WRA])"
_POSSIBLE = ("a possibility is no claim", "say what a cell is or is not, or ask what it can be")
_DOUBLE = ("a double denial can be read in two ways", "say r8c3 is 9 or r8c3 is not 9")
_REFUSALS = tuple(
    (re.compile(form), problem, advice)
    for form, problem, advice in (
        (
            rf"{_ASKS}(?=.*R)(?=.*D)(?!.*H).*()",
            "a digit can go into many houses, and it is not clear which house is meant",
            "add one, such as in box 4",
        ),
        (
            rf"{_ASKS}(?=.*R)(?!.*D).*()",
            "it is not clear which digit is meant",
            "name it, such as where does 8 go in box 4?",
        ),
        (rf"{_ASKS}(?!.*[CH]).*()", "it is not clear which cell is meant", "name it, such as r4c3"),
        (r"[^u]*(u)", "what depends on {word!r} is no claim", "say what a cell is or is not, without if"),
        (rf"(?!.*P)(){_D}{_C}", "a candidate alone says nothing", "write +{both} if it is true, -{both} if it falls"),
        (rf"(?:{_C}|{_D})(M)i*", *_POSSIBLE),
    )
)
"""What is refused with a word of its own: the letters, with a group where it is; what is wrong, and what to do."""
_RUN = re.compile(r"[YMm!NnkO]+")
_SETTLE = (
    ("N[YM]*[tp]", "F"), ("[YM]*p", "M"), ("[YM]+F", "F"), ("[YM!]+V", "V"),
    ("[YM!]*T[YM]*|(?<![NYM!])[YM!]*f[YM]*", "T"), ("[YM]*t", "t"),
)  # fmt: skip
"""What is drawn together afterwards: "can be removed" falls, "is not true" is false."""


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
    found = parse_speech(layout, text)
    if isinstance(found, Question):
        raise ClaimError("this is a question", "let ask answer it, or say r8c3 <> 6", text=text, line=1, column=1)
    return found


def parse_speech(layout: Layout, text: str) -> Claim | Question:
    """Read a claim, or a question about a cell, a digit in a house, or a step.

    Parameters
    ----------
    layout : Layout
        Says which digits, cells and houses there are.
    text : str
        As for :func:`parse_claim`; "what can go in r4c3?", "where does 8 go in box 4?", "is this the easiest?" and
        "what did this step need?" are questions.  "Why not 7 in r3c4?" claims that 7 is not there.

    Raises
    ------
    ClaimError
        With line, column and a caret, and what was expected there.

    Examples
    --------
    >>> parse_speech(Layout.standard(), "where does the 8 go in box 4?").kind
    'house'
    """
    if layout.problem:
        return parse_problem_claim(layout, text)
    return _Sentence(Ear(layout, text)).meaning()


class _Sentence:
    """The tokens of a text, and what they mean together.

    Parameters
    ----------
    ear : Ear
        The text.
    """

    def __init__(self, ear: Ear) -> None:
        self.ear = ear
        self.tokens = [*dropwhile(lambda t: t.letter == ",", self._settled(self._hedged(ear.tokens())))]
        self.letters = "".join(token.letter for token in self.tokens)
        self.eliminates: set[int] = set()
        self.places: set[int] = set()

    def meaning(self) -> Claim | Question:
        """Return the claim or question."""
        ear, letters = self.ear, self.letters
        found = _WHOLE.fullmatch(letters)
        if found is None or self._offers(found):
            return self._question()
        reason: Named | WrittenChain | None = None
        for part in ("behind", "wrapped", "front", "alone"):
            if found[part]:
                reason = self._reason(*found.span(part))
        said = "first" if found["first"] else "last"
        if found[said]:
            only = self._conclude(*found.span(said))
            reason = reason or only
        if found["only"]:
            houses, digits = self._items("H", *found.span("only")), self._items("D", *found.span("only"))
            single = "hidden single" if houses or digits else "naked single"
            reason = Named((single,), digits=digits, houses=houses)
        before = found.start("last")
        if found["last"] and re.search("C[,&]C,$", letters[:before]) and letters[before] == "C":
            self._fail("cells of the reason and of what follows run together", "put so or => between them", before)
        return Claim(ear.text, tuple(sorted(self.eliminates)), tuple(sorted(self.places)), reason, ear.heard)

    def _offers(self, found: re.Match[str]) -> bool:
        """Whether a sentence offers several digits for a cell, or has an "or" in what it says to be: a question."""
        for part in ("first", "last"):
            for start, end, denied in self._parts(*found.span(part)) if found[part] else ():
                if not denied and ("|" in self.letters[start:end] or len(self._items("D", start, end)) > 1):
                    return self.letters.endswith("?")
        return False

    @staticmethod
    def _hedged(tokens: Sequence[Token]) -> list[Token]:
        """Leave out words such as surely; behind a denial they are what is denied."""
        kept: list[Token] = []
        for token in tokens:
            if token.letter != "h":
                kept.append(token)
            elif kept and kept[-1].letter in "Nnk":
                kept.append(Token("x", token.at, token.end))
        return kept

    def _settled(self, tokens: Sequence[Token]) -> list[Token]:
        """Draw together what says that a cell is or is not: "can not be" is a denial."""
        found = list(tokens)

        def drawn(form: re.Pattern[str], told: Callable[[str, bool, int], str]) -> None:
            letters = "".join(token.letter for token in found)
            for run in reversed([*form.finditer(letters)]):
                first, last = found[run.start()], found[run.end() - 1]
                asks = run.start() == 0 or letters[run.start() - 1] == "W"
                found[run.start() : run.end()] = [Token(told(run[0], asks, first.at), first.at, last.end)]

        drawn(_RUN, self._verb)
        drawn(re.compile("N[FVl]"), lambda _, __, at: self.ear.fail(*_DOUBLE, at))
        for form, letter in _SETTLE:
            drawn(re.compile(form), lambda *_, letter=letter: letter)
        return found

    def _verb(self, what: str, asks: bool, at: int) -> str:
        """Return the letter of some verbs and denials in a row."""
        denials = len(re.findall("[Nnk]", what))
        if denials > 1:
            self.ear.fail(*_DOUBLE, at)
        if denials and "m" in what:
            self.ear.fail(*_POSSIBLE, at)
        letter = what if len(what) == 1 and what != "O" else ""
        if denials:
            refused = "O" in what or "!" in what
            return "x" if refused else letter if asks and what in ("n", "k") else "N"
        if not letter:
            return "!" if "!" in what else "M" if set(what) & {*"Mm"} else "Y"
        return "M" if letter == "m" else letter

    def _items(self, letter: str, start: int, end: int) -> tuple[int, ...]:
        """Return the cells, digits or houses among some tokens, ascending."""
        return tuple(
            sorted({item for token in self.tokens[start:end] if token.letter == letter for item in token.items})
        )

    def _about(self, letters: str, start: int, end: int) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
        """Return three kinds of items among some tokens."""
        one, two, three = (self._items(letter, start, end) for letter in letters)
        return one, two, three

    # Conclusions

    def _parts(self, start: int, end: int) -> Iterable[tuple[int, int, bool]]:
        """Yield the conclusions among some tokens: where each begins and ends, and whether it denies."""
        for form in (*_ASKED_WHY_NOT, *_ASKED_WHY, *_ASKED):
            found = re.compile(rf"{_IN}(?:{form})").match(self.letters, start)
            if found and found.end() == end:
                yield start, end, form in _ASKED_WHY_NOT
                return
        every = self._tilings(start + (self.letters[start] == "W"), end)
        first = next(every, None)
        if first is None:
            self._refuse()
        for other in islice(every, _MOST):
            if self._sense(other) != self._sense(first):
                self._fail("this can be read in two ways", "say it in two sentences", first[-1][0])
        yield from first

    def _tilings(self, at: int, end: int) -> Iterator[tuple[tuple[int, int, bool], ...]]:
        """Yield every way to cut some tokens into conclusions."""
        while at < end and self.letters[at] in ",&b":
            at += 1
        if at == end:
            yield ()
        for stop in range(end, at, -1):
            denied = _polarity(self.letters[at:stop])
            if denied is not None:
                yield from (((at, stop, denied), *rest) for rest in self._tilings(stop, end))

    def _sense(self, parts: Iterable[tuple[int, int, bool]]) -> set[tuple[bool, tuple[int, ...], tuple[int, ...]]]:
        """Return what conclusions say."""
        return {(denied, self._items("C", at, stop), self._items("D", at, stop)) for at, stop, denied in parts}

    def _conclude(self, start: int, end: int) -> Named | None:
        """Take note of what is concluded; return the hidden single that "the only place in the row" speaks of."""
        layout, only = self.ear.layout, None
        for first, last, denied in self._parts(start, end):
            cells, digits = self._items("C", first, last), self._items("D", first, last)
            houses = self._items("H", first, last)
            for house in houses:
                if not {*cells} <= {*layout.houses[house].cells}:
                    name = layout.houses[house].name
                    names = " and ".join(layout.cell_name(cell) for cell in cells)
                    self._fail(f"{names} is not in {name}", "name the house of the cell, or leave it out", first)
            letters = self.letters[first:last]
            if not denied and (len(digits) > 1 or "|" in letters):
                advice = "write one digit, or <> for what it is not"
                self._fail("a cell holds only one digit", advice, first + letters.index("D"))
            if "!" in letters and len(cells) > 1:
                self._fail("the only place is one cell", "name one cell, or ask where the digit can go", first)
            if "!" in letters and houses:
                only = Named(("hidden single",), houses=houses)
            (self.eliminates if denied else self.places).update(layout.number(d, c) for d in digits for c in cells)
        return only

    # Reasons

    def _reason(self, start: int, end: int) -> Named | WrittenChain:
        """Read a reason."""
        tokens = self.tokens[start:end]
        name = next((token for token in tokens if token.letter == "P"), None)
        chain = next((token.chain for token in tokens if token.chain), None)
        named = None
        if name is not None:
            labels: dict[str, list[int]] = {}
            label = ""
            for token in tokens:
                if token.letter == "L":
                    label = self.ear.text[token.at : token.end].lower().rstrip("s").removesuffix("ing")
                elif token.letter == "C" and label:
                    labels.setdefault(label, []).extend(token.items)
                elif token.letter in "HP" or (token.letter == "D" and "C" not in self.letters[start:end]):
                    label = ""
            marked = tuple(sorted((word, tuple(sorted(cells))) for word, cells in labels.items()))
            named = Named(name.names, *self._about("DCH", start, end), marked)
        if chain is None:
            assert named is not None
            return named
        return WrittenChain(chain.nodes, chain.strong, chain.spans, named)

    # Questions and refusals

    def _question(self) -> Question:
        """Read a question, or refuse the text."""
        ear, letters = self.ear, self.letters
        end = len(letters)
        for kind, form in _QUESTIONS:
            if form.fullmatch(letters):
                return Question(ear.text, kind, *self._about("CDH", 0, end), ear.heard)
        return self._refuse()

    def _refuse(self) -> NoReturn:
        """Say what was expected where the text can no longer be read."""
        letters, layout = self.letters, self.ear.layout
        for form, problem, advice in _REFUSALS:
            refused = form.match(letters)
            if refused:
                at = refused.start(1)
                word = self._said(at, at + 1)
                self._fail(problem.format(word=word), advice.format(both=self._said(at, at + 2)), at)
        for at in range(len(letters), -1, -1):
            for more, wanted, advice in _COMPLETIONS:
                if (more or 0 < at < len(letters)) and _WHOLE.fullmatch(letters[:at] + more):
                    found = self._said(at, at + 1)
                    got = repr(found) if found else "the end of the text"
                    if not letters:
                        wanted, advice = "a claim", "write what falls or is placed, such as r8c3 <> 6, or a reason"
                    told = advice.format(symbols=layout.symbols, span=f"write {layout.span}")
                    self._fail(f"{got} where {wanted} should be", told, at)
        raise AssertionError("a reason may stand alone")

    def _said(self, start: int, end: int) -> str:
        """Return the words of some tokens as they stand in the text; nothing behind the last."""
        tokens = self.tokens[start:end]
        return self.ear.text[tokens[0].at : tokens[-1].end] if tokens else ""

    def _fail(self, problem: str, advice: str, number: int) -> NoReturn:
        """Refuse what a token says; one behind the last is the end of the text."""
        own = [self.ear.layout.cell_name(token.items[0]) for token in self.tokens if token.letter == "C"]
        advice = advice.replace("r8c3", own[0]) if own else advice
        at = self.tokens[number].at if number < len(self.tokens) else self.ear.at
        self.ear.fail(problem, advice, at)


@lru_cache(maxsize=512)
def _polarity(letters: str) -> bool | None:
    """Say whether the letters of one conclusion deny something; None if they are no conclusion."""
    if re.fullmatch(rf"{_IN}(?:{'|'.join(_DENIED)})", letters):
        return True
    return False if re.fullmatch(_ONE, letters) else None
