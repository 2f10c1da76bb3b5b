"""Answers: what may stand in a cell, where a digit may go, whether a step is the easiest, what it needs."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from deduce.claims.claim import Claim, Question
from deduce.claims.judge import judge_with
from deduce.claims.notes import holder, premises_of
from deduce.claims.printing import reading
from deduce.claims.seek import TRIALS, Seeker
from deduce.claims.text import parse_claim, parse_speech
from deduce.claims.verdict import Verdict, proof_fields
from deduce.envelope import enveloped
from deduce.errors import ClaimError
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.truth import NODES, facts_of
from deduce.window import ShownReply

__all__ = ["Reply", "ask"]


@dataclass(frozen=True, slots=True)
class Reply(ShownReply):
    """The answer to a question about a position.

    Parameters
    ----------
    grid : Grid
        The position.
    question : Question
        The question as it was read.
    open : tuple of int
        For a cell or a house: the candidates that may be true, placed ones too, ascending.
    gone : dict of int to int or None
        The candidates that may not, each with a cell whose digit rules it out; None if it was eliminated before.
    step : Proof, optional
        For a question about a step: that step.
    easier : tuple of Proof
        What is on the board and comes before it.
    """

    grid: Grid
    question: Question
    open: tuple[int, ...] = ()
    gone: dict[int, int | None] = field(default_factory=dict)
    step: Proof | None = None
    easier: tuple[Proof, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the answer as plain data."""
        names, layout = self.grid.model.names, self.grid.layout
        told: dict[str, Any] = {"question": self.question.text, "read_as": reading(layout, self.question)}
        if self.step is None:
            told["open"] = [names[c] for c in self.open]
            told["gone"] = [
                {"candidate": names[c], "because_of": None if cell is None else layout.cell_name(cell)}
                for c, cell in self.gone.items()
            ]
        elif self.question.kind == "easiest":
            told |= {"step": proof_fields(self.step), "easier": [proof_fields(proof) for proof in self.easier]}
        else:
            needs = premises_of(self.step)
            told |= {"step": proof_fields(self.step), "cells": [layout.cell_name(cell) for cell in needs.cells]}
            told["scans"] = [{"house": layout.houses[h].name, "digit": layout.symbols[d - 1]} for h, d in needs.scans]
        return told

    def to_json(self) -> str:
        """Return the answer as JSON text, in the format ``deduce-answer``."""
        return enveloped("answer", self.to_dict())


def ask(
    grid: Grid, text: str, step: Proof | str | None = None, *, budget: int = NODES, steps: int | None = None
) -> Reply | Verdict:
    """Reply what somebody asks or claims about a position, as people speak.

    Parameters
    ----------
    grid : Grid
        The position.
    text : str
        A question ("what can go in r4c3?", "where does 8 go in box 4?", "is this the easiest?", "what did this step
        need?") or a claim.
    step : Proof or str, optional
        The step that "this" means: a proof, or a claim with its reason.
    budget, steps : int
        As for :func:`deduce.judge`.

    Returns
    -------
    Reply or Verdict
        A verdict for a claim.

    Raises
    ------
    ClaimError
        For what cannot be read, and for a question about a step if none was given.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> print(ask(grid, "what can go in r2c2?").words())
    Read as: what can stand in r2c2?
    Only 4 can stand in r2c2. 1 is ruled out by r1c1, 2 by r1c2 and 3 by r2c1.
    """
    said = parse_speech(grid.layout, text)
    seeker = Seeker(grid, facts_of(grid, budget), steps, TRIALS)
    if isinstance(said, Claim):
        return judge_with(seeker, said)
    if said.kind in ("cell", "house"):
        layout = grid.layout
        if said.kind == "cell":
            asked = [c for cell in said.cells for c in bits(layout.masks[layout.cell_constraint(cell)])]
        else:
            cells = layout.houses[said.houses[0]].cells
            asked = [layout.number(said.digits[0], cell) for cell in cells]
        gone = {c: _against(grid, c) for c in sorted(asked) if not grid.live >> c & 1}
        return Reply(grid, said, tuple(c for c in sorted(asked) if grid.live >> c & 1), gone)
    proof = _step(seeker, step) if isinstance(step, str) else step
    if proof is None:
        raise ClaimError(
            "it is not clear which step is meant", "give the step with its reason", text=text, line=1, column=1
        )
    easier = [one for one in seeker.available() if seeker.earlier(one, proof)] if said.kind == "easiest" else []
    return Reply(grid, said, step=proof, easier=tuple(easier))


def _against(grid: Grid, candidate: int) -> int | None:
    """Return a placed cell that rules a candidate out: its own, or one that holds its digit in a common house."""
    cell = candidate % grid.layout.cells
    taken = grid.true & grid.layout.masks[grid.layout.cell_constraint(cell)]
    return cell if taken else holder(grid.layout, grid.true, candidate)


def _step(seeker: Seeker, text: str) -> Proof:
    """Return the step that a claim with its reason means."""
    verdict = judge_with(seeker, parse_claim(seeker.grid.layout, text))
    if not verdict.proofs:
        raise ClaimError("there is no such step", "give a step that can be proved", text=text, line=1, column=1)
    return verdict.proofs[0]
