"""Planned ways made shorter: they still lead to the solution step by step, and cost no more to listen to."""

import pytest
from counting.positions import BEYOND_PATTERNS, PLAIN, judge, place_of, stuck

from deduce import counting
from deduce.counting.meter import Meter
from deduce.kernel import Supposition
from deduce.links.statements import statements_of
from deduce.puzzle.grid import Grid
from deduce.suppositions.ahead import plan_ahead
from deduce.suppositions.choices import supposition
from deduce.suppositions.refit import refitted
from deduce.suppositions.search import Search
from deduce.suppositions.shorten import LONG, Way, shortened, told
from deduce.suppositions.trail import Trail, size_of
from deduce.walks import walk

HARD = walk(Grid.parse("8....61.35.6.......4.....9.....9......15...38..57..2..7.2.3.6..6....2.8......9..."), PLAIN).grid
"""Where the patterns end in a puzzle that takes several steps more."""


def asked(grid):
    statements = statements_of(grid.model)
    return Search(statements, place_of(grid), Meter(), grid.layout), place_of(grid)


def led(grid, arguments):
    """Draw arguments one after the other as the kernel allows, and say where they lead."""
    statements, here = statements_of(grid.model), place_of(grid)
    for argument in arguments:
        inference = refitted(statements, here, argument)
        if inference is not None:
            here = judge(grid.model, here, inference).after
    return here


@pytest.mark.parametrize("grid", [*map(stuck, BEYOND_PATTERNS), HARD], ids=[*map(str, BEYOND_PATTERNS), "hard"])
def test_it_leads_to_the_solution_and_costs_no_more(grid, monkeypatch):
    monkeypatch.setattr("deduce.suppositions.ahead.shortened", lambda _, __, arguments: arguments)
    planned = plan_ahead(statements_of(grid.model), place_of(grid), counting.NAMES, Meter(), grid.layout)
    search, start = asked(grid)
    shorter = shortened(search, start, planned)
    here = led(grid, shorter)
    assert here.live == here.true
    assert sum(map(told, shorter)) <= sum(map(told, planned))
    assert shorter == shortened(*asked(grid), planned)


def test_what_saves_nothing_is_left_out():
    grid = HARD
    search, start = asked(grid)
    planned = plan_ahead(search.statements, start, counting.NAMES, Meter(), grid.layout)
    made = {argument.candidate for argument in planned if isinstance(argument, Supposition)}
    idle = [supposition(search.statements, start, c) for _, c in search.quick.broken(start, search.open(start))]
    idle = [one for one in idle if one is not None and one.candidate not in made]
    assert idle
    saved = 0
    for one in idle:
        way = Way(search, start, [one, *planned])
        before = way.cost
        way.leave_out()
        assert way.cost <= before
        saved += way.cost < before
    assert saved


def test_a_way_that_leads_nowhere_stays_as_it_is():
    grid = stuck(BEYOND_PATTERNS[0])
    search, start = asked(grid)
    assert Way(search, start, []).arguments == ()
    assert shortened(search, start, []) == ()


def test_a_copied_trail_goes_on_by_itself():
    grid = stuck(BEYOND_PATTERNS[0])
    search, start = asked(grid)
    found = next(
        one for _, c in search.quick.broken(start, search.open(start))
        if (one := supposition(search.statements, start, c)) is not None
    )  # fmt: skip
    trail = Trail(search.statements, start)
    trail.run()
    reached, drawn = trail.position, len(trail.drawn)
    other = trail.copy()
    assert other.offer(found)
    other.run()
    assert (trail.position, len(trail.drawn)) == (reached, drawn)
    assert other.position.live != reached.live
    assert trail.offer(found)


def test_what_is_too_long_to_be_listened_to_counts_more():
    grid = HARD
    search, start = asked(grid)
    planned = plan_ahead(search.statements, start, counting.NAMES, Meter(), grid.layout)
    for one in planned:
        if isinstance(one, Supposition):
            words = 12 + sum(told(inner.argument, inside=True) for inner in one.inferences)
            assert told(one) == words + 2 * max(0, words - LONG)
            assert told(one, inside=True) == words
        else:
            assert told(one) <= 60 + 2 * size_of(one)
    assert any(isinstance(one, Supposition) for one in planned)
