"""The prose of audits, notes and validity."""

from __future__ import annotations

from collections.abc import Iterable

from deduce.claims.audit import Audit, Judged
from deduce.claims.notes import NotesNeeded, NotesReport
from deduce.claims.verdict import Kind
from deduce.puzzle.grid import Grid
from deduce.solving.truth import Count
from deduce.solving.validity import Validity
from deduce.words.en.names import Names, capital, series
from deduce.words.en.verdicts import an, counted, is_in, listed, note_in, pointed, short

__all__ = ["explain_audit", "explain_needed", "explain_notes", "explain_validity", "remarks", "summary"]

_KINDS = {
    Kind.PROVED: "proved",
    Kind.BROKEN: "broken in their reason",
    Kind.REFUTED: "refuted",
    Kind.UNPROVED: "unproved",
}

_MOST = 3
"""How many of the easier steps that were passed over are named."""


def explain_audit(audit: Audit) -> str:
    """Return an audit as text: a summary, then every line of the log with what is to be said of it."""
    told = [*summary(audit), ""]
    unread: dict[str, int] = {}
    for judged in audit.lines:
        said = f"{judged.line.text}{'  ' * bool(judged.line.text and judged.line.comment)}{judged.line.comment}"
        told += [f"{judged.line.number + i:4}  {row}".rstrip() for i, row in enumerate(said.split("\n"))]
        first = unread.setdefault(judged.line.text.strip(), judged.line.number) if judged.error else judged.line.number
        like = [f"Cannot be read, like line {first}."] if first != judged.line.number else []
        told += [f"      {row}" for remark in like or remarks(audit.grid, judged) for row in remark.split("\n")]
    return "\n".join(told)


def summary(audit: Audit) -> list[str]:
    """Return what is to be said of a log as a whole, one sentence each."""
    moves = audit.moves
    counts = [f"{number} {_KINDS[Kind(kind)]}" for kind, number in audit.counts.items() if number]
    told = [f"{capital(counted(len(moves), 'move'))}: {series(counts)}." if moves else "The log has no moves."]
    told += _of_puzzle(audit.count)
    for sentence, some in (
        ("{} cannot be read.", [judged for judged in audit.lines if judged.error]),
        ("The log first goes wrong in {}.", [audit.first_wrong] if audit.first_wrong else []),
        ("{} can be proved only because of a wrong line.", [judged for judged in moves if judged.follows]),
        ("The reason fails in {}.", _of_kind(moves, Kind.BROKEN)),
        ("Nothing that was tried proves {}.", _of_kind(moves, Kind.UNPROVED)),
        ("Something easier was on the board in {}.", [judged for judged in moves if judged.easier]),
        ("No placement of the log rests on {}.", [judged for judged in moves if judged.unused]),
    ):
        if some:
            told.append(capital(sentence.format(_lines(judged.line.number for judged in some))))
    told.append("The log ends in the solution." if audit.end.solved else "The log does not end in a solved grid.")
    return told


def _of_kind(moves: Iterable[Judged], kind: Kind) -> list[Judged]:
    return [judged for judged in moves if judged.verdict and judged.verdict.kind is kind]


def remarks(grid: Grid, judged: Judged) -> list[str]:
    """Return what is to be said of one line."""
    error, verdict = judged.error, judged.verdict
    told: list[str] = []
    if error is not None:
        told.append(f"Cannot be read: {error.problem}; {error.expected}.")
        told += [f"{' ' * (error.column - 1)}^"] if error.column and not judged.line.notes else []
    elif judged.line.undoes:
        told.append("The move before this one is taken back.")
    if judged.notes is not None:
        told.append(explain_notes(judged.notes))
    if verdict is None:
        return told
    name = verdict.others[0].pattern.name if verdict.others else ""
    simpler = f"There is a simpler reason: {an(name)}."
    if verdict.proofs and name == verdict.proofs[0].pattern.name:
        simpler = f"There is a simpler {name}."
    broken = verdict.kind is Kind.BROKEN
    otherwise = f"It can be proved otherwise, in {counted(len(verdict.others), 'step')}." if name else ""
    told += [
        short(verdict),
        pointed(verdict),
        otherwise or ("It is true all the same." if verdict.true else "") if broken else "",
        simpler if verdict.reason_holds and name else "",
        f"It follows from {_lines(judged.follows)}, which is wrong." if judged.follows else "",
        f"Easier and passed over: {listed(map(str, judged.easier), _MOST)}." if judged.easier else "",
        f"Left out, though the reason gives it: {series(_noted(grid, judged.left_out))}." if judged.left_out else "",
        "No placement of the log rests on this." if judged.unused else "",
    ]
    return [*filter(None, told)]


def explain_notes(report: NotesReport) -> str:
    """Return the findings about a person's notes as text."""
    grid = report.grid
    layout = grid.layout
    told = _of_puzzle(report.count)
    if report.clean:
        told.append("The notes are in order.")
    forbidden = [f"{note_in(grid, c)} (seen by {layout.cell_name(cell)})" for c, cell in report.forbidden]
    for title, found in (
        ("Wrong digits", _noted(grid, report.wrong)),
        ("Missing although it is the answer", _noted(grid, report.lost)),
        ("Noted although a placed digit forbids it", forbidden),
        ("Noted although it has been ruled out", _noted(grid, report.stale)),
        ("Missing although still possible, without harm", _noted(grid, report.missing)),
        ("Not filled in", [*map(layout.cell_name, report.unfilled)]),
    ):
        if found:
            told.append(f"{title}: {series(found)}.")
    return "\n".join(told)


def _noted(grid: Grid, candidates: Iterable[int]) -> list[str]:
    return [note_in(grid, c) for c in candidates]


def explain_needed(grid: Grid, needed: Iterable[NotesNeeded]) -> str:
    """Return the notes that a walk needs, one line for each step that asks for something.

    Parameters
    ----------
    grid : Grid
        Where the walk starts.
    needed : iterable of NotesNeeded
        What `notes_needed` returned.
    """
    names = Names(grid.layout)
    filled: set[int] = set()
    told = []
    for need in needed:
        parts = []
        if need.fill:
            parts.append(f"fill in {_cells(grid, names, need.fill, filled)}")
            filled.update(need.fill)
        parts += _scans(names, need.scan)
        if need.recall:
            gone = (f"{note_in(grid, c)} ({f'step {step}' if step else 'your notes'})" for c, step in need.recall)
            parts.append(f"remember what has gone: {series(gone)}")
        if parts:
            told.append(f"Before step {need.step}: {series(parts)}.")
    return "\n".join(told) if told else "No notes are needed."


def _cells(grid: Grid, names: Names, cells: tuple[int, ...], filled: set[int]) -> str:
    """Name cells, by their house where that leaves none of its open cells without notes."""
    left = {*cells}
    parts = []
    for h, house in enumerate(grid.layout.houses):
        open_cells = {*names.open_cells(grid, h)}
        if len(open_cells & left) > 2 and open_cells <= filled | {*cells}:
            parts.append(house.name)
            left -= open_cells
    return series([*parts, *map(names.cell, sorted(left))])


def _scans(names: Names, scans: tuple[tuple[int, int], ...]) -> list[str]:
    """Say which houses to scan for which digit, the houses of one digit together."""
    houses: dict[int, list[int]] = {}
    for house, digit in scans:
        houses.setdefault(digit, []).append(house)
    return [f"scan {series(names.by_kind(houses[d]))} for {names.digit(d)}" for d in sorted(houses)]


def explain_validity(found: Validity) -> str:
    """Return what can be said of a puzzle as text."""
    grid = found.grid
    clues = grid.givens.bit_count() or grid.true.bit_count()
    told = [f"{capital(counted(clues, 'clue'))}."]
    names = Names(grid.layout)
    if found.count is Count.UNKNOWN:
        known = "a solution was found, but whether it is the only one" if found.solutions else "whether there is one"
        told.append(f"The search for solutions was cut off by its budget: {known} is not known.")
    elif found.count is Count.MANY:
        cells = names.cells(found.differ)
        told.append(f"More than one solution. Two of them differ in {counted(len(found.differ), 'cell')}: {cells}.")
        told.append("\n\n".join(map(str, found.solutions)))
    elif found.count is Count.ONE:
        told.append("Exactly one solution.")
        told += _redundant(found)
    else:
        told.append("No solution.")
        told += [f"{capital(finding.sentence)}." for finding in grid.status()]
        told += _conflicting(found)
    return "\n".join(told)


def _redundant(found: Validity) -> list[str]:
    """Say which clues could go."""
    grid = found.grid
    if not found.redundant:
        return ["No clue could be left out."]
    if len(found.redundant) == 1:
        return [f"{note_in(grid, found.redundant[0])} could go."]
    told = f"Each of these clues could be left out: {series(_noted(grid, found.redundant))}."
    if len(found.spare) < 2:
        return [told, "No two of them could be left out together."]
    return [told, f"Together one could leave out {series(_noted(grid, found.spare))}, and then no further one."]


def _conflicting(found: Validity) -> list[str]:
    """Say which clues conflict."""
    conflict, grid = found.conflict, found.grid
    if conflict is None:
        return ["Which clues conflict was not found within the budget."]
    if not conflict.clues:
        return ["No grid of this layout has a solution, whatever the clues."]
    clues = series(is_in(grid, c) for c in conflict.clues)
    size = counted(len(conflict.clues), "clue")
    if conflict.smallest:
        return [f"{capital(size)} conflict, and no fewer do: {clues}."]
    return [
        f"{capital(size)} conflict, and none of them could go: {clues}.",
        f"Whether fewer do is not known; at least {conflict.at_least} are needed.",
    ]


def _of_puzzle(count: Count) -> list[str]:
    """Warn of a puzzle that does not have one solution."""
    return {
        Count.MANY: ["The puzzle has more than one solution; what is true is what holds in all of them."],
        Count.NONE: ["The puzzle has no solution."],
        Count.UNKNOWN: ["How many solutions the puzzle has is not known."],
    }.get(count, [])


def _lines(numbers: Iterable[int]) -> str:
    told = [*map(str, numbers)]
    return f"line{'' if len(told) == 1 else 's'} {series(told)}"
