"""Random layouts with rules, with and without solutions: nothing that is asked raises, and brute force agrees."""

from __future__ import annotations

import random

import pytest
from puzzle.at_random import at_random
from sweeps import ask_everything

from deduce import Grid, Layout
from deduce.exchange import Document
from deduce.walks.walk import Outcome


def swept(seeds: range) -> set[Outcome]:
    found = set()
    for seed in seeds:
        text, givens, squares = at_random(seed)
        try:
            layout = Layout.parse(text)
            assert Layout.parse(layout.text()) == layout
            answers = [sum(1 << layout.number(digit, cell) for cell, digit in enumerate(s)) for s in squares]
            found.add(ask_everything(Grid.of(givens, layout=layout), answers, most=4))
        except Exception as error:
            error.add_note(f"seed {seed}: {givens} on\n{text}")
            raise
    return found


def test_everything_can_be_asked_of_a_layout() -> None:
    assert swept(range(24)) == {Outcome.SOLVED, Outcome.STUCK, Outcome.IMPOSSIBLE}


@pytest.mark.thorough
def test_everything_can_be_asked_of_many_layouts() -> None:
    swept(range(24, 1500))


SUMS = """grid 4 without boxes
equal r4c2 r3c1 r2c4 = r2c3
cage r3c4 r1c4 r2c3
ratio r1c3 r2c3 = 3
total r4c2 <= 15
king r4c3 r1c3 r2c1 r4c4 r3c4 r1c1"""


def test_the_order_of_the_givens_does_not_matter() -> None:
    # What one given clears leaves less room in a sum in which another one stands.
    layout = Layout.parse(SUMS)
    givens = ["1r1c3", "1r2c4", "2r4c3", "4r1c4"]
    first = Grid.of(givens, layout=layout)
    for seed in range(12):
        shuffled = random.Random(seed).sample(givens, 4)
        grid = Grid.of(shuffled, layout=layout)
        assert grid == first, shuffled
        assert Grid.parse(grid.pencil(), layout) == grid
        assert Document.from_json(Document(grid, ()).to_json()).start == grid
