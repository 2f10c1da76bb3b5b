"""Cages as counting arguments: what houses leave beside whole cages, with its words; assignments by brute force."""

from __future__ import annotations

from itertools import permutations, product
from random import Random

from hypothesis import given, strategies as st

import deduce
from deduce import Grid, Layout
from deduce.counting import eliminations
from deduce.kernel import Counting
from deduce.patterns.assignment import cheapest
from deduce.patterns.sums import form_of, least_beside


def innie() -> Grid:
    """Return a row of which five cells lie in cages that total 27, so that the four others total 18."""
    layout = Layout.parse("grid 9\ncage r1c1-r1c3 = 10\ncage r1c4-r1c5 = 17\n")
    return Grid.empty(layout).without([f"{digit}r1c{column}" for column in (6, 7) for digit in (1, 2, 3)])


def test_the_cells_of_a_row_outside_its_cages() -> None:
    grid = innie()
    proof = next(found for found in deduce.find(grid, ["leftover sum"]) if found.pattern.role("houses") == (0,))
    assert proof.pattern.role("cells") == (5, 6, 7, 8)
    assert proof.words().startswith(
        "Row 1 totals 45, and the cage of r1c1, r1c2, r1c3 totals 10 and the cage of r1c4, r1c5 totals 17. "
        "So r1c6, r1c7, r1c8 and r1c9 total 18, the rest of it. If r1c8 were "
    )
    # Nothing is needed but sums: rules and houses with the digits for weights.
    (argument,) = {inference.argument for inference in proof.inferences}
    assert isinstance(argument, Counting)
    weights = dict((*argument.bases, *argument.covers))
    layout = grid.layout
    assert {rule for rule in weights if layout.rule_of(rule)} == set(proof.pattern.role("rules"))
    assert len({weights.get(layout.house_constraint(0, digit), 0) for digit in range(1, 10)}) > 4
    deduce.check(grid, proof)


def test_the_counting_engine_finds_it_unaided() -> None:
    grid = innie()
    told = {c for proof in deduce.find(grid, ["leftover sum", "sum bound"]) for c in proof.eliminates}
    found = eliminations(grid)
    assert told
    assert told <= {*found.false}
    rules = set(range(grid.layout.exact, len(grid.model.constraints)))
    used = [
        {
            number
            for inference in proof.inferences
            for number, _ in (*inference.argument.bases, *inference.argument.covers)
        }
        for proof in found.proofs
    ]
    assert any(numbers & rules for numbers in used)


def test_an_outie() -> None:
    """Two cages cover row 1 and one cell more, which is what they total beyond 45."""
    layout = Layout.parse("grid 9\ntotal r1c1-r1c5 = 15\ntotal r1c6-r1c9 r2c9 = 36\n")
    proofs = [p for p in deduce.find(Grid.empty(layout), ["leftover sum"]) if p.pattern.role("outside") == (17,)]
    gone = {c.digit for proof in proofs for c in proof.eliminates}
    assert gone == {1, 2, 3, 4, 5, 7, 8, 9}
    assert proofs[0].words().endswith("So r2c9 is 6, which is what stands out of it.")


@given(st.lists(st.dictionaries(st.integers(0, 5), st.integers(-5, 9), max_size=6), min_size=1, max_size=4))
def test_the_cheapest_assignment(rows: list[dict[int, int]]) -> None:
    ways = [way for way in permutations(range(6), len(rows)) if all(c in row for c, row in zip(way, rows, strict=True))]
    best = min((sum(row[c] for c, row in zip(way, rows, strict=True)) for way in ways), default=None)
    answer = cheapest(rows)
    assert (None if answer is None else answer[0]) == best
    if answer is not None:
        total, prices, charges = answer
        assert sum(prices) + sum(charges.values()) == total
        assert all(charge <= 0 for charge in charges.values())
        assert all(cost >= prices[i] + charges[c] for i, row in enumerate(rows) for c, cost in row.items())


def test_what_the_other_cells_come_to_beside_a_digit() -> None:
    """The bound that is told, by trying everything: cells that see one another differ, and differ from that digit."""
    empty = Grid.empty(Layout.parse("grid 9\ncage r1c1-r1c4 = 28\n"))
    form = form_of(empty.layout, next(deduce.find(empty, ["sum bound"])).pattern)
    possible = impossible = 0
    for seed in range(60):
        rng = Random(seed)
        notes = [rng.sample(range(2, 6), 2) if seed % 2 else rng.sample(range(2, 9), 3) for _ in range(4)]
        grid = empty.without(
            c for c in empty.candidates() if c.row == 1 and c.column <= 4 and c.digit not in notes[c.column - 1]
        )
        for digit in notes[0]:
            sums = [sum(held) for held in product(*notes[1:]) if len({digit, *held}) == 4]
            bounds = [least_beside(grid, form, 0, digit, upper=upper) for upper in (True, False)]
            assert bounds == ([min(sums), max(sums)] if sums else [None, None])
            possible, impossible = possible + bool(sums), impossible + (not sums)
    assert min(possible, impossible) > 10
