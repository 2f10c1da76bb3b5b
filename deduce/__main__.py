"""The command line: parse arguments, call the library, print."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from deduce.errors import BudgetSpent, DeduceError
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.search import solutions
from deduce.puzzle.text import puzzles

__all__ = ["main"]

SOLVED, NOT_SOLVED, BAD_INPUT = 0, 1, 2
NODES = 20_000


class _Complaint(Exception):  # noqa: N818 - a sentence for the user, not a failure of ours
    """One clear sentence about what the user gave."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code.

    Parameters
    ----------
    arguments : sequence of str, optional
        By default those of the process.

    Returns
    -------
    int
        0 if the puzzle was walked to its solution, 1 if the walk ended otherwise, 2 for bad input.
    """
    options = _parser().parse_args(arguments)
    try:
        return _walk(options)
    except (DeduceError, _Complaint) as error:
        print(f"deduce: {error}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # Whoever read our output has gone; say nothing more, not even when Python flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOT_SOLVED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m deduce",
        description="Walk a puzzle towards its solution: every step a proof that the kernel has checked.",
        epilog="Exit code: 0 solved, 1 not solved (stuck, out of budget, no solution), 2 bad input.",
    )
    parser.add_argument("puzzle", help="a grid, a file that holds one or more, or - for standard input")
    parser.add_argument("--number", type=int, metavar="N", help="which puzzle of a file that holds several (from 1)")
    parser.add_argument("--patterns", metavar="NAMES", help="allow only these patterns, separated by semicolons")
    parser.add_argument("--list-patterns", action=_ListPatterns, help="print the names of all patterns and exit")
    parser.add_argument("--budget", type=int, metavar="STEPS", help="stop after so many steps")
    parser.add_argument("--order", type=int, metavar="N", help="the order of the grid, where its size does not tell")
    parser.add_argument("--page", metavar="FILE", help="write the walk as one self-contained HTML page")
    parser.add_argument("--svg", metavar="FILE", help="write the picture of one step")
    parser.add_argument("--step", type=int, metavar="N", help="which step --svg draws; by default one of most effort")
    parser.add_argument("--quiet", action="store_true", help="print only how the walk ended")
    return parser


class _ListPatterns(argparse.Action):
    """Print the catalogue and exit."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str | None = None) -> None:  # noqa: A002
        super().__init__(option_strings, dest, nargs=0, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from deduce.patterns import NAMES

        print("\n".join(NAMES))
        parser.exit()


def _walk(options: argparse.Namespace) -> int:
    """Walk one puzzle, print it, and write what was asked for."""
    layout = None if options.order is None else Layout.standard(options.order)
    grid = Grid.parse(_one(_read(options.puzzle), options, layout), layout)
    _not_negative("--budget", options.budget)
    if options.step is not None and options.svg is None:
        raise _Complaint("--step says what --svg draws; give --svg FILE as well")
    from deduce.pictures.words import outcome
    from deduce.walks.walk import walk

    names = None if options.patterns is None else [name.strip() for name in options.patterns.split(";") if name.strip()]
    walked = walk(grid, names, options.budget)
    if not options.quiet:
        print(f"{grid}\n\n{_validity(grid)}\n")
        print(walked.words())
    else:
        print(outcome(walked))
    checked = len(walked.check())
    print(f"The kernel has checked {checked} of {len(walked)} proofs.")
    if options.svg is not None:
        number = _step(options.step, [step.proof.effort for step in walked.steps])
        _write(options.svg, walked.steps[number - 1].proof.picture(), f"step {number}")
    if options.page is not None:
        _write(options.page, walked.page(), "the walk")
    return SOLVED if walked.solved else NOT_SOLVED


def _read(source: str) -> str:
    """Return the text of standard input, of a file, or of the argument itself."""
    if source == "-":
        return sys.stdin.read()
    path = Path(source)
    try:
        found = path.is_file()
    except (OSError, ValueError):  # too long or too odd for a path: it is a grid
        found = False
    if found:
        try:
            return path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise _Complaint(f"{source} cannot be read as UTF-8 text ({error})") from error
    if source.strip().lower().endswith((".txt", ".csv", ".sdk", ".json")) or os.sep in source:
        raise _Complaint(f"there is no file {source}; give a grid, a file or -")
    return source


def _one(text: str, options: argparse.Namespace, layout: Layout | None) -> str:
    """Return the puzzle that was asked for."""
    found = puzzles(text, layout)
    number = 1 if options.number is None else options.number
    if not found:
        raise _Complaint("there is no puzzle in the input; give one character a cell, '.' for an empty one")
    if not 1 <= number <= len(found):
        raise _Complaint(f"--number {number} is not there; the input holds {len(found)}, numbered from 1")
    if len(found) > 1 and not options.quiet:
        print(f"Puzzle {number} of {len(found)}.")
    return found[number - 1]


def _validity(grid: Grid) -> str:
    """Say how many solutions the grid has."""
    faults = grid.status()
    if faults:
        return "The grid is impossible: " + "; ".join(map(str, faults)) + "."
    try:
        found = list(solutions(grid, 2, budget=NODES))
    except BudgetSpent as error:
        return f"Whether there is exactly one solution is not known: {error}."
    if not found:
        return "The grid has no solution."
    if len(found) == 1:
        return "The grid has exactly one solution."
    differ = bin(found[0].true ^ found[1].true).count("1") // 2
    return f"The grid has more than one solution; two of them differ in {differ} cells."


def _step(wanted: int | None, efforts: list[int]) -> int:
    """Return which step to draw, from 1."""
    if not efforts:
        raise _Complaint("the walk has no step to draw")
    if wanted is None:
        return efforts.index(max(efforts)) + 1
    if not 1 <= wanted <= len(efforts):
        raise _Complaint(f"--step {wanted} is not there; the walk has {len(efforts)} steps, numbered from 1")
    return wanted


def _not_negative(option: str, value: int | None) -> None:
    """Complain about a number below zero."""
    if value is not None and value < 0:
        raise _Complaint(f"{option} {value} is below zero; give a number of steps")


def _write(path: str, content: str, what: str) -> None:
    """Write a file and say so."""
    try:
        Path(path).write_text(content, encoding="utf-8")
    except OSError as error:
        raise _Complaint(f"{path} cannot be written ({error.strerror})") from error
    print(f"Wrote {what} to {path}.")


if __name__ == "__main__":
    sys.exit(main())
