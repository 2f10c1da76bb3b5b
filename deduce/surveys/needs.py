"""The smallest sets of patterns that solve a puzzle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from deduce.positions import bits
from deduce.solving.hitting import hitting_also
from deduce.surveys.choice import chosen, ordered
from deduce.surveys.sweep import Explorer
from deduce.walks.walk import Outcome

__all__ = ["PatternNeeds", "Spent", "pattern_needs"]


@dataclass(frozen=True, slots=True)
class PatternNeeds:
    """Which sets of patterns solve a puzzle, beside those that are known to begin with.

    Parameters
    ----------
    sets : tuple of tuple of str
        Each set solves the puzzle, and would not without one of its patterns.  One empty set: the known patterns do.
        No set at all: not even all patterns do.
    complete : bool
        Whether these are all; otherwise the budget was spent.
    """

    sets: tuple[tuple[str, ...], ...]
    complete: bool


class Spent(Exception):  # noqa: N818 - it says what happened, not that something is wrong
    """No further set may be tried, or held."""


def pattern_needs(explorer: Explorer, known: Sequence[str], patterns: Sequence[str], limit: int) -> PatternNeeds:
    """Find all smallest sets of patterns that solve a puzzle.

    Parameters
    ----------
    explorer : Explorer
        The walks of the puzzle.
    known : sequence of str
        Patterns that every set may use; they are not listed.
    patterns : sequence of str
        The patterns to choose from.
    limit : int
        How many sets may be walked before the search gives up.

    Returns
    -------
    PatternNeeds
        The sets in order of size, then of the catalogue.

    Notes
    -----
    Every listed set has been walked to the solution.  That there are no others, and that none can do with less, is
    concluded from sets that do not solve, on the assumption that a pattern more never takes a solution away.  (It can,
    in rare positions, from sets with holes, such as triples without pairs.)

    Sets are found in turns: a smallest set that hits every set found so far is taken away from all patterns; if the
    rest still solves, it holds a new set; if no hitting set is left untried, there is nothing more to find.
    """
    every = [name for name in ordered(patterns) if name not in known]
    number = {name: i for i, name in enumerate(every)}
    known = ordered(known)
    used: dict[int, int] = {}
    failed: list[int] = []

    def solved_by(wanted: int) -> int:
        """Return which patterns of a set are used in solving, or -1 if it does not solve."""
        if wanted not in used:
            if any(not wanted & ~more for more in failed):
                return -1
            if len(used) == limit:
                raise Spent
            course = explorer.walk(chosen((*known, *(every[i] for i in bits(wanted)))))
            names = {move.pattern for move in course.moves if move.pattern in number}
            if course.outcome is Outcome.SOLVED:
                used[wanted] = sum(1 << number[name] for name in names)
            else:
                used[wanted] = -1
                failed.append(wanted)
        return used[wanted]

    found: list[int] = []
    complete = True
    try:
        _turns((1 << len(every)) - 1, solved_by, found)
    except Spent:
        complete = False
    found.sort(key=lambda wanted: (wanted.bit_count(), bits(wanted)))
    return PatternNeeds(tuple(tuple(every[i] for i in bits(wanted)) for wanted in found), complete)


def _turns(everything: int, solved_by: Callable[[int], int], found: list[int]) -> None:
    """Append each smallest solving set to `found`."""
    if solved_by(everything) < 0:
        return
    hitting = [0]
    tried: set[int] = set()
    while True:
        open_ = [hit for hit in hitting if hit not in tried]
        if not open_:
            return
        hit = min(open_, key=lambda hit: (hit.bit_count(), hit))
        tried.add(hit)
        if solved_by(everything & ~hit) >= 0:
            found.append(_shrunk(everything & ~hit, solved_by))
            more = hitting_also(hitting, found[-1])
            if more is None:
                raise Spent
            hitting = more


def _shrunk(wanted: int, solved_by: Callable[[int], int]) -> int:
    """Return a solving set inside a solving one, such that none of its patterns can be left out, hard ones tried first.

    What a walk has used solves by itself: it takes the same steps.
    """
    kept = solved_by(wanted)
    if solved_by(kept) < 0:
        kept = wanted
    shrinking = True
    while shrinking:
        shrinking = False
        for i in reversed(bits(kept)):
            less = kept & ~(1 << i)
            if kept >> i & 1 and solved_by(less) >= 0:
                kept = less
                shrinking = True
    return kept
