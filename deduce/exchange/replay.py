"""Going through a document for a standard format: facts, what put them there, and scopes of suppositions.

A standard proof has to state every fact that it uses as a line of its own, the clearing of peers included.  This module
keeps, for each scope, which facts hold and why, and asks the format for a line only when a fact is first used.

A literal is a candidate number plus one, negative where the candidate is false, as both DIMACS and OPB count from 1.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar

from deduce.errors import ExportError
from deduce.exchange.decode import follow
from deduce.exchange.document import Document
from deduce.kernel import Counting, Inference, Model, Position, Supposition, Swap, check, place
from deduce.positions import bits, bitset, conclusions
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["Replay", "Supposing", "false", "true"]

Line = TypeVar("Line")


def true(candidate: int) -> int:
    """Return the literal that a candidate is true."""
    return candidate + 1


def false(candidate: int) -> int:
    """Return the literal that a candidate is false."""
    return -candidate - 1


@dataclass(slots=True)
class Supposing(Generic[Line]):
    """What holds under some suppositions.

    Parameters
    ----------
    position : Position
        What the kernel knows here.
    parent : Supposing, optional
        What holds without the last of them.
    supposed : tuple of int, optional
        The candidates supposed true, the outermost first.
    lines : dict of int to Line, optional
        For each literal that has been written here its line.
    fallen : dict of int to (int, Position), optional
        For each candidate that a constraint ruled out by itself that constraint, and when it did.
    """

    position: Position
    parent: Supposing[Line] | None = None
    supposed: tuple[int, ...] = ()
    lines: dict[int, Line] = field(default_factory=dict)
    fallen: dict[int, tuple[int, Position]] = field(default_factory=dict)


class Replay(ABC, Generic[Line]):
    """The course of a document; a format says how a line for each kind of reason is written.

    Parameters
    ----------
    document : Document
        What to write; every proof is checked by the kernel on the way.
    assume_unique : bool
        Whether swaps are stated as further axioms; otherwise a document that has one is refused.
    """

    form = ""

    def __init__(self, document: Document, *, assume_unique: bool = False) -> None:
        self.document = document
        self.assume_unique = assume_unique
        self.swaps: dict[tuple[tuple[int, ...], Swap], Line] = {}
        self.model: Model = document.start.layout.model

    @abstractmethod
    def axiom(self, literal: int, why: str) -> Line:
        """Write a literal that the puzzle or a person's notes state."""

    @abstractmethod
    def swap_axiom(self, literals: tuple[int, ...]) -> Line:
        """Write that one of some literals holds because the puzzle has exactly one solution."""

    @abstractmethod
    def announce(self, number: int, proof: Proof) -> None:
        """Write which step comes next."""

    @abstractmethod
    def counted(self, scope: Supposing[Line], argument: Counting, literals: tuple[int, ...]) -> list[Line]:
        """Write what a counting argument concludes in a scope; no literal stands for a contradiction."""

    @abstractmethod
    def refuted(self, scope: Supposing[Line], candidate: int, contradiction: Line) -> Line:
        """Write that a supposition is false, from the contradiction reached under it (`scope` is the one outside)."""

    def run(self) -> Line | None:
        """Write everything; return the line of the contradiction if the document ends in one."""
        grid = self.document.start
        if not self.assume_unique and (grid.presumed or any(proof.assumes_unique for proof in self.document.proofs)):
            advice = "leave such steps out, or ask for an axiom that says so: assume_unique=True, or --assume-unique"
            raise ExportError(self.form, "a proof that assumes a unique solution", advice)
        scope: Supposing[Line] = Supposing(Position(grid.layout.every, 0))
        for number in range(grid.layout.exact, len(self.model.constraints)):
            # What a rule by itself has no room for is gone from the start.
            if self.model.constraints[number].upper is not None:
                alone = conclusions(self.model, scope.position, Counting((), ((number, 1),)))
                for candidate in alone.false if alone else ():
                    scope.fallen.setdefault(candidate, (number, scope.position))
        scope.position = Position(grid.layout.start, 0)
        for candidate in bits(grid.true):
            why = "given" if grid.givens >> candidate & 1 else "entered"
            why += _on_notes(grid, candidate)
            scope.lines[true(candidate)] = self.axiom(true(candidate), why)
            self._place(scope, candidate)
        for candidate in bits(scope.position.live & ~grid.live):
            why = "assumed note" if grid.assumed >> candidate & 1 else "ruled out before"
            why += _on_notes(grid, candidate)
            why += ", if there is one solution" * (grid.presumed >> candidate & 1)
            scope.lines[false(candidate)] = self.axiom(false(candidate), why)
        scope.position = Position(grid.live, grid.true)
        for proof in self.document.proofs:
            self._state_swaps(proof.inferences, ())
        ending = None
        for number, proof in enumerate(self.document.proofs, 1):
            check(grid, proof)
            self.announce(number, proof)
            ending = self._follow(scope, proof.inferences)
            grid = follow(grid, proof)
        return ending

    def known(self, scope: Supposing[Line], literal: int) -> Line:
        """Return the line that states a fact, written now if it has not been needed before."""
        at: Supposing[Line] | None = scope
        while at is not None:
            if literal in at.lines:
                return at.lines[literal]
            if literal < 0 and -literal - 1 in at.fallen:
                number, position = at.fallen[-literal - 1]
                then = replace(at, position=position)
                at.lines[literal] = self.counted(then, Counting((), ((number, 1),)), (literal,))[0]
                return at.lines[literal]
            at = at.parent
        raise AssertionError(f"no reason is known for the literal {literal}")

    def _follow(self, scope: Supposing[Line], inferences: tuple[Inference, ...]) -> Line | None:
        """Write inferences; return the line of the contradiction that they end in."""
        for inference in inferences:
            argument = inference.argument
            stated = (*map(false, inference.false), *map(true, inference.true))
            if isinstance(argument, Supposition):
                inner = Supposing(scope.position, scope, (*scope.supposed, argument.candidate))
                self._place(inner, argument.candidate)
                ending = self._follow(inner, argument.inferences)
                if ending is None:
                    raise AssertionError("the kernel accepted a supposition without a contradiction")
                lines = [self.refuted(scope, argument.candidate, ending)]
            else:
                total = Counting((), (), ((argument, 1),)) if isinstance(argument, Swap) else argument
                lines = self.counted(scope, total, stated)
                if inference.contradiction:
                    return lines[0]
            scope.lines.update(zip(stated, lines, strict=True))
            live, so_far = scope.position
            scope.position = Position(live & ~bitset(inference.false), so_far)
            for candidate in inference.true:
                self._place(scope, candidate)
        return None

    def _state_swaps(self, inferences: tuple[Inference, ...], supposed: tuple[int, ...]) -> None:
        """State each swap of some inferences as an axiom: under suppositions it holds only if they do."""
        for inference in inferences:
            argument = inference.argument
            if isinstance(argument, Supposition):
                self._state_swaps(argument.inferences, (*supposed, argument.candidate))
                continue
            found = [argument] if isinstance(argument, Swap) else [swap for swap, _ in argument.swaps]
            for swap in found:
                if (supposed, swap) not in self.swaps:
                    literals = (*map(true, swap.exits), *(-true(candidate) for candidate in supposed))
                    self.swaps[supposed, swap] = self.swap_axiom(literals)

    def _place(self, scope: Supposing[Line], candidate: int) -> None:
        """Make a candidate true and note for what falls which constraint takes it along, and when."""
        before = scope.position
        after = place(self.model, before, candidate)
        then = Position(before.live, after.true)
        falls = before.live & ~after.live
        for number in self.model.touching[candidate]:
            here = falls & self.model.masks[number]
            if here and not self.model.exclusive[number]:
                found = conclusions(self.model, then, Counting((), ((number, 1),)))
                if found is None:
                    continue
                if not found.contradiction:
                    here &= bitset(found.false)
            for gone in bits(here):
                scope.fallen[gone] = (number, then)
            falls &= ~here
        scope.position = after


def _on_notes(grid: Grid, candidate: int) -> str:
    """Say that a candidate was settled resting on notes, if it was."""
    resting = any(mask >> candidate & 1 for note, mask in grid.resting if note != candidate)
    return ", if notes are right" * resting
