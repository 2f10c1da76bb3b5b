"""Deadlines: how long a call may take, and whoever else may end it; asked after wherever a search takes long."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from math import inf
from typing import TypeVar

from deduce.errors import OutOfTime

__all__ = ["in_time", "seconds_left", "timed", "within"]

Item = TypeVar("Item")
Cancel = Callable[[], bool]


class _Deadline:
    """When a call has to end, and who may end it sooner; `outer` is that of the call around it."""

    def __init__(self, seconds: float | None, cancel: Cancel | None) -> None:
        if seconds is not None and not (isinstance(seconds, int | float) and seconds >= 0):
            advice = "give how long the call may take, or None for as long as it needs"
            raise ValueError(f"seconds is {seconds!r}; {advice}")
        self.seconds = seconds
        self.cancel = cancel
        self.until = inf if seconds is None else time.monotonic() + seconds
        self.outer: _Deadline | None = None


_NOW: ContextVar[_Deadline | None] = ContextVar("deadline", default=None)


def in_time() -> None:
    """Raise `OutOfTime` once the deadline of a call that is under way has passed, or once it has been cancelled.

    A search calls this in its loops, at least every few hundredths of a second; without a deadline it costs next to
    nothing.
    """
    deadline = _NOW.get()
    while deadline is not None:
        if time.monotonic() >= deadline.until:
            raise OutOfTime("the search", deadline.seconds or 0, "seconds")
        if deadline.cancel is not None and deadline.cancel():
            raise OutOfTime("the search", 0, "cancelled")
        deadline = deadline.outer


def seconds_left() -> float:
    """Return how long calls that are under way may still take, for solvers that keep time themselves."""
    deadline = _NOW.get()
    left = inf
    while deadline is not None:
        left = min(left, deadline.until - time.monotonic())
        deadline = deadline.outer
    return max(0.0, left)


@contextmanager
def within(seconds: float | None, cancel: Cancel | None = None) -> Iterator[None]:
    """Give the calls inside a deadline; those of calls around it hold too.

    Parameters
    ----------
    seconds : float or None
        How long they may take; None for no deadline.
    cancel : callable, optional
        Asked now and then; they end once it returns True.

    Raises
    ------
    ValueError
        For a negative number of seconds.
    """
    if seconds is None and cancel is None:
        yield
        return
    with _running(_Deadline(seconds, cancel)):
        yield


@contextmanager
def _running(deadline: _Deadline) -> Iterator[None]:
    deadline.outer = _NOW.get()
    token = _NOW.set(deadline)
    try:
        yield
    finally:
        _NOW.reset(token)


def timed(items: Iterator[Item], seconds: float | None, cancel: Cancel | None = None) -> Iterator[Item]:
    """Yield the same items; once the deadline has passed, `OutOfTime` is raised where the next one would come.

    The clock runs from the call on, also while the caller is busy with an item.
    """
    if seconds is None and cancel is None:
        return items
    return _timed(items, _Deadline(seconds, cancel))


def _timed(items: Iterator[Item], deadline: _Deadline) -> Iterator[Item]:
    while True:
        with _running(deadline):
            in_time()
            try:
                item = next(items)
            except StopIteration:
                return
        yield item
