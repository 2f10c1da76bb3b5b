"""How hard a step counts: by the place of its pattern in the catalogue, then by its effort."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deduce.surveys.choice import ORDER
from deduce.surveys.sweep import Move

__all__ = ["by_rank", "hardest_of", "rank"]

_RANKS = {name: place for place, name in enumerate(ORDER)}


def rank(pattern: str) -> int:
    """Return the place of a pattern in the catalogue; what is beyond it comes last, a contradiction first."""
    return _RANKS.get(pattern, -1)


def by_rank(patterns: Iterable[str]) -> list[str]:
    """Return names in the order of the catalogue."""
    return sorted(patterns, key=lambda name: (rank(name), name))


def hardest_of(moves: Sequence[Move]) -> int | None:
    """Return which step is hardest, from 0; the first of equals, None if there is no step."""
    return max(range(len(moves)), key=lambda i: (rank(moves[i].pattern), moves[i].effort, -i), default=None)
