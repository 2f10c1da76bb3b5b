"""From text to plain JSON values, strictly and within limits; and a cursor that knows where it is.

Nothing here knows what a proof is.  A text from a stranger can be long, deep, huge in its numbers or ambiguous (the
same member twice); each of these is refused with the path of the place, before anything is built from it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from deduce.errors import ExchangeError

__all__ = ["MAX_DEPTH", "MAX_NUMBER", "MAX_TEXT", "MAX_VALUES", "Node", "parse", "show"]

MAX_TEXT = 16_000_000
"""The longest text that is read, in characters."""

MAX_DEPTH = 100
"""How deep brackets may nest: enough for every nesting of suppositions that the kernel follows."""

MAX_VALUES = 1_000_000
"""How many strings, numbers, lists and objects a document may hold."""

MAX_NUMBER = 2**53 - 1
"""The largest number; beyond it other readers of JSON lose digits."""

# An unclosed string runs to the end of the text, so that no part of it is looked at twice.
_BRACKETS = re.compile(r'"(?:[^"\\]|\\.)*+(?:"|\Z)|[][{}]', re.DOTALL)


class _Refused:
    """Stands for a value that the grammar of JSON has room for and this reader has not."""

    def __init__(self, problem: str, expected: str) -> None:
        self.problem = problem
        self.expected = expected


def parse(text: str) -> Node:
    """Read JSON text and return a cursor at its root.

    Parameters
    ----------
    text : str
        The whole document.

    Raises
    ------
    ExchangeError
        If the text is too long or too deep, is no JSON, names a member twice, or holds a number that is not finite or
        beyond `MAX_NUMBER`, a lone surrogate, or more than `MAX_VALUES` values.

    Examples
    --------
    >>> parse('{"a": [1, 2]}').member("a").at(1).whole(0, 9)
    2
    >>> parse('{"a": NaN}')
    Traceback (most recent call last):
    ...
    deduce.errors.ExchangeError: a: NaN is no number; expected a finite number
    """
    if not isinstance(text, str):
        raise TypeError(f"the text of a document is a str, not {type(text).__name__}")
    if len(text) > MAX_TEXT:
        raise ExchangeError("", f"{len(text):,} characters", f"at most {MAX_TEXT:,}")
    _bound_depth(text)
    try:
        value = _JSON.decode(text)
    except json.JSONDecodeError as error:
        problem = f"no JSON at line {error.lineno}, column {error.colno} ({error.msg})"
        raise ExchangeError("", problem, "one JSON value") from None
    _inspect(value)
    return Node(value, ())


def show(value: object, most: int = 60) -> str:
    """Return a short printable form of a value from a stranger's document."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list"
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    text = ascii(value)
    return text if len(text) <= most else text[:most] + "..."


def _bound_depth(text: str) -> None:
    """Refuse brackets that nest too deep, before a recursive reader follows them."""
    depth = 0
    for match in _BRACKETS.finditer(text):
        mark = match[0]
        if mark in "[{":
            depth += 1
            if depth > MAX_DEPTH:
                at = json.JSONDecodeError("", text, match.start())
                problem = f"brackets nest deeper at line {at.lineno}, column {at.colno}"
                raise ExchangeError("", problem, f"at most {MAX_DEPTH} levels")
        elif mark in "]}":
            depth -= 1


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any] | _Refused:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            return _Refused(f"the member {show(name)} twice", "each member once")
        found[name] = value
    return found


def _integer(digits: str) -> int | _Refused:
    # int() itself refuses a few thousand digits with an error of its own, so the length is looked at first.
    if len(digits) > 17 or abs(int(digits)) > MAX_NUMBER:
        return _Refused(f"the number {digits[:20]}{'...' * (len(digits) > 20)}", f"at most {MAX_NUMBER} either way")
    return int(digits)


def _decimal(digits: str) -> float | _Refused:
    value = float(digits)
    if value in (float("inf"), float("-inf")):
        return _Refused(f"the number {digits[:20]} is not finite", "a finite number")
    return value


def _constant(name: str) -> _Refused:
    return _Refused(f"{name} is no number", "a finite number")


_JSON = json.JSONDecoder(object_pairs_hook=_object, parse_int=_integer, parse_float=_decimal, parse_constant=_constant)


def _inspect(root: object) -> None:
    """Look at every value once, members that are ignored later included."""
    stack: list[tuple[object, tuple[str | int, ...]]] = [(root, ())]
    count = 0
    while stack:
        value, path = stack.pop()
        count += 1
        if count > MAX_VALUES:
            raise ExchangeError(_path(path), "one value too many", f"at most {MAX_VALUES:,} in a document")
        if isinstance(value, str):
            _no_surrogate(value, path)
        elif isinstance(value, dict):
            for name in value:
                _no_surrogate(name, path)
            # Put on the stack from the last to the first, so that the first fault of the text is the one reported.
            stack += [(value[name], (*path, name)) for name in reversed(value)]
        elif isinstance(value, list):
            stack += [(value[i], (*path, i)) for i in range(len(value) - 1, -1, -1)]
        elif isinstance(value, _Refused):
            raise ExchangeError(_path(path), value.problem, value.expected)


def _no_surrogate(text: str, path: tuple[str | int, ...]) -> None:
    if not text.isascii() and any("\ud800" <= char <= "\udfff" for char in text):
        raise ExchangeError(_path(path), f"a lone surrogate in {show(text)}", "Unicode text")


def _path(parts: tuple[str | int, ...]) -> str:
    """Print a path, member names that are no plain words in quotes."""
    printed = ""
    for part in parts:
        if isinstance(part, int):
            printed += f"[{part}]"
        elif re.fullmatch(r"\w+", part, re.ASCII):
            printed += f".{part}" if printed else part
        else:
            printed += f"[{show(part)}]"
    return printed


_NEEDED = object()


class Node:
    """A JSON value and the path that leads to it.

    Parameters
    ----------
    value : object
        A value as `json` makes it.
    path : tuple of str and int
        Member names and list positions from the root.

    Notes
    -----
    Members that nobody asks for are ignored, which is how a reader stays able to read what later minor versions add.
    """

    __slots__ = ("_path", "value")

    def __init__(self, value: object, path: tuple[str | int, ...]) -> None:
        self.value = value
        self._path = path

    @property
    def path(self) -> str:
        """The path, printed."""
        return _path(self._path)

    def wrong(self, expected: str, problem: str | None = None) -> ExchangeError:
        """Return the error that says what is wrong here."""
        return ExchangeError(self.path, show(self.value) if problem is None else problem, expected)

    def _members(self) -> dict[str, Any]:
        if not isinstance(self.value, dict):
            raise self.wrong("an object")
        return self.value

    def has(self, name: str) -> bool:
        """Whether this object has a member; refuses what is no object."""
        return name in self._members()

    def member(self, name: str, default: object = _NEEDED) -> Node:
        """Return a member; one that need not be there has a default."""
        value = self._members().get(name, default)
        if value is _NEEDED:
            raise self.wrong(f"the member {name!r}", "it is missing")
        return Node(value, (*self._path, name))

    def maybe(self, name: str) -> Node | None:
        """Return a member that may be there."""
        return self.member(name) if self.has(name) else None

    def items(self, least: int = 0, most: int | None = None, what: str = "items") -> Iterator[Node]:
        """Return a cursor for each item of a list."""
        if not isinstance(self.value, list):
            raise self.wrong(f"a list of {what}")
        size = len(self.value)
        if size < least:
            raise self.wrong(f"at least {least} {what}", f"{size}")
        if most is not None and size > most:
            raise self.wrong(f"at most {most} {what}", f"{size}")
        return (Node(item, (*self._path, i)) for i, item in enumerate(self.value))

    def at(self, place: int) -> Node:
        """Return one item of a list that is known to be long enough."""
        return list(self.items(place + 1))[place]

    def text(self, most: int = 200) -> str:
        """Return a string without control characters, so that it may be printed anywhere."""
        if not isinstance(self.value, str):
            raise self.wrong("a string")
        if len(self.value) > most:
            raise self.wrong(f"at most {most} characters", f"{len(self.value)}")
        if not self.value.isprintable():
            raise self.wrong("printable characters only")
        return self.value

    def name(self, table: Mapping[str, int], expected: str) -> int:
        """Return what a name stands for."""
        name = self.text(300)
        if name not in table:
            raise self.wrong(expected)
        return table[name]

    def names(
        self,
        table: Mapping[str, int],
        expected: str,
        what: str,
        *,
        least: int = 0,
        most: int | None = None,
        once: bool = False,
    ) -> tuple[int, ...]:
        """Return what the names of a list stand for; by default there are at most as many as there are things."""
        items = self.items(least, len(table) if most is None else most, what)
        found = tuple(item.name(table, expected) for item in items)
        if once and len(set(found)) != len(found):
            raise self.wrong(f"each of the {what} once", "one is listed twice")
        return found

    def whole(self, least: int, most: int) -> int:
        """Return a whole number within bounds."""
        if type(self.value) is not int or not least <= self.value <= most:
            raise self.wrong(f"a whole number from {least} to {most}")
        return self.value

    def truth(self) -> bool:
        """Return true or false."""
        if not isinstance(self.value, bool):
            raise self.wrong("true or false")
        return self.value
