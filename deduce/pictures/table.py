"""Print a scene of a problem as SVG: a table with a row for each variable and a column for each value.

What a variable may still be is a small ring, what it is a full disc; a value that has gone leaves its place empty.
Marks, links and the key are those of grids.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from html import escape

from deduce.pictures.drawing import Drawing, Key, Marked, discs, links, mark, roles_of, shaded
from deduce.pictures.geometry import NODE, Point, box, figure
from deduce.pictures.scene import Scene
from deduce.pictures.tally import SumTable
from deduce.pictures.themes import Theme, theme_of
from deduce.words.en.explain import key_of
from deduce.words.en.shows import TALLY

__all__ = ["sum_table", "table"]


_ROW = 26.0
_LETTER = 7.2
"""Width of a letter of a label, on the safe side."""

_MOST_LETTERS = 18
"""Longer labels are cut; the words that go with a picture have them in full."""


def short(name: str) -> str:
    """Cut a label that is too long."""
    return name if len(name) <= _MOST_LETTERS else f"{name[: _MOST_LETTERS - 1]}\u2026"


class TableGeometry:
    """Coordinates of a table; x to the right, y down.

    Parameters
    ----------
    rows, columns : sequence of str
        The names of its rows and columns.
    """

    def __init__(self, rows: Iterable[str], columns: Iterable[str]) -> None:
        self.rows = [*map(short, rows)]
        self.columns = [*map(short, columns)]
        longest = max(map(len, self.columns))
        # Labels that are wider than a column stand upright.
        self.upright = longest > 6
        self.step = 30.0 if self.upright else max(30.0, longest * _LETTER + 12)
        self.left = 22 + max(map(len, self.rows)) * _LETTER
        self.top = 16 + longest * _LETTER if self.upright else 30.0
        self.wide = self.step * len(self.columns)
        self.high = _ROW * len(self.rows)
        self.width = max(self.left + self.wide + 20, 330.0)

    def note(self, cell: int, digit: int) -> Point:
        """Return the place of a candidate."""
        return self.left + (digit - 0.5) * self.step, self.top + (cell + 0.5) * _ROW


def _lines(place: TableGeometry, look: Theme) -> Iterable[str]:
    """Draw the lines between rows and columns, and the frame."""
    wide, high = figure(place.wide), figure(place.high)
    left, top = figure(place.left), figure(place.top)
    across = "".join(f"M{left} {figure(place.top + i * _ROW)}h{wide}" for i in range(1, len(place.rows)))
    down = "".join(f"M{figure(place.left + i * place.step)} {top}v{high}" for i in range(1, len(place.columns)))
    yield f'<path stroke="{look.thin}" d="{across}{down}"/>'
    yield f'<path stroke="{look.thick}" stroke-width="1.6" d="M{left} {top}h{wide}v{high}h-{wide}z"/>'


def _labels(place: TableGeometry, look: Theme) -> Iterable[str]:
    """Write the names of rows and columns."""
    yield f'<g fill="{look.ink}" font-size="12">'
    for number, name in enumerate(place.rows):
        y = place.top + (number + 0.5) * _ROW + 4.5
        yield f'<text text-anchor="end" x="{figure(place.left - 9)}" y="{figure(y)}">{escape(name)}</text>'
    for number, name in enumerate(place.columns):
        x, y = place.left + (number + 0.5) * place.step, place.top - 8
        if place.upright:
            turned = f'text-anchor="start" transform="rotate(-90 {figure(x + 4)} {figure(y)})"'
            yield f'<text {turned} x="{figure(x + 4)}" y="{figure(y)}">{escape(name)}</text>'
        else:
            yield f'<text x="{figure(x)}" y="{figure(y)}">{escape(name)}</text>'
    yield "</g>"


def table(scene: Scene, *, key: bool = True, theme: str = "light", transparent: bool = False) -> Drawing:
    """Draw a scene of a problem; see `deduce.pictures.svg.drawing` for the parameters."""
    look = theme_of(theme)
    layout = scene.layout
    place = TableGeometry(map(layout.cell_name, range(layout.cells)), layout.symbols)
    bottom = place.top + place.high
    explained = Key(scene, look, key_of(layout) if key else {}, 12.0, place.width, bottom + 8)
    parts = [
        *_bands(scene, place, look),
        *_lines(place, look),
        *_labels(place, look),
        *_links(scene, place, look),
        *_candidates(scene, place, look, explained.notes),
        *explained.parts,
    ]
    height = bottom + 14 + explained.height
    paper = "" if transparent else look.paper
    return Drawing(scene.title, scene.description, place.width, height, paper, parts)


def _bands(scene: Scene, place: TableGeometry, look: Theme) -> Iterable[str]:
    """Shade the rows that matter; of variables that have to share out one value, its column."""
    placed = scene.noted("placed")
    for area in scene.areas:
        several, tops = len(area.cells) > 1, [place.top + cell * _ROW + 2 for cell in area.cells]
        # Several rows would cover the table: their names are shaded, and the column that is shared out.
        x, wide = (8.0, place.left - 14) if several else (place.left + 2, place.wide - 4)
        path = "".join(box(x, y, wide, _ROW - 4) for y in tops)
        if several and len(placed) == 1:
            column = place.left + (placed[0].digit - 1) * place.step + 2
            path += box(column, min(tops), place.step - 4, max(tops) - min(tops) + _ROW - 4)
        yield shaded(look, area.role, path)


def _candidates(scene: Scene, place: TableGeometry, look: Theme, samples: Marked) -> Iterable[str]:
    """Draw marks, rings and discs."""
    roles = roles_of(replace(scene, ends=()), place.note)
    for role, notes in sorted(roles.items()):
        yield mark(look, role, [point for point, _ in (*notes, *samples.get(role, ()))])
    points = [place.note(note.cell, note.digit) for note in scene.notes]
    points += [point for notes in samples.values() for point, _ in notes]
    if points:
        yield f'<path fill="{look.paper}" stroke="{look.ink}" stroke-width="1.3" d="{discs(points, 3.6)}"/>'
    for given, ink in ((True, look.ink), (False, look.placed)):
        held = [place.note(digit.cell, digit.digit) for digit in scene.digits if digit.given == given]
        if held:
            yield f'<path fill="{ink}" d="{discs(held, 6.4)}"/>'


def _links(scene: Scene, place: TableGeometry, look: Theme) -> Iterable[str]:
    """Draw links as arcs, so that those along a row or column pass beside what lies between."""
    strong = weak = ""
    for tie in dict.fromkeys(scene.ties):
        ends = [(place.note(*near), place.note(*far)) for near in tie.near for far in tie.far]
        near, far = min(ends, key=lambda pair: abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1]))
        arc = _arc(near, far)
        strong, weak = (strong + arc, weak) if tie.strong else (strong, weak + arc)
    yield from links(look, weak, strong)


def _arc(near: Point, far: Point) -> str:
    """Return a curve between the rims of two marks."""
    (x, y), (u, v) = near, far
    length = ((u - x) ** 2 + (v - y) ** 2) ** 0.5 or 1.0
    along, across = ((u - x) / length, (v - y) / length), (-(v - y) / length, (u - x) / length)
    bend = min(0.22 * length, 20.0)
    gap = min(NODE + 1.5, length / 3)
    start = x + along[0] * gap + across[0] * 2, y + along[1] * gap + across[1] * 2
    end = u - along[0] * gap + across[0] * 2, v - along[1] * gap + across[1] * 2
    middle = (x + u) / 2 + across[0] * bend, (y + v) / 2 + across[1] * bend
    points = (*start, *middle, *end)
    return "M{} {}Q{} {} {} {}".format(*map(figure, points))


def sum_table(tally: SumTable, look: Theme) -> Drawing:
    """Draw the table of a sum: discs where a need may take a place, tiles on the places that are taken already."""
    more = [TALLY["idle"]] * bool(tally.idle) + [TALLY["missing"]] * tally.missing
    place = TableGeometry([tally.supposed] * bool(tally.supposed) + [*tally.needs], [*tally.places, *more])
    first, rows = bool(tally.supposed), range(len(tally.needs))
    met = [(row, at) for row, at in tally.meets if row in rows]
    met += [(row, len(tally.places)) for row in tally.idle if row in rows]
    top, high = place.top + first * _ROW + 3, len(rows) * _ROW - 6
    lacking = range(len(place.columns) - tally.missing, len(place.columns))
    gone = "".join(box(place.left + at * place.step + 3, top, place.step - 6, high) for at in lacking)
    dots = "".join("M{} {}h0".format(*map(figure, place.note(row + first, at + 1))) for row, at in met)
    parts = [
        *_lines(place, look),
        *_labels(place, look),
        # A disc is a line of no length with round ends: a quarter of the bytes of an outline.
        f'<path stroke="{look.ink}" stroke-width="10" stroke-linecap="round" d="{dots}"/>',
        *([mark(look, "eliminated", [place.note(0, at + 1) for at in tally.taken])] if tally.taken else []),
        f'<path stroke="{look.strike.fill}" stroke-width="2.4" stroke-dasharray="5 4" d="{gone}"/>' if gone else "",
    ]
    width = place.left + place.wide + 20
    return Drawing("", "", width, place.top + place.high + 10, "", parts)
