"""Printable names of variables, values and constraints."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from deduce.puzzle.problems.described import WeightedTotal

__all__ = ["MOST_NAME", "MOST_STATED", "MOST_TITLE", "Symbols", "brief", "choices", "distinct", "listed"]
__all__ += ["printable", "sum_title"]

_MOST_NAMED = 6
"""A longer list of variables is shortened in the title of a constraint."""


MOST_NAME = 60
"""The longest name of a variable or value; longer ones are cut."""

MOST_STATED = 90
"""The longest title of one constraint of a problem."""

MOST_TITLE = 300
"""The longest name of a linear constraint."""


def brief(text: str, most: int) -> str:
    """Return a text, cut in the middle if it is too long.

    Examples
    --------
    >>> brief("abcdefghijkl", 12), brief("abcdefghijklm", 12)
    ('abcdefghijkl', 'abcd...jklm')
    """
    # A little is left for the number behind a name that occurs twice.
    half = (most - 4) // 2
    return text if len(text) <= most else f"{text[:half]}...{text[-half:]}"


class Symbols(str):
    """The names of values, asked like a text with one character a digit, which is what other layouts have.

    As a text it lists them; its items, its length and what it finds are those of the names.

    Examples
    --------
    >>> symbols = Symbols.of(["red", "green"])
    >>> symbols[1], len(symbols), symbols.find("green"), symbols.find("e"), [*symbols], f"one of {symbols}"
    ('green', 2, 1, -1, ['red', 'green'], 'one of red, green')
    """

    __slots__ = ("names",)

    names: tuple[str, ...]

    @classmethod
    def of(cls, names: Iterable[str]) -> Symbols:
        """Return the symbols with these names."""
        listed = tuple(names)
        made = cls(", ".join(listed))
        made.names = listed
        return made

    def __getitem__(self, item: Any) -> str:
        name: str = self.names[item]
        return name

    def __len__(self) -> int:
        return len(self.names)

    def __iter__(self) -> Iterator[str]:
        return iter(self.names)

    def __contains__(self, name: object) -> bool:
        return name in self.names

    def find(self, name: str, *_: object) -> int:
        """Return the number of a name, or -1."""
        return self.names.index(name) if name in self.names else -1

    def index(self, name: str, *_: object) -> int:
        """Return the number of a name.

        Raises
        ------
        ValueError
            If there is none.
        """
        return self.names.index(name)


def printable(things: Iterable[Hashable]) -> tuple[str, ...]:
    """Return one printable name for each thing, all different.

    A thing is named as `str` prints it; where that is blank, holds a line break, or would name two of them, all are
    named as `repr` prints them, and what is still the same gets a number.

    Examples
    --------
    >>> printable(["WA", 3, (1, 2)]), printable([1, "1"]), printable(["", "x"])
    (('WA', '3', '(1, 2)'), ('1', "'1'"), ("''", "'x'"))
    """
    listed = list(things)
    names = [str(thing) for thing in listed]
    if len(set(names)) < len(names) or not all(name.strip() == name and name and name.isprintable() for name in names):
        names = ["".join(c if c.isprintable() else " " for c in repr(thing)) for thing in listed]
    return distinct([brief(name, MOST_NAME - 8) for name in names])


def distinct(names: Sequence[str]) -> tuple[str, ...]:
    """Return the names with a number behind each that has occurred before.

    Examples
    --------
    >>> distinct(["a", "b", "a", "a"])
    ('a', 'b', 'a (2)', 'a (3)')
    """
    taken: set[str] = set()
    found = []
    for name in names:
        new, count = name, 1
        while new in taken or (count > 1 and new in names):
            count += 1
            new = f"{name} ({count})"
        taken.add(new)
        found.append(new)
    return tuple(found)


def listed(names: Sequence[str], joint: str = "and", noun: str = "variables") -> str:
    """List names, a long list by its ends and its length.

    Examples
    --------
    >>> listed(["a", "b", "c"]), listed([f"x{i}" for i in range(15)])
    ('a, b and c', 'the 15 variables x0, x1, ... x14')
    """
    if len(names) > _MOST_NAMED:
        return f"the {len(names)} {noun} {names[0]}, {names[1]}, ... {names[-1]}"
    return f"{', '.join(names[:-1])} {joint} {names[-1]}" if len(names) > 1 else "".join(names)


def choices(names: Collection[str]) -> str:
    """Write alternatives: ``red``, ``red or green``, ``red, green or blue``."""
    parts = list(names)
    return f"{', '.join(parts[:-1])} or {parts[-1]}" if len(parts) > 1 else "".join(parts)


def sum_title(names: Sequence[str], total: WeightedTotal) -> str:
    """Write a sum as an equation.

    Examples
    --------
    >>> half, one = Fraction(1, 2), Fraction(1)
    >>> sum_title(["a", "b", "c"], WeightedTotal((one, -2 * one, half), None, one))
    'a - 2 b + 1/2 c <= 1'
    >>> sum_title(["a"], WeightedTotal((one,), one, one))
    'a = 1'
    """
    written = ""
    if len(names) > _MOST_NAMED and set(total.factors) == {Fraction(1)}:
        written = f"sum of {listed(names)}"
    for name, factor in () if written else zip(names, total.factors, strict=True):
        size = "" if abs(factor) == 1 else f"{abs(factor)} "
        sign = "-" if factor < 0 else "+"
        written += f" {sign} {size}{name}" if written else f"{'-' if factor < 0 else ''}{size}{name}"
    if total.least == total.most:
        return f"{written} = {total.least}"
    return f"{written} <= {total.most}" if total.least is None else f"{written} >= {total.least}"
