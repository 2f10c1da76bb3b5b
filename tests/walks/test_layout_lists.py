"""Published puzzles beyond the plain 9x9, walked to their published solutions with every proof checked again."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest
from conftest import THOROUGH

import deduce
from deduce.counting import NAMES as BEYOND
from deduce.patterns import PLAIN, fault
from deduce.walks.walk import Outcome


def rows(folder: Path, name: str) -> list[list[str]]:
    lines = (folder / name).read_text().splitlines()
    return [line.split("\t") for line in lines if not line.startswith("#")]


def walked(grid: deduce.Grid, solution: str, patterns: Iterable[str] | None = PLAIN) -> deduce.Walk:
    """Walk a puzzle; check each step again, its story too, and that no step leaves the solution."""
    answer = deduce.Grid.parse(solution, grid.layout)
    walk = deduce.walk(grid, patterns)
    for step in walk.steps:
        assert deduce.check(step.before, step.proof) == step.checked
        assert step.proof.pattern.name in BEYOND or fault(step.proof) is None
        assert not answer.true & ~step.after.live, f"{step.proof} contradicts the published solution"
        assert step.proof.words().endswith(".")
    return walk


def killer(fields: list[str]) -> deduce.Layout:
    """Read a killer puzzle: the letter of the cage of each cell, then the total of each letter."""
    cages = [fields[0][at : at + 9] for at in range(0, 81, 9)]
    totals = [f"cage {letter} = {total}" for letter, total in (part.split("=") for part in fields[1].split(","))]
    return deduce.Layout.parse("\n".join(["grid 9", "cages", *cages, *totals]))


def test_killer(collections: Path) -> None:
    """The puzzle printed in the encyclopedia article on killer sudoku, which has no given digit."""
    ((letters, totals, solution),) = rows(collections, "killer_9x9.txt")
    grid = deduce.Grid.empty(killer([letters, totals]))
    assert [found.line() for found in deduce.solutions(grid)] == [solution]
    walk = walked(grid, solution)
    assert walk.solved
    names = {step.proof.pattern.name for step in walk.steps}
    assert {"sum bound", "leftover sum"} <= names
    again = deduce.Proof.from_json(walk.steps[0].proof.to_json())
    assert again.grid == grid
    assert again.grid.layout == grid.layout


def test_hyper(collections: Path) -> None:
    """Two puzzles with four further boxes: D. E. Knuth, TAOCP 4B, section 7.2.2.1, exercise 67."""
    layout = deduce.Layout.parse("grid 9\nwindows")
    assert [house.name for house in layout.houses[27:]] == ["window 1", "window 2", "window 3", "window 4"]
    for clues, *_ in rows(collections, "hyper_knuth.txt"):
        grid = deduce.Grid.parse(clues, layout)
        (solution,) = deduce.solutions(grid)
        assert walked(grid, solution.line()).solved


def test_jigsaw(collections: Path) -> None:
    """Twelve puzzles of the same section with irregular regions, each with its printed solution.

    Two of them need counting arguments and suppositions; the one of order 8 takes so many that only the long checks
    walk it to its end.
    """
    found = rows(collections, "jigsaw_knuth.txt")
    plain = 0
    for size, clues, letters, symbols, solution, _ in found:
        order = int(size)
        regions = [letters[at : at + order] for at in range(0, order * order, order)]
        text = "\n".join([f"symbols {symbols}", "regions", *regions])
        grid = deduce.Grid.parse(clues, deduce.Layout.parse(text))
        assert grid.layout.order == order
        assert [answer.line() for answer in deduce.solutions(grid)] == [solution]
        whole = THOROUGH or order != 8
        walk = walked(grid, solution, None if whole else PLAIN)
        assert walk.solved == whole
        plain += walk.solved and all(step.proof.pattern.name not in BEYOND for step in walk.steps)
    assert (plain, len(found)) == (10, 12)


def test_order_16(collections: Path) -> None:
    """Every fifth of the 55 puzzles of order 16 among the examples of Gecode 6.2.0, each with one solution."""
    for line, *_ in rows(collections, "gecode_16x16.txt")[::5]:
        grid = deduce.Grid.parse(line)
        (solution,) = deduce.solutions(grid)
        assert walked(grid, solution.line()).solved


@pytest.mark.parametrize(
    ("patterns", "outcome"),
    [(PLAIN, Outcome.STUCK), pytest.param(None, Outcome.BUDGET_SPENT, marks=pytest.mark.thorough)],
)
def test_order_25(collections: Path, patterns: Iterable[str] | None, outcome: Outcome) -> None:
    """The first of the 18 puzzles of order 25 of the same source: too hard to finish, and the walk says so."""
    for line, *_ in rows(collections, "gecode_25x25.txt")[:1]:
        walk = deduce.walk(deduce.Grid.parse(line), patterns, trials=60)
        assert walk.outcome is outcome
        assert len(walk) > 20
        walk.check()


@pytest.mark.thorough
def test_every_puzzle_of_order_16(collections: Path) -> None:
    for line, *_ in rows(collections, "gecode_16x16.txt"):
        grid = deduce.Grid.parse(line)
        (solution,) = deduce.solutions(grid)
        assert walked(grid, solution.line()).solved
