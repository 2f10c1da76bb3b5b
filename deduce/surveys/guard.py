"""The wall-clock guard of a puzzle."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from deduce.surveys.sweep import Overlong

__all__ = ["guard"]

_PATIENCE = 1.5
"""The alarm rings this much later than the deadline that walks look at themselves, so that it rarely rings at all."""


@contextmanager
def guard(seconds: float | None) -> Iterator[None]:
    """Raise `Overlong` inside the block if it takes much longer than it may.

    Parameters
    ----------
    seconds : float or None
        How long; None for no guard.

    Notes
    -----
    Walks look at the clock before every search.  The alarm is for a single search that does not end; it is set only
    where it can be: in the main thread of a process on a system with interval timers, when nobody else uses them.
    Worker processes are such places, worker threads are not.
    """
    alarm = getattr(signal, "SIGALRM", None)
    usable = (
        seconds is not None
        and alarm is not None
        and threading.current_thread() is threading.main_thread()
        and signal.getsignal(alarm) is signal.SIG_DFL
    )
    if not usable or seconds is None or alarm is None:
        yield
        return
    signal.signal(alarm, _ring)
    signal.setitimer(signal.ITIMER_REAL, seconds * _PATIENCE)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(alarm, signal.SIG_DFL)


def _ring(_: int, __: FrameType | None) -> None:
    raise Overlong
