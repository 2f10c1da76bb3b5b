"""Puzzles for the tests of surveys: small ones made from seeds, usual ones from the collection of the benchmarks."""

from functools import cache
from pathlib import Path

from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle

SMALL = Layout.standard(4)
COLLECTION = Path(__file__).parents[2] / "benchmarks" / "collection.txt"


@cache
def small(count):
    """The lines of so many 4x4 puzzles."""
    return [minimal_puzzle(seed, SMALL).line() for seed in range(count)]


@cache
def four_by_four(count):
    """So many different lines, each a part of one solved 4x4 grid; most have several solutions."""
    solved = "1234341221434321"
    parts = ("".join(char if kept >> i & 1 else "." for i, char in enumerate(solved)) for kept in range(count))
    return list(parts)


@cache
def usual(count, start=0):
    """The lines of so many 9x9 puzzles."""
    lines = [line for line in COLLECTION.read_text().splitlines() if not line.startswith("#")]
    return lines[start : start + count]
