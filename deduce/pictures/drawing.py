"""A drawing: parts on a sheet of paper, printed as one SVG; and the strokes that pictures of all kinds share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from deduce.pictures.geometry import NODE, Point, box, figure
from deduce.pictures.scene import Scene
from deduce.pictures.shapes import circle, end, shape
from deduce.pictures.themes import Theme

__all__ = ["NOTE_DROP", "NOTE_SIZE", "Drawing", "Key", "Marked", "discs", "dotted", "links", "mark", "marked"]
__all__ += ["outline", "roles_of", "shaded"]

FONT = "DejaVu Sans,Verdana,Arial,Helvetica,sans-serif"


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
        # A drawing inside another one is told with it.
        place = 'role="img" ' if at is None else f'x="{figure(at[0])}" y="{figure(at[1])}" '
        said = f"<title>{escape(self.title)}</title>\n<desc>{escape(self.description)}</desc>" if at is None else ""
        head = (
            f'<svg {place}xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{figure(shown[0])}" height="{figure(shown[1])}" font-family="{FONT}"{self.style}>',
            said,
            f'<path fill="{self.paper}" d="M0 0h{width}v{height}h{figure(-self.width)}z"/>' if self.paper else "",
        )
        return "\n".join(part for part in (*head, *self.parts, "</svg>") if part)


ROW = 22.0
"""Height of a row of the key."""


class Key:
    """The key of a picture: a sample of each kind of mark in the scene with its meaning, in rows, then sentences.

    Parameters
    ----------
    scene : Scene
        What the picture shows.
    look : Theme
        Colours and strokes.
    meanings : dict
        What each role means, in the order of the key; roles that it does not hold have no sample.
    left, right : float
        Where a row begins, and where it has to end.
    top : float
        Where the key begins.
    sentences : sequence of str, optional
        A row each.
    below : Drawing, optional
        What stands between the samples and the sentences.

    Attributes
    ----------
    parts : list of str
        Elements of the drawing.
    notes : Marked
        The samples of marked notes, to be drawn with those of the picture.
    height : float
        Of all rows.
    """

    def __init__(
        self,
        scene: Scene,
        look: Theme,
        meanings: Mapping[str, str],
        left: float,
        right: float,
        top: float,
        sentences: Sequence[str] = (),
        below: Drawing | None = None,
    ) -> None:
        used: set[str] = {area.role for area in scene.areas} | {note.role for note in scene.notes}
        used |= {"strong" if tie.strong else "weak" for tie in scene.ties}
        if not scene.layout.problem:
            used |= {"end"} if scene.ends else set()
            used |= {"hit"} if scene.hits else set()
        # What falls or is placed explains the shade of its cell.
        used -= {"lost"} if "eliminated" in used else set()
        used -= {"target"} if "placed" in used else set()
        self.parts: list[str] = []
        self.notes: Marked = {}
        words, x, y = [], left, top + 12
        for role, meaning in meanings.items():
            if role in used:
                wide = 42 + 6.8 * len(meaning)
                if x + wide > right and x > left:
                    x, y = left, y + ROW
                if role in look.marks or role in ("eliminated", "end"):
                    self.notes[role] = [((x + 9, y), "n" if role != "end" else "")]
                else:
                    self.parts.append(_sample(look, role, (x, y)))
                words.append(f'<text x="{figure(x + 24)}" y="{figure(y + 4)}">{escape(meaning)}</text>')
                x += wide
        y += ROW if words else 0
        if below is not None:
            wide = min(below.width, right - left)
            self.parts.append(below.svg(size=wide, at=(left, y - 8)))
            y += wide * below.height / below.width
        for row, sentence in enumerate(sentences):
            words.append(f'<text x="{figure(left)}" y="{figure(y + 4 + row * ROW)}">{escape(sentence)}</text>')
        if words:
            self.parts += [f'<g fill="{look.ink}" font-size="12" text-anchor="start">', *words, "</g>"]
        self.height = y - top - 12 + len(sentences) * ROW


def _sample(look: Theme, role: str, point: Point) -> str:
    """Draw the sample of a role: an area or a line."""
    x, y = point
    if role in look.areas:
        return shaded(look, role, box(x, y - 7, 18, 14))
    line = f"M{figure(x - 2)} {figure(y)}h22"
    return _double(look, line) if role == "strong" else (_dashed if role == "weak" else dotted)(look, line)


NOTE_SIZE = 13.6

# From the middle of a digit down to the line that it stands on.
NOTE_DROP = 5.0


Marked = dict[str, list[tuple[Point, str]]]
"""For each role of notes where they stand, and what they are; the ends of a chain with the role of each."""


def roles_of(scene: Scene, place: Callable[[int, int], Point]) -> Marked:
    """Return the notes of a scene that have a role, from where cell and digit stand in the drawing."""
    roles: Marked = {}
    for note in scene.notes:
        if note.role != "note":
            said = scene.layout.symbols[note.digit - 1]
            roles.setdefault(note.role, []).append((place(note.cell, note.digit), said))
    kinds = {(note.cell, note.digit): note.role for note in scene.notes}
    return roles | ({"end": [(place(*spot), kinds.get(spot, "")) for spot in scene.ends]} if scene.ends else {})


def marked(look: Theme, *notes: Marked) -> Iterable[str]:
    """Draw marked notes, each on its shape; all of one role are one path, and all of one colour one text."""
    texts: Marked = {}
    # The sample in the key has no role, and no room to be wider than a mark.
    around = (end(role, point, NODE + 2.6 if role else NODE) for each in notes for point, role in each.get("end", ()))
    ends = "".join(around)
    if ends:
        yield f'<path stroke="{look.ink}" stroke-width="2" d="{ends}"/>'
    for role in sorted({role for each in notes for role in each} - {"end"}):
        placed = [note for each in notes for note in each.get(role, ())]
        yield mark(look, role, [point for point, _ in placed])
        texts.setdefault(look.ink_on(role), []).extend(placed)
    if texts:
        yield f'<g font-size="{figure(NOTE_SIZE)}" font-weight="700">'
        for fill, placed in texts.items():
            xs = " ".join(figure(x) for (x, _), _ in placed)
            ys = " ".join(figure(y + NOTE_DROP) for (_, y), _ in placed)
            yield f'<text fill="{fill}" x="{xs}" y="{ys}">{escape("".join(said for _, said in placed))}</text>'
        yield "</g>"


def discs(points: Iterable[Point], radius: float) -> str:
    """Return a path of circles."""
    return "".join(circle(x, y, radius) for x, y in points)


def shaded(look: Theme, role: str, path: str) -> str:
    """Draw an area with its outline."""
    fill = look.areas[role]
    return f'<path fill="{fill.fill}" fill-opacity="{fill.opacity:g}"{outline(look, role)} d="{path}"/>'


def outline(look: Theme, role: str) -> str:
    """Return the attributes of the outline of an area, after a space; nothing if it has none."""
    fill = look.areas[role]
    dashes = f' stroke-dasharray="{fill.dashes}"' if fill.dashes else ""
    return f' stroke="{fill.stroke}" stroke-width="{fill.width:g}"{dashes}' if fill.stroke else ""


def mark(look: Theme, role: str, points: Iterable[Point]) -> str:
    """Draw the shapes around the notes of one role."""
    body = look.body(role)
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
        yield _double(look, strong)


def dotted(look: Theme, path: str) -> str:
    """Draw the line from an end of a chain to what it bars."""
    line = 'stroke-width="2.6" stroke-linecap="round" stroke-dasharray="0 5"'
    return f'<path stroke="{look.strike.fill}" {line} d="{path}"/>'


def _dashed(look: Theme, path: str) -> str:
    """Draw the single dashed line of a weak link."""
    return f'<path stroke="{look.ink}" stroke-width="1.8" stroke-dasharray="5 3" d="{path}"/>'


def _double(look: Theme, path: str) -> str:
    """Draw the double line of a strong link."""
    lower = f'<path stroke="{look.ink}" stroke-width="5" d="{path}"/>'
    return f'{lower}\n<path stroke="{look.paper}" stroke-width="2" d="{path}"/>'
