"""Pictures: a scene is made once and printed as SVG or text.

Everything is loaded when it is first asked for, so that importing this package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from deduce import lazily

if TYPE_CHECKING:
    from deduce.pages.charts import chart as chart
    from deduce.pages.notebook import (
        grid_bundle as grid_bundle,
        proof_bundle as proof_bundle,
        walk_bundle as walk_bundle,
    )
    from deduce.pages.player import page as page
    from deduce.pages.storyboard import animate as animate, storyboard as storyboard
    from deduce.pictures.scene import Scene
    from deduce.proof import Proof
    from deduce.puzzle.grid import Grid

# Whole documents have a room of their own; their names are found here too.
_HOMES = {
    "animate": "pages.storyboard",
    "chart": "pages.charts",
    "grid_bundle": "pages.notebook",
    "page": "pages.player",
    "proof_bundle": "pages.notebook",
    "walk_bundle": "pages.notebook",
    "storyboard": "pages.storyboard",
}

__all__ = ["picture", "scene_of", "turning_points"]
__all__ += list(_HOMES)

__getattr__, __dir__ = lazily(globals(), _HOMES)


def scene_of(thing: Grid | Proof) -> Scene:
    """Return the scene of a grid or a proof."""
    from deduce.pictures.scene import of_grid, of_proof
    from deduce.puzzle.grid import Grid

    return of_grid(thing) if isinstance(thing, Grid) else of_proof(thing)


def picture(
    thing: Grid | Proof,
    *,
    theme: str = "light",
    notes: str = "all",
    size: int | tuple[int, int] | None = None,
    key: bool = True,
    numbers: bool = True,
    labels: bool = True,
    transparent: bool = False,
) -> str:
    """Draw a grid or a proof as the text of an SVG file.

    Parameters
    ----------
    thing : Grid or Proof
        What to draw.
    theme : str
        ``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for projection.
    notes : str
        Which notes to show beside those with a part in the step: ``"all"``, ``"needed"`` (those that the step rests
        on) or ``"none"``.
    size : int or pair of int, optional
        Width in pixels, or exactly this width and height, with the drawing in the middle.
    key : bool
        Whether the marks are explained below the grid, which has the same size and place without that.
    numbers : bool
        Whether the nodes of a chain have running numbers.
    labels : bool
        Whether rows and columns are named beside the grid.
    transparent : bool
        Whether there is no paper behind the drawing.

    Raises
    ------
    ValueError
        For an unknown theme or choice of notes, or a size that is not above zero.
    """
    from deduce.pictures.svg import svg

    looks = {"theme": theme, "key": key, "numbers": numbers, "labels": labels, "transparent": transparent}
    return svg(scene_of(thing).with_notes(notes), size=size, **looks)


def turning_points(proof: Proof, **options: Any) -> tuple[str, ...]:
    """Draw what matters of a supposition as SVG texts of one size, a picture for each turning point.

    Parameters
    ----------
    proof : Proof
        A supposition; of any other proof there is its one picture.
    **options
        Those of `picture` but for `notes`.

    Returns
    -------
    tuple of str
        What is supposed, with all that follows; each consequence that is more than a single; and what cannot be met.
    """
    from deduce.pictures.scene import turning_points
    from deduce.pictures.svg import frames

    return tuple(frames(turning_points(proof), **options))
