"""Named patterns as reasons: which proofs on the board are meant."""

from __future__ import annotations

from deduce.claims.claim import Named
from deduce.patterns.catalogue import find_unasked
from deduce.positions import bits
from deduce.proof import Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["cells_of", "digits_of", "houses_of", "matching", "means"]


def matching(grid: Grid, named: Named) -> list[Proof]:
    """Return the proofs on the board that a named reason may mean, easiest first.

    A reason that assumes a unique solution is taken at its word here; whoever judges it knows the solutions.
    """
    return [proof for proof in find_unasked(grid, named.names) if means(grid, proof, named)]


def means(grid: Grid, proof: Proof, named: Named) -> bool:
    """Whether everything that was mentioned belongs to a proof's pattern."""
    if proof.pattern.name not in named.names:
        return False
    cells = cells_of(grid, proof)
    mentioned = (
        (named.cells, cells),
        (named.digits, digits_of(grid, proof)),
        (named.houses, houses_of(grid, proof)),
    )
    if not all(set(told) <= there for told, there in mentioned):
        return False
    return all(_plays(grid, proof, label, told) for label, told in named.labels)


def cells_of(grid: Grid, proof: Proof) -> set[int]:
    """Return the cells of a pattern: those that play a part in it, and those of its chain."""
    found = {cell for role in proof.pattern.roles for cell in _role_cells(grid, role)}
    chain = proof.pattern.chain
    return found | {c % grid.layout.cells for node in (chain.nodes if chain else ()) for c in node}


def digits_of(grid: Grid, proof: Proof) -> set[int]:
    """Return the digits of a pattern.

    A pattern whose definition lists digits has those and no others; one with a pivot or pincers has all that stand in
    its cells.
    """
    size = grid.layout.cells
    pattern = proof.pattern
    listed = pattern.role("digits")
    if listed:
        return set(listed)
    found = {digit for role in pattern.roles if role.kind == "digits" for digit in role.items}
    found |= {c // size + 1 for role in pattern.roles if role.kind == "candidates" for c in role.items}
    for cell in (cell for role in pattern.roles if role.kind == "cells" for cell in role.items):
        found |= {c // size + 1 for c in bits(grid.live & grid.layout.masks[cell])}
    return found | {c // size + 1 for node in (pattern.chain.nodes if pattern.chain else ()) for c in node}


def houses_of(grid: Grid, proof: Proof) -> set[int]:
    """Return the houses of a pattern: with a part in it, of its links, and such as hold all its cells."""
    layout, pattern = grid.layout, proof.pattern
    found = {house for role in pattern.roles if role.kind == "houses" for house in role.items}
    for link in pattern.chain.links if pattern.chain else ():
        found |= {place[0] for place in map(layout.house_of, link.constraints) if place is not None}
    cells = cells_of(grid, proof)
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
