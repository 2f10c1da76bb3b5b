"""Sum bounds and leftover sums against their dull twins, in both directions, on small grids with cages and totals."""

from __future__ import annotations

from random import Random

import pytest
import reference_sums as twin
from hypothesis import given, strategies as st
from reference import Board
from reference_sums import Sum

import deduce
from deduce import Grid, Layout
from deduce.patterns import fault
from deduce.patterns.sums import BOUND, LEFTOVER, MOST_HOUSES, MOST_LEFT, forms
from deduce.positions import bits

TWINS = {BOUND: twin.sum_bounds, LEFTOVER: twin.leftover_sums}


def grown(rng: Random, order: int, free: set[int]) -> list[int]:
    """Take up to four free cells that hang together."""
    cells = [rng.choice(sorted(free))]
    for _ in range(rng.randrange(1, 4)):
        around = {c + step for c in cells for step in (-order, order) if c + step in free}
        around |= {
            c + step for c in cells for step in (-1, 1) if c + step in free and (c + step) // order == c // order
        }
        around -= set(cells)
        if around:
            cells.append(rng.choice(sorted(around)))
    free -= set(cells)
    return cells


def described(rng: Random, answer: list[int], order: int) -> tuple[list[str], list[Sum]]:
    """Make cages, totals and equal sums of a filling that share no cell: as lines of text, and as plain data."""
    lines, sums = [], []
    free = set(range(order**2))
    for _ in range(rng.randrange(2, order**2 // 2)):
        if not free:
            break
        cells = grown(rng, order, free)
        names = [f"r{cell // order + 1}c{cell % order + 1}" for cell in cells]
        values = [answer[cell] for cell in cells]
        total = sum(values)
        if len(cells) > 1 and values[0] == total - values[0]:
            lines.append(f"equal {names[0]} = {' '.join(names[1:])}")
            sums.append(Sum(frozenset(cells[:1]), frozenset(cells[1:]), 0))
        elif len(set(values)) == len(cells) > 1 and rng.randrange(4):
            lines.append(f"cage {' '.join(names)} = {total}")
            sums.append(Sum(frozenset(cells), frozenset(), total, cage=True))
        else:
            lines.append(f"total {' '.join(names)} = {total}")
            sums.append(Sum(frozenset(cells), frozenset(), total))
    return lines, sums


def position(order: int, seed: int, placed: int, ruled_out: int) -> tuple[Grid, list[Sum]]:
    """Return a grid with sums: per cents of a solution placed, and of the false candidates ruled out."""
    rng = Random(f"{order} {seed} {placed} {ruled_out}")
    bare = Layout.standard(order)
    full = next(deduce.solutions(Grid.empty(bare), 1, shuffle=rng))
    answer = [full.digit(*divmod_one(cell, order)) or 0 for cell in range(order**2)]
    lines, sums = described(rng, answer, order)
    layout = Layout.parse("\n".join([f"grid {order}", *lines, ""]))
    grid = Grid.of([layout.candidate(c) for c in bits(full.true) if rng.randrange(100) < placed], layout=layout)
    wrong = bits(grid.live & ~full.true)
    return grid.without(grid.candidate(c) for c in wrong if rng.randrange(100) < ruled_out), sums


def divmod_one(cell: int, order: int) -> tuple[int, int]:
    return cell // order + 1, cell % order + 1


POSITIONS = st.builds(
    position, st.sampled_from([4, 6]), st.integers(0, 9999), st.integers(0, 40), st.sampled_from([0, 20, 50, 70])
)


@pytest.mark.parametrize("name", TWINS)
@given(POSITIONS)
def test_sums(name: str, made: tuple[Grid, list[Sum]]) -> None:
    grid, sums = made
    cells = grid.layout.cells
    found: dict[tuple[frozenset[int], frozenset[int]], set[tuple[int, int]]] = {}
    for proof in deduce.find(grid, [name]):
        deduce.check(grid, proof)
        assert fault(proof) is None
        role = proof.pattern.role
        assert not proof.places or len((*role("cells"), *role("outside"))) == 1
        falls = {(c // cells + 1, c % cells) for inference in proof.inferences for c in inference.false}
        assert falls
        found.setdefault((frozenset(role("cells")), frozenset(role("outside"))), set()).update(falls)
    expected = TWINS[name](Board.of(grid), sums)
    told = "\n".join(["", grid.layout.text(), grid.pencil()])
    assert found.keys() <= expected.keys(), told
    for key, fact in expected.items():
        got = found.get(key, set())
        assert fact.falls <= got, f"{told}\n{key} misses {fact.falls - got}"
        assert got <= fact.most, f"{told}\n{key} has too many: {got - fact.most}"


def test_only_totals_are_sums() -> None:
    """In a cage of as many cells as there are digits each digit stands once, which is no total of the cells."""
    layout = Layout.parse("grid 4\ncage r1c1 r1c2 r2c1 r3c1 = 10\n")
    told = [layout.model.constraints[form.rules[0]].name for form in forms(layout)[0]]
    assert told == ["the cage of r1c1, r1c2, r2c1, r3c1 totals 10"]


def test_the_twins_know_the_same_limits() -> None:
    assert (twin.MOST_LEFT, twin.MOST_HOUSES) == (MOST_LEFT, MOST_HOUSES)


def test_the_positions_have_what_they_should() -> None:
    """Falls with and without cells taken away occur under both names, and inside a sum little is left open."""
    made = [position(order, seed, 20, 50) for order in (4, 6) for seed in range(40)]
    for reference in TWINS.values():
        facts = [item for grid, sums in made for item in reference(Board.of(grid), sums).items()]
        assert sum(bool(fact.falls) for (_, taken), fact in facts if not taken) > 50
        assert sum(bool(fact.falls) for (_, taken), fact in facts if taken) > 10
        doubtful = [c for (added, _), fact in facts for c in fact.most - fact.falls if c[1] in added]
        assert 4 * len(doubtful) < sum(len(fact.falls) for _, fact in facts)
