"""The commands ``check``, ``export`` and ``schema``, with the catalogue to look at the patterns' names."""

from __future__ import annotations

import argparse
from functools import partial

from deduce.commands.inputs import Complaint, add_layout_options, grid_from, layout_from
from deduce.exchange import commands
from deduce.patterns.catalogue import fault
from deduce.puzzle.grid import Grid

__all__ = ["add_parsers"]


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of `deduce.exchange`, and let ``check`` be told which puzzle is expected."""
    commands.add_parsers(subparsers, fault)
    check = subparsers.choices["check"]
    check.add_argument("--puzzle", metavar="PUZZLE", help="the puzzle (text, a file or -) that it has to be about")
    check.add_argument("--number", type=int, metavar="N", help="which puzzle, where --puzzle holds several")
    add_layout_options(check)
    check.set_defaults(run=partial(commands.run_check, fault=fault, wanted=_wanted))


def _wanted(options: argparse.Namespace) -> Grid | None:
    """Return the puzzle that a document has to be about, if one was named."""
    if options.puzzle is None:
        if options.number is not None or options.layout is not None or options.order is not None:
            raise Complaint("--number, --layout and --order say which puzzle is expected; name it with --puzzle")
        return None
    if options.puzzle == "-" and options.file == "-":
        raise Complaint("the document and --puzzle cannot both be standard input; give one of them as a file")
    return grid_from(options.puzzle, number=options.number, layout=layout_from(options))
