"""Survey: ask the same questions about every puzzle of a collection."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.surveys.crew import Crew
from deduce.surveys.levels import SINGLES, Level
from deduce.surveys.progress import Progress
from deduce.surveys.questionnaire import Asking, Questionnaire, questionnaire
from deduce.surveys.reading import source
from deduce.surveys.run import Bad, Run, Tally
from deduce.surveys.store import Store

if TYPE_CHECKING:
    from deduce.surveys.coverage import Coverage

__all__ = ["NEEDS_LIMIT", "NODES", "Survey", "survey"]

NODES = 20_000
"""The default budget, in branchings, of counting the solutions of a puzzle."""

NEEDS_LIMIT = 200
"""The default budget of `needs`, in sets of patterns that are walked for one puzzle."""


@dataclass(frozen=True, slots=True)
class Survey:
    """A survey that has been made.

    Parameters
    ----------
    name : str
        The list that was surveyed.
    store : Store
        Where the answers are.
    asked : Questionnaire
        What was asked.
    tally : Tally
        What this call did.
    """

    name: str
    store: Store
    asked: Questionnaire
    tally: Tally

    def coverage(self, lists: Sequence[str] | None = None) -> Coverage:
        """Return what the answers say about levels and patterns.

        Parameters
        ----------
        lists : sequence of str, optional
            Which lists of the store; by default all of them.
        """
        from deduce.surveys.coverage import Coverage

        return Coverage.of(self.store, self.asked, lists)

    def bad(self) -> tuple[tuple[int, str, str], ...]:
        """Return the bad records that were collected: number, reason, and how the text begins."""
        return tuple(self.store.rejects(self.name))

    def __repr__(self) -> str:
        done = self.tally
        return f"<Survey of {self.name}: {done.records} puzzles, {done.examined} examined, {done.bad} bad records>"


def survey(
    puzzles: str | os.PathLike[str] | Iterable[str | Grid],
    executor: Executor | Callable[[], Executor] | None = None,
    store: Store | str | os.PathLike[str] | None = None,
    *,
    patterns: Iterable[str] | None = None,
    levels: Mapping[str, Iterable[str]] | Sequence[Level | str] | None = None,
    marginal: bool = False,
    needs: bool = False,
    base: Iterable[str] = SINGLES,
    name: str | None = None,
    layout: Layout | None = None,
    column: str | None = None,
    bad: Bad = "raise",
    budget: int | None = None,
    nodes: int = NODES,
    needs_limit: int = NEEDS_LIMIT,
    seconds: float | None = None,
    retry: bool = False,
    workers: int | None = None,
    batch: int | None = None,
    in_flight: int | None = None,
    progress: bool | None = None,
) -> Survey:
    """Ask how far sets of patterns go in every puzzle of a collection.

    Parameters
    ----------
    puzzles : path or iterable of str or Grid
        A file (one puzzle a line, or CSV, also ``.gz`` and ``.zst``) or anything to iterate over; read as it is needed
        and never held as a whole.
    executor : Executor or callable, optional
        Any executor of the `concurrent.futures` kind, used unchanged and left open: loky's, mpi4py's, Dask's
        ``client.get_executor()``.  A callable is called for an executor, and again if its workers have died.  By
        default processes on this machine.
    store : Store or path, optional
        Where answers are kept.  A survey that was stopped goes on from there, and one that asks more reuses what is
        there.  By default a temporary file.
    patterns : iterable of str, optional
        The patterns that the survey is about; by default those of all `levels`, or else the whole catalogue, counting
        arguments and suppositions.
    levels : mapping or sequence of Level or str, optional
        Names and patterns of the levels, or words of `deduce.patterns.VOCABULARY`; by default the usual
        ladder from naked singles to everything.
    marginal : bool
        Whether to walk, for each pattern, all patterns without it and the base with it.  Counting arguments and
        suppositions are left aside here and in `needs`, since with them nearly every puzzle comes out.
    needs : bool
        Whether to find the smallest sets of patterns that solve each puzzle beside the base.
    base : iterable of str
        What `marginal` and `needs` take for granted; by default naked and hidden singles.
    name : str, optional
        What tables call the list.
    layout : Layout, optional
        The layout of all texts; by default the one with rectangular boxes that fits each.
    column : str, optional
        Which column of a CSV file holds the puzzle.
    bad : {"raise", "skip", "collect"}
        What happens to records that are no puzzles; both others are counted, and collected ones
        are in ``Survey.bad()``.
    budget : int, optional
        How many steps a walk may take.
    nodes : int
        How many branchings counting the solutions of a puzzle may take.
    needs_limit : int
        How many sets of patterns `needs` may walk for one puzzle.
    seconds : float, optional
        How long one puzzle may take by the clock.  What is then missing is a trouble, not an answer.
    retry : bool
        Whether to ask again what met trouble in an earlier call.
    workers : int, optional
        How many processes; 0 works in this thread.  With an executor: how many batches it does at a time.
    batch : int, optional
        How many puzzles are handed out at once, at most 2,000 by default: about half a second of work, and longer for
        more than 25 workers, so that handing out stays cheap.
    in_flight : int, optional
        How many batches may be out at once; by default two for each worker and two more.
    progress : bool, optional
        Whether to show progress on standard error; by default only on a terminal.

    Returns
    -------
    Survey
        With the answers, and their coverage.

    Raises
    ------
    GridError
        For a bad record, with its number, where `bad` is ``"raise"``; what came before it is kept.
    PatternError
        For a pattern that the catalogue lacks.
    SurveyError
        If the input or the store cannot be read, or no worker can work.
    KeyboardInterrupt
        As it came; what was answered is kept, and the same call goes on from there.

    Notes
    -----
    Walks of one puzzle share their positions, so the eight levels of the usual ladder cost little more than one walk.
    Counting arguments and suppositions are sought only where no pattern is left.
    An answer depends on puzzle, question and engine alone: not on the executor, the batches, or what else was asked.

    Examples
    --------
    >>> made = survey(["..24......1..2..", "1.......2.......", "..24......1..2.."], workers=0)
    >>> made
    <Survey of puzzles: 3 puzzles, 2 examined, 0 bad records>
    """
    if bad not in ("raise", "skip", "collect"):
        raise ValueError(f"bad is {bad!r}; give 'raise', 'skip' or 'collect'")
    if batch is not None and batch < 1:
        raise ValueError(f"batch is {batch}; give at least 1")
    if seconds is not None and not seconds > 0:
        raise ValueError(f"seconds is {seconds}; give more than 0, or None for no limit")
    kept = store if isinstance(store, Store) else Store(store)
    asking = Asking(patterns, levels, base, marginal, needs, budget, nodes, needs_limit)
    asked = questionnaire(kept, asking)
    records = source(puzzles, name, layout, column)
    shown = Progress(records, progress)
    start = time.perf_counter()
    try:
        with Crew(executor, workers, in_flight) as crew:
            run = Run(kept, asked, records, layout, bad, seconds, batch, crew.workers, shown, retry)
            for job, report in crew.run(run.jobs()):
                run.take(job, report)
    finally:
        # Bad records and members that no batch has committed yet are kept, whatever ended the survey.
        kept.commit()
        shown.close()
        records.close()
    run.tally.seconds = time.perf_counter() - start
    return Survey(records.name, kept, asked, run.tally)
