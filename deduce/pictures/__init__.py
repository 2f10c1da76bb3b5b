"""Words and pictures: a scene is made once and printed as SVG, text or a page.

Everything is loaded when it is first asked for, so that importing this package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deduce.pictures.scene import Scene
    from deduce.proof import Proof
    from deduce.puzzle.grid import Grid
    from deduce.walks.walk import Walk

__all__ = ["grid_bundle", "page", "picture", "proof_bundle", "scene_of", "walk_bundle"]


def scene_of(thing: Grid | Proof) -> Scene:
    """Return the scene of a grid or a proof."""
    from deduce.pictures.scene import of_grid, of_proof
    from deduce.puzzle.grid import Grid

    return of_grid(thing) if isinstance(thing, Grid) else of_proof(thing)


def picture(thing: Grid | Proof) -> str:
    """Draw a grid or a proof as the text of an SVG file."""
    from deduce.pictures.svg import svg

    return svg(scene_of(thing))


def page(walk: Walk) -> str:
    """Return a walk as one self-contained HTML page."""
    from deduce.pictures.player import page

    return page(walk)


def grid_bundle(grid: Grid) -> dict[str, str]:
    """Return what a notebook shows for a grid, by media type."""
    return {"image/svg+xml": picture(grid), "text/plain": str(grid)}


def proof_bundle(proof: Proof) -> dict[str, str]:
    """Return what a notebook shows for a proof, by media type."""
    from deduce.pictures.player import proof_html
    from deduce.pictures.words import explain, headline

    drawn = picture(proof)
    return {
        "text/html": proof_html(proof),
        "image/svg+xml": drawn,
        "text/plain": f"{headline(proof)}\n{explain(proof)}",
    }


def walk_bundle(walk: Walk) -> dict[str, str]:
    """Return what a notebook shows for a walk, by media type."""
    from deduce.pictures.player import fragment
    from deduce.pictures.words import outcome

    return {"text/html": fragment(walk), "text/plain": outcome(walk)}
