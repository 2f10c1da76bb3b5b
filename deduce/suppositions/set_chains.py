"""Chains over groups and almost locked sets, drawn under a supposition."""

from __future__ import annotations

from collections.abc import Iterator

from deduce.kernel import Counting, Position, place
from deduce.links import Layers, Links, argue_chain, build_chain, closure, layers, set_links
from deduce.links.statements import Statements
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.propagation import where_chains_lead
from deduce.suppositions.trail import size_of

__all__ = ["SetChains"]


class SetChains:
    """Finds what chains over groups and almost locked sets conclude in positions of one layout.

    Parameters
    ----------
    statements : Statements
        The model of the layout.
    layout : Layout
        Where the candidates stand.
    """

    def __init__(self, statements: Statements, layout: Layout) -> None:
        self._statements = statements
        self._layout = layout

    def grid(self, position: Position) -> Grid:
        """Return a position as a grid without givens."""
        return Grid(self._layout, position.live, position.true, 0, 0)

    def arguments(self, position: Position, most: float) -> Iterator[Counting]:
        """Yield the argument of a short chain for each candidate that such chains settle.

        Parameters
        ----------
        position : Position
            The position.
        most : float
            The largest size of an argument.
        """
        grid = self.grid(position)
        links = set_links(grid, groups=True, almost_locked_sets=True)
        reach = closure(links)
        settled = 0
        for candidate in (*bits(reach.false & position.live), *bits(reach.true & ~reach.false)):
            if settled >> candidate & 1:
                continue
            sees = 1 << candidate if reach.true >> candidate & 1 else links.weak[candidate] & links.live
            found = layers(links, sees, sees, int(min(most, 10_000)))
            if found is None:
                continue
            members = [links.members(node) for node in _cheapest_path(links, found)]
            chain = build_chain(self._layout, position.live, members, almost=links.almost)
            for inference in argue_chain(grid, self._layout, chain):
                argument = inference.argument
                if isinstance(argument, Counting) and size_of(argument) <= most:
                    for fallen in inference.false:
                        settled |= 1 << fallen
                    yield argument

    def followed(self, live: int, true: int) -> tuple[Position | None, int]:
        """Follow singles, locked candidates and all these chains to the end, without reasons.

        Parameters
        ----------
        live, true : int
            The position.

        Returns
        -------
        Position or None
            None if they end in a contradiction.
        int
            A rough measure of how much had to be drawn on the way.
        """
        total = 0
        while True:
            end, work = where_chains_lead(self._statements, live, true)
            total += work
            if end is None:
                return None, total
            reach = closure(set_links(self.grid(end), groups=True, almost_locked_sets=True))
            false, rises = reach.false & end.live, reach.true & ~end.true
            if not false and not rises:
                return end, total
            total += 10
            if false & rises:
                return None, total
            live, true = end.live & ~false, end.true
            for candidate in bits(rises):
                if not live >> candidate & 1:
                    return None, total
                live, true = place(self._statements.model, Position(live, true), candidate)


def _cheapest_path(links: Links, found: Layers) -> list[int]:
    """Go back through the layers by the links that need the fewest candidates and no almost locked set."""
    plain, strong, weak = links.plain, links.strong, links.weak

    def dear(one: int, other: int) -> tuple[bool, int]:
        return not plain.get(one, 0) >> other & 1, other

    rise = found.true[-1] & found.targets
    path: list[int] = []
    for depth in range(len(found.true) - 1, -1, -1):
        best: tuple[tuple[bool, int], int, int] | None = None
        for b in bits(rise):
            for a in bits(strong[b] & found.false[depth]):
                key = dear(b, a), b, a
                if best is None or key < best:
                    best = key
        if best is None:  # pragma: no cover - every layer has a cause in the one before it
            raise AssertionError("a layer without a cause")
        _, b, a = best
        path += [b, a]
        if depth:
            rise = weak[a] & found.true[depth - 1]
    return path[::-1]
