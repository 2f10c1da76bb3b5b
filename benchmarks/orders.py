"""Print what a closure, a walk and a smallest counting argument cost on grids of order 4, 6, 9, 16 and 25.

Each figure is the median CPU time over a few puzzles that the project makes: minimal ones up to order 9; above, solved
grids from which clues are taken in random order as long as singles solve them.
"""

from __future__ import annotations

import random
from math import isqrt
from statistics import median
from time import process_time

import deduce
from deduce import Grid, Layout
from deduce.links import all_links, closure
from deduce.puzzle.generate import minimal_puzzle

EASY = ("hidden single", "naked single")
PUZZLES = 5


def solved(order: int, rng: random.Random) -> list[int]:
    """Return the clues of a solved grid: rows shifted by one another, then rows, columns and digits exchanged."""
    side = isqrt(order)
    rows, columns = ([band * side + i for band in mixed(side, rng) for i in mixed(side, rng)] for _ in range(2))
    digits = mixed(order, rng)
    layout = Layout.standard(order)
    return [
        layout.number(digits[(side * (rows[r] % side) + rows[r] // side + columns[c]) % order] + 1, r * order + c)
        for r in range(order)
        for c in range(order)
    ]


def mixed(count: int, rng: random.Random) -> list[int]:
    """Return the numbers below a count in random order."""
    return rng.sample(range(count), count)


def thinned(order: int, seed: int) -> Grid:
    """Return a puzzle of a large order: clues go by blocks while singles still solve it."""
    layout = Layout.standard(order)
    rng = random.Random(seed)
    clues = solved(order, rng)
    rng.shuffle(clues)
    step = len(clues) // 4
    while step:
        while len(clues) > step and deduce.walk(Grid.from_numbers(layout, clues[step:]), EASY).solved:
            clues = clues[step:]
        step //= 2
    return Grid.from_numbers(layout, clues)


def cost(work: object) -> tuple[float, object]:
    """Return how long something takes, and what it returns."""
    start = process_time()
    result = work()  # type: ignore[operator]
    return (process_time() - start) * 1000, result


def main() -> None:
    """Print the table."""
    print("order  open  closure ms  walk ms  steps  ended            simplest ms")
    for order in (4, 6, 9, 16, 25):
        layout = Layout.standard(order)
        grids = [minimal_puzzle(seed, layout) if order < 10 else thinned(order, seed) for seed in range(PUZZLES)]
        closures, walks, least, steps, opened = [], [], [], [], []
        ended: dict[str, int] = {}
        for grid in grids:
            opened.append((grid.live & ~grid.true).bit_count())
            closures.append(cost(lambda grid=grid: closure(all_links(grid)))[0])
            spent, walk = cost(lambda grid=grid: deduce.walk(grid))
            walks.append(spent)
            steps.append(len(walk))  # type: ignore[arg-type]
            ended[str(walk.outcome)] = ended.get(str(walk.outcome), 0) + 1  # type: ignore[attr-defined]
            stuck = deduce.walk(grid, EASY).grid
            if order < 16 and not stuck.solved:
                least.append(cost(lambda stuck=stuck: deduce.simplest(stuck))[0])
        told = ", ".join(f"{count} {name}" for name, count in sorted(ended.items()))
        smallest = f"{median(least):11.1f}" if least else "          -"
        print(
            f"{order:5}  {median(opened):4.0f}  {median(closures):10.2f}  {median(walks):7.1f}  {median(steps):5.0f}  "
            f"{told:15}  {smallest}",
            flush=True,
        )


if __name__ == "__main__":
    main()
