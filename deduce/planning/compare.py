"""Compare: two walks of one puzzle side by side."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from deduce.deadline import Cancel
from deduce.errors import ClaimError
from deduce.kernel import check
from deduce.planning.plan import BUDGET, Answer, Objective, plan
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.walks.effort import SIMPLE, WalkEffort, walk_effort
from deduce.walks.prune import restated
from deduce.walks.replay import as_walk
from deduce.walks.walk import Step, Walk, walk

__all__ = ["Comparison", "against_best", "claimed_walk", "compare"]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two walks of one puzzle.

    Parameters
    ----------
    first, second : Walk
        The walks.
    names : (str, str)
        What to call them.
    part : int or None
        Before which step, from 0, they part: until then they stand in the same positions.  None if they never do.
    shared : tuple of str
        The advanced conclusions that both come to, whenever, as tokens such as ``-5r4c7``, by the order of the first.
    only_first, only_second : tuple of str
        Those that only one of them comes to.
    efforts : (WalkEffort, WalkEffort)
        What each asks for.
    """

    first: Walk
    second: Walk
    names: tuple[str, str]
    part: int | None
    shared: tuple[str, ...]
    only_first: tuple[str, ...]
    only_second: tuple[str, ...]
    efforts: tuple[WalkEffort, WalkEffort]

    @property
    def parting(self) -> tuple[Step | None, Step | None]:
        """The steps by which they part; None for a walk that has ended there."""
        if self.part is None:
            return None, None
        steps = self.first.steps, self.second.steps
        one, other = (walked[self.part] if self.part < len(walked) else None for walked in steps)
        return one, other

    @property
    def needs(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The patterns that only the first and only the second needs, in the order of first use."""
        one, other = (effort.patterns for effort in self.efforts)
        return tuple(name for name in one if name not in other), tuple(name for name in other if name not in one)


def compare(
    first: Walk, second: Walk, *, names: tuple[str, str] = ("first", "second"), simple: Collection[str] = SIMPLE
) -> Comparison:
    """Compare two walks.

    Parameters
    ----------
    first, second : Walk
        Walks from the same grid.
    names : (str, str)
        What to call them.
    simple : collection of str
        Names of the patterns that count as simple.

    Raises
    ------
    ValueError
        If they do not start from the same grid.
    """
    if first.start != second.start:
        raise ValueError("the two walks do not start from the same grid; walk the same puzzle twice")
    part = next(
        (i for i, (a, b) in enumerate(zip(first.steps, second.steps, strict=False)) if a.after != b.after), None
    )
    if part is None and len(first) != len(second):
        part = min(len(first), len(second))
    mine, yours = _advanced(first, simple), _advanced(second, simple)
    return Comparison(
        first,
        second,
        names,
        part,
        tuple(token for token in mine if token in yours),
        tuple(token for token in mine if token not in yours),
        tuple(token for token in yours if token not in mine),
        (walk_effort(first, simple), walk_effort(second, simple)),
    )


_PLANNED = {
    Answer.PROVED: "the best plan",
    Answer.FOUND: "the best plan found",
    Answer.NONE: "what the patterns reach",
    Answer.OPEN: "what the patterns reach",
}
"""What the walk of a plan is called beside another one."""


def against_best(
    walked: Walk,
    *,
    objective: Objective | str = Objective.FEWEST_STEPS,
    simple: Collection[str] = SIMPLE,
    budget: int = BUDGET,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Comparison:
    """Compare a walk, such as a setter's path, with the best plan that uses no patterns but those of the walk.

    The walks of the comparison are called ``the walk given`` and, as the search for the plan ended, ``the best plan``
    or ``the best plan found``, also where `seconds` or `cancel` cut the search; if there is
    no plan, the second is how far the patterns lead and is called so.
    """
    used = {step.proof.pattern.name for step in walked.steps}
    best = plan(
        walked.start,
        sorted(used - {*simple}),
        objective=objective,
        simple=simple,
        budget=budget,
        assume_unique=walked.assumes_unique,
        seconds=seconds,
        cancel=cancel,
    )
    return compare(walked, best.walk, names=("the walk given", _PLANNED[best.answer]), simple=simple)


def _advanced(walked: Walk, simple: Collection[str]) -> dict[str, None]:
    """Return the conclusions of advanced steps as tokens, in order."""
    found: dict[str, None] = {}
    for step in walked.steps:
        if step.proof.pattern.name not in simple:
            found.update(dict.fromkeys(step.proof.conclusion().split()))
    return found


def claimed_walk(grid: Grid, claims: Iterable[str], *, simple: Collection[str] = SIMPLE) -> Walk:
    """Return the walk along a setter's path, given as claims, with simple steps taken wherever there are any.

    Parameters
    ----------
    grid : Grid
        Where it begins.
    claims : iterable of str
        Claims as `deduce.claims.judge` reads them, such as ``"r4c7 <> 5"``, with or without a reason.  One that simple
        steps have settled by its turn is passed over.
    simple : collection of str
        Names of the steps that need no claim.

    Raises
    ------
    ClaimError
        For malformed text, and for the first claim that is not proved in its turn.
    """
    from deduce.claims.judge import judge

    proofs: list[Proof] = []
    position = grid
    for number, claim in enumerate(claims, 1):
        fluent = walk(position, simple)
        proofs += [step.proof for step in fluent.steps]
        position = fluent.grid
        verdict = judge(position, claim)
        if verdict.kind.value != "proved":
            raise ClaimError(f"claim {number}, {claim}, is {verdict.kind.value}", "give one that the position proves")
        for proof in verdict.proofs:
            moved = restated(proof, position)
            if moved is None:
                continue
            proofs.append(moved)
            position = position.moved(check(position, moved).after, moved)
    proofs += [step.proof for step in walk(position, simple).steps]
    return as_walk(grid, proofs)
