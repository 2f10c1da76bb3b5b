"""Themes and the generator: what a collection shows, and new puzzles that cannot do without what is wanted."""

from __future__ import annotations

import pytest
from strategies import LAYOUTS

import deduce
from deduce.errors import PatternError
from deduce.patterns.singles import SINGLES
from deduce.planning.showcases import up_to
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import SYMMETRIES, minimal_puzzle, wanted_puzzle
from deduce.walks import Theme, prune, themed_puzzle, themes, walk_effort

PATTERNS = (
    *SINGLES,
    "pointing pair",
    "pointing triple",
    "claiming pair",
    "claiming triple",
    "naked pair",
    "skyscraper",
    "XY-wing",
)


def clues(grid: deduce.Grid) -> list[int]:
    return bits(grid.givens)


def one_solution(layout: Layout, givens: list[int]) -> bool:
    return len(list(deduce.solutions(deduce.Grid.from_numbers(layout, givens), 2))) == 1


def is_minimal(grid: deduce.Grid) -> bool:
    """One solution, and none of the clues can go."""
    givens = clues(grid)
    without = [[other for other in givens if other != clue] for clue in givens]
    return one_solution(grid.layout, givens) and not any(one_solution(grid.layout, fewer) for fewer in without)


# Collections


def test_a_collection_is_searched_completely():
    puzzles = [minimal_puzzle(seed) for seed in range(40)]
    expected, others = {}, {}
    for number, grid in enumerate(puzzles, 1):
        walked = deduce.walk(grid, PATTERNS)
        pruned = prune(walked)
        names = [step.proof.pattern.name for step in pruned.steps]
        if walked.solved and {"naked pair", "skyscraper"} <= {*names}:
            expected[number] = names
        else:
            others[number] = "without it" if walked.solved else "not solved"
    left_out = {}
    found = list(themes(puzzles, ["skyscraper", "naked pair"], PATTERNS, left_out=left_out.__setitem__))
    assert left_out == others
    assert {*others.values()} == {"without it", "not solved"}
    assert {theme.number: [step.proof.pattern.name for step in theme.walk.steps] for theme in found} == expected
    assert found
    for theme in found:
        assert isinstance(theme, Theme)
        assert theme.grid == puzzles[theme.number - 1]
        assert [showing.pattern for showing in theme.showings] == ["skyscraper", "naked pair"]
        for showing in theme.showings:
            names = expected[theme.number]
            assert [i for i, name in enumerate(names, 1) if name == showing.pattern] == list(showing.steps)


def test_how_essential_a_pattern_is():
    puzzles = [minimal_puzzle(seed) for seed in range(60)]
    kinds = set()
    for theme in themes(puzzles, ["skyscraper"], PATTERNS):
        (showing,) = theme.showings
        without = deduce.walk(theme.grid, [name for name in PATTERNS if name != "skyscraper"])
        assert showing.only_way == (not without.solved)
        assert showing.peak == walk_effort(theme.walk).peak
        if showing.only_way:
            assert showing.proved
            assert (showing.instead, showing.peak_without) == ((), None)
        else:
            assert "skyscraper" not in showing.instead
            assert showing.peak_without == walk_effort(prune(without)).peak
        kinds.add(showing.only_way)
    assert kinds == {True, False}


def test_wishes_for_themes_are_checked():
    with pytest.raises(ValueError, match="no pattern is wanted"):
        themes([], [])
    with pytest.raises(PatternError):
        themes([], ["naked pairs"])
    with pytest.raises(TypeError):
        themes([], "naked pair")
    with pytest.raises(PatternError):
        themed_puzzle(1, ["hidden single"])
    assert up_to(["naked single", "hidden single"]) == SINGLES


# New puzzles


@pytest.mark.parametrize(
    ("seed", "wanted", "shape"),
    [(1, ["pointing pair"], "6x6"), (2, ["skyscraper"], "9x9"), (1, ["naked triple"], "9x9")],
)
def test_a_puzzle_made_for_a_pattern_needs_it(seed, wanted, shape):
    made = themed_puzzle(seed, wanted, layout=LAYOUTS[shape], budget=2000)
    grid = made.walk.start
    assert is_minimal(grid)
    assert {step.proof.pattern.name for step in made.advanced} >= {*wanted}
    assert made.walk.solved
    made.walk.check()
    for name in wanted:
        assert not deduce.walk(grid, [other for other in up_to(wanted) if other != name]).solved
    assert deduce.walk(grid, up_to(wanted)).solved
    assert themed_puzzle(seed, wanted, layout=LAYOUTS[shape], budget=2000).walk.start == grid


def test_the_search_for_a_puzzle_has_a_budget():
    with pytest.raises(deduce.BudgetSpent) as raised:
        themed_puzzle(1, ["jellyfish"], layout=LAYOUTS["4x4"], budget=5)
    assert raised.value.limit == 5
    with pytest.raises(deduce.BudgetSpent):
        wanted_puzzle(1, lambda _: False, LAYOUTS["4x4"], budget=3)


MOVES = {
    "half turn": [lambda r, c, n: (n - r, n - c)],
    "quarter turn": [lambda r, c, n: (c, n - r)],
    "left-right": [lambda r, c, n: (r, n - c)],
    "top-bottom": [lambda r, c, n: (n - r, c)],
    "diagonal": [lambda r, c, n: (c, r)],
    "both diagonals": [lambda r, c, n: (c, r), lambda r, c, n: (n - c, n - r)],
}


@pytest.mark.parametrize("symmetry", list(SYMMETRIES))
@pytest.mark.parametrize("shape", ["4x4", "6x6"])
def test_symmetric_clues(symmetry, shape):
    layout = LAYOUTS[shape]
    patterns = set()
    for seed in range(3):
        grid = minimal_puzzle(seed, layout, symmetry=symmetry)
        assert is_minimal(grid)
        cells = {divmod(clue % layout.cells, layout.order) for clue in clues(grid)}
        for move in MOVES[symmetry]:
            assert {move(r, c, layout.order - 1) for r, c in cells} == cells
        assert minimal_puzzle(seed, layout, symmetry=symmetry) == grid
        patterns.add(frozenset(cells))
    assert len(patterns) > 1


def test_a_symmetric_puzzle_of_full_size():
    grid = minimal_puzzle(3, symmetry="half turn")
    cells = {clue % 81 for clue in clues(grid)}
    assert {80 - cell for cell in cells} == cells
    assert is_minimal(grid)


def test_an_unknown_symmetry():
    with pytest.raises(ValueError, match="'half turn'"):
        minimal_puzzle(1, LAYOUTS["4x4"], symmetry="none")


def test_seeds_give_the_puzzles_that_they_gave_before():
    """The collection of the benchmarks was made from these seeds."""
    assert (
        minimal_puzzle(1).line() == "6......13..1...8..4....392...6..1...3.7..9....4..38...8....5.....3....5157.6....."
    )
    assert (
        minimal_puzzle(2).line() == "...2....3.....3..4.3....61..5..7.1.....5..3.6.93....42...7...8.812..........14..."
    )
