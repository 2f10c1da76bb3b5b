"""Random problems, with and without solutions: nothing that is asked of them raises, and brute force agrees."""

from __future__ import annotations

from typing import Any

import constraint
import pytest
from puzzle.problems.made_up import Spec, at_random, build, fillings
from sweeps import ask_everything, sound

import deduce
from deduce import Grid
from deduce.puzzle.problems.layout import ProblemLayout
from deduce.walks import conflict
from deduce.walks.walk import Outcome


def answers(grid: Grid, spec: Spec) -> list[int]:
    """The candidates that each filling makes true."""
    layout = grid.layout
    assert isinstance(layout, ProblemLayout)
    digit = {value: number for number, value in enumerate(layout.values, 1)}
    cell = {variable: number for number, variable in enumerate(layout.variables)}
    return [
        sum(1 << layout.number(digit[value], cell[variable]) for variable, value in filling.items())
        for filling in fillings(spec)
    ]


def asked(spec: Spec) -> Outcome:
    """Ask everything of a problem."""
    grid = Grid.from_problem(build(spec, constraint))
    known = answers(grid, spec)
    outcome = ask_everything(grid, known)
    found = conflict(grid)
    assert (found is None) == bool(known)
    if found is not None:
        assert found.words()
        domains, listed = spec
        kept = [one for number, one in enumerate(listed, 1) if number in found.numbers]
        assert not [*fillings((domains, kept))]
        for step in found.walk.steps:
            sound(step.before, step.proof, ())
        assert found.walk.outcome is not Outcome.SOLVED
    return outcome


def swept(seeds: range) -> set[Outcome]:
    found = set()
    for seed in seeds:
        try:
            found.add(asked(at_random(seed)))
        except Exception as error:
            error.add_note(f"seed {seed}: {at_random(seed)}")
            raise
    return found


def test_everything_can_be_asked_of_a_problem() -> None:
    assert swept(range(120)) == {Outcome.SOLVED, Outcome.STUCK, Outcome.IMPOSSIBLE}


@pytest.mark.thorough
def test_everything_can_be_asked_of_many_problems() -> None:
    swept(range(120, 6000))


SUM = {
    "the wrong parity": ({"a": [2, -2], "b": [2, -2]}, [("ExactSum", (3, None), ["a", "b"])]),
    "three of them": ({name: [2, -2] for name in "abc"}, [("ExactSum", (5, None), ["a", "b", "c"])]),
    "with factors": ({"a": [3, -3], "b": [1, -1]}, [("ExactSum", (7, [2, 2]), ["a", "b"])]),
}


@pytest.mark.parametrize("spec", SUM.values(), ids=SUM)
def test_a_sum_that_nothing_meets_is_told(spec: Any) -> None:
    # One side of the sum asks for both variables at their most, the other has no room for that.
    grid = Grid.from_problem(build(spec, constraint))
    assert asked(spec) is Outcome.IMPOSSIBLE
    assert not grid.status()
    walk = deduce.walk(grid)
    assert walk.steps[-1].proof.contradiction
    for step in walk.steps:
        assert not step.before.true & ~step.before.live


def test_what_is_placed_stays_live_where_another_placement_leaves_it_no_room() -> None:
    grid = Grid.from_problem(build(SUM["the wrong parity"], constraint))
    (proof,) = deduce.find(grid)
    assert proof.conclusion() == "a = 2, b = 2, a <> -2, b <> -2"
    after = deduce.check(grid, proof).after
    assert after.true == sum(1 << grid.number(name) for name in ("a = 2", "b = 2"))
    assert not after.true & ~after.live
    assert [finding.sentence for finding in grid.moved(after).status()] == ["it cannot be met that a + b = 3"]


def test_a_position_reads_back_whatever_sums_leave_room_for_by_now() -> None:
    # x was placed while z might have been -3; since then x leaves y no room, which is for a step to say.
    spec: Spec = ({"x": [1, 2], "y": [0, 1, 2], "z": [-3, 0]}, [("MaxSum", (2, None), ["x", "y", "z"])])
    layout = Grid.from_problem(build(spec, constraint)).layout
    x, z = layout.parse_candidate("x = 2"), layout.parse_candidate("z = -3")
    placed = Grid.from_numbers(layout, (), [x])
    later = Grid(layout, placed.live & ~(1 << z), placed.true, 0)
    assert str(later) == "x = 2\ny : 0, 1, 2\nz : 0"
    assert Grid.parse(later.pencil(), layout) == later
