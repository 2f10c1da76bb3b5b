"""Clauses for one counting argument: unit propagation over the rules that it names, and what conflicts teach.

Where propagation stops, a candidate is chosen and what follows from it is followed to a conflict.  The clause that is
kept of a conflict does not speak of what was chosen but of the one literal through which everything of the last choice
goes, which is a statement about the position that serves in other branches too.  Without that, an argument over
interlocking houses is told again in each branch, and takes thousands of clauses instead of dozens.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial

__all__ = ["Antecedents", "Clause", "Reason", "refute", "same"]


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
class Antecedents:
    """What an argument may use.

    Parameters
    ----------
    bases : list of (tuple of int, Reason)
        The members of each constraint of which at least one is true, and what returns the clause that says so.
    covers : list of tuple of int
        The members of each constraint of which at most one is true.
    sums : list of Clause
        Clauses that spell out the other constraints.
    facts : set of int
        Literals that hold already.
    rule : callable
        From literals to the clause of the formula.
    known : callable
        From a fact to the clause that states it.
    """

    bases: list[tuple[tuple[int, ...], Reason]]
    covers: list[tuple[int, ...]]
    sums: list[Clause]
    facts: set[int]
    rule: Callable[[Sequence[int]], Clause]
    known: Callable[[int], Clause]


def same(clause: Clause) -> Clause:
    """Return the clause itself: the reason that stands already."""
    return clause


class _Trail:
    """The literals that hold under some assumptions and choices, in the order in which they came about."""

    def __init__(self, premises: Antecedents, assumed: Sequence[int]) -> None:
        self.premises = premises
        self.assumed = assumed
        self.clauses: list[tuple[tuple[int, ...], Reason]] = []
        # For each literal the clauses that lose one of theirs when it holds, and the covers that it fills.
        self.shortened: dict[int, list[int]] = {}
        self.fills: dict[int, list[tuple[int, ...]]] = {}
        # For each literal the clause that yields it, asked for only if it is used; None for an assumption or a choice.
        self.why: dict[int, Reason | None] = {}
        self.level: dict[int, int] = {}
        self.order: list[int] = []
        self.spread_to = 0
        self.choices: list[int] = []
        self.conflict: Reason | None = None
        for members in premises.covers:
            for candidate in members:
                self.fills.setdefault(candidate, []).append(members)
        for literal in sorted(premises.facts, key=abs):
            self._holds(literal, partial(premises.known, literal))
        for literal in assumed:
            if -literal in self.why:
                self.conflict = self.conflict or self.why[-literal]
            else:
                self._holds(literal, None)
        for members, reason in premises.bases:
            self._add(members, reason)
        for clause in premises.sums:
            self._add(clause.literals, partial(same, clause))

    def _holds(self, literal: int, reason: Reason | None) -> None:
        """Note a literal and the clause that yields it; the first clause that cannot be met is the conflict."""
        if literal in self.why or self.conflict:
            return
        if -literal in self.why:
            self.conflict = reason
            return
        self.why[literal] = reason
        self.level[literal] = len(self.choices)
        self.order.append(literal)

    def _add(self, literals: tuple[int, ...], reason: Reason) -> None:
        """Take in a clause and what it yields here."""
        for literal in literals:
            self.shortened.setdefault(-literal, []).append(len(self.clauses))
        self.clauses.append((literals, reason))
        self._look(literals, reason)

    def _look(self, literals: tuple[int, ...], reason: Reason) -> None:
        """Note what a clause yields: a literal if it is the last, a conflict if there is none."""
        last = None
        for literal in literals:
            if -literal not in self.why:
                if last is not None or literal in self.why:
                    return
                last = literal
        if last is not None:
            self._holds(last, reason)
        elif not self.conflict:
            self.conflict = reason

    def spread(self) -> None:
        """Propagate until nothing new follows or a rule cannot be met."""
        rule = self.premises.rule
        while self.spread_to < len(self.order) and not self.conflict:
            literal = self.order[self.spread_to]
            self.spread_to += 1
            for members in self.fills.get(literal, ()):
                for other in members:
                    if other != literal:
                        self._holds(-other, partial(rule, (-literal, -other)))
            for number in self.shortened.get(literal, ()):
                self._look(*self.clauses[number])

    def choose(self) -> None:
        """Suppose the first candidate of an unmet base with the fewest left; if all are met, a part of a sum."""
        best: list[int] = []
        for listed in ([members for members, _ in self.premises.bases], [c.literals for c in self.premises.sums]):
            for members in () if best else listed:
                if any(a in self.why for a in members):
                    continue
                open_ = [a for a in members if -a not in self.why]
                if not best or len(open_) < len(best):
                    best = open_
        if not best:
            raise AssertionError("the kernel accepted an argument that its own rules do not prove")
        self.choices.append(len(self.order))
        self._holds(best[0], None)

    def clause(self, ends: Collection[int] = ()) -> Clause:
        """Return the clause that the conflict proves: some assumptions and the `ends` cannot hold together."""
        last = self._stated(self.conflict)
        needed = {-other for other in last.literals}
        reasons = [last]
        for literal in reversed(self.order):
            yields = self.why[literal]
            if literal in needed and literal not in ends and yields is not None:
                reasons.append(yields())
                needed.update(-other for other in reasons[-1].literals if other != literal)
        used = [literal for literal in self.assumed if literal in needed]
        return Clause(tuple(-literal for literal in (*used, *sorted(ends, key=abs))), tuple(reversed(reasons)))

    def learn(self) -> Clause:
        """Learn from the conflict, take back the choices that it does not rest on, and go on from there."""
        latest = len(self.choices)
        seen: set[int] = set()
        clause, at, ways = self._stated(self.conflict), len(self.order), 0
        while True:
            fresh = {-other for other in clause.literals if self.level.get(-other)} - seen
            seen |= fresh
            ways += sum(self.level[literal] == latest for literal in fresh)
            at = next(place for place in range(at - 1, -1, -1) if self.order[place] in seen)
            if ways == 1:
                break  # everything of the latest choice goes through this literal
            ways -= 1
            clause = self._stated(self.why[self.order[at]])
        through = self.order[at]
        ends = {literal for literal in seen if self.level[literal] < latest and not self._implied(literal, seen)}
        learned = self.clause({through, *ends})
        back = max((self.level[literal] for literal in ends), default=0)
        for literal in self.order[self.choices[back] :]:
            del self.why[literal], self.level[literal]
        del self.order[self.choices[back] :], self.choices[back:]
        self.spread_to, self.conflict = len(self.order), None
        self._add(learned.literals, partial(same, learned))
        return learned

    def _implied(self, literal: int, seen: set[int]) -> bool:
        """Whether a literal follows from others of some, so that a clause need not speak of it."""
        yields = self.why[literal]
        if yields is None:
            return False
        return all(-o in seen or not self.level[-o] for o in yields().literals if o != literal)

    @staticmethod
    def _stated(reason: Reason | None) -> Clause:
        if reason is None:
            raise AssertionError("there is no reason to learn from")
        return reason()


def refute(premises: Antecedents, assumed: Sequence[int], most: int) -> list[Clause] | None:
    """Return clauses that end in one without any literal but negations of the assumptions.

    Parameters
    ----------
    premises : Antecedents
        From which it must follow that the assumptions do not hold together.
    assumed : sequence of int
        The assumptions.
    most : int
        How many clauses may be made.

    Returns
    -------
    list of Clause or None
        Each rests on premises and on those before it, and none is left that the last does not need; None if more
        would have to be made.
    """
    trail = _Trail(premises, assumed)
    made: list[Clause] = []
    trail.spread()
    while trail.conflict is None or trail.choices:
        if trail.conflict is None:
            trail.choose()
        elif len(made) + 1 < most:
            made.append(trail.learn())
        else:
            return None
        trail.spread()
    made.append(trail.clause())
    needed = {made[-1]}
    for clause in reversed(made):
        if clause in needed:
            needed.update(clause.reasons)
    return [clause for clause in made if clause in needed]
