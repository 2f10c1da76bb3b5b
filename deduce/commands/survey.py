"""The command ``survey``: how far levels and patterns go over collections."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from deduce.commands.inputs import Complaint, layout_from, names_from, note, say, write, writing
from deduce.errors import GridError

if TYPE_CHECKING:
    from deduce.surveys.survey import Survey

__all__ = ["COMMANDS"]

DONE, NOT_ALL, INTERRUPTED = 0, 1, 130

_ASKED = ("marginal", "needs", "column", "bad", "budget", "seconds", "retry", "workers")


def _survey(options: argparse.Namespace) -> int:
    """Survey each file and print the tables."""
    from deduce.patterns import PLAIN
    from deduce.surveys.levels import REFUTATION_LEVEL, cumulative
    from deduce.surveys.merging import merge
    from deduce.surveys.store import Store
    from deduce.surveys.survey import survey

    _see(options)
    levels = cumulative(PLAIN if options.catalogue else names_from(options.allow, "--allow"))
    if options.refutation:
        levels = (*levels, REFUTATION_LEVEL)
    layout = layout_from(options)
    asked = {name: getattr(options, name) for name in _ASKED}
    asked |= {"levels": levels, "layout": layout, "progress": False if options.quiet else None}
    empty = False
    with Store(options.store) as store:
        try:
            if options.merge:
                for conflict in merge(options.files, store).conflicts:
                    _note(f"{conflict.where}: {conflict.kept} is kept, {conflict.store} says {conflict.other}")
                made = survey((), name=next(iter(store.lists()), None), store=store, **asked)
                return _report(made, options, not store.lists())
            for file, name in _names(options.files).items():
                made = survey(file, name=name, store=store, **asked)
                if not made.tally.records:
                    empty = True
                    _note(f"{file}: there is no puzzle in it")
                if made.tally.bad:
                    _note(f"{file}: {_counted(made.tally.bad, 'bad record')}")
                    for number, reason, _ in made.bad():
                        _note(f"{file}: record {number}: {reason}")
                before = store.length(made.name) - made.tally.records
                if before > 0:
                    more = _counted(before, "further record")
                    _note(f"{file}: {options.store} knows {more} of it from before; the tables count them too")
            return _report(made, options, empty)
        except GridError as error:
            raise Complaint(f"{error}; --bad skip or --bad collect goes on without such a record") from error
        except KeyboardInterrupt:
            kept = f"what was answered is in {options.store}" if options.store else "nothing is kept without --store"
            _note(f"interrupted; {kept}")
            return INTERRUPTED


def _report(made: Survey, options: argparse.Namespace, empty: bool) -> int:
    """Print and write the tables of all lists, and return the exit code."""
    from deduce.pages.survey import write_csv
    from deduce.surveys.export import to_csv, to_parquet

    coverage = made.coverage()
    if not options.quiet:
        say(coverage.text())
    if options.html is not None:
        write(options.html, coverage.page())
    if options.csv is not None:
        with writing(options.csv):
            write_csv(coverage, Path(options.csv))
    if options.rows is not None:
        with writing(options.rows):
            (to_csv if options.rows.endswith(".csv") else to_parquet)(made, options.rows)
    troubles = sum(count.troubles for count in coverage.counts.values())
    if troubles:
        _note(f"{_counted(troubles, 'puzzle')} met trouble; --retry asks again")
    return NOT_ALL if troubles or empty else DONE


def _see(options: argparse.Namespace) -> None:
    """Complain about what cannot be right before any work is done."""
    if options.merge and options.store is None:
        raise Complaint("--merge needs a place for everything; give it as --store")
    if options.catalogue and options.allow is not None:
        raise Complaint("--catalogue and --allow both say what the survey is about; give one of them")
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


def _counted(count: int, what: str) -> str:
    """Return a number with its noun."""
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def _note(sentence: str) -> None:
    note(f"deduce: {sentence}")


COMMANDS = {"survey": _survey}
