"""Two walks of one puzzle side by side, as a picture and as a page.

The picture shows the step by which each goes its own way, and below it the effort of every step as a row of bars.
"""

from __future__ import annotations

import re
from html import escape
from itertools import zip_longest

from deduce.pages.frame import document, embedded, style
from deduce.pictures.geometry import figure
from deduce.pictures.scene import of_grid, of_proof
from deduce.pictures.svg import svg
from deduce.planning.compare import Comparison
from deduce.walks.effort import SIMPLE, effort
from deduce.walks.walk import Step, Walk
from deduce.words.en.planning import course, summary

__all__ = ["compare_page", "compare_picture"]

SKY, ORANGE, BLACK, PAPER, GREY = "#56B4E9", "#E69F00", "#000", "#fff", "#444"
FONT = "DejaVu Sans,Verdana,Arial,Helvetica,sans-serif"
GAP, HEAD, BARS = 24.0, 34.0, 110.0

_SIZE = re.compile(r'<svg [^>]*?width="([0-9.]+)"[^>]*?height="([0-9.]+)"')


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
    sizes = [_size(board) for board in boards]
    wide, high = max(size[0] for size in sizes), max(size[1] for size in sizes)
    width, height = 2 * wide + 3 * GAP, HEAD + high + BARS + 3 * GAP
    most = max(profile.peak for profile in comparison.efforts) or 1
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {figure(width)} {figure(height)}" '
        f'width="{figure(width)}" height="{figure(height)}" role="img" font-family="{FONT}">',
        "<title>Two walks of one puzzle</title>",
        f"<desc>{escape(summary(comparison))}</desc>",
        f'<path fill="{PAPER}" d="M0 0h{figure(width)}v{figure(height)}h{figure(-width)}z"/>',
    ]
    for column, (board, walk) in enumerate(zip(boards, (comparison.first, comparison.second), strict=True)):
        left = GAP + column * (wide + GAP)
        name = escape(f"{comparison.names[column]}: {len(walk)} steps, {comparison.efforts[column].advanced} advanced")
        parts.append(f'<text x="{figure(left)}" y="24" font-size="17" fill="{BLACK}">{name}</text>')
        place = f'<svg x="{figure(left)}" y="{figure(HEAD)}" '
        parts.append(board.replace("<svg ", place, 1))
        parts += _bars(walk, left, HEAD + high + GAP, wide, most, comparison.part)
    parts.append("</svg>")
    return "\n".join(parts)


def compare_page(comparison: Comparison) -> str:
    """Return two walks side by side as one HTML file that needs nothing beside itself."""
    said = "".join(f"<p>{escape(line)}</p>\n" for line in summary(comparison).splitlines())
    rows = []
    for number, pair in enumerate(zip_longest(course(comparison.first), course(comparison.second), fillvalue="")):
        apart = ' class="apart"' if comparison.part is not None and number >= comparison.part else ""
        rows.append("<tr>" + "".join(f"<td{apart}>{escape(line)}</td>" for line in pair) + "</tr>\n")
    one, other = map(escape, comparison.names)
    title = "Two walks of one puzzle"
    return document(
        title,
        f"<h1>{title}</h1>\n{said}{embedded(compare_picture(comparison), summary(comparison))}"
        f"<table>\n<thead><tr><th>{one}</th><th>{other}</th></tr></thead>\n<tbody>\n{''.join(rows)}</tbody>\n</table>",
        styles=style("page.css", "compare.css"),
    )


def _board(walk: Walk, part: int | None) -> str:
    """Draw the step that a walk takes where it parts, or its last position if it has ended there."""
    if part is None or part >= len(walk):
        return svg(of_grid(walk.grid))
    return svg(of_proof(walk.steps[part].proof))


def _size(drawn: str) -> tuple[float, float]:
    """Read width and height of a picture."""
    match = _SIZE.search(drawn)
    if match is None:  # pragma: no cover - every picture of ours states its size
        raise ValueError("the picture of a step states no size")
    return float(match[1]), float(match[2])


def _bars(walk: Walk, left: float, top: float, wide: float, most: int, part: int | None) -> list[str]:
    """Draw the efforts of all steps, on one scale for both walks."""
    floor, each = top + BARS - 16, wide / max(1, len(walk))
    drawn = [f'<path stroke="{GREY}" d="M{figure(left)} {figure(floor)}h{figure(wide)}"/>']
    for number, step in enumerate(walk.steps):
        drawn.append(_bar(step, left + number * each, floor, each, (BARS - 32) / most))
    if part is not None and part < len(walk):
        x = left + (part + 0.5) * each
        drawn.append(f'<path fill="{BLACK}" d="M{figure(x)} {figure(floor + 2)}l5 9h-10z"/>')
    words = f"effort of each step; the largest is {max((effort(s.proof).total for s in walk.steps), default=0)}"
    drawn.append(f'<text x="{figure(left)}" y="{figure(top + 8)}" font-size="12" fill="{GREY}">{words}</text>')
    return drawn


def _bar(step: Step, x: float, floor: float, each: float, scale: float) -> str:
    high = effort(step.proof).total * scale
    advanced = step.proof.pattern.name not in SIMPLE
    look = f'fill="{ORANGE}" stroke="{BLACK}"' if advanced else f'fill="{SKY}"'
    return (
        f'<rect x="{figure(x)}" y="{figure(floor - high)}" width="{figure(max(each - 1.5, 1))}" '
        f'height="{figure(high)}" {look}/>'
    )
