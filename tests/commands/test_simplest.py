"""The command ``simplest``, as a program calls it."""

from __future__ import annotations

import pytest
from counting.positions import PLAIN, stuck

import deduce
from deduce import counting
from deduce.__main__ import main
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle

PUZZLE = minimal_puzzle(9).line()
AFTER = "; ".join(PLAIN)


def run(*arguments: str) -> int:
    return main(arguments)


def test_the_simplest_argument_is_told_written_and_drawn(capsys, tmp_path):
    page, document = tmp_path / "least.svg", tmp_path / "least.json"
    assert run("simplest", PUZZLE, "--allow", AFTER, "--svg", str(page)) == 0
    told = capsys.readouterr().out
    assert run("simplest", PUZZLE, "--allow", AFTER, "--json", "--out", str(document)) == 0
    assert capsys.readouterr().out == ""
    expected = counting.simplest(stuck(9))
    assert expected.words() in told
    size = sum(
        w for side in (expected.inferences[0].argument.bases, expected.inferences[0].argument.covers) for _, w in side
    )
    assert f"It takes {size} constraints; none is cheaper: proved." in told
    assert page.read_text().startswith("<svg")
    assert deduce.Proof.from_json(document.read_text()).inferences == expected.inferences


def test_one_candidate_and_another_cost(capsys):
    candidate = str(counting.eliminations(stuck(9)).false[0])
    options = ("--allow", AFTER, "--candidate", candidate, "--cost", "people", "--level", "full")
    assert run("simplest", PUZZLE, *options) == 0
    told = capsys.readouterr().out
    expected = counting.smallest(stuck(9), candidate, cost="people")
    assert expected.words(level="full") in told
    assert "It takes a cost of " in told


def test_what_no_sum_settles_and_what_is_solved_are_no_success(capsys):
    grid = stuck(9)
    settled = {*counting.eliminations(grid).false, *counting.eliminations(grid).true}
    solution = next(deduce.solutions(grid, 1))
    open_true = [grid.candidate(c) for c in bits(solution.true & ~grid.true)]
    candidate = str(next(c for c in open_true if c not in settled))
    assert run("simplest", PUZZLE, "--allow", AFTER, "--candidate", candidate) == 1
    assert f"No counting argument settles {candidate} here" in capsys.readouterr().out
    assert run("simplest", solution.line()) == 1
    assert "nothing left" in capsys.readouterr().out


def test_a_spent_budget_is_said(capsys, monkeypatch):
    monkeypatch.setattr("deduce.counting.least.Searcher._whole", lambda *_: None)
    monkeypatch.setattr("deduce.counting.least._HARD_NODES", 0)
    candidate = str(counting.eliminations(stuck(9)).false[0])
    assert run("simplest", PUZZLE, "--allow", AFTER, "--candidate", candidate, "--budget", "0") == 1
    assert "Not known: " in capsys.readouterr().out


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (("--candidate", "5r0c1"), "is no cell here"),
        (("--candidate", "xr1c1"), "does not start with a digit"),
        (("--budget", "-1"), "below 0"),
        (("--allow", "no such thing"), "no such thing"),
    ],
)
def test_bad_input_is_refused_with_a_sentence(capsys, more, message):
    assert main(["simplest", PUZZLE, *more]) == 2
    assert message in capsys.readouterr().err


def test_candidates_that_are_not_open(capsys):
    grid = deduce.Grid.parse(PUZZLE)
    placed = grid.candidate(bits(grid.true)[0])
    assert main(["simplest", PUZZLE, "--candidate", str(placed)]) == 2
    assert "placed already" in capsys.readouterr().err
    other = placed._replace(digit=placed.digit % 9 + 1, symbol="")
    assert main(["simplest", PUZZLE, "--candidate", str(other)]) == 2
    assert "ruled out already" in capsys.readouterr().err
