"""The command ``walk``, which is also what a bare puzzle means."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from deduce.commands.inputs import (
    Complaint,
    add_json_options,
    add_layout_options,
    add_names_options,
    add_unique_option,
    answer,
    grid_asked,
    names_asked,
    note,
    say,
    write,
)
from deduce.errors import BudgetSpent
from deduce.pictures.themes import THEMES
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions

__all__ = ["add_parsers", "run_walk"]

LEVELS = ("line", "paragraph", "full")
SOLVED, NOT_SOLVED = 0, 1
NODES = 20_000


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = subparsers.add_parser(
        "walk",
        help="walk a puzzle towards its solution",
        description="Walk a puzzle towards its solution: every step a proof that the kernel has checked. "
        "The word walk may be left out. Other commands: judge, audit, notes, status, plan, prune, stuck, themes, "
        "compare, simplest, check, export, schema, storyboard, survey; each has --help.",
        epilog="Exit code: 0 solved, 1 not solved (stuck, out of budget, no solution), 2 bad input.",
    )
    parser.add_argument("puzzle", help="a grid, a file that holds one or more, or - for standard input")
    parser.add_argument("--number", type=int, metavar="N", help="which puzzle of a file that holds several (from 1)")
    add_names_options(parser)
    parser.add_argument("--list-patterns", action=_ListPatterns, help="print the names of all patterns and exit")
    add_unique_option(parser)
    parser.add_argument("--budget", type=int, metavar="STEPS", help="stop after so many steps")
    parser.add_argument("--trials", type=int, metavar="N", help="how much to try beyond the named patterns; 0: nothing")
    parser.add_argument("--seconds", type=float, metavar="S", help="stop after so long, and show the walk so far")
    add_layout_options(parser)
    levels = ", ".join(LEVELS)
    parser.add_argument(
        "--story", nargs="?", const="paragraph", metavar="LEVEL", help=f"tell it in chapters ({levels})"
    )
    parser.add_argument("--story-json", metavar="FILE", help="write the story as JSON")
    parser.add_argument("--page", metavar="FILE", help="write the walk as one self-contained HTML page")
    parser.add_argument("--title", default="", help="the title of --page")
    parser.add_argument("--author", default="", help="a line beside the title of --page")
    parser.add_argument("--lang", default="en", help="the language that --page says it is in")
    parser.add_argument("--theme", choices=("auto", *THEMES), help="bright or dark: auto goes by the reader's system")
    parser.add_argument("--stage", action="store_true", help="let --page open on the stage, for an audience")
    add_json_options(parser)
    parser.add_argument("--svg", metavar="FILE", help="write the picture of one step")
    parser.add_argument("--step", type=int, metavar="N", help="which step --svg draws; by default one of most effort")
    parser.add_argument("--quiet", action="store_true", help="print only how the walk ended")
    parser.set_defaults(run=run_walk)


class _ListPatterns(argparse.Action):
    """Print the catalogue and exit."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str | None = None) -> None:  # noqa: A002
        super().__init__(option_strings, dest, nargs=0, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from deduce.patterns import NAMES

        say("\n".join(NAMES))
        parser.exit()


def run_walk(options: argparse.Namespace) -> int:
    """Walk one puzzle, print it, and write what was asked for."""
    grid = grid_asked(options)
    if options.budget is not None and options.budget < 0:
        raise Complaint(f"--budget {options.budget} is below zero; give a number of steps")
    if options.trials is not None and options.trials < 0:
        raise Complaint(f"--trials {options.trials} is below zero; give how much may be tried")
    if options.seconds is not None and not options.seconds >= 0:
        raise Complaint(f"--seconds {options.seconds:g} is below zero; give how long the walk may take")
    if options.step is not None and options.svg is None:
        raise Complaint("--step says what --svg draws; give --svg FILE as well")
    if options.story not in (None, *LEVELS):
        raise Complaint(f"--story {options.story} is not known; give one of {', '.join(LEVELS)}")
    if options.page is None and (options.stage or options.title or options.author):
        raise Complaint("--title, --author and --stage are about --page; give --page FILE as well")
    from deduce.walks.walk import walk
    from deduce.words.en.explain import outcome

    names = names_asked(options)
    limits = {"assume_unique": options.assume_unique, "trials": options.trials, "seconds": options.seconds}
    walked = walk(grid, names, options.budget, **limits)
    checked = f"The kernel has checked {len(walked.check())} of {len(walked)} proofs."

    def words() -> str:
        if options.quiet:
            return f"{outcome(walked)}\n{checked}"
        told = walked.words() if options.story is None else walked.story().words(options.story)
        return f"{grid}\n\n{_validity(grid)}\n\n{told}\n{checked}"

    answer(options, walked.to_json, words)
    told = note if options.json else say
    if options.svg is not None:
        number = _step(options.step, [step.proof.effort for step in walked.steps])
        theme = options.theme if options.theme in THEMES else "light"
        write(options.svg, walked.steps[number - 1].proof.picture(theme=theme))
        told(f"Wrote step {number} to {options.svg}.")
    if options.page is not None:
        looks = {name: getattr(options, name) for name in ("title", "author", "lang", "stage")}
        write(options.page, walked.page(theme=options.theme or "auto", **looks))
        told(f"Wrote the walk to {options.page}.")
    if options.story_json is not None:
        write(options.story_json, walked.story().to_json())
        told(f"Wrote the story to {options.story_json}.")
    return SOLVED if walked.solved else NOT_SOLVED


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
    differ = (found[0].true ^ found[1].true).bit_count() // 2
    return f"The grid has more than one solution; two of them differ in {differ} cells."


def _step(wanted: int | None, efforts: list[int]) -> int:
    """Return which step to draw, from 1."""
    if not efforts:
        raise Complaint("the walk has no step to draw")
    if wanted is None:
        return efforts.index(max(efforts)) + 1
    if not 1 <= wanted <= len(efforts):
        raise Complaint(f"--step {wanted} is not there; the walk has {len(efforts)} steps, numbered from 1")
    return wanted
