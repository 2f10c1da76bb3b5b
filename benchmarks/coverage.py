"""How far levels and patterns go on a collection, and what a survey costs.

    python benchmarks/coverage.py [FILE ...] [--patterns NAMES | --catalogue] [--marginal] [--needs]
                                  [--store FILE] [--html FILE] [--workers N]
    python benchmarks/coverage.py --rate

Without a file: the 1,000 random minimal puzzles of `benchmarks/collection.txt`.  Lists whose figures are published are
set beside them: a whole list must match exactly, or the exit code is 1; of a part the share is shown with its distance
from the whole list's in standard deviations of a random sample.  ``--needs`` walks up to 200 sets of patterns for each
puzzle: with the sixteen easiest patterns that is quick, with all of them it takes hours.  The level `everything` solves
every puzzle, by counting arguments and suppositions where no pattern is left; on lists of the hardest puzzles these
take seconds for each, and ``--catalogue`` leaves them out.

With ``--rate``: the rate of two processes against one, the cost of a survey itself for each puzzle, memory over 100,000
puzzles, and from these what N workers are to bring.
"""

from __future__ import annotations

import os
import random
import resource
import statistics
import sys
import time
from collections.abc import Iterator
from math import sqrt
from pathlib import Path

from tables import COLLECTION, reader, table

from deduce.patterns import PLAIN
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.search import solutions
from deduce.surveys import REFUTATION_LEVEL, Coverage, Level, Store, cumulative, survey
from deduce.surveys.crew import cores
from deduce.surveys.levels import SINGLES

# Puzzles that each level solves outright in whole public lists, recomputed by an independent program to the fixpoint of
# each level: how many there are, naked singles, and hidden singles, and locked candidates, subsets instead of locked
# candidates, both, and basic fish, refutation of one candidate by singles repeated.
PUBLISHED = {
    "seventeen_clues": (49151, (0, 21905, 37373, 34464, 41646, 41665, 49151)),
    "hard_1465": (1465, (0, 0, 60, 143, 308, 310, 1459)),
    "hard_95": (95, (0, 0, 10, 15, 29, 29, 95)),
    "euler96": (50, (12, 40, 44, 46, 49, 50, 50)),
    "hardest_375": (375, (0, 0, 0, 0, 0, 0, 0)),
}


def main() -> int:
    """Survey the files and print tables."""
    parser = reader(__doc__)
    parser.add_argument("files", nargs="*", metavar="FILE")
    parser.add_argument("--patterns", metavar="NAMES", help="what everything means, separated by semicolons")
    parser.add_argument("--catalogue", action="store_true", help="no counting arguments and suppositions")
    parser.add_argument("--store", metavar="FILE", help="keep the answers, and reuse those that are there")
    parser.add_argument("--marginal", action="store_true", help="leave out, and add, each pattern by itself")
    parser.add_argument("--needs", action="store_true", help="find the smallest sets of patterns that solve")
    parser.add_argument("--html", metavar="FILE", help="write everything as one page")
    parser.add_argument("--workers", type=int, metavar="N")
    parser.add_argument("--rate", action="store_true", help="measure the survey itself instead")
    options = parser.parse_args()
    if options.rate:
        rates()
        return 0
    patterns = None
    if options.patterns is not None:
        patterns = [name.strip() for name in options.patterns.split(";") if name.strip()]
    levels = [*cumulative(patterns if patterns or not options.catalogue else PLAIN), REFUTATION_LEVEL]
    with Store(options.store) as store:
        for file in options.files or [COLLECTION]:
            made = survey(
                file,
                store=store,
                levels=levels,
                marginal=options.marginal,
                needs=options.needs,
                workers=options.workers,
                bad="collect",
            )
        coverage = made.coverage()
        print(coverage.text())
        if options.html:
            Path(options.html).write_text(coverage.page(), encoding="utf-8")
        return 0 if beside_published(coverage) else 1


def beside_published(coverage: Coverage) -> bool:
    """Print our figures beside the published ones; say whether whole lists match and parts are possible samples."""
    rows = []
    right = True
    for name, solved in coverage.solved.items():
        known = next((figures for list_, figures in PUBLISHED.items() if name.startswith(list_)), None)
        if known is None:
            continue
        whole, figures = known
        count = coverage.counts[name].valid
        ladder = [*(level.name for level in cumulative()[:-2]), REFUTATION_LEVEL.name]
        for level, figure in zip(ladder, figures, strict=True):
            if level not in solved:
                continue  # cut down by --patterns
            ours = solved[level]
            share = figure / whole
            if count == whole:
                verdict = "equal" if ours == figure else "DIFFERENT"
            elif figure in (0, whole):
                verdict = "equal" if ours == count * figure // whole else "DIFFERENT"
            else:
                distance = (ours / count - share) / sqrt(share * (1 - share) / count * (whole - count) / (whole - 1))
                verdict = f"{distance:+.1f} sd" + (" DIFFERENT" if abs(distance) > 4 else "")
            right = right and "DIFFERENT" not in verdict
            rows.append(
                (
                    name,
                    level,
                    f"{ours:,}/{count:,}",
                    f"{figure:,}/{whole:,}",
                    percent(ours / count),
                    percent(share),
                    verdict,
                )
            )
    if rows:
        heads = ("list", "level", "solved here", "published", "share", "published", "verdict")
        table("Beside the published figures", heads, rows)
    return right


def percent(share: float) -> str:
    """Return a share as a percentage."""
    return f"{100 * share:.2f}%"


# What a survey costs

REPEATS = 4
PUZZLES = 500
MANY = 100_000


def rates() -> None:
    """Measure rate, cost and memory, and print what follows for clusters."""
    ratio = two_against_one()
    cheap = small_puzzles()
    usual = {"usual ladder, 1,000 random minimal puzzles": per_puzzle(None)}
    usual["usual ladder without counting arguments and suppositions"] = per_puzzle([*cumulative(PLAIN)])
    usual["singles alone, the same puzzles"] = per_puzzle([Level.of("singles", SINGLES)])
    usual["singles alone, 4x4 puzzles"] = cheap
    outlook(usual, ratio)


def two_against_one() -> float:
    """Print the rate of two processes over twice that of one, in turns over the same puzzles; return the median."""
    lines = [line for line in COLLECTION.read_text().splitlines() if not line.startswith("#")]
    rows, shares = [], []
    for turn in range(REPEATS):
        chosen = lines[turn * PUZZLES % 1000 : turn * PUZZLES % 1000 + PUZZLES]
        one = survey(chosen, workers=1).tally
        two = survey(chosen, workers=2).tally
        share = one.seconds / (2 * two.seconds)
        # On a busy machine a second process may get no core of its own; work that takes longer by the clock shows it.
        slowed = two.busy / one.busy
        shares.append(share)
        rows.append((turn + 1, PUZZLES / one.seconds, PUZZLES / two.seconds, share, slowed, share * slowed))
    heads = (
        "turn",
        "one process, a second",
        "two processes, a second",
        "share of twice",
        "work slower by",
        "corrected",
    )
    table(f"Two processes against one ({cores()} cores; load {os.getloadavg()[0]:.1f})", heads, rows)
    best = statistics.median(row[-1] for row in rows)
    print(f"median share {statistics.median(shares):.3f}, corrected for the slower work {best:.3f}")
    return best


def small_puzzles() -> tuple[float, float]:
    """Survey many different 4x4 puzzles; print cost and memory; return seconds of work and of survey for each."""
    memory: list[tuple[int, float]] = []
    with Store() as store:
        start = used()
        made = survey(
            noting(four_by_four(MANY), memory),
            store=store,
            workers=2,
            levels=[Level.of("singles", SINGLES)],
            bad="raise",
        )
        spent = used() - start
        size = store.db.execute(
            "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()"
        ).fetchone()[0]
    tally = made.tally
    outside = tally.seconds * 2 - tally.busy
    rows = [
        ("puzzles", f"{tally.examined:,}"),
        ("puzzles a second", f"{tally.examined / tally.seconds:,.0f}"),
        ("work, ms a puzzle", f"{1e3 * tally.busy / tally.examined:.3f}"),
        ("processor time of the surveying process, ms a puzzle", f"{1e3 * spent / tally.examined:.3f}"),
        ("time of two workers without work, ms a puzzle", f"{1e3 * outside / tally.examined:.3f}"),
        ("store, bytes a puzzle", f"{size / tally.examined:.0f}"),
    ]
    table("A survey of cheap puzzles on two processes", ("what", "value"), rows)
    table("Memory of the surveying process", ("puzzles read", "MB"), [(f"{n:,}", mb) for n, mb in memory])
    return tally.busy / tally.examined, spent / tally.examined


def per_puzzle(levels: list[Level] | None) -> tuple[float, float]:
    """Return the seconds that a usual puzzle takes in a worker, and in the surveying process."""
    lines = [line for line in COLLECTION.read_text().splitlines() if not line.startswith("#")]
    start = used()
    tally = survey(lines, workers=1, levels=levels).tally
    return tally.busy / tally.examined, (used() - start) / tally.examined


def outlook(measured: dict[str, tuple[float, float]], ratio: float) -> None:
    """Print how long surveys take: bounded by the workers, or by the one process that hands out and writes down."""
    for name, (seconds, cost) in measured.items():
        rows = []
        for workers in (1, 2, 8, 32, 128, 512):
            share = min(1.0, ratio) if workers > 1 else 1.0
            rate = min(workers * share / seconds, 1 / cost)
            bound = "workers" if rate < 1 / cost else "the surveying process"
            rows.append((workers, f"{rate:,.0f}", *(lasting(n / rate) for n in (10**4, 10**6, 10**8)), bound))
        heads = ("workers", "puzzles a second", "10^4", "10^6", "10^8", "bound by")
        table(f"Outlook: {name}, {1e3 * seconds:.2f} ms of work and {1e3 * cost:.3f} ms of survey each", heads, rows)


def lasting(seconds: float) -> str:
    """Return a time as people say it."""
    for unit, size in (("days", 86400), ("h", 3600), ("min", 60)):
        if seconds >= 2 * size:
            return f"{seconds / size:.1f} {unit}"
    return f"{seconds:.1f} s"


def four_by_four(count: int) -> Iterator[str]:
    """Yield so many different 4x4 grids, each a random part of a solution."""
    rng = random.Random(4)
    whole = [grid.line() for grid in solutions(Grid.empty(Layout.standard(4)), None)]
    seen = set()
    while len(seen) < count:
        line = rng.choice(whole)
        kept = rng.getrandbits(16)
        part = "".join(char if kept >> i & 1 else "." for i, char in enumerate(line))
        if part not in seen:
            seen.add(part)
            yield part


def noting(made: Iterator[str], memory: list[tuple[int, float]]) -> Iterator[str]:
    """Pass lines on, and note the memory of this process ten times on the way."""
    lines = [*made]  # made beforehand, so that what grows is the survey's
    for number, line in enumerate(lines):
        if number % (MANY // 10) == 0 or number == MANY - 1:
            memory.append((number, resident()))
        yield line


def resident() -> float:
    """Return the memory of this process that is in use now, in MB."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
    except OSError:  # not Linux: the greatest so far has to do
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def used() -> float:
    """Return the processor time of this process, without its workers."""
    return time.process_time()


if __name__ == "__main__":
    sys.exit(main())
