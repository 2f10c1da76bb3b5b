"""Random puzzles and positions, each named by a few small numbers so that a failure can be made again by hand."""

from __future__ import annotations

import os
from functools import lru_cache
from random import Random

from hypothesis import strategies as st

import deduce
from deduce.kernel import Position
from deduce.patterns.locked import LOCKED
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle

__all__ = ["JIGSAW", "LAYOUTS", "REACH", "dead", "minimal", "noted", "positions", "puzzles", "solution", "walked"]

JIGSAW = Layout(
    5,
    [[n for n, region in enumerate("AABBBAABBCADCCCDDDECDEEEE") if region == letter] for letter in "ABCDE"],
    region_kind="region",
)
"""A small layout whose regions are no rectangles."""

LAYOUTS = {"4x4": Layout.standard(4), "5x5": JIGSAW, "6x6": Layout.standard(6), "9x9": Layout.standard(9)}

LEAST_PLACED = 5 if os.environ.get("DEDUCE_THOROUGH") else 20
"""How many per cent of a board hold digits at least: nearly empty ones hold little to find, and take long."""

REACH = (
    ("naked single",),
    ("naked single", "hidden single"),
    ("naked single", "hidden single", *LOCKED),
    ("naked single", "hidden single", "naked pair", "hidden pair", "XY-wing"),
    ("naked single", "X-chain", "XY-chain"),
    ("naked single", "hidden single", "continuous loop"),
)
"""What walks may use on the way to a position."""


@lru_cache(maxsize=256)
def minimal(shape: str, seed: int) -> deduce.Grid:
    """Return the random minimal puzzle of a seed."""
    return minimal_puzzle(seed, LAYOUTS[shape])


@lru_cache(maxsize=256)
def solution(grid: deduce.Grid) -> deduce.Grid:
    """Return the first solution of a grid that has one."""
    return next(deduce.solutions(grid, 1))


@lru_cache(maxsize=256)
def walked(shape: str, seed: int, reach: int) -> tuple[deduce.Grid, ...]:
    """Return every position on the way through a minimal puzzle, as far as some patterns carry."""
    walk = deduce.walk(minimal(shape, seed), REACH[reach])
    return walk.start, *(step.after for step in walk.steps)


def noted(shape: str, seed: int, placed: int, ruled_out: int) -> deduce.Grid:
    """Return a position with sound notes: per cents of a solution placed, and of the false candidates ruled out."""
    rng = Random(f"{seed} {placed} {ruled_out}")
    layout = LAYOUTS[shape]
    full = next(deduce.solutions(deduce.Grid.empty(layout), 1, shuffle=rng))
    shown = [c for c in bits(full.true) if rng.randrange(100) < placed]
    grid = deduce.Grid.of(map(layout.candidate, shown), layout=layout)
    wrong = bits(grid.live & ~full.true)
    return grid.without(grid.candidate(c) for c in wrong if rng.randrange(100) < ruled_out)


def _position(shape: str, seed: int, reach: int, where: int, ruled_out: int) -> deduce.Grid:
    """Return one of the positions of a walk, with some per cent of its false candidates ruled out besides."""
    path = walked(shape, seed, reach)
    grid = path[where * (len(path) - 1) // 100]
    wrong = grid.live & ~solution(path[0]).true
    rng = Random(f"{seed} {where} {ruled_out}")
    return grid.without(grid.candidate(c) for c in bits(wrong) if rng.randrange(100) < ruled_out)


@st.composite
def puzzles(draw: st.DrawFn, *shapes: str) -> deduce.Grid:
    """Draw a minimal puzzle of one of these shapes; of any if none is named."""
    shape = draw(st.sampled_from(shapes or tuple(LAYOUTS)))
    return minimal(shape, draw(st.integers(0, 9 if shape == "9x9" else 99)))


@st.composite
def positions(draw: st.DrawFn, *shapes: str) -> deduce.Grid:
    """Draw a position that has a solution: on the way through a minimal puzzle, or with sound notes at random."""
    shape = draw(st.sampled_from(shapes or tuple(LAYOUTS)))
    ruled_out = draw(st.sampled_from((0, 5, 15, 30, 45, 60)))
    if draw(st.booleans()):
        return noted(shape, draw(st.integers(0, 999)), draw(st.integers(LEAST_PLACED, 60)), ruled_out)
    seed = draw(st.integers(0, 19 if shape == "9x9" else 99))
    return _position(shape, seed, draw(st.integers(0, len(REACH) - 1)), draw(st.integers(0, 100)), ruled_out)


@st.composite
def dead(draw: st.DrawFn, *shapes: str) -> deduce.Grid:
    """Draw a position in which some cell or house can no longer be filled, though no digit stands twice."""
    grid = draw(positions(*shapes))
    layout = grid.layout
    rules = [mask for mask in layout.masks if not grid.true & mask]
    gone = 0
    for mask in draw(st.lists(st.sampled_from(rules), min_size=1, max_size=3)) if rules else ():
        gone |= mask
    return grid.moved(Position(grid.live & ~gone, grid.true))
