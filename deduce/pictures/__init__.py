"""Words and pictures: a scene is made once and printed as SVG, text or a page.

Everything is loaded when it is first asked for, so that importing this package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from matplotlib.figure import Figure

    from deduce.pictures.scene import Scene
    from deduce.proof import Proof
    from deduce.puzzle.grid import Grid
    from deduce.walks.walk import Step, Walk

__all__ = [
    "animate",
    "chart",
    "grid_bundle",
    "page",
    "picture",
    "proof_bundle",
    "scene_of",
    "walk_bundle",
    "write_storyboard",
]


def scene_of(thing: Grid | Proof) -> Scene:
    """Return the scene of a grid or a proof."""
    from deduce.pictures.scene import of_grid, of_proof
    from deduce.puzzle.grid import Grid

    return of_grid(thing) if isinstance(thing, Grid) else of_proof(thing)


def picture(thing: Grid | Proof, *, theme: str = "light", notes: str = "all", size: int | None = None) -> str:
    """Draw a grid or a proof as the text of an SVG file.

    Parameters
    ----------
    thing : Grid or Proof
        What to draw.
    theme : str
        ``"light"``, ``"dark"`` or ``"print"``.
    notes : str
        Which notes to show beside those with a part in the step: ``"all"``, ``"needed"`` (those that the step rests
        on) or ``"none"``.
    size : int, optional
        Width in pixels.

    Raises
    ------
    ValueError
        For an unknown theme or choice of notes, or a size that is not above zero.
    """
    from deduce.pictures.svg import svg

    return svg(scene_of(thing).with_notes(notes), theme=theme, size=size)


def page(walk: Walk, *, theme: str = "light") -> str:
    """Return a walk as one self-contained HTML page, with pictures of the given theme."""
    from deduce.pages.player import page

    return page(walk, theme=theme)


def write_storyboard(
    walk: Walk, folder: str | Path, *, theme: str = "light", notes: str = "all", size: int = 900
) -> tuple[Path, ...]:
    """Write frames, script, chapter marks and thumbnails of a walk; see `deduce.pages.storyboard.storyboard`."""
    from deduce.pages.storyboard import storyboard as write

    return write(walk, folder, theme=theme, notes=notes, size=size)


def animate(step: Step, file: str | Path, *, theme: str = "light", size: int = 700, seconds: float = 2.5) -> Path:
    """Write one step as an animated GIF or WebP; see `deduce.pages.storyboard.animate`."""
    from deduce.pages.storyboard import animate as write

    return write(step, file, theme=theme, size=size, seconds=seconds)


def chart(walk: Walk) -> Figure:
    """Draw the course of a walk with matplotlib; see `deduce.pages.charts.chart`."""
    from deduce.pages.charts import chart as draw

    return draw(walk)


def grid_bundle(grid: Grid) -> dict[str, str]:
    """Return what a notebook shows for a grid, by media type."""
    return {"image/svg+xml": picture(grid), "text/plain": str(grid)}


def proof_bundle(proof: Proof) -> dict[str, str]:
    """Return what a notebook shows for a proof, by media type."""
    from deduce.pages.player import proof_html
    from deduce.words.en.explain import explain, headline

    drawn = picture(proof)
    return {
        "text/html": proof_html(proof),
        "image/svg+xml": drawn,
        "text/plain": f"{headline(proof)}\n{explain(proof)}",
    }


def walk_bundle(walk: Walk) -> dict[str, str]:
    """Return what a notebook shows for a walk, by media type."""
    from deduce.pages.player import fragment
    from deduce.words.en.explain import outcome

    return {"text/html": fragment(walk), "text/plain": outcome(walk)}
