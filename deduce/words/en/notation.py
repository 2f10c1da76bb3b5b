"""The written chain: nodes joined by ``=`` for strong links and ``-`` for weak ones, then what follows.

It is a claim, so :func:`deduce.claims.text.parse_claim` reads it back.
"""

from __future__ import annotations

from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.chains import joined
from deduce.words.en.names import Names, series

__all__ = ["notation", "written_chain"]


def notation(proof: Proof) -> str:
    """Write the chain of a proof with its conclusion; empty if its pattern is no chain.

    A loop ends with its last weak link and the first node once more.
    """
    chain = written_chain(proof)
    return f"{chain}, so {_concluded(proof)}" if chain else ""


def _concluded(proof: Proof) -> str:
    """Say which candidates are true and which false, such as ``8r4c3 and 8r5c8 are false``."""
    lost = sorted(proof.eliminates, key=lambda c: (c.row, c.column, c.digit))
    told = [
        f"{series(map(str, tokens))} {'is' if len(tokens) == 1 else 'are'} {what}"
        for tokens, what in ((proof.places, "true"), (lost, "false"))
        if tokens
    ]
    return series(told) or "the position has no solution"


def written_chain(proof: Proof) -> str:
    """Write the chain of a proof alone, such as ``(7)r1c9 = (7)r1c3 - (8)r1c3``."""
    chain, names = proof.pattern.chain, Names(grid_of(proof).layout)
    if chain is None:
        return ""
    return names.node(chain.nodes[0]) + "".join(
        f" {'=' if link.strong else '-'} {names.node(far)}" for link, _, far in joined(chain)
    )
