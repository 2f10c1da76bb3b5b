"""Who assumes a unique solution says so: the default, the names, the marks along a walk, refusals, and reports."""

from __future__ import annotations

import json
import pickle
import sys
from itertools import combinations
from random import Random

import pytest
from hypothesis import given, settings, strategies as st
from strategies import minimal, puzzles, solution

import deduce
from deduce.__main__ import main
from deduce.errors import ExportError, SeveralSolutionsError, UniquenessError
from deduce.exchange import Document, to_pseudo_boolean, verify
from deduce.exchange.clausal import to_clausal
from deduce.kernel import Counting, Inference, Swap
from deduce.links.swaps import exchangeable
from deduce.patterns import NAMES, PLAIN, UNIQUE, choose
from deduce.patterns.catalogue import find_unasked
from deduce.planning.compare import as_walk
from deduce.planning.plan_data import plan_data, stuck_data
from deduce.positions import bits
from deduce.proof import Pattern, Proof
from deduce.solving.uniqueness import one_solution
from deduce.walks import compare, plan, premises_of, prune, stuck_point, stuck_points, themes
from deduce.walks.prune import needed_steps, restated
from deduce.words.en.planning import plan_text, pruned_text, searched_text, stuck_text, summary


def several():
    """A complete grid without the four corners of a rectangle, which therefore has two solutions."""
    full = solution(minimal("9x9", 3))
    layout = full.layout
    digit = {n % 81: n // 81 + 1 for n in bits(full.true)}
    for a, d in combinations(range(81), 2):
        corners = (a, a // 9 * 9 + d % 9, d // 9 * 9 + a % 9, d)
        first, second, third, fourth = (digit[cell] for cell in corners)
        crosswise = a % 9 < d % 9 and a // 9 < d // 9 and first == fourth and second == third
        if crosswise and exchangeable(layout, corners, (first, second)):
            return deduce.Grid.from_numbers(layout, [n for n in bits(full.true) if n % 81 not in corners])
    raise AssertionError("no rectangle in the solution")


def assuming(seed):
    """A walk that uses a pattern that assumes a unique solution, simple ones first."""
    return deduce.walk(minimal("9x9", seed), [*PLAIN[:8], *UNIQUE, "XY-chain"], assume_unique=True)


def test_the_default_never_assumes():
    assert {name for _, _, wanted in choose(None) for name in wanted} == {*PLAIN}
    assert {*NAMES} - {*PLAIN} == UNIQUE
    for seed in (2, 3, 33):
        walked = deduce.walk(minimal("9x9", seed))
        assert not walked.assumes_unique
        assert walked.one_solution is None
        assert UNIQUE.isdisjoint(walked.patterns)
        assert not any(step.after.presumed for step in walked.steps)
        for step in walked.steps[::7]:
            assert not any(proof.assumes_unique for proof in deduce.find(step.before))


@pytest.mark.parametrize("name", sorted(UNIQUE))
def test_a_name_without_the_assumption_is_an_error(name):
    grid = minimal("9x9", 3)
    for refused in (
        lambda: deduce.walk(grid, ["hidden single", name]),
        lambda: deduce.find(grid, [name]),
        lambda: plan(grid, [name]),
        lambda: stuck_point(grid, [name]),
        lambda: themes([grid], [name]),
    ):
        with pytest.raises(UniquenessError, match="only in a puzzle with one solution") as caught:
            refused()
        assert caught.value.names == (name,)
        assert "assume_unique=True (--assume-unique on the command line)" in str(caught.value)
    assert isinstance(caught.value, ValueError)


def test_a_puzzle_with_two_solutions_is_refused_with_both():
    grid = several()
    for refused in (
        lambda: deduce.walk(grid, assume_unique=True),
        lambda: deduce.find(grid, assume_unique=True),
        lambda: deduce.walk(grid, ["hidden single"], assume_unique=True),
        lambda: one_solution(grid),
    ):
        with pytest.raises(SeveralSolutionsError) as caught:
            refused()
        lines = [caught.value.first, caught.value.second]
        assert lines[0] != lines[1]
        for line in lines:
            assert deduce.Grid.parse(line).solved
            assert all(a == b for a, b in zip(line, grid.line(), strict=True) if b != ".")
            assert line in str(caught.value)
    assert deduce.walk(grid).outcome.value == "stuck"
    left_out = {}
    assert not list(themes([grid], ["bivalue grid"], assume_unique=True, left_out=left_out.__setitem__))
    assert left_out == {1: "several solutions"}
    assert searched_text(0, [*left_out.values()]) == "1 puzzle searched: 0 show it, 1 has several solutions."


def test_the_refusal_says_where_the_two_differ():
    with pytest.raises(SeveralSolutionsError) as caught:
        one_solution(several())
    one, other = (deduce.Grid.parse(line) for line in (caught.value.first, caught.value.second))
    assert len(caught.value.differ) == 4
    assert {*caught.value.differ} == {one.candidate(n).cell for n in bits(one.true ^ other.true)}
    assert f"which differ in {', '.join(caught.value.differ)}, are\n" in str(caught.value)
    with pytest.raises(SeveralSolutionsError, match=r"differ in \d\d cells, are"):
        raise SeveralSolutionsError("1", "2", tuple(f"r{n}c1" for n in range(1, 30)))


def test_notes_and_entered_digits_are_no_part_of_the_puzzle():
    """Where they leave one solution but the rules more, a rectangle would conclude what is false."""
    layout = deduce.Layout.standard(4)
    wrong = 0
    for seed in (590, 646, 860):
        full = next(deduce.solutions(deduce.Grid.empty(layout), 1, shuffle=Random(seed)))
        live = full.true
        others = [n for n in range(64) if not live >> n & 1]
        Random(seed).shuffle(others)
        for n in others:
            if len(list(deduce.solutions(deduce.Grid.from_numbers(layout, (), (), live | 1 << n), 2))) == 1:
                live |= 1 << n
        grid = deduce.Grid.from_numbers(layout, (), (), live)
        assert len(list(deduce.solutions(grid, 2))) == 1
        for refused in (lambda at=grid: deduce.find(at, assume_unique=True), lambda at=grid: one_solution(at)):
            with pytest.raises(SeveralSolutionsError, match="no givens, and digits entered and notes are no part"):
                refused()
        with pytest.raises(SeveralSolutionsError):
            deduce.walk(grid, assume_unique=True)
        for proof in find_unasked(grid, UNIQUE):
            said = {n for inference in proof.inferences for n in inference.false}
            put = {n for inference in proof.inferences for n in inference.true}
            wrong += any(full.true >> n & 1 for n in said) or any(not full.true >> n & 1 for n in put)
    assert wrong > 3


def test_judge_leaves_notes_out_of_the_puzzle():
    notes = "1234 1234 24 24  1234 134 1234 1234  1234 234 12 124  234 1234 134 234"
    grid = deduce.Grid.parse(notes, deduce.Layout.standard(4))
    assert not grid.givens
    assert len(list(deduce.solutions(grid))) == 1
    verdict = deduce.judge(grid, "r3c1 <> 1 because unique rectangle in r1c3 r1c4 r3c3 r3c4")
    assert verdict.kind.value == "refuted"
    assert verdict.fault is not None
    assert verdict.fault.kind.value == "not unique"
    assert not verdict.proofs


def test_a_search_cut_short_leaves_it_open():
    hard = minimal("9x9", 3)
    assert one_solution(hard, budget=0) is None
    assert one_solution(hard) is True


def test_where_it_is_not_known_the_walk_goes_on_and_says_so(monkeypatch):
    monkeypatch.setattr(sys.modules["deduce.walks.walk"], "one_solution", lambda _grid: None)
    walked = assuming(10)
    assert walked.one_solution is None
    assert walked.assumes_unique
    assert "whether it has is not known" in walked.words()


@pytest.mark.parametrize("seed", [9, 10, 25, 33])
def test_every_step_that_needs_the_assumption_says_so(seed):
    """Without the steps that say so, all the others still hold, one after the other, from the puzzle itself."""
    walked = assuming(seed)
    assert walked.one_solution
    assert any(step.proof.swaps for step in walked.steps)
    grid = walked.start
    for step in walked.steps:
        assert step.proof.assumes_unique or not step.proof.swaps
        if not step.proof.assumes_unique:
            moved = Proof(grid, step.proof.inferences, step.proof.pattern)
            grid = grid.moved(deduce.check(grid, moved).after)
            assert not moved.assumes_unique
    resting = [step for step in walked.steps if step.proof.assumes_unique]
    assert f"{len(resting)} step" in walked.words().splitlines()[-1]
    inherited = [step for step in resting if not step.proof.swaps]
    for step in inherited:
        assert "rests on earlier steps that assume" in step.proof.words()
        assert step.before.presumed


def test_the_mark_is_not_everywhere():
    """Some steps after the first assumption owe nothing to it."""
    free = 0
    for seed in (10, 11, 33, 41):
        steps = assuming(seed).steps
        first = next(i for i, step in enumerate(steps) if step.proof.swaps)
        free += sum(not step.proof.assumes_unique for step in steps[first:])
    assert free > 20


@settings(max_examples=15)
@given(puzzles("6x6", "9x9"), st.integers(0, 100))
def test_what_is_presumed_is_gone_or_placed(puzzle, where):
    walked = deduce.walk(puzzle, [*PLAIN[:6], *UNIQUE], assume_unique=True)
    if walked.steps:
        grid = walked.steps[where * (len(walked) - 1) // 100].after
        assert not grid.presumed & grid.live & ~grid.true
        assert pickle.loads(pickle.dumps(grid)).presumed == grid.presumed
        answer = solution(puzzle).true
        assert not answer & ~grid.live


def test_pruned_and_read_back_walks_keep_the_mark():
    walked = assuming(10)
    pruned = prune(walked)
    assert pruned.one_solution
    assert pruned.solved == walked.solved
    back = Document.from_json(pruned.to_json())
    assert [proof.assumes_unique for proof in back.proofs] == [step.proof.assumes_unique for step in pruned.steps]
    for number, step in enumerate(pruned.steps):
        alone = Proof.from_json(step.proof.to_json())
        assert alone.assumes_unique == step.proof.assumes_unique, number
        assert alone.grid.presumed == step.before.presumed
        assert restated(step.proof, step.before) is not None
    assert all(verdict.verified for verdict in verify(back))


def test_a_document_may_leave_unsaid_what_is_inherited_but_not_deny_it():
    walked = assuming(10)
    value = Document.of_walk(walked).value()
    number = next(i for i, step in enumerate(walked.steps) if step.proof.assumes_unique and not step.proof.swaps)
    del value["steps"][number]["assumes unique"]
    assert Document.from_json(json.dumps(value)).proofs[number].assumes_unique
    value["steps"][number]["assumes unique"] = False
    with pytest.raises(deduce.DeduceError, match="assumes unique: true"):
        Document.from_json(json.dumps(value))
    open_ = next(iter(walked.start.candidates()))
    value["steps"] = []
    value["puzzle"]["presumed"] = [str(open_)]
    with pytest.raises(deduce.DeduceError, match="an open candidate is listed"):
        Document.from_json(json.dumps(value))


def test_standard_exports_refuse_or_state_the_axiom():
    walked = assuming(10)
    number = next(i for i, step in enumerate(walked.steps) if step.proof.assumes_unique and not step.proof.swaps)
    inherited = Document.of_proof(walked.steps[number].proof)
    for document in (Document.of_walk(walked), inherited):
        for export in (to_pseudo_boolean, to_clausal):
            with pytest.raises(ExportError, match="assumes a unique solution"):
                export(document)
    assert "if there is one solution" in to_clausal(inherited, assume_unique=True).formula
    assert to_pseudo_boolean(Document.of_walk(walked), assume_unique=True)


def test_the_notes_of_an_exchange_are_needed():
    walked = assuming(10)
    for number, step in enumerate(walked.steps):
        if not step.proof.swaps:
            continue
        open_ = [c for c in step.proof.pattern.role("cells") if not step.before.true & step.before.layout.masks[c]]
        assert {*open_} <= {*premises_of(step.proof).cells}
        known = {cell for needed in walked.notes_needed()[: number + 1] for cell in needed.fill}
        assert {*open_} <= known
        for cell in open_:
            assert f"Read the notes of {step.before.layout.cell_name(cell)}" in step.proof.words(level="full")


def test_judge_proves_a_rectangle_under_the_assumption():
    walked = assuming(10)
    step = next(step for step in walked.steps if step.proof.pattern.name.startswith("unique rectangle"))
    layout, grid = step.before.layout, step.before
    digits = step.proof.pattern.role("digits")
    cells = " ".join(layout.cell_name(cell) for cell in step.proof.pattern.role("cells"))
    said = step.proof.places or step.proof.eliminates
    sign = "=" if step.proof.places else "<>"
    claim = f"r{said[0].row}c{said[0].column} {sign} {said[0].digit}"
    reason = f"because unique rectangle on {' '.join(map(str, digits))} in {cells}"
    verdict = deduce.judge(grid, f"{claim} {reason}")
    assert verdict.kind.value == "proved", verdict.words()
    assert verdict.proof.assumes_unique
    assert "assumes that the puzzle has only one solution, which it has" in verdict.words()
    assert verdict.to_dict()["proofs"][0]["assumes_unique"] is True
    plain = deduce.judge(grid, claim)
    assert not any(proof.swaps for proof in plain.proofs)


def test_judge_breaks_a_rectangle_where_there_are_two_solutions():
    grid = several()
    free = grid.candidates()
    cells = sorted({(c.row, c.column) for c in free})
    # A digit more in one corner, so that there is an exit to argue from.
    layout = grid.layout
    more = next(d for d in range(1, 10) if d not in {c.digit for c in free})
    extra = layout.number(more, (cells[0][0] - 1) * 9 + cells[0][1] - 1)
    loose = deduce.Grid(layout, grid.live | 1 << extra, grid.true, grid.givens)
    verdict = deduce.judge(loose, f"r{cells[0][0]}c{cells[0][1]} = {more} because unique rectangle")
    assert verdict.kind.value == "refuted"
    assert verdict.reason_holds is False
    assert "one solution" in verdict.words()


def test_planning_passes_it_through():
    grid = minimal("9x9", 41)
    names = [*PLAIN[2:8], *sorted(UNIQUE)]
    found = plan(grid, names, budget=5, assume_unique=True)
    assert found.exists
    assert found.walk.check()
    assert found.walk.assumes_unique
    assert not plan(grid, PLAIN[2:8], budget=5).exists
    point = stuck_point(found.advanced[-1].before, names, assume_unique=True)
    assert any(deduction.proof.assumes_unique for deduction in point.deductions)
    shown = list(themes([grid], ["unique rectangle, one corner open"], [*names, "XY-chain"], assume_unique=True))
    assert [theme.number for theme in shown] == [1]
    assert shown[0].showings[0].steps


def test_planning_says_which_steps_assume():
    grid = minimal("9x9", 41)
    names = [*PLAIN[2:8], *sorted(UNIQUE)]
    found = plan(grid, names, budget=5, assume_unique=True)
    resting = [step.proof.assumes_unique for step in found.walk.steps]
    assert found.walk.one_solution
    assert [step["assumes_unique"] for step in plan_data(found)["walk"]["steps"]] == resting
    ending = f"{sum(resting)} steps assume that the puzzle has only one solution; it has."
    told = plan_text(found).splitlines()
    assert told[-1] == ending
    advanced = [step.proof.assumes_unique for step in found.advanced]
    assert ["assumes one solution]" in line for line in told[1 : len(advanced) + 1]] == advanced
    pruned = prune(found.walk)
    lines = pruned_text(found.walk, pruned, needed_steps(found.walk)).splitlines()
    assert sum("assumes one solution]" in line for line in lines) == sum(s.proof.assumes_unique for s in pruned.steps)
    assert "that the puzzle has only one solution; it has." in lines[-1]
    compared = compare(found.walk, deduce.walk(grid))
    assert summary(compared).count(ending) == 1
    again = as_walk(grid, [step.proof for step in found.walk.steps])
    assert again.one_solution
    assert not plan_text(plan(grid, budget=1)).count("only one solution")


@pytest.mark.parametrize("seed", [10, 25])
def test_a_stuck_point_inside_a_walk_keeps_the_mark(seed):
    """What the simple steps before it place may rest on the assumption."""
    inherited = 0
    for _, point in stuck_points(
        assuming(seed), [*PLAIN[: PLAIN.index("finned X-wing") + 1], *UNIQUE], assume_unique=True
    ):
        for deduction in point.deductions:
            proof = deduction.proof
            assert deduce.check(point.grid, proof)
            assert proof.grid == point.grid
            assert proof.grid.presumed == point.grid.presumed
            inherited += proof.assumes_unique and not proof.swaps
        listed = [one["assumes_unique"] for one in stuck_data(point)["deductions"]]
        assert listed == [deduction.proof.assumes_unique for deduction in point.deductions]
        assert stuck_text(point).count("assumes one solution]") == sum(listed)
    assert inherited == (seed == 10)


def test_a_list_of_proofs_is_refused_where_there_are_two_solutions():
    grid = several()
    corners = [n for n in range(81) if not grid.true & grid.layout.masks[n]]
    open_ = grid.live & ~grid.true
    pattern = tuple(bits(open_))
    assert len(corners) == 4
    with pytest.raises(SeveralSolutionsError):
        as_walk(grid, [Proof(grid, (Inference(Counting((), (), ((Swap(pattern, ()), 1),))),), Pattern("swap"))])


def test_the_command_line(capsys):
    line = minimal("9x9", 10).line()
    assert main([line, "--assume-unique", "--quiet"]) == 0
    assert "assume that the puzzle has only one solution; it has." in capsys.readouterr().out
    assert main([line, "--allow", "bivalue grid"]) == 2
    assert "only in a puzzle with one solution" in capsys.readouterr().err
    assert main([several().line(), "--assume-unique"]) == 2
    assert "more than one solution" in capsys.readouterr().err
    assert main(["stuck", line, "--assume-unique", "--allow", "; ".join(sorted(UNIQUE))]) == 0
    assert "Unique rectangle with chains" in capsys.readouterr().out
