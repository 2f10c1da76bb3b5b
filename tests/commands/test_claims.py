"""The commands judge, audit, notes and status: what they print, and their exit codes."""

import io
import json
import sys

import pytest

import deduce
from deduce.commands import claims, command
from deduce.commands.inputs import Complaint
from deduce.errors import ClaimError, GridError
from deduce.solving.generate import minimal_puzzle
from deduce.walks import audit, claim_of, judge

PUZZLE = minimal_puzzle(33)
LINE = PUZZLE.line()
FIRST = next(deduce.find(PUZZLE))


def run(capsys, *arguments):
    code = command.run(arguments[0], claims.COMMANDS[arguments[0]], arguments[1:])
    return code, capsys.readouterr().out


def test_a_claim_is_judged(capsys):
    code, out = run(capsys, "judge", LINE, claim_of(FIRST))
    assert code == 0
    assert out == f"{judge(PUZZLE, claim_of(FIRST)).words()}\n"
    wrong = claim_of(FIRST).replace(" = ", " <> ").rsplit("=> ", 1)[1]
    assert run(capsys, "judge", LINE, wrong)[0] == 1


def test_a_claim_may_begin_with_a_minus_and_be_spread_over_words(capsys):
    gone = next(c for c in PUZZLE.candidates() if not next(deduce.solutions(PUZZLE)).true >> PUZZLE.number(c) & 1)
    for words in ((f"-{gone}",), (f"r{gone.row}c{gone.column}", "<>", str(gone.digit)), ("--", f"-{gone}")):
        code, out = run(capsys, "judge", LINE, *words)
        assert (code, out.splitlines()[0]) == (0, " ".join(word for word in words if word != "--"))


def test_a_claim_in_the_middle_of_a_walk(capsys):
    steps = deduce.walk(PUZZLE).steps
    number = next(n for n, step in enumerate(steps, 1) if len(step.proof.eliminates) and n > 1)
    claim = claim_of(steps[number - 1].proof)
    code, out = run(capsys, "judge", LINE, claim, "--step", str(number))
    assert (code, out) == (0, f"{judge(steps[number - 1].before, claim).words()}\n")
    assert "--step" not in out
    wing = next(step.proof for step in steps if step.proof.pattern.name == "XYZ-wing")
    for more, told in ((), 1), (("--step", str(number)), 0):
        said = f"{wing.eliminates[0].cell} is not {wing.eliminates[0].digit} because of the XYZ-wing"
        code, out = run(capsys, "judge", LINE, said, *more)
        assert (code, out.count(claims.AT_START)) == (1, told), "only who names no step is told of it"
    for beyond in (0, len(steps) + 1):
        with pytest.raises(Complaint, match=f"--step {beyond} is not there; the walk has "):
            run(capsys, "judge", LINE, claim, "--step", str(beyond))


@pytest.mark.parametrize("where", ["before", "after"])
def test_verdicts_as_json(capsys, where):
    claim = claim_of(FIRST)
    arguments = ("judge", "--json", LINE, claim) if where == "before" else ("judge", LINE, claim, "--json")
    code, out = run(capsys, *arguments)
    assert (code, json.loads(out)["verdict"]) == (0, "proved")


def test_the_layout_and_the_number_may_stand_behind_a_claim(capsys, tmp_path):
    file, layout = tmp_path / "two.txt", tmp_path / "cages.layout"
    file.write_text(f"{minimal_puzzle(34).line()}\n{LINE}\n")
    claim = claim_of(FIRST)
    assert run(capsys, "judge", str(file), claim, "--number", "2")[1] == f"{judge(PUZZLE, claim).words()}\n"
    layout.write_text("grid 4\ncage r1c1 r1c2 = 3\n")
    gone = ("-3r1c1", "--layout", str(layout), "--json")
    code, out = run(capsys, "judge", "empty", *gone)
    assert (code, json.loads(out)["verdict"]) == (0, "proved")
    with pytest.raises(ClaimError):
        run(capsys, "judge", LINE, claim, "--numb", "2")


def test_two_solutions_stand_apart(capsys):
    code, out = run(capsys, "status", "1234 3412 2... ....")
    assert code == 1
    assert len(out.split("\n\n")) == 2


def test_a_log_is_judged(capsys, tmp_path):
    log, page = tmp_path / "solve.log", tmp_path / "audit.html"
    lines = [claim_of(step.proof) for step in deduce.walk(PUZZLE).steps[:5]]
    log.write_text("\n".join(lines))
    code, out = run(capsys, "audit", "--page", str(page), LINE, str(log))
    found = audit(PUZZLE, lines)
    assert (code, found.flawless) == (0, True)
    assert out == f"{found.words()}\n"
    assert page.read_text() == found.page()
    log.write_text("\n".join([*lines, "r1c1 = what"]))
    code, out = run(capsys, "audit", "--json", LINE, str(log))
    assert (code, json.loads(out)["unreadable"]) == (1, 1)


def test_notes_are_compared_and_asked_for(capsys, tmp_path):
    code, out = run(capsys, "notes", LINE)
    assert code == (0 if deduce.walk(PUZZLE).solved else 1)
    assert out.startswith("Before step 1: scan ")
    code, out = run(capsys, "notes", "--json", LINE)
    told = json.loads(out)
    assert (told["format"], told["steps"][0]["step"]) == ("deduce-notes-needed", 1)
    noted = tmp_path / "notes.txt"
    noted.write_text(PUZZLE.pencil())
    assert run(capsys, "notes", LINE, str(noted)) == (0, "The notes are in order.\n")
    answer = next(c for c in PUZZLE.candidates() if next(deduce.solutions(PUZZLE)).true >> PUZZLE.number(c) & 1)
    noted.write_text(PUZZLE.without([answer]).pencil())
    code, out = run(capsys, "notes", LINE, str(noted))
    assert (code, out) == (1, f"Missing although it is the answer: {answer.digit} in r{answer.row}c{answer.column}.\n")
    code, out = run(capsys, "notes", "--json", LINE, str(noted))
    assert json.loads(out)["lost"] == [str(answer)]


def test_status(capsys):
    code, out = run(capsys, "status", LINE)
    assert (code, out.splitlines()[1]) == (0, "Exactly one solution.")
    code, out = run(capsys, "status", "--json", "11" + "." * 14)
    assert (code, json.loads(out)["conflict"]["clues"]) == (1, ["1r1c1", "1r1c2"])
    assert run(capsys, "status", "12..34..........")[0] == 1


def test_standard_input(capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{LINE}\n"))
    assert run(capsys, "status", "-")[0] == 0
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{claim_of(FIRST)}\n"))
    assert run(capsys, "judge", LINE, "-")[0] == 0


@pytest.mark.parametrize(
    ("arguments", "error", "said"),
    [
        (("judge", LINE), Complaint, "there is no claim"),
        (("judge", LINE, "r1c1 <> 0"), ClaimError, "'0' where a digit should be"),
        (("judge", "123", "r1c1 <> 1"), GridError, "3 cells found"),
        (("judge", "-", "-"), Complaint, "cannot both come from standard input"),
        (("audit", "-", "-"), Complaint, "cannot both come from standard input"),
        (("notes", "-", "-"), Complaint, "cannot both come from standard input"),
        (("audit", LINE, "no_such.log"), Complaint, "there is no file no_such.log"),
        (("status", "--number", "2", LINE), Complaint, "--number 2 is not there"),
        (("status", ""), Complaint, "there is no puzzle"),
    ],
)
def test_bad_input_is_one_sentence(capsys, arguments, error, said):
    with pytest.raises(error, match=said):
        run(capsys, *arguments)
    assert issubclass(error, deduce.DeduceError)
