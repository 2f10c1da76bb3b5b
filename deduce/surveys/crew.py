"""Batches on an executor: a bounded number in flight, and a puzzle that kills its worker found and set apart."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, ProcessPoolExecutor, wait
from multiprocessing import parent_process
from types import TracebackType
from typing import Self

from deduce.errors import SurveyError
from deduce.surveys.engine import engine
from deduce.surveys.examine import Job, Report, examine
from deduce.surveys.store import Trouble

__all__ = ["Crew", "Here", "cores"]

_TRIES = 3
"""How many puzzles may fail alone, before any has succeeded, until the executor itself is taken to be at fault."""


def cores() -> int:
    """Return how many cores this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not every system can tell
        return os.cpu_count() or 1


class Here(Executor):
    """An executor that runs everything at once, in this thread."""

    def submit(self, fn: Callable[..., object], /, *args: object, **kwargs: object) -> Future:  # type: ignore[type-arg]
        """Run the call and return its finished future."""
        future: Future[object] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:  # noqa: BLE001 - it belongs to the future
            future.set_exception(error)
        return future


class Crew:
    """Workers that examine jobs.

    Parameters
    ----------
    executor : Executor, callable or None
        Any executor of the `concurrent.futures` kind, used as it is and left open; a callable that makes one, called
        again whenever the workers have died; None for processes on this machine.
    workers : int, optional
        How many processes; 0 works in this thread.  With an executor: how many jobs it does at a time.
    in_flight : int, optional
        How many jobs may have been handed out and not come back.

    Attributes
    ----------
    workers : int
        How many jobs are done at a time, as far as is known.
    """

    def __init__(
        self, executor: Executor | Callable[[], Executor] | None, workers: int | None, in_flight: int | None
    ) -> None:
        self.given = executor if isinstance(executor, Executor) else None
        self._make = executor if callable(executor) and self.given is None else None
        self._workers = workers
        self._executor: Executor | None = self.given
        self._flying: dict[Future[Report], Job] = {}
        self._succeeded = False
        self._failed = 0
        self._here = isinstance(executor, Here) or (executor is None and workers == 0)
        self.workers = 1 if self._here else workers or getattr(executor, "_max_workers", None) or cores()
        self.in_flight = 1 if self._here else 2 * self.workers + 2 if in_flight is None else in_flight
        if self.in_flight < 1 or self.workers < 0:
            raise ValueError(f"workers is {workers}, in_flight is {in_flight}; give numbers above 0")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, _: BaseException | None, __: TracebackType | None) -> None:
        for future in self._flying:
            future.cancel()
        self._flying.clear()
        self._dismiss(wait_for=kind is None)

    def run(self, jobs: Iterator[Job]) -> Iterator[tuple[Job, Report]]:
        """Hand out jobs as workers become free, and yield each with its report as it comes back.

        A job whose worker died is done again puzzle by puzzle with nothing else in flight, so that the puzzle at fault
        is known; it comes back with a trouble instead of answers.

        Raises
        ------
        SurveyError
            If no worker can work, or one runs another engine.
        """
        suspects: list[Job] = []
        more = True
        broken = False
        while True:
            while more and not suspects and len(self._flying) < self.in_flight:
                job = next(jobs, None)
                more = job is not None
                if job is not None:
                    try:
                        self._flying[self._workers_now().submit(examine, job)] = job
                    except BrokenExecutor:
                        suspects.append(job)
                        broken = True
            if self._flying:
                done, _ = wait(self._flying, return_when=FIRST_COMPLETED)
                for future in [future for future in self._flying if future in done]:
                    job = self._flying.pop(future)
                    try:
                        report = self._welcome(future.result())
                    except SurveyError:
                        raise
                    except Exception as error:  # noqa: BLE001 - whatever it is, each puzzle is tried alone then
                        suspects.append(job)
                        broken = broken or isinstance(error, BrokenExecutor)
                    else:
                        yield job, report
            elif suspects:
                if broken:
                    self._dismiss()
                    broken = False
                for job in suspects:
                    yield from self._one_by_one(job)
                suspects.clear()
            elif not more:
                return

    def _one_by_one(self, job: Job) -> Iterator[tuple[Job, Report]]:
        """Do the puzzles of a job alone."""
        for asked in job.puzzles:
            single = job._replace(puzzles=(asked,))
            try:
                report = self._welcome(self._workers_now(1).submit(examine, single).result())
            except SurveyError:
                raise
            except Exception as error:
                self._failed += 1
                if self._failed == _TRIES and not self._succeeded:
                    problem = f"no worker brings an answer back ({type(error).__name__}: {error})"
                    advice = "see that the workers can import this version of deduce"
                    raise SurveyError(problem, advice) from error
                detail = f"{type(error).__name__}: {error}"[:500]
                trouble = Trouble(asked.puzzle, asked.questions, "crashed", detail)
                report = Report(engine(), 0, [], [trouble], {asked.puzzle: 0})
                if isinstance(error, BrokenExecutor):
                    self._dismiss()
            yield single, report
        if self._executor is not self.given:
            # The next jobs need all workers again.
            self._dismiss()

    def _welcome(self, report: Report) -> Report:
        """Refuse answers of another engine."""
        self._succeeded = True
        if report.engine != engine():
            problem = f"a worker runs the engine {report.engine}, this process {engine()}"
            raise SurveyError(problem, "install the same version of deduce everywhere")
        return report

    def _workers_now(self, most: int | None = None) -> Executor:
        """Return the executor, made if there is none."""
        if self._executor is None:
            if self._make is not None:
                self._executor = self._make()
            elif self._here:
                self._executor = Here()
            else:
                self._executor = ProcessPoolExecutor(most or self._workers or cores(), initializer=_follow)
        return self._executor

    def _dismiss(self, *, wait_for: bool = True) -> None:
        """Shut down an executor that was made here; a given one stays open, and processes of ours replace it."""
        if self._executor is not None and self._executor is not self.given:
            self._executor.shutdown(wait=wait_for, cancel_futures=True)
        self._executor = None


def _follow() -> None:
    """Let a worker process live and die with the one that runs the survey.

    That one alone hears an interrupt from the keyboard, and tells its workers to end.  If it is killed, nobody tells
    them, and they would wait for work for ever.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Wait until the process that started this one has ended, and end too."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
