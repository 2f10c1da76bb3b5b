"""What a worker does: answer questions about a batch of puzzles."""

from __future__ import annotations

import json
import os
import time
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, NamedTuple

from deduce.deadline import within
from deduce.errors import BudgetSpent, OutOfTime
from deduce.puzzle.grid import Grid
from deduce.solving.search import solutions
from deduce.surveys.choice import Choice, chosen
from deduce.surveys.engine import engine
from deduce.surveys.needs import pattern_needs
from deduce.surveys.questions import FURTHER, NEEDS, VALIDITY, SurveyQuestion, spec
from deduce.surveys.ranks import by_rank, hardest_of
from deduce.surveys.store import Asked, StoredAnswer, Trouble
from deduce.surveys.sweep import CountedWalk, Explorer
from deduce.walks.walk import Outcome

__all__ = ["Job", "Report", "examine"]


class Job(NamedTuple):
    """A batch of puzzles on its way to a worker.

    Parameters
    ----------
    questions : dict of int to SurveyQuestion
        By their numbers in the store.
    puzzles : tuple of Asked
        What is to be asked about which puzzle.
    seconds : float or None
        How long one puzzle may take.
    """

    questions: dict[int, SurveyQuestion]
    puzzles: tuple[Asked, ...]
    seconds: float | None


class Report(NamedTuple):
    """What a worker sends back.

    Parameters
    ----------
    engine : str
        Which engine answered.
    worker : int
        The number of the process.
    answers : list of StoredAnswer
        In the order of the job.
    troubles : list of Trouble
        What could not be answered.
    times : dict of int to int
        Microseconds by puzzle.
    """

    engine: str
    worker: int
    answers: list[StoredAnswer]
    troubles: list[Trouble]
    times: dict[int, int]


def examine(job: Job) -> Report:
    """Answer every question of a job; a puzzle that cannot be answered is reported, and the next one taken up."""
    report = Report(engine(), os.getpid(), [], [], {})
    for asked in job.puzzles:
        start = time.perf_counter()
        answers: list[StoredAnswer] = []
        trouble = ""
        detail = ""
        try:
            with within(job.seconds):
                for answer in _answers(asked, job):
                    answers.append(answer)  # noqa: PERF402 - those before a trouble are kept
        except OutOfTime:
            trouble, detail = "overlong", f"more than {job.seconds:g} seconds"
        except Exception as error:  # noqa: BLE001 - whatever the engine raises, the other puzzles go on
            trouble, detail = "failed", f"{type(error).__name__}: {error}"[:500]
        report.answers.extend(answers)
        if trouble:
            done = {answer.question for answer in answers}
            left = tuple(number for number in asked.questions if number not in done)
            report.troubles.append(Trouble(asked.puzzle, left, trouble, detail))
        report.times[asked.puzzle] = int((time.perf_counter() - start) * 1e6)
    return report


def _answers(asked: Asked, job: Job) -> Iterator[StoredAnswer]:
    """Yield the answers about one puzzle."""
    grid = Grid.parse(asked.text, asked.layout)
    explorer = Explorer(grid)
    try:
        for number in asked.questions:
            question = job.questions[number]
            yield StoredAnswer(asked.puzzle, number, question.kind, _answer(grid, explorer, question))
    finally:
        explorer.close()


def _answer(grid: Grid, explorer: Explorer, question: SurveyQuestion) -> tuple[Any, ...]:
    """Answer one question."""
    fields = spec(question.text)
    if question.kind == VALIDITY:
        return (_validity(grid, fields["nodes"]),)
    if question.kind == NEEDS:
        found = pattern_needs(explorer, fields["known"], fields["patterns"], fields["limit"])
        return int(found.complete), json.dumps(found.sets, separators=(",", ":"))
    if question.kind == FURTHER:
        return (_further(explorer, fields),)
    return _course(explorer.walk(_chosen(tuple(fields["patterns"])), fields["budget"]))


@lru_cache(maxsize=4096)
def _chosen(patterns: tuple[str, ...]) -> Choice:
    return chosen(patterns)


def _validity(grid: Grid, nodes: int) -> str:
    """Return ``none``, ``one`` or ``several`` for the number of solutions, or ``unknown`` if the budget was spent."""
    found = 0
    try:
        for _ in solutions(grid, 2, budget=nodes):
            found += 1
    except OutOfTime:
        raise
    except BudgetSpent:
        return "unknown"
    return ("none", "one", "several")[found]


def _further(explorer: Explorer, fields: dict[str, Any]) -> str:
    """Return for each level the pattern that would go on where it is stuck; empty where nothing would, or need not."""
    among = _chosen(tuple(fields["among"]))
    found = []
    for patterns in fields["levels"]:
        course = explorer.walk(_chosen(tuple(patterns)), fields["budget"])
        move = explorer.next(course.end, among) if course.outcome is Outcome.STUCK else None
        found.append("" if move is None else move.pattern)
    return json.dumps(found, separators=(",", ":"))


def _course(course: CountedWalk) -> tuple[Any, ...]:
    """Return the columns of a walk.

    The hardest step is the one whose pattern comes last in the catalogue, and of several the one of most effort.
    """
    moves = course.moves
    at = hardest_of(moves)
    hardest, hardest_effort = ("", 0) if at is None else (moves[at].pattern, moves[at].effort)
    effort = sum(move.effort for move in moves)
    depth = max((move.depth for move in moves), default=0)
    uses = Counter(move.pattern for move in moves)
    grid = course.end.grid
    left = (grid.live & ~grid.true).bit_count()
    written = json.dumps({name: uses[name] for name in by_rank(uses)}, separators=(",", ":"))
    return course.outcome.value, len(moves), effort, hardest, hardest_effort, depth, left, written
