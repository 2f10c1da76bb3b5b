"""How long pruning and planning take, and what they gain.

    python benchmarks/planning.py [FILE ...]

Without a file: the first puzzles of `benchmarks/collection.txt`.  Plans look for the fewest advanced steps: once within
the patterns whose behaviour in stronger positions is known, once within the whole catalogue.
"""

from collections import Counter

from tables import asked_for, milliseconds, summary, table

from deduce.patterns import PLAIN
from deduce.planning.bound import SHRINKS
from deduce.walks import Answer, Objective, plan, prune, walk, walk_effort

PRUNED, PLANNED = 200, 40


def pruning(collections):
    """Print for each collection how long pruning takes and how many steps it leaves out."""
    rows = []
    for name, grids in collections:
        walks = [walked for walked in map(walk, grids[:PRUNED]) if walked.solved]
        hard = [walked for walked in walks if walk_effort(walked).advanced]
        times, before, after, shorter = [], Counter(), Counter(), 0
        for walked in hard:
            pruned = []
            times.append(milliseconds(lambda walked=walked, pruned=pruned: pruned.append(prune(walked)), repeat=1))
            for count, one in ((before, walked), (after, pruned[0])):
                told = walk_effort(one)
                count.update(steps=told.steps, advanced=told.advanced, total=told.total)
            shorter += len(pruned[0]) < len(walked)
        gains = (
            [f"{1 - after[what] / before[what]:.1%}" for what in ("steps", "advanced", "total")] if hard else ["-"] * 3
        )
        mean, median, largest = summary(times or [0.0])
        rows.append((name, len(walks), len(hard), shorter, *gains, mean, median, largest))
    heads = (
        "collection",
        "solved",
        "not by singles",
        "shorter",
        "steps saved",
        "advanced saved",
        "effort saved",
        "mean ms",
        "median ms",
        "largest ms",
    )
    table("Pruning walks that need more than singles", heads, rows)


def planning(collections):
    """Print for each collection and set of patterns how plans end and how long they take."""
    known = [name for name in PLAIN if name in SHRINKS]
    rows = []
    for name, grids in collections:
        for label, allowed in (("known", known), ("all", None)):
            times, answers, keys, pruned, looked = [], Counter(), [], [], 0
            for grid in grids[:PLANNED]:
                found = []

                def work(grid=grid, found=found, allowed=allowed):
                    found.append(plan(grid, allowed))

                times.append(milliseconds(work, repeat=1))
                answers[found[0].answer] += 1
                looked += found[0].looked
                if found[0].exists:
                    keys.append(len(found[0].advanced))
                    pruned.append(walk_effort(prune(walk(grid, (*found[0].simple, *found[0].allowed)))).advanced)
            mean, median, largest = summary(times)
            ends = [answers[answer] for answer in Answer]
            key, walked = (sum(some) / max(1, len(some)) for some in (keys, pruned))
            rows.append((name, label, len(times), *ends, walked, key, looked, mean, median, largest))
    heads = (
        "collection",
        "patterns",
        "puzzles",
        *(answer.value for answer in Answer),
        "advanced in pruned walk",
        "in plan",
        "positions",
        "mean ms",
        "median ms",
        "largest ms",
    )
    table("Plans with the fewest advanced steps", heads, rows)


def objectives(collections):
    """Print how each objective ends within the known patterns, on the first collection."""
    known = [name for name in PLAIN if name in SHRINKS]
    name, grids = collections[0]
    rows = []
    for objective in Objective:
        times, answers = [], Counter()
        for grid in grids[:PLANNED]:
            found = []

            def work(grid=grid, found=found, objective=objective):
                found.append(plan(grid, known, objective=objective))

            times.append(milliseconds(work, repeat=1))
            answers[found[0].answer] += 1
        rows.append((objective.value, *(answers[answer] for answer in Answer), *summary(times)))
    heads = ("objective", *(answer.value for answer in Answer), "mean ms", "median ms", "largest ms")
    table(f"Objectives on {name}, within the known patterns", heads, rows)


def main() -> None:
    """Print the three tables."""
    given = asked_for(__doc__, max(PRUNED, PLANNED))
    pruning(given)
    planning(given)
    objectives(given)


if __name__ == "__main__":
    main()
