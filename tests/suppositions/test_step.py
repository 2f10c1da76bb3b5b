"""Suppositions, the steps beyond every pattern, names by shape, and lean proofs."""

from __future__ import annotations

import functools
import os
import random
import subprocess
import sys
from operator import or_
from types import SimpleNamespace

import pytest
from counting.positions import BEYOND_PATTERNS, PLAIN, judge, place_of, stuck
from hypothesis import given, settings, strategies as st

import deduce
from deduce import counting
from deduce.counting.meter import Meter
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.shapes import argument_fault, argument_of
from deduce.kernel import Constraint, Inference, Model, Position, Supposition, check, place
from deduce.links.statements import statements_of
from deduce.patterns.catalogue import PLAIN as NAMES, choose, first
from deduce.patterns.singles import SINGLES
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle
from deduce.solving.propagation import where_chains_lead, witness
from deduce.solving.samples import true_in_solutions
from deduce.suppositions.ahead import plan_ahead
from deduce.suppositions.choices import supposition
from deduce.suppositions.refit import refitted
from deduce.suppositions.trail import Trail, size_of


def walked(grid, patterns, names=counting.NAMES):
    """Walk with patterns first and counting behind them; return the last grid and the proofs of counting."""
    finders = choose(patterns) if patterns else ()
    barren, memory, ours = {}, [], []
    while grid.true.bit_count() < grid.layout.cells:
        proof = first(grid, finders, barren)[0] if finders else None
        if proof is None:
            proof, outcome = counting.next_proof(grid, names=names, memory=memory)
            if proof is None:
                return grid, ours, outcome
            assert outcome is counting.Outcome.FOUND
            ours.append(proof)
        grid = grid.moved(check(grid, proof).after)
    return grid, ours, None


@pytest.mark.parametrize("seed", BEYOND_PATTERNS)
def test_puzzles_that_no_pattern_solves_are_solved(seed):
    start = minimal_puzzle(seed)
    grid, ours, _ = walked(start, NAMES)
    assert grid.solved
    assert ours
    assert grid.line() == next(deduce.solutions(start, 1)).line()
    assert {proof.depth for proof in ours} <= {0, 1}


@pytest.mark.parametrize("order", [4, 6])
@pytest.mark.parametrize("seed", range(3))
def test_counting_alone_solves_small_puzzles(order, seed):
    grid, ours, _ = walked(minimal_puzzle(seed, Layout.standard(order)), None)
    assert grid.solved
    assert ours


def test_suppositions_alone_solve_a_puzzle():
    grid, ours, _ = walked(stuck(6), ("hidden single", "naked single"), names=(SUPPOSITION,))
    assert grid.solved
    assert {proof.pattern.name for proof in ours} == {SUPPOSITION}


def test_sums_alone_stop_where_no_sum_concludes_anything():
    grid, ours, outcome = walked(minimal_puzzle(6), PLAIN, names=(COUNTING,))
    assert all(proof.depth == 0 for proof in ours)
    if not grid.solved:
        assert outcome is counting.Outcome.NONE
        assert not counting.eliminations(grid).proofs


def test_a_position_with_several_solutions_ends_with_none():
    grid = deduce.Grid.parse("12..34..21......")
    assert len(list(deduce.solutions(grid, None))) == 4
    last, _, outcome = walked(grid, NAMES)
    assert outcome is counting.Outcome.NONE
    every = [solved.true for solved in deduce.solutions(last, None)]
    # What is still open is true in one solution and false in another: nothing more can be concluded.
    assert last.live == every[0] | every[1] | every[2] | every[3]


def test_an_impossible_position_ends_in_a_contradiction():
    grid = deduce.Grid.parse("1234............").without(["1r2c3", "1r2c4"])
    assert not list(deduce.solutions(grid))
    proof, outcome = counting.next_proof(grid)
    steps = 0
    while not check(grid, proof).contradiction:
        grid = grid.moved(check(grid, proof).after)
        proof, outcome = counting.next_proof(grid)
        steps += 1
    assert outcome is counting.Outcome.FOUND
    assert proof.contradiction
    assert steps < 64


def test_a_budget_that_is_spent_is_not_called_none():
    grid = deduce.walk(minimal_puzzle(6), NAMES).grid
    proof, outcome = counting.next_proof(grid, budget=0)
    assert proof is None
    assert outcome is counting.Outcome.BUDGET_SPENT
    meter = Meter(3)
    assert [meter.take() for _ in range(5)] == [True, True, True, False, False]
    assert meter.spent


def test_same_steps_on_every_run_and_hash_seed():
    program = (
        "from counting.positions import stuck\n"
        "from deduce import counting\n"
        "grid, memory = stuck(6), []\n"
        "for _ in range(6):\n"
        "    proof, _ = counting.next_proof(grid, memory=memory)\n"
        "    print(proof, proof.inferences)\n"
        "    from deduce.kernel import check\n"
        "    grid = grid.moved(check(grid, proof).after)\n"
    )
    outputs = set()
    for seed in ("0", "1"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
        outputs.add(
            subprocess.run(
                [sys.executable, "-c", program], capture_output=True, text=True, env=environment, check=True
            ).stdout
        )
    assert len(outputs) == 1
    assert outputs.pop().count("\n") == 6


@given(seed=st.integers(0, 40), pick=st.integers(0, 999), order=st.sampled_from([4, 6]))
@settings(max_examples=30)
def test_the_screen_and_the_trail_agree_and_the_kernel_follows(seed, pick, order):
    grid = stuck(seed, order, ("naked quad",))
    statements, position = statements_of(grid.model), place_of(grid)
    candidates = bits(position.live & ~position.true)
    if not candidates:
        return
    candidate = candidates[pick % len(candidates)]
    end, _ = where_chains_lead(statements, *place(grid.model, position, candidate))
    found = supposition(statements, position, candidate)
    assert (end is None) == (found is not None)
    if found is None:
        assert Trail.supposing(statements, position, candidate).run() is False
        return
    judge(grid.model, position, Inference(found, (candidate,)))
    fitted = refitted(statements, position, found)
    judge(grid.model, position, fitted)
    assert size_of(fitted.argument) <= size_of(found)


@pytest.mark.parametrize("seed", range(4))
def test_a_witness_is_a_solution(seed):
    grid = stuck(seed, 6, ("naked quad",))
    assert witness(statements_of(grid.model), place_of(grid)) in {s.true for s in deduce.solutions(grid, None)}


def test_a_plan_is_pruned_to_what_the_solution_rests_on():
    grid = stuck(6)
    statements, position = statements_of(grid.model), place_of(grid)
    way = plan_ahead(statements, position, counting.NAMES, Meter())
    assert way
    here = position
    for argument in way:
        inference = refitted(statements, here, argument)
        if inference is not None:
            here = judge(grid.model, here, inference).after
    assert here.live == here.true


@pytest.mark.parametrize("seed", BEYOND_PATTERNS)
def test_a_plan_is_followed_with_nothing_but_singles_beside_it(seed):
    """Patterns that the planned way does not need are passed over, even where they are to be had."""
    walk = deduce.walk(minimal_puzzle(seed))
    names = [step.proof.pattern.name for step in walk.steps]
    at = next(i for i, name in enumerate(names) if name in counting.NAMES)
    start = walk.steps[at].before
    way = plan_ahead(statements_of(start.model), place_of(start), counting.NAMES, Meter(), start.layout)
    planned = {argument.candidate if isinstance(argument, Supposition) else argument for argument in way}
    beside = 0
    for step in walk.steps[at:]:
        if step.proof.pattern.name not in SINGLES:
            (argument,) = (inference.argument for inference in step.proof.inferences)
            assert (argument.candidate if isinstance(argument, Supposition) else argument) in planned
            beside += next(deduce.find(step.before, NAMES), None) is not None
    assert walk.solved
    assert bool(beside) is (seed != 6)  # there one supposition is enough, and singles end it


def test_depth_two_only_after_depth_one_has_failed():
    # A parity puzzle: three pairs of which exactly one is true, and every even choice of the three is forbidden, in
    # clauses of three.  One supposition leaves pairs of clauses that no sum and no single settles; two settle all.
    names = ["a", "A", "b", "B", "c", "C", "d", "D"]
    pairs = [Constraint(f"pair {i}", ((2 * i, 1), (2 * i + 1, 1)), 1, 1) for i in range(4)]
    rules = list(pairs)
    for number in range(16):
        flips = [number >> i & 1 for i in range(4)]
        terms = tuple((2 * i + (1 - flip), 1) for i, flip in enumerate(flips))
        rules.append(Constraint(f"clause {number}", terms, 1, None))
    model = Model(names, rules)
    position = Position((1 << 8) - 1, 0)
    way = plan_ahead(statements_of(model), position, counting.NAMES, Meter())
    depths = []
    here, done = position, False
    for argument in way:
        inference = refitted(statements_of(model), here, argument)
        if inference is None:
            continue
        depths.append(_depth(inference.argument))
        checked = judge(model, here, inference)
        here, done = checked.after, checked.contradiction
    assert done
    assert max(depths) == 2


def _depth(argument):
    if isinstance(argument, Supposition):
        return 1 + max((_depth(inner.argument) for inner in argument.inferences), default=0)
    return 0


def test_sums_without_a_name_tell_their_parts():
    grid = deduce.walk(minimal_puzzle(6), NAMES).grid
    found = [proof for proof in counting.eliminations(grid).proofs if proof.pattern.name == COUNTING]
    assert found
    for proof in found:
        (inference,) = proof.inferences
        assert argument_of(grid, proof.pattern) == inference.argument
        assert argument_fault(grid, proof.pattern) is None
    pattern = found[0].pattern
    wrong = SimpleNamespace(name=COUNTING, roles=pattern.roles[1:], role=pattern.role)
    assert argument_fault(grid, wrong) is not None


def test_nothing_is_printed_and_highs_is_loaded_late():
    program = (
        "import sys, deduce\n"
        "from deduce import counting\n"
        "assert 'highspy' not in sys.modules\n"
        "grid = deduce.Grid.parse('12.. 3... .... ...1')\n"
        "counting.simplest(grid)\n"
        "assert 'highspy' in sys.modules\n"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, env=environment, check=True)
    assert done.stdout == ""


@pytest.mark.thorough
def test_the_hardest_known_puzzles_are_solved_at_depth_one(collections):
    lines = [line for line in (collections / "hardest_375_part.txt").read_text().splitlines() if line[0] != "#"]
    for line in lines[::8]:
        grid, ours, _ = walked(deduce.Grid.parse(line), NAMES)
        assert grid.solved
        assert max(proof.depth for proof in ours) == 1


@pytest.mark.parametrize(
    "text",
    [
        "grid 5 without boxes\ncage r1c1 r1c2 r2c1 = 9\nr3c1 < r3c2 < r3c3\nequal r5c1 = r4c4 r4c5",
        "grid 6\ncage r1c1 r1c2 r2c1 = 12\ncage r5c5 r5c6 r6c6 = 7\nr3c1 < r3c2 < r3c3\ntotal r6c1 r6c2 r6c3 >= 12",
        "grid 9\nequal r1c1 = r2c4 r5c5\nknight",
        "grid 9\nknight\nking",
        "grid 9\ndiagonals\nknight",
    ],
)
def test_a_board_with_rules_and_many_solutions_is_soon_left_alone(text):
    """What stands in a solution is not supposed: the walk is stuck, where it took minutes and a budget before."""
    walk = deduce.walk(deduce.Grid.empty(Layout.parse(text)), trials=4_000)
    assert walk.outcome is deduce.walks.Outcome.STUCK
    known = true_in_solutions(walk.grid.layout, place_of(walk.start))
    assert known
    assert not known & ~walk.grid.live


SMALL = [
    "grid 4",
    "grid 4\ndiagonals\nr1c1 < r2c1",
    "grid 4\nknight",
    "grid 4\nneighbours differ by 2",
    "grid 4\ncage r1c1 r1c2 r2c1 = 8\nequal r4c4 = r3c3 r3c4",
    "grid 4 without boxes\ntotal r1c1 r2c2 r3c3 >= 9\neven r4c4",
]


@pytest.mark.parametrize("text", SMALL)
@pytest.mark.parametrize("branches", [0, 2_000])
def test_what_stands_in_a_solution_is_known(text, branches, monkeypatch):
    """All of it on small boards, whether there is no solution, one or many; also where runs alone find them."""
    monkeypatch.setattr("deduce.solving.samples.BRANCHES", branches)
    layout = Layout.parse(text)
    kinds = set()
    for seed in range(40):
        some = random.Random(seed)
        live = layout.every & ~sum(1 << c for c in some.sample(bits(layout.every), some.choice([0, 8, 16, 24, 28])))
        grid = deduce.Grid(layout, live, 0, 0)
        solutions = [solved.true for solved in deduce.solutions(grid, None)]
        assert true_in_solutions(layout, Position(live, 0)) == functools.reduce(or_, solutions, 0)
        kinds.add(min(len(solutions), 2))
    # No board of order 4 has neighbours that all differ by 2.
    assert kinds == ({0} if "neighbours" in text else {0, 1, 2})


@pytest.mark.parametrize("text", ["grid 9\nknight", "grid 9\nknight\nking", "grid 9\ndiagonals\nwindows", "grid 16"])
def test_a_nearly_empty_board_is_known_as_a_whole(text):
    layout = Layout.parse(text)
    assert true_in_solutions(layout, Position(layout.every, 0)) == layout.every
