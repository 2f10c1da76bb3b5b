"""Print what a closure, a walk and a smallest counting argument cost on grids of order 4, 6, 9, 16 and 25.

Each figure is the median CPU time over a few puzzles that the project makes: minimal ones up to order 9; above, solved
grids from which clues are taken in random order as long as singles solve them.

A smallest argument is asked for twice: in the puzzle as it stands, where on the larger orders it is a single, and
past singles.  For that more clues are taken, whatever they leave of the solution's uniqueness, until singles run dry
with at least as many candidates open as there are cells.
"""

from __future__ import annotations

import random
from math import isqrt
from statistics import median
from time import process_time

from tables import reader

import deduce
from deduce import Grid, Layout
from deduce.links import all_links, closure
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle

EASY = ("hidden single", "naked single")
PUZZLES = 5
LATE = 3
"""How many of them are looked at past singles, where the largest order takes many seconds each."""


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


def open_in(grid: Grid) -> int:
    """Return how many candidates are open."""
    return (grid.live & ~grid.true).bit_count()


def past_singles(puzzle: Grid, seed: int) -> Grid:
    """Return where singles run dry once enough clues of a puzzle are gone."""
    rng = random.Random(seed)
    clues = list(bits(puzzle.givens))
    rng.shuffle(clues)
    step = max(1, len(clues) // 50)
    while True:
        dry = deduce.walk(Grid.from_numbers(puzzle.layout, clues), EASY).grid
        if open_in(dry) >= puzzle.layout.cells or not clues:
            return dry
        clues = clues[step:]


def cost(work: object) -> tuple[float, object]:
    """Return how long something takes, and what it returns."""
    start = process_time()
    result = work()  # type: ignore[operator]
    return (process_time() - start) * 1000, result


def main() -> None:
    """Print the table."""
    reader(__doc__).parse_args()
    print("                                                         in the puzzle     past singles")
    print("order  open  closure ms  walk ms  steps  ended           simplest ms    open  simplest ms")
    for order in (4, 6, 9, 16, 25):
        layout = Layout.standard(order)
        grids = [minimal_puzzle(seed, layout) if order < 10 else thinned(order, seed) for seed in range(PUZZLES)]
        # Once for what is made only once and loaded only once: the model, its bitsets, HiGHS.
        deduce.simplest(grids[0])
        closure(all_links(grids[0]))
        closures, walks, steps, opened, least, late, late_opened = [], [], [], [], [], [], []
        ended: dict[str, int] = {}
        for seed, grid in enumerate(grids):
            opened.append(open_in(grid))
            closures.append(cost(lambda grid=grid: closure(all_links(grid)))[0])
            spent, walk = cost(lambda grid=grid: deduce.walk(grid))
            walks.append(spent)
            steps.append(len(walk))  # type: ignore[arg-type]
            ended[str(walk.outcome)] = ended.get(str(walk.outcome), 0) + 1  # type: ignore[attr-defined]
            least.append(cost(lambda grid=grid: deduce.simplest(grid))[0])
            if seed < LATE:
                dry = past_singles(grid, seed)
                late_opened.append(open_in(dry))
                late.append(cost(lambda dry=dry: deduce.simplest(dry))[0])
        told = ", ".join(f"{count} {name}" for name, count in sorted(ended.items()))
        print(
            f"{order:5}  {median(opened):4.0f}  {median(closures):10.2f}  {median(walks):7.1f}  {median(steps):5.0f}  "
            f"{told:15} {median(least):11.1f}   {median(late_opened):5.0f}  {median(late):11.1f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
