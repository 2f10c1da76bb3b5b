"""The commands of planning: ``plan``, ``prune``, ``stuck``, ``themes`` and ``compare``.

Each parser's options hold the function to run as ``run``; it prints and returns the exit code.  What is wrong with the
input is raised as a :class:`deduce.DeduceError`.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from typing import Any

from deduce.commands.inputs import (
    Complaint,
    add_grid_options,
    add_json_options,
    add_layout_options,
    add_names_options,
    add_unique_option,
    answer,
    grid_asked,
    grids_from,
    layout_from,
    names_asked,
    names_from,
    say,
    text_from,
    write,
)
from deduce.errors import OutOfTime
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

_SIMPLE = "what counts as simple; by default the two singles"


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the five commands."""
    plan = _parser(
        subparsers, run_plan, "search for the line of deduction that suits best", "there is a plan, 1 none was found"
    )
    add_unique_option(plan)
    add_grid_options(plan)
    _names(plan, "allow", "what advanced steps may use, separated by semicolons")
    _names(plan, "forbid", "what no step may use")
    _names(plan, "prefer", "what advanced steps should use")
    _names(plan, "require", "what the plan must not be able to do without")
    _names(plan, "simple", _SIMPLE)
    plan.add_argument("--objective", choices=tuple(OBJECTIVES), default="steps", help="what makes a plan good")
    plan.add_argument("--budget", type=int, metavar="POSITIONS", help="how many positions to look at")
    _add_seconds(plan)
    plan.add_argument("--page", metavar="FILE", help="write the plan as one self-contained HTML page")
    good = "the walk reaches the solution, or the goal of --goal, 1 it gets stuck"
    prune = _parser(subparsers, run_prune, "walk, and keep only the steps that are needed", good)
    add_unique_option(prune)
    add_grid_options(prune)
    add_names_options(prune)
    prune.add_argument("--goal", metavar="CANDIDATES", help="what is to be settled, such as '5r4c7; 2r1c1'")
    prune.add_argument("--narrow", action="store_true", help="also drop conclusions that nothing needs")
    prune.add_argument("--page", metavar="FILE", help="write the walk as one self-contained HTML page")
    good = "there is something to see, 1 there is nothing"
    stuck = _parser(subparsers, run_stuck, "look around where simple steps run dry", good)
    add_unique_option(stuck)
    add_grid_options(stuck)
    _names(stuck, "allow", "what to look for")
    _names(stuck, "simple", _SIMPLE)
    _add_seconds(stuck)
    good = "there are such puzzles, 1 there are none"
    themes = _parser(subparsers, run_themes, "find the puzzles of a collection that show a pattern", good)
    themes.add_argument("collection", nargs="?", help="a file that holds puzzles, or - for standard input")
    _names(themes, "show", "the patterns wanted, separated by semicolons", required=True)
    _names(themes, "allow", "what walks may use")
    add_unique_option(themes)
    add_layout_options(themes)
    _add_seconds(themes)
    themes.add_argument("--make", type=int, metavar="SEED", help="make a puzzle instead that cannot do without them")
    themes.add_argument("--symmetry", choices=tuple(SYMMETRIES), help="of the places of clues, with --make")
    themes.add_argument("--budget", type=int, default=500, metavar="PUZZLES", help="how many puzzles --make may try")
    good = "both walks reach the solution, 1 one does not"
    compare = _parser(subparsers, run_compare, "compare two walks of one puzzle", good)
    add_unique_option(compare)
    add_grid_options(compare)
    add_names_options(compare, "what the first walk may use, by default everything")
    _names(compare, "against", "what the second walk may use; by default the best plan")
    _add_seconds(compare)
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
        grid_asked(options),
        names_from(options.allow, "--allow"),
        objective=OBJECTIVES[options.objective],
        preferred=names_from(options.prefer) or (),
        forbidden=names_from(options.forbid) or (),
        required=names_from(options.require) or (),
        simple=SIMPLE if options.simple is None else names_from(options.simple) or (),
        budget=_within(options.budget, BUDGET),
        assume_unique=options.assume_unique,
        seconds=_seconds(options),
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

    walked = walk(grid_asked(options), names_asked(options), assume_unique=options.assume_unique)
    goal = names_from(options.goal, "--goal")
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
    point = stuck_point(
        grid_asked(options),
        names_from(options.allow, "--allow"),
        simple=simple,
        assume_unique=options.assume_unique,
        seconds=_seconds(options),
    )
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
            names_from(options.allow, "--allow"),
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
        names_from(options.allow, "--allow"),
        assume_unique=options.assume_unique,
        left_out=lambda _, why: reasons.append(why),
        seconds=_seconds(options),
    )
    told = []
    try:
        for theme in shown:
            told.append(json.dumps(theme_data(theme)) if options.json else theme_text(theme))
            if options.out is None:
                say(told[-1])
    except OutOfTime as error:
        sys.stderr.write(f"deduce: {error}\n")
    if options.out is not None:
        write(options.out, "".join(f"{one}\n" for one in told))
    sys.stderr.write(f"{searched_text(len(told), reasons)}\n")
    return DONE if told else NOT_DONE


def run_compare(options: argparse.Namespace) -> int:
    """Print two walks side by side; 0 if both reach the solution, 1 if not."""
    from deduce.pages.compare import compare_page, compare_picture
    from deduce.planning.compare import against_best, claimed_walk, compare
    from deduce.planning.plan_data import comparison_data
    from deduce.walks.walk import walk
    from deduce.words.en.planning import compare_text

    grid = grid_asked(options)
    if options.claims is None:
        first = walk(grid, names_asked(options), assume_unique=options.assume_unique)
    elif options.allow is None and options.forbid is None:
        first = claimed_walk(grid, [line for line in text_from(options.claims).splitlines() if line.strip()])
    else:
        raise Complaint("--allow and --claims both give the first walk; use one of them")
    second = names_from(options.against, "--against")
    if second is None:
        compared = against_best(first, seconds=_seconds(options))
    else:
        compared = compare(first, walk(grid, second, assume_unique=options.assume_unique))
    _print(options, comparison_data(compared), compare_text(compared))
    if options.svg is not None:
        _write(options.svg, compare_picture(compared))
    if options.page is not None:
        _write(options.page, compare_page(compared))
    return DONE if compared.first.solved and compared.second.solved else NOT_DONE


def _parser(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser],
    run: Callable[[argparse.Namespace], int],
    what: str,
    good: str,
) -> argparse.ArgumentParser:
    """Add the parser of a command, named by the function that runs it, with what all of them have."""
    parser = subparsers.add_parser(
        run.__name__.removeprefix("run_"),
        help=what,
        description=f"{what[0].upper()}{what[1:]}.",
        epilog=f"Exit code: 0 {good}, 2 bad input.",
    )
    add_json_options(parser)
    parser.set_defaults(run=run)
    return parser


def _names(parser: argparse.ArgumentParser, option: str, what: str, *, required: bool = False) -> None:
    """Add an option that takes names of patterns."""
    parser.add_argument(f"--{option}", metavar="NAMES", required=required, help=what)


def _add_seconds(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--seconds", type=float, metavar="S", help="stop after so long, and show what was found so far")


def _seconds(options: argparse.Namespace) -> float | None:
    """Return how long the search may take."""
    if options.seconds is not None and not options.seconds >= 0:
        raise Complaint(f"--seconds {options.seconds:g} is below zero; give how long the search may take")
    seconds: float | None = options.seconds
    return seconds


def _within(budget: int | None, usual: int) -> int:
    """Return a budget, the usual one if none was given."""
    if budget is not None and budget < 0:
        raise Complaint(f"--budget {budget} is below zero; give a number from 0 on")
    return usual if budget is None else budget


def _print(options: argparse.Namespace, value: dict[str, Any], text: str) -> None:
    answer(options, lambda: json.dumps(value, indent=1), lambda: text)


def _write(path: str, content: str) -> None:
    """Write a file and say so on standard error, so that JSON on standard output stays whole."""
    write(path, content)
    sys.stderr.write(f"Wrote {path}.\n")
