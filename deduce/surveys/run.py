"""One pass over the records: what is new becomes jobs, and what comes back goes to the store."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from deduce.errors import GridError
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.surveys.examine import Job, Report
from deduce.surveys.identity import Identity, identify
from deduce.surveys.progress import Progress
from deduce.surveys.questionnaire import Questionnaire
from deduce.surveys.reading import Source
from deduce.surveys.store import Asked, Store

__all__ = ["Bad", "Run", "Tally"]

Bad = Literal["raise", "skip", "collect"]

_AIM = 0.5
"""Seconds of work that a batch should hold: long beside what it costs to hand it out, short beside a survey."""

_HANDED_OUT = 50
"""How many batches should be handed out in a second at most; more workers get longer ones.

A scheduler between here and the workers spends milliseconds on each.
"""

_FIRST = 16
_MOST = 2_000
"""How many puzzles the first batch holds, and how many any may hold."""

_SHARES = 3
"""Into how many jobs for each worker what is left is divided at least."""

_LEAST = 16
"""The smallest of these jobs is this much smaller than a full one, so that handing it out still costs little."""

_SCAN = 2_000
"""After how many records without a batch what was written down is committed."""


@dataclass(slots=True)
class Tally:
    """What one call of `survey` did.

    Parameters
    ----------
    records : int
        How many puzzles were read, bad records not counted.
    examined : int
        How many puzzles a worker looked at.
    reused : int
        For how many records every answer was there already, or on its way.
    bad : int
        How many records were no puzzles.
    troubles : int
        How many puzzles crashed a worker, took too long or met an error of the engine.
    seconds : float
        How long the call took.
    busy : float
        Seconds of work, summed over the workers.
    workers : set of int
        The processes that brought answers.
    """

    records: int = 0
    examined: int = 0
    reused: int = 0
    bad: int = 0
    troubles: int = 0
    seconds: float = 0.0
    busy: float = 0.0
    workers: set[int] = field(default_factory=set)


@dataclass
class Run:
    """A pass over records.

    Parameters
    ----------
    store : Store
        Where answers go.
    asked : Questionnaire
        What is asked.
    source : Source
        The records.
    layout : Layout or None
        The layout of texts.
    bad : str
        What happens to bad records.
    seconds : float or None
        How long a puzzle may take.
    batch : int or None
        How many puzzles a job holds; None to find out.
    workers : int
        How many work at a time; towards a known end, jobs shrink so that none of them waits long for the last one.
    progress : Progress
        Told of every record that is done.
    retry : bool
        Whether to ask again, once, what met trouble in an earlier pass.
    """

    store: Store
    asked: Questionnaire
    source: Source
    layout: Layout | None
    bad: Bad
    seconds: float | None
    batch: int | None
    workers: int
    progress: Progress
    retry: bool = False
    tally: Tally = field(default_factory=Tally)

    def __post_init__(self) -> None:
        self._size = self.batch or _FIRST
        self._list = self.store.list_number(self.source.name)
        self._kinds = tuple(dict.fromkeys(question.kind for question in self.asked.questions.values()))
        self._out: set[int] = set()
        self._retried: set[int] = set()

    def jobs(self) -> Iterator[Job]:
        """Yield jobs of puzzles that have something left to answer, reading no further than needed."""
        waiting: list[Asked] = []
        scanned = 0
        size = self._next_size()
        for number, item in self.source:
            identity = self._identity(number, item)
            scanned += 1
            if identity is not None:
                self.tally.records += 1
                asked = self._asked(number, identity)
                if asked is not None:
                    waiting.append(asked)
                else:
                    self.tally.reused += 1
                    self.progress.more(1, known=True)
            if len(waiting) >= size or scanned >= _SCAN:
                self.store.commit()
                scanned = 0
            if len(waiting) >= size:
                yield Job(dict(self.asked.questions), tuple(waiting), self.seconds)
                waiting = []
                size = self._next_size()
        self.store.commit()
        if waiting:
            yield Job(dict(self.asked.questions), tuple(waiting), self.seconds)

    def take(self, job: Job, report: Report) -> None:
        """Write down what a job has brought."""
        self.store.record(report.answers, report.troubles, report.times, report.engine)
        self._out.difference_update(asked.puzzle for asked in job.puzzles)
        tally = self.tally
        tally.examined += len(job.puzzles)
        tally.troubles += len(report.troubles)
        if self.retry:
            self._retried.update(trouble.puzzle for trouble in report.troubles)
        busy = sum(report.times.values()) / 1e6
        tally.busy += busy
        if report.worker:
            tally.workers.add(report.worker)
        if self.batch is None and busy > 0:
            aim = max(_AIM, self.workers / _HANDED_OUT)
            self._size = max(1, min(_MOST, round(len(job.puzzles) * aim / busy), 4 * self._size))
        self.progress.more(len(job.puzzles))

    def _next_size(self) -> int:
        """Return how many puzzles the next job should hold."""
        expected = None if self.batch else self.source.expected()
        if expected is None:
            return self._size
        shared = (expected - self.source.read) // (_SHARES * self.workers)
        return max(1, self._size // _LEAST, min(self._size, shared))

    def _identity(self, number: int, item: str | Grid | GridError) -> Identity | None:
        """Return what a record is, or None for a bad one."""
        try:
            if isinstance(item, GridError):
                raise item
            return identify(item, self.layout)
        except GridError as error:
            if self.bad == "raise":
                problem = f"in {self.source.name}, {error.problem}"
                raise GridError(problem, error.expected, line=number, column=error.column) from None
            self.tally.bad += 1
            where = f"column {error.column}: " if error.column else ""
            told = (f"{where}{error.problem}; {error.expected}", item if isinstance(item, str) else "")
            self.store.reject(self._list, number, *(told if self.bad == "collect" else ("", "")))
            self.progress.more(1, known=True)
            return None

    def _asked(self, number: int, identity: Identity) -> Asked | None:
        """Write a record down, and return its puzzle with the questions left, or None if there is none left."""
        puzzle = self.store.register(self._list, number, *identity)
        if puzzle in self._out:
            return None
        troubled = not self.retry or puzzle in self._retried
        answered = self.store.answered(puzzle, self._kinds, troubles=troubled)
        questions = tuple(question for question in self.asked.questions if question not in answered)
        if not questions:
            return None
        self._out.add(puzzle)
        return Asked(puzzle, *identity, questions)
