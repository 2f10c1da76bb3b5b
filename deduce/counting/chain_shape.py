"""Chains told from bases and covers: blocks with two sides each, tied in a path or a ring by covers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import gcd

from deduce.kernel import Counting, Inference, bits
from deduce.links import LARGEST, AlmostLocked, argue_chain, build_chain
from deduce.patterns import blossom
from deduce.patterns.naming import readings
from deduce.patterns.remote_pairs import REMOTE_PAIRS
from deduce.proof import Chain, Pattern, Role
from deduce.puzzle.grid import Grid

__all__ = ["chain_patterns"]

MOST_CELLS, MOST_BASES = 16, 24
"""Arguments with more cells, or more bases, are not read as chains: there would be too many ways to part them."""

MOST_STEPS = 2_000
"""How many steps of a path and sets of cells are tried before an argument is left without such a name."""


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


def chain_patterns(grid: Grid, inference: Inference, argument: Counting) -> Iterator[Pattern]:
    """Yield the patterns of chains, loops and death blossoms that an argument is.

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
    is tried.  In a chain each block is split in two by the covers that tie it to its neighbours or to what falls.
    """
    open_ = grid.live & ~grid.true
    masks = grid.model.masks
    covers = [open_ & masks[number] for number, _ in argument.covers]
    steps = iter(range(MOST_STEPS))
    shared = gcd(*(weight for _, weight in argument.bases))
    # The weights of a loop may be multiples of what it takes; those of a chain are how often it runs through a link.
    for scale in sorted({shared, 1}, reverse=True):
        bases = [number for number, weight in argument.bases for _ in range(min(weight // scale, MOST_BASES))]
        cells = [number for number in bases if number < grid.layout.cells]
        if len(cells) > MOST_CELLS or len(bases) > MOST_BASES:
            continue
        houses = [_Block(open_ & masks[n]) for n in bases if n >= grid.layout.cells]
        for parted in _partings(grid, cells, steps):
            almost = [block.almost for block in parted if block.almost]
            for nodes, loop in _orders([*houses, *parted], covers, steps):
                chain = build_chain(grid.layout, grid.live, nodes, loop=loop, almost=almost)
                if all(link.constraints for link in chain.links) and _concludes(grid, inference, chain):
                    # Remote pairs conclude more than one chain does.
                    yield from (pattern for name, pattern in readings(grid, chain).items() if name != REMOTE_PAIRS)
        if not houses:
            yield from _blossoms(grid, inference, cells)


def _concludes(grid: Grid, inference: Inference, chain: Chain) -> bool:
    """Whether a chain concludes all that the inference does."""
    found = argue_chain(grid, grid.layout, chain)
    false = {c for one in found for c in one.false}
    true = {c for one in found for c in one.true}
    return {*inference.false} <= false and {*inference.true} <= true


def _partings(grid: Grid, cells: list[int], steps: Iterator[int]) -> Iterator[list[_Block]]:
    """Yield each way to part cells into almost locked sets, cells of two candidates by themselves among them."""
    if not cells:
        yield []
        return
    first, rest = cells[0], cells[1:]
    near = [cell for cell in sorted({*rest} - {first}) if grid.layout.neighbours[first] >> cell & 1]
    for more in range(LARGEST):
        for chosen in combinations(near, more):
            if next(steps, None) is None:
                return
            block = _almost(grid, [first, *chosen])
            if block is None:
                continue
            others = rest[:]
            for cell in chosen:
                others.remove(cell)
            for parted in _partings(grid, others, steps):
                yield [block, *parted]


def _almost(grid: Grid, cells: list[int]) -> _Block | None:
    """Return cells as a block if they hold one digit more than they are, in one house."""
    layout = grid.layout
    here = sum(grid.live & ~grid.true & layout.masks[cell] for cell in cells)
    digits = tuple(sorted({c // layout.cells + 1 for c in bits(here)}))
    if len(digits) != len(cells) + 1 or not set.intersection(*({*layout.houses_of[cell]} for cell in cells)):
        return None
    if len(cells) == 1:
        return _Block(here)
    plane = (1 << layout.cells) - 1
    places = tuple(here & plane << (digit - 1) * layout.cells for digit in digits)
    return _Block(here, AlmostLocked(tuple(cells), digits, places))


def _orders(
    blocks: list[_Block], covers: list[int], steps: Iterator[int]
) -> Iterator[tuple[list[tuple[int, ...]], bool]]:
    """Yield the nodes of each chain or loop that runs once through all blocks, tied by the covers."""
    sides = [_sides(block, covers) for block in blocks]
    if not all(sides):
        return
    for start, pairs in enumerate(sides):
        for a, b in pairs:
            for near, far in ((a, b), (b, a)):
                for way in _paths(sides, covers, 1 << start, [near, far], steps):
                    nodes = [tuple(bits(node)) for node in way]
                    if start == 0 and _tied(covers, way[0], way[-1]):
                        yield nodes, True
                    yield nodes, False


def _paths(
    sides: list[list[tuple[int, int]]], covers: list[int], used: int, way: list[int], steps: Iterator[int]
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
                if _tied(covers, way[-1], near):
                    if next(steps, None) is None:
                        return
                    yield from _paths(sides, covers, used | 1 << number, [*way, near, far], steps)


def _tied(covers: list[int], one: int, other: int) -> bool:
    """Whether one cover holds both nodes, which have no candidate in common."""
    return not one & other and any(not (one | other) & ~cover for cover in covers)


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


def _blossoms(grid: Grid, inference: Inference, cells: list[int]) -> Iterator[Pattern]:
    """Yield death blossoms: a stem, and an almost locked set for each of its digits."""
    layout = grid.layout
    falling = {c // layout.cells + 1 for c in inference.false}
    if len(cells) < 4 or len(falling) != 1:
        return
    for stem in cells:
        digits = [c // layout.cells + 1 for c in bits(grid.live & layout.masks[stem])]
        if len(digits) < 3:
            continue
        for parted in _partings(grid, [cell for cell in cells if cell != stem], iter(range(MOST_STEPS))):
            if len(parted) != len(digits):
                continue
            yield from _petals(grid, stem, digits, parted, falling)


def _petals(grid: Grid, stem: int, digits: list[int], parted: list[_Block], falling: set[int]) -> Iterator[Pattern]:
    """Give each digit of a stem a petal that has it and the digit that falls."""
    layout = grid.layout
    held = []
    for block in parted:
        pairs = {divmod(c, layout.cells) for c in bits(block.candidates)}
        held.append((tuple(sorted({cell for _, cell in pairs})), {digit + 1 for digit, _ in pairs}))

    def assign(left: list[int], free: list[tuple[tuple[int, ...], set[int]]]) -> Iterator[list[tuple[int, ...]]]:
        if not left:
            yield []
            return
        for i, (petal, has) in enumerate(free):
            if left[0] in has and falling <= has:
                for rest in assign(left[1:], free[:i] + free[i + 1 :]):
                    yield [petal, *rest]

    for petals in assign(digits, held):
        roles = [Role("stem", "cells", (stem,))]
        roles += [
            Role(blossom.petal_role(layout, digit), "cells", petal) for digit, petal in zip(digits, petals, strict=True)
        ]
        yield Pattern(blossom.DEATH_BLOSSOM, (*roles, Role("digit", "digits", tuple(falling))))
