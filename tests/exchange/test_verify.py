"""Verdicts on documents, and the commands that print them."""

import io
import json
import subprocess
import sys
from types import SimpleNamespace

import pytest
from exchange.checkers import lrat, pseudo_boolean
from exchange.material import course, swaps
from strategies import minimal

import deduce
from deduce.commands import command as commands
from deduce.commands.documents import COMMANDS, read_document
from deduce.commands.inputs import Complaint
from deduce.errors import ExchangeError, ExportError
from deduce.exchange import Document, Judgement, proof_from_line, proof_to_line, schema, verify
from deduce.kernel import check
from deduce.patterns import fault
from deduce.positions import bits
from deduce.proof import Pattern, Proof


@pytest.fixture
def command(capsys):
    """Run one of the commands and return its exit code and what it printed."""

    def run(*arguments):
        name, *rest = map(str, arguments)
        code = commands.run(name, COMMANDS[name], rest)
        return code, capsys.readouterr().out

    return run


def wrong_step(document, number):
    """Return the document with one step that does not hold: its conclusion is another live candidate."""
    proof = document.proofs[number - 1]
    (inference,) = proof.inferences
    (placed,) = inference.true
    grid = proof.grid
    other = next(c for c in bits(grid.live & ~grid.true) if c != placed and c // 16 != placed // 16)
    bad = Proof(grid, (type(inference)(inference.argument, (), (other,)),), proof.pattern)
    return Document(document.start, (*document.proofs[: number - 1], bad))


def test_every_step_of_a_walk_is_verified():
    for seed in range(4):
        document = Document.from_json(course("9x9", seed).to_json())
        assert {verdict.judgement for verdict in verify(document, fault)} == {Judgement.VERIFIED}
        assert all(verdict.verified and not verdict.problem for verdict in verify(document))


def test_a_refused_step_casts_doubt_on_the_later_ones():
    good = course("4x4", 2)
    bad = wrong_step(good, 2)
    rest = [proof for proof in good.proofs[2:] if not proof.grid.true & ~bad.proofs[1].grid.live]
    text = json.loads(bad.to_json())
    text["steps"] += [json.loads(line.rstrip(",")) for line in good.to_json().splitlines()[5 + 2 : 5 + 2 + len(rest)]]
    verdicts = verify(Document.from_json(json.dumps(text)))
    assert verdicts[0].judgement is Judgement.VERIFIED
    assert verdicts[1].judgement is Judgement.REFUSED
    assert "no way without" in verdicts[1].problem
    assert verdicts[1].error.step == (1,)
    assert {verdict.judgement for verdict in verdicts[2:]} <= {Judgement.REFUSED, Judgement.CONDITIONAL}
    assert Judgement.CONDITIONAL in {verdict.judgement for verdict in verdicts}


def test_one_step_alone():
    document = course("9x9", 3)
    (verdict,) = verify(document, only=7)
    assert (verdict.number, verdict.verified) == (7, True)
    assert verify(document, only=999) == ()


def test_a_misnamed_step_is_told():
    document = course("9x9", 3)
    proof = document.proofs[0]
    renamed = Document(document.start, (Proof(proof.grid, proof.inferences, Pattern("X-wing", proof.pattern.roles)),))
    assert verify(renamed, fault)[0].judgement is Judgement.MISNAMED
    assert verify(renamed)[0].judgement is Judgement.VERIFIED
    unknown = Document(document.start, (Proof(proof.grid, proof.inferences, Pattern("my own name")),))
    assert verify(unknown, fault)[0].judgement is Judgement.VERIFIED

    def clumsy(proof, grid):
        raise AttributeError("no chain")

    assert "do not have the form" in verify(document, clumsy)[0].problem


def test_a_swap_needs_a_puzzle_with_one_solution():
    proof = swaps()[0]
    assert verify(Document.of_proof(proof))[0].judgement is Judgement.VERIFIED
    grid = proof.grid
    fewer = deduce.Grid(grid.layout, grid.live, grid.true, 0)
    loose = Document.of_proof(Proof(fewer, proof.inferences, proof.pattern))
    (verdict,) = verify(loose)
    assert verdict.judgement is Judgement.UNFOUNDED
    assert verdict.problem == "the puzzle has more than one solution"
    after = loose.start.moved(check(fewer, loose.proofs[0]).after)
    step = next(deduce.find(after))
    behind = verify(Document(fewer, (*loose.proofs, Proof(after, step.inferences, step.pattern))))
    assert [verdict.judgement for verdict in behind] == [Judgement.UNFOUNDED, Judgement.CONDITIONAL]


def test_check_prints_a_verdict_for_each_step(command, tmp_path):
    path = tmp_path / "walk.json"
    path.write_text(course("4x4", 2).to_json())
    code, out = command("check", path)
    lines = out.splitlines()
    assert code == 0
    assert len(lines) == len(course("4x4", 2).proofs) + 3
    assert lines[:2] == ["Puzzle: plain 4x4", "Givens: 2....3.1.......3"]
    assert lines[2] == f"step 1, {course('4x4', 2).proofs[0]}: verified"
    assert lines[-1] == f"{len(lines) - 3} of {len(lines) - 3} steps verified."
    code, out = command("check", path, "--step", 3)
    assert (code, len(out.splitlines())) == (0, 4)
    assert "Step 3 of" in out
    with pytest.raises(ExchangeError, match="--step 99"):
        command("check", path, "--step", 99)


def test_check_points_at_the_step_that_fails(command, tmp_path):
    path = tmp_path / "walk.json"
    path.write_text(wrong_step(course("4x4", 2), 3).to_json())
    code, out = command("check", path)
    assert code == 1
    assert out.splitlines()[-1] == "2 of 3 steps verified; the first that is not is step 3."
    assert "step 3, " in out
    assert "refused (inference 1 is refused: needed no way without" in out
    code, out = command("check", path, "--json")
    report = json.loads(out)
    assert (code, report["verified"]) == (1, False)
    assert [step["verdict"] for step in report["steps"]] == ["verified", "verified", "refused"]
    assert report["steps"][2]["inference"] == [1]
    assert command("check", path, "--step", 2)[0] == 0
    assert command("check", path, "--step", 3)[0] == 1


def test_nothing_is_proved_by_no_step(command, tmp_path):
    path = tmp_path / "empty.json"
    path.write_text(Document(minimal("4x4", 1), ()).to_json())
    code, out = command("check", path)
    assert (code, out.splitlines()[2:]) == (1, ["There is no step, so nothing is proved."])
    with pytest.raises(ExchangeError, match="some step"):
        command("check", path, "--step", 1)


def test_notes_are_reported(command, tmp_path):
    puzzle = minimal("9x9", 4)
    solved = next(deduce.solutions(puzzle))
    wrong = [puzzle.candidate(c) for c in bits(puzzle.live & ~solved.true)][::3]
    walk = deduce.walk(puzzle.without(wrong))
    path = tmp_path / "noted.json"
    path.write_text(Document.of_walk(walk).to_json())
    code, out = command("check", path)
    assert code == 0
    assert "    rests on a person's notes: no " in out
    assert f"Taken as given besides the puzzle: {len(wrong)} candidates ruled out by a person's notes." in out
    report = json.loads(command("check", path, "--json")[1])
    assert report["taken as given"] == {"candidates ruled out by a person's notes": len(wrong)}
    assert any(step["rests on notes"] for step in report["steps"])
    late = walk.steps[-2].proof
    path.write_text(late.to_json())
    assert "entered digits" in command("check", path)[1]


def test_a_swap_is_reported(command, tmp_path):
    path = tmp_path / "swap.txt"
    path.write_text(proof_to_line(swaps()[0]) + "\n")
    code, out = command("check", path)
    assert code == 0
    assert "assumes that the puzzle has exactly one solution" in out


def test_names_are_looked_at_where_the_caller_knows_them(command, tmp_path):
    proof = course("9x9", 3).proofs[0]
    path = tmp_path / "misnamed.json"
    text = Proof(proof.grid, proof.inferences, Pattern("skyscraper")).to_json()
    path.write_text(text)
    assert verify(Document.from_json(text))[0].judgement is Judgement.VERIFIED
    code, out = command("check", path)
    assert code == 1
    assert "holds, but is not what its name says (" in out


def test_export_writes_both_files(command, tmp_path):
    path = tmp_path / "walk.json"
    path.write_text(course("6x6", 1).to_json())
    name = str(tmp_path / "out")
    for form, endings in (("opb", (".opb", ".pbp")), ("lrat", (".cnf", ".lrat")), ("drat", (".cnf", ".drat"))):
        code, out = command("export", path, "--to", form, "--output", name)
        assert (code, out) == (0, "")
        assert all((tmp_path / f"out{ending}").exists() for ending in endings)
    assert lrat((tmp_path / "out.cnf").read_text(), (tmp_path / "out.lrat").read_text())
    assert pseudo_boolean((tmp_path / "out.opb").read_text(), (tmp_path / "out.pbp").read_text())
    command("export", path, "--to", "opb", "--proof-version", "1.2", "--output", name)
    assert (tmp_path / "out.pbp").read_text().startswith("pseudo-Boolean proof version 1.2\n")
    command("export", path, "--to", "lrat", "--premises-only", "--output", name)
    assert lrat((tmp_path / "out.cnf").read_text(), (tmp_path / "out.lrat").read_text())
    code, out = command("export", path, "--to", "line")
    lines = out.splitlines()
    assert [proof_from_line(line) for line in lines] == list(course("6x6", 1).proofs)
    assert command("export", path, "--to", "json")[1] == course("6x6", 1).to_json()
    with pytest.raises(Complaint, match="cannot be written"):
        command("export", path, "--to", "opb", "--output", tmp_path / "no" / "folder")


def test_export_of_a_swap(command, tmp_path):
    path = tmp_path / "swap.json"
    path.write_text(swaps()[0].to_json())
    with pytest.raises(ExportError):
        command("export", path, "--to", "opb")
    assert "exactly one solution" in command("export", path, "--to", "opb", "--assume-unique")[1]


def test_schema_is_printed(command):
    code, out = command("schema")
    assert (code, out) == (0, schema())


def test_a_file_that_cannot_be_read(tmp_path, monkeypatch):
    path = tmp_path / "x.json"
    path.write_bytes(b"\xff\xfe{")
    for source in (path, tmp_path / "missing", tmp_path, "bad\0name"):
        with pytest.raises(ExchangeError, match="cannot be read"):
            read_document(str(source))
    path.write_bytes(b"\xef\xbb\xbf" + course("4x4", 1).to_json().encode())
    assert read_document(str(path)) == course("4x4", 1)
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(course("4x4", 1).to_json().encode())))
    assert read_document("-") == course("4x4", 1)


def test_reading_a_document_loads_no_networkx():
    program = "import deduce.commands.documents, sys; print('networkx' in sys.modules)"
    finished = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert finished.stdout.split() == ["False"]
