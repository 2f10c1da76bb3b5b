"""The commands of proof documents: ``check``, ``export`` and ``schema``."""

from __future__ import annotations

import argparse
import sys
from functools import partial
from pathlib import Path
from typing import Any

from deduce.commands.command import CommandResult
from deduce.commands.inputs import Complaint, grid_from, layout_from
from deduce.envelope import enveloped, schema_of, schemas
from deduce.errors import ExchangeError
from deduce.exchange.clausal import to_clausal
from deduce.exchange.document import FORMAT, Document, format_text, proof_from_line, proof_to_line, schema
from deduce.exchange.pseudo_boolean import to_pseudo_boolean
from deduce.exchange.reader import MAX_TEXT
from deduce.exchange.stated import differences, stated
from deduce.exchange.verify import JudgedStep, verify
from deduce.puzzle.grid import Grid

__all__ = ["COMMANDS", "read_document"]

ENDINGS = {"opb": (".opb", ".pbp"), "lrat": (".cnf", ".lrat"), "drat": (".cnf", ".drat")}


def read_document(source: str) -> Document:
    """Read a proof document from a file, or from standard input for ``-``.

    Raises
    ------
    ExchangeError
        If it cannot be read as UTF-8 text, or is no proof document.
    """
    try:
        if source == "-":
            data = sys.stdin.buffer.read(4 * MAX_TEXT + 1)
        else:
            with Path(source).open("rb") as file:
                data = file.read(4 * MAX_TEXT + 1)
        text = data.decode("utf-8-sig")
    except (OSError, ValueError) as error:  # ValueError: bytes that are no UTF-8, or a name that is no path
        why = (isinstance(error, OSError) and error.strerror) or error
        raise ExchangeError("", f"{source} cannot be read ({why})", "a file of UTF-8 text") from error
    if text.lstrip().startswith(FORMAT):
        return Document.of_proof(proof_from_line(text))
    return Document.from_json(text)


def _check(options: argparse.Namespace) -> CommandResult:
    """Say what puzzle a document is about, verify it, names of patterns too, with a verdict for each step."""
    from deduce.patterns.catalogue import fault

    document = read_document(options.file)
    expected = _wanted(options)
    count = len(document.proofs)
    if options.step is not None and not 1 <= options.step <= count:
        raise ExchangeError("steps", f"--step {options.step}", f"a step from 1 to {count}" if count else "some step")
    puzzle = stated(document.start)
    other = () if expected is None else differences(document.start, expected)
    verdicts = () if other else verify(document, fault, only=options.step)
    good = bool(verdicts) and all(verdict.verified for verdict in verdicts)
    report: dict[str, Any] = {"verified": good, "puzzle": puzzle.value()}
    told = [*puzzle.lines()]
    if other:
        report["differs from the expected puzzle"] = other
        told.append(f"This is not the expected puzzle: {'; '.join(other)}. No step was looked at.")
    else:
        report |= {"steps": [*map(_report, verdicts)], "taken as given": _taken(document)}
        told += [line for verdict in verdicts for line in _lines(verdict)]
        told += [f"Taken as given besides the puzzle: {count} {what}." for what, count in _taken(document).items()]
        told.append(_summary(verdicts, document, options.step))
    return CommandResult(0 if good else 1, lambda: "\n".join(told), lambda: enveloped("check", report))


def _lines(verdict: JudgedStep) -> list[str]:
    """Return what is to be said of a step."""
    why = f" ({verdict.problem})" if verdict.problem else ""
    told = [f"step {verdict.number}, {verdict.proof}: {verdict.judgement.value}{why}"]
    if verdict.proof.assumes:
        told.append(f"    rests on a person's notes: no {', no '.join(map(str, verdict.proof.assumes))}")
    if verdict.proof.assumes_unique:
        told.append("    assumes that the puzzle has exactly one solution")
    return told


def _wanted(options: argparse.Namespace) -> Grid | None:
    """Return the puzzle that a document has to be about, if one was named."""
    if options.puzzle is None:
        if options.number is not None or options.layout is not None or options.order is not None:
            raise Complaint("--number, --layout and --order say which puzzle is expected; name it with --puzzle")
        return None
    return grid_from(options.puzzle, number=options.number, layout=layout_from(options))


def _export(options: argparse.Namespace) -> CommandResult:
    """Write a document in another form."""
    document = read_document(options.file)
    if options.to == "json":
        texts = {".json": document.to_json()}
    elif options.to == "line":
        texts = {".txt": "".join(f"{proof_to_line(proof)}\n" for proof in document.proofs)}
    else:
        unique = options.assume_unique
        if options.to == "opb":
            files = to_pseudo_boolean(document, version=options.proof_version, assume_unique=unique)
        else:
            files = to_clausal(
                document, form=options.to.upper(), premises_only=options.premises_only, assume_unique=unique
            )
        texts = dict(zip(ENDINGS[options.to], (files.formula, files.proof), strict=True))
    if options.output is None:
        return CommandResult(0, lambda: "".join(texts.values()))
    return CommandResult(0, str, files={options.output + ending: partial(str, text) for ending, text in texts.items()})


def _schema(options: argparse.Namespace) -> CommandResult:
    """Print a JSON Schema, or the description of the format."""
    if options.text:
        return CommandResult(0, format_text)
    name = options.name or "proof"
    if name in schemas():
        return CommandResult(0, lambda: schema_of(name))
    if name not in ("proof", "story"):
        raise Complaint(f"there is no schema {name}; the names are: {', '.join(('proof', 'story', *schemas()))}")
    try:
        found = schema(f"deduce-{name}", options.of)
    except ValueError as error:
        raise Complaint(f"--of: {error}") from error
    return CommandResult(0, lambda: found)


def _report(verdict: JudgedStep) -> dict[str, Any]:
    """Return a verdict as plain values."""
    report: dict[str, Any] = {
        "step": verdict.number,
        "pattern": verdict.proof.pattern.name,
        "conclusion": verdict.proof.conclusion(),
        "verdict": verdict.judgement.value,
    }
    if verdict.problem:
        report["problem"] = verdict.problem
    if verdict.error is not None:
        report["inference"] = list(verdict.error.step)
    report["unconditional"] = verdict.unconditional
    report["rests on notes"] = list(map(str, verdict.proof.assumes))
    report["assumes unique"] = verdict.proof.assumes_unique
    return report


def _taken(document: Document) -> dict[str, int]:
    """Count what the first position holds that the puzzle does not state and no step proves."""
    start = document.start
    entered = start.true & ~start.givens
    cleared = document.cleared
    counts = {
        "entered digits": entered.bit_count(),
        "candidates ruled out before": (cleared & ~start.live & ~start.assumed).bit_count(),
        "candidates ruled out by a person's notes": (cleared & ~start.live & start.assumed).bit_count(),
    }
    return {what: amount for what, amount in counts.items() if amount}


def _summary(verdicts: tuple[JudgedStep, ...], document: Document, step: int | None) -> str:
    """Say how many steps are verified and which is the first that is not."""
    if not verdicts:
        return "There is no step, so nothing is proved."
    good = sum(verdict.verified for verdict in verdicts)
    if step is not None:
        word = "verified" if good else "not verified"
        return f"Step {step} of {len(document.proofs)} is {word}; what comes before it was not looked at."
    said = f"{good} of {len(verdicts)} steps verified"
    noted = good - sum(verdict.unconditional for verdict in verdicts)
    said += f", {noted} of them only if a person's notes are right" * bool(noted)
    bad = next((verdict for verdict in verdicts if not verdict.verified), None)
    return f"{said}." if bad is None else f"{said}; the first that is not is step {bad.number}."


COMMANDS = {"check": _check, "export": _export, "schema": _schema}
