"""Documents as an OPB file with a pseudo-Boolean proof.

Every counting argument is one ``pol`` line: bases enter by their at-least side, covers by their at-most side, what is
known of other candidates as unit constraints; then everything but the conclusion is weakened away and the rest is
divided.  Where an argument concludes several things, their common sum is one line and each conclusion a further one.

Under a supposition every line carries the negation of the supposed candidate along as one more literal, so that the
line holds with or without it; the contradiction at the end leaves nothing but that literal.  So no line depends on a
scope, and a checker needs no rule beyond addition, weakening and division.
"""

from __future__ import annotations

from dataclasses import dataclass

from deduce.errors import ExportError
from deduce.exchange.document import Document
from deduce.exchange.pol import Known, Sum, at_least, at_most, print_constraint
from deduce.exchange.replay import Replay, Supposing, true
from deduce.kernel import Counting
from deduce.proof import Proof

__all__ = ["PROOF_VERSIONS", "ProofFiles", "to_pseudo_boolean"]

PROOF_VERSIONS = ("3.0", "1.2")


@dataclass(frozen=True, slots=True)
class ProofFiles:
    """A formula and a proof about it, each the text of a file.

    Parameters
    ----------
    formula : str
        What is taken for granted: the rules, the givens, and, marked as such, what else the position rests on.
    proof : str
        What follows from it.
    """

    formula: str
    proof: str


def to_pseudo_boolean(document: Document, *, version: str = "3.0", assume_unique: bool = False) -> ProofFiles:
    """Return a document as an OPB file and a pseudo-Boolean proof of its steps.

    Parameters
    ----------
    document : Document
        Its steps are checked by the kernel first.
    version : str
        Of the proof format: ``"3.0"`` or ``"1.2"``.
    assume_unique : bool
        State each swap (an argument from the uniqueness of the solution) as a further axiom, marked as such.

    Returns
    -------
    ProofFiles
        In the proof each conclusion is compared with the line that derives it (``e``).  A document that ends in a
        contradiction ends in its line; otherwise the proof is a derivation without a final verdict.

    Raises
    ------
    ProofError
        For a step that the kernel refuses.
    ExportError
        For another version, and for a proof that assumes a unique solution unless `assume_unique` is set.

    Notes
    -----
    Variable ``x1`` is candidate 0 of the layout's model; comments in the OPB file name them all.
    """
    if version not in PROOF_VERSIONS:
        raise ExportError(f"pseudo-Boolean proof version {version}", "it is not written here", "take 3.0 or 1.2")
    return _PseudoBoolean(document, version, assume_unique=assume_unique).files()


class _PseudoBoolean(Replay[Known]):
    """Writes both files while it goes through the document."""

    form = "a pseudo-Boolean proof"

    def __init__(self, document: Document, version: str, *, assume_unique: bool) -> None:
        super().__init__(document, assume_unique=assume_unique)
        self.modern = version == "3.0"
        self.version = version
        self.rules: list[str] = []
        self.lines: list[str] = []
        self.count = 0
        self.stated = 0
        self.at_least: dict[int, Known] = {}
        self.at_most: dict[int, Known] = {}

    def files(self) -> ProofFiles:
        """Go through the document."""
        comments = [f"* x{c + 1} is {name}" for c, name in enumerate(self.model.names)]
        for number, constraint in enumerate(self.model.constraints):
            self.rules.append(f"* {constraint.name}")
            for sides, side in ((self.at_least, at_least), (self.at_most, at_most)):
                known = side(self.count + 1, constraint)
                if known is not None:
                    sides[number] = known
                    self._rule(known)
        ending = self.run()
        head = f"* #variable= {len(self.model.names)} #constraint= {self.stated}"
        formula = "\n".join([head, *comments, *self.rules]) + "\n"
        end = ";" if self.modern else ""
        proof = [f"pseudo-Boolean proof version {self.version}", f"f {self.stated} {end}".rstrip(), *self.lines]
        if self.modern:
            proof += ["output NONE ;"]
            proof += ["conclusion NONE ;" if ending is None else f"conclusion UNSAT : {ending.line} ;"]
            proof += ["end pseudo-Boolean proof ;"]
        elif ending is not None:
            proof.append(f"c {ending.line}")
        return ProofFiles(formula, "\n".join(proof) + "\n")

    def _rule(self, known: Known) -> None:
        self.rules.append(f"{print_constraint(known)} ;")
        self.count += 1
        self.stated += 1

    def axiom(self, literal: int, why: str) -> Known:
        """State a unit constraint in the formula, with its source."""
        known = Known(self.count + 1, ((literal, 1),), 1)
        name = self.model.names[abs(literal) - 1]
        self.rules.append(f"* x{abs(literal)}: {name}, {why}")
        self._rule(known)
        return known

    def swap_axiom(self, literals: tuple[int, ...]) -> Known:
        """State that one of these literals holds."""
        known = Known(self.count + 1, tuple((literal, 1) for literal in literals), 1)
        self.rules.append("* an axiom beyond the rules: true only if the puzzle has exactly one solution")
        self._rule(known)
        return known

    def announce(self, number: int, proof: Proof) -> None:
        """Write a comment."""
        self._write(f"{'%' if self.modern else '*'} step {number}, {proof}", ends=False)

    def counted(self, scope: Supposing[Known], argument: Counting, literals: tuple[int, ...]) -> list[Known]:
        """Write the sum, and from it what it concludes."""
        total = self._sum(scope, argument)
        if len(literals) < 2:
            return [self._conclude(total, scope, literals[0] if literals else None)]
        common = self._state(total)
        found = []
        for literal in literals:
            again = Sum()
            again.add(common)
            found.append(self._conclude(again, scope, literal))
        return found

    def refuted(self, scope: Supposing[Known], candidate: int, contradiction: Known) -> Known:
        """Take the contradiction itself, unless it came about without the supposition."""
        literal = -true(candidate)
        if (literal, 1) in contradiction.terms:
            return self._equal(contradiction, scope)
        total = Sum()
        total.add(contradiction)
        total.add_literal(literal)
        return self._equal(self._state(total), scope)

    def _sum(self, scope: Supposing[Known], argument: Counting) -> Sum:
        """Add up bases and covers, and what is known of the candidates that are settled."""
        total = Sum()
        for sides, listed in ((self.at_least, argument.bases), (self.at_most, argument.covers)):
            for number, weight in listed:
                total.add(sides[number], weight)
        for swap, weight in argument.swaps:
            total.add(self.swaps[scope.supposed, swap], weight)
        live, placed = scope.position
        for literal, weight in [*total.weights.items()]:
            candidate = abs(literal) - 1
            if candidate in scope.supposed:
                continue
            if (literal > 0 and not live >> candidate & 1) or (literal < 0 and placed >> candidate & 1):
                total.add(self.known(scope, -literal), weight)
        return total

    def _conclude(self, total: Sum, scope: Supposing[Known], literal: int | None) -> Known:
        """Weaken away everything but the conclusion and the negated suppositions, and divide."""
        carried = {-true(candidate) for candidate in scope.supposed}
        for other in [*total.weights]:
            if other != literal and other not in carried:
                total.weaken(other)
        if literal is not None and total.degree > total.weight(literal):
            # The sum is a contradiction by itself, from which the literal follows like anything else.
            total.weaken(literal)
            total.divide(max(total.degree, *total.weights.values(), 1))
            total.add_literal(literal)
        else:
            total.divide(max(total.degree, *total.weights.values(), 1))
        return self._equal(self._state(total), scope)

    def _state(self, total: Sum) -> Known:
        """Write a line."""
        self.count += 1
        self._write(f"pol {total}")
        return total.known(self.count)

    def _equal(self, known: Known, scope: Supposing[Known]) -> Known:
        """Let the checker compare a conclusion that holds outside of suppositions with its line."""
        if not scope.supposed and known.terms:
            constraint = print_constraint(known)
            self._write(f"e {constraint} : {known.line}" if self.modern else f"e {known.line} {constraint} ;")
        return known

    def _write(self, line: str, *, ends: bool = True) -> None:
        self.lines.append(f"{line} ;" if ends and self.modern else line)
