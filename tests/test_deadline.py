"""Deadlines and cancelling: the answer so far comes back, says that it was cut, and comes in time.

No test measures how long something takes: what is asked is that a search that would go on for minutes ends at all, with
the word that it was cut, and that one which nobody hurries is not changed.
"""

from __future__ import annotations

from itertools import count

import pytest

from deduce import BudgetSpent, Grid, Layout, find, judge, next_step, simplest, solutions, walk
from deduce.deadline import in_time, seconds_left, timed, within
from deduce.errors import OutOfTime
from deduce.planning.compare import against_best
from deduce.planning.plan import Answer, plan
from deduce.planning.showcases import themes
from deduce.planning.stuck import stuck_point, stuck_points
from deduce.solving.generate import minimal_puzzle
from deduce.solving.truth import Count
from deduce.solving.validity import validity
from deduce.walks import Outcome
from deduce.words.en.planning import CUT, stuck_text

ENDLESS = Grid.empty(Layout.parse("grid 9\nneighbours differ by 2"))
"""An empty board on which a walk by sums and suppositions takes minutes."""


class After:
    """Says yes from the n-th time on that it is asked."""

    def __init__(self, times):
        self.asked, self.times = count(1), times

    def __call__(self):
        return next(self.asked) >= self.times


def test_without_a_deadline_nothing_changes():
    in_time()
    assert seconds_left() == float("inf")
    grid = minimal_puzzle(3)
    assert walk(grid, seconds=1000).steps == walk(grid).steps
    assert [*find(grid, seconds=1000)] == [*find(grid)]


def test_deadlines_nest_and_end():
    with within(1000), within(0), pytest.raises(OutOfTime, match="stopped after 0 seconds"):
        in_time()
    with within(0), within(1000), pytest.raises(OutOfTime):
        in_time()
    with within(50):
        assert 0 < seconds_left() <= 50
    in_time()
    with pytest.raises(ValueError, match="seconds is -1"), within(-1):
        pass


def test_a_deadline_does_not_leak_out_of_a_generator():
    items = timed(iter("ab"), 1000)
    assert next(items) == "a"
    assert seconds_left() == float("inf")
    assert [*items] == ["b"]


def test_a_walk_that_is_cut_off_keeps_its_steps_and_says_so():
    assert walk(ENDLESS, seconds=0.5).outcome is Outcome.BUDGET_SPENT
    grid = minimal_puzzle(3)
    asked = After(10**9)
    walk(grid, cancel=asked)
    cut = walk(grid, cancel=After(next(asked.asked) // 2))
    assert cut.outcome is Outcome.BUDGET_SPENT
    assert 0 < len(cut) < len(walk(grid))
    assert cut.steps == walk(grid).steps[: len(cut)]
    assert walk(grid, seconds=0).steps == ()
    assert next_step(grid, seconds=0) is None


def test_searches_that_yield_say_where_they_were_cut():
    found = find(ENDLESS, cancel=After(1))
    with pytest.raises(OutOfTime, match="was cancelled"):
        next(found)
    many = solutions(Grid.empty(), None, cancel=After(100))
    got = []
    with pytest.raises(BudgetSpent):
        got.extend(many)
    assert got


def test_the_least_argument_comes_back_unproved():
    grid = next(step.before for step in walk(minimal_puzzle(6)).steps if "single" not in step.proof.pattern.name)
    proved = simplest(grid)
    assert proved.proved_smallest
    cut = simplest(grid, cancel=After(400))
    assert cut is not None
    assert not cut.proved_smallest
    with pytest.raises(OutOfTime):
        simplest(grid, seconds=0)
    with pytest.raises(ValueError, match="budget is -1"):
        simplest(grid, budget=-1)


def test_judges_that_are_cut_off_do_not_know():
    grid = minimal_puzzle(6)
    solved = next(solutions(grid))
    cell, digit = "r1c1", solved.digit(1, 1)
    verdict = judge(grid, f"{cell} = {digit}", seconds=0)
    assert verdict.kind.value in ("unproved", "proved")
    assert verdict.count is Count.UNKNOWN
    assert validity(grid, seconds=0).count is Count.UNKNOWN
    assert plan(grid, seconds=0).answer is Answer.OPEN


def test_what_plans_show_is_cut_off_and_says_so():
    """Each is asked to end at its first, tenth, hundredth question; what comes back never says more than is known."""
    grid = minimal_puzzle(33)
    whole = stuck_point(grid)
    assert not whole.cut
    for times in (1, 30, 100, 300):
        cut = stuck_point(grid, cancel=After(times))
        assert cut.cut
        assert CUT in stuck_text(cut)
        assert [d.proof for d in cut.deductions] == [d.proof for d in whole.deductions][: len(cut.deductions)]
        found = plan(grid, cancel=After(times))
        assert found.answer in (Answer.OPEN, Answer.FOUND)
    assert plan(grid, cancel=After(10_000)).exists
    walked = walk(grid)
    points = [*stuck_points(walked, cancel=After(200))]
    assert [point.cut for _, point in points] == [False] * (len(points) - 1) + [True]
    compared = against_best(walked, seconds=0)
    assert compared.names == ("the walk given", "what the patterns reach")
    shown = themes([grid, grid], ["naked pair", "grouped chain"], cancel=After(40))
    with pytest.raises(OutOfTime):
        list(shown)
