"""Audit: a solve log judged move by move."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from deduce.claims.claim import Claim
from deduce.claims.judge import by_reason, judge_with
from deduce.claims.log_text import Line, read_log
from deduce.claims.notes import NotesReport, compare_knowing
from deduce.claims.seek import Seeker
from deduce.claims.verdict import Fault, Kind, Verdict, concluded, proof_fields
from deduce.envelope import enveloped, filled
from deduce.errors import ClaimError, TextError
from deduce.kernel import check
from deduce.patterns import find
from deduce.patterns.singles import SINGLES
from deduce.positions import bits, united
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.truth import NODES, Count, SolutionFacts, facts_of
from deduce.walks.prune import restated
from deduce.walks.replay import as_walk, moved_by, rests_on
from deduce.walks.walk import Walk
from deduce.window import ShownAudit

__all__ = ["Audit", "Judged", "audit"]


@dataclass(frozen=True, slots=True)
class Judged:
    """One line of a log with what is to be said of it.

    Parameters
    ----------
    line : Line
        The line.
    verdict : Verdict, optional
        For a move: the verdict in the position that the true moves before it have led to.
    easier : tuple of Proof
        The singles that were on the board while the move used something else; if there were none, the first deduction
        that comes before its pattern in the catalogue.
    left_out : tuple of int
        Candidates that the reason also eliminates or places and that the line does not claim.
    follows : tuple of int
        Numbers of wrong lines: the reason holds only because of what they removed.
    uses : tuple of int
        Numbers of the lines whose results the move rests on.
    used_by : tuple of int
        Numbers of the lines that rest on it.
    unused : bool
        Whether it eliminates something and no placement of the log rests on that, directly or by way of others.
    notes : NotesReport, optional
        For a candidate grid: how it compares with the position of the log.
    """

    line: Line
    verdict: Verdict | None = None
    easier: tuple[Proof, ...] = ()
    left_out: tuple[int, ...] = ()
    follows: tuple[int, ...] = ()
    uses: tuple[int, ...] = ()
    used_by: tuple[int, ...] = ()
    unused: bool = False
    notes: NotesReport | None = None

    @property
    def error(self) -> TextError | None:
        """Why the line could not be read."""
        return self.line.error


@dataclass(frozen=True, slots=True)
class Audit(ShownAudit):
    """A solve log with a verdict on every move.

    Parameters
    ----------
    grid : Grid
        Where the log begins.
    count : Count
        How many solutions the puzzle has.
    lines : tuple of Judged
        Every line of the log, comments and blanks too.
    end : Grid
        The position after all moves, as the log has it.
    sound : Grid
        The position after those moves alone that no solution is against.
    """

    grid: Grid
    count: Count
    lines: tuple[Judged, ...]
    end: Grid
    sound: Grid

    @property
    def moves(self) -> tuple[Judged, ...]:
        """The lines that are moves."""
        return tuple(judged for judged in self.lines if judged.verdict is not None)

    @property
    def counts(self) -> dict[str, int]:
        """How many moves got each verdict, in the order of the verdicts."""
        found = Counter(judged.verdict.kind for judged in self.moves if judged.verdict)
        return {kind.value: found[kind] for kind in Kind}

    @property
    def first_wrong(self) -> Judged | None:
        """The first move against which there is a solution."""
        return next((judged for judged in self.moves if judged.verdict and judged.verdict.kind is Kind.REFUTED), None)

    def walk(self) -> Walk:
        """Return the walk along the moves that are proved, in the order of the log, ready to be told or recorded.

        Every proof is checked again in its turn; one that rests on a move that is left out is left out as well.
        """
        proofs: list[Proof] = []
        position = self.grid
        for judged in self.moves:
            kept = judged.verdict.proofs if judged.verdict and judged.verdict.kind is Kind.PROVED else ()
            for proof in kept:
                moved = restated(proof, position)
                if moved is not None:
                    proofs.append(moved)
                    position = position.moved(check(position, moved).after, moved)
        return as_walk(self.grid, proofs)

    @property
    def flawless(self) -> bool:
        """Whether every line could be read and every move is proved as the log says."""
        return self.counts[Kind.PROVED] == len(self.moves) and not any(judged.error for judged in self.lines)

    def to_dict(self) -> dict[str, Any]:
        """Return the audit as plain data; members that have nothing to say are left out."""
        first = self.first_wrong
        return {
            "puzzle": self.grid.line(),
            "solutions": self.count.value,
            "counts": self.counts,
            "unreadable": sum(judged.error is not None for judged in self.lines),
            "flawless": self.flawless,
            "first_wrong": first.line.number if first else None,
            "follows_from_wrong": [judged.line.number for judged in self.moves if judged.follows],
            "unused": [judged.line.number for judged in self.moves if judged.unused],
            "solved": self.end.solved,
            "lines": [_fields(self.grid, judged) for judged in self.lines],
        }

    def to_json(self) -> str:
        """Return the audit as JSON text."""
        return enveloped("audit", self.to_dict())

    def __repr__(self) -> str:
        told = ", ".join(f"{number} {kind}" for kind, number in self.counts.items() if number)
        return f"<Audit of {len(self.moves)} moves: {told or 'none'}>"


def audit(grid: Grid, moves: str | Iterable[str], *, budget: int = NODES, steps: int | None = None) -> Audit:
    """Judge a solve log move by move, in order.

    Parameters
    ----------
    grid : Grid
        The puzzle, or the position in which the log begins.
    moves : str or iterable of str
        The log; see `deduce.walks.read_log` for its form.
    budget : int
        How many positions each search for a solution may branch on.
    steps : int, optional
        How many steps a walk in search of a proof may take.

    Returns
    -------
    Audit
        Every line with its verdict.  A line that cannot be read is kept with its error and passed over.

    Notes
    -----
    Two positions are kept: the log's own, and one in which refuted moves have not been made.  Moves are judged in the
    second.  A move whose reason fails there and holds in the first follows from a wrong one.

    Examples
    --------
    >>> grid = Grid.parse("..24......1..2..")
    >>> audit(grid, ["r2c1 = 2 by hidden single", "r2c2 = 3 # a slip"])
    <Audit of 2 moves: 1 proved, 1 refuted>
    """
    facts = facts_of(grid, budget)
    course = _Course(grid, facts, steps)
    judged = [course.judge(line) for line in read_log(grid.layout, moves)]
    return Audit(grid, facts.count, _with_uses(judged), course.own, course.sound)


class _Course:
    """Where a log has come to.

    Parameters
    ----------
    grid : Grid
        Where it begins.
    facts : SolutionFacts
        The solutions of the puzzle.
    steps : int, optional
        The budget of walks.
    """

    def __init__(self, grid: Grid, facts: SolutionFacts, steps: int | None) -> None:
        self.facts = facts
        self.steps = steps
        self.own = self.sound = grid
        self.wrongly: dict[int, int] = {}
        self.removed: dict[int, int] = {}
        self.before: list[tuple[Grid, Grid, dict[int, int], dict[int, int]]] = []

    def judge(self, line: Line) -> Judged:
        """Judge one line and make its move."""
        if line.notes:
            return Judged(line, notes=compare_knowing(self.own, line.notes, self.facts))
        if line.undoes:
            if not self.before:
                error = ClaimError("there is no move to take back", "make one first", text=line.text, line=line.number)
                return Judged(replace(line, error=error))
            self.own, self.sound, self.wrongly, self.removed = self.before.pop()
        if line.claim is None:
            return Judged(line)
        seeker = Seeker(self.sound, self.facts, self.steps)
        verdict = judge_with(seeker, line.claim)
        follows = self._follows(line.claim) if verdict.kind is not Kind.PROVED else ()
        rested = united(map(rests_on, verdict.leading))
        used = {self.removed[c] for c in bits(rested) if c in self.removed}
        easier = _easier(seeker, verdict)
        self.before.append((self.own, self.sound, self.wrongly, self.removed))
        self._move(line, verdict)
        return Judged(line, verdict, easier, verdict.also, follows, tuple(sorted(used)))

    def _follows(self, claim: Claim) -> tuple[int, ...]:
        """Return the wrong lines because of which a move can be proved in the log's own position."""
        if not self.wrongly:
            return ()
        seeker = Seeker(self.own, replace(self.facts, count=Count.UNKNOWN), self.steps)
        if claim.reason is None:
            found: Fault | tuple[Proof, ...] = seeker.one_step(claim.eliminates, claim.places)
        else:
            found = by_reason(self.own, claim, seeker)
        proofs = () if isinstance(found, Fault) else found
        needed = united([*map(rests_on, proofs), *(_alone(self.own, candidate) for candidate in claim.places)])
        return tuple(sorted({self.wrongly[c] for c in bits(needed) if c in self.wrongly}))

    def _move(self, line: Line, verdict: Verdict) -> None:
        """Make a move in the log's own position, and in the sound one unless a solution is against it."""
        eliminates, places = verdict.claim.eliminates, verdict.claim.places
        if not verdict.claim.candidates and verdict.proof is not None:
            eliminates, places = concluded(verdict.proof)
        before, sound = self.own.live, self.sound.live
        self.own = moved_by(self.own, eliminates, places, *verdict.leading)
        if verdict.kind is Kind.REFUTED:
            self.wrongly = dict.fromkeys(bits(before & ~self.own.live), line.number) | self.wrongly
        else:
            self.sound = moved_by(self.sound, eliminates, places, *verdict.leading)
            self.removed = dict.fromkeys(bits(sound & ~self.sound.live), line.number) | self.removed


def _alone(grid: Grid, candidate: int) -> int:
    """Return the candidates whose absence makes a candidate a single; nothing if it is none.

    A log that has gone wrong may have left a rule that can no longer be met, and then nothing else is found.
    """
    masks = (grid.layout.masks[number] for number in grid.layout.touching[candidate])
    return next((mask & ~grid.live for mask in masks if grid.live & mask == 1 << candidate), 0)


def _easier(seeker: Seeker, verdict: Verdict) -> tuple[Proof, ...]:
    """Return what was on the board and easier than what a move used."""
    if verdict.proof is None or verdict.proofs[0].pattern.name in SINGLES:
        return ()
    singles = {proof.conclusion(): proof for proof in reversed([*find(seeker.grid, SINGLES)]) if proof.places}
    if singles:
        return tuple(reversed(singles.values()))
    first = next(seeker.available(), None)
    return (first,) if first is not None and seeker.earlier(first, verdict.proofs[0]) else ()


def _with_uses(lines: list[Judged]) -> tuple[Judged, ...]:
    """Complete each line with those that rest on it, and say which eliminations no placement rests on."""
    used_by: dict[int, set[int]] = {}
    for judged in lines:
        for number in judged.uses:
            used_by.setdefault(number, set()).add(judged.line.number)
    useful: set[int] = set()
    for judged in reversed(lines):
        verdict, number = judged.verdict, judged.line.number
        proofs = (*verdict.proofs, *verdict.others) if verdict else ()
        places = verdict is not None and (verdict.claim.places or any(proof.places for proof in proofs))
        if places or used_by.get(number, set()) & useful:
            useful.add(number)
    return tuple(
        replace(
            judged,
            used_by=tuple(sorted(used_by.get(judged.line.number, ()))),
            unused=judged.verdict is not None and _eliminates(judged.verdict) and judged.line.number not in useful,
        )
        for judged in lines
    )


def _eliminates(verdict: Verdict) -> bool:
    """Whether a move has done something that no solution is against."""
    return verdict.kind is not Kind.REFUTED and len(verdict.already) < max(1, len(verdict.claim.candidates))


def _fields(grid: Grid, judged: Judged) -> dict[str, Any]:
    """Return what a report says of one line."""
    line, error = judged.line, judged.error
    problem = {"problem": error.problem, "expected": error.expected, "column": error.column} if error else None
    return {
        "line": line.number,
        "text": line.text,
        **filled(comment=line.comment, error=problem),
        **(judged.verdict.to_dict() if judged.verdict is not None else {}),
        **filled(
            notes=judged.notes.to_dict() if judged.notes is not None else None,
            easier=[proof_fields(proof) for proof in judged.easier],
            left_out=[grid.model.names[c] for c in judged.left_out],
            follows=list(judged.follows),
            uses=list(judged.uses),
            used_by=list(judged.used_by),
            unused=judged.unused,
        ),
    }
