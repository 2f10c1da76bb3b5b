"""Strong and weak links of a position as bitsets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from deduce.puzzle.grid import Grid

__all__ = ["Links", "all_links", "cell_links", "digit_links"]


@dataclass(frozen=True, slots=True)
class Links:
    """The links that a kind of chain may use.

    Parameters
    ----------
    live : int
        Bitset of the candidates that take part.
    strong : dict of int to int
        For each candidate that has a strong link, ascending, the bitset of its partners: one of the two is true.
    weak : sequence of int
        For each candidate of the model the bitset of those that cannot be true together with it (dead ones included).
    """

    live: int
    strong: dict[int, int]
    weak: Sequence[int]


def _links(live: int, masks: Iterable[int], weak: Sequence[int]) -> Links:
    """Collect a strong link from each mask that has exactly two live candidates."""
    strong: dict[int, int] = {}
    for mask in masks:
        here = live & mask
        rest = here & (here - 1)
        if rest and not rest & (rest - 1):
            first = here ^ rest
            a, b = first.bit_length() - 1, rest.bit_length() - 1
            strong[a] = strong.get(a, 0) | rest
            strong[b] = strong.get(b, 0) | first
    return Links(live, dict(sorted(strong.items())), weak)


def all_links(grid: Grid) -> Links:
    """Return every link between single candidates: two places left in a house, two digits left in a cell, conflicts."""
    return _links(grid.live & ~grid.true, grid.layout.masks, grid.layout.peers)


def digit_links(grid: Grid, digit: int) -> Links:
    """Return the links of one digit (from 1)."""
    layout = grid.layout
    plane = ((1 << layout.cells) - 1) << (digit - 1) * layout.cells
    return _links(grid.live & ~grid.true & plane, layout.masks[layout.cells :], layout.peers)


def cell_links(grid: Grid) -> Links:
    """Return strong links inside two-candidate cells, and weak links between places of one digit."""
    layout = grid.layout
    return _links(grid.live & ~grid.true, layout.masks[: layout.cells], layout.same_digit_peers)
