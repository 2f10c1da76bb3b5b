"""How far a survey has come: a bar where tqdm is installed, a line now and then where it is not."""

from __future__ import annotations

import sys
import time
from importlib import import_module
from typing import Any, TextIO

from deduce.surveys.reading import Source

__all__ = ["Progress"]

_EVERY = 5.0
"""Seconds between two lines."""


class Progress:
    """Shows how many records are done, the rate, and the time left where the size of the input is known.

    Parameters
    ----------
    source : Source
        What is being read.
    show : bool or None
        None shows progress only on a terminal.
    stream : text file, optional
        Where to; by default standard error.
    """

    def __init__(self, source: Source, show: bool | None, stream: TextIO | None = None) -> None:
        self._source = source
        self._stream = stream if stream is not None else sys.stderr
        self.shown = self._stream.isatty() if show is None else show
        self._done = self._known = 0
        self._start = self._last = time.monotonic()
        self._bar: Any = None
        if self.shown:
            try:
                tqdm: Any = import_module("tqdm")
            except ImportError:
                return
            named = {"desc": source.name, "unit": "puzzle", "file": self._stream}
            self._bar = tqdm.tqdm(total=source.total, smoothing=0.05, **named)

    def more(self, records: int, *, known: bool = False) -> None:
        """Count records as done.

        Parameters
        ----------
        records : int
            How many.
        known : bool
            Whether nothing had to be worked out for them.  Those that come before any work, as when a survey goes on
            that was stopped, say nothing about the rate: the clock starts behind them.
        """
        self._done += records
        first = known and self._known == self._done - records
        if first:
            self._known = self._done
            self._start = time.monotonic()
        if not self.shown:
            return
        if self._bar is not None:
            self._bar.total = self.expected()
            if first:
                self._bar.n = self._bar.initial = self._bar.last_print_n = self._done
                self._bar.start_t = self._bar.last_print_t = time.time()
            else:
                self._bar.update(records)
        if time.monotonic() - self._last >= _EVERY:
            self._last = time.monotonic()
            if self._bar is not None:
                self._bar.refresh()
            else:
                print(self.line(self._last - self._start), file=self._stream, flush=True)

    def expected(self) -> int | None:
        """Return how many records there will be, where that is known or can be guessed."""
        return self._source.expected()

    def line(self, seconds: float) -> str:
        """Return where the survey stands after so many seconds of work, in words."""
        text = f"{self._source.name}: {self._done:,} puzzles"
        if self._known:
            text += f", {self._known:,} of which needed no work"
        worked = self._done - self._known
        if not worked:
            return text
        rate = worked / seconds if seconds > 0 else 0.0
        total = self.expected()
        text += f", {rate:,.0f} a second"
        if total is not None and rate:
            left = max(0, round((total - self._done) / rate))
            text += f", about {left // 3600}:{left // 60 % 60:02}:{left % 60:02} left of {total:,}"
        return text

    def close(self) -> None:
        """Leave the last state standing."""
        if self._bar is not None:
            self._bar.close()
