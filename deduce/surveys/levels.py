"""Levels: named sets of patterns whose reach a survey measures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from deduce.errors import PatternError
from deduce.patterns import PLAIN
from deduce.patterns.locked import LOCKED
from deduce.patterns.singles import HIDDEN, NAKED, SINGLES
from deduce.patterns.vocabulary import EVERY_PATTERN, EVERYTHING, FAMILIES, VOCABULARY
from deduce.surveys.choice import BEYOND, ordered
from deduce.surveys.refutation import REFUTATION

__all__ = ["EVERYTHING", "EVERY_PATTERN", "LADDER", "LOCKED", "REFUTATION_LEVEL", "SINGLES", "SUBSETS", "Level"]
__all__ += ["cumulative", "levels_of", "with_each", "without_each"]

SUBSETS = FAMILIES["subsets"]

LADDER = (
    "naked singles",
    "singles",
    "singles and locked",
    "singles and subsets",
    "singles, locked and subsets",
    "locked, subsets and basic fish",
    EVERY_PATTERN,
    EVERYTHING,
)
"""The usual ladder of levels, words of the vocabulary of patterns."""


@dataclass(frozen=True, slots=True)
class Level:
    """A set of patterns under a name.

    Parameters
    ----------
    name : str
        What tables call it; two levels of the same patterns are the same level to the store.
    patterns : tuple of str
        In the order of the catalogue; `refutation by singles` may follow, then `counting argument` and `supposition`.
    """

    name: str
    patterns: tuple[str, ...]

    @classmethod
    def of(cls, name: str, patterns: Iterable[str]) -> Level:
        """Return a level from pattern names in any order.

        Raises
        ------
        PatternError
            For a name that the catalogue lacks.
        TypeError
            If `patterns` is a single string.
        """
        return cls(name, ordered(patterns))


REFUTATION_LEVEL = Level("refutation of one candidate by singles", (HIDDEN, NAKED, REFUTATION))
"""Suppose one candidate, follow singles to a contradiction, and so on until nothing more falls.

Last open cells are left to the hidden singles, so that a survey of few patterns gets no further name by this level.
"""


def cumulative(patterns: Iterable[str] | None = None) -> tuple[Level, ...]:
    """Return the usual ladder of levels, each cut down to the given patterns; empty and repeated levels are left out.

    Parameters
    ----------
    patterns : iterable of str, optional
        The patterns of the last level, `everything`; by default the whole catalogue, counting arguments and
        suppositions, with which nearly every puzzle comes out.

    Examples
    --------
    >>> [level.name for level in cumulative()][-3:]
    ['locked, subsets and basic fish', 'every pattern', 'everything']
    >>> [level.name for level in cumulative(["naked single", "naked pair", "X-wing"])]
    ['naked singles', 'singles and subsets', 'everything']
    """
    every = ordered((*PLAIN, *BEYOND) if patterns is None else patterns)
    found: dict[tuple[str, ...], str] = {}
    for name in LADDER:
        allowed = tuple(pattern for pattern in every if name == EVERYTHING or pattern in VOCABULARY[name])
        if allowed and (allowed != every or name == EVERYTHING):
            found.setdefault(allowed, name)
    return tuple(Level(name, allowed) for allowed, name in found.items())


def without_each(base: Iterable[str] = SINGLES, patterns: Iterable[str] | None = None) -> tuple[Level, ...]:
    """Return for each pattern outside the base the level that has all patterns but this one."""
    known = ordered(base)
    every = ordered(PLAIN if patterns is None else patterns)
    return tuple(Level(f"without {name}", tuple(p for p in every if p != name)) for name in every if name not in known)


def with_each(base: Iterable[str] = SINGLES, patterns: Iterable[str] | None = None) -> tuple[Level, ...]:
    """Return the base as a level, and for each other pattern the level that adds only this one to it."""
    known = ordered(base)
    every = ordered(PLAIN if patterns is None else patterns)
    added = (Level(f"base with {name}", ordered((*known, name))) for name in every if name not in known)
    return (Level("base", known), *added)


def levels_of(
    levels: Mapping[str, Iterable[str]] | Sequence[Level | str] | None, patterns: Iterable[str] | None = None
) -> tuple[Level, ...]:
    """Return levels from a mapping from names to patterns, levels or words of the vocabulary; None is the usual ladder.

    Raises
    ------
    PatternError
        For a pattern that the catalogue lacks, or one outside `patterns`.
    ValueError
        If two levels have the same name, or there is none.
    """
    if levels is None:
        return cumulative(patterns)
    named = ((level, (level,)) if isinstance(level, str) else (level.name, level.patterns) for level in levels)
    items = levels.items() if isinstance(levels, Mapping) else named
    found = tuple(Level.of(name, members) for name, members in items)
    if not found:
        raise ValueError("levels is empty; give at least one level, or None for the usual ladder")
    names = [level.name for level in found]
    if len(set(names)) != len(names):
        raise ValueError(f"two levels have the same name among {names}")
    if patterns is not None:
        allowed = ordered(patterns)
        outside = [p for level in found for p in level.patterns if p not in allowed]
        if outside:
            raise PatternError(outside[0], allowed)
    return found
