"""The commands of planning, as a program calls them."""

from __future__ import annotations

import json
import re

import pytest

import deduce
from deduce.commands import command
from deduce.commands.inputs import Complaint
from deduce.commands.planning import COMMANDS
from deduce.errors import PatternError
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle
from deduce.walks import plan, prune

EASY = minimal_puzzle(5).line()
NAMES = "pointing pair; pointing triple; claiming pair; claiming triple; naked pair"
LISTED = [name.strip() for name in NAMES.split(";")]


def run(*arguments: str) -> int:
    return command.run(arguments[0], COMMANDS[arguments[0]], arguments[1:])


def test_plan(capsys, tmp_path):
    page = tmp_path / "plan.html"
    assert run("plan", EASY, "--allow", NAMES, "--json", "--page", str(page)) == 0
    value = json.loads(capsys.readouterr().out)
    found = plan(deduce.Grid.parse(EASY), LISTED)
    assert (value["format"], value["answer"], value["cost"]) == ("deduce-plan", found.answer.value, list(found.cost))
    assert [value["walk"]["steps"][n - 1]["pattern"] for n in value["advanced"]] == [
        step.proof.pattern.name for step in found.advanced
    ]
    assert page.read_text().startswith("<!DOCTYPE html>")
    for objective in ("effort", "peak", "patterns", "alike"):
        assert run("plan", EASY, "--allow", NAMES, "--objective", objective) == 0
        assert "Proved best" in capsys.readouterr().out
    assert run("plan", minimal_puzzle(6).line(), "--allow", NAMES) == 1
    assert "No plan exists" in capsys.readouterr().out
    assert run("plan", EASY, "--allow", NAMES, "--prefer", "naked pair", "--forbid", "hidden single") == 1
    assert run("plan", EASY, "--allow", NAMES, "--require", "naked pair", "--budget", "5") == 0


def test_prune(capsys):
    assert run("prune", EASY, "--json") == 0
    value = json.loads(capsys.readouterr().out)
    walked = deduce.walk(deduce.Grid.parse(EASY))
    assert value["steps_before"] == len(walked)
    assert value["steps_after"] == len(value["kept"]) == len(prune(walked))
    (solution,) = deduce.solutions(walked.start)
    goal = next(c for c in walked.start.candidates() if solution.digit(c.row, c.column) == c.digit)
    assert run("prune", EASY, "--goal", str(goal), "--narrow") == 0
    assert f"{goal.digit} in r{goal.row}c{goal.column}" in capsys.readouterr().out
    assert run("prune", minimal_puzzle(909).line(), "--allow", "hidden single") == 1


def test_stuck(capsys):
    assert run("stuck", EASY, "--allow", NAMES, "--json") == 0
    value = json.loads(capsys.readouterr().out)
    assert {deduction["pattern"] for deduction in value["deductions"]} <= {*LISTED}
    assert sorted(i for group in value["alternatives"] for i in group) == list(range(1, len(value["deductions"]) + 1))
    assert run("stuck", EASY, "--allow", NAMES) == 0
    assert re.search("(Pointing|Claiming) (pair|triple)", capsys.readouterr().out)
    assert run("stuck", minimal_puzzle(1, Layout.standard(4)).line()) == 1
    assert "Simple steps solve it." in capsys.readouterr().out


def test_themes(capsys, tmp_path):
    file = tmp_path / "some.txt"
    file.write_text("\n".join(minimal_puzzle(seed).line() for seed in range(1, 16)))
    assert run("themes", str(file), "--show", "claiming pair", "--json") == 0
    values = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert values
    assert all(value["showings"][0]["steps"] for value in values)
    assert run("themes", str(file), "--show", "claiming pair") == 0
    printed = capsys.readouterr()
    assert len(printed.out.splitlines()) == 2 * len(values)
    assert printed.err == (
        f"15 puzzles searched: {len(values)} show it, {14 - len(values)} are solved without it, "
        "1 is not solved by what is allowed.\n"
    )
    assert run("themes", EASY, "--show", "jellyfish") == 1
    assert capsys.readouterr().err == "1 puzzle searched: 0 show it, 1 is solved without it.\n"
    assert run("themes", "--make", "1", "--show", "naked triple", "--budget", "100") == 0
    assert "naked triple" in capsys.readouterr().out.lower()
    with pytest.raises(Complaint, match="--make"):
        run("themes", "--show", "naked pair")


def test_compare(capsys, tmp_path):
    svg, page, claims = tmp_path / "two.svg", tmp_path / "two.html", tmp_path / "claims.txt"
    assert run("compare", EASY, "--json", "--svg", str(svg), "--page", str(page)) == 0
    value = json.loads(capsys.readouterr().out)
    assert value["names"][0] == "the walk given"
    assert svg.read_text().startswith("<svg ")
    assert page.exists()
    assert run("compare", EASY, "--allow", NAMES, "--against", "hidden single; naked single") == 1
    found = plan(deduce.Grid.parse(EASY), LISTED)
    claims.write_text(
        "".join(f"r{c.row}c{c.column} <> {c.digit}\n" for s in found.advanced for c in s.proof.eliminates)
    )
    capsys.readouterr()
    assert run("compare", EASY, "--claims", str(claims)) == 0
    assert "The walk given: solved in" in capsys.readouterr().out
    with pytest.raises(Complaint, match="--claims"):
        run("compare", EASY, "--claims", str(claims), "--allow", NAMES)


def test_bad_input():
    with pytest.raises(Complaint, match="numbered from 1"):
        run("plan", EASY, "--number", "2")
    with pytest.raises(Complaint, match="no file"):
        run("plan", "missing.txt")
    with pytest.raises(Complaint, match="no puzzle"):
        run("themes", "# nothing", "--show", "naked pair")
    with pytest.raises(Complaint, match="below 1"):
        run("plan", EASY, "--budget", "-1")
    with pytest.raises(Complaint, match="cannot be written"):
        run("prune", EASY, "--page", "/no such folder/page.html")
    with pytest.raises(PatternError):
        run("plan", EASY, "--allow", "naked pairs")
