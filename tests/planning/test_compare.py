"""Comparisons of walks: as values, text, JSON and picture."""

from __future__ import annotations

import json
from xml.etree import ElementTree as ET

import pytest
from strategies import LAYOUTS

import deduce
from deduce.pages.compare import compare_page, compare_picture
from deduce.patterns.locked import LOCKED
from deduce.patterns.singles import SINGLES
from deduce.planning.plan_data import comparison_data
from deduce.solving.generate import minimal_puzzle
from deduce.walks import Outcome, against_best, as_walk, claimed_walk, compare, plan, prune, walk_effort
from deduce.walks.effort import effort
from deduce.words.en.explain import headline
from deduce.words.en.planning import compare_text

HARD = minimal_puzzle(104)


def tokens(walk: deduce.Walk) -> set[str]:
    """The conclusions of advanced steps."""
    steps = [step.proof for step in walk.steps if step.proof.pattern.name not in SINGLES]
    return {token for proof in steps for token in proof.conclusion().split()}


def test_where_two_walks_part():
    first = deduce.walk(HARD)
    second = prune(first)
    compared = compare(first, second, names=("whole", "pruned"))
    part = compared.part
    assert part is not None
    for one, other in zip(first.steps[:part], second.steps[:part], strict=True):
        assert one.after == other.after
    assert first.steps[part].after != second.steps[part].after
    assert compared.parting == (first.steps[part], second.steps[part])
    assert {*compared.shared} == tokens(first) & tokens(second)
    assert {*compared.only_first} == tokens(first) - tokens(second)
    assert {*compared.only_second} == tokens(second) - tokens(first) == set()
    assert compared.efforts == (walk_effort(first), walk_effort(second))
    mine, yours = ({step.proof.pattern.name for step in walk.steps} for walk in (first, second))
    assert {*compared.needs[0]} == mine - yours
    assert compared.needs[1] == ()


def test_a_walk_compared_with_itself_and_with_its_beginning():
    walk = deduce.walk(HARD)
    same = compare(walk, walk)
    assert (same.part, same.parting, same.only_first, same.only_second) == (None, (None, None), (), ())
    assert "never part" in compare_text(same)
    short = deduce.walk(HARD, budget=5)
    cut = compare(walk, short)
    assert cut.part == 5
    assert cut.parting == (walk.steps[5], None)
    assert compare(short, walk).parting == (None, walk.steps[5])
    with pytest.raises(ValueError, match="same grid"):
        compare(walk, deduce.walk(minimal_puzzle(1, LAYOUTS["4x4"])))


def test_a_walk_that_stops_early_is_not_called_shorter():
    grid = minimal_puzzle(6, LAYOUTS["9x9"])
    full = deduce.walk(grid)
    start = deduce.walk(grid, ["hidden single"])
    assert full.solved
    assert not start.solved
    told = compare_text(compare(full, start))
    assert "Only first gets to its end." in told
    assert "shorter" not in told
    assert "Neither gets to its end." in compare_text(compare(start, start))
    assert "They are equally long." in compare_text(compare(full, full))


def test_a_path_of_proofs():
    walk = prune(deduce.walk(HARD))
    path = as_walk(HARD, [step.proof for step in walk.steps])
    assert path.outcome is Outcome.SOLVED
    assert [step.after for step in path.steps] == [step.after for step in walk.steps]
    assert as_walk(HARD, [step.proof for step in walk.steps[:3]]).outcome is Outcome.STUCK
    with pytest.raises(deduce.ProofError):
        as_walk(HARD, [step.proof for step in reversed(walk.steps)])
    clash = deduce.walk(deduce.Grid.parse("11.............."))
    assert as_walk(clash.start, [clash.steps[0].proof]).outcome is Outcome.IMPOSSIBLE


def test_a_path_against_the_best():
    walk = deduce.walk(HARD)
    compared = against_best(walk, budget=60)
    assert compared.names[0] == "the walk given"
    assert compared.names[1] in ("the best plan", "the best plan found")
    assert compared.efforts[1].advanced <= compared.efforts[0].advanced
    assert {*compared.efforts[1].patterns} <= {*compared.efforts[0].patterns} | {*SINGLES}
    stuck = against_best(deduce.walk(HARD, SINGLES))
    assert stuck.names[1] == "what the patterns reach"


def test_a_path_of_claims():
    wanted = plan(HARD, [*LOCKED, "naked pair", "W-wing", "XY-chain"])
    best = wanted if wanted.exists else plan(HARD, budget=30)
    claims = []
    for step in best.advanced:
        claims += [f"r{c.row}c{c.column} <> {c.digit}" for c in step.proof.eliminates]
        claims += [f"r{c.row}c{c.column} = {c.digit}" for c in step.proof.places]
    path = claimed_walk(HARD, claims)
    path.check()
    assert path.outcome is Outcome.SOLVED
    (solution,) = deduce.solutions(HARD)
    false = next(c for c in HARD.candidates() if solution.digit(c.row, c.column) == c.digit)
    with pytest.raises(deduce.DeduceError, match="claim 1"):
        claimed_walk(HARD, [f"r{false.row}c{false.column} <> {false.digit}"])
    assert len(claimed_walk(HARD, [])) == len(deduce.walk(HARD, SINGLES))


def test_text_json_and_picture():
    compared = compare(deduce.walk(HARD), prune(deduce.walk(HARD)), names=("a < b", "best & found"))
    lines = compare_text(compared, width=40).splitlines()
    table = lines[lines.index("") + 1 :]
    assert len(table) == 2 + max(len(compared.first), len(compared.second))
    assert all(line[40:43] in (" | ", "-+-", " |") for line in table)
    for walk, side in ((compared.first, slice(0, 40)), (compared.second, slice(43, None))):
        told = [line[side].rstrip() for line in table[2 : 2 + len(walk)]]
        whole = [f"{number}. {headline(step.proof)}" for number, step in enumerate(walk.steps, 1)]
        assert any("~" in line for line in told)
        for line, step, text in zip(told, walk.steps, whole, strict=True):
            start, brackets = line.split(" [")
            assert brackets == f"{effort(step.proof).total}]", "a line that is cut keeps its brackets"
            assert text == start or (start.endswith("~") and text.startswith(start[:-1]))
    value = comparison_data(compared)
    assert json.loads(json.dumps(value)) == value
    assert (value["format"], value["part"]) == ("deduce-comparison", (compared.part or 0) + 1)
    assert [len(walk["steps"]) for walk in value["walks"]] == [len(compared.first), len(compared.second)]
    root = ET.fromstring(compare_picture(compared))
    space = "{http://www.w3.org/2000/svg}"
    assert len(root.findall(f"{space}svg")) == 2, "a grid for each walk"
    assert len(root.findall(f"{space}rect")) == len(compared.first) + len(compared.second), "a bar for each step"
    outlined = [bar for bar in root.findall(f"{space}rect") if bar.get("stroke")]
    assert len(outlined) == sum(profile.advanced for profile in compared.efforts)
    page = compare_page(compared)
    assert page.count("<tr>") == 1 + max(len(compared.first), len(compared.second))
    assert "a &lt; b" in page
    ET.fromstring(compare_picture(compare(compared.first, compared.first)))
