"""Patterns of almost locked sets, and of cells and digits where houses cross, against their dull twins."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import pytest
import reference_sets as sets
from hypothesis import given, settings
from reference import Board, Cand
from strategies import positions

import deduce
from deduce.counting import name_argument
from deduce.links.restricted import restricted_commons
from deduce.links.sets import almost_locked_sets
from deduce.patterns import NAMES, fault
from deduce.patterns.blossom import petal_role, petals_of
from deduce.proof import Proof
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.names import Names, losses
from deduce.words.en.plain import TELLERS

SMALL = ("4x4", "5x5", "6x6")
few = settings(max_examples=settings().max_examples // 8)


def gone(proof: Proof) -> frozenset[Cand]:
    size = proof.grid.layout.cells
    numbers = {c for inference in proof.inferences for c in inference.false}
    assert numbers
    assert not proof.places
    return frozenset((n // size + 1, n % size) for n in numbers)


def roles(proof: Proof, *names: str) -> list[frozenset[int]]:
    return [frozenset(proof.pattern.role(name)) for name in names]


def cheapest_first(
    grid: deduce.Grid, name: str, cells: Callable[[Proof], sets.Size], expected: dict[Cand, sets.Size]
) -> list[Proof]:
    """Every candidate that can fall by a name does, first by the fewest cells; proofs come in order of their cells."""
    proofs = list(deduce.find(grid, [name]))
    sizes = list(map(cells, proofs))
    assert sizes == sorted(sizes)
    got: dict[Cand, sets.Size] = {}
    for proof, size in zip(proofs, sizes, strict=True):
        assert gone(proof) - got.keys(), "it eliminates nothing new"
        for candidate in gone(proof):
            got.setdefault(candidate, size)
    assert got == expected, grid.pencil()
    return proofs


def in_cells(*names: str) -> Callable[[Proof], int]:
    return lambda proof: sum(map(len, roles(proof, *names)))


# The sets themselves


@given(positions(*SMALL, "9x9"))
def test_almost_locked_sets(grid: deduce.Grid) -> None:
    found = almost_locked_sets(grid.layout, grid.live & ~grid.true)
    size = grid.layout.cells
    mine = {}
    for one in found:
        assert len(one.digits) == len(one.cells) + 1
        assert list(one.cells) == sorted(one.cells)
        places = {}
        for digit, mask in zip(one.digits, one.places, strict=True):
            places[digit] = frozenset((digit, c) for c in range(size) if mask >> (digit - 1) * size + c & 1)
            assert mask == sum(1 << (digit - 1) * size + c for _, c in places[digit])
        mine[frozenset(one.cells)] = places
    assert len(mine) == len(found)
    assert mine == {one.cells: one.places for one in sets.almost_locked(Board.of(grid))}, grid.pencil()
    assert [(len(one.cells), one.cells) for one in found] == sorted((len(one.cells), one.cells) for one in found)


@given(positions(*SMALL))
def test_restricted_common_digits(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    found = almost_locked_sets(grid.layout, grid.live & ~grid.true)
    twins = {one.cells: one for one in sets.almost_locked(board)}
    commons = restricted_commons(grid.layout, found)
    for i, one in enumerate(found):
        assert list(commons[i]) == list(one.digits)
        for j, other in enumerate(found):
            mine = [digit for digit, near in commons[i].items() if near >> j & 1]
            assert mine == sets.restricted(twins[frozenset(one.cells)], twins[frozenset(other.cells)])


# Two and three sets


def xz_checks(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    twins = {one.cells: one for one in sets.almost_locked(board, (1, 2, 3, 4, 5))}

    def cells(proof: Proof) -> sets.Size:
        return sets.size_of_two(*(twins[part] for part in roles(proof, "first set", "second set")))

    proofs = cheapest_first(grid, "ALS-XZ", cells, sets.cheapest(sets.als_xz(board)))
    for proof in proofs:
        one, other = (twins[cells] for cells in roles(proof, "first set", "second set"))
        (x,), (z,) = proof.pattern.role("common digit"), proof.pattern.role("digit")
        assert x in sets.restricted(one, other)
        assert gone(proof) == sets.together(board, one.places[z], other.places[z])
    for proof in cheapest_first(grid, "doubly linked ALS-XZ", cells, sets.cheapest(sets.doubly_linked(board))):
        one, other = (twins[cells] for cells in roles(proof, "first set", "second set"))
        assert {*proof.pattern.role("common digits")} <= {*sets.restricted(one, other)}


def xy_checks(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    parts = ("first set", "pivot set", "second set")
    twins = {one.cells: one for one in sets.almost_locked(board)}
    expected = sets.cheapest(sets.als_xy_wings(board))
    for proof in cheapest_first(grid, "ALS-XY-wing", in_cells(*parts), expected):
        one, pivot, other = (twins[cells] for cells in roles(proof, *parts))
        (x, y), (z,) = proof.pattern.role("common digits"), proof.pattern.role("digit")
        assert x in sets.restricted(one, pivot)
        assert y in sets.restricted(pivot, other)
        assert len({x, y, z}) == 3
        assert gone(proof) == sets.together(board, one.places[z], other.places[z])


@given(positions(*SMALL))
def test_als_xz(grid: deduce.Grid) -> None:
    xz_checks(grid)


@few
@given(positions("9x9"))
def test_als_xz_on_a_full_grid(grid: deduce.Grid) -> None:
    xz_checks(grid)


@given(positions(*SMALL))
def test_als_xy_wings(grid: deduce.Grid) -> None:
    xy_checks(grid)


@pytest.mark.thorough
@few
@given(positions("9x9"))
def test_als_xy_wings_on_a_full_grid(grid: deduce.Grid) -> None:
    xy_checks(grid)


# A stem and its petals


def blossom_checks(grid: deduce.Grid) -> None:
    board, layout = Board.of(grid), grid.layout

    def petals(proof: Proof) -> dict[int, tuple[int, ...]]:
        (stem,) = proof.pattern.role("stem")
        return {digit: proof.pattern.role(petal_role(layout, digit)) for digit in board.notes[stem]}

    expected = sets.death_blossoms(board)
    twins = {one.cells: one for one in sets.almost_locked(board)}

    def cells(proof: Proof) -> sets.Size:
        held = [cell for petal in petals(proof).values() for cell in petal]
        return len({*held}) < len(held), len(held)

    for proof in cheapest_first(grid, "death blossom", cells, expected):
        (stem,), (z,) = proof.pattern.role("stem"), proof.pattern.role("digit")
        sees = []
        for digit, held in petals(proof).items():
            petal = twins[frozenset(held)]
            assert (digit, stem) in sets.together(board, petal.places[digit])
            sees.append(sets.together(board, petal.places[z]))
        assert len(sees) >= 3
        assert gone(proof) == {victim for victim in frozenset.intersection(*sees) if victim[0] == z}


@given(positions(*SMALL))
def test_death_blossoms(grid: deduce.Grid) -> None:
    blossom_checks(grid)


@few
@given(positions("9x9"))
def test_death_blossoms_on_a_full_grid(grid: deduce.Grid) -> None:
    blossom_checks(grid)


def before(line: int, candidate: str) -> deduce.Grid:
    """The position in which the walk of a puzzle of the collection eliminates a candidate."""
    text = Path(__file__).parents[2].joinpath("benchmarks", "collection.txt").read_text().splitlines()[line]
    walk = deduce.walk(deduce.Grid.parse(text))
    return next(step.before for step in walk.steps if candidate in map(str, step.proof.eliminates))


def test_a_set_with_its_stem_is_no_blossom() -> None:
    """Where one petal serves all digits of the stem but one, it is a set of five cells with it: ALS-XZ comes first."""
    grid = before(862, "2r4c4")
    step = deduce.next_step(grid)
    assert str(step.proof) == "ALS-XZ: -2r4c4"
    assert name_argument(grid, step.proof.inferences[0]) == replace(step.proof.pattern, also=())
    assert sorted(len(step.proof.pattern.role(part)) for part in ("first set", "second set")) == [4, 5]
    (alone,) = (proof for proof in deduce.find(grid, ["death blossom"]) if "2r4c4" in map(str, proof.eliminates))
    assert alone.also == ("ALS-XZ", "chain through almost locked sets")
    told = [proof for proof in deduce.find(grid, ["ALS-XZ", "death blossom"]) if "2r4c4" in map(str, proof.eliminates)]
    assert [proof.pattern.name for proof in told] == ["ALS-XZ"]


def test_petals_have_cells_in_common_only_where_no_others_do() -> None:
    """Here no other petals settle the candidate (the twin says so too), and each digit of the stem has its case."""
    grid = before(6, "3r7c6")
    (proof,) = (proof for proof in deduce.find(grid, ["death blossom"]) if "3r7c6" in map(str, proof.eliminates))
    petals = petals_of(proof.pattern)
    assert len({*petals[0]} & {*petals[1]}) == 1
    assert sets.death_blossoms(Board.of(grid))[3, 6 * 9 + 5] == (True, sum(map(len, petals)))
    blossom_checks(grid)


# As many cells as digits


@given(positions(*SMALL) | positions("9x9"))
def test_wxyz_wings(grid: deduce.Grid) -> None:
    found = [
        (*roles(proof, "wing"), *proof.pattern.role("digit"), gone(proof)) for proof in deduce.find(grid, ["WXYZ-wing"])
    ]
    assert len(set(found)) == len(found)
    assert set(found) == sets.wxyz_wings(Board.of(grid)), grid.pencil()


def sue_checks(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    parts = ("crossing", "line set", "region set")
    for proof in cheapest_first(grid, "Sue de Coq", in_cells(*parts), sets.cheapest(sets.sue_de_coq(board))):
        cells = [cell for name in parts for cell in proof.pattern.role(name)]
        assert len(cells) == len(set().union(*(board.notes[cell] for cell in cells)))


@given(positions("4x4", "6x6"))
def test_sue_de_coq(grid: deduce.Grid) -> None:
    sue_checks(grid)


@few
@given(positions("9x9"))
def test_sue_de_coq_on_a_full_grid(grid: deduce.Grid) -> None:
    sue_checks(grid)


# What all of them owe

FAMILY = (
    "empty rectangle",
    "remote pairs",
    *(f"{kind} {name}" for name in ("X-wing", "swordfish", "jellyfish") for kind in ("finned", "sashimi")),
    "grouped X-chain",
    "WXYZ-wing",
    "ALS-XZ",
    "doubly linked ALS-XZ",
    "Sue de Coq",
    "grouped loop",
    "grouped chain",
    "ALS-XY-wing",
    "death blossom",
    "loop through almost locked sets",
    "chain through almost locked sets",
)


def hard_positions() -> Iterable[deduce.Grid]:
    simple = [name for name in NAMES if "single" in name or "locked cand" in name or "d pair" in name]
    for seed in (6, 7, 19, 25, 33, 62, 185, 250, 909):
        yield deduce.walk(minimal_puzzle(seed), simple).grid


def test_every_name_is_found_checked_and_faithful() -> None:
    """On positions of real puzzles each name occurs, passes the kernel, agrees with the solution and keeps its word."""
    assert set(FAMILY) <= set(NAMES)
    seen = set()
    for grid in hard_positions():
        (solution,) = deduce.solutions(grid, 2)
        for proof in deduce.find(grid, FAMILY):
            seen.add(proof.pattern.name)
            deduce.check(grid, proof)
            assert fault(proof) is None
            assert all(solution.digit(c.row, c.column) != c.digit for c in proof.eliminates)
            assert all(solution.digit(c.row, c.column) == c.digit for c in proof.places)
            assert proof.depth == 0
            assert all(type(inference.argument).__name__ == "Counting" for inference in proof.inferences)
    assert seen == set(FAMILY)


def test_every_name_of_the_family_is_told() -> None:
    """A sentence names the digit and cells of its roles and everything that falls."""
    told = set()
    for grid in hard_positions():
        for proof in deduce.find(grid, FAMILY):
            text = TELLERS[proof.pattern.name](proof, Names(grid.layout), proof.pattern)
            told.add(proof.pattern.name)
            assert text.endswith(".")
            assert "  " not in text
            if proof.eliminates:
                assert losses(proof.eliminates) in text
            for role in proof.pattern.roles:
                if role.kind == "cells" and role.name != "set cells":
                    assert all(grid.layout.cell_name(cell) in text for cell in role.items), f"{role}\n{text}"
                if role.kind == "houses":
                    numbers = {grid.layout.houses[house].number for house in role.items}
                    assert all(str(number) in text for number in numbers)
    assert told == set(FAMILY)
