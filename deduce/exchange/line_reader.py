"""Reading the one-line form of a proof into the plain values of a document."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any, NamedTuple

from deduce.errors import ExchangeError
from deduce.exchange.reader import MAX_TEXT, parse, show, span

__all__ = ["read_line"]

MAX_NESTING = 50
"""How deep braces may nest: suppositions, or patterns inside patterns."""

_TOKEN = re.compile(r'\s*(?:(?P<text>"(?:[^"\\]|\\.)*+")|(?P<mark>[|;,:{}\[\]])|(?P<word>[^\s"|;,:{}\[\]]+))')
_WEIGHT = re.compile(r"[1-9][0-9]{0,9}")


_POSITION = ("entered", "eliminated", "assumed", "kept", "presumed", "resting")
"""The words that set a position apart."""


class _Token(NamedTuple):
    kind: str
    text: str
    at: int


def read_line(text: str) -> dict[str, Any]:
    """Return the document that a line states.

    Raises
    ------
    ExchangeError
        With the column at which reading stopped.
    """
    if not isinstance(text, str):
        raise TypeError(f"the line is a str, not {type(text).__name__}")
    if len(text) > MAX_TEXT:
        raise ExchangeError("", f"{len(text):,} characters", f"at most {MAX_TEXT:,}")
    return _Line(text.strip()).document()


class _Line:
    """A reader that goes through the tokens of a line once, from left to right."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.place = 0
        self.depth = 0
        self.token = self._next()

    def _next(self) -> _Token:
        """Cut off the next token."""
        match = _TOKEN.match(self.text, self.place)
        if match is None:
            rest = self.text[self.place :].lstrip()
            if rest:
                raise self.wrong("a closing quote", len(self.text) - len(rest))
            return _Token("end", "the end of the line", len(self.text))
        kind = match.lastgroup or ""
        self.place = match.end()
        return _Token(kind, match[kind], match.start(kind))

    def wrong(self, expected: str, at: int | None = None) -> ExchangeError:
        """Return the error for the token that stands here."""
        found = self.token if at is None else _Token("", self.text[at:], at)
        problem = found.text if found.kind == "end" else show(found.text)
        return ExchangeError(f"column {found.at + 1}", problem, expected)

    def take(self) -> str:
        """Return the text of the token and step over it."""
        taken = self.token.text
        self.token = self._next()
        return taken

    def sees(self, text: str) -> bool:
        """Whether this mark or unquoted word comes next."""
        return self.token.kind in ("mark", "word") and self.token.text == text

    def skip(self, text: str) -> bool:
        """Step over a mark or word if it comes next."""
        if not self.sees(text):
            return False
        self.take()
        return True

    def need(self, text: str) -> None:
        """Step over a mark or word that must come next."""
        if not self.skip(text):
            raise self.wrong(repr(text))

    def word(self, expected: str) -> str:
        """Read one word, or one text in quotes."""
        if self.token.kind == "text":
            return self.quoted()
        if self.token.kind != "word":
            raise self.wrong(expected)
        return self.take()

    def quoted(self) -> str:
        """Read a text in quotes."""
        try:
            value = json.loads(self.token.text)
        except json.JSONDecodeError:
            raise self.wrong("a JSON string") from None
        self.take()
        return str(value)

    def name(self, expected: str, stop: tuple[str, ...] = ()) -> str:
        """Read a name: a text in quotes, or words up to a mark or one of the words of `stop`."""
        if self.token.kind == "text":
            return self.quoted()
        words = []
        while self.token.kind == "word" and self.token.text not in stop:
            words.append(self.take())
        if not words:
            raise self.wrong(expected)
        return " ".join(words)

    def names(self, expected: str, stop: tuple[str, ...] = ()) -> list[str]:
        """Read names with commas between them; none if no name comes next."""
        found: list[str] = []
        if self.token.kind in ("text", "word") and self.token.text not in stop:
            found.append(self.name(expected, stop))
            while self.skip(","):
                found.append(self.name(expected, stop))
        return found

    def tokens(self, stop: tuple[str, ...] = ()) -> list[str]:
        """Read candidates with blanks between them."""
        found = []
        while self.token.kind == "text" or (self.token.kind == "word" and self.token.text not in stop):
            found.append(self.word("a candidate"))
        return found

    def nested(self, read: Callable[[], Any]) -> Any:
        """Read something in braces."""
        self.need("{")
        self.depth += 1
        if self.depth > MAX_NESTING:
            raise self.wrong(f"braces nested at most {MAX_NESTING} deep")
        value = read()
        self.need("}")
        self.depth -= 1
        return value

    def document(self) -> dict[str, Any]:
        """Read the whole line."""
        form = self.word("the name of the format")
        version = self.word("a version")
        self.need("|")
        puzzle = self.puzzle()
        self.need("|")
        pattern = self.pattern()
        self.need("|")
        argument = self.inferences()
        step: dict[str, Any] = {"pattern": pattern, "argument": argument}
        if self.skip("|"):
            self.need("proved")
            self.need("smallest")
            step["proved smallest"] = True
        if self.token.kind != "end":
            raise self.wrong("the end of the line")
        for name, key in (("places", "true"), ("eliminates", "false")):
            step[name] = list(dict.fromkeys(c for item in argument for c in item.get(key, ())))
        step["contradiction"] = any("true" not in item and "false" not in item for item in argument)
        if _swaps(argument):
            step["assumes unique"] = True
        return {"format": form, "version": version, "puzzle": puzzle, "steps": [step]}

    def puzzle(self) -> dict[str, Any]:
        """Read layout, givens and what sets the position apart."""
        layout: Any
        if self.sees("{"):
            layout = self.json()
        else:
            layout = self.name("a layout")
            if self.skip(","):
                layout += f", {self.name('boxes RxC')}"
        self.need(":")
        found: dict[str, Any] = {"layout": layout, "givens": self.digits()}
        while self.skip(";"):
            key = self.word(f"{', '.join(_POSITION[:-1])} or {_POSITION[-1]}")
            if key not in _POSITION or key in found:
                raise self.wrong(f"{', '.join(_POSITION[:-1])} or {_POSITION[-1]}, each once")
            found[key] = self.digits() if key == "entered" else self.lists() if key == "resting" else self.tokens()
        return found

    def digits(self) -> Any:
        """Read placed digits: one character a cell, or tokens in square brackets."""
        if not self.skip("["):
            return self.word("one character a cell")
        found = self.tokens()
        self.need("]")
        return found

    def lists(self) -> list[list[str]]:
        """Read lists of tokens, each in square brackets."""
        found = []
        while self.skip("["):
            found.append(self.tokens())
            self.need("]")
        return found

    def json(self) -> Any:
        """Read a spelled-out layout, which stands in the line as JSON."""
        start = self.token.at
        end = span(self.text, start)
        try:
            value = parse(self.text[start:end]).value
        except ExchangeError as error:
            raise self.wrong(f"a layout as a JSON object ({error})") from None
        self.place = end
        self.token = self._next()
        return value

    def pattern(self) -> dict[str, Any]:
        """Read a pattern with roles and chain."""
        name = self.name("the name of a pattern")
        while self.skip(","):
            name += f", {self.name('the rest of the name')}"
        found: dict[str, Any] = {"name": name}
        while self.skip(";"):
            if self.sees("chain") and "chain" not in found:
                self.take()
                self.need(":")
                found["chain"] = self.chain()
            elif self.sees("also") and "also" not in found:
                self.take()
                self.need(":")
                found["also"] = self.names("a name")
            elif self.sees("inner") and "inner" not in found:
                self.take()
                self.need(":")
                found["inner"] = [self.nested(self.pattern)]
                while self.skip(","):
                    found["inner"].append(self.nested(self.pattern))
            else:
                role = self.name("a role")
                self.need(":")
                kind = self.word("what the items are")
                found.setdefault("roles", []).append({"role": role, kind: self.names("an item")})
        return found

    def node(self) -> Any:
        """Read a node: a candidate, or several in braces."""
        if not self.skip("{"):
            return self.word("a candidate")
        group = self.tokens()
        self.need("}")
        return group

    def chain(self) -> dict[str, Any]:
        """Read nodes and links in turn."""
        nodes, links = [self.node()], []
        loop = False
        while not loop and (self.sees("=") or self.sees("-")):
            kind = "strong" if self.take() == "=" else "weak"
            if self.skip("start"):
                loop = True
            else:
                nodes.append(self.node())
            self.need("[")
            link: dict[str, Any] = {kind: self.names("a constraint")}
            if self.skip(";"):
                link["covers"] = self.names("a constraint")
            self.need("]")
            links.append(link)
        return {"nodes": nodes, "links": links, "loop": loop}

    def inferences(self) -> list[dict[str, Any]]:
        """Read inferences with semicolons between them."""
        found = [self.inference()]
        while self.skip(";"):
            found.append(self.inference())
        return found

    def inference(self) -> dict[str, Any]:
        """Read one argument and what it concludes."""
        item: dict[str, Any]
        if self.skip("suppose"):
            item = {"suppose": self.word("a candidate"), "inferences": self.nested(self.inferences)}
        elif self.skip("swap"):
            item = {"swap": self.swap()}
        else:
            self.need("count")
            item = {"bases": self.side(("against", "so", "swap")), "covers": [], "swaps": []}
            while self.skip("swap"):
                weight = self.weight()
                item["swaps"].append(self.swap() | ({"weight": weight} if weight else {}))
            if self.skip("against"):
                item["covers"] = self.side(("so",))
        self.need("so")
        return {**item, **self.conclusion()}

    def side(self, stop: tuple[str, ...]) -> list[Any]:
        """Read bases or covers, each with its weight."""
        found: list[Any] = []
        while self.token.kind == "text" or (self.token.kind == "word" and self.token.text not in stop):
            weight = self.weight()
            name = self.name("a constraint", stop)
            found.append([name, weight] if weight else name)
            if not self.skip(","):
                break
        return found

    def weight(self) -> int:
        """Read ``2 *``; 0 if no weight is stated."""
        if self.token.kind == "word" and _WEIGHT.fullmatch(self.token.text):
            before = self.place, self.token
            number = int(self.take())
            if self.skip("*"):
                return number
            self.place, self.token = before
        return 0

    def swap(self) -> dict[str, Any]:
        """Read the pattern and the exits of a swap."""
        pattern = self.tokens(("exits",))
        self.need("exits")
        return {"pattern": pattern, "exits": self.tokens(("against", "so", "swap"))}

    def conclusion(self) -> dict[str, list[str]]:
        """Read what follows: candidates with their signs, or ``contradiction``."""
        if self.skip("contradiction"):
            return {}
        found: dict[str, list[str]] = {}
        while self.token.kind == "word" and self.token.text[0] in "+-":
            sign, token = self.token.text[0], self.token.text[1:]
            self.take()
            if not token:
                token = self.word("a candidate")
            found.setdefault("true" if sign == "+" else "false", []).append(token)
        if not found:
            raise self.wrong("a candidate with + or -, or contradiction")
        return found


def _swaps(argument: list[dict[str, Any]]) -> bool:
    """Whether an exchange of fillings is part of an argument."""
    return any("swap" in item or item.get("swaps") or _swaps(item.get("inferences", [])) for item in argument)
