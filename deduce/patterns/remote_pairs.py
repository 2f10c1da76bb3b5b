"""Remote pairs: a row of cells with the same two candidates, each of which sees the next.

Roles
-----
remote pairs
    ``digits`` (digits, two), ``cells`` (cells, an even number from four on, in the order of the chain).  The chain is
    written for the lower digit; with the digits exchanged it holds just as well.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from deduce.links import argue_chain, build_chain
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.chain_fault import single_chain_fault
from deduce.patterns.finder import BY_CHAIN, Family
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

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
            chains = [_chain(board, way, both), _chain(board, way, both[::-1])]
            inferences = tuple(one for chain in chains for one in argue_chain(board.grid, layout, chain))
            roles = (Role("digits", "digits", tuple(both)), Role("cells", "cells", way))
            yield Proof(board.grid, inferences, Pattern(REMOTE_PAIRS, roles, chains[0]))


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


def _chain(board: Board, cells: tuple[int, ...], digits: list[int]) -> Chain:
    """Return the chain through the cells that begins and ends at the first of the two digits."""
    layout = board.layout
    nodes = []
    for i, cell in enumerate(cells):
        turned = digits if i % 2 == 0 else digits[::-1]
        nodes += [(layout.number(digit, cell),) for digit in turned]
    return build_chain(layout, board.grid.live, nodes)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    fault, chain, layout = single_chain_fault(grid, pattern), pattern.chain, grid.layout
    if fault or chain is None or chain.loop:
        return fault or "the chain is a loop"
    digits, cells = pattern.role("digits"), pattern.role("cells")
    if len(digits) != 2 or digits[0] >= digits[1] or len(set(cells)) != len(cells) or len(cells) < 4 or len(cells) % 2:
        return "there are not two digits, the lower one first, in an even number of cells from four on"
    for cell in cells:
        if {c // layout.cells + 1 for c in bits(grid.live & layout.masks[cell])} != {*digits}:
            return f"{layout.cell_name(cell)} does not have just these two candidates"
    nodes = [
        (layout.number(digit, cell),)
        for i, cell in enumerate(cells)
        for digit in (digits if i % 2 == 0 else digits[::-1])
    ]
    return None if [*chain.nodes] == nodes else "the chain does not lead from cell to cell"


def _of_chain(grid: Grid, chain: Chain) -> Iterable[Pattern]:
    size = grid.layout.cells
    digits = {node[0] // size + 1 for node in chain.nodes}
    if chain.loop or len(chain.nodes) < 8 or len(digits) != 2 or any(len(node) > 1 for node in chain.nodes):
        return
    cells = tuple(node[0] % size for node in chain.nodes[::2])
    yield Pattern(REMOTE_PAIRS, (Role("digits", "digits", tuple(sorted(digits))), Role("cells", "cells", cells)), chain)


FINDERS = {
    REMOTE_PAIRS: Family(
        (REMOTE_PAIRS,),
        everywhere,
        _search,
        _fault,
        roles={"digits": "", "cells": "cell"},
        reads=BY_CHAIN,
        of_chain=_of_chain,
    )
}
