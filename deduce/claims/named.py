"""Named patterns as reasons: which proofs on the board are meant, or why there is none."""

from __future__ import annotations

from deduce.claims.claim import Claim, Named
from deduce.patterns.catalogue import find_unasked
from deduce.patterns.families import family_of
from deduce.patterns.singles import LAST
from deduce.patterns.why_not import Fault, FaultKind
from deduce.positions import bits, united
from deduce.proof import Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["matching", "named_fault"]


_KINDS = ("digits", "cells", "candidates")


def matching(grid: Grid, named: Named) -> list[Proof]:
    """Return the proofs on the board that a named reason may mean, easiest first.

    A reason that assumes a unique solution is taken at its word here; whoever judges it knows the solutions.
    """
    return [proof for proof in find_unasked(grid, named.names) if _means(grid, proof, named)]


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
    found = []
    for name in named.names:
        family = family_of(name)
        why_not = family.why_not if family is not None else None
        fault = why_not(grid, name, named, claim.places) if callable(why_not) else None
        plain = Fault(FaultKind.NOT_THERE, cells=named.cells, digits=named.digits, houses=named.houses, pattern=name)
        found.append(fault or plain)
    return min(found, key=lambda fault: (fault.kind is FaultKind.NOT_THERE, len(fault.blockers)))


def _means(grid: Grid, proof: Proof, named: Named) -> bool:
    """Whether everything that was mentioned belongs to a proof's pattern."""
    cells = _cells_of(grid, proof)
    mentioned = (
        (named.cells, cells),
        (named.digits, _digits_of(grid, proof)),
        (named.houses, _houses_of(grid, proof, cells)),
    )
    if proof.pattern.name not in named.names or not all(there.issuperset(told) for told, there in mentioned):
        return False
    return all(_plays(grid, proof, label, told) for label, told in named.labels)


def _cells_of(grid: Grid, proof: Proof) -> set[int]:
    """Return the cells of a pattern: those that play a part in it, and those of its chain."""
    found = {cell for role in proof.pattern.roles for cell in _role_cells(grid, role)}
    return found | {c % grid.layout.cells for c in _noted(proof)}


def _noted(proof: Proof) -> list[int]:
    """Return the candidates of a pattern's chain."""
    chain = proof.pattern.chain
    return [c for node in (chain.nodes if chain else ()) for c in node]


def _digits_of(grid: Grid, proof: Proof) -> set[int]:
    """Return the digits of a pattern.

    A pattern whose definition lists digits has those and no others; one with a pivot or pincers has all that stand in
    its cells.
    """
    size = grid.layout.cells
    pattern = proof.pattern
    listed = pattern.role("digits")
    if listed:
        return set(listed)
    by_kind = {kind: [item for role in pattern.roles if role.kind == kind for item in role.items] for kind in _KINDS}
    held = united(grid.layout.masks[cell] for cell in by_kind["cells"]) & grid.live
    noted = (*by_kind["candidates"], *bits(held), *_noted(proof))
    return {*by_kind["digits"], *(c // size + 1 for c in noted)}


def _houses_of(grid: Grid, proof: Proof, cells: set[int]) -> set[int]:
    """Return the houses of a pattern: with a part in it, of its links, and such as hold all its cells.

    Of what is hidden in a house that house alone: in another house of its cells the digits may have more places.
    """
    layout, pattern = grid.layout, proof.pattern
    found = {house for role in pattern.roles if role.kind == "houses" for house in role.items}
    for link in pattern.chain.links if pattern.chain else ():
        found |= {place[0] for place in map(layout.house_of, link.constraints) if place is not None}
    if pattern.name == LAST or pattern.name.startswith("hidden "):
        return found
    return found | {h for h, house in enumerate(layout.houses) if cells and cells <= {*house.cells}}


def _role_cells(grid: Grid, role: Role) -> set[int]:
    """Return the cells of a role, of its candidates too."""
    if role.kind == "cells":
        return {*role.items}
    return {c % grid.layout.cells for c in role.items} if role.kind == "candidates" else set()


def _plays(grid: Grid, proof: Proof, label: str, cells: tuple[int, ...]) -> bool:
    """Whether cells play the part that they were given, such as pivot."""
    roles = [role for role in proof.pattern.roles if role.name.rstrip("s") == label]
    return any({*cells} <= _role_cells(grid, role) for role in roles)
