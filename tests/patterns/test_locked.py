"""Locked candidates beyond rows, columns and boxes, and the names that they had earlier."""

import pytest
from pictures.positions import GRIDS

import deduce
from deduce import Grid, Layout
from deduce.counting.shapes import name_argument
from deduce.patterns import NAMES, fault
from deduce.patterns.locked import EARLIER, LOCKED
from deduce.proof import Pattern, Proof
from deduce.walks import walk


def with_places(layout: Layout, house: str, digit: int, *cells: str) -> Grid:
    """Return the empty grid with the places of one digit in one house cut down to some cells."""
    wanted = {layout.parse_cell(cell) for cell in cells}
    (held,) = (found.cells for found in layout.houses if found.name == house)
    return Grid.empty(layout).without([f"{digit}{layout.cell_name(cell)}" for cell in held if cell not in wanted])


@pytest.mark.parametrize(
    ("text", "house", "cells", "name", "lost"),
    [
        # The two places are seen by row 3 and by column 7.
        ("grid 9\ndiagonals\n", "diagonal 1", ("r3c3", "r7c7"), "pointing pair", "-5r3c7 -5r7c3"),
        ("grid 9\nking\n", "row 4", ("r4c3", "r4c4"), "pointing pair", "-5r3c3 -5r3c4 -5r5c3 -5r5c4"),
        ("grid 9\nknight\n", "row 1", ("r1c1", "r1c5"), "pointing pair", "-5r2c3"),
    ],
)
def test_what_sees_all_places_of_a_digit_falls(
    text: str, house: str, cells: tuple[str, ...], name: str, lost: str
) -> None:
    grid = with_places(Layout.parse(text), house, 5, *cells)
    found = [proof for proof in deduce.find(grid, ["locked candidates"]) if not proof.pattern.role("cover")]
    assert [str(proof) for proof in found] == [f"{name}: {lost}"]
    (proof,) = found
    deduce.check(grid, proof)
    assert fault(proof) is None
    assert proof.words().startswith(f"{house[0].upper()}{house[1:]} has its 5 in {cells[0]} or {cells[1]}.")
    # Alone, without its roles, the sum is known for what it is; and chains are not asked.
    assert name_argument(grid, proof.inferences[0]).name == name
    assert next(deduce.find(grid, [*LOCKED, "X-chain", "grouped X-chain"])).pattern.name in LOCKED


def test_no_chain_of_a_single_link_is_left_where_cells_are_pointed_at() -> None:
    grid = with_places(Layout.parse("grid 9\nking\n"), "row 4", 5, "r4c3", "r4c4")
    names = [*LOCKED, "X-chain", "grouped X-chain", "grouped chain", "grouped loop"]
    assert {step.proof.pattern.name for step in walk(grid, names).steps} <= {*LOCKED}


@pytest.mark.parametrize("earlier", EARLIER)
def test_earlier_names_are_read(earlier: str) -> None:
    assert earlier not in NAMES
    proof = next(deduce.find(GRIDS[EARLIER[earlier][0]], [earlier]))
    assert proof.pattern.name in EARLIER[earlier]
    old = Proof(proof.grid, proof.inferences, Pattern(earlier, proof.pattern.roles))
    assert fault(old) is None
    assert old.words() == proof.words()
    assert Proof.from_json(old.to_json()).pattern.name == earlier
    other = next(name for name in EARLIER if name != earlier)
    assert fault(Proof(proof.grid, proof.inferences, Pattern(other, proof.pattern.roles)))
