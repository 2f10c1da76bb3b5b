"""Worked examples and figures that others published or that an independent program reproduced."""

from __future__ import annotations

import json
from collections.abc import Iterable
from math import sqrt
from pathlib import Path

import pytest

import deduce
from deduce.proof import Proof
from deduce.puzzle.layout import Layout

SINGLES = ("naked single", "hidden single")
LOCKED = ("pointing pair", "pointing triple", "claiming pair", "claiming triple")
SUBSETS = tuple(f"{kind} {size}" for kind in ("naked", "hidden") for size in ("pair", "triple", "quad"))
FISH = ("X-wing", "swordfish", "jellyfish")

# D. E. Knuth, The Art of Computer Programming 4B, section 7.2.2.1, draft of July 2019; rows and columns count from 0.
# An item pXY is the cell in row X and column Y; rXk, cXk and bXk are digit k in row, column or box X.

PI = "..3.1....415....9.2.65..3..5...8...9.7.9...32.38..4.6....26.4.3...3....832...795."
"""Puzzle (29a)."""

PI_ORDER = (
    "44 84 74 24 54 14 82 42 31 32 40 45 46 50 72 60 00 62 61 65 35 67 70 71 75 83 13 03 18 16 07 01 05 15 21 25 76 36"
    " 33 37 27 28 53 56 06 08 58 77 88"
)
"""Exercise 45: the cells in the order in which naked singles fill them, the smallest row and column first."""

PI_ITEMS = "b07 b32 b39 b43 b54 b58 c22 c43 p44 p84 r33 r44 r48 r52 r59 r86 r88"
"""Exercise 46: the items of (29a) with a single option."""

CLUES_17 = "......3..1..4...........1.59.............26......53....5.8........9...7..83....4."
"""Puzzle (29b); the text before chart (32) and answer 47 list its items with a single option."""

STUCK = "5..2..3.413.4.5......3..1.59........3...926......53....598..2.....93.578.8352.94."
"""Chart (33): where naked and hidden singles leave (29b)."""


def items(grid: deduce.Grid) -> list[str]:
    """The items with a single option, as the finders of singles name them."""
    found = []
    for proof in deduce.find(grid, SINGLES):
        (placed,) = proof.places
        if proof.pattern.name == "naked single":
            found.append(f"p{placed.row - 1}{placed.column - 1}")
        else:
            (house,) = (grid.layout.houses[h] for h in proof.pattern.role("house"))
            found.append(f"{house.kind[0]}{house.number - 1}{placed.digit}")
    return found


def at(row: int, column: int, digits: str) -> set[str]:
    """Tokens of candidates in a cell counted from 0."""
    return {f"{digit}r{row + 1}c{column + 1}" for digit in digits}


def tokens(candidates: Iterable[object]) -> set[str]:
    return {str(candidate) for candidate in candidates}


def cell_numbers(*places: tuple[int, int]) -> list[int]:
    return [9 * row + column for row, column in places]


def proofs_on(grid: deduce.Grid, name: str, role: str, numbers: list[int], digits: tuple[int, ...] = ()) -> list[Proof]:
    """The proofs of a pattern in which one role is played by exactly these, and by these digits if any are named."""
    found = [proof for proof in deduce.find(grid, [name]) if sorted(proof.pattern.role(role)) == numbers]
    return [proof for proof in found if not digits or proof.pattern.role("digits") == digits]


def test_order_of_naked_singles() -> None:
    """Exercise 45: 49 placements, in the order printed in the answer."""
    walk = deduce.walk(deduce.Grid.parse(PI), ["naked single"], order="catalogue")
    placed = [step.proof.places for step in walk.steps]
    assert " ".join(f"{p.row - 1}{p.column - 1}" for (p,) in placed) == PI_ORDER
    assert walk.solved
    assert walk.outcome == "solved"


def test_items_with_one_option() -> None:
    """Exercise 46."""
    grid = deduce.Grid.parse(PI)
    assert " ".join(sorted(items(grid))) == PI_ITEMS
    assert len(grid.candidates()) == 146


def test_hidden_singles_of_17_clues() -> None:
    """Chart (32) and answer 47; the answer places the 3 that column 3 asks for and lists the items again."""
    grid = deduce.Grid.parse(CLUES_17)
    assert sorted(items(grid)) == ["b24", "b49", "b69", "c33"]
    assert len(grid.candidates()) == 307
    first = next(p for p in deduce.find(grid, ["hidden single"]) if tokens(p.places) == at(2, 3, "3"))
    after = grid.moved(deduce.check(grid, first).after)
    assert sorted(items(after)) == ["b03", "b24", "b49", "b69", "c03", "r13"]


@pytest.fixture
def stuck() -> deduce.Grid:
    return deduce.walk(deduce.Grid.parse(CLUES_17), SINGLES).grid


def test_singles_reach_the_chart(stuck: deduce.Grid) -> None:
    """Chart (33): 16 placements, then nothing; 181 options remain."""
    walk = deduce.walk(deduce.Grid.parse(CLUES_17), SINGLES)
    assert (len(walk.steps), walk.solved, walk.outcome) == (16, False, "stuck")
    assert stuck.line() == STUCK
    assert len(stuck.candidates()) == 181
    assert items(stuck) == []


def test_naked_and_hidden_pair(stuck: deduce.Grid) -> None:
    """Page 13 and answer 49(c): {1, 7} in row 4, cells 3 and 8; seen from its dual, {5, 8} in cells 2 and 7."""
    (pair,) = proofs_on(stuck, "naked pair", "subset", cell_numbers((4, 3), (4, 8)))
    assert pair.pattern.role("digits") == (1, 7)
    assert tokens(pair.eliminates) == at(4, 1, "17") | at(4, 2, "17") | at(4, 7, "1")
    (dual,) = proofs_on(stuck, "hidden pair", "subset", cell_numbers((4, 2), (4, 7)))
    assert dual.pattern.role("digits") == (5, 8)
    assert tokens(dual.eliminates) == at(4, 2, "147") | at(4, 7, "1")


def test_naked_triples(stuck: deduce.Grid) -> None:
    """Answer 49(c): {1, 4, 7} in row 4, cells 1, 3 and 8; {1, 6, 7} in the cells of column 3 that box 4 holds."""
    (row,) = proofs_on(stuck, "naked triple", "subset", cell_numbers((4, 1), (4, 3), (4, 8)))
    assert row.pattern.role("digits") == (1, 4, 7)
    assert tokens(row.eliminates) == at(4, 2, "147") | at(4, 7, "1")
    (box,) = proofs_on(stuck, "naked triple", "subset", cell_numbers((3, 3), (4, 3), (5, 3)))
    assert box.pattern.role("digits") == (1, 6, 7)
    # The three cells stand in column 3 too, where nothing falls ("no nakedness in the columns").
    assert tokens(box.eliminates) == at(3, 4, "167") | at(3, 5, "167")


def test_x_wing(stuck: deduce.Grid) -> None:
    """Answer 49(d): 9 in rows 1 and 5, columns 7 and 8."""
    (fish,) = (p for p in proofs_on(stuck, "X-wing", "base lines", [1, 5]) if p.pattern.role("digit") == (9,))
    assert sorted(fish.pattern.role("cover lines")) == [9 + 7, 9 + 8]
    assert tokens(fish.eliminates) == at(0, 7, "9") | at(2, 7, "9")


def test_locked_candidates(stuck: deduce.Grid) -> None:
    """Answer 49: 4 and 8 must occupy box 4 in row 3."""
    on = {p.pattern.role("digit")[0]: p for p in proofs_on(stuck, LOCKED[0], "base", [18 + 4])}
    assert on[4].pattern.role("cover") == on[8].pattern.role("cover") == (3,)
    assert tokens(on[4].eliminates) == at(3, 1, "4") | at(3, 2, "4") | at(3, 6, "4")
    assert tokens(on[8].eliminates) == at(3, 2, "8") | at(3, 6, "8") | at(3, 7, "8")


# Jigsaw puzzles (34a) and (34b) of the same section, page 14: each letter is a region.

JIGSAW_A = "AAAAAAABBAACCCBBBBCCCCCDBBECFFFDDDBEFFFDDDGGEFHFDDIGGEFHHIIIGGEHHHHIIGEEHHIIIGGEE"
JIGSAW_B = "AAAAAAAABCCCDEEEABFCDDEGEBBFCDHHGEEBFCDHIGGEBFCDHIIGEBFCDHHIGBBFCDDHIGGGFFFHHIIII"


def jigsaw(letters: str, symbols: str | None = None) -> Layout:
    order = round(sqrt(len(letters)))
    regions = [[n for n, other in enumerate(letters) if other == letter] for letter in sorted(set(letters))]
    return Layout(order, regions, symbols=symbols, region_kind="region")


def test_jigsaw_of_digits() -> None:
    grid = deduce.Grid.parse(
        "31........41........59........26........53........58........97........93........2", jigsaw(JIGSAW_A)
    )
    assert [c.column - 1 for c in grid.candidates() if (c.digit, c.row) == (4, 1)] == [7, 8]


def test_jigsaw_of_letters() -> None:
    layout = jigsaw(JIGSAW_B, "ADEGIMNRT")
    grid = deduce.Grid.parse(
        ".....N.......I.......T....R..R....E..A....N..M....D.......R.......A.......G......", layout
    )
    singles = [p for p in deduce.find(grid, ["hidden single"]) if p.pattern.role("house") == (9 + 2,)]
    assert "Ar1c3" in {str(p.places[0]) for p in singles}


# I. Lynce, J. Ouaknine, Sudoku as a SAT Problem, AIMATH 2006, section 2, figure 2.


@pytest.mark.parametrize(
    ("line", "digit", "house", "token"),
    [
        (".18...7.....3..2...7...........71...6......4.3........4..5....3.2..8...........6.", 3, "box 1", "3r3c3"),
        (".18...7.....3..2...73..........71...6......4.3........4..5....3.2..8...........6.", 7, "row 2", "7r2c6"),
    ],
)
def test_hidden_single_in_a_house(line: str, digit: int, house: str, token: str) -> None:
    grid = deduce.Grid.parse(line)
    assert len(list(deduce.solutions(grid))) == 1
    found = {
        str(proof.places[0])
        for proof in deduce.find(grid, ["hidden single"])
        if grid.layout.houses[proof.pattern.role("house")[0]].name == house and proof.places[0].digit == digit
    }
    assert found == {token}


# H. Simonis, ECLiPSe ELearning course, chapter 5, 2009 (CC BY-NC-SA 3.0, so read from the collections only).


@pytest.mark.parametrize(
    ("name", "patterns", "fixed", "left"),
    [("simonis-fc", ("naked single",), 33, 187), ("simonis-dc", (*SINGLES, *SUBSETS), 65, 98)],
)
def test_levels_of_one_puzzle(collections: Path, name: str, patterns: tuple[str, ...], fixed: int, left: int) -> None:
    examples = {example["id"]: example for example in json.loads((collections / "worked_examples.json").read_text())}
    walk = deduce.walk(deduce.Grid.parse(examples[name]["grid"]), patterns)
    assert walk.grid.line() == examples[name]["state"]
    assert 81 - walk.grid.line().count(".") == fixed
    assert fixed + len(walk.grid.candidates()) == left


# How far each level of deduction goes: puzzles solved outright, recomputed by an independent program to the fixpoint of
# each level. Sources of the lists: the 50 puzzles of Project Euler problem 96; 95 hard puzzles popularised by an essay
# of P. Norvig; every third of 375 puzzles that players collected as the hardest known in June 2011.

LEVELS = {
    "naked singles": ("naked single",),
    "singles": SINGLES,
    "singles, locked": (*SINGLES, *LOCKED),
    "singles, subsets": (*SINGLES, *SUBSETS),
    "singles, locked, subsets": (*SINGLES, *LOCKED, *SUBSETS),
    "singles, locked, subsets, fish": (*SINGLES, *LOCKED, *SUBSETS, *FISH),
}
SOLVED = {
    "euler96_50": (50, (12, 40, 44, 46, 49, 50)),
    "hard_95": (95, (0, 0, 10, 15, 29, 29)),
    "hardest_375_part": (125, (0, 0, 0, 0, 0, 0)),
}


def puzzles(folder: Path, name: str) -> list[deduce.Grid]:
    lines = (folder / f"{name}.txt").read_text().splitlines()
    return [deduce.Grid.parse(line) for line in lines if line[0] != "#"]


@pytest.mark.parametrize("level", range(len(LEVELS)), ids=list(LEVELS))
@pytest.mark.parametrize("name", SOLVED)
def test_levels(collections: Path, name: str, level: int) -> None:
    grids = puzzles(collections, name)
    count, solved = SOLVED[name]
    assert len(grids) == count
    assert sum(deduce.walk(grid, list(LEVELS.values())[level]).solved for grid in grids) == solved[level]


# The same table for lists of which only a part is at hand: every third of 1,465 hard puzzles, every tenth of the 49,151
# puzzles with 17 clues of G. Royle's list. The whole lists' shares can only be expected of a part within chance.

SHARES = {
    "hard_1465_part": (1465, (0, 0, 60, 143, 308, 310)),
    "seventeen_clues": (49151, (0, 21905, 37373, 34464, 41646, 41665)),
}


@pytest.mark.parametrize("name", SHARES)
@pytest.mark.thorough
def test_levels_of_parts(collections: Path, name: str) -> None:
    whole, figures = SHARES[name]
    grids = puzzles(collections, name)
    naked, singles, locked, subsets, both, fish = (
        {n for n, grid in enumerate(grids) if deduce.walk(grid, patterns).solved} for patterns in LEVELS.values()
    )
    assert naked <= singles <= locked <= both <= fish
    assert singles <= subsets <= both
    for solved, figure in zip((naked, singles, locked, subsets, both, fish), figures, strict=True):
        share = figure / whole
        print(f"{name}: {len(solved)} of {len(grids)}, whole list {share:.4f}")
        assert abs(len(solved) / len(grids) - share) <= 5 * sqrt(share * (1 - share) / len(grids)) + 1e-9
