"""What the assumption of a unique solution adds: where walks stick without it.

    python benchmarks/uniqueness.py [--limit N] [FILE ...]

Each puzzle, which must have one solution, is walked by patterns of four levels.  Where a level sticks, the first table
says in how many positions a pattern that assumes a unique solution leads on; in how many of these its step comes
earlier in the catalogue than the first one without the assumption, takes less effort than that, or is the only step
that the catalogue has; and how many puzzles each level solves without the assumption and with it.  The second table
says how many stuck positions offer each pattern.
"""

import time
from collections import Counter

from tables import asked_with_limit, table

from deduce.patterns import NAMES, PLAIN, UNIQUE, find
from deduce.proof import Proof
from deduce.walks import walk

LEVELS = {
    "singles": PLAIN[: PLAIN.index("pointing pair")],
    "with locked candidates, pairs and triples": PLAIN[: PLAIN.index("X-wing")],
    "with small fish and wings": PLAIN[: PLAIN.index("finned X-wing")],
    "every pattern without the assumption": PLAIN,
}


def rank(proof: Proof) -> int:
    """Return the place of a proof's name in the catalogue."""
    return NAMES.index(proof.pattern.name)


def main() -> None:
    """Print two tables for each collection."""
    for name, grids in asked_with_limit(__doc__):
        rows = []
        offered: dict[str, Counter[str]] = {}
        for level, patterns in LEVELS.items():
            stuck = gains = earlier = lighter = alone = 0
            met = offered[level] = Counter()
            walks = [walk(grid, patterns) for grid in grids]
            start = time.process_time()
            for walked in walks:
                if walked.solved:
                    continue
                stuck += 1
                found = list(find(walked.grid, UNIQUE, assume_unique=True))
                met.update({proof.pattern.name for proof in found})
                if not found:
                    continue
                gains += 1
                plain = next(find(walked.grid), None)
                alone += plain is None
                earlier += plain is not None and rank(found[0]) < rank(plain)
                lighter += plain is not None and min(proof.effort for proof in found) < plain.effort
            spent = (time.process_time() - start) / max(1, stuck) * 1000
            solved = sum(walked.solved for walked in walks)
            both = sum(walk(grid, [*patterns, *UNIQUE], assume_unique=True).solved for grid in grids)
            rows.append((level, stuck, gains, earlier, lighter, alone, solved, both, spent))
        heads = ("level", "stuck", "gain a step", "earlier", "less effort", "only step", "solved", "solved with", "ms")
        table(f"{name}: {len(grids)} puzzles", heads, rows)
        listed = [(pattern, *(offered[level][pattern] for level in LEVELS)) for pattern in NAMES if pattern in UNIQUE]
        table("stuck positions that offer it, by level", ("pattern", "singles", "triples", "wings", "all"), listed)


if __name__ == "__main__":
    main()
