"""The round trip with the finders: what a finder argues is recognised under the finder's name or a simpler one."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from pictures.positions import proof as example

import deduce
from deduce.counting.shapes import name_argument
from deduce.kernel import Position
from deduce.patterns.catalogue import PLAIN as NAMES, fault, find
from deduce.positions import after
from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Cage

COLLECTION = Path(__file__).parents[2] / "benchmarks" / "collection.txt"
OFTEN = 3
"""How many deductions of one name are looked at in one position."""


def grids(start: int, stop: int) -> list[deduce.Grid]:
    lines = [line for line in COLLECTION.read_text().splitlines() if line and line[0] != "#"]
    return [deduce.Grid.parse(line.split()[0]) for line in lines[start:stop]]


def round_trips(grid: deduce.Grid, every: int, seen: Counter[str], enough: int | None = None) -> None:
    """Name what the finders argue along a walk anew, and count by the finder's name."""
    for step in deduce.walk(grid, NAMES).steps[::every]:
        here: Counter[str] = Counter()
        for proof in find(step.before):
            name = proof.pattern.name
            here[name] += 1
            if here[name] > OFTEN or (enough is not None and seen[name] >= enough):
                continue
            reached = step.before
            for inference in proof.inferences:
                # Some of several are read where they all begin, some where those before them lead.
                where, pattern = step.before, name_argument(step.before, inference)
                if pattern.name not in NAMES:
                    where, pattern = reached, name_argument(reached, inference)
                reached = reached.moved(after(reached.model, Position(reached.live, reached.true), inference))
                assert pattern.name in NAMES, (grid.line(), proof, pattern.name)
                assert NAMES.index(pattern.name) <= NAMES.index(name), (grid.line(), proof, pattern.name)
                assert fault(Proof(where, (inference,), pattern)) is None
                seen[name] += 1


def caged() -> deduce.Grid:
    """A 6x6 grid, some of its cells in cages whose totals come from a generated solution."""
    solution = next(deduce.solutions(deduce.Grid.empty(Layout.standard(6)), 1))
    digits = [solution.digit(r, c) for r in range(1, 7) for c in range(1, 7)]
    held = [(0, 1), (2, 8), (3, 4), (6, 7), (12, 13, 14), (15, 16), (17, 23), (18, 24), (30, 31), (32, 33), (34, 35)]
    rules = [Cage(cells, sum(digits[cell] for cell in cells)) for cells in held]
    return deduce.Grid.empty(Layout.standard(6).with_rules(*rules))


def ordered() -> deduce.Grid:
    """A 4x4 grid, some of its cells smaller than their neighbours as in a generated solution."""
    return deduce.Grid.parse(
        "1...............", Layout.parse("grid 4\nr1c2 < r1c3\nr2c1 < r2c2\nr3c3 < r3c4\nr4c1 < r4c2\n")
    )


def test_every_name_of_the_catalogue_comes_back_as_found_or_more_simply():
    seen: Counter[str] = Counter()
    for grid in grids(35, 42):
        round_trips(grid, 7, seen, enough=6)
    round_trips(caged(), 1, seen, enough=12)
    round_trips(ordered(), 1, seen, enough=12)
    # Four places in a line take a larger board.
    for name in ("pointing group", "claiming group"):
        group = example(name)
        assert name_argument(grid_of(group), group.inferences[0]).name == name
        seen[name] += 1
    assert {*seen} == {*NAMES}, f"not met in these positions: {sorted({*NAMES} - {*seen})}"


def test_a_wing_of_three_sets_is_not_told_as_a_loop_through_two():
    """The sum fits both, and the wing is the simpler name."""
    start = deduce.Grid.parse("..1....85..7.2..........3......7...3....4....9.6....126..5....9.89..72...7.2.46..")
    seen = 0
    for step in deduce.walk(start, NAMES).steps:
        for proof in find(step.before, ["ALS-XY-wing"]):
            if {str(c) for c in proof.eliminates} == {"4r4c7", "4r8c8"}:
                for inference in proof.inferences:
                    assert name_argument(step.before, inference).name == "ALS-XY-wing"
                    seen += 1
    assert seen > 2


@pytest.mark.thorough
@pytest.mark.parametrize("start", range(0, 200, 20))
def test_every_name_comes_back_in_many_positions(start):
    seen: Counter[str] = Counter()
    for grid in grids(start, start + 20):
        round_trips(grid, 7, seen)
    assert len(seen) > 38, sorted(seen)
