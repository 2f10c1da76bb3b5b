"""The command ``simplest``: the least counting argument of a position, or of one candidate."""

from __future__ import annotations

import argparse

from deduce.commands.inputs import (
    Complaint,
    add_grid_options,
    add_json_options,
    answer,
    grid_asked,
    names_from,
    note,
    say,
    write,
)
from deduce.counting.costs import COSTS
from deduce.errors import BudgetSpent
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["add_parsers", "run_simplest"]

FOUND, NOT_FOUND = 0, 1


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = subparsers.add_parser(
        "simplest",
        help="the cheapest counting argument in a position, proved cheapest",
        description="Find the counting argument of least cost that concludes anything in a position, or with "
        "--candidate the one that settles this candidate. It is searched for among all sums of constraints, so nothing "
        "cheaper exists if it is said to be proved.",
        epilog="Exit code: 0 an argument was found, 1 there is none or the budget was spent before one was found, "
        "2 bad input.",
    )
    add_grid_options(parser)
    parser.add_argument("--candidate", metavar="5r4c7", help="settle this candidate: digit, then cell")
    parser.add_argument("--allow", metavar="NAMES", help="first walk with these patterns, separated by semicolons")
    parser.add_argument("--cost", choices=COSTS, default=COSTS[0], help="what is least (default: %(default)s)")
    parser.add_argument("--budget", type=int, metavar="N", help="branchings allowed for each candidate")
    levels = ("where", "name", "line", "paragraph", "full")
    parser.add_argument("--level", choices=levels, default="paragraph", help="how much is said")
    add_json_options(parser)
    parser.add_argument("--svg", metavar="FILE", help="write its picture")
    parser.set_defaults(run=run_simplest)


def run_simplest(options: argparse.Namespace) -> int:
    """Find one argument, print it, and write what was asked for."""
    from deduce.counting.least import NODES
    from deduce.kernel import check
    from deduce.words.en.explain import headline

    budget = NODES if options.budget is None else options.budget
    if budget < 0:
        raise Complaint(f"--budget {budget} is below zero; give a number of branchings")
    grid = _position(options)
    if grid.solved:
        say("The grid is solved; there is nothing left to conclude.")
        return NOT_FOUND
    try:
        proof = _found(grid, options.candidate, options.cost, budget)
    except BudgetSpent as error:
        say(f"Not known: {error}.")
        return NOT_FOUND
    if proof is None:
        what = "anything here" if options.candidate is None else f"{options.candidate} here"
        say(f"No counting argument settles {what}; a supposition may (the command walk finds it).")
        return NOT_FOUND
    check(grid, proof)
    told = [f"{grid}\n", headline(proof)]
    if options.level != "line":
        told.append(proof.words(level=options.level))
    answer(options, proof.to_json, lambda: "\n".join([*told, _measured(grid, proof, options.cost)]))
    if options.svg is not None:
        write(options.svg, proof.picture())
        (note if options.json else say)(f"Wrote {options.svg}.")
    return FOUND


def _position(options: argparse.Namespace) -> Grid:
    """Return the grid, walked with the patterns that were to come first."""
    grid = grid_asked(options)
    if options.allow is None:
        return grid
    from deduce.walks.walk import walk

    return walk(grid, names_from(options.allow, "--allow")).grid


def _found(grid: Grid, candidate: str | None, cost: str, budget: int) -> Proof | None:
    """Return the argument that was asked for."""
    from deduce.counting import simplest, smallest

    if candidate is None:
        return simplest(grid, cost=cost, budget=budget)
    number = grid.number(candidate)
    if grid.true >> number & 1:
        raise Complaint(f"{candidate} is placed already; ask about a candidate that is still open")
    if not grid.live >> number & 1:
        raise Complaint(f"{candidate} is ruled out already; ask about a candidate that is still open")
    return smallest(grid, candidate, cost=cost, budget=budget)


def _measured(grid: Grid, proof: Proof, cost: str) -> str:
    """Say what the argument costs and whether that is known to be least."""
    from deduce.counting.costs import cost_named
    from deduce.kernel import Counting

    argument = proof.inferences[0].argument
    price = cost_named(cost, grid.model, grid.layout).of(argument) if isinstance(argument, Counting) else 0
    unit = f"{price} constraint{'' if price == 1 else 's'}" if cost == COSTS[0] else f"a cost of {price}"
    no, one = ("no contradiction", "another") if proof.contradiction else ("none", "one")
    proved = (
        f"{no} is cheaper: proved" if proof.proved_smallest else f"whether {one} is cheaper is not known: budget spent"
    )
    return f"The kernel has checked it. It takes {unit}; {proved}."
