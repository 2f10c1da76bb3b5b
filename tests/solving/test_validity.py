"""Status of a puzzle: solutions, redundant clues and smallest conflicts, against a SAT solver."""

import json
from itertools import combinations
from random import Random

import pytest
from claims.oracle import rules
from hypothesis import given, strategies as st
from strategies import LAYOUTS, minimal, solution

import deduce
from deduce.positions import bits
from deduce.solving.truth import Count
from deduce.walks import validity


def solvable(layout, clues):
    return rules(layout).solve([c + 1 for c in clues])


def spoilt(grid, seed, wrong=2):
    """The puzzle with some clues replaced by others of the same cells, such that there is no solution; None if not."""
    rng = Random(seed)
    clues = bits(grid.givens)
    for i in rng.sample(range(len(clues)), min(wrong, len(clues))):
        clues[i] = rng.randrange(grid.layout.order) * grid.layout.cells + clues[i] % grid.layout.cells
    return None if solvable(grid.layout, clues) else deduce.Grid.from_numbers(grid.layout, clues)


def subtle(seed):
    """A 9x9 puzzle without solution in which no two clues clash at sight."""
    for spoil in range(200):
        grid = spoilt(minimal("9x9", seed), spoil, wrong=1)
        if grid is not None and not any(grid.givens & grid.layout.peers[c] for c in bits(grid.givens)):
            return grid
    raise AssertionError(f"no such puzzle from seed {seed}")


@given(st.sampled_from(["4x4", "5x5", "6x6"]), st.integers(0, 99), st.integers(0, 99))
def test_the_smallest_conflict_is_smallest(shape, seed, spoil):
    grid = spoilt(minimal(shape, seed), spoil)
    if grid is None:
        return
    found = validity(grid)
    assert found.count is Count.NONE
    conflict = found.conflict
    layout, clues = grid.layout, bits(grid.givens)
    assert conflict.smallest
    assert set(conflict.clues) <= set(clues)
    assert not solvable(layout, conflict.clues)
    size = len(conflict.clues)
    assert conflict.at_least == size
    if size > 1:
        fewer = combinations(clues, size - 1)
        assert all(solvable(layout, chosen) for chosen in fewer)


def test_a_conflict_on_the_large_grid_against_a_general_tool():
    from pysat.examples.optux import OptUx
    from pysat.formula import WCNF

    grid = subtle(3)
    layout = grid.layout
    formula = WCNF()
    groups = list(layout.masks)
    for mask in groups:
        formula.append([c + 1 for c in bits(mask)])
        for a, b in combinations(bits(mask), 2):
            formula.append([-a - 1, -b - 1])
    for clue in bits(grid.givens):
        formula.append([clue + 1], weight=1)
    with OptUx(formula, unsorted=True) as tool:
        smallest = next(tool.enumerate())
    found = validity(grid).conflict
    assert found.smallest
    assert len(found.clues) == len(smallest)


def test_without_enough_searches_the_conflict_is_only_irreducible():
    grid = subtle(3)
    clues = bits(grid.givens)
    found = validity(grid, checks=len(clues) + 3).conflict
    assert not found.smallest
    assert not solvable(grid.layout, found.clues)
    for clue in found.clues:
        assert solvable(grid.layout, [c for c in found.clues if c != clue])
    assert found.at_least <= len(found.clues)
    assert validity(grid, checks=1).conflict is None


@given(st.sampled_from(["4x4", "6x6"]), st.integers(0, 99), st.integers(1, 4), st.integers(0, 99))
def test_redundant_clues_are_those_that_follow(shape, seed, more, pick):
    puzzle = minimal(shape, seed)
    layout = puzzle.layout
    full = solution(puzzle)
    extra = Random(pick).sample([c for c in bits(full.true) if not puzzle.givens >> c & 1], more)
    clues = sorted([*bits(puzzle.givens), *extra])
    found = validity(deduce.Grid.from_numbers(layout, clues))
    assert found.count is Count.ONE

    def unique(chosen):
        denied = [-c - 1 for c in bits(full.true)]
        solver = rules(layout)
        return not any(solver.solve([*(c + 1 for c in chosen), literal]) for literal in denied)

    assert list(found.redundant) == [c for c in clues if unique([d for d in clues if d != c])]
    assert set(extra) <= set(found.redundant)
    kept = [c for c in clues if c not in found.spare]
    assert unique(kept)
    assert not any(unique([d for d in kept if d != c]) for c in kept)


def test_many_solutions_and_where_two_differ():
    found = validity(deduce.Grid.parse("12..34.........."))
    assert found.count is Count.MANY
    one, other = found.solutions
    names = [found.grid.layout.cell_name(cell) for cell in found.differ]
    assert names == [f"r{r}c{c}" for r in range(1, 5) for c in range(1, 5) if one.digit(r, c) != other.digit(r, c)]
    assert "More than one solution." in found.words()


def test_clues_that_clash_at_sight():
    found = validity(deduce.Grid.parse("11.............."))
    assert (len(found.conflict.clues), found.conflict.smallest) == (2, True)
    assert "Two clues conflict, and no fewer do: r1c1 is 1 and r1c2 is 1." in found.words()


def test_a_budget_too_small_is_told():
    found = validity(deduce.Grid.parse("." * 81), budget=0)
    assert (found.count, found.redundant, found.conflict) == (Count.UNKNOWN, (), None)
    assert "cut off by its budget" in found.words()


@pytest.mark.parametrize("shape", LAYOUTS)
def test_a_minimal_puzzle_has_no_redundant_clue(shape):
    found = validity(minimal(shape, 1))
    assert (found.count, found.redundant, found.spare) == (Count.ONE, (), ())
    assert found.words().endswith("Exactly one solution.\nNo clue could be left out.")
    told = json.loads(found.to_json())
    assert (told["format"], told["solutions"], told["redundant"]) == ("deduce-status", "one", [])
