"""Effort: what it counts, that longer arguments never have less, and that turning a grid changes nothing."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import combinations
from random import Random

import pytest
from hypothesis import given, strategies as st
from patterns.test_symmetry import SEPARATE, Turn
from strategies import positions

import deduce
from deduce.kernel import Counting, Inference, Supposition
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle
from deduce.walks import effort, walk_effort
from deduce.walks.effort import SIMPLE, inferred_effort


@given(positions(), st.integers(0, 10**6))
def test_a_longer_argument_never_has_less_effort(grid: deduce.Grid, seed: int) -> None:
    rng = Random(seed)
    numbers = list(range(len(grid.model.constraints)))
    bases, covers = rng.sample(numbers, 3), rng.sample(numbers, 2)

    def measured(bases: list[int], covers: list[int]) -> int:
        argument = Counting(tuple((n, 1) for n in bases), tuple((n, 1) for n in covers))
        return inferred_effort(grid, [Inference(argument)]).total

    before = measured(bases, covers)
    base, cover = (rng.choice([n for n in numbers if n not in side]) for side in (bases, covers))
    assert measured([*bases, base], covers) >= before
    assert measured(bases, [*covers, cover]) > before, "a new link adds something"
    heavy = Counting(tuple((n, 7) for n in bases), tuple((n, 3) for n in covers))
    assert inferred_effort(grid, [Inference(heavy)]).total == before, "what is read once is counted once"


@given(positions())
def test_chains_with_more_links_have_more_effort(grid: deduce.Grid) -> None:
    """The argument of a chain cut short by two links has fewer links, and no part that is larger."""
    for proof in deduce.find(grid, ["X-chain", "XY-chain"]):
        chain = proof.pattern.chain
        assert chain is not None
        strong = [link.constraints[0] for link in chain.links if link.strong]
        weak = [link.constraints[0] for link in chain.links if not link.strong]
        sums = [
            inferred_effort(
                grid, [Inference(Counting(tuple((n, 1) for n in strong[:k]), tuple((n, 1) for n in weak[: k - 1])))]
            )
            for k in range(1, len(strong) + 1)
        ]
        totals = [one.total for one in sums]
        assert totals == sorted(totals)


@given(positions(), st.integers(0, 10**6))
def test_effort_is_stable_under_symmetry(grid: deduce.Grid, seed: int) -> None:
    turn = Turn(grid.layout, Random(seed))

    def profile(grid: deduce.Grid, move=lambda number: number):
        return Counter(
            (
                proof.pattern.name,
                frozenset(move(grid.number(c)) for c in proof.eliminates),
                frozenset(move(grid.number(c)) for c in proof.places),
                effort(proof),
            )
            for proof in deduce.find(grid, SEPARATE)
            # Where a row and a box serve an XYZ-wing alike, their order decides which is taken, and so how many in all.
            if proof.pattern.name != "XYZ-wing"
        )

    assert profile(turn.grid(grid)) == profile(grid, turn.number)


def test_what_is_counted():
    grid = deduce.Grid.parse("12.. 3... .... ...1")
    single = next(deduce.find(grid, ["hidden single"]))
    told = effort(single)
    counts = (told.cells, told.houses, told.links, told.digits, told.suppositions, told.bars, told.total)
    assert counts == (0, 1, 0, 1, 0, 0, 2)
    assert str(told) == "2 (1 house, 1 digit)"
    wing = next(p for s in range(60) for p in deduce.find(_stuck(s), ["X-wing"]))
    told = effort(wing)
    assert (told.cells, told.houses, told.links, told.digits) == (0, 4, 2, 1)
    wing = next(p for s in range(60) for p in deduce.find(_stuck(s), ["XY-wing"]))
    told = effort(wing)
    assert (told.cells, told.digits) == (3, 3)
    assert told.links >= 4


def test_singles_are_told_apart_by_what_bars_the_rivals():
    def first(text: str, name: str) -> int:
        return effort(next(deduce.find(deduce.Grid.parse(text), [name]))).total

    last = first("1234567.9" + "." * 72, "last open cell")
    # The 5 of box 1: rows 2 and 3 bar six cells and two others stand in row 1; without those, columns bar two more.
    two = first("12..........5...........5.." + "." * 54, "hidden single")
    four = first("............5...........5...5...........................5......" + "." * 18, "hidden single")
    naked = first(".12345678" + "." * 72, "naked single")
    assert (last, two, four, naked) == (2, 4, 6, 10)


@given(positions())
def test_the_fewest_bars_are_the_fewest(grid: deduce.Grid) -> None:
    """Held against trying all sets of placed digits, the smallest first."""
    layout = grid.layout
    for proof in deduce.find(grid, ["hidden single", "naked single"]):
        (inference,) = proof.inferences
        ((base, _),) = inference.argument.bases
        held = {c % layout.cells for c in bits(grid.true)}
        rivals = [c for c in bits(layout.masks[base] & ~grid.live) if c % layout.cells not in held]
        free = [c for c in rivals if not layout.peers[c] & grid.true]
        sees = [{r for r in rivals if layout.peers[r] >> c & 1} for c in bits(grid.true)]
        wanted = {*rivals} - {*free}
        sees = [one for one in {frozenset(one & wanted) for one in sees} if one]
        fewest = next(
            k for k in range(len(rivals) + 1) for some in combinations(sees, k) if wanted <= set().union(*some)
        )
        assert effort(proof).bars == len(free) + fewest


def test_two_houses_make_a_pair_no_harder_and_totals_are_light():
    pairs = [p for seed in range(60) for p in deduce.find(_stuck(seed), ["naked pair", "naked triple"])]
    totals = {
        (p.pattern.name, len(p.pattern.role("houses"))): {
            effort(q).total
            for q in pairs
            if (q.pattern.name, len(q.pattern.role("houses"))) == (p.pattern.name, len(p.pattern.role("houses")))
        }
        for p in pairs
    }
    assert totals == {
        ("naked pair", 1): {7},
        ("naked pair", 2): {7},
        ("naked triple", 1): {10},
        ("naked triple", 2): {10},
    }
    nine = deduce.Grid.empty(Layout.parse("grid 9\ncage r1c1-r1c2 = 9\n"))
    bound = next(p for p in deduce.find(nine) if p.eliminates == (nine.candidate(648), nine.candidate(649)))
    skyscrapers = [p for seed in range(60) for p in deduce.find(_stuck(seed), ["skyscraper"])]
    assert effort(bound).total < min(effort(p).total for p in skyscrapers)


@cache
def _stuck(seed: int) -> deduce.Grid:
    return deduce.walk(minimal_puzzle(seed), ["hidden single", "naked single"]).grid


def test_a_pattern_is_no_harder_for_having_more_victims():
    """A skyscraper whose victims see its ends through different houses has one argument for each pair of houses."""
    proofs = [p for seed in range(60) for p in deduce.find(_stuck(seed), ["skyscraper"])]
    several = [p for p in proofs if len(p.inferences) > 1]
    assert several
    for proof in several:
        assert effort(proof) in [inferred_effort(proof.grid, [inference]) for inference in proof.inferences]
    assert max(effort(proof).total for proof in proofs) == 9


def test_suppositions_weigh_twice_what_stands_under_them():
    layout = Layout.standard(4)
    grid = deduce.Grid.empty(layout)
    inner = Inference(Counting(((0, 1),), ()))
    alone = inferred_effort(grid, [inner]).total
    one = Inference(Supposition(0, (inner, inner)), (0,))
    two = Inference(Supposition(1, (one,)), (1,))
    assert inferred_effort(grid, [one]).total == 1 + 2 * (2 * alone)
    assert inferred_effort(grid, [two]).total == 1 + 2 * (1 + 4 * alone)
    told = inferred_effort(grid, [two])
    assert (told.suppositions, told.supposed) == (1, 2 * (1 + 4 * alone))


def test_the_effort_of_a_walk_adds_up():
    walked = deduce.walk(minimal_puzzle(9))
    told = walk_effort(walked)
    efforts = [effort(step.proof).total for step in walked.steps]
    assert (told.steps, told.total, told.peak) == (len(walked), sum(efforts), max(efforts))
    names = [step.proof.pattern.name for step in walked.steps]
    assert told.patterns == Counter(names)
    advanced = [name not in SIMPLE for name in names]
    assert told.advanced == sum(advanced)
    assert told.stuck_points == sum(
        now and not before for before, now in zip([False, *advanced], advanced, strict=False)
    )
    assert told.stuck_points >= 1
    everything = walk_effort(walked, simple=list(told.patterns))
    assert (everything.advanced, everything.stuck_points) == (0, 0)
    assert walk_effort([]).peak == 0


@pytest.mark.thorough
def test_effort_of_the_collection_is_stable():
    for seed in range(60):
        grid = minimal_puzzle(seed)
        turn = Turn(grid.layout, Random(seed))
        turned = turn.grid(grid)
        one, other = (walk_effort(deduce.walk(g, ["hidden single", "naked single"])) for g in (grid, turned))
        assert one.total == other.total
