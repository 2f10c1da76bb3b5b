"""The wall-clock guard of a puzzle."""

from __future__ import annotations

import ctypes
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
    Walks look at the clock before every search.  The guard is for a single search that does not end.  In the main
    thread of a process, where worker processes work, it is an alarm of the system, if nobody else uses alarms.  In any
    other thread, where the workers of some clusters work, it is an exception that another thread raises there; CPython
    can do that.  Neither interrupts a call into compiled code before that returns.
    """
    if seconds is None:
        yield
        return
    alarm = getattr(signal, "SIGALRM", None)
    if threading.current_thread() is not threading.main_thread():
        with _raised_from_outside(seconds * _PATIENCE):
            yield
    elif alarm is None or signal.getsignal(alarm) is not signal.SIG_DFL:
        yield
    else:
        signal.signal(alarm, _ring)
        signal.setitimer(signal.ITIMER_REAL, seconds * _PATIENCE)
        try:
            yield
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
            signal.signal(alarm, signal.SIG_DFL)


def _ring(_: int, __: FrameType | None) -> None:
    raise Overlong


@contextmanager
def _raised_from_outside(seconds: float) -> Iterator[None]:
    """Let a timer raise `Overlong` in this thread."""
    here = threading.get_ident()
    lock = threading.Lock()
    over = rung = False

    def ring() -> None:
        nonlocal rung
        with lock:
            if not over:
                rung = True
                _pend(here, Overlong)

    timer = threading.Timer(seconds, ring)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        with lock:
            over = True
        if rung:
            # It must not arrive later, in work that is not ours.
            _pend(here, None)


def _pend(thread: int, kind: type[Exception] | None) -> None:
    """Let a thread raise an exception at its next instruction, or take that back; nothing where it cannot be done."""
    interpreter = getattr(ctypes, "pythonapi", None)
    if interpreter is not None:
        interpreter.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), None if kind is None else ctypes.py_object(kind))
