"""The commands ``judge``, ``audit``, ``notes`` and ``status``.

Each is a pair of functions for :mod:`argparse`: `add_parsers` adds all four, and the parsed options hold the function
to run as ``run``; it returns the exit code.  What is wrong with the input is raised as a :class:`deduce.DeduceError`.
"""

from __future__ import annotations

import argparse
from typing import Any

from deduce.commands.inputs import (
    Complaint,
    add_grid_options,
    add_json_options,
    answer,
    grid_asked,
    say,
    text_from,
    write,
)
from deduce.envelope import enveloped
from deduce.puzzle.grid import Grid

__all__ = ["add_parsers", "run_audit", "run_judge", "run_notes", "run_status"]

GOOD, NOT_GOOD = 0, 1


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the four commands."""
    judge = _command(
        subparsers,
        "judge",
        "say whether a claim about a puzzle is true, whether it is proved, and whether its reason proves it; or answer "
        "what may stand in a cell, where a digit may go, whether a step is the easiest and what it needs",
        "Exit code: 0 proved or answered, 1 broken, refuted or unproved, 2 bad input.",
    )
    judge.add_argument(
        "claim",
        nargs=argparse.REMAINDER,
        metavar="CLAIM",
        help="such as 'r8c3 <> 6 because naked pair 67 r1c3 r2c3'; - reads it from standard input",
    )
    _judge_options(judge)
    judge.set_defaults(run=run_judge)
    audit = _command(
        subparsers,
        "audit",
        "judge a solve log move by move",
        "Exit code: 0 every line is proved as it stands, 1 some line is not, 2 bad input.",
    )
    audit.add_argument("log", help="a file with one move a line, or - for standard input")
    audit.add_argument("--page", metavar="FILE", help="write the audit as one self-contained HTML page")
    audit.set_defaults(run=run_audit)
    notes = _command(
        subparsers,
        "notes",
        "compare a person's notes with a puzzle, or say which notes a walk needs before each step",
        "Exit code: 0 the notes are in order, or the walk is solved; 1 they are not, or it is not; 2 bad input.",
    )
    notes.add_argument("notes", nargs="?", help="a candidate grid to compare (a file, or - for standard input)")
    notes.set_defaults(run=run_notes)
    status = _command(
        subparsers,
        "status",
        "count the solutions of a puzzle and find redundant and conflicting clues",
        "Exit code: 0 exactly one solution, 1 none, several or not known, 2 bad input.",
    )
    status.set_defaults(run=run_status)


def _command(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, codes: str
) -> argparse.ArgumentParser:
    """Add a command with what all four take."""
    parser = subparsers.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.", epilog=codes)
    _options(parser, puzzle=True)
    return parser


def _options(parser: argparse.ArgumentParser, *, puzzle: bool) -> None:
    """Add the options that all four take."""
    add_json_options(parser)
    add_grid_options(parser, puzzle=puzzle)


def _judge_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--spoil", action="store_true", help="show the solution against a claim that is false")
    parser.add_argument("--about", metavar="CLAIM", help="the step that a question about this step means")


def run_judge(options: argparse.Namespace) -> int:
    """Judge one claim, or answer one question."""
    from deduce.claims.reply import ask
    from deduce.claims.verdict import Kind, Verdict

    said = _options_behind(options)
    if said[:1] == ["--"]:
        said = said[1:]
    if not said:
        raise Complaint("there is no claim; give one such as 'r8c3 <> 6'")
    if said == ["-"] and options.puzzle == "-":
        raise Complaint("puzzle and claim cannot both come from standard input")
    claim = text_from("-").strip() if said == ["-"] else " ".join(said)
    found = ask(grid_asked(options), claim, options.about)
    if not isinstance(found, Verdict):
        answer(options, found.to_json, found.words)
        return GOOD
    answer(options, lambda: found.to_json(spoil=options.spoil), lambda: found.words(spoil=options.spoil))
    return GOOD if found.kind is Kind.PROVED else NOT_GOOD


def _options_behind(options: argparse.Namespace) -> list[str]:
    """Take the options that stand behind the puzzle out of the words of a claim, and return what is left.

    A claim may begin with a minus (``-6r8c3``), so argparse is not asked to tell the two apart: what is no option of
    the command, written out in full, belongs to the claim.
    """
    behind = argparse.ArgumentParser(prog="python -m deduce judge", add_help=False, allow_abbrev=False)
    _options(behind, puzzle=False)
    _judge_options(behind)
    words = options.claim
    cut = words.index("--") if "--" in words else len(words)
    _, said = behind.parse_known_args(words[:cut], options)
    return [*said, *words[cut:]]


def run_audit(options: argparse.Namespace) -> int:
    """Judge a log."""
    from deduce.claims.audit import audit

    if options.log == options.puzzle == "-":
        raise Complaint("puzzle and log cannot both come from standard input")
    found = audit(grid_asked(options), text_from(options.log))
    answer(options, found.to_json, found.words)
    if options.page is not None:
        write(options.page, found.page())
        if not options.json:
            say(f"Wrote the audit to {options.page}.")
    return GOOD if found.flawless else NOT_GOOD


def run_notes(options: argparse.Namespace) -> int:
    """Compare notes, or say which a walk needs."""
    if options.notes == options.puzzle == "-":
        raise Complaint("puzzle and notes cannot both come from standard input")
    grid = grid_asked(options)
    if options.notes is not None:
        return _compare(options, grid)
    from deduce.claims.notes import notes_needed
    from deduce.walks.walk import walk
    from deduce.words.en.audits import explain_needed

    walked = walk(grid)
    needed = notes_needed(walked)
    names, layout = grid.model.names, grid.layout
    told: dict[str, Any] = {"outcome": walked.outcome.value}
    told["steps"] = [
        {
            "step": need.step,
            "fill": [layout.cell_name(cell) for cell in need.fill],
            "scan": [{"house": layout.houses[h].name, "digit": layout.symbols[d - 1]} for h, d in need.scan],
            "remember": [{"candidate": names[c], "step": step} for c, step in need.recall],
        }
        for need in needed
    ]
    answer(options, lambda: enveloped("notes-needed", told), lambda: explain_needed(grid, needed))
    return GOOD if walked.solved else NOT_GOOD


def _compare(options: argparse.Namespace, grid: Grid) -> int:
    from deduce.claims.notes import compare_notes

    report = compare_notes(grid, text_from(options.notes))
    answer(options, report.to_json, report.words)
    return GOOD if report.clean else NOT_GOOD


def run_status(options: argparse.Namespace) -> int:
    """Say what can be said of a puzzle as such."""
    from deduce.solving.truth import Count
    from deduce.solving.validity import validity

    found = validity(grid_asked(options))
    answer(options, found.to_json, found.words)
    return GOOD if found.count is Count.ONE else NOT_GOOD
