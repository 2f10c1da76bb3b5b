"""Stuck points: what is on the board, what it unlocks, and bottlenecks against every order of steps."""

from __future__ import annotations

import pytest
from strategies import LAYOUTS

import deduce
from deduce.errors import PatternError
from deduce.kernel import Position, bits, place
from deduce.patterns import NAMES
from deduce.patterns.singles import SINGLES
from deduce.solving.generate import minimal_puzzle
from deduce.walks import StuckPoint, bottlenecks, prune, stuck_point, stuck_points

LOCKED = ("locked candidates, pointing", "locked candidates, claiming")
LINES = ("hidden pair", "naked triple", "hidden triple", "X-wing", "skyscraper", "two-string kite", "W-wing")
CASES = [
    *[("9x9", seed, SINGLES, LINES) for seed in (7, 36, 58)],
    *[("9x9", seed, SINGLES, (*LOCKED, "naked pair")) for seed in (5, 8, 12)],
    *[("5x5", seed, ("naked single",), ("naked pair", "hidden pair")) for seed in (11, 15, 17, 32, 42, 52)],
]


@pytest.mark.parametrize(("shape", "seed", "simple", "allowed"), CASES, ids=lambda value: str(value)[:12])
def test_everything_on_the_board_is_listed_with_what_it_unlocks(shape, seed, simple, allowed):
    grid = minimal_puzzle(seed, LAYOUTS[shape])
    point = stuck_point(grid, allowed, simple=simple)
    assert point.grid == deduce.walk(grid, simple).grid
    found: dict[tuple, list] = {}
    for proof in deduce.find(point.grid, allowed):
        found.setdefault((proof.pattern.name, proof.eliminates, proof.places), []).append(proof)
    assert {(d.proof.pattern.name, d.proof.eliminates, d.proof.places): d.arguments for d in point.deductions} == {
        what: len(proofs) for what, proofs in found.items()
    }
    ends = []
    for deduction in point.deductions:
        after = point.grid.moved(deduce.check(point.grid, deduction.proof).after)
        end = deduce.walk(after, simple).grid
        assert deduction.placed == (end.true & ~point.grid.true).bit_count()
        assert deduction.gone == (point.grid.live & ~end.live).bit_count()
        assert deduction.solves == end.solved
        ends.append(end)
    assert sorted(i for group in point.alternatives for i in group) == list(range(len(ends)))
    for group in point.alternatives:
        for i, end in enumerate(ends):
            assert (end == ends[group[0]]) == (i in group)
    names = [d.proof.pattern.name for d in point.deductions]
    assert {name: len(same) for name, same in point.by_pattern.items()} == {name: names.count(name) for name in names}
    assert list(point.by_pattern) == sorted(point.by_pattern, key=NAMES.index)


def solved_without(grid: deduce.Grid, simple, allowed, false: set[int], true: set[int]) -> bool:
    """Whether some order of steps that never concludes these leads to the solution: every position is tried."""
    start = deduce.walk(grid, simple).grid
    todo, seen = [Position(start.live, start.true)], set()
    while todo:
        position = todo.pop()
        if position in seen:
            continue
        seen.add(position)
        assert len(seen) < 300
        here = grid.moved(position)
        if here.solved:
            return True
        for proof in deduce.find(here, allowed):
            live, put = position.live, []
            for inference in proof.inferences:
                live &= ~sum(1 << c for c in inference.false if c not in false)
                put += [c for c in inference.true if c not in true]
            after = Position(live, position.true)
            for candidate in put:
                after = place(grid.model, after, candidate)
            end = deduce.walk(grid.moved(after), simple).grid
            todo.append(Position(end.live, end.true))
    return False


def test_bottlenecks_against_every_order_of_steps():
    narrow = wide = 0
    for shape, seed, simple, allowed in CASES:
        grid = minimal_puzzle(seed, LAYOUTS[shape])
        point = stuck_point(grid, allowed, simple=simple)
        assert point.opens == deduce.walk(grid, (*simple, *allowed)).solved
        told = {(grid.number(one.candidate), one.places) for one in point.bottlenecks}
        if simple == SINGLES and allowed != LINES:
            assert all(one.proved for one in point.bottlenecks), "these patterns shrink to nothing that is not allowed"
        assert point.bottlenecks == bottlenecks(grid, allowed, simple=simple)
        if not point.opens:
            assert not told
            continue
        (solution,) = deduce.solutions(grid)
        wrong = bits(point.grid.live & ~point.grid.true & ~solution.true)
        # Those that are told, and some of those that are not: each means a search through every order of steps.
        for candidate in sorted({*wrong[::11], *(c for c, places in told if not places)}):
            way_around = solved_without(point.grid, simple, allowed, {candidate}, set())
            assert ((candidate, False) in told) == (not way_around), f"{grid.line()} {grid.candidate(candidate)}"
        for deduction in point.deductions[:6]:
            false = {grid.number(c) for c in deduction.proof.eliminates}
            true = {grid.number(c) for c in deduction.proof.places}
            assert deduction.bottleneck == (not solved_without(point.grid, simple, allowed, false, true))
            narrow += deduction.bottleneck
            wide += not deduction.bottleneck
        for one in point.bottlenecks:
            assert all(one.candidate in d.proof.eliminates for d in point.passes(one))
    assert narrow
    assert wide


def test_the_stuck_points_of_a_walk():
    walked = prune(deduce.walk(minimal_puzzle(104)))
    found = list(stuck_points(walked, LOCKED))
    advanced = [step.proof.pattern.name not in SINGLES for step in walked.steps]
    starts = [i for i, now in enumerate(advanced) if now and (i == 0 or not advanced[i - 1])]
    assert [number for number, _ in found] == starts
    for number, point in found:
        assert isinstance(point, StuckPoint)
        assert point.grid == deduce.walk(walked.steps[number].before, SINGLES).grid
    stuck = deduce.walk(minimal_puzzle(909), SINGLES)
    ((number, point),) = stuck_points(stuck, LOCKED)
    assert (number, point.grid) == (len(stuck), stuck.grid)


def test_where_there_is_nothing_to_see():
    easy = minimal_puzzle(1, LAYOUTS["4x4"])
    point = stuck_point(easy)
    assert (point.deductions, point.bottlenecks, point.opens, point.grid.solved) == ((), (), True, True)
    assert bottlenecks(easy) == ()
    blank = stuck_point(deduce.Grid.empty(LAYOUTS["4x4"]))
    assert (blank.deductions, blank.opens) == ((), False)
    impossible = stuck_point(deduce.Grid.parse("1.......1......."))
    assert not impossible.opens
    with pytest.raises(PatternError):
        stuck_point(easy, ["naked pairs"])
