"""Placing singles: against walks that use singles alone, and in positions that are dead."""

from hypothesis import given, strategies as st

import deduce
from deduce.kernel import Position
from deduce.links.statements import statements_of
from deduce.solving.generate import minimal_puzzle
from deduce.solving.singles import place_singles
from deduce.walks import SIMPLE

SMALL = deduce.Layout.standard(4)


@given(st.integers(0, 200))
def test_singles_lead_where_a_walk_by_singles_leads(seed):
    grid = minimal_puzzle(seed, SMALL)
    end = deduce.walk(grid, SIMPLE).grid
    live, true, unmet = place_singles(SMALL.peers, grid.live, grid.true, SMALL.masks)
    assert (live, true) == (end.live, end.true)
    assert unmet == [mask for mask in SMALL.masks if not mask & true]


@given(st.integers(0, 200), st.integers(0, 63))
def test_a_dead_position_has_no_list_of_what_is_unmet(seed, candidate):
    grid = minimal_puzzle(seed, SMALL)
    (solution,) = deduce.solutions(grid)
    live = grid.live & ~(1 << candidate)
    there = next(deduce.solutions(grid.moved(Position(live, grid.true & live))), None)
    end, true, unmet = place_singles(SMALL.peers, live, grid.true & live, SMALL.masks)
    assert (unmet is None) <= (there is None)
    if solution.true >> candidate & 1 and not grid.true >> candidate & 1:
        # Without a candidate of its only solution a puzzle has none; on this order singles alone see that.
        assert unmet is None
    elif unmet is not None and not unmet:
        assert end == true == solution.true


@given(st.integers(0, 50))
def test_the_model_and_the_layout_say_the_same(seed):
    grid = minimal_puzzle(seed, SMALL)
    statements = statements_of(grid.model)
    assert [*statements.choices] == [*SMALL.masks]
    assert statements.weak == tuple(SMALL.peers)
    one = place_singles(SMALL.peers, grid.live, grid.true, SMALL.masks)
    assert place_singles(statements.weak, grid.live, grid.true, statements.choices) == one
