"""Layouts whose lines overlap, or lack cross lines: found by random layouts set beside a constraint solver."""

from __future__ import annotations

import pytest

import deduce
from deduce import Grid, Layout

PUZZLES = {
    # In each of these a deduction once was told that is none, since two lines share a place of its digit.
    "an X-wing of two rows that share a cell": (
        "grid 4 without boxes at r1c1\ngrid 4 without boxes at r1c3\ncage r3c5 r4c5\ncage r2c4 = 2",
        "....1......1............",
    ),
    "a sashimi swordfish over three grids": (
        "grid 4 at r1c1\ngrid 4 at r3c3\ngrid 4 at r5c1",
        "..3..2....2.....................2.....2.",
    ),
    "a skyscraper of two rows that share a cell": (
        "grid 6 at r1c1\ngrid 6 at r5c4\nking\nonly 1235 r6c3 r5c7 r5c4 r8c9\ndifference r6c4 r6c5 = 3\n"
        "total r10c7 r10c8 r9c7 r9c8 = 16",
        "..............1..3.............5............2.................3...",
    ),
    "a skyscraper in rows that no column crosses": (
        "order 4\ncells\noooo-\n-oooo\noo-oo\nhouse row 1 r1c1-r1c4\nhouse row 2 r2c2-r2c5\n"
        "house long bend r1c1 r3c1 r3c2 r3c4\ntotal r1c4 r1c4 = 8\nratio r3c2 r2c5 = 4\ncage r1c2\n"
        "difference r2c3 r1c4 <= 2\ntotal r3c1 r3c2 r2c2 r3c1 = 8\ndifference r3c5 r2c5 <= 3\ncage r2c5 = 4",
        "............",
    ),
    "a jellyfish over two grids": (
        "grid 6 at r1c1\ngrid 6 at r5c4\nknight r1c2 r4c2 r6c4\nodd r2c5 r4c3\ndifference r6c4 r5c4 >= 1\n"
        "cage r10c7 r8c8 r8c6 = 10\nodd r6c7\ndifference r2c3 r2c4 <= 1\ndifference r3c6 r2c4 = 1\n"
        "total r5c6 r4c6 r5c7 r5c6 = 14",
        ".3....52..1.2....44.......2.6..24.5.2431...2.4......13......4....2",
    ),
    # Here a supposition once left out an inference: a sum had no room any more, for which it takes two placed digits.
    "a cage that two digits fill": (
        "grid 5 without boxes\ndiagonals\nr2c3 > r2c2 < r2c4 > r3c4\nr2c4 > r1c4\nonly 1345 r5c3 r4c3 r5c2 r4c2\n"
        "ratio r3c3 r3c4 = 2\nodd r1c1\ncage r4c4 r1c1 r1c4 = 9",
        "..2.................2....",
    ),
    "a total that two digits fill": (
        "grid 6 boxes 3x2\ndifference r1c1 r4c5 <= 4\ntotal r6c3 r5c3 r4c3 r6c3 = 16\nequal r1c6 r3c2 = r4c1 r4c1\n"
        "even r6c6 r5c6\ndifference r6c6 r2c6 >= 1",
        ".6.......3.....6....6.5.6.......3.1.",
    ),
}


@pytest.mark.parametrize("name", PUZZLES)
def test_every_step_keeps_every_solution(name: str) -> None:
    text, line = PUZZLES[name]
    grid = Grid.parse(line, Layout.parse(text))
    solutions = [solved.live for solved in deduce.solutions(grid, 40)]
    walk = deduce.walk(grid, trials=None if len(solutions) == 1 else 60)
    assert all(not answer & ~step.after.live for step in walk.steps for answer in solutions)
    for proof in deduce.find(grid):
        assert deduce.patterns.fault(proof) is None
        gone = sum(1 << grid.number(candidate) for candidate in proof.eliminates)
        assert deduce.check(grid, proof)
        assert not any(answer & gone for answer in solutions)
