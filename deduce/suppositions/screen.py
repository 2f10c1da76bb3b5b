"""Which suppositions break down, found out without reasons and remembered from position to position."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from deduce.counting.meter import Meter
from deduce.kernel import Position, place
from deduce.links.statements import Statements

__all__ = ["Follow", "Screen"]

Follow = Callable[[int, int], tuple[Position | None, int]]
"""Where a position (live, true) leads by deductions of some kind: None if into a contradiction; and a rough measure of
how much had to be drawn."""


class Screen:
    """Tries suppositions along one solve.

    Parameters
    ----------
    statements : Statements
        The model.
    follow : Follow
        What is drawn under a supposition.
    meter : Meter
        Counts what is tried; when it is spent, no supposition is known to break down that was not before.

    Notes
    -----
    What follows from a supposition in one position follows from it in all later ones, so each is followed from where
    it led before, and only if something that it left open has gone since.  One that has broken down stays broken down.
    """

    def __init__(self, statements: Statements, follow: Follow, meter: Meter) -> None:
        self._statements = statements
        self._follow = follow
        self._meter = meter
        self._ends: dict[int, Position] = {}
        self._work: dict[int, int] = {}
        self._broken: set[int] = set()

    def broken(self, position: Position, candidates: Iterable[int]) -> list[tuple[int, int]]:
        """Return the candidates whose supposition breaks down, those first for which least had to be drawn.

        Parameters
        ----------
        position : Position
            The position; none of those asked about before may have had fewer live candidates.
        candidates : iterable of int
            Open candidates.

        Returns
        -------
        list of (int, int)
            How much was drawn, and the candidate.
        """
        broken = (c for c in candidates if c in self._broken or self._breaks(position, c))
        return sorted((self._work[candidate], candidate) for candidate in broken)

    def left(self, candidate: int) -> int:
        """Return how many candidates are open where a supposition that did not break down led."""
        end = self._ends.get(candidate)
        return len(self._statements.model.names) if end is None else (end.live & ~end.true).bit_count()

    def _breaks(self, position: Position, candidate: int) -> bool:
        """Whether a supposition breaks down that did not do so before."""
        before = self._ends.get(candidate)
        if before is None:
            live, true = place(self._statements.model, position, candidate)
        else:
            live, true = before.live & position.live, before.true | position.true
            if live == before.live and true == before.true:
                return False
        if not self._meter.take():
            return False
        end, work = (None, 0) if true & ~live else self._follow(live, true)
        self._work[candidate] = self._work.get(candidate, 0) + work
        if end is None:
            self._broken.add(candidate)
            return True
        self._ends[candidate] = end
        return False
