"""Verdicts on the steps of a document."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from deduce.errors import BudgetSpent, PatternError, ProofError
from deduce.exchange.decode import follow
from deduce.exchange.document import Document
from deduce.kernel import check
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions

__all__ = ["Fault", "JudgedStep", "Judgement", "verify"]

Fault = Callable[[Proof, Grid], str | None]
"""Says what about a proof is not as its pattern's name promises, or None."""

BRANCHINGS = 20_000
"""How far the search goes that counts the solutions of a puzzle whose proofs assume that there is one."""


class Judgement(StrEnum):
    """What became of a step."""

    VERIFIED = "verified"
    REFUSED = "refused"
    CONDITIONAL = "holds only if an earlier step does"
    UNFOUNDED = "holds only if the puzzle has one solution"
    MISNAMED = "holds, but is not what its name says"


@dataclass(frozen=True, slots=True)
class JudgedStep:
    """What became of one step of a document.

    Parameters
    ----------
    number : int
        The step, from 1.
    proof : Proof
        The step itself.
    judgement : Judgement
        `VERIFIED`: the kernel accepts it where it stands, and every step before it has been verified.
        `REFUSED`: the kernel refuses it.  `CONDITIONAL`: the kernel accepts it in the position that a refused step
        claims to lead to.  `UNFOUNDED`: it assumes a unique solution, which the puzzle does not have as far as a
        bounded search can tell.  `MISNAMED`: the roles of its pattern are not what the name says.
    problem : str
        Why it is not verified; empty if it is.
    error : ProofError or None
        The kernel's refusal, with its fields.
    """

    number: int
    proof: Proof
    judgement: Judgement
    problem: str = ""
    error: ProofError | None = None

    @property
    def verified(self) -> bool:
        """Whether nothing is left to doubt about the step but the notes that it names (`Proof.assumes`)."""
        return self.judgement is Judgement.VERIFIED

    @property
    def unconditional(self) -> bool:
        """Whether the step is verified and rests on no note, so that it is true of the puzzle as it stands."""
        return self.verified and not self.proof.noted


def verify(document: Document, fault: Fault | None = None, *, only: int | None = None) -> tuple[JudgedStep, ...]:
    """Judge the steps of a document.

    Parameters
    ----------
    document : Document
        What was read.
    fault : callable, optional
        Looks at the names as well: from a proof and its position to what is not as the name says (the catalogue's
        ``fault``).  A pattern that it does not know is not held against a step.
    only : int, optional
        Judge this step alone (from 1), in the position that the document claims for it.

    Returns
    -------
    tuple of JudgedStep
        One for each step judged; an empty document has none, and proves nothing.

    Notes
    -----
    The first step stands in the position that the document states; its entered digits, eliminated candidates and
    assumed notes are taken as given.  `Proof.assumes` tells which notes a step rests on, by itself or through the steps
    before it.

    The cost is linear in the size of the document but for swaps, each of which costs the kernel at most
    `deduce.kernel.MAX_TRIALS`, and for one search of at most `BRANCHINGS` branchings where there are swaps.
    """
    grid = document.start
    doubtful = False
    unfounded: str | None = None
    verdicts = []
    for number, proof in enumerate(document.proofs, 1):
        if only is None or number == only:
            if proof.assumes_unique and unfounded is None:
                unfounded = _more_than_one(document.start)
            verdict = _judge(number, proof, grid, fault, doubtful=doubtful, unfounded=unfounded or "")
            verdicts.append(verdict)
            doubtful = doubtful or verdict.judgement in (Judgement.REFUSED, Judgement.UNFOUNDED)
        grid = follow(grid, proof)
    return tuple(verdicts)


def _judge(number: int, proof: Proof, grid: Grid, fault: Fault | None, *, doubtful: bool, unfounded: str) -> JudgedStep:
    try:
        check(grid, proof)
    except ProofError as error:
        return JudgedStep(number, proof, Judgement.REFUSED, str(error), error)
    if doubtful:
        return JudgedStep(number, proof, Judgement.CONDITIONAL, "an earlier step is refused")
    if proof.assumes_unique and unfounded:
        return JudgedStep(number, proof, Judgement.UNFOUNDED, unfounded)
    problem = None if fault is None else _misnamed(fault, proof, grid)
    if problem is not None:
        return JudgedStep(number, proof, Judgement.MISNAMED, problem)
    return JudgedStep(number, proof, Judgement.VERIFIED)


def _misnamed(fault: Fault, proof: Proof, grid: Grid) -> str | None:
    """Ask whether a pattern is what its name says; a stranger's roles may have any form."""
    try:
        return fault(proof, grid)
    except PatternError:
        return None
    except (AttributeError, LookupError, TypeError, ValueError) as error:
        return f"its roles do not have the form that the name needs ({error})"


def _more_than_one(grid: Grid) -> str:
    """Say why a puzzle cannot be taken to have exactly one solution; empty if it has."""
    puzzle = Grid.from_numbers(grid.layout, bits(grid.givens))
    try:
        found = len(list(solutions(puzzle, 2, budget=BRANCHINGS)))
    except BudgetSpent as error:
        return f"whether the puzzle has one solution is not known ({error})"
    return ("the puzzle has no solution", "", "the puzzle has more than one solution")[found]
