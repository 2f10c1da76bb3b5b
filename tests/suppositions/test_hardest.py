"""Walks through puzzles beyond every named pattern: solved, shallow, sound, and told no longer than they need be."""

from __future__ import annotations

from functools import partial

import pytest
from counting.positions import BEYOND_PATTERNS, judge, place_of

import deduce
from deduce import counting
from deduce.__main__ import main
from deduce.counting.fillings import Fillings
from deduce.counting.meter import Meter, allowance
from deduce.counting.reach import Scan
from deduce.counting.system import System
from deduce.kernel import Inference, Position, check, place
from deduce.links.statements import statements_of
from deduce.patterns import PLAIN
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import puzzles
from deduce.solving.generate import minimal_puzzle
from deduce.solving.propagation import where_chains_lead
from deduce.suppositions.choices import supposition
from deduce.suppositions.screen import Screen
from deduce.suppositions.set_chains import SetChains
from deduce.suppositions.trail import size_of


def sound(start: deduce.Grid) -> list[int]:
    """Walk a puzzle, and check each step against its solution; return the sizes of the steps beyond patterns."""
    solved = deduce.walk(start)
    (solution,) = deduce.solutions(start)
    assert solved.outcome == "solved", start.line()
    assert solved.grid.true == solution.true
    sizes = []
    for step in solved.steps:
        assert not solution.true & ~step.after.live, (start.line(), step.proof)
        assert not step.after.true & ~solution.true, (start.line(), step.proof)
        assert step.proof.depth <= 1, (start.line(), step.proof)
        if step.proof.pattern.name in counting.NAMES:
            sizes += [size_of(inference.argument) for inference in step.proof.inferences]
    solved.check()
    return sizes


@pytest.mark.parametrize("seed", BEYOND_PATTERNS)
def test_walks_beyond_patterns_are_sound(seed):
    assert sound(minimal_puzzle(seed))


def test_some_of_the_hardest_known_puzzles(collections):
    lines = puzzles((collections / "hardest_375_part.txt").read_text(encoding="utf-8"))
    sizes = [size for line in (lines[78], lines[91]) for size in sound(deduce.Grid.parse(line))]
    # Nobody follows a sum over hundreds of constraints: these two walks come without.
    assert max(sizes) < 150


THOROUGH = {
    "hardest_375_part.txt": 6,
    "hard_1465_part.txt": 10,
    "hard_95.txt": 2,
    "seventeen_clues.txt": 40,
    "euler96_50.txt": 1,
    "knuth_taocp_9x9.txt": 1,
    "gecode_9x9.txt": 1,
}


@pytest.mark.thorough
@pytest.mark.parametrize("name", THOROUGH)
def test_puzzles_of_the_lists(collections, name):
    lines = puzzles((collections / name).read_text(encoding="utf-8"))
    for line in lines[:: THOROUGH[name]]:
        sound(deduce.Grid.parse(line))


def test_suppositions_that_a_screen_breaks_do_break():
    """Brute force: each such candidate is in no solution, and what it leads to under the rest is never lost."""
    for seed in BEYOND_PATTERNS:
        grid = deduce.walk(minimal_puzzle(seed), PLAIN).grid
        (solution,) = deduce.solutions(grid)
        statements, position = statements_of(grid.model), place_of(grid)
        tied = SetChains(statements, grid.layout)
        candidates = bits(position.live & ~position.true)
        quick = {
            c
            for _, c in Screen(statements, partial(where_chains_lead, statements), Meter()).broken(position, candidates)
        }
        found = {c for _, c in Screen(statements, tied.followed, Meter()).broken(position, candidates)}
        assert quick <= found
        assert found
        assert not any(solution.true >> c & 1 for c in found)
        for candidate in candidates:
            supposed = counting.refute(grid, candidate, budget=0)[0]
            assert (supposed is not None) == (candidate in found), grid.model.names[candidate]
            if supposed is not None:
                assert check(grid, supposed)
        for candidate in bits(solution.true & position.live & ~position.true):
            end, _ = tied.followed(*place(grid.model, position, candidate))
            assert end is not None
            assert not solution.true & ~end.live


def test_a_screen_that_goes_on_finds_what_a_fresh_one_does():
    grid = deduce.walk(minimal_puzzle(BEYOND_PATTERNS[0]), PLAIN).grid
    statements, position = statements_of(grid.model), place_of(grid)
    (solution,) = deduce.solutions(grid)
    follow = SetChains(statements, grid.layout).followed
    lasting = Screen(statements, follow, Meter())
    for gone in (None, *bits(position.live & ~position.true & ~solution.true)[:40:8]):
        if gone is not None:
            position = Position(position.live & ~(1 << gone), position.true)
        candidates = bits(position.live & ~position.true)
        screens = lasting, Screen(statements, follow, Meter())
        one, other = ({c for _, c in screen.broken(position, candidates)} for screen in screens)
        assert one == other


@pytest.mark.parametrize("limit", [20, 40, float("inf")])
def test_fillings_found_elsewhere_answer_as_new_ones_do(limit):
    grid = deduce.walk(minimal_puzzle(BEYOND_PATTERNS[0]), PLAIN).grid
    statements, here = statements_of(grid.model), place_of(grid)
    fillings = Fillings()
    asked = saved = 0
    for candidate in (None, *bits(here.live & ~here.true)[::20]):
        position = here if candidate is None else where_chains_lead(statements, *place(grid.model, here, candidate))[0]
        if position is None:
            continue
        remembering = Scan(System(grid.model, position), limit=limit, fillings=fillings)
        plain = Scan(System(grid.model, position), limit=limit)
        answers = [sorted(map(str, scan.questions())) for scan in (remembering, plain)]
        assert answers[0] == answers[1]
        asked += len(answers[0])
        saved += plain.solves - remembering.solves
    assert asked
    assert saved > 0


def test_a_walk_honours_its_trials():
    start = minimal_puzzle(BEYOND_PATTERNS[0])
    patterns_only = deduce.walk(start, PLAIN)
    assert patterns_only.outcome == "stuck"
    cut = deduce.walk(start, trials=0)
    assert (cut.outcome, len(cut)) == ("budget spent", len(patterns_only))
    assert deduce.walk(start, trials=5).outcome == "budget spent"
    assert deduce.walk(start, trials=100_000).solved
    with pytest.raises(ValueError, match="trials is -1"):
        deduce.walk(start, trials=-1)


def test_what_may_be_tried_is_bounded():
    # The hardest of the 125 puzzles of the shelf's hardest list uses about 10,000.
    assert allowance(Layout.standard(9).model) > 20_000
    sizes = [allowance(Layout.standard(order).model) for order in (4, 9, 12, 16, 25)]
    assert sizes == sorted(sizes, reverse=True)
    meter = Meter(7)
    grid = deduce.walk(minimal_puzzle(BEYOND_PATTERNS[0]), PLAIN).grid
    proof, outcome = counting.next_proof(grid, budget=meter)
    assert (proof, outcome, meter.used, meter.spent) == (None, counting.Outcome.BUDGET_SPENT, 7, True)


def test_one_candidate_is_settled_by_what_is_less_to_read():
    grid = deduce.walk(minimal_puzzle(BEYOND_PATTERNS[0]), PLAIN).grid
    (solution,) = deduce.solutions(grid)
    for candidate in grid.candidates()[::7]:
        proof, outcome = counting.settle(grid, candidate)
        if solution.true >> grid.number(candidate) & 1:
            assert proof is None or candidate in proof.places
            continue
        if proof is None:
            assert outcome is not counting.Outcome.FOUND
            continue
        check(grid, proof)
        assert candidate in proof.eliminates
        least = counting.smallest(grid, candidate)
        assert least is None or proof.effort <= least.effort or proof == least


def test_a_refutation_drawn_in_another_order_holds_as_well():
    grid = deduce.walk(minimal_puzzle(BEYOND_PATTERNS[1]), PLAIN).grid
    statements, position = statements_of(grid.model), place_of(grid)
    tied = SetChains(statements, grid.layout)
    candidates = bits(position.live & ~position.true)
    seen = 0
    for _, candidate in Screen(statements, tied.followed, Meter()).broken(position, candidates)[:20]:
        for together in (False, True):
            found = supposition(statements, position, candidate, (tied.arguments,), together=together)
            judge(grid.model, position, Inference(found, (candidate,)))
            shorter = supposition(statements, position, candidate, (tied.arguments,), size_of(found) - 1)
            assert shorter is None or together
            seen += 1
    assert seen


def test_the_command_takes_trials(capsys):
    puzzle = minimal_puzzle(BEYOND_PATTERNS[0]).line()
    assert main(["walk", puzzle, "--trials", "0", "--quiet"]) == 1
    assert "its budget was spent" in capsys.readouterr().out
    assert main(["walk", puzzle, "--trials", "-2"]) == 2
    assert "--trials: -2 is below 0" in capsys.readouterr().err
