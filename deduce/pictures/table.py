"""Print a scene of a problem as SVG: a table with a row for each variable and a column for each value.

What a variable may still be is a small ring, what it is a full disc; a value that has gone leaves its place empty.
Marks, links and the key are those of grids.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from deduce.pictures.drawing import Drawing, Marked, discs, links, mark, outline, roles_of
from deduce.pictures.geometry import NODE, Point, figure
from deduce.pictures.key import Key
from deduce.pictures.ruling import ROW, TableGeometry, table_labels, table_lines
from deduce.pictures.scene import Scene
from deduce.pictures.themes import Theme, theme_of
from deduce.words.en.explain import key_of

__all__ = ["table"]


def table(scene: Scene, *, key: bool = True, theme: str = "light", transparent: bool = False) -> Drawing:
    """Draw a scene of a problem; see `deduce.pictures.svg.drawing` for the parameters."""
    look = theme_of(theme)
    layout = scene.layout
    place = TableGeometry(map(layout.cell_name, range(layout.cells)), layout.symbols)
    bottom = place.top + place.high
    explained = Key(scene, look, key_of(layout) if key else {}, 12.0, place.width, bottom + 8)
    parts = [
        *_bands(scene, place, look),
        *table_lines(place, look),
        *table_labels(place, look),
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
        fill = look.areas[area.role]
        path = ""
        for cell in area.cells:
            x, y, wide = place.left + 2, place.top + cell * ROW + 2, place.wide - 4
            if len(area.cells) > 1:
                # Several rows would cover the table: their names are shaded, and the column that is shared out.
                x, wide = 8.0, place.left - 14
            path += f"M{figure(x)} {figure(y)}h{figure(wide)}v{figure(ROW - 4)}h{figure(-wide)}z"
        if len(area.cells) > 1 and len(placed) == 1:
            x = place.left + (placed[0].digit - 1) * place.step + 2
            first, last = min(area.cells), max(area.cells)
            high = (last - first + 1) * ROW - 4
            wide = place.step - 4
            start = f"M{figure(x)} {figure(place.top + first * ROW + 2)}"
            path += f"{start}h{figure(wide)}v{figure(high)}h{figure(-wide)}z"
        yield f'<path fill="{fill.fill}" fill-opacity="{fill.opacity:g}"{outline(look, area.role)} d="{path}"/>'


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
