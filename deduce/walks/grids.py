"""The grid of a proof, where a proof has to be on one."""

from __future__ import annotations

from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["grid_of"]


def grid_of(proof: Proof) -> Grid:
    """Return the grid of a proof.

    Raises
    ------
    TypeError
        If the proof was found on a model without cells and digits, of which claims and notes speak.
    """
    if not isinstance(proof.grid, Grid):
        raise TypeError(f"claims and notes need a proof on a Grid, not on a {type(proof.grid).__name__}")
    return proof.grid
