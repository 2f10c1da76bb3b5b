"""What a notebook shows for grids, proofs and walks, by media type."""

from __future__ import annotations

from deduce.pages.player import fragment, proof_html
from deduce.pictures import picture
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.walks.walk import Walk
from deduce.words.en.explain import explain, headline, outcome

__all__ = ["grid_bundle", "proof_bundle", "walk_bundle"]


def grid_bundle(grid: Grid) -> dict[str, str]:
    """Return what a notebook shows for a grid."""
    return {"image/svg+xml": picture(grid), "text/plain": str(grid)}


def proof_bundle(proof: Proof) -> dict[str, str]:
    """Return what a notebook shows for a proof."""
    return {
        "text/html": proof_html(proof),
        "image/svg+xml": picture(proof),
        "text/plain": f"{headline(proof)}\n{explain(proof)}",
    }


def walk_bundle(walk: Walk) -> dict[str, str]:
    """Return what a notebook shows for a walk."""
    return {"text/html": fragment(walk), "text/plain": outcome(walk)}
