"""The sizes of smallest arguments: nothing smaller concludes anything, by trying all smaller ones."""

from surveys.lists import usual

import deduce
from deduce.kernel import Counting, Position
from deduce.positions import conclusions
from deduce.surveys import Level, survey
from deduce.surveys.levels import LOCKED, SINGLES
from deduce.surveys.ranks import hardest_of, rank
from deduce.surveys.sweep import Move

LEVEL = Level.of("some", [*SINGLES, *LOCKED, "hidden pair", "X-wing"])


def concludes(grid, bases, covers):
    argument = Counting(tuple((b, 1) for b in bases), tuple((c, 1) for c in covers))
    return conclusions(grid.model, Position(grid.live, grid.true), argument) is not None


def sizes_up_to_two(grid):
    """The size of the smallest argument, 3 standing for anything larger."""
    numbers = range(len(grid.model.constraints))
    if any(concludes(grid, [n], []) or concludes(grid, [], [n]) for n in numbers):
        return 1
    layout = grid.layout
    touching = {n: {m for c, _ in grid.model.constraints[n].terms for m in layout.touching[c]} - {n} for n in numbers}
    if any(concludes(grid, [n], [m]) for n in numbers for m in touching[n]):
        return 2
    # Two bases or two covers that share nothing add up to nothing new; those that do are tried.
    if any(concludes(grid, [n, m], []) or concludes(grid, [], [n, m]) for n in numbers for m in touching[n]):
        return 2
    return 3


def test_sizes():
    lines = usual(12)
    made = survey(lines, workers=0, levels=[LEVEL], smallest=True)
    assert made.tally.troubles == 0
    answers = {row[1]: row[4:] for row in made.store.rows("smallest")}
    seen = set()
    for line in lines:
        hardest, stuck, proved = answers[line]
        assert proved == 1
        walk = deduce.walk(deduce.Grid.parse(line), LEVEL.patterns)
        at = hardest_of([Move(step.proof.pattern.name, step.proof.effort, 0, None) for step in walk.steps])
        positions = [(walk.steps[at].before, hardest)]
        if walk.solved:
            assert stuck is None
        else:
            positions.append((walk.grid, stuck))
        for grid, size in positions:
            assert min(size, 3) == sizes_up_to_two(grid)
            seen.add(min(size, 3))
    assert seen == {1, 2, 3}
    hardest, stuck, unsure = made.coverage().smallest["puzzles"]
    assert (sorted(hardest.elements()), sorted(stuck.elements()), unsure) == (
        sorted(answer[0] for answer in answers.values()),
        sorted(answer[1] for answer in answers.values() if answer[1] is not None),
        0,
    )
    (table,) = (table for table in made.coverage().tables() if table.title == "Smallest arguments")
    assert [row[2] for row in table.rows] == [12, stuck.total()]


def test_a_puzzle_without_a_step():
    made = survey([deduce.Grid.parse("." * 16)], workers=0, levels=[LEVEL], smallest=True)
    ((*_, hardest, stuck, proved),) = made.store.rows("smallest")
    assert (hardest, stuck, proved) == (None, None, 1)


def test_the_hardest_step():
    names = ["hidden single", "naked pair", "hidden single", "naked pair", "naked pair", "pointing pair"]
    moves = [Move(name, effort, 0, None) for name, effort in zip(names, (9, 3, 1, 5, 5, 8), strict=True)]
    assert hardest_of(moves) == 3
    assert hardest_of([]) is None
    assert rank("refutation by singles") > rank("jellyfish") > rank("contradiction")
