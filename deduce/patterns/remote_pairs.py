"""Remote pairs: a row of cells with the same two candidates, each of which sees the next.

Roles
-----
remote pairs
    ``digits`` (digits, two), ``cells`` (cells, an even number from four on, in the order of the chain).  The chain is
    written for the lower digit; with the digits exchanged it holds just as well.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.chain_fault import chain_family, node_digits
from deduce.patterns.chains import chain_proof
from deduce.patterns.why_not import notes_of
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "REMOTE_PAIRS"]

REMOTE_PAIRS = "remote pairs"


def _search(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield an even number of cells, four or more, that hold the same two candidates, each seeing the next.

    The digits alternate from cell to cell, so the first and the last cell have one each: both digits fall from what
    sees these two.  For each two ends the shortest such row of cells is taken, the first in order of its cells; ends
    that see each other are a naked pair.  Shorter ones come first.
    """
    layout = board.layout
    alike: dict[int, list[int]] = {}
    for cell in board.pairs:
        alike.setdefault(board.digits[cell], []).append(cell)
    found = []
    for digits, cells in alike.items():
        if len(cells) >= 4:
            found += [(len(way), way, digits) for start in cells for way in _ways(board, start, cells)]
    for _cells, way, digits in sorted(found):
        both = bits(digits)
        if any(board.planes[d] & board.seeing(way[0], way[-1]) for d in both):
            first, second = (
                chain_proof(board.grid, REMOTE_PAIRS, _nodes(layout, way, turned), _roles(both, way))
                for turned in (both, both[::-1])
            )
            yield replace(first, inferences=(*first.inferences, *second.inferences))


def _ways(board: Board, start: int, cells: list[int]) -> Iterator[tuple[int, ...]]:
    """Yield the shortest way from a cell to each later one that is an odd number of steps away, three or more."""
    ways: dict[int, tuple[int, ...]] = {start: (start,)}
    edge = [start]
    while edge:
        reached: dict[int, tuple[int, ...]] = {}
        for cell in edge:
            for other in cells:
                if other not in ways and board.layout.neighbours[cell] >> other & 1:
                    way = (*ways[cell], other)
                    reached[other] = min(way, reached.get(other, way))
        ways.update(reached)
        edge = sorted(reached)
    for end, way in ways.items():
        if end > start and len(way) % 2 == 0 and len(way) >= 4:
            yield way


def _nodes(layout: Layout, cells: Sequence[int], digits: Sequence[int]) -> list[tuple[int, ...]]:
    """Return the nodes of the chain through the cells that begins and ends at the first of the two digits."""
    turned = (digits if i % 2 == 0 else digits[::-1] for i in range(len(cells)))
    return [(layout.number(digit, cell),) for cell, pair in zip(cells, turned, strict=True) for digit in pair]


def _roles(digits: Sequence[int], cells: Sequence[int]) -> tuple[Role, ...]:
    return Role("digits", "digits", tuple(digits)), Role("cells", "cells", tuple(cells))


def _of_chain(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    layout = grid.layout
    digits = sorted({*node_digits(grid, chain)})
    cells = tuple(node[0] % layout.cells for node in chain.nodes[::2])
    if chain.loop or len(digits) != 2 or len({*cells}) != len(cells) or len(cells) < 4 or len(cells) % 2:
        return
    if [*chain.nodes] == _nodes(layout, cells, digits) and all(notes_of(grid, cell) == {*digits} for cell in cells):
        yield Pattern(REMOTE_PAIRS, _roles(digits, cells), chain)


FINDERS = (chain_family((REMOTE_PAIRS,), everywhere, _search, _of_chain, {"digits": "", "cells": "cell"}),)
