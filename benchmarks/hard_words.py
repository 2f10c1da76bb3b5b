"""How much is told where puzzles are hardest: words, the longest step, suppositions, sums with weights, and the time.

    python benchmarks/hard_words.py FILE [--count N] [--seed N] [--named] [--least]

FILE lists puzzles, one a line.  So many of them are drawn by a seed (25 by 1).  One row is printed for each: processor
seconds of the walk; its steps; the words of the walk as it is told step by step, and of its story, which leaves out
what leads nowhere and draws singles together; the words of the longest step; the suppositions; and of the steps beyond
the patterns how many are sums, or rest on sums, in which something counts more than once.  Every walk is checked by the
kernel.  With --named, a puzzle of which everything is large comes last, with the size of its page.  With --least, the
last steps of each walk are planned once more by trying everything: where one supposition is enough, and where two are,
every one and every two are followed to the end, and the cheapest way is held against the planned one.
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path

from tables import reader, table

from deduce.counting import NAMES
from deduce.counting.meter import Meter
from deduce.counting.names import SUPPOSITION
from deduce.kernel import Argument, Counting, Position, Supposition
from deduce.links.statements import statements_of
from deduce.puzzle.grid import Grid
from deduce.puzzle.text import puzzles
from deduce.suppositions.ahead import plan_ahead
from deduce.suppositions.choices import supposition
from deduce.suppositions.search import Search
from deduce.suppositions.shorten import Way
from deduce.walks import Step, Walk, walk

NAMED = "1...5...9..7...2...69..3.4....8........91..7.9....5..83..5....1..2...6...4......."


def main() -> None:
    """Print a row for each puzzle and the medians."""
    asked = reader(__doc__)
    asked.add_argument("file", metavar="FILE", type=Path, help="puzzles, one a line")
    asked.add_argument("--count", type=int, default=25, help="how many are drawn")
    asked.add_argument("--seed", type=int, default=1, help="by which they are drawn")
    asked.add_argument("--named", action="store_true", help="also the puzzle of which everything is large")
    asked.add_argument("--least", action="store_true", help="also how far planned ends are from the cheapest")
    given = asked.parse_args()
    lines = puzzles(given.file.read_text(encoding="utf-8"))
    drawn = sorted(random.Random(given.seed).sample(range(len(lines)), min(given.count, len(lines))))
    rows = [(number + 1, *row(*walked(lines[number]))) for number in drawn]
    middle = [statistics.median(column) for column in list(zip(*rows, strict=True))[1:]]
    heads = ("puzzle", "CPU s", "steps", "words", "story", "longest", "suppositions", "beyond", "weighted")
    table(f"{given.file.name}, seed {given.seed}", heads, [*rows, ("median", *middle)])
    weighted, beyond = (sum(each[place] for each in rows) for place in (8, 7))
    print(f"longest step of all {max(each[5] for each in rows)} words; with weights {weighted} of {beyond} steps")
    if given.least:
        ends = [end for number in drawn for end in endings(Grid.parse(lines[number]))]
        heads = ("suppositions", "ends", "cheapest found", "planned / cheapest, mean", "largest")
        found = [(count, [cost / least for many, cost, least in ends if many == count]) for count in (1, 2)]
        parts = [(count, each, sum(one <= 1 for one in each)) for count, each in found if each]
        table(
            "Ends of planned ways, by every other way of so many suppositions",
            heads,
            [(count, len(each), hit, statistics.mean(each), max(each)) for count, each, hit in parts],
        )
    if given.named:
        made, seconds = walked(NAMED)
        size = len(made.page().encode())
        table("The named puzzle", (*heads[1:], "page bytes"), [(*row(made, seconds), size)])


def endings(grid: Grid) -> Iterator[tuple[int, float, float]]:
    """Yield for the ends of a planned way the suppositions in them, their cost, and the least of any so many."""
    start = walk(grid, trials=0).grid
    statements, here = statements_of(grid.model), Position(start.live, start.true)
    search = Search(statements, here, Meter(), grid.layout)
    planned = plan_ahead(statements, here, NAMES, Meter(), grid.layout)
    steps = Way(search, here, planned).steps
    for count in (1, 2):
        made = [step for step, _ in steps[-count:]]
        if len(steps) < count or not all(isinstance(step, Supposition) for step in made):
            continue
        position = steps[-count][1].position
        cost = Way(search, position, made).cost
        candidates = [c for _, c in search.quick.broken(position, search.open(position))][: 200 // count**2]
        refuted = [supposition(statements, position, c) for c in candidates]
        ways = (Way(search, position, chosen) for chosen in permutations(filter(None, refuted), count))
        yield count, cost, min([cost, *(way.cost for way in ways if way.arguments)])


def walked(line: str) -> tuple[Walk, float]:
    """Walk a puzzle to its end, and say how long that took."""
    before = time.process_time()
    made = walk(Grid.parse(line))
    seconds = time.process_time() - before
    made.check()
    if not made.solved:
        raise AssertionError(f"{line} is not solved: {made!r}")
    return made, seconds


def row(made: Walk, seconds: float) -> tuple[float, ...]:
    """Measure the telling of a walk."""
    words = [len(step.proof.words().split()) for step in made.steps]
    hard = [step for step in made.steps if step.proof.pattern.name in NAMES]
    supposed = sum(step.proof.pattern.name == SUPPOSITION for step in hard)
    story = len(made.story().words().split())
    return seconds, len(words), sum(words), story, max(words), supposed, len(hard), sum(map(weighted, hard))


def weighted(step: Step) -> bool:
    """Whether something counts more than once in a step."""
    return any(map(_weighted, (inference.argument for inference in step.proof.inferences)))


def _weighted(argument: Argument) -> bool:
    if isinstance(argument, Supposition):
        return any(_weighted(inference.argument) for inference in argument.inferences)
    return isinstance(argument, Counting) and any(w > 1 for _, w in (*argument.bases, *argument.covers))


if __name__ == "__main__":
    main()
