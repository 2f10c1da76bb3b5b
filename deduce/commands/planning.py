"""The commands of planning: ``plan``, ``prune``, ``stuck``, ``themes`` and ``compare``.

Each parser's options hold the function to run as ``run``; it prints and returns the exit code.  What is wrong with the
input is raised as a :class:`deduce.DeduceError`, or as a ValueError with a sentence for the user.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from deduce.commands.inputs import add_layout_options, layout_from
from deduce.errors import GridError
from deduce.puzzle.generate import SYMMETRIES
from deduce.puzzle.grid import Grid
from deduce.puzzle.text import puzzles

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
    plan = _parser(subparsers, "plan", "search for the line of deduction that suits best", run_plan)
    _grid_options(plan)
    plan.add_argument("--allow", metavar="NAMES", help="what advanced steps may use, separated by semicolons")
    plan.add_argument("--forbid", metavar="NAMES", help="what no step may use")
    plan.add_argument("--prefer", metavar="NAMES", help="what advanced steps should use")
    plan.add_argument("--require", metavar="NAMES", help="what the plan must not be able to do without")
    plan.add_argument("--simple", metavar="NAMES", help="what counts as simple; by default the two singles")
    plan.add_argument("--objective", choices=tuple(OBJECTIVES), default="steps", help="what makes a plan good")
    plan.add_argument("--budget", type=int, metavar="POSITIONS", help="how many positions to look at")
    plan.add_argument("--page", metavar="FILE", help="write the plan as one self-contained HTML page")
    prune = _parser(subparsers, "prune", "walk, and keep only the steps that are needed", run_prune)
    _grid_options(prune)
    prune.add_argument("--patterns", metavar="NAMES", help="what the walk may use")
    prune.add_argument("--goal", metavar="CANDIDATES", help="what is to be settled, such as '5r4c7; 2r1c1'")
    prune.add_argument("--narrow", action="store_true", help="also drop conclusions that nothing needs")
    prune.add_argument("--page", metavar="FILE", help="write the walk as one self-contained HTML page")
    stuck = _parser(subparsers, "stuck", "look around where simple steps run dry", run_stuck)
    _grid_options(stuck)
    stuck.add_argument("--allow", metavar="NAMES", help="what to look for")
    stuck.add_argument("--simple", metavar="NAMES", help="what counts as simple; by default the two singles")
    themes = _parser(subparsers, "themes", "find the puzzles of a collection that show a pattern", run_themes)
    themes.add_argument("collection", nargs="?", help="a file that holds puzzles, or - for standard input")
    themes.add_argument("--show", metavar="NAMES", required=True, help="the patterns wanted, separated by semicolons")
    themes.add_argument("--allow", metavar="NAMES", help="what walks may use")
    add_layout_options(themes)
    themes.add_argument("--make", type=int, metavar="SEED", help="make a puzzle instead that cannot do without them")
    themes.add_argument("--symmetry", choices=tuple(SYMMETRIES), help="of the places of clues, with --make")
    themes.add_argument("--budget", type=int, default=500, metavar="PUZZLES", help="how many puzzles --make may try")
    compare = _parser(subparsers, "compare", "compare two walks of one puzzle", run_compare)
    _grid_options(compare)
    compare.add_argument("--first", metavar="NAMES", help="what the first walk may use; by default everything")
    compare.add_argument("--second", metavar="NAMES", help="what the second walk may use; by default the best plan")
    compare.add_argument("--claims", metavar="FILE", help="take the first walk from claims, one a line")
    compare.add_argument("--svg", metavar="FILE", help="write the two walks side by side as a picture")
    compare.add_argument("--page", metavar="FILE", help="write them as one self-contained HTML page")


def run_plan(options: argparse.Namespace) -> int:
    """Print the best plan; 0 if there is one, 1 if not."""
    from deduce.pictures.plan_words import plan_text
    from deduce.walks.effort import SIMPLE
    from deduce.walks.plan import BUDGET, plan
    from deduce.walks.plan_data import plan_data

    found = plan(
        _grid(options),
        _names(options.allow),
        objective=OBJECTIVES[options.objective],
        preferred=_names(options.prefer) or (),
        forbidden=_names(options.forbid) or (),
        required=_names(options.require) or (),
        simple=SIMPLE if options.simple is None else _names(options.simple) or (),
        budget=BUDGET if options.budget is None else options.budget,
    )
    _print(options, plan_data(found), plan_text(found))
    if options.page is not None:
        _write(options.page, found.walk.page())
    return DONE if found.exists else NOT_DONE


def run_prune(options: argparse.Namespace) -> int:
    """Print the pruned walk; 0 if it reaches the solution or the goal, 1 if the walk got stuck."""
    from deduce.pictures.plan_words import pruned_text
    from deduce.walks.plan_data import pruned_data
    from deduce.walks.prune import needed_steps, prune
    from deduce.walks.walk import walk

    walked = walk(_grid(options), _names(options.patterns))
    goal = _names(options.goal)
    kept = needed_steps(walked, goal)
    pruned = prune(walked, goal, narrow=options.narrow)
    _print(options, pruned_data(walked, pruned, kept), pruned_text(walked, pruned, kept))
    if options.page is not None:
        _write(options.page, pruned.page())
    return DONE if walked.solved or goal is not None else NOT_DONE


def run_stuck(options: argparse.Namespace) -> int:
    """Print what there is to see; 0 if there is anything, 1 if not."""
    from deduce.pictures.plan_words import stuck_text
    from deduce.walks.effort import SIMPLE
    from deduce.walks.plan_data import stuck_data
    from deduce.walks.stuck import stuck_point

    simple = SIMPLE if options.simple is None else _names(options.simple) or ()
    point = stuck_point(_grid(options), _names(options.allow), simple=simple)
    _print(options, stuck_data(point), f"{point.grid.pencil()}\n\n{stuck_text(point)}")
    return DONE if point.deductions else NOT_DONE


def run_themes(options: argparse.Namespace) -> int:
    """Print the puzzles that show what is wanted, one JSON value a line with ``--json``; 0 if there are any.

    With ``--make`` print a new puzzle and the plan that opens it.
    """
    from deduce.pictures.plan_words import plan_text, theme_text
    from deduce.walks.plan_data import plan_data, theme_data
    from deduce.walks.themes import themed_puzzle, themes

    if (options.make is None) == (options.collection is None):
        raise ValueError("give either a collection to search, or --make with a seed")
    layout = layout_from(options)
    if options.make is not None:
        made = themed_puzzle(
            options.make,
            _names(options.show) or (),
            _names(options.allow),
            layout=layout,
            symmetry=options.symmetry,
            budget=options.budget,
        )
        _print(options, plan_data(made), f"{made.walk.start}\n{made.walk.start.line()}\n{plan_text(made)}")
        return DONE
    grids = [Grid.parse(text, layout) for text in puzzles(_read(options.collection), layout)]
    found = NOT_DONE
    for theme in themes(grids, _names(options.show) or (), _names(options.allow)):
        found = DONE
        _say(json.dumps(theme_data(theme)) if options.json else theme_text(theme))
    return found


def run_compare(options: argparse.Namespace) -> int:
    """Print two walks side by side; 0 if both reach the solution, 1 if not."""
    from deduce.pictures.compare_page import compare_page, compare_picture
    from deduce.pictures.plan_words import compare_text
    from deduce.walks.compare import against_best, claimed_walk, compare
    from deduce.walks.plan_data import comparison_data
    from deduce.walks.walk import walk

    grid = _grid(options)
    if options.claims is None:
        first = walk(grid, _names(options.first))
    elif options.first is None:
        first = claimed_walk(grid, [line for line in _read(options.claims).splitlines() if line.strip()])
    else:
        raise ValueError("--first and --claims both give the first walk; use one of them")
    second = _names(options.second)
    compared = against_best(first) if second is None else compare(first, walk(grid, second))
    _print(options, comparison_data(compared), compare_text(compared))
    if options.svg is not None:
        _write(options.svg, compare_picture(compared))
    if options.page is not None:
        _write(options.page, compare_page(compared))
    return DONE if compared.first.solved and compared.second.solved else NOT_DONE


def _parser(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, run: Any
) -> argparse.ArgumentParser:
    """Add a parser with what all of them have."""
    parser = subparsers.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.set_defaults(run=run)
    return parser


def _grid_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("puzzle", help="a grid, a file that holds one or more, or - for standard input")
    parser.add_argument("--number", type=int, default=1, metavar="N", help="which puzzle of a file (from 1)")
    add_layout_options(parser)


def _names(text: str | None) -> list[str] | None:
    """Split a list at its semicolons; None if it was not given."""
    return None if text is None else [name.strip() for name in text.split(";") if name.strip()]


def _read(source: str) -> str:
    """Return the text of standard input, of a file, or of the argument itself."""
    if source == "-":
        return sys.stdin.read()
    path = Path(source)
    try:
        if path.is_file():
            return path.read_text(encoding="utf-8-sig")
    except (OSError, ValueError):  # too long or too odd for a path, or no text: it is a grid, or reading it will tell
        pass
    return source


def _grid(options: argparse.Namespace) -> Grid:
    """Return the puzzle that was asked for."""
    layout = layout_from(options)
    if layout is not None and options.puzzle == "empty":
        return Grid.empty(layout)
    found: Sequence[str] = puzzles(_read(options.puzzle), layout)
    if not 1 <= options.number <= len(found):
        raise GridError(f"--number {options.number} is not there", f"the input holds {len(found)}, numbered from 1")
    return Grid.parse(found[options.number - 1], layout)


def _print(options: argparse.Namespace, value: dict[str, Any], text: str) -> None:
    _say(json.dumps(value, indent=1) if options.json else text)


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def _write(path: str, content: str) -> None:
    """Write a file and say so on standard error, so that JSON on standard output stays whole."""
    Path(path).write_text(content, encoding="utf-8")
    sys.stderr.write(f"Wrote {path}.\n")
