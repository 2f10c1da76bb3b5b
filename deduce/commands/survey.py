"""The command ``survey``: how far levels and patterns go over collections.

`add_parsers` adds it, and the parsed options hold the function to run as ``run``; it returns the exit code.  What is
wrong with the input is raised as a :class:`deduce.DeduceError`.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from deduce.commands.inputs import Complaint, add_layout_options, layout_from, names_from, write
from deduce.errors import GridError

if TYPE_CHECKING:
    from deduce.surveys.survey import Survey

__all__ = ["add_parsers", "run_survey"]

DONE, NOT_ALL, INTERRUPTED = 0, 1, 130


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    what = "measure how far each level and pattern goes over collections of puzzles"
    parser = subparsers.add_parser(
        "survey",
        help=what,
        description=f"{what[0].upper()}{what[1:]}.",
        epilog="Exit code: 0 every puzzle was answered, 1 some met trouble, 2 bad input, 130 interrupted; the same "
        "command with the same --store then goes on.",
    )
    parser.add_argument("files", nargs="+", metavar="FILE", help="one puzzle a line, or CSV; also .gz and .zst")
    parser.add_argument("--store", metavar="FILE", help="keep the answers in this file, and reuse those that it holds")
    parser.add_argument("--merge", action="store_true", help="the files are stores: bring them together in --store")
    parser.add_argument("--allow", metavar="NAMES", help="what the survey is about, separated by semicolons")
    parser.add_argument(
        "--catalogue", action="store_true", help="leave out counting arguments and suppositions, slow on hard puzzles"
    )
    parser.add_argument("--marginal", action="store_true", help="leave out, and add, each pattern by itself")
    parser.add_argument(
        "--needs", action="store_true", help="find the smallest sets of patterns that solve each puzzle"
    )
    parser.add_argument("--refutation", action="store_true", help="add the level of refutation by singles")
    add_layout_options(parser)
    parser.add_argument("--column", metavar="NAME", help="the column of a CSV file that holds the puzzle")
    parser.add_argument(
        "--bad",
        choices=("raise", "skip", "collect"),
        default="raise",
        help="what happens to records that are no puzzle",
    )
    parser.add_argument("--budget", type=int, metavar="STEPS", help="how many steps a walk may take")
    parser.add_argument("--seconds", type=float, metavar="S", help="how long one puzzle may take")
    parser.add_argument("--retry", action="store_true", help="ask again what met trouble before")
    parser.add_argument("--workers", type=int, metavar="N", help="how many processes; 0 works in this one")
    parser.add_argument("--html", metavar="FILE", help="write tables and charts as one self-contained page")
    parser.add_argument("--csv", metavar="FOLDER", help="write each table as a CSV file into this folder")
    parser.add_argument("--rows", metavar="FILE", help="write one row for each puzzle and level (.csv or .parquet)")
    parser.add_argument(
        "--quiet", action="store_true", help="show no progress, and print only what is not as it should be"
    )
    parser.set_defaults(run=run_survey)


def run_survey(options: argparse.Namespace) -> int:
    """Survey each file and print the tables."""
    from deduce.patterns import PLAIN
    from deduce.surveys.levels import REFUTATION_LEVEL, cumulative
    from deduce.surveys.merging import merge
    from deduce.surveys.store import Store
    from deduce.surveys.survey import survey

    _see(options)
    levels = cumulative(PLAIN if options.catalogue else names_from(options.allow))
    if options.refutation:
        levels = (*levels, REFUTATION_LEVEL)

    def asked(puzzles: str | tuple[str, ...], name: str | None) -> Survey:
        return survey(
            puzzles,
            name=name,
            store=store,
            levels=levels,
            marginal=options.marginal,
            needs=options.needs,
            layout=layout_from(options),
            column=options.column,
            bad=options.bad,
            budget=options.budget,
            seconds=options.seconds,
            retry=options.retry,
            workers=options.workers,
            progress=False if options.quiet else None,
        )

    with Store(options.store) as store:
        try:
            if options.merge:
                for conflict in merge(options.files, store).conflicts:
                    _say(f"{conflict.where}: {conflict.kept} is kept, {conflict.store} says {conflict.other}")
                return _report(asked((), next(iter(store.lists()), None)), options)
            for file, name in _names(options.files).items():
                made = asked(file, name)
                if not made.tally.records:
                    _say(f"{file}: there is no puzzle in it")
                if made.tally.bad:
                    _say(f"{file}: {_counted(made.tally.bad, 'bad record')}")
                    for number, reason, _ in made.bad():
                        _say(f"{file}: record {number}: {reason}")
                before = store.length(made.name) - made.tally.records
                if before > 0:
                    more = _counted(before, "further record")
                    _say(f"{file}: {options.store} knows {more} of it from before; the tables count them too")
            return _report(made, options)
        except GridError as error:
            raise Complaint(f"{error}; --bad skip or --bad collect goes on without such a record") from error
        except KeyboardInterrupt:
            kept = f"what was answered is in {options.store}" if options.store else "nothing is kept without --store"
            _say(f"interrupted; {kept}")
            return INTERRUPTED


def _report(made: Survey, options: argparse.Namespace) -> int:
    """Print and write the tables of all lists, and return the exit code."""
    from deduce.pages.survey import write_csv

    coverage = made.coverage()
    if not options.quiet:
        print(coverage.text())  # noqa: T201 - commands print
    if options.html is not None:
        write(options.html, coverage.page())
    if options.csv is not None:
        try:
            write_csv(coverage, Path(options.csv))
        except OSError as error:
            raise Complaint(f"{options.csv} cannot be written ({error.strerror or error})") from error
    if options.rows is not None:
        _write_rows(options.rows, made)
    troubles = sum(count.troubles for count in coverage.counts.values())
    if troubles:
        _say(f"{_counted(troubles, 'puzzle')} met trouble; --retry asks again")
    return NOT_ALL if troubles else DONE


def _see(options: argparse.Namespace) -> None:
    """Complain about what cannot be right before any work is done."""
    for name, least in (("budget", 0), ("workers", 0)):
        value = getattr(options, name)
        if value is not None and value < least:
            raise Complaint(f"--{name} {value} is below {least}")
    if options.merge and options.store is None:
        raise Complaint("--merge needs a place for everything; give it as --store")
    if options.catalogue and options.allow is not None:
        raise Complaint("--catalogue and --allow both say what the survey is about; give one of them")
    if options.allow is not None and not names_from(options.allow):
        raise Complaint("--allow names no pattern; give names separated by semicolons, or leave it out")
    for name in ("html", "rows"):
        path = getattr(options, name)
        if path is not None and not Path(path).parent.is_dir():
            raise Complaint(f"--{name} {path} cannot be written, since there is no folder {Path(path).parent}")
    if options.seconds is not None and not options.seconds > 0:
        raise Complaint(f"--seconds {options.seconds:g} leaves no time; give more than 0")
    if options.rows is not None and Path(options.rows).suffix not in (".csv", ".parquet"):
        raise Complaint(f"--rows {options.rows} does not say in what form; end the name in .csv or .parquet")


def _names(files: Sequence[str]) -> dict[str, str | None]:
    """Return what tables call each file: its path where two would have the same name, else None for the usual name."""
    from deduce.surveys.reading import called

    usual = {file: called(file) for file in files}
    return {file: file if [*usual.values()].count(name) > 1 else None for file, name in usual.items()}


def _write_rows(path: str, made: Survey) -> None:
    """Write one row for each record and level."""
    from deduce.surveys.export import to_csv, to_parquet

    try:
        (to_csv if path.endswith(".csv") else to_parquet)(made, path)
    except OSError as error:
        raise Complaint(f"{path} cannot be written ({error.strerror or error})") from error


def _counted(count: int, what: str) -> str:
    """Return a number with its noun."""
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def _say(sentence: str) -> None:
    """Print to standard error."""
    print(f"deduce: {sentence}", file=sys.stderr)  # noqa: T201 - commands print
