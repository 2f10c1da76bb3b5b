"""How well a story follows attention and cause.

    python benchmarks/story.py [FILE ...]

Without a file: 60 random minimal puzzles of seeds of its own, and every tenth of the first 400 of the 1,000 of
`benchmarks/collection.txt`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import pairwise

from tables import asked_for, table

from deduce.patterns.singles import LAST, SINGLES
from deduce.puzzle.grid import Grid
from deduce.solving.generate import minimal_puzzle
from deduce.walks import Step, Walk, walk

SEEDS = range(70_000, 70_060)


def main() -> None:
    """Print one row for each collection."""
    given = asked_for(__doc__)
    if len(given) == 1 and given[0][0] == "collection.txt":
        given = [("60 seeds", [minimal_puzzle(seed) for seed in SEEDS]), ("collection", given[0][1][:400:10])]
    heads = ("stories", "puzzles", "last taken", "right house", "shared", "say so", "nowhere", "left out", "chapters")
    table("How a story follows attention and cause (percent, then numbers)", heads, [row(*one) for one in given])


def row(name: str, grids: Iterable[Grid]) -> tuple[object, ...]:
    """Measure the stories of some puzzles."""
    count: Counter[str] = Counter()
    for grid in grids:
        walked = walk(grid)
        told = walked.story()
        count.update(puzzles=1, chapters=len(told.chapters), left=len(told.left_out))
        count.update(order(told.walk))
        for step in told.steps:
            if step.number - 1 in step.rests_on:
                said = step.because is not None and step.because.number == step.number - 1
                count.update(caused=1, said=said and step.words().startswith("Now "))
        last = told.steps[-1].number
        count["nowhere"] += sum(not step.single and not step.gains and step.number < last for step in told.steps)
    percents = [
        f"{100 * count[part] / max(1, count[whole]):.1f}"
        for part, whole in (("taken", "there"), ("right", "lasts"), ("shared", "pairs"), ("said", "caused"))
    ]
    per = [f"{count[what] / count['puzzles']:.1f}" for what in ("left", "chapters")]
    return name, count["puzzles"], *percents, count["nowhere"], *per


def order(walked: Walk) -> Counter[str]:
    """Count the last open cells that were there, taken and told as that, and the singles next to one another."""
    count: Counter[str] = Counter()
    for step in walked.steps:
        if step.proof.pattern.name not in SINGLES:
            continue
        ending = closing(step.before)
        cell = step.proof.pattern.role("placed")[0] % walked.start.layout.cells
        count.update(there=bool(ending), taken=cell in ending)
        if cell in ending:
            house = step.proof.pattern.role("house")
            right = step.proof.pattern.name == LAST and house and house[0] in ending[cell]
            count.update(lasts=1, right=bool(right))
    for one, other in pairwise(walked.steps):
        if one.proof.pattern.name in SINGLES and other.proof.pattern.name in SINGLES:
            count.update(pairs=1, shared=together(one, other))
    return count


def closing(grid: Grid) -> dict[int, list[int]]:
    """Return the cells that are the last open one of a house, with those houses."""
    found: dict[int, list[int]] = {}
    for number, house in enumerate(grid.layout.houses):
        open_ = [cell for cell in house.cells if not grid.true & grid.layout.masks[cell]]
        if len(open_) == 1:
            found.setdefault(open_[0], []).append(number)
    return found


def together(one: Step, other: Step) -> bool:
    """Whether two singles share a house or their digit."""
    layout = one.before.layout
    (a,), (b,) = (step.proof.pattern.role("placed") for step in (one, other))
    (digit, cell), (other_digit, other_cell) = divmod(a, layout.cells), divmod(b, layout.cells)
    return digit == other_digit or bool(layout.neighbours[cell] >> other_cell & 1)


if __name__ == "__main__":
    main()
