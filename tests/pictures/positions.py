"""Small made-up positions, one for each pattern, in which the pattern is there and little else is."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import deduce
from deduce import Grid, Layout, Proof
from deduce.counting import next_proof
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Counting, Inference
from deduce.patterns import PLAIN, UNIQUE
from deduce.proof import Chain, Link, Pattern
from deduce.solving.generate import minimal_puzzle

NINE = Layout.standard()

# D. E. Knuth, TAOCP Vol. 4B section 7.2.2.1 (draft of July 2019), puzzle (29a): the first digits of pi.
PI = "..3.1....415....9.2.65..3..5...8...9.7.9...32.38..4.6....26.4.3...3....832...795."

# From the examples of Gecode 6.2.0 (Debian source package gecode 6.2.0-5, MIT licence).
GECODE = "...2.5....9....73...2..9.6.2.....4.9....7....6.9.....1.8.4..1...63....8....6.8..."


def thinned(cells: dict[str, str] | None = None, houses: dict[str, str] | None = None, layout: Layout = NINE) -> Grid:
    """Return the empty grid with the notes of some cells, and the places of some digits in some houses, cut down."""
    live = layout.every
    for name, digits in (cells or {}).items():
        cell = layout.parse_cell(name)
        for digit, symbol in enumerate(layout.symbols, 1):
            if symbol not in digits:
                live &= ~(1 << layout.number(digit, cell))
    constraints = {constraint.name: constraint for constraint in layout.model.constraints}
    for name, places in (houses or {}).items():
        kept = {layout.parse_candidate(name[0] + place) for place in places.split()}
        for candidate, _ in constraints[name].terms:
            if candidate not in kept:
                live &= ~(1 << candidate)
    return Grid(layout, live, 0, 0)


CAGES = Layout.parse("grid 9\ncage r1c1 r1c2 = 3\ncage r1c3-r1c5 = 20\ncage r1c6 r1c7 r2c6 = 9\n")


GRIDS: dict[str, Grid] = {
    "sum bound": Grid.empty(CAGES),
    "leftover sum": Grid.empty(Layout.parse("grid 9\ncage r1c1-r1c4 = 28\ncage r1c5-r1c7 = 14\n")),
    "one rule alone": thinned({"r1c1": "4567", "r5c5": "23456789"}, layout=Layout.parse("grid 9\nr1c1 < r5c5\n")),
    "last open cell": Grid.parse("1234567.9" + "." * 72),
    "hidden single": Grid.parse(GECODE),
    "naked single": Grid.parse(PI),
    "pointing pair": thinned(houses={"7 in box 2": "r3c4 r3c6"}),
    "pointing triple": thinned(houses={"7 in box 2": "r3c4 r3c5 r3c6"}),
    "pointing group": thinned(houses={"7 in box 2": "r3c5 r3c6 r3c7 r3c8"}, layout=Layout.standard(16)),
    "claiming pair": thinned(houses={"7 in row 3": "r3c4 r3c6"}),
    "claiming triple": thinned(houses={"7 in row 3": "r3c4 r3c5 r3c6"}),
    "claiming group": thinned(houses={"7 in row 3": "r3c5 r3c6 r3c7 r3c8"}, layout=Layout.standard(16)),
    "naked pair": thinned({"r1c2": "47", "r1c8": "47"}),
    "naked triple": thinned({"r1c2": "15", "r4c2": "19", "r7c2": "59"}),
    "naked quad": thinned({"r1c1": "12", "r1c2": "23", "r2c1": "34", "r2c2": "41"}),
    "hidden pair": thinned(houses={"4 in row 1": "r1c2 r1c8", "7 in row 1": "r1c2 r1c8"}),
    "hidden triple": thinned(houses={f"{d} in column 2": "r1c2 r4c2 r7c2" for d in "159"}),
    "hidden quad": thinned(houses={f"{d} in box 1": "r1c1 r1c2 r2c1 r2c2" for d in "1234"}),
    "X-wing": thinned(houses={"5 in row 2": "r2c3 r2c8", "5 in row 7": "r7c3 r7c8"}),
    "swordfish": thinned(houses={"5 in row 2": "r2c1 r2c5", "5 in row 5": "r5c5 r5c9", "5 in row 8": "r8c1 r8c9"}),
    "jellyfish": thinned(
        houses={
            "5 in row 1": "r1c1 r1c4",
            "5 in row 3": "r3c4 r3c6",
            "5 in row 5": "r5c6 r5c9",
            "5 in row 7": "r7c1 r7c9",
        }
    ),
    "skyscraper": thinned(houses={"5 in row 2": "r2c3 r2c8", "5 in row 7": "r7c3 r7c9"}),
    "two-string kite": thinned(houses={"5 in row 4": "r4c1 r4c5", "5 in column 6": "r5c6 r9c6"}),
    "XY-wing": thinned({"r5c5": "12", "r5c8": "13", "r2c5": "23"}),
    "XYZ-wing": thinned({"r5c5": "123", "r5c8": "13", "r4c4": "23"}),
    "W-wing": thinned({"r1c2": "47", "r8c9": "47"}, {"4 in column 5": "r1c5 r8c5"}),
    "X-chain": thinned(houses={"5 in row 1": "r1c2 r1c5", "5 in column 4": "r2c4 r5c4", "5 in column 3": "r5c3 r8c3"}),
    "XY-chain": thinned({"r1c4": "26", "r3c5": "46", "r7c5": "49", "r7c9": "29"}),
    "chain with both ends on one digit": thinned(
        {"r9c2": "56"}, {"5 in row 1": "r1c1 r1c5", "6 in column 5": "r1c5 r9c5"}
    ),
    "chain with linked ends on different digits": thinned(
        houses={"5 in row 1": "r1c1 r1c5", "6 in column 5": "r1c5 r9c5", "6 in column 2": "r9c2 r2c2"}
    ),
    "chain that returns to its start": thinned(
        {"r2c4": "56"}, {"5 in row 1": "r1c1 r1c5", "6 in row 9": "r9c1 r9c4", "5 in column 1": "r1c1 r9c1"}
    ),
    "continuous loop": thinned({"r9c1": "56"}, {"5 in row 1": "r1c1 r1c5", "6 in column 5": "r1c5 r9c5"}),
    "contradiction": thinned(houses={"7 in box 2": ""}),
}


def _met() -> dict[str, Grid]:
    """Read the positions that are kept in a file, those of patterns that need more than a few marks to be there."""
    lines = (Path(__file__).parent / "positions.txt").read_text(encoding="utf-8").splitlines()
    entries = (line.partition(": ") for line in lines if not line.startswith("#"))
    return {name: Grid.parse(grid) for name, _, grid in entries}


GRIDS |= _met()


@cache
def proof(name: str) -> Proof:
    """Return the first proof of a pattern in its position."""
    grid = GRIDS[name]
    if name == "contradiction":
        return deduce.walk(grid).steps[0].proof
    return next(deduce.find(grid, [name], assume_unique=name in UNIQUE))


def counted(name: str, seed: int = 6) -> Proof:
    """Return a counting argument or a supposition: what comes after the patterns on a puzzle that needs one."""
    stuck = deduce.walk(minimal_puzzle(seed), PLAIN).grid
    found, _ = next_proof(stuck, names=(name,))
    assert found is not None
    return found


def shown() -> Iterator[tuple[str, Proof]]:
    """Yield a proof of each pattern that has a position, then of what has none of its own."""
    yield from ((name, proof(name)) for name in GRIDS)
    yield from ((name, counted(name)) for name in (COUNTING, SUPPOSITION))


def _jigsaw() -> Layout:
    """Return an order 5 layout whose regions are no rectangles."""
    owner = "AABBBAAABBCCDDDCCCDDEEEEE"
    return Layout(5, [[c for c in range(25) if owner[c] == letter] for letter in "ABCDE"], region_kind="region")


def _windows() -> Layout:
    """Return the 9x9 layout with four more regions that overlap the boxes."""
    boxes = [house.cells for house in NINE.houses[18:]]
    return Layout(
        9, boxes + [[r * 9 + c for r in range(t, t + 3) for c in range(s, s + 3)] for t in (1, 5) for s in (1, 5)]
    )


LAYOUTS: dict[str, Layout] = {
    **{f"order {order}": Layout.standard(order) for order in (4, 6, 8, 9, 10, 12, 15, 16, 25)},
    "latin square of order 7": Layout(7),
    "jigsaw": _jigsaw(),
    "windows": _windows(),
}


def steps_on(layout: Layout) -> list[Proof]:
    """Return a single, a subset, a fish and a chain on a layout, if it is large enough for them."""
    a, b, c, d = layout.symbols[:4]
    last = layout.order
    grids = {
        "hidden single": thinned(houses={f"{a} in row {last}": f"r{last}c{last}"}, layout=layout),
        "naked pair": thinned({f"r{last}c1": a + b, f"r{last}c{last}": a + b}, layout=layout),
        "X-wing": thinned(
            houses={f"{d} in row 1": f"r1c1 r1c{last}", f"{d} in row {last}": f"r{last}c1 r{last}c{last}"},
            layout=layout,
        ),
        "XY-chain": thinned(
            {"r1c1": a + b, f"r1c{last}": b + c, f"r{last}c{last}": c + d, f"r{last}c1": d + a}, layout=layout
        ),
    }
    found = [next(deduce.find(grid, [name]), None) for name, grid in grids.items()]
    return [proof for proof in found if proof is not None]


def grouped() -> Proof:
    """Return a chain through a group, built by hand: 5 in row 1 is r1c1 or the pair r1c5, r1c6, which bars r2c4."""
    grid = thinned(houses={"5 in row 1": "r1c1 r1c5 r1c6", "5 in column 4": "r2c4 r8c4"})
    number, layout = grid.number, grid.layout
    nodes = ((number("5r1c1"),), (number("5r1c5"), number("5r1c6")), (number("5r2c4"),), (number("5r8c4"),))
    row, box, column = (layout.house_constraint(house, 5) for house in (0, 19, 12))
    chain = Chain(nodes, (Link(True, (row,)), Link(False, (box,)), Link(True, (column,))))
    inference = Inference(Counting(((row, 1), (column, 1)), ()), (number("5r8c1"),))
    return Proof(grid, (inference,), Pattern("grouped chain", (), chain))


def with_sets() -> Proof:
    """Return a chain through two almost locked sets, built by hand."""
    grid = thinned({"r1c1": "12", "r1c3": "123", "r4c1": "14", "r4c2": "134"})
    number, layout = grid.number, grid.layout
    nodes = ((number("3r1c3"),), (number("1r1c1"), number("1r1c3")), (number("1r4c1"),), (number("3r4c2"),))
    links = (Link(True, (0, 2)), Link(False, (layout.house_constraint(9, 1),)), Link(True, (27, 28)))
    inference = Inference(Counting(((0, 1), (2, 1), (27, 1), (28, 1)), ()), (number("3r4c3"),))
    return Proof(grid, (inference,), Pattern("chain of almost locked sets", (), Chain(nodes, links)))
