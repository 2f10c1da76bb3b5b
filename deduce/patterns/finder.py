"""What a pattern family is to the catalogue."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from deduce.kernel import Counting
from deduce.patterns.board import Board, Scope
from deduce.proof import Pattern, Proof, conclude
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["Finder", "counted"]


@dataclass(frozen=True, slots=True)
class Finder:
    """A search for one or several related patterns.

    Parameters
    ----------
    names : tuple of str
        The patterns it can yield.
    scopes : callable
        From a layout to the parts of the board that are searched one by one, in order.
    search : callable
        From a board, a scope and the wanted names to proofs, the easiest first, always in the same order.
    fault : callable
        From a grid and a pattern with one of these names to what is not as the name says, or None; it reads the roles
        and the position, never the argument.
    """

    names: tuple[str, ...]
    scopes: Callable[[Layout], tuple[Scope, ...]]
    search: Callable[[Board, Scope, Collection[str]], Iterator[Proof]]
    fault: Callable[[Grid, Pattern], str | None]


def counted(grid: Grid, pattern: Pattern, *arguments: Counting) -> Proof:
    """Return the proof of a pattern from its counting arguments, with everything that they conclude."""
    return Proof(grid, conclude(grid, arguments), pattern)
