"""How many puzzles chains solve, by what their nodes may be.

    python benchmarks/coverage_by_nodes.py [--limit N] [FILE ...]

Every walk may use singles, locked candidates and subsets up to quads.  To these come, in turn, nothing; chains of
single candidates; chains with groups besides; and chains through almost locked sets of up to four cells besides.  Each
of these searches is complete: a puzzle that a row leaves stuck has no such chain in its last position.  The last row
has every pattern of the catalogue.
"""

import time

from tables import SIMPLE, asked_with_limit, table

from deduce.patterns import PLAIN
from deduce.positions import bits
from deduce.walks import Outcome, Walk, walk

SINGLE = tuple(name for name in PLAIN if name.startswith("chain ") and "sets" not in name)
GROUPS = (*SINGLE, "grouped chain")
SETS = (*GROUPS, "chain through almost locked sets")
ROWS = {
    "no chains": SIMPLE,
    "single candidates": (*SIMPLE, *SINGLE),
    "with groups": (*SIMPLE, *GROUPS),
    "with groups and almost locked sets": (*SIMPLE, *SETS),
    "every pattern": PLAIN,
}


def left(walked: Walk) -> int:
    """Return how many candidates of open cells a walk left."""
    return len(bits(walked.grid.live & ~walked.grid.true))


def main() -> None:
    """Print a table for each collection."""
    for name, grids in asked_with_limit(__doc__):
        rows = []
        for title, patterns in ROWS.items():
            start = time.process_time()
            walks = [walk(grid, patterns) for grid in grids]
            spent = time.process_time() - start
            stuck = [walked for walked in walks if walked.outcome is Outcome.STUCK]
            solved = sum(walked.solved for walked in walks)
            remaining = sum(map(left, stuck)) / len(stuck) if stuck else 0.0
            share = 100 * solved / len(grids)
            rows.append((title, solved, len(stuck), f"{share:.1f}%", remaining, spent / len(grids) * 1000))
        heads = ("nodes of chains", "solved", "stuck", "share", "candidates left", "mean ms")
        table(f"{name}: {len(grids)} puzzles", heads, rows)


if __name__ == "__main__":
    main()
