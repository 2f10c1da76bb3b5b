"""A drawing: parts on a sheet of paper, printed as one SVG; and the strokes that pictures of all kinds share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from deduce.pictures.geometry import Point, figure
from deduce.pictures.scene import Scene
from deduce.pictures.shapes import shape
from deduce.pictures.themes import Theme

__all__ = ["ROW", "Drawing", "Key", "area_sample", "dotted", "line_sample", "links", "mark", "outline"]

FONT = "DejaVu Sans,Verdana,Arial,Helvetica,sans-serif"

ROW = 22.0
"""Height of a row of the key."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture before it is printed.

    Parameters
    ----------
    title, description : str
        For those who do not see it, as plain text.
    width, height : float
        In its own units.
    paper : str
        Colour of the background; empty for none.
    parts : sequence of str
        Elements, the lowest first; empty ones are left out.
    style : str
        Attributes that hold for all parts.
    """

    title: str
    description: str
    width: float
    height: float
    paper: str
    parts: Sequence[str]
    style: str = ' text-anchor="middle" fill="none"'

    def svg(self, *, size: float | tuple[float, float] | None = None, at: Point | None = None) -> str:
        """Print the drawing as an SVG document, or as an element for the inside of another one.

        Parameters
        ----------
        size : float or pair of float, optional
            Width in pixels, or exactly this width and height; by default the drawing's own.
        at : pair of float, optional
            Where its upper left corner lies in another drawing.
        """
        width, height = figure(self.width), figure(self.height)
        wide = self.width if size is None else size
        shown = wide if isinstance(wide, tuple) else (wide, wide * self.height / self.width)
        place = "" if at is None else f'x="{figure(at[0])}" y="{figure(at[1])}" '
        head = (
            f'<svg {place}xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{figure(shown[0])}" height="{figure(shown[1])}" role="img" font-family="{FONT}"{self.style}>',
            f"<title>{escape(self.title)}</title>",
            f"<desc>{escape(self.description)}</desc>",
            f'<path fill="{self.paper}" d="M0 0h{width}v{height}h{figure(-self.width)}z"/>' if self.paper else "",
        )
        return "\n".join(part for part in (*head, *self.parts, "</svg>") if part)


class Key:
    """The key below a picture: where a sample of each kind of mark in the scene stands, in rows.

    Parameters
    ----------
    scene : Scene
        What the picture shows.
    meanings : dict
        What each role means, in the order of the key; roles that it does not hold have no sample.
    left, right : float
        Where a row begins, and where it has to end.
    bottom : float
        Where the picture ends.
    """

    def __init__(self, scene: Scene, meanings: Mapping[str, str], left: float, right: float, bottom: float) -> None:
        used: set[str] = {area.role for area in scene.areas} | {note.role for note in scene.notes}
        used |= {"strong" if tie.strong else "weak" for tie in scene.ties}
        used |= {"end"} if scene.ends else set()
        used |= {"hit"} if scene.hits else set()
        # What falls or is placed explains the shade of its cell.
        used -= {"lost"} if "eliminated" in used else set()
        used -= {"target"} if "placed" in used else set()
        self.samples: dict[str, Point] = {}
        self.meanings = meanings
        x, row = left, 0
        for role, meaning in meanings.items():
            if role in used:
                wide = 42 + 6.8 * len(meaning)
                if x + wide > right and x > left:
                    x, row = left, row + 1
                self.samples[role] = (x, bottom + 20 + row * ROW)
                x += wide
        self.rows = row + 1 if self.samples else 0


def area_sample(look: Theme, role: str, point: Point) -> str:
    """Draw the sample of an area."""
    fill, (x, y) = look.areas[role], point
    box = f"M{figure(x)} {figure(y - 7)}h18v14h-18z"
    return f'<path fill="{fill.fill}" fill-opacity="{fill.opacity:g}"{outline(look, role)} d="{box}"/>'


def line_sample(look: Theme, role: str, point: Point) -> list[str]:
    """Draw the sample of a link."""
    line = f"M{figure(point[0] - 2)} {figure(point[1])}h22"
    return _double(look, line) if role == "strong" else [_dashed(look, line) if role == "weak" else dotted(look, line)]


def outline(look: Theme, role: str) -> str:
    """Return the attributes of the outline of an area, after a space; nothing if it has none."""
    fill = look.areas[role]
    dashes = f' stroke-dasharray="{fill.dashes}"' if fill.dashes else ""
    return f' stroke="{fill.stroke}" stroke-width="{fill.width:g}"{dashes}' if fill.stroke else ""


def mark(look: Theme, role: str, points: Iterable[Point]) -> str:
    """Draw the shapes around the notes of one role."""
    body = look.strike if role == "eliminated" else look.marks[role]
    line = f' stroke-width="{body.width:g}"' if body.width != 1 else ""
    path = "".join(shape(role, point) for point in points)
    return f'<path fill="{body.fill}" stroke="{body.stroke}"{line} d="{path}"/>'


def links(look: Theme, weak: str, strong: str) -> Iterable[str]:
    """Draw the paths of all links, all halos first so that no link is cut by its neighbour's."""
    if weak or strong:
        yield f'<path stroke="{look.paper}" stroke-opacity=".85" stroke-width="7" d="{weak}{strong}"/>'
    if weak:
        yield _dashed(look, weak)
    if strong:
        yield from _double(look, strong)


def dotted(look: Theme, path: str) -> str:
    """Draw the line from an end of a chain to what it bars."""
    line = 'stroke-width="2.6" stroke-linecap="round" stroke-dasharray="0 5"'
    return f'<path stroke="{look.strike.fill}" {line} d="{path}"/>'


def _dashed(look: Theme, path: str) -> str:
    """Draw the single dashed line of a weak link."""
    return f'<path stroke="{look.ink}" stroke-width="1.8" stroke-dasharray="5 3" d="{path}"/>'


def _double(look: Theme, path: str) -> list[str]:
    """Draw the double line of a strong link."""
    return [
        f'<path stroke="{look.ink}" stroke-width="5" d="{path}"/>',
        f'<path stroke="{look.paper}" stroke-width="2" d="{path}"/>',
    ]
