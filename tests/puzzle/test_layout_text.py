"""The text form of layouts: what it says, what it refuses and where, and the command line that takes it."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest
from exchange.checkers import dimacs, lrat, pseudo_boolean

import deduce
from deduce.__main__ import main
from deduce.errors import ExchangeError, LayoutTextError
from deduce.exchange import Document, to_clausal, to_pseudo_boolean

TEXTS = {
    "grids": "grid 9 at r1c1\ngrid 9 at r7c7\ndiagonals\nknight\n",
    "regions": "# uneven\nregions\nAABBB\nACBBD\nACCDD\nACEED\nCEEED\n\neven r1c1 r5c5\nr1c1 < r1c2 > r2c2\n",
    "cages": "grid 4 without boxes\nsymbols ABCD\ncages\naabb\n.cc.\n....\ndddd\n"
    "cage a = 4\ncage b\ncage c = 3\ncage d = 10\nequal r2c1 = r3c1 r4c1\ndifference r2c1 r3c3 >= 2\n"
    "total r1c1 r2c2 >= 3 <= 7\nonly AB r4c4\nratio r1c1 r2c2 = 2\nking\nneighbours differ by 1 r1c1-r2c2\n",
    "cells": "order 2\ncells\noo-\n-oo\nhouse row 1 r1c1 r1c2\nhouse row 2 r2c2-r2c3\nhouse column 2 r1c2 r2c2\n",
}


@pytest.mark.parametrize("name", TEXTS)
def test_round_trips(name: str) -> None:
    layout = deduce.Layout.parse(TEXTS[name])
    assert deduce.Layout.parse(layout.text()) == layout
    assert deduce.Layout.from_json(layout.to_json()) == layout
    assert pickle.loads(pickle.dumps(layout)) == layout
    grid = deduce.Grid.empty(layout)
    assert deduce.Grid.parse(str(grid), layout) == grid
    assert deduce.Grid.parse(grid.line(), layout) == grid
    assert deduce.Grid.parse(grid.pencil(), layout) == grid


@pytest.mark.parametrize(
    ("text", "line", "column", "problem"),
    [
        ("grid 9\ncage r1c1 r1c1 = 3", 2, 11, "r1c1 stands there twice"),
        ("grid 9\ncage r1c1 r1c2 = 30", 2, 18, "2 different digits cannot total 30"),
        ("grid 9\ncage r1c1 r0c2 = 3", 2, 11, "'r0c2' is no cell"),
        ("grid 9\ncage r1c1 r1c10 = 3", 2, 11, "there is no cell r1c10"),
        ("regions\nAABB\nABBB\nAACC\nDDCC", 1, 1, "the region A has 5 cells"),
        ("grid 9\nwidows", 2, 1, "'widows' begins no line"),
        ("grid", 1, 5, "a grid has an order"),
        ("grid 7", 1, 1, "order 7 has no rectangular boxes"),
        ("grid 4\nsymbols 1203", 2, 9, "uses a character that grids need"),
        ("grid 9\nr1c1 < r1c1", 2, 6, "no cell is less than itself"),
        ("grid 9\nr1c1 <", 2, 7, "the comparison ends too soon"),
        ("grid 9\nr1c1 = r2c1 + r3c1", 2, 6, "'=' compares nothing"),
        ("grid 9\ncages\naaa", 2, 1, "the map has 1 row"),
        ("grid 9\nonly 12x r1c1", 2, 8, "'x' is no digit"),
        ("grid 9\ntotal r1c1 = 3 <= 4", 2, 16, "one sum has one bound on each side"),
        ("grid 9\neven", 2, 5, "there are no cells"),
        ("grid 9\nknight\ngrid 9", 3, 1, "grid comes too late"),
        ("symbols ABCD", 1, 1, "the text holds no layout"),
        ("grid 4\nsymbols ABCD\nsymbols ABCD", 3, 1, "the symbols are given twice"),
        ("grid 4\ncages\naab.\n....\n....\n....\ncage a = 3", 2, 1, "no line speaks of the cells b"),
        (
            "grid 4\ncages\naa..\n....\n....\n....\ncage a\ncages\nbb..\n....\n....\n....\ncage b",
            8,
            1,
            "a map of cages already",
        ),
        ("order 4\ncells\noox", 3, 1, "there are no cells"),
        ("order 4\ncells", 2, 1, "there are no cells"),
        ("order 4\ncells\noooo\nhouse row 1 r1c1-r1c3", 4, 13, "this house has 3 cells"),
        ("order 4\ncells\noooo\nhouse row 1 r1c1-r1c3 r1c1", 4, 13, "this house names r1c1 twice"),
        ("regions\nAA BB\nAABB\nCCDD\nCCDD", 2, 4, "a row of the map is one word"),
        ("grid 9 at r1c1\ngrid 9", 2, 1, "a grid stands at r1c1 already"),
        ("grid 9\ncage r1c1-r2c5", 2, 1, "10 cells cannot all differ"),
        ("grid 9\ncage r1c1 = 10", 2, 13, "one digit cannot total 10"),
        ("grid 9\ntotal r1c1 >= 5 <= 4", 2, 17, "no sum is both 5 or more and 4 or less"),
    ],
)
def test_refusals(text: str, line: int, column: int, problem: str) -> None:
    with pytest.raises(LayoutTextError) as caught:
        deduce.Layout.parse(text)
    assert (caught.value.line, caught.value.column) == (line, column)
    assert problem in caught.value.problem
    assert str(caught.value).endswith("^")


def test_refusals_of_json() -> None:
    for text, where in (
        ('{"order": 4, "rules": ["cage r1c1 r9c9 = 3"]}', "rules[0]"),
        ('{"order": 4, "cells": ["ooxo"], "houses": []}', "cells[0]"),
        (
            '{"order": 2, "cells": ["oo"], "houses": [{"kind": "row", "number": 1, "cells": ["r1c1", "r2c1"]}]}',
            "houses[0]",
        ),
    ):
        with pytest.raises(ExchangeError) as caught:
            deduce.Layout.from_json(text)
        assert where in str(caught.value)


def test_a_proof_document_carries_the_rules() -> None:
    grid = deduce.Grid.empty(deduce.Layout.parse(TEXTS["cages"]))
    for proof in deduce.find(grid):
        again = deduce.Proof.from_json(proof.to_json())
        assert again.grid == grid
        assert again.inferences == proof.inferences
        deduce.check(again.grid, again)


def test_the_command_line_takes_a_layout(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "layout.txt"
    file.write_text(
        "grid 4 without boxes\ncage r1c1 r1c2 = 3\nr1c1 < r1c2\ncage r2c1 r2c2 = 7\nr2c1 < r2c2\n"
        "r3c1 < r4c1\ncage r1c3-r1c4\nr1c3 < r1c4\nr2c3 < r2c4\nr4c3 < r3c3\nr4c4 < r3c4\n"
    )
    main(["empty", "--layout", str(file), "--quiet"])
    assert "Solved in" in capsys.readouterr().out


def concluded(document: Document) -> set[int]:
    found = set()
    for proof in document.proofs:
        for inference in proof.inferences:
            found |= {-c - 1 for c in inference.false} | {c + 1 for c in inference.true}
    return found


def test_sums_are_exported_for_other_checkers() -> None:
    """The formula states every rule, and nothing of the puzzle besides; the proof concludes what the walk does."""
    grid = deduce.Grid.empty(
        deduce.Layout.parse("grid 4\ncage r1c1-r1c2 = 3\ncage r2c1 r2c2 r3c2 = 8\nodd r4c4 r1c2\n")
    )
    document = Document.from_json(deduce.walk(grid).to_json())
    assert len(document.proofs) > 2
    files = to_pseudo_boolean(document)
    formula, shown, _ = pseudo_boolean(files.formula, files.proof)
    sides = [bound for c in grid.model.constraints for bound in (c.lower, c.upper) if bound is not None]
    assert len(formula) == len(sides)
    assert concluded(document) <= {literal for weights, _ in shown for literal in weights}
    clausal = to_clausal(document)
    assert {clause[0] for clause, _ in lrat(clausal.formula, clausal.proof) if len(clause) == 1} >= concluded(document)


def test_relations_are_clauses() -> None:
    layout = deduce.Layout.parse("grid 4\neven r1c1 r2c3\nr1c2 < r1c3\nr2c1 < r3c1\nr3c3 < r4c3\nodd r3c3\n")
    grid = deduce.Grid.empty(layout)
    document = Document.from_json(deduce.walk(grid).to_json())
    files = to_clausal(document)
    _, clauses = dimacs(files.formula)
    assert [-layout.parse_candidate("1r1c1") - 1] in clauses
    derived = lrat(files.formula, files.proof)
    units = {clause[0] for clause, _ in derived if len(clause) == 1} | {c[0] for c in clauses if len(c) == 1}
    assert concluded(document) <= units
    assert document.proofs
