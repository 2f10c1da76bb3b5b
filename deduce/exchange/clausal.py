"""Documents as a DIMACS formula with an LRAT or DRAT proof.

A counting argument becomes clauses that follow by unit propagation from the rules it names.  Chains, singles, locked
candidates and pairs need one clause for each conclusion; larger sets need helper clauses, learned from the conflicts of
a search over the rules of the argument.  Under a supposition each clause carries the negation of the supposed candidate
where it rests on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations

from deduce.errors import ExportError
from deduce.exchange.document import Document
from deduce.exchange.propagate import Antecedents, Clause, Reason, refute, same
from deduce.exchange.pseudo_boolean import ProofFiles
from deduce.exchange.replay import Replay, Supposing, true
from deduce.kernel import Constraint, Counting
from deduce.proof import Proof

__all__ = ["FORMS", "MAX_HELPERS", "to_clausal"]

FORMS = ("LRAT", "DRAT")

MAX_HELPERS = 1_000
"""How many helper clauses one counting argument may take."""


def to_clausal(
    document: Document, *, form: str = "LRAT", premises_only: bool = False, assume_unique: bool = False
) -> ProofFiles:
    """Return a document as a DIMACS formula and a clausal proof of its steps.

    Parameters
    ----------
    document : Document
        Its steps are checked by the kernel first.
    form : str
        ``"LRAT"``, which names the reasons of each clause in order, or ``"DRAT"``, which leaves them to the checker.
    premises_only : bool
        Leave out of the formula what the proof does not use; by default the formula holds every rule of the puzzle.
    assume_unique : bool
        State each swap (an argument from the uniqueness of the solution) as a further axiom, marked as such.

    Returns
    -------
    ProofFiles
        Every conclusion of a step is a unit clause of the proof.  A document that ends in a contradiction ends in the
        empty clause; otherwise the proof is a derivation.

    Raises
    ------
    ProofError
        For a step that the kernel refuses.
    ExportError
        For another form, for a proof that assumes a unique solution unless `assume_unique` is set, for one that adds
        up a rule other than "exactly one", "at least one" or "at most one", and for an argument that would take more
        than `MAX_HELPERS` clauses.
    """
    if form not in FORMS:
        raise ExportError(f"the form {form!r}", "it is not written here", f"take {' or '.join(FORMS)}")
    return _Clausal(document, form, assume_unique=assume_unique).files(premises_only=premises_only)


class _Clausal(Replay[Clause]):
    """Collects clauses with their reasons; they are numbered at the end."""

    def __init__(self, document: Document, form: str, *, assume_unique: bool) -> None:
        super().__init__(document, assume_unique=assume_unique)
        self.form = form
        self.body: list[Clause] = []
        self.axioms: list[Clause] = []
        self.rules: dict[tuple[int, ...], Clause] = {}

    def files(self, *, premises_only: bool) -> ProofFiles:
        """Go through the document, then number the clauses."""
        self.run()
        if premises_only:
            used = {reason for line in self.body for reason in line.reasons}
            stated = [clause for clause in (*self.rules.values(), *self.axioms) if clause in used]
        else:
            stated = [*self._every_rule(), *self.axioms]
        numbers = {clause: number for number, clause in enumerate(stated, 1)}
        names = self.model.names
        head = [f"c {c + 1} is {name}" for c, name in enumerate(names)] if not premises_only else []
        head += [
            f"c {' '.join(map(str, clause.literals))}: {clause.note}" for clause in self.axioms if clause in numbers
        ]
        formula = [*head, f"p cnf {len(names)} {len(stated)}", *map(_literals, stated)]
        proof = []
        count = len(stated)
        for line in self.body:
            count += 1
            numbers[line] = count
            if self.form == "LRAT":
                hints = "".join(f"{numbers[reason]} " for reason in line.reasons)
                proof.append(f"{count} {_literals(line)} {hints}0")
            else:
                proof.append(_literals(line))
        return ProofFiles("\n".join(formula) + "\n", "".join(f"{line}\n" for line in proof))

    def axiom(self, literal: int, why: str) -> Clause:
        """State a unit clause in the formula, with its source."""
        self.axioms.append(Clause((literal,), note=f"{self.model.names[abs(literal) - 1]}, {why}"))
        return self.axioms[-1]

    def swap_axiom(self, literals: tuple[int, ...]) -> Clause:
        """State that one of these literals holds."""
        self.axioms.append(Clause(literals, note="an axiom beyond the rules: true only if there is one solution"))
        return self.axioms[-1]

    def announce(self, number: int, proof: Proof) -> None:
        """Write nothing: not every checker of these formats reads comments in a proof."""

    def counted(self, scope: Supposing[Clause], argument: Counting, literals: tuple[int, ...]) -> list[Clause]:
        """Write a clause for each conclusion, after the helpers that it takes."""
        if self._bars(argument) and literals and not scope.supposed:
            # "None of these" is a clause of the formula for each of them.
            return [self._rule((literal,)) for literal in literals]
        premises = self._premises(scope, argument)
        supposed = tuple(map(true, scope.supposed))
        found = []
        for literal in literals or (None,):
            assumed = supposed if literal is None else (*supposed, -literal)
            clauses = refute(premises, assumed, MAX_HELPERS)
            if clauses is None:
                problem = f"one argument would take more than {MAX_HELPERS:,} helper clauses"
                raise ExportError(self.form, problem, "export it as a pseudo-Boolean proof")
            self.body += clauses
            found.append(clauses[-1] if literal is None else self._wide(clauses[-1], literal))
        return found

    def refuted(self, scope: Supposing[Clause], candidate: int, contradiction: Clause) -> Clause:  # noqa: ARG002
        """Take the contradiction itself: it holds the negation of what was supposed."""
        return self._wide(contradiction, -true(candidate))

    def _wide(self, clause: Clause, literal: int) -> Clause:
        """Return a clause that holds a literal, for which a contradiction may have had no use."""
        if literal in clause.literals:
            return clause
        self.body.append(Clause((*clause.literals, literal), (clause,)))
        return self.body[-1]

    def _bars(self, argument: Counting) -> bool:
        """Whether an argument is one constraint that says "none of these"."""
        if argument.bases or argument.swaps or len(argument.covers) != 1:
            return False
        return _none(self.model.constraints[argument.covers[0][0]])

    def _premises(self, scope: Supposing[Clause], argument: Counting) -> Antecedents:
        """Collect what an argument may use: its bases, its covers, and facts about the candidates in them."""
        for name, listed, side in (("base", argument.bases, "lower"), ("cover", argument.covers, "upper")):
            for number, _ in listed:
                rule = self.model.constraints[number]
                if getattr(rule, side) != 1 or any(a != 1 for _, a in rule.terms):
                    problem = f"the {name} {rule.name!r} does not say that one candidate is true"
                    raise ExportError(self.form, problem, "export it as a pseudo-Boolean proof")
        bases: list[tuple[tuple[int, ...], Reason]] = []
        for number, _ in argument.bases:
            bases.append((self._members(number), partial(self._rule, self._members(number))))
        for swap, _ in argument.swaps:
            axiom = self.swaps[scope.supposed, swap]
            bases.append((tuple(map(true, swap.exits)), partial(same, axiom)))
        covers = [self._members(number) for number, _ in argument.covers]
        live, placed = scope.position
        supposed = {true(candidate) for candidate in scope.supposed}
        facts = set()
        for literal in {literal for members in (*(m for m, _ in bases), *covers) for literal in members} - supposed:
            if placed >> literal - 1 & 1:
                facts.add(literal)
            elif not live >> literal - 1 & 1:
                facts.add(-literal)
        return Antecedents(bases, covers, facts, self._rule, lambda literal: self.known(scope, literal))

    def _members(self, number: int) -> tuple[int, ...]:
        return tuple(true(c) for c, _ in self.model.constraints[number].terms)

    def _rule(self, literals: Sequence[int]) -> Clause:
        """Return the one clause of the formula with these literals."""
        key = tuple(sorted(literals, key=abs))
        if key not in self.rules:
            self.rules[key] = Clause(key)
        return self.rules[key]

    def _every_rule(self) -> Iterator[Clause]:
        """Yield the clauses of every rule that clauses can express; equal ones once."""
        seen = set()
        for number, rule in enumerate(self.model.constraints):
            members = self._members(number)
            if any(a != 1 for _, a in rule.terms):
                continue
            wanted = [members] if rule.lower == 1 else []
            if _none(rule):
                wanted += [(-literal,) for literal in members]
            if rule.upper == 1:
                wanted += combinations([-literal for literal in members], 2)
            for literals in wanted:
                clause = self._rule(literals)
                if clause not in seen:
                    seen.add(clause)
                    yield clause


def _none(rule: Constraint) -> bool:
    """Whether a constraint says "none of these"."""
    return rule.upper == 0 and rule.lower in (None, 0) and all(a == 1 for _, a in rule.terms)


def _literals(clause: Clause) -> str:
    return "".join(f"{literal} " for literal in clause.literals) + "0"
