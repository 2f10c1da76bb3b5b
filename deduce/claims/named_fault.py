"""Why there is no such pattern: what the families that were named say is in the way."""

from __future__ import annotations

from deduce.claims.claim import Claim, Named
from deduce.patterns.families import family_of
from deduce.patterns.why_not import Fault, FaultKind
from deduce.puzzle.grid import Grid

__all__ = ["named_fault"]


def named_fault(grid: Grid, named: Named, claim: Claim) -> Fault:
    """Say what keeps a named pattern from being there.

    Parameters
    ----------
    grid : Grid
        The position.
    named : Named
        The reason; no proof on the board fits it.
    claim : Claim
        What it is given for; a single is known by what it places.

    Returns
    -------
    Fault
        With every candidate that would have to fall for the pattern to be there; where several readings are possible,
        that with the fewest.  `NOT_THERE` if too little was mentioned to say more.
    """
    found = [_one(grid, name, named, claim) for name in named.names]
    return min(found, key=lambda fault: (fault.kind is FaultKind.NOT_THERE, len(fault.blockers)))


def _one(grid: Grid, name: str, named: Named, claim: Claim) -> Fault:
    """Say what is wrong with one reading of the name."""
    family = family_of(name)
    why_not = family.why_not if family is not None else None
    fault = why_not(grid, name, named, claim.places) if callable(why_not) else None
    return fault or Fault(
        FaultKind.NOT_THERE, pattern=name, cells=named.cells, digits=named.digits, houses=named.houses
    )
