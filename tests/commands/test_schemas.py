"""The JSON that commands print: one envelope, and a schema for each format that it keeps to."""

import json

import jsonschema
import pytest

from deduce import Grid
from deduce.__main__ import main
from deduce.envelope import VERSION, head, schema_of, schemas
from deduce.solving.generate import minimal_puzzle
from deduce.walks import ask, judge

HARD, EASY = minimal_puzzle(33), minimal_puzzle(3).line()
SMALL = "..24......1..2.."
CLAIMS = (
    "r2c1 = 2",
    "r1c1 <> 3",
    "r1c1 can't be 4 because of the naked pair 13 in row 1",
    "(3)r1c1 = (3)r1c2 - (4)r1c2 => r1c1 <> 4",
    "r2c1 is 2, hidden single in column 1",
    "skyscraper on 3",
)


def printed(capsys, *arguments):
    main([*arguments, "--json"])
    return capsys.readouterr().out


def keeps(text):
    """The name of the format, once the answer is seen to keep to its schema."""
    told = json.loads(text)
    name = told["format"].removeprefix("deduce-")
    assert told["version"] == VERSION
    jsonschema.validate(told, json.loads(schema_of(name)))
    return name


@pytest.mark.parametrize("name", schemas())
def test_a_schema_is_one_and_refuses_what_is_not_its_answer(capsys, name):
    schema = json.loads(schema_of(name))
    jsonschema.Draft202012Validator.check_schema(schema)
    assert main(["schema", name]) == 0
    assert json.loads(capsys.readouterr().out) == schema
    for wrong in ({}, head(name), {**head(name), "format": "deduce-other"}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, schema)


def test_every_answer_keeps_to_its_schema(capsys, tmp_path):
    log, proofs, both = tmp_path / "solve.log", tmp_path / "proofs.json", tmp_path / "both.txt"
    log.write_text("\n".join([*CLAIMS, "undo", "nonsense"]))
    main([EASY, "--json", "--out", str(proofs)])
    both.write_text(f"{EASY}\n{HARD.line()}\n")
    seen = {keeps(printed(capsys, "judge", SMALL, claim)) for claim in CLAIMS}
    for text in ("what can go in r1c1?", "where can 3 go in row 1?"):
        seen.add(keeps(printed(capsys, "judge", SMALL, text)))
    for text in ("is this the easiest?", "what did this step need?"):
        seen.add(keeps(printed(capsys, "judge", SMALL, text, "--about", "r2c1 = 2 by hidden single")))
    for arguments in (
        ("status", SMALL), ("status", "11" + "." * 14), ("audit", SMALL, str(log)), ("notes", SMALL),
        ("notes", SMALL, "13 {3} 2 4  24 14 {3} .  34 34 1 23  . 2 134 13"), ("plan", EASY), ("prune", EASY),
        ("stuck", HARD.line()), ("compare", EASY), ("status", "12"), ("plan", EASY, "--hurry"),
        ("simplest", "1234341221434321"),
        ("check", str(proofs)), ("check", str(proofs), "--puzzle", SMALL),
    ):  # fmt: skip
        seen.add(keeps(printed(capsys, *arguments)))
    for line in printed(capsys, "themes", str(both), "--show", "hidden single").splitlines():
        seen.add(keeps(line))
    assert seen == {*schemas()}


def test_out_takes_the_answer_and_the_solution_shows_only_when_asked(capsys, tmp_path):
    file = tmp_path / "answer.json"
    assert main(["judge", SMALL, "r1c1 <> 3", "--json", "--out", str(file)]) == 1
    assert capsys.readouterr().out == ""
    assert "counter_solution" not in json.loads(file.read_text())
    assert main(["judge", SMALL, "r1c1 <> 3", "--json", "--spoil"]) == 1
    assert "counter_solution" in json.loads(capsys.readouterr().out)
    assert main(["judge", SMALL, "r1c1 <> 3", "--spoil"]) == 1
    assert judge(Grid.parse(SMALL), "r1c1 <> 3").words(spoil=True) in capsys.readouterr().out


def test_the_version_and_empty_lists(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("deduce ")
    for arguments in ((EASY, "--allow", " ; "), (EASY, "--forbid", ""), ("prune", EASY, "--goal", ";")):
        assert main([*arguments]) == 2
        assert "names nothing" in capsys.readouterr().err
    assert main([EASY, "--forbid", "hidden single; naked single"]) == 1
    assert "hidden single" not in capsys.readouterr().out.lower()


def test_questions_are_answered():
    grid = Grid.parse(SMALL)
    assert ask(grid, "what about r1c1?").words() == (
        "Read as: what can stand in r1c1?\n1 or 3 can stand in r1c1. 2 is ruled out by r1c3 and 4 by r1c4."
    )
    assert ask(grid, "is it 3 or 4 in r1c1?").words().splitlines()[1].startswith("3 can: 1 or 3 can stand in r1c1.")
    forced = ask(grid, "isn't 2 forced in row 2?").words().splitlines()[1]
    assert forced.startswith("In r2c1 only: 2 is forced there in row 2.")
    step = "r2c1 = 2 by hidden single"
    assert "can be had more easily" in ask(grid, "is this the easiest?", step).words().splitlines()[-1]
    easiest = ask(grid, "is this the easiest?", "r2c4 = 1 by hidden single").words().splitlines()[-1]
    assert easiest.startswith("Yes: nothing")
    assert ask(grid, "what did this step need?", step).words().splitlines()[-1].startswith("The hidden single needs ")
