"""How long a full walk takes, proofs built and checked.

    python benchmarks/walk_rate.py [FILE ...]

Without a file: the 1,000 random minimal puzzles of `benchmarks/collection.txt`.
"""

from collections import Counter

from tables import asked_for, milliseconds, summary, table

from deduce.walks import Outcome, walk


def main() -> None:
    """Print one row for each collection, then how often each pattern was used."""
    rows, patterns = [], Counter()
    given = asked_for(__doc__)
    walk(given[0][1][0])  # loads what is loaded on first use
    for name, grids in given:
        times, outcomes, steps = [], Counter(), 0
        for grid in grids:
            walked = []
            times.append(milliseconds(lambda grid=grid, walked=walked: walked.append(walk(grid)), repeat=1))
            outcomes[walked[0].outcome] += 1
            steps += len(walked[0])
            patterns.update(step.proof.pattern.name for step in walked[0].steps)
        mean, median, largest = summary(times)
        stuck = len(grids) - outcomes[Outcome.SOLVED]
        rows.append((name, len(grids), outcomes[Outcome.SOLVED], stuck, steps / len(grids), mean, median, largest))
    heads = ("collection", "puzzles", "solved", "not", "steps", "mean ms", "median ms", "largest ms")
    table("Full walk with proofs, each checked by the kernel", heads, rows)
    table("Steps by pattern", ("pattern", "steps"), patterns.most_common())


if __name__ == "__main__":
    main()
