"""Documents as a DIMACS formula with an LRAT or DRAT proof.

A counting argument becomes clauses that follow by unit propagation from the rules it names.  Chains, singles, locked
candidates and pairs need one clause for each conclusion; larger sets need helper clauses, learned from the conflicts of
a search over the rules of the argument.  A rule that is a sum is spelled out in clauses with variables of their own.
Under a supposition each clause carries the negation of the supposed candidate where it rests on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations, count, islice

from deduce.errors import ExportError
from deduce.exchange.document import Document
from deduce.exchange.propagate import Antecedents, Clause, Reason, refute, same
from deduce.exchange.pseudo_boolean import ProofFiles
from deduce.exchange.replay import Replay, Supposing, true
from deduce.exchange.sums import clauses
from deduce.kernel import Constraint, Counting
from deduce.proof import Proof

__all__ = ["FORMS", "MAX_HELPERS", "to_clausal"]

FORMS = ("LRAT", "DRAT")

MAX_HELPERS = 1_000
"""How many helper clauses one counting argument may take."""

MAX_PARTS = 20_000
"""How many clauses one rule may take."""


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
        For another form, for a proof that assumes a unique solution unless `assume_unique` is set, for a rule that
        would take more than `MAX_PARTS` clauses, and for an argument that would take more than `MAX_HELPERS` clauses.
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
        self.sums: dict[tuple[int, bool], list[Clause]] = {}
        self.variables = len(self.model.names)

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
        if self.variables > len(names):
            head.append(f"c {len(names) + 1} to {self.variables} are parts of sums: the rest reaches so much")
        formula = [*head, f"p cnf {self.variables} {len(stated)}", *map(_literals, stated)]
        proof = []
        for number, line in enumerate(self.body, len(stated) + 1):
            numbers[line] = number
            if self.form == "LRAT":
                hints = "".join(f"{numbers[reason]} " for reason in line.reasons)
                proof.append(f"{number} {_literals(line)} {hints}0")
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

    def _premises(self, scope: Supposing[Clause], argument: Counting) -> Antecedents:
        """Collect what an argument may use: its bases, its covers, and facts about the candidates in them."""
        bases: list[tuple[tuple[int, ...], Reason]] = []
        covers = []
        sums: list[Clause] = []
        spoken: set[int] = set()
        for number, _ in argument.bases:
            members = self._members(number)
            spoken.update(members)
            if _unit(self.model.constraints[number], "lower"):
                bases.append((members, partial(self._rule, members)))
            else:
                sums += self._spelled(number, least=True)
        for swap, _ in argument.swaps:
            exits = tuple(map(true, swap.exits))
            spoken.update(exits)
            bases.append((exits, partial(same, self.swaps[scope.supposed, swap])))
        for number, _ in argument.covers:
            members = self._members(number)
            spoken.update(members)
            if _unit(self.model.constraints[number], "upper"):
                covers.append(members)
            else:
                sums += self._spelled(number, least=False)
        if sums:
            # What a sum says in clauses takes it that no cell holds two digits.
            cells = self.document.start.layout.cells
            covers += [self._members(cell) for cell in sorted({(literal - 1) % cells for literal in spoken})]
        live, placed = scope.position
        facts = set()
        for literal in spoken - {true(candidate) for candidate in scope.supposed}:
            if placed >> literal - 1 & 1:
                facts.add(literal)
            elif not live >> literal - 1 & 1:
                facts.add(-literal)
        return Antecedents(bases, covers, sums, facts, self._rule, lambda literal: self.known(scope, literal))

    def _members(self, number: int) -> tuple[int, ...]:
        return tuple(true(c) for c, _ in self.model.constraints[number].terms)

    def _rule(self, literals: Sequence[int]) -> Clause:
        """Return the one clause of the formula with these literals."""
        key = tuple(sorted(literals, key=abs))
        if key not in self.rules:
            self.rules[key] = Clause(key)
        return self.rules[key]

    def _spelled(self, number: int, *, least: bool) -> list[Clause]:
        """Return the clauses of the formula for one side of a rule that is a sum."""
        if (number, least) not in self.sums:
            rule = self.model.constraints[number]
            sign, bound = (1, rule.lower) if least else (-1, rule.upper)
            cells: dict[int, dict[int, int]] = {}
            for candidate, a in rule.terms:
                cells.setdefault(candidate % self.document.start.layout.cells, {})[true(candidate)] = sign * a
            parts = count(self.variables + 1)
            reach = () if bound is None else clauses([*cells.values()], sign * bound, lambda: next(parts))
            spelled = [*islice(reach, MAX_PARTS + 1)]
            self.variables = next(parts) - 1
            if len(spelled) > MAX_PARTS:
                problem = f"{rule.name!r} takes more than {MAX_PARTS:,} clauses"
                raise ExportError(self.form, problem, "export it as a pseudo-Boolean proof")
            self.sums[number, least] = [self._rule(literals) for literals in spelled]
        return self.sums[number, least]

    def _every_rule(self) -> Iterator[Clause]:
        """Yield the clauses of every rule; equal ones once."""
        stated: dict[Clause, None] = {}
        for number, rule in enumerate(self.model.constraints):
            members = self._members(number)
            if _unit(rule, "lower"):
                stated[self._rule(members)] = None
            else:
                stated.update(dict.fromkeys(self._spelled(number, least=True)))
            if _unit(rule, "upper"):
                stated.update((self._rule(pair), None) for pair in combinations([-literal for literal in members], 2))
            else:
                stated.update(dict.fromkeys(self._spelled(number, least=False)))
        return iter(stated)


def _unit(rule: Constraint, side: str) -> bool:
    """Whether a side of a constraint says "one of these"."""
    return getattr(rule, side) == 1 and all(a == 1 for _, a in rule.terms)


def _literals(clause: Clause) -> str:
    return "".join(f"{literal} " for literal in clause.literals) + "0"
