"""The commands of planning: ``plan``, ``prune``, ``stuck``, ``themes`` and ``compare``.

Each parser's options hold the function to run as ``run``; it prints and returns the exit code.  What is wrong with the
input is raised as a :class:`deduce.DeduceError`.
"""

from __future__ import annotations

import argparse
import json
import sys
from typing import Any

from deduce.commands.inputs import (
    Complaint,
    add_layout_options,
    grid_from,
    grids_from,
    layout_from,
    names_from,
    say,
    text_from,
    write,
)
from deduce.puzzle.grid import Grid
from deduce.solving.generate import SYMMETRIES

__all__ = ["add_parsers", "run_compare", "run_plan", "run_prune", "run_stuck", "run_themes"]

DONE, NOT_DONE = 0, 1

OBJECTIVES = {
    "steps": "fewest advanced steps",
    "effort": "least total effort",
    "peak": "least peak effort",
    "patterns": "fewest distinct patterns",
    "alike": "most alike",
}
"""The words of the command line for `deduce.walks.Objective`."""


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the five commands."""
    plan = _parser(
        subparsers,
        "plan",
        "search for the line of deduction that suits best",
        run_plan,
        "there is a plan, 1 none was found",
    )
    _grid_options(plan)
    plan.add_argument("--allow", metavar="NAMES", help="what advanced steps may use, separated by semicolons")
    plan.add_argument("--forbid", metavar="NAMES", help="what no step may use")
    plan.add_argument("--prefer", metavar="NAMES", help="what advanced steps should use")
    plan.add_argument("--require", metavar="NAMES", help="what the plan must not be able to do without")
    plan.add_argument("--simple", metavar="NAMES", help="what counts as simple; by default the two singles")
    plan.add_argument("--objective", choices=tuple(OBJECTIVES), default="steps", help="what makes a plan good")
    plan.add_argument("--budget", type=int, metavar="POSITIONS", help="how many positions to look at")
    plan.add_argument("--page", metavar="FILE", help="write the plan as one self-contained HTML page")
    prune = _parser(
        subparsers,
        "prune",
        "walk, and keep only the steps that are needed",
        run_prune,
        "the walk reaches the solution, or the goal of --goal, 1 it gets stuck",
    )
    _grid_options(prune)
    prune.add_argument("--patterns", metavar="NAMES", help="what the walk may use")
    prune.add_argument("--goal", metavar="CANDIDATES", help="what is to be settled, such as '5r4c7; 2r1c1'")
    prune.add_argument("--narrow", action="store_true", help="also drop conclusions that nothing needs")
    prune.add_argument("--page", metavar="FILE", help="write the walk as one self-contained HTML page")
    stuck = _parser(
        subparsers,
        "stuck",
        "look around where simple steps run dry",
        run_stuck,
        "there is something to see, 1 there is nothing",
    )
    _grid_options(stuck)
    stuck.add_argument("--allow", metavar="NAMES", help="what to look for")
    stuck.add_argument("--simple", metavar="NAMES", help="what counts as simple; by default the two singles")
    themes = _parser(
        subparsers,
        "themes",
        "find the puzzles of a collection that show a pattern",
        run_themes,
        "there are such puzzles, 1 there are none",
    )
    themes.add_argument("collection", nargs="?", help="a file that holds puzzles, or - for standard input")
    themes.add_argument("--show", metavar="NAMES", required=True, help="the patterns wanted, separated by semicolons")
    themes.add_argument("--allow", metavar="NAMES", help="what walks may use")
    _unique_option(themes)
    add_layout_options(themes)
    themes.add_argument("--make", type=int, metavar="SEED", help="make a puzzle instead that cannot do without them")
    themes.add_argument("--symmetry", choices=tuple(SYMMETRIES), help="of the places of clues, with --make")
    themes.add_argument("--budget", type=int, default=500, metavar="PUZZLES", help="how many puzzles --make may try")
    compare = _parser(
        subparsers,
        "compare",
        "compare two walks of one puzzle",
        run_compare,
        "both walks reach the solution, 1 one does not",
    )
    _grid_options(compare)
    compare.add_argument("--first", metavar="NAMES", help="what the first walk may use; by default everything")
    compare.add_argument("--second", metavar="NAMES", help="what the second walk may use; by default the best plan")
    compare.add_argument("--claims", metavar="FILE", help="take the first walk from claims, one a line")
    compare.add_argument("--svg", metavar="FILE", help="write the two walks side by side as a picture")
    compare.add_argument("--page", metavar="FILE", help="write them as one self-contained HTML page")


def run_plan(options: argparse.Namespace) -> int:
    """Print the best plan; 0 if there is one, 1 if not."""
    from deduce.planning.plan import BUDGET, plan
    from deduce.planning.plan_data import plan_data
    from deduce.walks.effort import SIMPLE
    from deduce.words.en.planning import plan_text

    found = plan(
        _grid(options),
        names_from(options.allow),
        objective=OBJECTIVES[options.objective],
        preferred=names_from(options.prefer) or (),
        forbidden=names_from(options.forbid) or (),
        required=names_from(options.require) or (),
        simple=SIMPLE if options.simple is None else names_from(options.simple) or (),
        budget=_within(options.budget, BUDGET),
        assume_unique=options.assume_unique,
    )
    _print(options, plan_data(found), plan_text(found))
    if options.page is not None:
        _write(options.page, found.walk.page())
    return DONE if found.exists else NOT_DONE


def run_prune(options: argparse.Namespace) -> int:
    """Print the pruned walk; 0 if it reaches the solution or the goal, 1 if the walk got stuck."""
    from deduce.planning.plan_data import pruned_data
    from deduce.walks.prune import needed_steps, prune
    from deduce.walks.walk import walk
    from deduce.words.en.planning import pruned_text

    walked = walk(_grid(options), names_from(options.patterns), assume_unique=options.assume_unique)
    goal = names_from(options.goal)
    kept = needed_steps(walked, goal)
    pruned = prune(walked, goal, narrow=options.narrow)
    _print(options, pruned_data(walked, pruned, kept), pruned_text(walked, pruned, kept))
    if options.page is not None:
        _write(options.page, pruned.page())
    return DONE if walked.solved or goal is not None else NOT_DONE


def run_stuck(options: argparse.Namespace) -> int:
    """Print what there is to see; 0 if there is anything, 1 if not."""
    from deduce.planning.plan_data import stuck_data
    from deduce.planning.stuck import stuck_point
    from deduce.walks.effort import SIMPLE
    from deduce.words.en.planning import stuck_text

    simple = SIMPLE if options.simple is None else names_from(options.simple) or ()
    point = stuck_point(_grid(options), names_from(options.allow), simple=simple, assume_unique=options.assume_unique)
    _print(options, stuck_data(point), f"{point.grid.pencil()}\n\n{stuck_text(point)}")
    return DONE if point.deductions else NOT_DONE


def run_themes(options: argparse.Namespace) -> int:
    """Print the puzzles that show what is wanted, one JSON value a line with ``--json``; 0 if there are any.

    With ``--make`` print a new puzzle and the plan that opens it.
    """
    from deduce.planning.plan_data import plan_data, theme_data
    from deduce.planning.showcases import LeftOut, themed_puzzle, themes
    from deduce.words.en.planning import plan_text, searched_text, theme_text

    if (options.make is None) == (options.collection is None):
        raise Complaint("give either a collection to search, or --make with a seed")
    layout = layout_from(options)
    if options.make is not None:
        made = themed_puzzle(
            options.make,
            names_from(options.show) or (),
            names_from(options.allow),
            layout=layout,
            symmetry=options.symmetry,
            budget=_within(options.budget, 500),
            assume_unique=options.assume_unique,
        )
        _print(options, plan_data(made), f"{made.walk.start}\n{made.walk.start.line()}\n{plan_text(made)}")
        return DONE
    grids = grids_from(options.collection, layout=layout)
    reasons: list[LeftOut] = []
    shown = themes(
        grids,
        names_from(options.show) or (),
        names_from(options.allow),
        assume_unique=options.assume_unique,
        left_out=lambda _, why: reasons.append(why),
    )
    found = 0
    for theme in shown:
        found += 1
        say(json.dumps(theme_data(theme)) if options.json else theme_text(theme))
    sys.stderr.write(f"{searched_text(found, reasons)}\n")
    return DONE if found else NOT_DONE


def run_compare(options: argparse.Namespace) -> int:
    """Print two walks side by side; 0 if both reach the solution, 1 if not."""
    from deduce.pages.compare import compare_page, compare_picture
    from deduce.planning.compare import against_best, claimed_walk, compare
    from deduce.planning.plan_data import comparison_data
    from deduce.walks.walk import walk
    from deduce.words.en.planning import compare_text

    grid = _grid(options)
    if options.claims is None:
        first = walk(grid, names_from(options.first), assume_unique=options.assume_unique)
    elif options.first is None:
        first = claimed_walk(grid, [line for line in text_from(options.claims).splitlines() if line.strip()])
    else:
        raise Complaint("--first and --claims both give the first walk; use one of them")
    second = names_from(options.second)
    if second is None:
        compared = against_best(first)
    else:
        compared = compare(first, walk(grid, second, assume_unique=options.assume_unique))
    _print(options, comparison_data(compared), compare_text(compared))
    if options.svg is not None:
        _write(options.svg, compare_picture(compared))
    if options.page is not None:
        _write(options.page, compare_page(compared))
    return DONE if compared.first.solved and compared.second.solved else NOT_DONE


def _parser(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, run: Any, good: str
) -> argparse.ArgumentParser:
    """Add a parser with what all of them have."""
    parser = subparsers.add_parser(
        name, help=what, description=f"{what[0].upper()}{what[1:]}.", epilog=f"Exit code: 0 {good}, 2 bad input."
    )
    parser.add_argument("--json", action="store_true", help="print JSON instead of sentences")
    parser.set_defaults(run=run)
    return parser


def _grid_options(parser: argparse.ArgumentParser) -> None:
    _unique_option(parser)
    parser.add_argument("puzzle", help="a grid, a file that holds one or more, or - for standard input")
    parser.add_argument("--number", type=int, metavar="N", help="which puzzle of a file that holds several (from 1)")
    add_layout_options(parser)


def _unique_option(parser: argparse.ArgumentParser) -> None:
    told = "allow patterns that hold only in a puzzle with one solution"
    parser.add_argument("--assume-unique", action="store_true", help=told)


def _grid(options: argparse.Namespace) -> Grid:
    """Return the puzzle that was asked for."""
    return grid_from(options.puzzle, number=options.number, layout=layout_from(options))


def _within(budget: int | None, usual: int) -> int:
    """Return a budget, the usual one if none was given."""
    if budget is not None and budget < 0:
        raise Complaint(f"--budget {budget} is below zero; give a number from 0 on")
    return usual if budget is None else budget


def _print(options: argparse.Namespace, value: dict[str, Any], text: str) -> None:
    say(json.dumps(value, indent=1) if options.json else text)


def _write(path: str, content: str) -> None:
    """Write a file and say so on standard error, so that JSON on standard output stays whole."""
    write(path, content)
    sys.stderr.write(f"Wrote {path}.\n")
