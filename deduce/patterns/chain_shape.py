"""Chains told from bases and covers: blocks with two sides each, tied in a path or a ring by covers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import gcd

from deduce.kernel import Counting, Inference
from deduce.links.argue import argue_chain, build_chain
from deduce.links.sets import LARGEST, AlmostLocked, almost_locked
from deduce.patterns.almost_locked import LARGEST_OF_TWO
from deduce.patterns.chains import SET_CHAIN, SET_LOOP
from deduce.patterns.naming import readings
from deduce.patterns.remote_pairs import REMOTE_PAIRS
from deduce.positions import bits, united
from deduce.proof import Chain, Pattern
from deduce.puzzle.grid import Grid

__all__ = ["chain_patterns"]

MOST_BASES = 32
"""Arguments with more bases are not read as chains: there would be too many ways to part them."""

MOST_STEPS = 2_000
"""How many steps of a path are tried for each number of parts before an argument is left without such a name."""

PAIR, WING = 2, 3
"""How many sets an ALS-XZ has, and an ALS-XY-wing."""


@dataclass(frozen=True, slots=True)
class _Block:
    """One strong link to be: a house or cell, or the cells of an almost locked set.

    Parameters
    ----------
    candidates : int
        Bitset of its open candidates.
    almost : AlmostLocked or None
        The set.
    """

    candidates: int
    almost: AlmostLocked | None = None


_Blocks = dict[int, list[tuple[tuple[int, ...], _Block]]]
"""By the first cell of each, cells with the block that they are."""


def chain_patterns(grid: Grid, inference: Inference, argument: Counting) -> Iterator[Pattern]:
    """Yield the patterns of chains and loops that an argument is.

    Parameters
    ----------
    grid : Grid
        The position.
    inference : Inference
        What is concluded.
    argument : Counting
        The argument.

    Notes
    -----
    Cells among the bases may be links by themselves or, several together, an almost locked set; every way to part them
    is tried, those into few parts first.  In a chain each block is split in two by the covers that tie it to its
    neighbours or to what falls.
    """
    open_ = grid.live & ~grid.true
    masks = grid.model.masks
    covers = [open_ & masks[number] for number, _ in argument.covers]
    shared = gcd(*(weight for _, weight in argument.bases))
    # The weights of a loop may be multiples of what it takes; those of a chain are how often it runs through a link.
    for scale in sorted({shared, 1}, reverse=True):
        bases = [number for number, weight in argument.bases for _ in range(min(weight // scale, MOST_BASES + 1))]
        if len(bases) > MOST_BASES:
            continue
        cells = [number for number in bases if number < grid.layout.cells]
        houses = [_Block(open_ & masks[n]) for n in bases if n >= grid.layout.cells]
        placed = {1 << c for c in inference.true}
        # Two sets may be larger than those of longer chains.
        largest = LARGEST_OF_TWO if len(cells) <= 2 * LARGEST_OF_TWO else LARGEST
        blocks = _blocks(grid, cells, [*covers, *placed], largest)
        fewest = min(-(-len(cells) // LARGEST), -(-len(cells) // largest))
        # Chains of single cells have the simplest names, then those of few sets.
        for parts in (len(cells), *range(fewest, len(cells))):
            steps = iter(range(MOST_STEPS))
            found: set[str] = set()
            for parted in _partings(blocks, cells, parts, LARGEST_OF_TWO if parts == PAIR else LARGEST, steps):
                almost = [block.almost for block in parted if block.almost]
                for nodes, loop in _orders([*houses, *parted], covers, steps):
                    chain = build_chain(grid.layout, grid.live, nodes, loop=loop, almost=almost)
                    if all(link.constraints for link in chain.links) and _concludes(grid, inference, chain):
                        for pattern in (*readings(grid, chain).values(), *_other_digit(grid, chain)):
                            found.add(pattern.name)
                            yield pattern
            # A wing of three sets has a simpler name than a loop or a chain through two.
            if found and (parts >= WING or not found <= {SET_LOOP, SET_CHAIN}):
                break


def _other_digit(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    """Yield remote pairs, whose chain begins with the lower digit, for a chain that begins with the higher one."""
    cells = grid.layout.cells
    digits = {c // cells for node in chain.nodes for c in node}
    if not chain.loop and len(digits) == 2 and chain.nodes[0][0] // cells == max(digits):
        pairs = zip(chain.nodes[1::2], chain.nodes[::2], strict=True)
        nodes = [node for pair in pairs for node in pair]
        other = build_chain(grid.layout, grid.live, nodes)
        if all(link.constraints for link in other.links):
            yield from (pattern for name, pattern in readings(grid, other).items() if name == REMOTE_PAIRS)


def _concludes(grid: Grid, inference: Inference, chain: Chain) -> bool:
    """Whether a chain concludes all that the inference does."""
    found = argue_chain(grid, grid.layout, chain)
    false = {c for one in found for c in one.false}
    true = {c for one in found for c in one.true}
    return {*inference.false} <= false and {*inference.true} <= true


def _blocks(grid: Grid, cells: list[int], covers: list[int], largest: int) -> _Blocks:
    """Return every almost locked set among some cells, by its first cell, whose digits the covers can hold."""
    layout = grid.layout
    found: _Blocks = {cell: [] for cell in cells}
    different = sorted({*cells})
    for first in different:
        near = [cell for cell in different if cell > first and layout.neighbours[first] >> cell & 1]
        for more in range(largest):
            for rest in combinations(near, more):
                block = _almost(grid, (first, *rest))
                places = block.almost.places if block is not None and block.almost is not None else ()
                # Whatever a set has in common with a neighbour, or loses, a cover holds in all its places.
                if block is not None and all(any(not spot & ~cover for cover in covers) for spot in places):
                    found[first].append(((first, *rest), block))
    return found


def _partings(
    blocks: _Blocks, cells: list[int], parts: int, largest: int, steps: Iterator[int]
) -> Iterator[list[_Block]]:
    """Yield each way to part cells, of which some may come several times, into so many almost locked sets."""
    if not cells:
        yield []
        return
    first = min(cells)
    for chosen, block in blocks[first]:
        if len(chosen) > largest:
            continue
        if next(steps, None) is None:
            return
        left = len(cells) - len(chosen)
        if not parts - 1 <= left <= (parts - 1) * largest:
            continue
        others = cells[:]
        try:
            for cell in chosen:
                others.remove(cell)
        except ValueError:
            continue
        for parted in _partings(blocks, others, parts - 1, largest, steps):
            yield [block, *parted]


def _almost(grid: Grid, cells: tuple[int, ...]) -> _Block | None:
    """Return cells as a block if they are an almost locked set."""
    one = almost_locked(grid.layout, grid.live & ~grid.true, cells)
    return one and _Block(united(one.places), one if len(cells) > 1 else None)


def _orders(
    blocks: list[_Block], covers: list[int], steps: Iterator[int]
) -> Iterator[tuple[list[tuple[int, ...]], bool]]:
    """Yield the nodes of each chain or loop that runs once through all blocks, tied by the covers."""
    sides = [_sides(block, covers) for block in blocks]
    if not all(sides):
        return
    ties = _Ties(covers)
    for start, pairs in enumerate(sides):
        for a, b in pairs:
            for near, far in ((a, b), (b, a)):
                for way in _paths(sides, ties, 1 << start, [near, far], steps):
                    # A chain is found from both of its ends, a loop from each of its blocks.
                    for loop in (True, False):
                        wanted = not start and ties.tied(way[0], way[-1]) if loop else way[0] <= way[-1]
                        if not wanted:
                            continue
                        if next(steps, None) is None:
                            return
                        yield [tuple(bits(node)) for node in way], loop


class _Ties:
    """Which nodes have a cover in common; each two are looked up once.

    Parameters
    ----------
    covers : list of int
        Bitsets of open candidates.
    """

    def __init__(self, covers: list[int]) -> None:
        self._covers = covers
        self._known: dict[tuple[int, int], bool] = {}

    def tied(self, one: int, other: int) -> bool:
        """Whether one cover holds both nodes, which have no candidate in common."""
        known = self._known.get((one, other))
        if known is None:
            both = one | other
            known = not one & other and any(not both & ~cover for cover in self._covers)
            self._known[one, other] = known
        return known


def _paths(
    sides: list[list[tuple[int, int]]], ties: _Ties, used: int, way: list[int], steps: Iterator[int]
) -> Iterator[list[int]]:
    """Extend a way through blocks, each entered by one side and left by the other."""
    if used == (1 << len(sides)) - 1:
        yield way
        return
    tried = []
    for number, pairs in enumerate(sides):
        # A block that counts twice need not be tried twice at the same place.
        if used >> number & 1 or pairs in tried:
            continue
        tried.append(pairs)
        for a, b in pairs:
            for near, far in ((a, b), (b, a)):
                if ties.tied(way[-1], near):
                    if next(steps, None) is None:
                        return
                    yield from _paths(sides, ties, used | 1 << number, [*way, near, far], steps)


def _sides(block: _Block, covers: list[int]) -> list[tuple[int, int]]:
    """Return the ways to split a block into two nodes by what the covers hold of it."""
    if block.almost is not None:
        places = block.almost.places
        return [(places[i], places[j]) for i in range(len(places)) for j in range(i + 1, len(places))]
    whole = block.candidates
    parts = {whole & cover for cover in covers} | {1 << c for c in bits(whole)}
    return sorted(
        {
            (min(p, whole & ~p), max(p, whole & ~p))
            for p in parts
            if p and p != whole and _fits(whole & ~p, covers, whole)
        }
    )


def _fits(rest: int, covers: list[int], whole: int) -> bool:
    """Whether the other side of a split is one candidate or what a cover holds of the block."""
    return not rest & (rest - 1) or any(whole & cover == rest or not rest & ~cover for cover in covers)
