"""The commands of planning: ``plan``, ``prune``, ``stuck``, ``themes`` and ``compare``."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping
from typing import Any

from deduce.commands.command import CommandResult, waiting
from deduce.commands.inputs import (
    Complaint,
    grid_asked,
    grids_from,
    layout_from,
    names_asked,
    names_from,
    note,
    say,
    text_from,
    write,
)
from deduce.errors import OutOfTime
from deduce.pages.compare import compare_page, compare_picture
from deduce.planning.compare import against_best, claimed_walk, compare
from deduce.planning.plan import BUDGET, plan
from deduce.planning.plan_data import comparison_data, plan_data, pruned_data, stuck_data, theme_data
from deduce.planning.showcases import LeftOut, themed_puzzle, themes
from deduce.planning.stuck import stuck_point
from deduce.walks.effort import SIMPLE
from deduce.walks.prune import needed_steps, prune
from deduce.walks.walk import walk
from deduce.words.en.planning import compare_text, plan_text, pruned_text, searched_text, stuck_text, theme_text

__all__ = ["COMMANDS"]

OBJECTIVES = {
    "steps": "fewest advanced steps",
    "effort": "least total effort",
    "peak": "least peak effort",
    "patterns": "fewest distinct patterns",
    "alike": "most alike",
}
"""The words of the command line for `deduce.walks.Objective`."""

Files = Mapping[str | None, Callable[[], str]]


def _told(good: bool, value: dict[str, Any], words: str, files: Files) -> CommandResult:
    return CommandResult(0 if good else 1, lambda: words, lambda: json.dumps(value, indent=1), files)


def _simple(options: argparse.Namespace) -> list[str]:
    """Return what counts as simple."""
    return [*SIMPLE] if options.simple is None else names_from(options.simple) or []


def _plan(options: argparse.Namespace) -> CommandResult:
    """Return the best plan; 0 if there is one, 1 if not."""
    found = plan(
        grid_asked(options),
        names_from(options.allow, "--allow"),
        objective=OBJECTIVES[options.objective],
        preferred=names_from(options.prefer) or (),
        forbidden=names_from(options.forbid) or (),
        required=names_from(options.require) or (),
        simple=_simple(options),
        budget=BUDGET if options.budget is None else options.budget,
        assume_unique=options.assume_unique,
        seconds=options.seconds,
    )
    return _told(found.exists, plan_data(found), plan_text(found), {options.page: found.walk.page})


def _prune(options: argparse.Namespace) -> CommandResult:
    """Return the pruned walk; 0 if it reaches the solution or the goal, 1 if the walk got stuck."""
    walked = walk(grid_asked(options), names_asked(options), assume_unique=options.assume_unique)
    goal = names_from(options.goal, "--goal")
    kept = needed_steps(walked, goal)
    pruned = prune(walked, goal, narrow=options.narrow)
    told = pruned_data(walked, pruned, kept), pruned_text(walked, pruned, kept)
    return _told(walked.solved or goal is not None, *told, {options.page: pruned.page})


def _stuck(options: argparse.Namespace) -> CommandResult:
    """Return what there is to see; 0 if there is anything, 1 if not."""
    point = stuck_point(
        grid_asked(options),
        names_asked(options),
        simple=_simple(options),
        assume_unique=options.assume_unique,
        seconds=options.seconds,
    )
    return _told(bool(point.deductions), stuck_data(point), f"{point.grid.pencil()}\n\n{stuck_text(point)}", {})


def _themes(options: argparse.Namespace) -> CommandResult | int:
    """Print the puzzles that show what is wanted as they are found; 0 if there are any.

    With ``--make`` return a new puzzle and the plan that opens it.
    """
    if (options.make is None) == (options.collection is None):
        raise Complaint("give either a collection to search, or --make with a seed")
    layout = layout_from(options)
    wanted, allowed = names_from(options.show, "--show") or (), names_asked(options)
    if options.make is not None:
        limits = {"layout": layout, "symmetry": options.symmetry, "budget": int(options.budget)}
        with waiting("themes"):
            made = themed_puzzle(options.make, wanted, allowed, **limits, assume_unique=options.assume_unique)
        words = f"{made.walk.start}\n{made.walk.start.line()}\n{plan_text(made)}"
        return _told(True, plan_data(made), words, {})
    reasons: list[LeftOut] = []
    shown = themes(
        grids_from(options.collection, layout=layout),
        wanted,
        allowed,
        assume_unique=options.assume_unique,
        left_out=lambda _, why: reasons.append(why),
        seconds=options.seconds,
    )
    told: list[str] = []
    try:
        while True:
            with waiting("themes"):
                theme = next(shown, None)
            if theme is None:
                break
            told.append(json.dumps(theme_data(theme)) if options.json else theme_text(theme))
            if options.out is None:
                say(told[-1])
    except OutOfTime as error:
        note(f"deduce: {error}")
    if options.out is not None:
        write(options.out, "".join(f"{one}\n" for one in told))
    note(searched_text(len(told), reasons))
    return 0 if told else 1


def _compare(options: argparse.Namespace) -> CommandResult:
    """Return two walks side by side; 0 if both reach the solution, 1 if not."""
    grid = grid_asked(options)
    if options.claims is None:
        first = walk(grid, names_asked(options), assume_unique=options.assume_unique)
    elif options.allow is None and options.forbid is None:
        claims = text_from(options.claims, "one claim a line").splitlines()
        first = claimed_walk(grid, [line for line in claims if line.strip()])
    else:
        raise Complaint("--allow and --claims both give the first walk; use one of them")
    second = names_from(options.against, "--against")
    if second is None:
        compared = against_best(first, seconds=options.seconds)
    else:
        compared = compare(first, walk(grid, second, assume_unique=options.assume_unique))
    files: Files = {options.svg: lambda: compare_picture(compared), options.page: lambda: compare_page(compared)}
    both = compared.first.solved and compared.second.solved
    return _told(both, comparison_data(compared), compare_text(compared), files)


COMMANDS = {"plan": _plan, "prune": _prune, "stuck": _stuck, "themes": _themes, "compare": _compare}
