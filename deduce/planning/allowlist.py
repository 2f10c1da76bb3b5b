"""Names that planning may be given: named patterns, and nothing that is sought only where they are exhausted."""

from __future__ import annotations

from collections.abc import Iterable

from deduce.counting.names import NAMES as BEYOND
from deduce.errors import PatternError
from deduce.patterns.catalogue import NAMES, choose
from deduce.patterns.finder import Finder
from deduce.patterns.vocabulary import meant

__all__ = ["choose_patterns"]


def choose_patterns(
    patterns: Iterable[str] | None, *, assume_unique: bool = False
) -> tuple[tuple[int, Finder, frozenset[str]], ...]:
    """Return the finders for an allowlist of patterns, as `deduce.patterns.catalogue.choose` does.

    Raises
    ------
    PatternError
        For an unknown name, and for counting arguments and suppositions: a plan compares all that can be concluded in
        a position, and of those there is no end.
    TypeError
        If `patterns` is a single string.
    """
    listed = None if patterns is None else meant(patterns, assume_unique=assume_unique)
    for name in listed or ():
        if name in BEYOND:
            raise PatternError(name, NAMES, only_in="walks and claims, where every named pattern is exhausted")
    return choose(listed, assume_unique=assume_unique)
