"""Plans against exhaustive search: costs, bounds, required patterns, and the news that there is no plan."""

from __future__ import annotations

from functools import lru_cache

import pytest
from conftest import THOROUGH
from planning.explore import Map, distances, explore, least, routes
from strategies import LAYOUTS

import deduce
from deduce.errors import PatternError
from deduce.kernel import Position, check
from deduce.patterns import PLAIN
from deduce.planning.best_first import indispensable
from deduce.planning.bound import SHRINKS, Rounds, relaxed
from deduce.planning.terrain import Terrain, singles_placed
from deduce.solving.generate import minimal_puzzle
from deduce.walks import Answer, Objective, key, plan, walk_effort

SINGLES = ("hidden single", "naked single")
LOCKED = ("pointing pair", "pointing triple", "claiming pair", "claiming triple")
PAIRS = ("naked pair", "hidden pair")
NAKED = ("naked single",)

LINES = ("hidden pair", "naked triple", "hidden triple", "X-wing", "skyscraper", "two-string kite", "W-wing")

CASES = [
    # shape, seeds, simple, advanced; chosen so that the maps are small and most plans need more than one step
    ("5x5", (0, 2, 5, 11, 15, 17, 20, 32, 39, 42, 52), NAKED, PAIRS),
    ("5x5", (4, 6, 10, 13, 14, 18, 21, 24, 25, 26, 27), NAKED, (*PAIRS, *LOCKED)),
    ("6x6", (7, 16, 18, 26, 28), NAKED, (LOCKED[1], *PAIRS)),
    ("6x6", (9, 15, 19, 21, 24, 39), NAKED, (*LOCKED, *PAIRS)),
    ("9x9", (5, 6, 10, 12, 21, 29), SINGLES, (*LOCKED, "naked pair")),
    ("9x9", (7, 10, 17, 25, 26, 36, 40, 44, 58), SINGLES, LINES),
    ("9x9", (23, 40, 58), SINGLES, ("naked pair", "naked triple", "X-wing", "XY-wing", "two-string kite")),
    ("9x9", (6, 9), SINGLES, ("chain with both ends on one digit", "XY-wing", "XYZ-wing", "naked pair")),
    ("9x9", (5, 9), SINGLES, ("X-chain", "XY-chain")),
]


@lru_cache(maxsize=1)
def maps() -> tuple[tuple[deduce.Grid, tuple[str, ...], tuple[str, ...], Map], ...]:
    """Explore every case."""
    found = []
    for shape, seeds, simple, advanced in CASES:
        for seed in seeds if THOROUGH else seeds[-4:]:
            grid = minimal_puzzle(seed, LAYOUTS[shape])
            explored = explore(grid, simple, advanced, most=150)
            assert explored is not None, f"{shape} {seed} {advanced} has too large a map"
            assert explored.edges[explored.start], f"{shape} {seed} {advanced} has no map"
            found.append((grid, simple, advanced, explored))
    return tuple(found)


def cheapest(found: Map, objective: Objective) -> int | None:
    """The least cost on a map by its definition."""
    if objective is Objective.FEWEST_STEPS:
        return least(found, 0, lambda cost, proof, weight: cost + 1, lambda cost: cost)
    if objective is Objective.LEAST_EFFORT:
        return least(found, 0, lambda cost, proof, weight: cost + weight, lambda cost: cost)
    if objective is Objective.LEAST_PEAK:
        return least(found, 0, lambda cost, proof, weight: max(cost, weight), lambda cost: cost)
    if objective is Objective.FEWEST_PATTERNS:
        return least(found, frozenset(), lambda used, proof, weight: used | {proof.pattern.name}, len)
    names = {proof.pattern.name for edges in found.edges.values() for proof, _, _ in edges}
    costs = [
        least(found, 0, lambda cost, proof, _, name=name: cost + (proof.pattern.name != name), lambda cost: cost)
        for name in names
    ]
    return min((cost for cost in costs if cost is not None), default=None)


@pytest.mark.parametrize("objective", list(Objective))
def test_the_optimum_is_that_of_exhaustive_search(objective):
    proved, solved, costs = 0, 0, set()
    for grid, simple, advanced, found in maps():
        best = cheapest(found, objective)
        got = plan(grid, advanced, objective=objective, simple=simple, budget=400)
        where = f"{grid.line()} {simple} {advanced}"
        assert got.exists == (best is not None), where
        if best is None:
            assert got.cost is None
            assert got.stuck == got.walk.grid
            assert next(deduce.find(got.stuck, (*simple, *advanced)), None) is None
            continue
        solved += 1
        costs.add(best)
        assert got.cost >= (best,), where
        if got.answer is Answer.PROVED:
            proved += 1
            assert got.cost == (best,), where
        _is_a_plan(got, grid, simple, advanced)
    assert solved >= 15
    assert proved >= 0.9 * solved
    assert len(costs) > 1, "the cases must not be all alike"


def _is_a_plan(got, grid, simple, advanced):
    """The walk holds, uses what is allowed, solves the puzzle, and costs what is said."""
    got.walk.check()
    assert got.walk.start == grid
    assert got.walk.solved
    names = [step.proof.pattern.name for step in got.advanced]
    assert {step.proof.pattern.name for step in got.walk.steps} <= {*simple, *advanced}
    assert {*names}.isdisjoint(simple)
    efforts = [walk_effort([step]).total for step in got.advanced]
    assert (
        got.cost[-1]
        == {
            Objective.FEWEST_STEPS: len(names),
            Objective.LEAST_EFFORT: sum(efforts),
            Objective.LEAST_PEAK: max(efforts, default=0),
            Objective.FEWEST_PATTERNS: len({*names}),
            Objective.MOST_ALIKE: len(names) - max(map(names.count, names), default=0),
        }[got.objective]
    )


def test_rounds_never_ask_for_too_much():
    """In every position of every map: at most the true distance, and None only where there is no way."""
    tight = 0
    for grid, simple, advanced, found in maps():
        rounds = Rounds(Terrain(grid, simple, advanced))
        assert rounds.known
        far = distances(found)
        for position in found.edges:
            bound = rounds.least(position, 99)
            if position in far:
                assert bound is not None
                assert bound <= far[position], f"{grid.moved(position).pencil()}\n{advanced}"
                tight += bound == far[position] > 0
    assert tight > 50


@pytest.mark.parametrize(
    "advanced",
    [
        ("naked quad", "hidden quad"),
        ("hidden triple", "naked triple"),
        ("swordfish", "jellyfish"),
        ("continuous loop",),
        ("chain with linked ends on different digits", "chain that returns to its start"),
        ("W-wing", "remote pairs", "XY-chain"),
        ("X-chain",),
    ],
    ids=lambda names: names[0],
)
def test_rounds_hold_for_patterns_that_shrink(advanced):
    looked = 0
    for seed in (5, 6, 9, 21) if any("chain" in name for name in advanced) else range(1, 40):
        grid = deduce.walk(minimal_puzzle(seed), SINGLES).grid
        found = explore(grid, SINGLES, advanced, most=25)
        if found is None or len(found.edges) < 2:
            continue
        rounds, far = Rounds(Terrain(grid, SINGLES, advanced)), distances(found)
        for position, distance in far.items():
            bound = rounds.least(position, 99)
            assert bound is not None
            assert bound <= distance
        looked += len(found.edges)
    assert looked > 3


def test_what_patterns_shrink_to_is_in_the_catalogue():
    for name, others in SHRINKS.items():
        assert {name, *others} <= {*PLAIN}
    assert relaxed(["naked triple"]) == ("naked pair", "naked triple")
    unknown = [name for name in PLAIN if name not in SHRINKS]
    if unknown:
        assert relaxed([unknown[0]]) is None


def test_where_shrinking_is_not_known_only_one_step_is_looked_at():
    advanced = [*[name for name in PLAIN if name not in SHRINKS][:3], "XY-wing", *LOCKED]
    for seed in (9, 33):
        grid = deduce.walk(minimal_puzzle(seed), SINGLES).grid
        rounds = Rounds(Terrain(grid, SINGLES, advanced))
        assert not rounds.known
        assert rounds.least(Position(grid.live, grid.true), 99) in (1, 2, None)
        got = plan(grid, advanced, budget=30)
        assert got.answer in (Answer.PROVED, Answer.FOUND, Answer.OPEN, Answer.NONE)


def test_settling_is_walking_by_singles():
    for seed in range(20):
        grid = minimal_puzzle(seed)
        end = deduce.walk(grid, SINGLES).grid
        assert singles_placed(grid.layout, Position(grid.live, grid.true)) == Position(end.live, end.true)
        (solution,) = deduce.solutions(grid)
        wrong = next(c for c in grid.candidates() if not solution.live >> grid.number(c) & 1)
        dead = grid.moved(check(grid, next(deduce.find(grid))).after)
        dead = dead.without([c for c in dead.candidates() if solution.live >> dead.number(c) & 1][:1])
        assert singles_placed(dead.layout, Position(dead.live, dead.true)) is None or wrong


# Allowed, preferred, forbidden, required


def test_required_patterns_against_every_route():
    """The fewest steps of a plan that cannot do without a pattern, among all routes of the map."""
    met = none = 0
    for grid, simple, advanced, found in maps():
        shortest = distances(found).get(found.start)
        if shortest is None or len(found.edges) > 16:
            continue
        terrain = Terrain(grid, simple, advanced)
        lines = list(routes(found, min(len(found.edges), 4)))
        if not lines or len(lines) > 200:
            continue
        for name in advanced:
            good = [len(line) for line in lines if indispensable(terrain, line, name)]
            got = plan(grid, advanced, required=[name], simple=simple, budget=2000)
            if good:
                met += 1
                assert got.answer is Answer.PROVED, f"{grid.line()} {name}"
                assert got.cost == (min(good),), f"{grid.line()} {name}"
                assert name in {step.proof.pattern.name for step in got.advanced}
            else:
                none += 1
                assert not got.exists or got.cost > (4,)
    assert met > 5
    assert none > 5


def test_a_required_step_is_missed_when_it_is_left_out():
    grid = next(g for g, simple, advanced, _ in maps() if "skyscraper" in advanced and plan(g, advanced).exists)
    for name in ("skyscraper", "two-string kite", "X-wing"):
        got = plan(grid, CASES[5][3], required=[name])
        if got.exists:
            others = [step.proof for step in got.advanced]
            assert indispensable(Terrain(grid, SINGLES, CASES[5][3]), others, name)


def test_preferred_patterns_come_before_the_objective():
    changed = 0
    for grid, simple, advanced, found in maps()[::2]:
        if distances(found).get(found.start) is None:
            continue
        for name in advanced[:2]:
            got = plan(grid, advanced, preferred=[name], simple=simple, budget=400)
            best = least(
                found,
                (0, 0),
                lambda cost, proof, _, name=name: (cost[0] + (proof.pattern.name != name), cost[1] + 1),
                lambda cost: cost,
            )
            assert got.cost >= best
            if got.answer is Answer.PROVED:
                assert got.cost == best
            plain = plan(grid, advanced, simple=simple, budget=400)
            changed += best[0] < sum(step.proof.pattern.name != name for step in plain.advanced)
    assert changed, "a preference must sometimes change the plan"


def test_forbidden_patterns_are_not_used():
    grid, simple, advanced, _ = next(m for m in maps() if plan(m[0], m[2], simple=m[1]).exists)
    got = plan(grid, advanced, forbidden=["hidden single"], simple=simple)
    assert "hidden single" not in {step.proof.pattern.name for step in got.walk.steps}
    assert "hidden single" not in (*got.simple, *got.allowed)


def test_a_favourite_is_found():
    grid = minimal_puzzle(33)
    got = plan(grid, objective="most alike", budget=40)
    assert got.exists
    names = [step.proof.pattern.name for step in got.advanced]
    assert got.cost == (len(names) - max(map(names.count, names)),)


def test_the_key_of_a_puzzle():
    opened = key(minimal_puzzle(3), LOCKED)
    if opened.exists:
        assert opened.objective is Objective.FEWEST_STEPS
    for grid, simple, advanced, found in maps():
        if simple == SINGLES:
            opened = key(grid, advanced, budget=400)
            far = distances(found).get(found.start)
            assert (len(opened.advanced) if opened.exists else None) == far


def test_nothing_to_plan():
    grid = minimal_puzzle(1, LAYOUTS["4x4"])
    got = plan(grid)
    assert (got.answer, got.cost, got.advanced) == (Answer.PROVED, (0,), ())
    (solution,) = deduce.solutions(grid)
    assert plan(solution).walk.solved
    needless = plan(grid, required=["naked pair"])
    assert needless.answer is Answer.NONE


def test_an_impossible_grid_has_no_plan():
    got = plan(deduce.Grid.parse("1.......1......."), ["naked pair"])
    assert not got.exists
    many = plan(deduce.Grid.parse("12.............."), PAIRS)
    assert many.answer is Answer.NONE
    assert many.stuck is not None


def test_a_budget_may_be_too_small():
    hard = minimal_puzzle(909)
    small = plan(hard, budget=1)
    large = plan(hard, [name for name in PLAIN if name in SHRINKS], budget=20)
    assert small.answer in (Answer.FOUND, Answer.OPEN)
    assert large.exists
    with pytest.raises(ValueError, match="budget is 0"):
        plan(hard, budget=0)


def test_wishes_are_checked():
    grid = minimal_puzzle(1, LAYOUTS["4x4"])
    with pytest.raises(PatternError, match="did you mean"):
        plan(grid, ["naked pairs"])
    with pytest.raises(PatternError):
        plan(grid, ["naked pair"], required=["X-wing"])
    with pytest.raises(PatternError):
        plan(grid, preferred=["hidden single"])
    with pytest.raises(ValueError, match="fewest advanced steps"):
        plan(grid, objective="best")
