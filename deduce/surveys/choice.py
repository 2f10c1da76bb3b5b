"""Which deductions a set of pattern names allows, in the order in which a walk asks for them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from deduce.counting.names import NAMES as BEYOND
from deduce.patterns import PLAIN, choose
from deduce.patterns.finder import Finder
from deduce.patterns.vocabulary import meant
from deduce.surveys.refutation import FINDER as REFUTATION_FINDER, REFUTATION

__all__ = ["BEYOND", "ORDER", "Choice", "chosen", "ordered", "patterns_of"]

ORDER: tuple[str, ...] = (*PLAIN, REFUTATION, *BEYOND)
"""Every name that a level may list: the catalogue, refutation by singles, and what goes beyond both."""


class Choice(NamedTuple):
    """What a walk may use.

    Parameters
    ----------
    finders : tuple
        Finders in the order of the catalogue, with their numbers and wanted names; refutation last.
    beyond : tuple of str
        Which of `deduce.counting.PLAIN` are allowed where no finder sees anything.
    """

    finders: tuple[tuple[int, Finder, frozenset[str]], ...]
    beyond: tuple[str, ...]


def ordered(patterns: Iterable[str]) -> tuple[str, ...]:
    """Return pattern names in the order in which they are tried, each once.

    Raises
    ------
    PatternError
        For an unknown name.
    TypeError
        If `patterns` is a single string.
    """
    wanted = frozenset(meant(patterns, BEYOND))
    choose(wanted, (REFUTATION, *BEYOND))  # refuses unknown names
    return tuple(name for name in ORDER if name in wanted)


def patterns_of(names: Iterable[str]) -> tuple[str, ...]:
    """Return the names among some that are found by looking for them: not counting arguments and suppositions."""
    return tuple(name for name in names if name not in BEYOND)


def chosen(patterns: Iterable[str]) -> Choice:
    """Return what a set of names allows.

    Raises
    ------
    PatternError
        For an unknown name.
    """
    names = ordered(patterns)
    finders = choose(names, (REFUTATION, *BEYOND))
    if REFUTATION in names:
        finders = (*finders, (-1, REFUTATION_FINDER, frozenset({REFUTATION})))
    return Choice(finders, tuple(name for name in BEYOND if name in names))
