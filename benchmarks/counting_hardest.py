"""Walks through the hardest puzzles, patterns first and counting behind them, with times and the size of the steps.

    python benchmarks/counting_hardest.py [FILE] [FIRST [LAST [STRIDE]]]

FILE lists puzzles, one a line; by default `hardest_375_part.txt` of the folder that DEDUCE_COLLECTIONS names.  One
line is printed for each puzzle: seconds of processor time, which a busy machine changes less than those on the clock,
steps, how many of them are sums and suppositions beyond the named patterns, and the most constraints that one of these
adds up, those under a supposition counted twice.  The summary has the greatest depth.  Every step is checked by the
kernel, and against the puzzle's solution.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from pathlib import Path

from tables import reader

from deduce.counting import next_proof
from deduce.kernel import Argument, Counting, Supposition, check
from deduce.patterns.catalogue import choose, first
from deduce.puzzle.grid import Grid
from deduce.puzzle.text import puzzles
from deduce.solving.search import solutions
from deduce.suppositions.trail import size_of


def solve(line: str) -> tuple[bool, int, list[tuple[str, int, int]]]:
    """Walk to the end; return whether it is solved, the number of steps and name, size and depth of ours."""
    grid, finders, barren = Grid.parse(line), choose(None), {}
    solution = next(solutions(grid)).true
    memory: list[Argument] = []
    steps, ours = 0, []
    while grid.true.bit_count() < grid.layout.cells:
        proof, _ = first(grid, finders, barren)
        if proof is None:
            proof, _ = next_proof(grid, memory=memory)
            if proof is None:
                return False, steps, ours
            argument = proof.inferences[0].argument
            kind = "supposition" if isinstance(argument, Supposition) else "sum"
            assert isinstance(argument, Counting | Supposition)
            ours.append((kind, size_of(argument), proof.depth))
        grid = grid.moved(check(grid, proof).after)
        if solution & ~grid.live:
            raise AssertionError(f"{proof!r} rules out a candidate of the solution of {line}")
        steps += 1
    return grid.solved, steps, ours


def main() -> None:
    """Print a line for each puzzle and a summary."""
    asked = reader(__doc__)
    asked.add_argument("words", metavar="FILE or NUMBER", nargs="*", help="as above")
    words, folder = asked.parse_args().words, os.environ.get("DEDUCE_COLLECTIONS")
    if words and not words[0].isdigit():
        path = Path(words.pop(0))
    elif folder:
        path = Path(folder) / "hardest_375_part.txt"
    else:
        asked.error("name a file of puzzles, or a folder of collections in DEDUCE_COLLECTIONS")
    try:
        lines = puzzles(path.read_text(encoding="utf-8"))[slice(*map(int, words or [sys.maxsize]))]
    except (OSError, ValueError) as error:
        asked.error(str(error))
    times, sizes, solved, depth, counts = [], [], 0, 0, []
    for number, line in enumerate(lines, 1):
        start = time.process_time()
        good, steps, ours = solve(line)
        times.append(time.process_time() - start)
        solved += good
        largest = max((size for _, size, _ in ours), default=0)
        sizes += [size for _, size, _ in ours]
        depth = max([depth, *(d for _, _, d in ours)])
        counts.append(len(ours))
        sums = sum(kind == "sum" for kind, _, _ in ours)
        told = f"{sums} sums, {len(ours) - sums} suppositions, largest {largest}"
        print(f"{number:4}  {times[-1]:6.1f} s  {'solved' if good else 'STUCK '}  {steps} steps, {told}", flush=True)
    print(f"\n{path.name}: {solved} of {len(lines)} solved, greatest depth {depth}")
    print(f"processor seconds: median {statistics.median(times):.2f}, largest {max(times):.1f}")
    if sizes:
        ordered = sorted(sizes)
        print(
            f"steps beyond patterns: median {statistics.median(counts)} a puzzle; constraints in one: median "
            f"{statistics.median(sizes)}, nine in ten at most {ordered[len(ordered) * 9 // 10]}, largest {max(sizes)}"
        )


if __name__ == "__main__":
    main()
