"""The commands of proof documents: ``check``, ``export`` and ``schema``.

Each is a pair of functions for :mod:`argparse`: one adds its parser, one runs it and returns the exit code.  What is
wrong with the input is raised as a :class:`deduce.DeduceError`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from deduce.commands.inputs import Complaint, add_json_options, add_layout_options, answer, grid_from, layout_from, say
from deduce.envelope import enveloped, schema_of, schemas
from deduce.errors import ExchangeError
from deduce.exchange.clausal import to_clausal
from deduce.exchange.document import Document, format_text, proof_to_line, schema
from deduce.exchange.pseudo_boolean import PROOF_VERSIONS, to_pseudo_boolean
from deduce.exchange.reader import MAX_TEXT
from deduce.exchange.stated import differences, stated
from deduce.exchange.verify import JudgedStep, verify
from deduce.puzzle.grid import Grid

__all__ = ["add_parsers", "read_document", "run_check", "run_export", "run_schema"]

VERIFIED, NOT_VERIFIED = 0, 1
ENDINGS = {"opb": (".opb", ".pbp"), "lrat": (".cnf", ".lrat"), "drat": (".cnf", ".drat")}


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the three commands; the parsed options hold the function to run as ``run``."""
    check = subparsers.add_parser(
        "check",
        help="verify the steps of a proof document",
        description="Say what puzzle a proof document is about - layout, rules, givens, and names that mislead - then "
        "verify every step of it and print a verdict for each.",
        epilog="Exit code: 0 every step is verified, 1 some step is not, there is none, or the puzzle is not the "
        "expected one, 2 the file cannot be read.",
    )
    check.add_argument("file", help="a proof document, or - for standard input")
    check.add_argument("--step", type=int, metavar="N", help="check this step alone, where the document says it stands")
    add_json_options(check)
    check.add_argument("--puzzle", metavar="PUZZLE", help="the puzzle (text, a file or -) that it has to be about")
    check.add_argument("--number", type=int, metavar="N", help="which puzzle, where --puzzle holds several")
    add_layout_options(check)
    check.set_defaults(run=run_check)
    export = subparsers.add_parser(
        "export",
        help="write a proof document in a standard proof format",
        description="Write a proof document for checkers of standard proof formats, or one proof a line.",
        epilog="Exit code: 0 written, 2 the file cannot be read, a step is refused, or the format cannot express it. "
        "Who checks what. --to opb, a checker of pseudo-Boolean proofs: veripb x.opb x.pbp (0.3a0 has accepted "
        "--proof-version 1.2; 3.0 was held against its grammar only). --to lrat, a checker of clausal proofs with "
        "hints: lrat-trim -S x.cnf x.lrat (exit code 0, or 20 for a contradiction), or cake_lpr x.cnf x.lrat (read "
        "what it prints). --to drat, a checker of clausal proofs without hints: drat-trim x.cnf x.drat -f -U (prints s "
        "DERIVATION). Sums are spelled out in clauses; where that takes too many, the refusal names opb. --to json, "
        "this library, or the second checker in deduce/pages/checker.mjs: python -m deduce check x.json. --to line: "
        "the same, a line a file.",
    )
    export.add_argument("file", help="a proof document, or - for standard input")
    export.add_argument("--to", choices=(*ENDINGS, "json", "line"), required=True, help="the format")
    export.add_argument("--output", metavar="NAME", help="write NAME with the endings of the format, not to the screen")
    export.add_argument("--proof-version", choices=PROOF_VERSIONS, default=PROOF_VERSIONS[0], help="of --to opb")
    export.add_argument("--premises-only", action="store_true", help="leave unused rules out of a DIMACS formula")
    export.add_argument(
        "--assume-unique", action="store_true", help="state what rests on a unique solution as further axioms"
    )
    export.set_defaults(run=run_export)
    printed = subparsers.add_parser(
        "schema",
        help="print the JSON Schema of proof documents, of stories, or of the JSON that a command prints",
        description="Print the JSON Schema (2020-12) of a form of documents, or with --text what proof documents mean.",
        epilog="Exit code: 0 printed, 2 there is no such format.",
    )
    names = ("proof", "story", *schemas())
    printed.add_argument("name", nargs="?", choices=names, default="proof", metavar="NAME", help=", ".join(names))
    printed.add_argument("--text", action="store_true", help="print what documents mean, as Markdown")
    printed.add_argument("--of", type=int, metavar="VERSION", help="which version; by default the newest")
    printed.set_defaults(run=run_schema)


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
    return Document.from_json(text)


def run_check(options: argparse.Namespace) -> int:
    """Say what puzzle a document is about, verify it, names of patterns too, and print a verdict for each step."""
    from deduce.patterns.catalogue import fault

    document = read_document(options.file)
    expected = _wanted(options)
    count = len(document.proofs)
    if options.step is not None and not 1 <= options.step <= count:
        raise ExchangeError("steps", f"--step {options.step}", f"a step from 1 to {count}" if count else "some step")
    puzzle = stated(document.start)
    other = () if expected is None else differences(document.start, expected)
    if not options.json:
        for line in puzzle.lines():
            say(line)
    if other:
        if options.json:
            report = {"verified": False, "puzzle": puzzle.value(), "differs from the expected puzzle": other}
            answer(options, lambda: enveloped("check", report), str)
        else:
            say(f"This is not the expected puzzle: {'; '.join(other)}. No step was looked at.")
        return NOT_VERIFIED
    verdicts = verify(document, fault, only=options.step)
    good = bool(verdicts) and all(verdict.verified for verdict in verdicts)
    if options.json:
        report = {"verified": good, "puzzle": puzzle.value(), "steps": [*map(_report, verdicts)]}
        report["taken as given"] = _taken(document)
        answer(options, lambda: enveloped("check", report), str)
        return VERIFIED if good else NOT_VERIFIED
    for verdict in verdicts:
        say(f"step {verdict.number}, {verdict.proof}: {verdict.judgement.value}{_why(verdict)}")
        if verdict.proof.assumes:
            say(f"    rests on a person's notes: no {', no '.join(map(str, verdict.proof.assumes))}")
        if verdict.proof.assumes_unique:
            say("    assumes that the puzzle has exactly one solution")
    for what, amount in _taken(document).items():
        say(f"Taken as given besides the puzzle: {amount} {what}.")
    say(_summary(verdicts, document, options.step))
    return VERIFIED if good else NOT_VERIFIED


def _wanted(options: argparse.Namespace) -> Grid | None:
    """Return the puzzle that a document has to be about, if one was named."""
    if options.puzzle is None:
        if options.number is not None or options.layout is not None or options.order is not None:
            raise Complaint("--number, --layout and --order say which puzzle is expected; name it with --puzzle")
        return None
    if options.puzzle == "-" and options.file == "-":
        raise Complaint("the document and --puzzle cannot both be standard input; give one of them as a file")
    return grid_from(options.puzzle, number=options.number, layout=layout_from(options))


def run_export(options: argparse.Namespace) -> int:
    """Write a document in another form."""
    document = read_document(options.file)
    if options.to == "json":
        texts = {".json": document.to_json()}
    elif options.to == "line":
        texts = {".txt": "".join(f"{proof_to_line(proof)}\n" for proof in document.proofs)}
    elif options.to == "opb":
        files = to_pseudo_boolean(document, version=options.proof_version, assume_unique=options.assume_unique)
        texts = dict(zip(ENDINGS["opb"], (files.formula, files.proof), strict=True))
    else:
        files = to_clausal(
            document,
            form=options.to.upper(),
            premises_only=options.premises_only,
            assume_unique=options.assume_unique,
        )
        texts = dict(zip(ENDINGS[options.to], (files.formula, files.proof), strict=True))
    for ending, text in texts.items():
        if options.output is None:
            sys.stdout.write(text)
            continue
        try:
            Path(options.output + ending).write_text(text, encoding="utf-8")
        except OSError as error:
            raise ExchangeError(
                "", f"{options.output}{ending} cannot be written ({error.strerror})", "a path"
            ) from error
        say(f"Wrote {options.output}{ending}.")
    return VERIFIED


def run_schema(options: argparse.Namespace) -> int:
    """Print a JSON Schema, or the description of the format."""
    if options.text:
        sys.stdout.write(format_text())
    elif options.name not in ("proof", "story"):
        sys.stdout.write(schema_of(options.name))
    else:
        try:
            sys.stdout.write(schema(f"deduce-{options.name}", options.of))
        except ValueError as error:
            raise Complaint(f"--of: {error}") from error
    return VERIFIED


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


def _why(verdict: JudgedStep) -> str:
    return f" ({verdict.problem})" if verdict.problem else ""


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
