"""Words of a text with their places, from which readers make their errors."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeVar

from deduce.errors import TextError

__all__ = ["Word", "words"]

Kind = TypeVar("Kind", bound=TextError)


@dataclass(frozen=True, slots=True)
class Word:
    """A piece of a text with its place.

    Parameters
    ----------
    text : str
        The piece.
    line, column : int
        Where it begins, both counted from 1.
    whole : str
        The whole text, for error messages.
    """

    text: str
    line: int
    column: int
    whole: str = field(repr=False)

    def wrong(self, kind: type[Kind], problem: str, expected: str, *, at: int = 0) -> Kind:
        """Return the error for this word; `at` so many characters behind its beginning."""
        return kind(problem, expected, text=self.whole, line=self.line, column=self.column + at)

    def part(self, start: int, end: int | None = None) -> Word:
        """Return some characters of the word as a word of their own."""
        return Word(self.text[start:end], self.line, self.column + start, self.whole)

    def characters(self) -> list[Word]:
        """Return each character as a word."""
        return [self.part(at, at + 1) for at in range(len(self.text))]


def words(pattern: re.Pattern[str], line: str, number: int, whole: str) -> Iterator[Word]:
    """Yield the words of a line that a pattern finds."""
    return (Word(found[0], number, found.start() + 1, whole) for found in pattern.finditer(line))
