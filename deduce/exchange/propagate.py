"""Unit propagation over the rules that one counting argument names, with the reasons in order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial

__all__ = ["Clause", "Premises", "Reason", "refute"]


@dataclass(frozen=True, slots=True, eq=False)
class Clause:
    """A clause, the same only as itself.

    Parameters
    ----------
    literals : tuple of int
        As DIMACS writes them.
    reasons : tuple of Clause
        Those that yield it: once its literals are assumed false, each leaves one literal, and the last leaves none.
        Empty for a clause of the formula.
    note : str
        Where an axiom comes from.
    """

    literals: tuple[int, ...]
    reasons: tuple[Clause, ...] = ()
    note: str = ""


Reason = Callable[[], Clause]


@dataclass(frozen=True, slots=True)
class Premises:
    """What an argument may use.

    Parameters
    ----------
    bases : list of (tuple of int, Reason)
        The members of each constraint of which at least one is true, and what returns the clause that says so.
    covers : list of tuple of int
        The members of each constraint of which at most one is true.
    facts : set of int
        Literals that hold already.
    rule : callable
        From literals to the clause of the formula.
    known : callable
        From a fact to the clause that states it.
    """

    bases: list[tuple[tuple[int, ...], Reason]]
    covers: list[tuple[int, ...]]
    facts: set[int]
    rule: Callable[[Sequence[int]], Clause]
    known: Callable[[int], Clause]


@dataclass(slots=True)
class _Budget:
    """How many clauses may still be made."""

    left: int
    made: list[Clause] = field(default_factory=list)


class _Trail:
    """The literals that hold under some assumptions, in the order in which they came about."""

    def __init__(self, premises: Premises, assumed: Sequence[int]) -> None:
        self.premises = premises
        self.assumed = assumed
        # For each literal the clause that yields it, asked for only if it is used; None for an assumption.
        self.why: dict[int, Reason | None] = {}
        self.order: list[int] = []
        self.conflict: Reason | None = None
        for literal in sorted(premises.facts, key=abs):
            self._holds(literal, partial(premises.known, literal))
        for literal in assumed:
            if -literal in self.why:
                self.conflict = self.conflict or self.why[-literal]
            else:
                self._holds(literal, None)

    def _holds(self, literal: int, reason: Reason | None) -> None:
        """Note a literal and the clause that yields it; the first clause that cannot be met is the conflict."""
        if literal in self.why or self.conflict:
            return
        if -literal in self.why:
            self.conflict = reason
            return
        self.why[literal] = reason
        self.order.append(literal)

    def learn(self, clause: Clause, literal: int) -> None:
        """Add what a helper clause yields here: a literal, or a conflict if it does not hold that literal."""
        if literal in clause.literals:
            self._holds(literal, lambda: clause)
        elif not self.conflict:
            self.conflict = lambda: clause

    def spread(self) -> None:
        """Propagate until nothing new follows or a rule cannot be met."""
        rule = self.premises.rule
        moving = True
        while moving and not self.conflict:
            before = len(self.order)
            for members in self.premises.covers:
                for a in [a for a in members if a in self.why][:1]:
                    for b in members:
                        if b != a:
                            self._holds(-b, partial(rule, (-a, -b)))
            for members, reason in self.premises.bases:
                open_ = [a for a in members if -a not in self.why]
                if not open_ and not self.conflict:
                    self.conflict = reason
                elif len(open_) == 1:
                    self._holds(open_[0], reason)
            moving = len(self.order) > before

    def choice(self) -> int | None:
        """Return a candidate to branch on: the first of an unmet base with the fewest left."""
        best: list[int] = []
        for members, _ in self.premises.bases:
            if any(a in self.why for a in members):
                continue
            open_ = [a for a in members if -a not in self.why]
            if not best or len(open_) < len(best):
                best = open_
        return best[0] if best else None

    def clause(self) -> Clause:
        """Return the clause that the conflict proves: some of the assumptions cannot hold together."""
        if self.conflict is None:
            raise AssertionError("there is no conflict to learn from")
        last = self.conflict()
        needed = {-other for other in last.literals}
        reasons = [last]
        for literal in reversed(self.order):
            yields = self.why[literal]
            if literal in needed and yields is not None:
                reasons.append(yields())
                needed.update(-other for other in reasons[-1].literals if other != literal)
        return Clause(tuple(-literal for literal in self.assumed if literal in needed), tuple(reversed(reasons)))


def refute(premises: Premises, assumed: Sequence[int], most: int) -> list[Clause] | None:
    """Return clauses that end in one without any literal but negations of the assumptions.

    Parameters
    ----------
    premises : Premises
        From which it must follow that the assumptions do not hold together.
    assumed : sequence of int
        The assumptions.
    most : int
        How many clauses may be made.

    Returns
    -------
    list of Clause or None
        None if more would be needed.
    """
    budget = _Budget(most)
    final = _refute(premises, tuple(assumed), budget)
    if final is None:
        return None
    return budget.made


def _refute(premises: Premises, assumed: tuple[int, ...], budget: _Budget) -> Clause | None:
    trail = _Trail(premises, assumed)
    trail.spread()
    while trail.conflict is None:
        branch = trail.choice()
        if branch is None:
            raise AssertionError("the kernel accepted an argument that its own rules do not prove")
        helper = _refute(premises, (*assumed, branch), budget)
        if helper is None:
            return None
        trail.learn(helper, -branch)
        trail.spread()
    if not budget.left:
        return None
    budget.left -= 1
    clause = trail.clause()
    budget.made.append(clause)
    return clause
