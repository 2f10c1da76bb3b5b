"""What the benchmarks share: reading a collection, timing, and printing a table."""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from deduce.errors import GridError
from deduce.patterns import PLAIN
from deduce.puzzle.grid import Grid
from deduce.puzzle.text import puzzles

COLLECTION = Path(__file__).parent / "collection.txt"

SIMPLE = tuple(name for name in PLAIN if name.split()[0] in ("hidden", "naked", "locked"))
"""Singles, locked candidates and subsets: the patterns behind which chains and counting arguments begin."""


def reader(description: str | None) -> argparse.ArgumentParser:
    """Return a reader of the command line that shows a benchmark's own text as its help."""
    return argparse.ArgumentParser(description=description, formatter_class=argparse.RawDescriptionHelpFormatter)


def asked_for(description: str | None, limit: int | None = None) -> list[tuple[str, list[Grid]]]:
    """Return what the command line names: files of puzzles, or the project's own collection."""
    asked = reader(description)
    asked.add_argument("files", metavar="FILE", nargs="*", help="puzzles, one a line; by default the own collection")
    try:
        return read(asked.parse_args().files, limit)
    except (OSError, GridError) as error:
        asked.error(str(error))


def asked_with_limit(description: str | None) -> list[tuple[str, list[Grid]]]:
    """Return what the command line names, of each file only as many puzzles as it asks for."""
    asked = reader(description)
    asked.add_argument("--limit", type=int, help="only the first N puzzles of each file")
    asked.add_argument("files", nargs="*")
    options = asked.parse_args()
    return read(options.files, limit=options.limit)


def read(paths: Sequence[str], limit: int | None = None) -> list[tuple[str, list[Grid]]]:
    """Return each file's name and grids; the project's own collection if no file is named."""
    found = []
    for path in map(Path, paths or [str(COLLECTION)]):
        lines = puzzles(path.read_text(encoding="utf-8"))[:limit]
        found.append((path.name, [Grid.parse(line) for line in lines]))
    return found


def milliseconds(work: Callable[[], object], repeat: int = 5) -> float:
    """Return the least time of several runs: on a noisy machine the quickest run is disturbed least."""
    best = float("inf")
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best * 1000


def summary(times: Iterable[float]) -> tuple[float, float, float]:
    """Return mean, median and largest."""
    values = list(times)
    return statistics.fmean(values), statistics.median(values), max(values)


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Print a table with aligned columns."""
    cells = [
        [
            f"{cell:,.3g}"
            if isinstance(cell, float) and cell < 100
            else f"{cell:,.0f}"
            if isinstance(cell, float)
            else str(cell)
            for cell in row
        ]
        for row in rows
    ]
    widths = [max(len(row[i]) for row in [list(heads), *cells]) for i in range(len(heads))]
    print(f"\n{title}")
    for row in [list(heads), ["-" * width for width in widths], *cells]:
        print(
            "  ".join(
                cell.ljust(width) if i == 0 else cell.rjust(width)
                for i, (cell, width) in enumerate(zip(row, widths, strict=True))
            )
        )
