"""How far a survey has come: a bar, where tqdm is installed."""

from __future__ import annotations

import sys
import time
from importlib.util import find_spec
from typing import Any

from deduce.errors import needed
from deduce.surveys.reading import Source

__all__ = ["Progress"]


class Progress:
    """Shows how many records are done, the rate, and the time left where the size of the input is known.

    Parameters
    ----------
    source : Source
        What is being read.
    show : bool or None
        None shows progress only on a terminal, and only where tqdm is installed.

    Raises
    ------
    MissingExtra
        If progress is asked for and tqdm is not installed.
    """

    def __init__(self, source: Source, show: bool | None) -> None:
        self._source = source
        self.bar: Any = None
        if show or (show is None and sys.stderr.isatty() and find_spec("tqdm") is not None):
            tqdm = needed("tqdm", "tqdm", "showing progress").tqdm
            self.bar = tqdm(total=source.total, smoothing=0.05, desc=source.name, unit="puzzle", file=sys.stderr)

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
        bar = self.bar
        if bar is None:
            return
        bar.total = self._source.expected()
        if known and bar.n == bar.initial:
            bar.n = bar.initial = bar.last_print_n = bar.n + records
            bar.start_t = bar.last_print_t = time.time()
        else:
            bar.update(records)

    def close(self) -> None:
        """Leave the last state standing."""
        if self.bar is not None:
            self.bar.close()
