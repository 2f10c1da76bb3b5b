"""Themes: puzzles that show a wanted pattern, how essential it is to them, and new puzzles made for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from deduce.deadline import Cancel, in_time, timed
from deduce.errors import PatternError, SeveralSolutionsError
from deduce.kernel import Position
from deduce.patterns.catalogue import NAMES, PLAIN, usual
from deduce.patterns.vocabulary import meant
from deduce.planning.allowlist import choose_patterns
from deduce.planning.bound import Rounds
from deduce.planning.plan import BUDGET, Plan, plan
from deduce.planning.terrain import Terrain
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.generate import wanted_puzzle
from deduce.walks.effort import SIMPLE, walk_effort
from deduce.walks.prune import prune
from deduce.walks.walk import Walk, walk

__all__ = ["LeftOut", "Showcase", "Showing", "themed_puzzle", "themes", "up_to"]

LeftOut = Literal["without it", "not solved", "several solutions"]
"""Why a puzzle is no theme: a walk solves it without all that is wanted, the allowed patterns do not solve it, or it
has several solutions and uniqueness was to be assumed."""


@dataclass(frozen=True, slots=True)
class Showing:
    """How a wanted pattern comes up in a puzzle.

    Parameters
    ----------
    pattern : str
        Its name.
    steps : tuple of int
        At which steps of the pruned walk, from 1.
    only_way : bool
        Whether the other allowed patterns fail to solve the puzzle without it.
    proved : bool
        Whether that no plan does without it is proved, and not only that `walk` sticks; False if it is not the only
        way.
    instead : tuple of str
        If it is not the only way, the advanced patterns of a pruned walk without it.
    peak, peak_without : int or None
        The peak effort of the pruned walk, and of the one without the pattern; None if there is none.
    """

    pattern: str
    steps: tuple[int, ...]
    only_way: bool
    proved: bool
    instead: tuple[str, ...]
    peak: int
    peak_without: int | None


@dataclass(frozen=True, slots=True)
class Showcase:
    """A puzzle whose pruned walk shows every wanted pattern.

    Parameters
    ----------
    number : int
        Which puzzle of the collection, from 1.
    walk : Walk
        The pruned walk.
    showings : tuple of Showing
        One for each wanted pattern, in the order asked for.
    """

    number: int
    walk: Walk
    showings: tuple[Showing, ...]

    @property
    def grid(self) -> Grid:
        """The puzzle."""
        return self.walk.start


def up_to(names: Iterable[str]) -> tuple[str, ...]:
    """Return the patterns of the catalogue as far as the last of these; such as assume a unique solution if listed.

    Examples
    --------
    >>> up_to(["pointing pair"])
    ('last open cell', 'hidden single', 'naked single', 'pointing pair')
    """
    listed = _known(names, assume_unique=True)
    last = max(map(NAMES.index, listed))
    return tuple(name for name in NAMES[: last + 1] if name in PLAIN or name in listed)


def themes(
    puzzles: Iterable[Grid],
    wanted: Iterable[str],
    allowed: Iterable[str] | None = None,
    *,
    simple: Iterable[str] = SIMPLE,
    assume_unique: bool = False,
    left_out: Callable[[int, LeftOut], None] = lambda _, __: None,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Iterator[Showcase]:
    """Yield the puzzles of a collection whose pruned walk shows every wanted pattern.

    Parameters
    ----------
    puzzles : iterable of Grid
        The collection.
    wanted : iterable of str
        Names of patterns.
    allowed : iterable of str, optional
        Names of the patterns that walks may use; by default all that may be used.
    simple : iterable of str
        Names of the steps that count as simple.
    assume_unique : bool
        Whether patterns may be used that hold only in a puzzle with one solution; a puzzle with several is then left
        out.
    left_out : callable
        Told the number of each puzzle that is left out, and why.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Yields
    ------
    Showcase
        In the order of the collection.  Puzzles that the allowed patterns do not solve are left out.

    Raises
    ------
    PatternError
        For an unknown name.
    OutOfTime
        Where the next puzzle would come, once the deadline has passed or the search has been cancelled.
    ValueError
        If nothing is wanted.
    """
    names, fluent = _known(wanted, assume_unique=assume_unique), meant(simple, assume_unique=assume_unique)
    everything = usual(assume_unique=assume_unique) if allowed is None else allowed
    usable = meant((*fluent, *everything, *names), assume_unique=assume_unique)
    choose_patterns(usable, assume_unique=assume_unique)

    def found() -> Iterator[Showcase]:
        for number, grid in enumerate(puzzles, 1):
            try:
                walked = walk(grid, usable, assume_unique=assume_unique)
                in_time()  # a walk that was cut says nothing about the puzzle
            except SeveralSolutionsError:
                left_out(number, "several solutions")
                continue
            pruned = prune(walked) if walked.solved and _used(walked) >= {*names} else walked
            if not walked.solved:
                left_out(number, "not solved")
            elif _used(pruned) >= {*names}:
                shown = (_showing(pruned, name, usable, fluent, assume_unique=assume_unique) for name in names)
                yield Showcase(number, pruned, tuple(shown))
            else:
                left_out(number, "without it")

    return timed(found(), seconds, cancel)


def _showing(
    pruned: Walk, name: str, allowed: tuple[str, ...], simple: tuple[str, ...], *, assume_unique: bool
) -> Showing:
    """Say where a pattern comes up, and what the puzzle is like without it."""
    steps = tuple(i for i, step in enumerate(pruned.steps, 1) if step.proof.pattern.name == name)
    peak = walk_effort(pruned, simple).peak
    others = tuple(other for other in allowed if other != name)
    other_walk = walk(pruned.start, others, assume_unique=assume_unique)
    in_time()
    if not other_walk.solved:
        proved = _no_plan(pruned.start, simple, others, assume_unique=assume_unique)
        return Showing(name, steps, True, proved, (), peak, None)
    other = walk_effort(prune(other_walk), simple)
    instead = tuple(pattern for pattern in other.patterns if pattern not in simple)
    return Showing(name, steps, False, False, instead, peak, other.peak)


def _no_plan(grid: Grid, simple: tuple[str, ...], advanced: tuple[str, ...], *, assume_unique: bool) -> bool:
    """Whether rounds show that these patterns do not solve a grid in any order."""
    terrain = Terrain(grid, [name for name in simple if name in advanced], advanced, assume_unique=assume_unique)
    rounds = Rounds(terrain)
    start = terrain.after_simple_steps(Position(grid.live, grid.true))
    return rounds.known and start is not None and rounds.least(start, 99) is None


def themed_puzzle(
    seed: int,
    wanted: Iterable[str],
    allowed: Iterable[str] | None = None,
    *,
    layout: Layout | None = None,
    symmetry: str | None = None,
    simple: Iterable[str] = SIMPLE,
    budget: int = 500,
    effort: int = BUDGET,
    assume_unique: bool = False,
) -> Plan:
    """Make a random minimal puzzle whose key shows every wanted pattern, none of which it can be solved without.

    Parameters
    ----------
    seed : int
        The same seed gives the same puzzle.
    wanted : iterable of str
        Names of patterns that must be in the key.
    allowed : iterable of str, optional
        What may be used beside them; by default everything that the catalogue holds before the last of them.
    layout : Layout, optional
        By default the 9x9 grid.
    symmetry : str, optional
        One of `deduce.solving.generate.SYMMETRIES`, for the places of the clues.
    simple : iterable of str
        Names of the steps that count as simple.
    budget : int
        How many puzzles may be looked at.
    effort : int
        How many positions the search for a puzzle's key may look at.
    assume_unique : bool
        Whether patterns may be used that hold only in a puzzle with one solution, as every puzzle made here is.

    Returns
    -------
    Plan
        The key: the plan with the fewest advanced steps, whose walk starts from the puzzle.

    Raises
    ------
    BudgetSpent
        If no puzzle came up.
    PatternError
        For an unknown name, and for a wanted one that is simple.
    ValueError
        If nothing is wanted, or for an unknown symmetry.

    Examples
    --------
    >>> made = themed_puzzle(1, ["pointing pair", "pointing triple"])
    >>> made, [str(step.proof) for step in made.advanced][:1]
    (<Plan: proved best, 3 advanced of 60 steps>, ['pointing pair: -3r2c7 -3r2c9'])
    """
    names, fluent = _known(wanted, assume_unique=assume_unique), meant(simple, assume_unique=assume_unique)
    for name in names:
        if name in fluent:
            raise PatternError(name, [other for other in NAMES if other not in fluent])
    usable = meant((*fluent, *(up_to(names) if allowed is None else allowed), *names), assume_unique=assume_unique)
    choose_patterns(usable, assume_unique=assume_unique)
    plans: list[Plan] = []

    def opened_by_them(puzzle: Grid) -> bool:
        def solves(patterns: Iterable[str]) -> bool:
            return walk(puzzle, patterns, assume_unique=assume_unique).solved

        if solves(fluent) or not solves(usable):
            return False
        if any(solves([other for other in usable if other != name]) for name in names):
            return False
        found = plan(puzzle, usable, simple=fluent, budget=effort, assume_unique=assume_unique)
        plans.append(found)
        return found.exists and {step.proof.pattern.name for step in found.advanced} >= {*names}

    wanted_puzzle(seed, opened_by_them, layout, symmetry=symmetry, budget=budget)
    return plans[-1]


def _used(walked: Walk) -> set[str]:
    """Return the names of the patterns of a walk."""
    return {step.proof.pattern.name for step in walked.steps}


def _known(names: Iterable[str], *, assume_unique: bool) -> tuple[str, ...]:
    """Return the names in the order given, each once, if the catalogue has them all."""
    listed = meant(names, assume_unique=assume_unique)
    if not listed:
        raise ValueError("no pattern is wanted; name at least one")
    choose_patterns(listed, assume_unique=assume_unique)
    return listed
