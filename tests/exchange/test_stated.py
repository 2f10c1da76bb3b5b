"""What `check` says about the puzzle of a document, what it warns of, and what it refuses where another is expected."""

import json

import constraint
import pytest
from exchange.material import course
from strategies import minimal

import deduce
from deduce.__main__ import main
from deduce.exchange import Document
from deduce.exchange.stated import differences, stated
from deduce.positions import bits
from deduce.puzzle.house import House


@pytest.fixture
def check(tmp_path, capsys):
    """Check a document on the command line; return the exit code and what was printed."""

    def run(document, *options):
        path = tmp_path / "document.json"
        path.write_text(document.to_json(), encoding="utf-8")
        code = main(["check", str(path), *options])
        out = capsys.readouterr()
        return code, out.out + out.err

    return run


def walked(layout_text, givens):
    """Return the document of a walk on a described layout."""
    grid = deduce.Grid.parse(givens, deduce.Layout.parse(layout_text))
    return Document.of_walk(deduce.walk(grid))


def renamed(change):
    """Return the plain 4x4 layout with its houses changed."""
    plain = deduce.Layout.standard(4)
    return deduce.Layout.build(4, plain.places, change(list(plain.houses)))


def test_a_plain_puzzle_takes_two_lines(check):
    document = course("9x9", 3)
    code, out = check(document)
    givens = "".join(document.start.layout.symbols[d] if d >= 0 else "." for d in _digits(document.start))
    assert code == 0
    assert out.splitlines()[:2] == ["Puzzle: plain 9x9", f"Givens: {givens}"]
    assert "Warning" not in out


def _digits(grid):
    held = {number % grid.layout.cells: number // grid.layout.cells for number in bits(grid.givens)}
    return [held.get(cell, -1) for cell in range(grid.layout.cells)]


def test_rules_are_told_one_by_one(check):
    document = walked("grid 4\nonly 3 r1c1\ncage r1c2 r1c3 = 3", "...." * 4)
    _, out = check(document)
    told = [line for line in out.splitlines() if "rule:" in line]
    assert out.startswith("Puzzle: 4x4 and further rules (2)\n")
    assert told == [f"    rule: {rule.name(document.start.layout)}" for rule in document.start.layout.rules]
    assert "r1c1" in told[0]
    report = json.loads(check(document, "--json")[1])["puzzle"]
    assert report["rules"] == [rule.name(document.start.layout) for rule in document.start.layout.rules]
    assert report["layout"]["rules"] == ["only 3 r1c1", "cage r1c2 r1c3 = 3"]
    assert report["givens"] == "." * 16


def test_a_row_that_is_a_column_is_warned_of(check):
    def swapped(houses):
        for n in range(4):
            houses[n], houses[4 + n] = House("row", n + 1, houses[4 + n].cells), House("column", n + 1, houses[n].cells)
        return houses

    grid = deduce.Grid.of(["1r1c1", "2r2c2"], layout=renamed(swapped))
    code, out = check(Document(grid, Document.of_walk(deduce.walk(grid, budget=1)).proofs))
    assert "Warning: row 1 is not what its name says; its cells are r1c1 r2c1 r3c1 r4c1." in out
    assert out.count("is not what its name says") == 8
    assert "plain" not in out
    assert "    house row 1: r1c1 r2c1 r3c1 r4c1" in out
    assert code in (0, 1)


@pytest.mark.parametrize(
    ("change", "warning"),
    [
        (
            lambda h: [House("row", 2, h[0].cells), House("row", 1, h[1].cells), *h[2:]],
            "row 2 is not what its name says",
        ),
        (lambda h: h[1:], "row 1 of the grid is no house"),
        (lambda h: [*h[:8], House("box", 1, (0, 1, 4, 6)), *h[9:]], "box 1 is not what its name says"),
        (lambda h: [*h[:8], House("box", 2, h[8].cells), House("box", 1, h[9].cells), *h[10:]], "box 1 is not"),
    ],
)
def test_houses_that_mislead_are_warned_of(change, warning):
    told = stated(deduce.Grid.empty(renamed(change)))
    assert any(line.startswith(warning) for line in told.warnings)
    assert not told.layout.startswith("plain")


@pytest.mark.parametrize(
    ("text", "layout"),
    [
        ("grid 9", "plain 9x9"),
        ("grid 6 boxes 3x2", "6x6 with boxes of 3x2"),
        ("grid 5 without boxes", "5x5 of 5 digits, with 5 rows, 5 columns, no boxes"),
        ("grid 9\ndiagonals", "9x9 of 9 digits, with 9 rows, 9 columns, 9 boxes of 3x3 and 2 other houses"),
        ("regions\nAAAB\nACBB\nCCBD\nCDDD", "4x4 of 4 digits, with 4 rows, 4 columns, no boxes and 4 other houses"),
        (
            "grid 9 at r1c1\ngrid 9 at r7c7",
            "153 cells on a canvas of 15x15 of 9 digits, with grid 1 at r1c1: 9 rows, 9 columns, 9 boxes of 3x3; "
            "grid 2 at r7c7: 9 rows, 9 columns, 8 boxes of 3x3",
        ),
    ],
)
def test_honest_layouts_are_told_without_a_warning(text, layout):
    told = stated(deduce.Grid.empty(deduce.Layout.parse(text)))
    assert (told.layout, told.warnings) == (layout, ())


@pytest.mark.parametrize(
    ("text", "head", "warned"),
    [
        (
            '{"order": 2, "cells": ["oo", "-o"], "houses": []}',
            "3 cells on a canvas of 2x2 of 2 digits, with no houses",
            0,
        ),
        (
            '{"order": 4, "regions": [["r1c1", "r1c2", "r1c3", "r1c4"]]}',
            "4x4 of 4 digits, with 4 rows, 4 columns, 1 box of 1x4",
            0,
        ),
        (
            '{"order": 2, "cells": ["ooo"], "houses": [{"kind": "row", "number": 1, "cells": ["r1c1", "r1c3"]}]}',
            "3 cells on a canvas of 1x3 of 2 digits, with no rows, no columns, no boxes and 1 other house",
            1,
        ),
    ],
)
def test_odd_layouts_hide_nothing(text, head, warned):
    told = stated(deduce.Grid.empty(deduce.Layout.from_json(text)))
    assert (told.layout, len(told.warnings)) == (head, warned)


def test_signs_that_mislead_are_warned_of():
    plain = deduce.Layout.standard(4)
    told = stated(deduce.Grid.empty(deduce.Layout.build(4, plain.places, plain.houses, symbols="2134")))
    assert told.layout == "4x4, digits written 2134"
    assert told.warnings == ("the signs 2134 stand for the digits 1 to 4, in this order",)
    letters = deduce.Layout.build(4, plain.places, plain.houses, symbols="WXYZ")
    assert not stated(deduce.Grid.empty(letters)).warnings


def test_a_problem_is_told_with_its_constraints(check):
    problem = constraint.Problem()
    problem.addVariables(["a", "b", "c"], [1, 2, 3])
    problem.addConstraint(constraint.AllDifferentConstraint())
    problem.addConstraint(constraint.ExactSumConstraint(3), ["a", "b"])
    document = Document.of_walk(deduce.walk(deduce.Grid.from_problem(problem)))
    code, out = check(document)
    lines = out.splitlines()
    assert code == 0
    assert lines[0] == "Puzzle: a problem with 3 variables (a, b, c) and 3 values (1, 2, 3)"
    assert lines[1] == "    house a, b and c: a b c"
    (rule,) = [line for line in lines if line.startswith("    rule: ")]
    assert rule.endswith("(a = 1) + (b = 1) + 2 (a = 2) + 2 (b = 2) + 3 (a = 3) + 3 (b = 3) = 3")


def test_the_expected_puzzle_is_accepted_and_another_refused(check, tmp_path):
    document = course("4x4", 2)
    expected = tmp_path / "puzzles.txt"
    expected.write_text(".1....4..2..1..2\n2....3.1.......3\n")
    assert check(document, "--puzzle", "2....3.1.......3")[0] == 0
    assert check(document, "--puzzle", str(expected), "--number", "2")[0] == 0
    code, out = check(document, "--puzzle", str(expected), "--number", "1")
    assert code == 1
    assert "This is not the expected puzzle: it gives 1r2c4, 2r1c1, 3r2c2 and 1 more; " in out
    assert "it does not give 1r1c2, 1r4c1, 2r3c2 and 2 more. No step was looked at." in out
    assert "verified" not in out
    code, out = check(document, "--puzzle", "2....3.1.......3", "--json")
    assert json.loads(out)["verified"] is True
    code, out = check(document, "--puzzle", "2....3.1.......1", "--json")
    report = json.loads(out)
    assert (code, report["verified"]) == (1, False)
    assert report["differs from the expected puzzle"] == ["it gives 3r4c4", "it does not give 1r4c4"]
    assert check(document, "--number", "1")[0] == 2


def test_other_rules_are_refused(check, tmp_path):
    file = tmp_path / "layout.txt"
    file.write_text("grid 4\ncage r1c1 r1c2 = 3\n")
    document = walked("grid 4\nonly 1 r1c1", "..3." + "...." * 3)
    code, out = check(document, "--puzzle", "..3.............")
    assert code == 1
    assert "it has the rule 'r1c1 is 1'" in out.replace('"', "'") or "it has the rule" in out
    code, out = check(document, "--puzzle", "..3.............", "--layout", str(file))
    assert code == 1
    assert "it lacks the rule 'the cage of r1c1, r1c2 totals 3'" in out
    file.write_text("grid 4\nonly 1 r1c1\n")
    assert (
        "This is not the expected puzzle"
        not in check(document, "--puzzle", "..3.............", "--layout", str(file))[1]
    )


def test_differences_name_layout_and_houses():
    plain = deduce.Grid.empty(deduce.Layout.standard(4))
    missing = deduce.Grid.empty(renamed(lambda houses: houses[1:]))
    found = differences(missing, plain)
    assert found[0].startswith("it is 4x4 of 4 digits, with 3 rows")
    assert found[1] == "it lacks the house 'row 1: r1c1 r1c2 r1c3 r1c4'"
    assert not differences(plain, plain)
    assert differences(minimal("6x6", 1), plain)[0] == "it is plain 6x6, not plain 4x4"
