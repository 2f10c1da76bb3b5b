"""A program of somebody else's, typed throughout: what it may rely on is checked by mypy and pyright, and it runs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import assert_type

import deduce
from deduce.claims.verdict import Verdict
from deduce.counting import eliminations, smallest
from deduce.errors import DeduceError, OutOfTime
from deduce.exchange import Document, JudgedStep, verify
from deduce.surveys import Level, Store
from deduce.walks import Audit, Outcome, Plan, Reply, Step, Story, Validity, ask, plan, validity

ROWS: list[list[int]] = [[1, 2, 0, 0], [3, 0, 0, 0], [0, 0, 0, 0], [0, 0, 0, 1]]
LINE = "9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32.."


def entered() -> deduce.Grid:
    """Grids from plain data, and back."""
    grid = deduce.Grid.of(ROWS)
    assert_type(grid, deduce.Grid)
    assert_type(grid.enter("4r2c2"), deduce.Grid)
    assert_type(grid.line(), str)
    assert_type(grid.candidates(), tuple[deduce.Candidate, ...])
    first: deduce.Candidate = grid.candidates()[0]
    position: tuple[int, int, int] = (first.digit, first.row, first.column)
    assert position[1:] == (first.row, first.column)
    return grid.without("2r3c2")


def walked(grid: deduce.Grid) -> deduce.Walk:
    """A walk is a sequence of steps."""
    walk = deduce.walk(grid, patterns=["singles", "chains"], seconds=20.0)
    assert_type(walk, deduce.Walk)
    as_sequence: Sequence[Step] = walk
    assert_type(walk[0], Step)
    assert_type(walk[1:3], tuple[Step, ...])
    assert_type(walk.outcome, Outcome)
    assert_type(walk.prune(), deduce.Walk)
    assert_type(walk.story(), Story)
    assert_type(deduce.walk(grid, budget=1).page(title="The night shift", stage=True), str)
    lines: list[str] = [step.proof.words(level="line") for step in as_sequence]
    assert len(lines) == len(walk)
    return walk


def proved(grid: deduce.Grid) -> deduce.Checked:
    """Proofs, and what the kernel says of them."""
    found: Iterator[deduce.Proof] = iter(deduce.find(grid))
    proof = next(found)
    assert_type(proof.eliminates, tuple[deduce.Candidate, ...])
    assert_type(proof.places, tuple[deduce.Candidate, ...])
    premises: tuple[str, ...] = proof.premises
    assert len(premises) > 0
    assert_type(proof.effort, int)
    assert_type(proof.picture(theme="dark", size=400), str)
    return deduce.check(grid, proof)


def answered(grid: deduce.Grid) -> str:
    """Claims, questions, logs."""
    verdict = deduce.judge(grid, "r4c3 is not 8")
    told: str = verdict.words(spoil=True)
    assert_type(ask(grid, "what can go in r4c3?"), Reply | Verdict)
    assert_type(deduce.audit(grid, "r2c8 = 7"), Audit)
    assert_type(validity(grid), Validity)
    return told


def counted(grid: deduce.Grid) -> int:
    """Counting arguments, which there may be none of."""
    least = deduce.simplest(grid)
    assert_type(least, deduce.Proof | None)
    asked = smallest(grid, least.eliminates[0]) if least is not None and least.eliminates else None
    assert_type(asked, deduce.Proof | None)
    return len(eliminations(grid).proofs)


def next_turn(grid: deduce.Grid) -> str:
    """One step, if there is one in the time that there is."""
    try:
        step = deduce.next_step(grid, seconds=2.0)
    except OutOfTime as error:
        return str(error)
    assert_type(step, Step | None)
    return "" if step is None else step.proof.words(level="where")


def planned(grid: deduce.Grid) -> Plan:
    """A plan within a list of patterns."""
    return plan(grid, ["locked candidates", "naked pair"])


def exchanged(walk: deduce.Walk) -> list[str]:
    """Documents and their verdicts."""
    document = Document.from_json(walk.to_json())
    verdicts: Sequence[JudgedStep] = verify(document)
    return [str(verdict.judgement) for verdict in verdicts]


def surveyed(puzzles: Sequence[str | deduce.Grid], folder: Path) -> dict[str, int]:
    """A survey with a level of one's own."""
    levels = [Level.of("mine", ["singles"])]
    made = deduce.survey(puzzles, store=folder / "answers.db", levels=levels, name="list", workers=0, progress=False)
    assert Store is not None
    return dict(made.coverage().solved["list"])


def refused() -> DeduceError:
    """Malformed input is refused with where it is wrong."""
    try:
        deduce.Grid.parse("12345")
    except deduce.GridError as error:
        return error
    raise AssertionError("not refused")
