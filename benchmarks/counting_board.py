"""What counting reaches and what its least arguments cost, on positions where chains are stuck.

    python benchmarks/counting_board.py [FILE ...] [--positions N] [--explain N]

Two kinds of position: those in which singles, locked candidates and subsets end, where chains of single candidates are
compared with counting, and those in which these chains end as well, where least arguments are sought.  Without a FILE
the puzzles are those of the project's own collection.

If CPMpy is installed, its general tool for explanations (`cpmpy.tools.explain`) is given one elimination of
each of the first `--explain` positions: the same constraints, with the eliminated candidate set true, for an
unsatisfiable subset from which nothing can be left out (`mus`) and for a smallest one (`smus`); the ratio of times is
printed, and a search that takes more than `--limit` seconds is stopped.  CPMpy counts each constraint once and may use
anything that follows from it, so its subsets can be smaller than a sum.
"""

from __future__ import annotations

import statistics
import time
from collections import Counter
from multiprocessing import Process, Queue
from queue import Empty

from tables import SIMPLE, milliseconds, read, reader, table

from deduce import counting
from deduce.patterns import find
from deduce.patterns.chains import CHAIN_NAMES, LOOP, X_CHAIN, XY_CHAIN
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.suppositions.trail import size_of
from deduce.walks import walk

try:
    import cpmpy as cp
    from cpmpy.tools.explain import mus, smus
except ImportError:
    cp = None

CHAINS = (X_CHAIN, XY_CHAIN, LOOP, *CHAIN_NAMES)


def by_chains(grid: Grid) -> int:
    """Return how many candidates chains settle, each in the position itself."""
    settled = {c for proof in find(grid, CHAINS) for c in (*proof.eliminates, *proof.places)}
    return len(settled)


def compared(files: list[str], count: int) -> None:
    """Print what chains and counting reach where plain patterns end."""
    chains, sums = [], []
    for _, grids in read(files):
        for grid in grids:
            if len(sums) == count:
                break
            end = walk(grid, SIMPLE)
            if not end.solved:
                found = counting.eliminations(end.grid)
                chains.append(by_chains(end.grid))
                sums.append(len(found.false) + len(found.true))
    table(
        f"Candidates settled in {len(sums)} positions where plain patterns are stuck",
        ("by", "median", "largest", "positions with none"),
        [
            (name, statistics.median(held), max(held), held.count(0))
            for name, held in (("chains of single candidates", chains), ("counting", sums))
        ],
    )


def ask_cpmpy(grid: Grid, candidate: int, smallest: bool, answers: Queue) -> None:
    """Put seconds and size of an unsatisfiable subset of the rules with one candidate set true into a queue."""
    live = {c: cp.boolvar(name=grid.model.names[c]) for c in bits(grid.live & ~grid.true)}
    soft = []
    for mask in grid.model.masks:
        here = [live[c] for c in bits(mask & grid.live & ~grid.true)]
        if here and not grid.true & mask:
            soft += [cp.sum(here) >= 1, cp.sum(here) <= 1]
    start = time.perf_counter()
    if smallest:
        found = smus(soft, hard=[live[candidate]], solver="ortools", hs_solver="ortools")
    else:
        found = mus(soft, hard=[live[candidate]], solver="ortools")
    answers.put((time.perf_counter() - start, len(found)))


def explained(grid: Grid, candidate: int, limit: float, *, smallest: bool) -> tuple[float, int | None]:
    """Return the same; at the limit in seconds it is stopped, and there is no size."""
    answers: Queue = Queue()
    process = Process(target=ask_cpmpy, args=(grid, candidate, smallest, answers))
    process.start()
    try:
        return answers.get(timeout=limit)
    except Empty:
        return limit, None
    finally:
        process.kill()
        process.join()


def compare_explanations(positions: list[Grid], limit: float) -> None:
    """Print what CPMpy takes to explain the elimination that the least argument of a position concludes."""
    rows = []
    for grid in positions:
        least = counting.simplest(grid)
        if least is None or not least.eliminates:
            continue
        candidate = least.eliminates[0]
        ours: list[object] = []
        spent = milliseconds(
            lambda grid=grid, candidate=candidate, ours=ours: ours.append(counting.smallest(grid, candidate)), 1
        )
        for tool, smallest in (("mus", False), ("smus", True)):
            theirs, size = explained(grid, grid.number(candidate), limit, smallest=smallest)
            over = "" if size is not None else "over "
            rows.append(
                (
                    str(candidate),
                    spent,
                    size_of(ours[0].inferences[0].argument),
                    tool,
                    f"{over}{theirs * 1000:,.0f}",
                    "stopped" if size is None else size,
                    f"{over}{theirs * 1000 / spent:,.0f}",
                )
            )
    table("One elimination", ("candidate", "ours, ms", "size", "CPMpy", "ms", "size", "ratio"), rows)


def main() -> None:
    """Print how much is reached, how large the least arguments are, and what they take."""
    parser = reader(__doc__)
    parser.add_argument("files", nargs="*")
    parser.add_argument("--positions", type=int, default=40)
    parser.add_argument("--explain", type=int, default=3)
    parser.add_argument("--limit", type=float, default=60, help="seconds that CPMpy may take for one explanation")
    options = parser.parse_args()
    compared(options.files, options.positions)
    positions: list[Grid] = []
    for _, grids in read(options.files):
        for grid in grids:
            if len(positions) == options.positions:
                break
            end = walk(grid, (*SIMPLE, *CHAINS))
            if not end.solved:
                positions.append(end.grid)
    counting.eliminations(positions[0])  # loads what is loaded on first use
    all_times, least_times, reached, sizes, proved, names = [], [], [], [], 0, Counter()
    for grid in positions:
        found: list[object] = []
        all_times.append(milliseconds(lambda grid=grid, found=found: found.append(counting.eliminations(grid)), 1))
        reached.append(len(found[0].false) + len(found[0].true))
        least: list[object] = []
        least_times.append(milliseconds(lambda grid=grid, least=least: least.append(counting.simplest(grid)), 1))
        if least[0] is not None:
            proved += least[0].proved_smallest
            sizes.append(size_of(least[0].inferences[0].argument))
            names[least[0].pattern.name] += 1
    rows = [
        ("every elimination by counting, ms", statistics.median(all_times), max(all_times)),
        ("simplest, ms", statistics.median(least_times), max(least_times)),
        ("candidates settled by counting", statistics.median(reached), max(reached)),
        ("constraints in the least argument", statistics.median(sizes or [0]), max(sizes or [0])),
    ]
    table(f"{len(positions)} positions where chains are stuck", ("what", "median", "largest"), rows)
    print(f"{len(sizes)} of them have a counting argument; {proved} of these proved least")
    table("Names of the least arguments", ("name", "times"), names.most_common())
    if cp is None:
        print("\nCPMpy is not installed: no comparison (pip install cpmpy)")
        return
    compare_explanations(positions[: options.explain], options.limit)


if __name__ == "__main__":
    main()
