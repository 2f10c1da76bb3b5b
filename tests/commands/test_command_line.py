"""The command line: what it takes, what it writes, and how it refuses."""

import io
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import deduce
from deduce.__main__ import COMMANDS, main
from deduce.puzzle.text import puzzles
from deduce.solving.generate import minimal_puzzle

LANTERN_ROOM = Path(__file__).parents[2] / "deduce" / "puzzle" / "lantern_room.txt"


def run(capsys, *arguments):
    code = main(arguments)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_a_grid_as_argument_is_walked(capsys):
    code, out, err = run(capsys, minimal_puzzle(3).line())
    assert (code, err) == (0, "")
    assert "The grid has exactly one solution." in out
    assert "Solved in " in out


def test_every_demo_puzzle_is_walked_to_its_solution(capsys, tmp_path):
    count = len(puzzles(LANTERN_ROOM.read_text()))
    assert count >= 4
    for number in range(1, count + 1):
        code, out, _ = run(capsys, str(LANTERN_ROOM), "--number", str(number), "--quiet")
        assert code == 0, out


def test_the_page_and_the_picture_are_written(capsys, tmp_path):
    page, svg = tmp_path / "walk.html", tmp_path / "step.svg"
    code, _, err = run(capsys, str(LANTERN_ROOM), "--number", "4", "--page", str(page), "--svg", str(svg))
    assert code == 0
    assert err == f"Wrote {svg}.\nWrote {page}.\n"
    assert page.read_text().lstrip().lower().startswith("<!doctype html>")
    assert ET.fromstring(svg.read_text()).tag == "{http://www.w3.org/2000/svg}svg"


def test_without_a_number_the_heaviest_step_is_drawn(capsys, tmp_path):
    line, drawn = minimal_puzzle(3).line(), []
    steps = deduce.walk(minimal_puzzle(3)).steps
    efforts = [step.proof.effort for step in steps]
    number = efforts.index(max(efforts)) + 1
    for name, more in ("heaviest.svg", ()), ("named.svg", ("--step", str(number))):
        assert run(capsys, line, "--quiet", "--svg", str(tmp_path / name), *more)[0] == 0
        drawn.append((tmp_path / name).read_text())
    assert drawn[0] == drawn[1]
    assert 1 < number < len(steps)


def test_a_page_for_an_audience_is_written(capsys, tmp_path):
    page = tmp_path / "talk.html"
    told = ["--title", "Lamps & locks", "--author", "N. N.", "--lang", "en-GB", "--theme", "dark", "--stage"]
    code, _, _ = run(capsys, str(LANTERN_ROOM), "--number", "1", "--quiet", "--page", str(page), *told)
    assert code == 0
    text = page.read_text(encoding="utf-8")
    assert '<html lang="en-GB" data-scheme="dark">' in text
    assert "<title>Lamps &amp; locks</title>" in text
    assert '<p class="by">N. N.</p>' in text
    assert 'class="deduce-turns" data-open>' in text


def test_standard_input_is_read(capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO(str(minimal_puzzle(5)) + "\n"))
    code, out, _ = run(capsys, "-", "--quiet")
    assert code == 0
    assert out.startswith("Solved in ")


def test_of_two_puzzles_the_first_is_taken_and_that_is_said(capsys, tmp_path):
    file = tmp_path / "two.txt"
    file.write_text(f"{minimal_puzzle(5).line()}\n{minimal_puzzle(6).line()}\n")
    for more, said in ((), "Puzzle 1 of 2; --number picks another.\n"), (("--number", "1"), ""):
        code, out, err = run(capsys, str(file), "--quiet", *more)
        assert (code, err) == (0, said)
        assert out.startswith("Solved in ")


def test_being_stuck_is_told_by_the_exit_code(capsys):
    code, out, _ = run(capsys, minimal_puzzle(3).line(), "--allow", "X-wing; naked pair")
    assert code == 1
    assert "still open" in out


def test_a_budget_that_ends_the_walk_is_told(capsys):
    code, out, _ = run(capsys, minimal_puzzle(3).line(), "--budget", "2", "--quiet")
    assert code == 1
    assert "budget" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["12"], "2 cells found"),
        (["x" * 81], "'x' is no digit"),
        (["no_such_file.txt"], "there is no file no_such_file.txt"),
        (["." * 81, "--allow", "x-wings"], "did you mean 'X-wing'"),
        (["." * 81, "--budget", "-1"], "--budget: -1 is below 0"),
        (["." * 81, "--number", "2"], "--number 2 is not there; the input holds 1"),
        (["." * 81, "--step", "2"], "give --svg FILE as well"),
        (["." * 81, "--stage"], "give --page FILE as well"),
        (["." * 81, "--order", "7"], "order 7 has no rectangular boxes"),
        ([minimal_puzzle(3).line(), "--svg", "/nowhere/at/all.svg"], "cannot be written"),
    ],
)
def test_bad_input_ends_in_one_sentence_and_exit_code_2(capsys, arguments, said):
    code, _, err = run(capsys, *arguments)
    assert code == 2
    assert said in err
    assert err.startswith("deduce: ")
    assert "Traceback" not in err


def test_an_impossible_grid_is_reported_not_an_error(capsys):
    code, out, err = run(capsys, "11" + "." * 79)
    assert (code, err) == (1, "")
    assert "1 stands twice in row 1: r1c1 and r1c2" in out


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_every_command_states_its_exit_codes(capsys, command):
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert ended.value.code == 0
    assert told.startswith(f"usage: python -m deduce {command} ")
    assert "Exit code: 0 " in told


def test_the_help_without_a_command_names_all_of_them(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    told = capsys.readouterr().out
    assert [name for name in COMMANDS if not re.search(rf"\b{name}\b", told)] == []


def test_an_unknown_option_is_answered_with_the_help_of_its_command(capsys):
    code, _, told = run(capsys, "prune", minimal_puzzle(3).line(), "--hurry")
    assert code == 2
    assert told == ("deduce: unrecognized arguments: --hurry; python -m deduce prune --help says what it takes\n")


def test_names_that_contain_commas_are_listed_with_semicolons(capsys):
    assert "; pointing pair; " in run(capsys, "." * 81, "--allow", "nonsense")[2]


def test_it_runs_as_a_module():
    told = subprocess.run(
        [sys.executable, "-m", "deduce", "--list-patterns"], capture_output=True, text=True, check=True
    )
    assert "skyscraper" in told.stdout.splitlines()
