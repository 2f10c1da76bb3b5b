"""How walks fare on puzzles with rules beyond houses, and how long the calls take that are slow.

    python benchmarks/rules.py [--count N] [--seconds S] [--kinds KIND ...] [--calls]

Makes N random puzzles with one solution for each kind of rule, by cutting clues from a random solution, and walks each
with a deadline of S seconds: how many are solved, cut off or stuck, and the times.  With ``--calls`` single calls that
are slow are made instead, each with the same deadline.
"""

from __future__ import annotations

import random
import time
from argparse import Namespace
from collections.abc import Callable, Iterator
from pathlib import Path

from tables import reader, summary, table

import deduce
from deduce.errors import BudgetSpent
from deduce.planning.compare import against_best
from deduce.planning.plan import plan
from deduce.planning.stuck import stuck_point
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import puzzles
from deduce.solving.generate import minimal_puzzle, random_solution
from deduce.solving.search import solutions
from deduce.walks.walk import Outcome, walk

BRANCHINGS = 2_000
"""How long a clue is asked about; one that may be needed stays."""

DEMO = Path(deduce.__file__).parent / "puzzle" / "lantern_room.txt"


def places(rng: random.Random, size: int) -> list[tuple[int, int]]:
    """Return the cells of a random path."""
    path = [(rng.randrange(9), rng.randrange(9))]
    while len(path) < size:
        row, column = path[-1]
        beside = [(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)]
        free = [(r, c) for r, c in beside if r in range(9) and c in range(9) and (r, c) not in path]
        if not free:
            return places(rng, size)
        path.append(rng.choice(free))
    return path


def cages(rng: random.Random, solved: Grid, count: int) -> list[str]:
    """Return cages that share no cell."""
    lines, taken = [], set()
    while len(lines) < count:
        path = places(rng, rng.randint(2, 4))
        digits = [solved.digit(r + 1, c + 1) for r, c in path]
        if len({*digits}) == len(path) and taken.isdisjoint(path):
            taken.update(path)
            lines.append(f"cage {' '.join(f'r{r + 1}c{c + 1}' for r, c in path)} = {sum(digits)}")
    return lines


def totals(rng: random.Random, solved: Grid, count: int) -> list[str]:
    """Return sums along paths, in which digits may repeat."""
    lines = []
    for _ in range(count):
        path = places(rng, rng.randint(2, 4))
        cells = " ".join(f"r{r + 1}c{c + 1}" for r, c in path)
        lines.append(f"total {cells} = {sum(solved.digit(r + 1, c + 1) for r, c in path)}")
    return lines


def orders(rng: random.Random, solved: Grid, count: int) -> list[str]:
    """Return signs between neighbours."""
    lines = set()
    while len(lines) < count:
        pair = sorted(places(rng, 2), key=lambda place: solved.digit(place[0] + 1, place[1] + 1))
        (a, b), (c, d) = pair
        if solved.digit(a + 1, b + 1) < solved.digit(c + 1, d + 1):
            lines.add(f"r{a + 1}c{b + 1} < r{c + 1}c{d + 1}")
    return sorted(lines)


KINDS: dict[str, tuple[str, Callable[[random.Random, Grid], list[str]]]] = {
    "king": ("king", lambda _, __: []),
    "knight": ("knight", lambda _, __: []),
    "diagonals": ("diagonals", lambda _, __: []),
    "cages": ("", lambda rng, solved: cages(rng, solved, 16)),
    "sums": ("", lambda rng, solved: totals(rng, solved, 16)),
    "order": ("", lambda rng, solved: orders(rng, solved, 40)),
    "mixed": (
        "diagonals",
        lambda rng, solved: [*cages(rng, solved, 6), *totals(rng, solved, 4), *orders(rng, solved, 12)],
    ),
}
"""For each kind of rule the lines that hold from the start, and those that a solution is asked for."""


def made(kind: str, count: int) -> Iterator[Grid]:
    """Yield random puzzles of a kind with one solution each."""
    line, more = KINDS[kind]
    bare = Layout.parse(f"grid 9\n{line}")
    for seed in range(count):
        rng = random.Random(f"{kind} {seed}")
        solved = random_solution(rng, bare)
        layout = Layout.parse("\n".join(["grid 9", line, *more(rng, solved)]))
        clues = bits(solved.true)
        order = [*clues]
        rng.shuffle(order)
        for clue in order:
            fewer = [other for other in clues if other != clue]
            try:
                if len(list(solutions(Grid.from_numbers(layout, fewer), 2, budget=BRANCHINGS))) == 1:
                    clues = fewer
            except BudgetSpent:
                continue
        yield Grid.from_numbers(layout, clues)


def calls() -> Iterator[tuple[str, Callable[[float], object]]]:
    """Yield calls that are slow, each taking its deadline."""
    both = Layout.parse("grid 9\ndiagonals\nknight")
    two = Grid.parse("1" + "." * 40 + "2" + "." * 39, both)
    yield "walk: two clues, diagonals and knight", lambda s: walk(two, seconds=s)
    apart = Grid.empty(Layout.parse("grid 9\nneighbours differ by 2"))
    yield "walk: empty, neighbours differ by 2", lambda s: walk(apart, seconds=s)
    yield "walk: empty, order 25", lambda s: walk(Grid.empty(Layout.standard(25)), seconds=s)
    yield "simplest: empty, order 16", lambda s: deduce.simplest(Grid.empty(Layout.standard(16)), seconds=s)
    knight = minimal_puzzle(1, Layout.parse("grid 9\nknight"))
    yield "walk: knight, a minimal puzzle", lambda s: walk(knight, seconds=s)
    demo = [Grid.parse(line) for line in puzzles(DEMO.read_text(encoding="utf-8"))]
    yield "plan: demo puzzle 4 without hidden singles", lambda s: plan(demo[3], forbidden=["hidden single"], seconds=s)
    for number, grid in enumerate(demo, 1):
        yield f"stuck: demo puzzle {number}", lambda s, grid=grid: stuck_point(grid, seconds=s)
        yield f"plan: demo puzzle {number}", lambda s, grid=grid: plan(grid, seconds=s)
    yield "compare: demo puzzle 4 with the best plan", lambda s: against_best(walk(demo[3]), seconds=s)


def told(answer: object) -> str:
    """Return what came back, on one line."""
    text = repr(answer)
    return text if len(text) <= 60 else f"{type(answer).__name__}, cut" if getattr(answer, "cut", False) else text[:60]


def main() -> None:
    """Print the tables."""
    asked = reader(__doc__)
    asked.add_argument("--count", type=int, default=50, help="how many puzzles of each kind")
    asked.add_argument("--seconds", type=float, default=30.0, help="how long each walk and each call may take")
    asked.add_argument("--kinds", nargs="+", choices=tuple(KINDS), default=tuple(KINDS), help="which kinds of rules")
    asked.add_argument("--calls", action="store_true", help="the calls that are slow instead")
    options = asked.parse_args()
    (slow if options.calls else walks)(options)


def walks(options: Namespace) -> None:
    """Print how walks fare, kind by kind."""
    rows = []
    for kind in options.kinds:
        times, clues, outcomes = [], 0, []
        for grid in made(kind, options.count):
            start = time.perf_counter()
            outcomes.append(walk(grid, seconds=options.seconds).outcome)
            times.append(time.perf_counter() - start)
            clues += grid.givens.bit_count()
        share = outcomes.count(Outcome.SOLVED) / len(outcomes)
        cut = sum(spent >= options.seconds for spent in times)
        rows.append((kind, len(times), clues / len(times), f"{share:.0%}", cut, *summary(times)))
    heads = ("rules", "puzzles", "mean clues", "solved", "cut off", "mean s", "median s", "largest s")
    table(f"Walks by kind of rule, {options.seconds:g} seconds at most", heads, rows)


def slow(options: Namespace) -> None:
    """Print how long slow calls take."""
    rows = []
    for what, call in calls():
        start = time.perf_counter()
        try:
            answer = told(call(options.seconds))
        except BudgetSpent as error:
            answer = str(error)
        rows.append((what, time.perf_counter() - start, answer))
    table(f"Slow calls, {options.seconds:g} seconds at most", ("call", "s", "answer"), rows)


if __name__ == "__main__":
    main()
