"""Effort of a step, by :mod:`deduce.effort`, and of a walk.

The effort of a walk is a profile rather than a number: its `peak`, its `total`, and its `stuck_points`, the times that
simple steps ran dry and something else was needed.  They answer different questions, whether one can do it, how long
it is, and how often one has to search.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from deduce.effort import Effort, inferred_effort
from deduce.patterns.singles import SINGLES
from deduce.proof import Proof
from deduce.walks.walk import Step, Walk

__all__ = ["SIMPLE", "Effort", "WalkEffort", "effort", "inferred_effort", "walk_effort"]

SIMPLE = SINGLES
"""The steps that count as simple unless a caller says otherwise; all others are called advanced."""


@dataclass(frozen=True, slots=True)
class WalkEffort:
    """The effort of a walk.

    Parameters
    ----------
    steps, advanced : int
        How many steps, and how many of them are not simple.
    total, peak : int
        The sum and the largest of the steps' efforts; both 0 for a walk without steps.
    stuck_points : int
        How many runs of advanced steps there are: each begins where simple steps ran dry.
    patterns : dict of str to int
        How often each pattern is used, in the order of first use.
    """

    steps: int
    advanced: int
    total: int
    peak: int
    stuck_points: int
    patterns: dict[str, int]


def effort(proof: Proof) -> Effort:
    """Return the effort of a proof.

    Examples
    --------
    >>> from deduce.patterns import find
    >>> from deduce.puzzle.grid import Grid
    >>> print(effort(next(find(Grid.parse("12.. 3... .... ...1")))))
    2 (1 house, 1 digit)
    """
    return inferred_effort(proof.grid, proof.inferences)


def walk_effort(walk: Walk | Iterable[Step], simple: Collection[str] = SIMPLE) -> WalkEffort:
    """Return the effort of a walk, or of a run of its steps.

    Parameters
    ----------
    walk : Walk or iterable of Step
        The steps.
    simple : collection of str
        Names of the patterns that count as simple.
    """
    steps = walk.steps if isinstance(walk, Walk) else tuple(walk)
    efforts = [effort(step.proof).total for step in steps]
    patterns: dict[str, int] = {}
    advanced = stuck = 0
    fluent = True
    for step in steps:
        name = step.proof.pattern.name
        patterns[name] = patterns.get(name, 0) + 1
        if name in simple:
            fluent = True
            continue
        advanced += 1
        stuck += fluent
        fluent = False
    return WalkEffort(len(steps), advanced, sum(efforts), max(efforts, default=0), stuck, patterns)
