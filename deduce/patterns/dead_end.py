"""Contradiction: a constraint that can no longer be met."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from deduce.kernel import Counting
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.finder import Family, counted
from deduce.proof import Pattern, Proof
from deduce.puzzle.bounds import unreachable_rules
from deduce.puzzle.grid import Grid

__all__ = ["CONTRADICTION", "FINDERS"]

CONTRADICTION = "contradiction"


def _search(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield a proof for each constraint that has no candidate left, or that the digits placed break."""
    grid = board.grid
    for number, mask in enumerate(board.layout.masks):
        if not grid.live & mask:
            yield counted(grid, Pattern(CONTRADICTION), Counting(((number, 1),), ()))
        elif (grid.true & mask).bit_count() > 1:
            yield counted(grid, Pattern(CONTRADICTION), Counting((), ((number, 1),)))
    for number, short in unreachable_rules(board.layout, grid.live, grid.true):
        side = ((number, 1),)
        yield counted(grid, Pattern(CONTRADICTION), Counting(side, ()) if short else Counting((), side))


def _fault(grid: Grid, _: Pattern) -> str | None:
    return None if grid.status() else "every rule can still be met"


FINDERS = (
    Family(
        (CONTRADICTION,),
        everywhere,
        _search,
        _fault,
        roles={},
        reads="one constraint that cannot be met is known by its conclusion",
        why_not="nobody names it as a reason: the position tells itself (status)",
    ),
)
