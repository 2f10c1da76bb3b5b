"""The commands ``walk``, which is also what a bare puzzle means, and ``simplest``: the least counting argument."""

from __future__ import annotations

import argparse

from deduce.commands.command import CommandResult, nothing
from deduce.commands.inputs import Complaint, grid_asked, names_asked
from deduce.counting.costs import COSTS, cost_named
from deduce.errors import BudgetSpent
from deduce.kernel import Counting, check
from deduce.pictures.themes import THEMES
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions
from deduce.walks.walk import walk
from deduce.words.en.explain import headline, outcome

__all__ = ["COMMANDS"]

NODES = 20_000


def _walk(options: argparse.Namespace) -> CommandResult:
    """Walk one puzzle."""
    grid = grid_asked(options)
    if options.step is not None and options.svg is None:
        raise Complaint("--step says what --svg draws; give --svg FILE as well")
    if options.page is None and (options.stage or options.title or options.author):
        raise Complaint("--title, --author and --stage are about --page; give --page FILE as well")
    names = names_asked(options)
    limits = {"assume_unique": options.assume_unique, "trials": options.trials, "seconds": options.seconds}
    walked = walk(grid, names, options.budget, **limits)
    checked = f"The kernel has checked {len(walked.check())} of {len(walked)} proofs."

    def words() -> str:
        if options.quiet:
            return f"{outcome(walked)}\n{checked}"
        told = walked.words() if options.story is None else walked.story().words(options.story or "paragraph")
        return f"{grid}\n\n{_validity(grid)}\n\n{told}\n{checked}"

    def drawn() -> str:
        number = _step(options.step, [step.proof.effort for step in walked.steps])
        theme = options.theme if options.theme in THEMES else "light"
        return walked.steps[number - 1].proof.picture(theme=theme)

    looks = {name: getattr(options, name) for name in ("title", "author", "lang", "stage")}
    files = {
        options.svg: drawn,
        options.page: lambda: walked.page(theme=options.theme or "auto", **looks),
        options.story_json: lambda: walked.story().to_json(),
    }
    return CommandResult(0 if walked.solved else 1, words, walked.to_json, files)


def _validity(grid: Grid) -> str:
    """Say how many solutions the grid has."""
    faults = grid.status()
    if faults:
        return "The grid is impossible: " + "; ".join(map(str, faults)) + "."
    try:
        found = list(solutions(grid, 2, budget=NODES))
    except BudgetSpent as error:
        return f"Whether there is exactly one solution is not known: {error}."
    if len(found) < 2:
        return f"The grid has {'exactly one' if found else 'no'} solution."
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


def _simplest(options: argparse.Namespace) -> CommandResult:
    """Find one counting argument."""
    grid = grid_asked(options)
    names = names_asked(options)
    if names is not None:
        grid = walk(grid, names).grid
    if grid.solved:
        return nothing("The grid is solved; there is nothing left to conclude.")
    try:
        proof = _least(grid, options)
    except BudgetSpent as error:
        return nothing(f"Not known: {error}.")
    if proof is None:
        what = "anything here" if options.candidate is None else f"{options.candidate} here"
        return nothing(f"No counting argument settles {what}; a supposition may (the command walk finds it).")
    check(grid, proof)
    said = [f"{grid}\n", headline(proof)]
    if options.level != "line":
        said.append(proof.words(level=options.level))
    said.append(_measured(grid, proof, options.cost))
    return CommandResult(0, lambda: "\n".join(said), proof.to_json, {options.svg: proof.picture})


def _least(grid: Grid, options: argparse.Namespace) -> Proof | None:
    """Return the argument that was asked for."""
    from deduce.counting import simplest, smallest
    from deduce.counting.least import NODES

    candidate = options.candidate
    budget = NODES if options.budget is None else options.budget
    if candidate is None:
        return simplest(grid, cost=options.cost, budget=budget)
    number = grid.number(candidate)
    if grid.true >> number & 1 or not grid.live >> number & 1:
        settled = "placed" if grid.true >> number & 1 else "ruled out"
        raise Complaint(f"{candidate} is {settled} already; ask about a candidate that is still open")
    return smallest(grid, candidate, cost=options.cost, budget=budget)


def _measured(grid: Grid, proof: Proof, cost: str) -> str:
    """Say what the argument costs and whether that is known to be least."""
    argument = proof.inferences[0].argument
    price = cost_named(cost, grid.model, grid.layout).of(argument) if isinstance(argument, Counting) else 0
    unit = f"{price} constraint{'' if price == 1 else 's'}" if cost == COSTS[0] else f"a cost of {price}"
    no, one = ("no contradiction", "another") if proof.contradiction else ("none", "one")
    proved = (
        f"{no} is cheaper: proved" if proof.proved_smallest else f"whether {one} is cheaper is not known: budget spent"
    )
    return f"The kernel has checked it. It takes {unit}; {proved}."


COMMANDS = {"walk": _walk, "simplest": _simplest}
