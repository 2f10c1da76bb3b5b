"""Shared walks are the walks of `deduce.walk`; refutations and smallest sets are those of plain search."""

import itertools
import random

import pytest
from surveys.lists import SMALL, usual

import deduce
from deduce.deadline import within
from deduce.errors import OutOfTime
from deduce.kernel import Position, place
from deduce.patterns import PLAIN, sums
from deduce.patterns.board import Board, everywhere
from deduce.positions import bits
from deduce.proof import Pattern, Role
from deduce.surveys.choice import BEYOND, chosen
from deduce.surveys.levels import LOCKED, SINGLES, SUBSETS, cumulative, with_each, without_each
from deduce.surveys.needs import pattern_needs
from deduce.surveys.ranks import hardest_of, rank
from deduce.surveys.refutation import FINDER, REFUTATION, follow
from deduce.surveys.sweep import Explorer, Move


def same(grid, course, patterns, budget=None):
    """Whether a course is the walk with these patterns, step by step."""
    return alike(deduce.walk(grid, patterns, budget, order="catalogue"), course)


def alike(walk, course):
    steps = [(step.proof.pattern.name, step.proof.effort, step.proof.depth) for step in walk.steps]
    return (walk.outcome, steps, walk.grid) == (
        course.outcome,
        [(move.pattern, move.effort, move.depth) for move in course.moves],
        course.end.grid,
    )


def random_sets(seed, count):
    rng = random.Random(seed)
    cheap = [name for name in PLAIN if "almost locked" not in name and "ALS" not in name and name != "death blossom"]
    return [rng.sample(cheap, rng.randint(0, len(cheap))) for _ in range(count)]


@pytest.mark.parametrize("line", usual(6))
def test_levels_walk_as_if_alone(line):
    grid = deduce.Grid.parse(line)
    explorer = Explorer(grid)
    sets = [level.patterns for level in cumulative()] + random_sets(line, 12)
    for patterns in sets:
        assert same(grid, explorer.walk(chosen(patterns)), patterns), patterns


def test_the_order_of_levels_does_not_matter():
    grid = deduce.Grid.parse(usual(1, 40)[0])
    sets = random_sets(7, 15)
    forth, back = Explorer(grid), Explorer(grid)
    first = [forth.walk(chosen(patterns)) for patterns in sets]
    second = [back.walk(chosen(patterns)) for patterns in reversed(sets)][::-1]
    for one, other in zip(first, second, strict=True):
        assert [move.pattern for move in one.moves] == [move.pattern for move in other.moves]
        assert one.end.grid == other.end.grid


def test_positions_are_shared():
    grid = deduce.Grid.parse(usual(1, 3)[0])
    together = Explorer(grid)
    levels = [chosen(level.patterns) for level in cumulative()]
    for level in levels:
        together.walk(level)
    alone = 0
    for level in levels:
        explorer = Explorer(grid)
        explorer.walk(level)
        alone += explorer.searches
    assert together.searches < alone / 2
    before = together.searches
    together.walk(levels[-1])
    assert together.searches == before


def beyond_as_if_alone(grid, sets):
    """Whether walks beyond the catalogue go as if alone, after one another and in any order; what they used."""
    walks = [deduce.walk(grid, patterns, order="catalogue") for patterns in sets]
    forth, back = Explorer(grid), Explorer(grid)
    for walk, patterns in zip(walks, sets, strict=True):
        assert alike(walk, forth.walk(chosen(patterns))), patterns
    for walk, patterns in reversed([*zip(walks, sets, strict=True)]):
        assert alike(walk, back.walk(chosen(patterns))), patterns
    # What has been planned once is planned no second time.
    before = forth.searches
    for walk, patterns in zip(walks, sets, strict=True):
        assert alike(walk, forth.walk(chosen(patterns))), patterns
    assert forth.searches == before
    return {step.proof.pattern.name for walk in walks for step in walk.steps}


def test_counting_arguments_and_suppositions_come_as_if_alone():
    """In puzzles that singles do not solve, sums do, and suppositions with and without them."""
    counting, supposition = BEYOND
    sums, supposed = (deduce.Grid.parse(usual(1, number)[0]) for number in (5, 9))
    assert counting in beyond_as_if_alone(sums, [SINGLES, [*SINGLES, counting]])
    patterns = [*SINGLES, *LOCKED, supposition]
    assert supposition in beyond_as_if_alone(supposed, [[*SINGLES, *LOCKED], patterns, [*PLAIN, *BEYOND]])
    assert max(move.depth for move in Explorer(supposed).walk(chosen(patterns)).moves) == 1


@pytest.mark.thorough
def test_whole_walks_of_the_hardest_come_as_if_alone(collections):
    lines = (collections / "hardest_375_part.txt").read_text().splitlines()
    puzzles = [line for line in lines if line and not line.startswith("#")]
    for line in puzzles[::62]:
        assert {*BEYOND} & beyond_as_if_alone(deduce.Grid.parse(line.split()[0]), [PLAIN, [*PLAIN, *BEYOND]])


@pytest.mark.parametrize("budget", [0, 1, 5, 400])
def test_budgets(budget):
    grid = deduce.Grid.parse(usual(1)[0])
    assert same(grid, Explorer(grid).walk(chosen(PLAIN), budget), PLAIN, budget)


@pytest.mark.parametrize(
    "text",
    [
        "11..............",  # a digit twice from the start
        "12.. ..3. ..4. ....",  # no place for something soon
        "1234 34.. .... ..2.",
        "................",  # many solutions
        "1...............",
    ],
)
def test_odd_grids_walk_as_if_alone(text):
    grid = deduce.Grid.parse(text.replace(" ", ""))
    explorer = Explorer(grid)
    for level in cumulative()[:-1]:
        assert same(grid, explorer.walk(chosen(level.patterns)), level.patterns), level


def test_layouts_with_rules_walk_as_if_alone():
    """Cages of two cells: sums are patterns, and a cage that cannot be met is a dead end."""
    solved = "1234341221434321"
    pairs = [(r, c, int(solved[4 * r + c]) + int(solved[4 * r + c + 1])) for r in range(4) for c in (0, 2)]
    layout = deduce.Layout.parse(
        "\n".join(["grid 4", *(f"cage r{r + 1}c{c + 1} r{r + 1}c{c + 2} = {n}" for r, c, n in pairs)])
    )
    outcomes, used = set(), set()
    for text in ("." * 16, "1" + "." * 15, "4" + "." * 15, "1....1.........."):
        grid = deduce.Grid.parse(text, layout)
        explorer = Explorer(grid)
        for level in cumulative()[:-1]:
            course = explorer.walk(chosen(level.patterns))
            assert same(grid, course, level.patterns), (text, level)
            outcomes.add(course.outcome.value)
            used |= {move.pattern for move in course.moves}
    assert {"impossible", "stuck"} <= outcomes
    assert used & {sums.BOUND, sums.LEFTOVER}


def test_a_dead_end_on_the_way():
    """Every wrong digit put into a puzzle leads to a dead end or gets stuck, the same way with and without sharing."""
    grid = deduce.Grid.parse(usual(1)[0])
    (solved,) = deduce.solutions(grid)
    outcomes = set()
    for wrong in bits(grid.live & ~solved.true)[::40]:
        position = deduce.Grid.from_numbers(grid.layout, [*bits(grid.true), wrong])
        explorer = Explorer(position)
        for patterns in (SINGLES, (*SINGLES, *LOCKED, *SUBSETS)):
            course = explorer.walk(chosen(patterns))
            outcomes.add(course.outcome.value)
            assert same(position, course, patterns)
    assert "impossible" in outcomes


def test_the_clock_stops_a_walk():
    explorer = Explorer(deduce.Grid.parse(usual(1)[0]))
    asked = itertools.count()
    with within(None, lambda: next(asked) == 30), pytest.raises(OutOfTime):
        explorer.walk(chosen(PLAIN))
    assert 0 < explorer.searches <= 30


# Refutation by singles


def refuted_plainly(grid, candidate):
    """Whether naked and hidden singles lead to a contradiction, by walking from a grid that has the candidate."""
    supposed = grid.moved(place(grid.model, Position(grid.live, grid.true), candidate))
    return deduce.walk(supposed, SINGLES).outcome == "impossible"


@pytest.mark.parametrize("line", usual(2, 5))
def test_refutations_are_those_of_plain_search(line):
    grid = deduce.walk(deduce.Grid.parse(line), SINGLES).grid
    found = {}
    (scope,) = everywhere(grid.layout)
    for proof in FINDER.search(Board(grid), scope, [REFUTATION]):
        assert not deduce.check(grid, proof).contradiction
        assert FINDER.fault(grid, proof.pattern) is None
        assert proof.depth == 1
        (candidate,) = proof.pattern.role("supposed")
        found[candidate] = proof
    expected = {c for c in bits(grid.live & ~grid.true) if refuted_plainly(grid, c)}
    assert found.keys() == expected
    survivor = next(iter({*bits(grid.live & ~grid.true)} - expected), None)
    if survivor is not None:
        roles = (Role("supposed", "candidates", (survivor,)),)
        assert "no contradiction" in FINDER.fault(grid, Pattern(REFUTATION, roles))


def test_what_survives_leads_to_what_survives():
    walks = (deduce.walk(deduce.Grid.parse(line), SINGLES) for line in usual(40))
    grid = next(walk.grid for walk in walks if not walk.solved)
    checked = 0
    for candidate in bits(grid.live & ~grid.true)[::5]:
        _, dead, reached = follow(grid.layout, grid.live, grid.true, candidate)
        if dead < 0:
            for other in bits(reached & ~grid.true)[::4]:
                assert follow(grid.layout, grid.live, grid.true, other)[1] < 0
                checked += 1
    assert checked


def test_refutation_solves_where_patterns_of_its_size_do_not():
    grid = deduce.Grid.parse(usual(1, 11)[0])
    course = Explorer(grid).walk(chosen([*SINGLES, REFUTATION]))
    assert course.outcome == "solved"
    (solved,) = deduce.solutions(grid)
    assert course.end.grid.line() == solved.line()


# The smallest sets of patterns that solve

CHOICE = ("pointing pair", "naked pair", "hidden pair", "X-wing", "skyscraper", "X-chain", "XY-chain")


def smallest_plainly(grid, known, choice):
    """Every solving set none of whose subsets solves, by walking all of them."""
    solving = [
        frozenset(names)
        for size in range(len(choice) + 1)
        for names in itertools.combinations(choice, size)
        if deduce.walk(grid, [*known, *names]).solved
    ]
    return {names for names in solving if not any(other < names for other in solving)}


def test_smallest_sets_are_those_of_plain_search():
    interesting = 0
    for line in usual(40):
        grid = deduce.Grid.parse(line)
        if deduce.walk(grid, SINGLES).solved:
            assert pattern_needs(Explorer(grid), SINGLES, CHOICE, 200).sets == ((),)
            continue
        if interesting == 4:
            continue
        found = pattern_needs(Explorer(grid), SINGLES, CHOICE, 200)
        assert found.complete
        assert {frozenset(names) for names in found.sets} == smallest_plainly(grid, SINGLES, CHOICE)
        assert len(set(found.sets)) == len(found.sets)
        interesting += len(found.sets) > 1
    assert interesting == 4


def test_a_spent_budget_is_told():
    families = ((g, pattern_needs(Explorer(g), SINGLES, CHOICE, 200)) for g in map(deduce.Grid.parse, usual(40)))
    grid, full = next((grid, found) for grid, found in families if len(found.sets) > 1)
    short = pattern_needs(Explorer(grid), SINGLES, CHOICE, 3)
    assert full.complete
    assert not short.complete
    assert set(short.sets) <= set(full.sets)
    for names in full.sets:
        assert deduce.walk(grid, [*SINGLES, *names]).solved


def test_no_set_solves_what_everything_does_not():
    grid = deduce.Grid.parse("1...............", SMALL)
    found = pattern_needs(Explorer(grid), SINGLES, PLAIN, 50)
    assert (found.sets, found.complete) == ((), True)


def test_neighbouring_levels():
    without, added = without_each(), with_each()
    assert len(without) == len(added) - 1 == len(PLAIN) - len(SINGLES)
    for level in without:
        assert {*PLAIN} - {*level.patterns} == {level.name.removeprefix("without ")}
    for level in added[1:]:
        assert {*level.patterns} - {*SINGLES} == {level.name.removeprefix("base with ")}


def test_the_hardest_step():
    names = ["hidden single", "naked pair", "hidden single", "naked pair", "naked pair", "pointing pair"]
    moves = [Move(name, effort, 0, None) for name, effort in zip(names, (9, 3, 1, 5, 5, 8), strict=True)]
    assert hardest_of(moves) == 3
    assert hardest_of([]) is None
    assert rank("refutation by singles") > rank("jellyfish") > rank("contradiction")
