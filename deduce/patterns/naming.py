"""Which other names fit a deduction: a chain read as each of the patterns that are chains."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain as joined, combinations

from deduce.links.argue import argue_chain, build_chain
from deduce.links.sets import almost_locked
from deduce.patterns.almost_locked import ALS_XZ, places_of
from deduce.patterns.blossom import DEATH_BLOSSOM, petals_of
from deduce.patterns.chain_fault import chain_fault
from deduce.patterns.chains import SET_CHAIN
from deduce.patterns.crossing_sets import WXYZ_WING
from deduce.patterns.families import CATALOGUE
from deduce.patterns.wings import XYZ_WING
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof
from deduce.puzzle.grid import Grid

__all__ = ["fitting", "readings"]

_OF_CHAIN = tuple(dict.fromkeys(family.of_chain for family in CATALOGUE if family.of_chain is not None))
_SPREAD = (XYZ_WING, WXYZ_WING, DEATH_BLOSSOM)
_SET_NAMES = {ALS_XZ, SET_CHAIN}


def fitting(grid: Grid, proof: Proof) -> set[str]:
    """Return the names that the deduction of a proof fits, besides its own.

    A chain fits a name if, read from one end or the other, it is what the name says.  A wing that is no
    chain, or a death blossom, fits ALS-XZ if its cells are two almost locked sets from which the same candidates fall.
    """
    pattern = proof.pattern
    if pattern.chain:
        return {*readings(grid, pattern.chain)} - {pattern.name}
    if pattern.name in _SPREAD:
        return {name for chain in _as_two_sets(grid, proof) for name in _SET_NAMES & {*readings(grid, chain)}}
    return set()


def readings(grid: Grid, chain: Chain) -> dict[str, Pattern]:
    """Return the names that a chain fits, each with the first pattern that it then is; nothing where a link fails."""
    found: dict[str, Pattern] = {}
    for of_chain in _OF_CHAIN if chain_fault(grid, chain) is None else ():
        for pattern in of_chain(grid, chain):
            found.setdefault(pattern.name, pattern)
    return found


def _as_two_sets(grid: Grid, proof: Proof) -> Iterator[Chain]:
    """Read a wing of three or four cells, or a blossom, as chains through two almost locked sets."""
    pattern, layout = proof.pattern, grid.layout
    (z,) = pattern.role("digit")
    open_ = grid.live & ~grid.true
    gone = {c for inference in proof.inferences for c in inference.false}
    for part, rest in _two_parts(pattern):
        one, other = almost_locked(layout, open_, part), almost_locked(layout, open_, rest)
        if one is None or other is None or z not in one.digits or z not in other.digits:
            continue
        for x in one.digits:
            if x == z or x not in other.digits:
                continue
            sides = ((one, z), (one, x), (other, x), (other, z))
            nodes = [tuple(bits(places_of(*side))) for side in sides]
            chain = build_chain(layout, grid.live, nodes, almost=(one, other))
            if all(link.constraints for link in chain.links) and gone == _falls(grid, chain):
                yield chain


def _two_parts(pattern: Pattern) -> Iterator[tuple[Sequence[int], Sequence[int]]]:
    """Yield the ways to part a wing in two; or the petal of one digit, and the stem with that of all its others."""
    if pattern.name == DEATH_BLOSSOM:
        petals = petals_of(pattern)
        for cells in {*petals} if len({*petals}) == 2 else ():
            if petals.count(cells) == 1:
                (larger,) = {*petals} - {cells}
                yield cells, sorted((*pattern.role("stem"), *larger))
        return
    wing = sorted((*pattern.role("pivot"), *pattern.role("pincers"), *pattern.role("wing")))
    for part in joined.from_iterable(combinations(wing, size) for size in range(1, len(wing) // 2 + 1)):
        yield part, [cell for cell in wing if cell not in part]


def _falls(grid: Grid, chain: Chain) -> set[int]:
    """Return what a chain eliminates."""
    return {c for inference in argue_chain(grid, grid.layout, chain) for c in inference.false}
