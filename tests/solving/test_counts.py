"""Counts and graphs that others have published or that another library builds."""

from __future__ import annotations

import networkx as nx
import pytest

import deduce
from deduce import Grid, Layout
from deduce.solving.generate import minimal_puzzle


def count(layout: Layout) -> int:
    return sum(1 for _ in deduce.solutions(Grid.empty(layout), None))


def test_small_counts() -> None:
    """OEIS A107739 and A002860; 4x4 grids with both diagonals recomputed by an independent program."""
    assert count(Layout(4)) == 576
    assert count(Layout.standard(4)) == 288
    assert count(Layout.parse("grid 4\ndiagonals")) == 48
    assert count(Layout.parse("grid 3 without boxes")) == 12


@pytest.mark.thorough
def test_latin_squares_of_order_5() -> None:
    """OEIS A002860."""
    assert count(Layout(5)) == 161280


@pytest.mark.parametrize("side", [2, 3, 4, 5])
def test_the_cells_that_see_one_another_are_the_sudoku_graph(side: int) -> None:
    """The graph that networkx builds by itself: an edge where two cells cannot hold the same digit."""
    layout = Layout.standard(side * side)
    ours = nx.Graph((a, b) for a in range(layout.cells) for b in range(layout.cells) if layout.neighbours[a] >> b & 1)
    assert nx.utils.graphs_equal(ours, nx.sudoku_graph(side))
    first = layout.cells - 1
    seen = layout.peers[first] & ((1 << layout.cells) - 1)
    assert seen == layout.neighbours[first]


def test_five_grids_share_their_corner_boxes() -> None:
    """Common practice, no source: four grids around one in the middle have 5 * 81 - 4 * 9 cells."""
    text = "\n".join(f"grid 9 at r{row}c{column}" for row, column in ((1, 1), (1, 13), (7, 7), (13, 1), (13, 13)))
    layout = Layout.parse(text)
    assert layout.cells == 5 * 81 - 4 * 9
    assert len(layout.houses) == 5 * 27 - 4
    assert (layout.height, layout.width) == (21, 21)
    shared = layout.parse_cell("r8c8")
    names = [layout.houses[h].name for h in layout.houses_of[shared]]
    assert names == [
        "row 8 of grid 1",
        "column 8 of grid 1",
        "box 9 of grid 1",
        "row 2 of grid 3",
        "column 2 of grid 3",
    ]
    with pytest.raises(deduce.GridError, match="no cell"):
        layout.parse_cell("r1c11")


def test_five_grids_are_walked_to_their_solution() -> None:
    text = "\n".join(f"grid 4 at r{row}c{column}" for row, column in ((1, 1), (1, 7), (4, 4), (7, 1), (7, 7)))
    layout = Layout.parse(text)
    assert layout.cells == 5 * 16 - 4
    puzzle = minimal_puzzle(3, layout)
    walk = deduce.walk(puzzle)
    assert walk.solved
    assert [walk.grid] == list(deduce.solutions(puzzle))
    assert Grid.parse(str(puzzle), layout) == puzzle
    assert Grid.parse(puzzle.pencil(), layout) == puzzle
    assert any(" of grid " in step.proof.words() for step in walk.steps)


def test_claims_name_the_grid_that_a_house_belongs_to() -> None:
    layout = Layout.parse("grid 4 at r1c1\ngrid 4 at r3c3\n")
    puzzle = minimal_puzzle(1, layout)
    single = next(deduce.find(puzzle, ["hidden single"]))
    placed, (house,) = single.places[0], single.pattern.role("house")
    claim = f"r{placed.row}c{placed.column} = {placed.digit} by hidden single in {layout.houses[house].name}"
    assert " of grid " in claim
    assert deduce.judge(puzzle, claim).reason_holds
    with pytest.raises(deduce.ClaimError, match="several grids have a row 1"):
        deduce.judge(puzzle, "r1c1 = 1 by hidden single in row 1")
