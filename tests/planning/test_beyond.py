"""Planning where named patterns end: what is refused, and what counting still does."""

import pytest

import deduce
from deduce import counting
from deduce.errors import PatternError
from deduce.kernel import Supposition
from deduce.patterns import PLAIN
from deduce.planning.plan_data import stuck_data
from deduce.solving.generate import minimal_puzzle
from deduce.walks import plan, stuck_point, themes
from deduce.words.en.planning import stuck_text

STUCK = minimal_puzzle(6)
"""No named pattern solves it."""


@pytest.mark.parametrize("name", counting.NAMES)
def test_plans_are_not_made_of_counting(name):
    told = f"plans are made of named patterns; '{name}' is only for walks and claims"
    for asked in (
        lambda: plan(STUCK, ["X-wing", name]),
        lambda: plan(STUCK, simple=["naked single", name]),
        lambda: stuck_point(STUCK, [name]),
        lambda: stuck_point(STUCK, simple=[name]),
        lambda: list(themes([STUCK], [name])),
        lambda: list(themes([STUCK], ["X-wing"], allowed=[name])),
    ):
        with pytest.raises(PatternError, match=told):
            asked()
    assert name in deduce.walk(STUCK, [name], budget=1).patterns


def test_a_stuck_point_tells_what_counting_still_does():
    grid = deduce.walk(STUCK, PLAIN).grid
    point = stuck_point(grid)
    assert not point.deductions
    counted, supposed = point.beyond
    (solution,) = deduce.solutions(STUCK)
    for proof in point.beyond:
        deduce.check(grid, proof)
        assert not any(solution.true >> grid.number(candidate) & 1 for candidate in proof.eliminates)
    least = counting.simplest(grid)
    assert counted == least
    (inference,) = supposed.inferences
    assert isinstance(inference.argument, Supposition)
    (argument,) = (inference.argument for inference in counted.inferences)
    told = stuck_text(point)
    size = len(argument.bases) + len(argument.covers)
    assert f"A counting argument over {size} constraints reaches {counted.conclusion()} " in told
    assert f"reaches {supposed.conclusion()} [{supposed.effort}]." in told
    assert [one["pattern"] for one in stuck_data(point)["beyond"]] == [p.pattern.name for p in point.beyond]


def test_where_patterns_go_on_counting_is_not_asked():
    point = stuck_point(minimal_puzzle(909))
    assert point.deductions
    assert not point.beyond
    assert "counting" not in stuck_text(point)
