"""Walks: outcomes, budgets, allowlists, and steps that join."""

from dataclasses import replace

import pytest

import deduce
from deduce.solving.generate import minimal_puzzle
from deduce.walks import Outcome

HARD = minimal_puzzle(909)


def test_a_hard_puzzle_is_walked_to_its_solution():
    walk = deduce.walk(HARD)
    (solution,) = deduce.solutions(HARD)
    assert walk.outcome is Outcome.SOLVED
    assert walk.solved
    assert walk.grid.solved
    assert walk.grid.line() == solution.line()
    assert walk.start is HARD
    assert repr(walk) == f"<Walk: solved after {len(walk)} steps>"


def test_steps_join_and_are_checked_again():
    walk = deduce.walk(HARD)
    assert walk.steps[0].before == HARD
    for step, following in zip(walk.steps, walk.steps[1:], strict=False):
        assert step.after == following.before
        assert step.after == step.before.moved(step.checked.after)
    again = walk.check()
    assert [checked.after for checked in again] == [step.checked.after for step in walk.steps]


def test_a_walk_with_a_step_left_out_does_not_check():
    walk = deduce.walk(HARD)
    key = next(i for i, step in enumerate(walk.steps) if step.proof.pattern.name == "skyscraper")
    refused = 0
    for i in range(len(walk.steps) - 1):
        shorter = replace(walk, steps=walk.steps[:i] + walk.steps[i + 1 :])
        try:
            shorter.check()
        except deduce.ProofError:
            refused += 1
    assert refused > len(walk) // 2
    assert key


def test_each_step_is_the_first_that_find_offers():
    for step in deduce.walk(HARD, order="catalogue").steps:
        assert next(deduce.find(step.before)).inferences == step.proof.inferences


def test_being_stuck_is_an_outcome():
    walk = deduce.walk(HARD, ["hidden single", "naked single"])
    assert walk.outcome is Outcome.STUCK
    assert not walk.solved
    assert walk.patterns == ("hidden single", "naked single")
    assert list(deduce.find(walk.grid, walk.patterns)) == []
    assert deduce.walk(deduce.Grid.empty()).outcome is Outcome.STUCK


def test_the_budget_counts_steps_and_is_told():
    full = deduce.walk(HARD)
    for budget in (0, 1, 10):
        walk = deduce.walk(HARD, budget=budget)
        assert walk.outcome is Outcome.BUDGET_SPENT
        assert walk.steps == full.steps[:budget]
    assert deduce.walk(HARD, budget=len(full)).outcome is Outcome.SOLVED
    with pytest.raises(ValueError, match="budget is -1"):
        deduce.walk(HARD, budget=-1)


def test_a_budget_is_not_blamed_for_being_stuck():
    stuck = deduce.walk(HARD, ["hidden single"])
    assert deduce.walk(HARD, ["hidden single"], budget=len(stuck)).outcome is Outcome.STUCK


def test_an_impossible_grid_ends_in_its_contradiction():
    (solution,) = deduce.solutions(HARD)
    wrong = next(c for c in HARD.candidates() if not solution.live >> HARD.number(c) & 1)
    lied = deduce.Grid.from_numbers(HARD.layout, [*range(0)], [HARD.number(wrong)])
    clash = deduce.Grid.parse("11" + "." * 79)
    walk = deduce.walk(clash)
    assert walk.outcome is Outcome.IMPOSSIBLE
    assert len(walk) == 1
    assert walk.steps[0].proof.contradiction
    assert walk.check()[-1].contradiction
    assert deduce.walk(lied).outcome is not Outcome.IMPOSSIBLE


def test_a_wrong_entry_is_found_out_by_a_proved_contradiction():
    (solution,) = deduce.solutions(HARD)
    givens = [c for c in range(len(HARD.model.names)) if HARD.givens >> c & 1]
    found = 0
    for wrong in HARD.candidates()[::9]:
        number = HARD.number(wrong)
        if solution.live >> number & 1:
            continue
        walk = deduce.walk(deduce.Grid.from_numbers(HARD.layout, givens, [number]))
        assert walk.outcome in (Outcome.IMPOSSIBLE, Outcome.STUCK)
        found += walk.outcome is Outcome.IMPOSSIBLE
        walk.check()
    assert found > 5


def test_notes_of_a_person_are_named_by_the_steps_that_rest_on_them():
    walk = deduce.walk(HARD)
    step = next(step for step in walk.steps if step.proof.pattern.name == "naked single")
    pencilled = deduce.Grid.parse(step.before.pencil())
    proof = next(p for p in deduce.find(pencilled) if p.places == step.proof.places)
    expected = [c for c in proof.rests_on if pencilled.assumed >> pencilled.number(c) & 1]
    assert list(proof.assumes) == expected
    assert any(step.proof.assumes for step in deduce.walk(pencilled).steps)


def test_a_solved_grid_needs_no_step():
    (solution,) = deduce.solutions(HARD)
    walk = deduce.walk(solution)
    assert (walk.outcome, len(walk)) == (Outcome.SOLVED, 0)


def test_walks_show_themselves():
    walk = deduce.walk(minimal_puzzle(4))
    assert set(walk._repr_mimebundle_()) >= {"text/html", "text/plain"}
    assert walk.words().count("\n") > len(walk)
    assert set(walk.start._repr_mimebundle_()) >= {"image/svg+xml", "text/plain"}
    assert set(walk.steps[0].proof._repr_mimebundle_()) >= {"image/svg+xml", "text/plain"}
