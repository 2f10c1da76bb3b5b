"""Which other names fit a deduction: a chain read as each of the patterns that are chains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain as joined
from itertools import combinations

from deduce.links import almost_locked_sets, argue_chain, build_chain
from deduce.patterns.almost_locked import places_of, through_sets
from deduce.patterns.chain_fault import set_cells
from deduce.patterns.crossing_sets import WXYZ_WING
from deduce.patterns.families import CATALOGUE, family_of
from deduce.patterns.set_chains import SET_CHAIN
from deduce.patterns.wings import XYZ_WING
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["fitting", "readings"]

_OF_CHAIN = tuple(dict.fromkeys(family.of_chain for family in CATALOGUE if family.of_chain is not None))
_SPREAD = (XYZ_WING, WXYZ_WING)


def fitting(grid: Grid, proof: Proof) -> set[str]:
    """Return the names that the deduction of a proof fits, besides its own.

    A chain fits a name if, read from one end or the other, it is what the name says.  An XYZ-wing or WXYZ-wing fits
    ALS-XZ if its cells are two almost locked sets from which the same candidates fall.
    """
    pattern = proof.pattern
    if pattern.chain:
        return {*readings(grid, pattern.chain)} - {pattern.name}
    if pattern.name in _SPREAD:
        return {*_true(grid, _as_two_sets(grid, proof))}
    return set()


def readings(grid: Grid, chain: Chain) -> dict[str, Pattern]:
    """Return the names that a chain fits, each with the pattern that it then is."""
    return _true(grid, (pattern for of_chain in _OF_CHAIN for pattern in of_chain(grid, chain)))


def _true(grid: Grid, patterns: Iterable[Pattern]) -> dict[str, Pattern]:
    """Return the patterns that are what their names say, the first of each name."""
    found: dict[str, Pattern] = {}
    for pattern in patterns:
        family = family_of(pattern.name)
        if family is not None and pattern.name not in found and family.fault(grid, pattern) is None:
            found[pattern.name] = pattern
    return found


def _as_two_sets(grid: Grid, proof: Proof) -> Iterator[Pattern]:
    """Read a wing of three or four cells as two almost locked sets."""
    pattern, layout = proof.pattern, grid.layout
    wing = sorted((*pattern.role("pivot"), *pattern.role("pincers"), *pattern.role("wing")))
    (z,) = pattern.role("digit")
    open_ = grid.live & ~grid.true & sum(layout.masks[cell] for cell in wing)
    known = {one.cells: one for one in almost_locked_sets(layout, open_)}
    gone = {c for inference in proof.inferences for c in inference.false}
    splits = joined.from_iterable(combinations(wing, size) for size in range(1, len(wing) // 2 + 1))
    for part in splits:
        one, other = known.get(part), known.get(tuple(cell for cell in wing if cell not in part))
        if one is None or other is None or z not in one.digits or z not in other.digits:
            continue
        for x in one.digits:
            if x == z or x not in other.digits:
                continue
            sides = ((one, z), (one, x), (other, x), (other, z))
            nodes = [tuple(bits(places_of(*side))) for side in sides]
            chain = build_chain(layout, grid.live, nodes, almost=(one, other))
            if all(link.constraints for link in chain.links) and gone == _falls(grid, chain):
                yield from through_sets(grid, chain)
                yield Pattern(SET_CHAIN, (Role("set cells", "cells", set_cells(chain)),), chain)


def _falls(grid: Grid, chain: Chain) -> set[int]:
    """Return what a chain eliminates."""
    return {c for inference in argue_chain(grid, grid.layout, chain) for c in inference.false}
