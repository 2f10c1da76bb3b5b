"""Two walks of one puzzle side by side, as a picture and as a page.

The picture shows the step by which each goes its own way, and below it the effort of every step as a row of bars.
"""

from __future__ import annotations

from html import escape
from itertools import zip_longest

from deduce.pages.frame import document, embedded
from deduce.pictures.drawing import Drawing
from deduce.pictures.geometry import figure
from deduce.pictures.scene import of_grid, of_proof
from deduce.pictures.svg import drawing
from deduce.pictures.themes import LIGHT, ORANGE, SKY
from deduce.planning.compare import Comparison
from deduce.walks.effort import SIMPLE, effort
from deduce.walks.walk import Step, Walk
from deduce.words.en.planning import course, summary

__all__ = ["compare_page", "compare_picture"]

TITLE = "Two walks of one puzzle"
GAP, HEAD, BARS = 24.0, 34.0, 110.0


def compare_picture(comparison: Comparison) -> str:
    """Return two walks side by side as the text of an SVG file.

    Parameters
    ----------
    comparison : Comparison
        The walks.

    Returns
    -------
    str
        The grids where they part, each with the step that its walk takes there, and the efforts of all steps: a bar
        with an outline is an advanced step, and a mark below the bars shows where the walks part.
    """
    boards = [_board(walk, comparison.part) for walk in (comparison.first, comparison.second)]
    wide, high = max(board.width for board in boards), max(board.height for board in boards)
    width, height = 2 * wide + 3 * GAP, HEAD + high + BARS + 3 * GAP
    most = max(profile.peak for profile in comparison.efforts) or 1
    parts = []
    for column, (board, walk) in enumerate(zip(boards, (comparison.first, comparison.second), strict=True)):
        left = GAP + column * (wide + GAP)
        name = escape(f"{comparison.names[column]}: {len(walk)} steps, {comparison.efforts[column].advanced} advanced")
        parts.append(f'<text x="{figure(left)}" y="24" font-size="17" fill="{LIGHT.ink}">{name}</text>')
        parts.append(board.svg(at=(left, HEAD)))
        parts += _bars(walk, left, HEAD + high + GAP, wide, most, comparison.part)
    return Drawing(TITLE, summary(comparison), width, height, LIGHT.paper, parts, style="").svg()


def compare_page(comparison: Comparison) -> str:
    """Return two walks side by side as one HTML file that needs nothing beside itself."""
    said = "".join(f"<p>{escape(line)}</p>\n" for line in summary(comparison).splitlines())
    rows = []
    for number, pair in enumerate(zip_longest(course(comparison.first), course(comparison.second), fillvalue="")):
        apart = ' class="apart"' if comparison.part is not None and number >= comparison.part else ""
        rows.append("<tr>" + "".join(f"<td{apart}>{escape(line)}</td>" for line in pair) + "</tr>\n")
    one, other = map(escape, comparison.names)
    return document(
        TITLE,
        f"<h1>{TITLE}</h1>\n{said}{embedded(compare_picture(comparison), summary(comparison))}"
        f"<table>\n<thead><tr><th>{one}</th><th>{other}</th></tr></thead>\n<tbody>\n{''.join(rows)}</tbody>\n</table>",
        "compare.css",
    )


def _board(walk: Walk, part: int | None) -> Drawing:
    """Draw the step that a walk takes where it parts, or its last position if it has ended there."""
    if part is None or part >= len(walk):
        return drawing(of_grid(walk.grid))
    return drawing(of_proof(walk.steps[part].proof))


def _bars(walk: Walk, left: float, top: float, wide: float, most: int, part: int | None) -> list[str]:
    """Draw the efforts of all steps, on one scale for both walks."""
    floor, each = top + BARS - 16, wide / max(1, len(walk))
    drawn = [f'<path stroke="{LIGHT.faint}" d="M{figure(left)} {figure(floor)}h{figure(wide)}"/>']
    for number, step in enumerate(walk.steps):
        drawn.append(_bar(step, left + number * each, floor, each, (BARS - 32) / most))
    if part is not None and part < len(walk):
        x = left + (part + 0.5) * each
        drawn.append(f'<path fill="{LIGHT.ink}" d="M{figure(x)} {figure(floor + 2)}l5 9h-10z"/>')
    words = f"effort of each step; the largest is {max((effort(s.proof).total for s in walk.steps), default=0)}"
    drawn.append(f'<text x="{figure(left)}" y="{figure(top + 8)}" font-size="12" fill="{LIGHT.faint}">{words}</text>')
    return drawn


def _bar(step: Step, x: float, floor: float, each: float, scale: float) -> str:
    high = effort(step.proof).total * scale
    advanced = step.proof.pattern.name not in SIMPLE
    look = f'fill="{ORANGE}" stroke="{LIGHT.ink}"' if advanced else f'fill="{SKY}"'
    return (
        f'<rect x="{figure(x)}" y="{figure(floor - high)}" width="{figure(max(each - 1.5, 1))}" '
        f'height="{figure(high)}" {look}/>'
    )
