"""The written chain: nodes joined by ``=`` for strong links and ``-`` for weak ones, then what follows."""

from __future__ import annotations

from deduce.pictures.names import Names, grid_of
from deduce.proof import Candidate, Proof

__all__ = ["conclusion", "notation", "written_chain"]


def notation(proof: Proof) -> str:
    """Write the chain of a proof with its conclusion; empty if its pattern is no chain.

    A loop ends with its last weak link and the first node once more.
    """
    chain = written_chain(proof)
    return f"{chain} => {conclusion(proof)}" if chain else ""


def written_chain(proof: Proof) -> str:
    """Write the chain of a proof alone, such as ``(7)r1c9 = (7)r1c3 - (8)r1c3``."""
    chain = proof.pattern.chain
    if chain is None:
        return ""
    names = Names(grid_of(proof).layout)
    written = names.node(chain.nodes[0])
    following = (*chain.nodes[1:], chain.nodes[0]) if chain.loop else chain.nodes[1:]
    for link, node in zip(chain.links, following, strict=True):
        written += f" {'=' if link.strong else '-'} {names.node(node)}"
    return written


def conclusion(proof: Proof) -> str:
    """Write what a proof concludes, such as ``r1c1 <> 7, r2c2 <> 7`` or ``r1c1 = 7``."""
    if proof.contradiction:
        return "contradiction"
    placed = [f"{_cell(c)} = {_symbol(c)}" for c in proof.places]
    lost = sorted(proof.eliminates, key=lambda c: (c.row, c.column, c.digit))
    return ", ".join(placed + [f"{_cell(c)} <> {_symbol(c)}" for c in lost])


def _cell(candidate: Candidate) -> str:
    return f"r{candidate.row}c{candidate.column}"


def _symbol(candidate: Candidate) -> str:
    return candidate.symbol or str(candidate.digit)
