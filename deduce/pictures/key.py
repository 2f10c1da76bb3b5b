"""The key of a picture: what its marks mean, and of a sum the table of needs and places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from deduce.pictures.drawing import Drawing, Marked, dashed, discs, dotted, double, mark, outline
from deduce.pictures.geometry import Point, figure
from deduce.pictures.ruling import ROW as TALL
from deduce.pictures.ruling import TableGeometry, table_labels, table_lines
from deduce.pictures.scene import Scene
from deduce.pictures.tally import Tally
from deduce.pictures.themes import Theme
from deduce.words.en.shows import TALLY

__all__ = ["Key", "sum_table"]

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
        if scene.tally is not None and meanings:
            drawn = sum_table(scene.tally, look)
            wide = min(drawn.width, right - left)
            self.parts.append(drawn.svg(size=wide, at=(left, y - 8)))
            y += wide * drawn.height / drawn.width
        for row, sentence in enumerate(sentences):
            words.append(f'<text x="{figure(left)}" y="{figure(y + 4 + row * ROW)}">{escape(sentence)}</text>')
        if words:
            self.parts += [f'<g fill="{look.ink}" font-size="12" text-anchor="start">', *words, "</g>"]
        self.height = y - top - 12 + len(sentences) * ROW


def _sample(look: Theme, role: str, point: Point) -> str:
    """Draw the sample of a role: an area or a line."""
    x, y = point
    if role in look.areas:
        fill, box = look.areas[role], f"M{figure(x)} {figure(y - 7)}h18v14h-18z"
        return f'<path fill="{fill.fill}" fill-opacity="{fill.opacity:g}"{outline(look, role)} d="{box}"/>'
    line = f"M{figure(x - 2)} {figure(y)}h22"
    return double(look, line) if role == "strong" else (dashed if role == "weak" else dotted)(look, line)


def sum_table(tally: Tally, look: Theme) -> Drawing:
    """Draw the table of a sum: discs where a need may take a place, tiles on the places that are taken already."""
    more = [TALLY["idle"]] * bool(tally.idle) + [TALLY["missing"]] * tally.missing
    place = TableGeometry([tally.supposed] * bool(tally.supposed) + [*tally.needs], [*tally.places, *more])
    first, rows = bool(tally.supposed), range(len(tally.needs))
    met = [(row, at) for row, at in tally.meets if row in rows]
    met += [(row, len(tally.places)) for row in tally.idle if row in rows]
    gone = "".join(
        f"M{figure(place.left + column * place.step + 3)} {figure(place.top + first * TALL + 3)}"
        f"h{figure(place.step - 6)}v{figure(len(rows) * TALL - 6)}h{figure(6 - place.step)}z"
        for column in range(len(place.columns) - tally.missing, len(place.columns))
    )
    parts = [
        *table_lines(place, look),
        *table_labels(place, look),
        f'<path fill="{look.ink}" d="{discs((place.note(row + first, at + 1) for row, at in met), 5)}"/>',
        *([mark(look, "eliminated", [place.note(0, at + 1) for at in tally.taken])] if tally.taken else []),
        f'<path stroke="{look.strike.fill}" stroke-width="2.4" stroke-dasharray="5 4" d="{gone}"/>' if gone else "",
    ]
    width = place.left + place.wide + 20
    return Drawing("", "", width, place.top + place.high + 10, "", parts)
