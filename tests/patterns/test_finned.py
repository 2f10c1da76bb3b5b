"""Finned and sashimi fish against their dull twin, and one of each by hand."""

from __future__ import annotations

import pytest
import reference_sets as sets
from hypothesis import given, settings
from reference import FISH, Board
from strategies import positions

import deduce
from deduce.patterns import fault
from deduce.proof import Proof

few = settings(max_examples=settings().max_examples // 5)


def fact(proof: Proof, kind: str) -> tuple[object, ...]:
    role, cells = proof.pattern.role, proof.grid.layout.cells
    (digit,), (region,) = role("digit"), role("region")
    numbers = [c for inference in proof.inferences for c in inference.false]
    gone = frozenset((n // cells + 1, n % cells) for n in numbers)
    return kind, digit, frozenset(role("base lines")), frozenset(role("cover lines")), region, gone


def compare(grid: deduce.Grid, size: int) -> None:
    found = []
    for kind in ("finned", "sashimi"):
        for proof in deduce.find(grid, [f"{kind} {FISH[size]}"]):
            found.append(fact(proof, kind))
            check_places(grid, proof)
    assert len(set(found)) == len(found)
    assert set(found) == sets.finned_fish(Board.of(grid), size), grid.pencil()


def check_places(grid: deduce.Grid, proof: Proof) -> None:
    """Corners and fins are the places of the base lines, in the cover lines and beside them."""
    board, role = Board.of(grid), proof.pattern.role
    (digit,), (region,) = role("digit"), role("region")
    covered = {cell for h in role("cover lines") for cell in board.houses[h][1]}
    places = {cell for h in role("base lines") for cell in board.places(digit, h)}
    corners, fins = ([c % grid.layout.cells for c in role(name)] for name in ("corners", "fins"))
    assert corners == sorted(places & covered)
    assert fins == sorted(places - covered)
    assert set(fins) <= set(board.houses[region][1])
    assert not proof.places


@pytest.mark.parametrize("size", [2, 3])
@given(grid=positions("4x4", "5x5", "6x6"))
def test_finned_fish(size: int, grid: deduce.Grid) -> None:
    compare(grid, size)


@pytest.mark.parametrize("size", FISH)
@few
@given(grid=positions("9x9"))
def test_finned_fish_on_a_full_grid(size: int, grid: deduce.Grid) -> None:
    compare(grid, size)


def with_places(cells: str) -> deduce.Grid:
    """The empty 9x9 grid in which some rows have 5 in these cells only."""
    wanted = cells.split()
    rows = {cell[:2] for cell in wanted}
    grid = deduce.Grid.empty()
    return grid.without(
        f"5{c[1:]}" for c in map(str, grid.candidates()) if c[0] == "5" and c[1:3] in rows and c[1:] not in wanted
    )


@pytest.mark.parametrize(
    ("name", "cells", "fallen"),
    [
        # Two rows with 5 in columns 2 and 8, but for a fin beside a corner.
        ("finned X-wing", "r2c2 r2c8 r2c9 r7c2 r7c8", "5r1c8 5r3c8"),
        # The same with the corner gone; then the fin may also be seen at the other end.
        ("sashimi X-wing", "r2c2 r2c9 r7c2 r7c8", "5r1c8 5r3c8; 5r8c9 5r9c9"),
        # Three rows, columns 1, 5 and 9; two fins in box 9.
        ("finned swordfish", "r1c1 r1c5 r4c5 r4c9 r7c1 r7c7 r7c8 r7c9", "5r8c9 5r9c9"),
        ("sashimi swordfish", "r1c1 r1c5 r4c5 r4c9 r7c1 r7c7 r7c8", "5r8c9 5r9c9"),
        ("finned jellyfish", "r1c1 r1c4 r2c4 r2c8 r4c8 r4c2 r7c2 r7c1 r7c3", "5r8c1 5r8c2 5r9c1 5r9c2"),
    ],
)
def test_one_by_hand(name: str, cells: str, fallen: str) -> None:
    grid = with_places(cells)
    rows = {int(cell[1]) - 1 for cell in cells.split()}
    proofs = [proof for proof in deduce.find(grid, [name]) if {*proof.pattern.role("base lines")} == rows]
    assert [" ".join(sorted(map(str, proof.eliminates))) for proof in proofs] == fallen.split("; ")
    deduce.check(grid, proofs[0])
    assert fault(proofs[0]) is None


def test_a_fin_elsewhere_spoils_the_fish() -> None:
    """Fins in two boxes: what sees one need not see the other."""
    grid = with_places("r2c2 r2c4 r2c8 r2c9 r7c2 r7c8")
    assert [p for p in deduce.find(grid, ["finned X-wing"]) if {*p.pattern.role("base lines")} == {1, 6}] == []
