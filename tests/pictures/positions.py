"""Small made-up positions, one for each pattern, in which the pattern is there and little else is."""

from __future__ import annotations

from functools import cache

import deduce
from deduce import Grid, Layout, Proof

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


GRIDS: dict[str, Grid] = {
    "hidden single": Grid.parse(GECODE),
    "naked single": Grid.parse(PI),
    "locked candidates, pointing": thinned(houses={"7 in box 2": "r3c4 r3c6"}),
    "locked candidates, claiming": thinned(houses={"7 in row 3": "r3c4 r3c6"}),
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


@cache
def proof(name: str) -> Proof:
    """Return the first proof of a pattern in its position."""
    grid = GRIDS[name]
    if name == "contradiction":
        return deduce.walk(grid).steps[0].proof
    return next(deduce.find(grid, [name]))
