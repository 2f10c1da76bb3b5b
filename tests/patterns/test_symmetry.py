"""What every proof owes: the truth, the kernel's word, and the same conclusions however the grid is turned."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from hypothesis import given, strategies as st
from reference import CHAINS
from strategies import REACH, dead, positions, puzzles

import deduce
from deduce.counting.names import NAMES as BEYOND
from deduce.kernel import Position
from deduce.patterns import fault
from deduce.positions import bits
from deduce.puzzle.layout import Layout

SEPARATE = (
    "last open cell",
    "hidden single",
    "naked single",
    "pointing pair",
    "pointing triple",
    "claiming pair",
    "claiming triple",
    *(f"{kind} {size}" for size in ("pair", "triple", "quad") for kind in ("naked", "hidden")),
    "X-wing",
    "swordfish",
    "jellyfish",
    "skyscraper",
    "two-string kite",
    "XY-wing",
    "XYZ-wing",
    "W-wing",
)
"""Patterns of which every instance is yielded."""

TOGETHER = (("X-chain",), ("XY-chain",), CHAINS, ("continuous loop",))
"""Patterns that yield only enough proofs for every conclusion that the kind reaches; which ones may hang on order."""


# Truth


@given(positions())
def test_no_proof_contradicts_a_solution_and_easiest_come_first(grid: deduce.Grid) -> None:
    """Nor any of several solutions: no pattern here assumes that there is only one; and their order is fixed."""
    solved = list(deduce.solutions(grid, 4))
    assert solved
    found = list(deduce.find(grid))
    assert [proof.conclusion() for proof in found] == [proof.conclusion() for proof in deduce.find(grid)]
    check_order(found)
    for proof in found:
        assert not proof.assumes_unique
        assert not proof.contradiction
        for one in solved:
            assert all(one.digit(c.row, c.column) == c.digit for c in proof.places), f"{proof}\n{grid.pencil()}"
            assert all(one.digit(c.row, c.column) != c.digit for c in proof.eliminates), f"{proof}\n{grid.pencil()}"


@given(positions() | dead())
def test_every_proof_is_checked(grid: deduce.Grid) -> None:
    for proof in deduce.find(grid):
        checked = deduce.check(grid, proof)
        assert checked.before == Position(grid.live, grid.true)
        if proof.contradiction:
            assert checked.contradiction
            continue
        concluded = [grid.number(c) for c in (*proof.places, *proof.eliminates)]
        assert concluded
        assert all((grid.live & ~grid.true) >> c & 1 for c in concluded), "concludes what was known"
        put = sum(1 << grid.number(c) for c in proof.places)
        gone = sum(1 << grid.number(c) for c in proof.eliminates)
        cleared = sum(1 << z for z in bits(grid.live) if put & grid.layout.peers[z])
        assert checked.after == Position(grid.live & ~gone & ~cleared, grid.true | put)


def check_order(found: list[deduce.Proof]) -> None:
    # The three chains over every link are one search, by length; so are pairs, triples and groups that point, or claim.
    names = ["chain" if p.pattern.name in CHAINS else p.pattern.name for p in found]
    names = [name.split()[0] if name.startswith(("pointing", "claiming")) else name for name in names]
    first = {name: n for n, name in reversed(list(enumerate(names)))}
    assert names == sorted(names, key=first.__getitem__), "the proofs of a pattern do not stand together"


@given(positions())
def test_roles_are_what_the_name_says(grid: deduce.Grid) -> None:
    for proof in deduce.find(grid):
        assert fault(proof, grid) is None, f"{proof}\n{grid.pencil()}"


@given(positions() | puzzles(), st.sampled_from([None, *REACH]))
def test_walks_take_the_first_of_find(grid: deduce.Grid, names: tuple[str, ...] | None) -> None:
    """A walk passes over parts of the board that have not changed; what it takes is still what a fresh search finds."""
    walk = deduce.walk(grid, names, order="catalogue")
    assert walk.start == grid
    before, planned = grid, False  # a way that is planned where patterns end is followed as it is
    for step in walk.steps:
        assert step.before == before
        if not planned:
            seen = next(deduce.find(before, names), None)
            planned = step.proof.pattern.name in BEYOND
            assert names is None or not planned, "a supposition or sum, where only patterns were allowed"
            assert seen == (None if planned else step.proof), "the first of what was to be had"
        before = step.after
        assert (before.live, before.true) == deduce.check(step.before, step.proof).after
    assert walk.grid == before
    assert next(deduce.find(before, names), None) is None
    assert walk.outcome == ("solved" if before.solved else "stuck")


# Symmetry


class Turn:
    """A symmetry of the rules: where each candidate goes, and the layout that it goes to."""

    def __init__(self, layout: Layout, rng: Random) -> None:
        self.digits = rng.sample(range(layout.order), layout.order)
        boxes = [house for house in layout.houses if house.kind == "box"]
        order = layout.order
        self.layout, self.flipped = layout, False
        self.rows = self.columns = list(range(order))
        if boxes:
            # Boxes are numbered row by row and their cells are sorted, so the first cells tell the shape.
            broad = sum(cell < order for cell in boxes[0].cells)
            high = order // broad
            self.rows, self.columns = _bands(order, high, rng), _bands(order, broad, rng)
            self.flipped = rng.random() < 0.5
            if self.flipped:
                self.layout = Layout.standard(order, (broad, high))
        self.order = order

    def number(self, number: int) -> int:
        """The image of a candidate."""
        digit, cell = divmod(number, self.order**2)
        row, column = divmod(cell, self.order)
        row, column = self.rows[row], self.columns[column]
        if self.flipped:
            row, column = column, row
        return (self.digits[digit] * self.order + row) * self.order + column

    def mask(self, mask: int) -> int:
        return sum(1 << self.number(c) for c in bits(mask))

    def grid(self, grid: deduce.Grid) -> deduce.Grid:
        return deduce.Grid.empty(self.layout).moved(Position(self.mask(grid.live), self.mask(grid.true)))


def _bands(order: int, band: int, rng: Random) -> list[int]:
    """Permute the bands of lines, and the lines in each."""
    starts = rng.sample(range(0, order, band), order // band)
    return [line for start in starts for line in rng.sample(range(start, start + band), band)]


def conclusions(grid: deduce.Grid, names: tuple[str, ...]) -> Counter[tuple[str, frozenset[int], frozenset[int]]]:
    """Every proof's name with what it eliminates and places."""
    return Counter(
        (proof.pattern.name, frozenset(map(grid.number, proof.eliminates)), frozenset(map(grid.number, proof.places)))
        for proof in deduce.find(grid, names)
    )


def union(grid: deduce.Grid, names: tuple[str, ...]) -> tuple[set[int], set[int]]:
    """Everything eliminated or cleared, and everything placed."""
    gone, put = set(), set()
    for _, false, true in conclusions(grid, names):
        gone |= false
        put |= true
    peers = grid.layout.peers
    return gone | {z for p in put for z in bits(peers[p] & grid.live & ~grid.true)}, put


@given(positions(), st.integers(0, 10**6))
def test_symmetry_of_patterns(grid: deduce.Grid, seed: int) -> None:
    turn = Turn(grid.layout, Random(seed))
    expected = Counter(
        {
            (name, frozenset(map(turn.number, gone)), frozenset(map(turn.number, put))): count
            for (name, gone, put), count in conclusions(grid, SEPARATE).items()
        }
    )
    got = conclusions(turn.grid(grid), SEPARATE)
    assert got == expected, f"{grid.pencil()}\nmissing {expected - got}\ntoo many {got - expected}"


@pytest.mark.parametrize("names", TOGETHER, ids=["X-chain", "XY-chain", "chains", "continuous loop"])
@given(grid=positions(), seed=st.integers(0, 10**6))
def test_symmetry_of_chains(names: tuple[str, ...], grid: deduce.Grid, seed: int) -> None:
    turn = Turn(grid.layout, Random(seed))
    gone, put = union(grid, names)
    turned = union(turn.grid(grid), names)
    assert turned == (set(map(turn.number, gone)), set(map(turn.number, put))), grid.pencil()


# Text


@given(positions() | dead())
def test_grids_round_trip_through_text(grid: deduce.Grid) -> None:
    layout = grid.layout
    assert deduce.Grid.parse(grid.pencil(), layout) == grid, grid.pencil()
    for text in (str(grid), grid.line()):
        read = deduce.Grid.parse(text, layout)
        assert read.true == read.givens == grid.true
        assert read.line() == grid.line()
        assert str(read) == str(grid)
        assert read.live & grid.live == grid.live, "reading back rules out what the position leaves"


@given(positions("4x4", "6x6", "9x9"))
def test_the_layout_is_read_from_the_text(grid: deduce.Grid) -> None:
    assert deduce.Grid.parse(grid.pencil()) == grid
    assert deduce.Grid.parse(str(grid)).layout == grid.layout


@given(positions())
def test_candidates_round_trip_through_tokens(grid: deduce.Grid) -> None:
    for candidate in grid.candidates():
        number = grid.number(candidate)
        assert grid.candidate(number) == candidate
        assert grid.number(str(candidate)) == number
