"""How much is told where puzzles are hardest: words, the longest step, suppositions, sums with weights, and the time.

    python benchmarks/hard_words.py FILE [--count N] [--seed N] [--named]

FILE lists puzzles, one a line.  So many of them are drawn by a seed (25 by 1).  One row is printed for each: processor
seconds of the walk; its steps; the words of the walk as it is told step by step, and of its story, which leaves out
what leads nowhere and draws singles together; the words of the longest step; the suppositions; and of the steps beyond
the patterns how many are sums, or rest on sums, in which something counts more than once.  Every walk is checked by the
kernel.  With --named, a puzzle of which everything is large comes last, with the size of its page.
"""

from __future__ import annotations

import random
import statistics
import time
from pathlib import Path

from tables import reader, table

from deduce.counting import NAMES
from deduce.counting.names import SUPPOSITION
from deduce.kernel import Argument, Counting, Supposition
from deduce.puzzle.grid import Grid
from deduce.puzzle.text import puzzles
from deduce.walks import Step, Walk, walk

NAMED = "1...5...9..7...2...69..3.4....8........91..7.9....5..83..5....1..2...6...4......."


def main() -> None:
    """Print a row for each puzzle and the medians."""
    asked = reader(__doc__)
    asked.add_argument("file", metavar="FILE", type=Path, help="puzzles, one a line")
    asked.add_argument("--count", type=int, default=25, help="how many are drawn")
    asked.add_argument("--seed", type=int, default=1, help="by which they are drawn")
    asked.add_argument("--named", action="store_true", help="also the puzzle of which everything is large")
    given = asked.parse_args()
    lines = puzzles(given.file.read_text(encoding="utf-8"))
    drawn = sorted(random.Random(given.seed).sample(range(len(lines)), min(given.count, len(lines))))
    rows = [(number + 1, *row(*walked(lines[number]))) for number in drawn]
    middle = [statistics.median(column) for column in list(zip(*rows, strict=True))[1:]]
    heads = ("puzzle", "CPU s", "steps", "words", "story", "longest", "suppositions", "beyond", "weighted")
    table(f"{given.file.name}, seed {given.seed}", heads, [*rows, ("median", *middle)])
    weighted, beyond = (sum(each[place] for each in rows) for place in (8, 7))
    print(f"longest step of all {max(each[5] for each in rows)} words; with weights {weighted} of {beyond} steps")
    if given.named:
        made, seconds = walked(NAMED)
        size = len(made.page().encode())
        table("The named puzzle", (*heads[1:], "page bytes"), [(*row(made, seconds), size)])


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
