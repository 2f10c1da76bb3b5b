"""The commands ``judge``, ``audit``, ``notes`` and ``status``."""

from __future__ import annotations

import argparse
from typing import Any

from deduce.claims.audit import audit
from deduce.claims.notes import compare_notes, notes_needed
from deduce.claims.reply import ask
from deduce.claims.verdict import FaultKind, Kind, Verdict
from deduce.commands.command import CommandResult, distinct, parser_of
from deduce.commands.inputs import Complaint, grid_asked, text_from
from deduce.envelope import enveloped
from deduce.puzzle.grid import Grid
from deduce.solving.truth import Count
from deduce.solving.validity import validity
from deduce.walks.walk import walk
from deduce.words.en.audits import explain_needed

__all__ = ["COMMANDS"]

AT_START = "\nThis was judged at the start of the puzzle; --step N judges it at the board before step N of the walk."


def _judge(options: argparse.Namespace) -> CommandResult:
    """Judge one claim, or answer one question."""
    said = _options_behind(options)
    if said[:1] == ["--"]:
        said = said[1:]
    if not said:
        raise Complaint("there is no claim; give one such as 'r8c3 <> 6'")
    claim = text_from("-").strip() if said == ["-"] else " ".join(said)
    board = _board(options)
    found = ask(board, claim, options.about)
    if not isinstance(found, Verdict):
        if options.page or options.svg:
            raise Complaint("--page and --svg show claims; for a question leave them out")
        return CommandResult(0, found.words, found.to_json)
    drawn = {options.page: found.page, options.svg: found.picture}
    code = 0 if found.kind is Kind.PROVED else 1
    spoil = options.spoil
    lacking = found.fault is not None and found.fault.kind is FaultKind.NOT_THERE
    hint = AT_START if lacking and board.true == board.givens else ""
    return CommandResult(code, lambda: found.words(spoil=spoil) + hint, lambda: found.to_json(spoil=spoil), drawn)


def _board(options: argparse.Namespace) -> Grid:
    """Return the position of a claim: the puzzle, or with ``--step`` the board before that step of its walk."""
    grid = grid_asked(options)
    if options.step is None:
        return grid
    wanted: int = options.step
    steps = walk(grid, budget=max(wanted, 1)).steps
    if not 1 <= wanted <= len(steps):
        raise Complaint(f"--step {wanted} is not there; the walk has {len(steps)} steps, numbered from 1")
    return steps[wanted - 1].before


def _options_behind(options: argparse.Namespace) -> list[str]:
    """Take the options that stand behind the puzzle out of the words of a claim, and return what is left.

    A claim may begin with a minus (``-6r8c3``), so argparse is not asked to tell the two apart: what is no option of
    the command, written out in full, belongs to the claim.
    """
    words = options.claim
    cut = words.index("--") if "--" in words else len(words)
    _, said = parser_of("judge", dashed=True).parse_known_args(words[:cut], options)
    options.claim = [*said, *words[cut:]]
    distinct(options)
    return [*options.claim]


def _audit(options: argparse.Namespace) -> CommandResult:
    """Judge a log."""
    found = audit(grid_asked(options), text_from(options.log, "one move a line"))
    return CommandResult(0 if found.flawless else 1, found.words, found.to_json, {options.page: found.page})


def _notes(options: argparse.Namespace) -> CommandResult:
    """Compare notes, or say which a walk needs."""
    grid = grid_asked(options)
    if options.notes is not None:
        report = compare_notes(grid, text_from(options.notes))
        return CommandResult(0 if report.clean else 1, report.words, report.to_json)
    walked = walk(grid)
    needed = notes_needed(walked)
    told: dict[str, Any] = {"outcome": walked.outcome.value, "steps": [need.to_dict(grid) for need in needed]}
    code = 0 if walked.solved else 1
    return CommandResult(code, lambda: explain_needed(grid, needed), lambda: enveloped("notes-needed", told))


def _status(options: argparse.Namespace) -> CommandResult:
    """Say what can be said of a puzzle as such."""
    found = validity(grid_asked(options))
    return CommandResult(0 if found.count is Count.ONE else 1, found.words, found.to_json)


COMMANDS = {"judge": _judge, "audit": _audit, "notes": _notes, "status": _status}
