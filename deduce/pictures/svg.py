"""Print a scene as SVG: plain presentation attributes, its own background, no scripts, styles, ids or links.

One path holds all shapes of a kind and one text all digits of a line, which keeps a picture small.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from html import escape
from itertools import cycle, groupby, pairwise, product
from string import ascii_uppercase
from textwrap import wrap
from typing import Any

from deduce.pictures.drawing import NOTE_DROP, NOTE_SIZE, Drawing, Key, dotted, links, marked, outline, roles_of
from deduce.pictures.geometry import Geometry, Point, box, figure
from deduce.pictures.routes import Router, toward
from deduce.pictures.rule_marks import RuleMark
from deduce.pictures.scene import Area, Scene, Tie
from deduce.pictures.shapes import circle, square
from deduce.pictures.table import sum_table, table
from deduce.pictures.themes import Theme, theme_of
from deduce.puzzle.layout import Layout
from deduce.words.en.explain import key_of
from deduce.words.en.names import capital

__all__ = ["LINKS", "NEEDED_NOTES", "OTHER_NOTES", "drawing", "frames", "legend", "svg"]

LINKS, OTHER_NOTES, NEEDED_NOTES = "links", "other notes", "needed notes"
"""Comments around the parts of a picture that a player may take out."""

FENCE = 9.5
"""How far inside their border the fence around cells runs: inside the lanes of outlines."""

_RULED = {
    "line": 'stroke-width="5" stroke-opacity=".3"',
    "stem": 'stroke-width="3.4" stroke-opacity=".55" stroke-linejoin="round"',
    "fence": 'stroke-width="1.3" stroke-dasharray="4 2.5"',
    "dots": 'stroke-width="2.2" stroke-linecap="round" stroke-dasharray="0 4.5"',
}
"""How the lines of rules are drawn, the lowest first."""

# The lane in which the outline of each kind of area runs if it can; houses keep out of the way of cells.
_LANES = {"base": 0, "trouble": 0, "cover": 1, "set": 1}


def svg(scene: Scene, *, size: int | tuple[int, int] | None = None, **options: Any) -> str:
    """Print a scene as the text of an SVG file.

    Parameters
    ----------
    scene : Scene
        What to show.
    size : int or pair of int, optional
        Width in pixels, or exactly this width and height, with the drawing in the middle; by default 20 for each note
        of a row and some room around.
    **options : bool or str
        Those of `drawing`.

    Returns
    -------
    str
        A whole SVG document, for a step of a 9x9 puzzle of less than 8 KB.

    Raises
    ------
    ValueError
        For an unknown theme or a size that is not above zero.
    """
    return frames([scene], size=size, **options)[0]


def frames(scenes: Sequence[Scene], *, size: int | tuple[int, int] | None = None, **options: Any) -> list[str]:
    """Print scenes of one layout as pictures of one size with the grid at one place, whatever their keys hold.

    Parameters are those of `svg`, for at least one scene.
    """
    if size is not None and min(size if isinstance(size, tuple) else (size,)) <= 0:
        raise ValueError(f"size is {size}; give the width in pixels, above zero")
    drawn = [drawing(scene, **options) for scene in scenes]
    height = max(each.height for each in drawn)
    return [replace(each, height=height).svg(size=size) for each in drawn]


def drawing(
    scene: Scene,
    *,
    key: bool | float = True,
    theme: str = "light",
    numbers: bool = True,
    labels: bool = True,
    transparent: bool = False,
    board: bool = True,
) -> Drawing:
    """Draw a scene.

    Parameters
    ----------
    scene : Scene
        What to show.
    key : bool or float
        Whether lines below the grid say what the marks mean, a number: how wide they may be; the grid has the same size
        and place without them.
    theme : str
        ``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for projection.
    numbers : bool
        Whether the nodes of a chain have running numbers.
    labels : bool
        Whether rows and columns are named beside the grid.
    transparent : bool
        Whether there is no paper behind the drawing, so that what lies behind shows through.
    board : bool
        Whether grid, digits and plain notes are drawn; without them the marks alone stand where they would be.
    """
    look = theme_of(theme)
    if scene.layout.problem:
        return table(scene, key=bool(key), theme=theme, transparent=transparent)
    place = Geometry(scene.layout)
    bottom = place.top + place.high
    meanings = key_of(scene.layout) | dict(scene.told) if key else {}
    right = place.width if key is True else key
    below = sum_table(scene.tally, look) if key and scene.tally else None
    explained = Key(scene, look, meanings, place.left, right, bottom + 8, [*_sentences(scene, place)] * board, below)
    router = _router(scene, place)
    parts = [
        *(_ground(scene, place, look) if board else ()),
        *_shades(scene, place, look),
        *(_lines(scene.layout, look) if board else ()),
        *_outlines(scene, place, look),
        *(_ruled(scene, place, look) if board else ()),
        *(_labels(scene.layout, place, look) if board and labels else ()),
        *_bracket(LINKS, _links(scene, place, look, router)),
        *(_placed(scene, place, look) if board else ()),
        *marked(look, roles_of(scene, place.note), explained.notes),
        *(_bracket(LINKS, _numbers(scene, place, look, router)) if numbers else ()),
        *explained.parts,
    ]
    paper = "" if transparent else look.paper
    return Drawing(scene.title, scene.description, place.width, bottom + 8 + explained.height, paper, parts)


def _router(scene: Scene, place: Geometry) -> Router:
    """Return what leads links around digits and notes, the same for all parts of one course."""
    # A link behind another marked note would seem to lead there, which is worse than crossing a plain one.
    whole = scene.course or scene
    notes = {place.note(note.cell, note.digit): 1.0 if note.role == "note" else 6.0 for note in whole.notes}
    return Router(place, {digit.cell for digit in scene.digits}, notes)


def legend(scene: Scene, width: float, *, theme: str = "light") -> Drawing:
    """Draw the key of a scene by itself, in rows of a width in units of the drawing."""
    look = theme_of(theme)
    below = sum_table(scene.tally, look) if scene.tally else None
    explained = Key(scene, look, key_of(scene.layout) | dict(scene.told), 4, width, 2, below=below)
    return Drawing("", "", width, explained.height + 8, look.paper, [*marked(look, explained.notes), *explained.parts])


def _sentences(scene: Scene, place: Geometry) -> Iterator[str]:
    """Yield the lines of the rules that are told below the grid, none wider than it."""
    for rule in scene.rules:
        if rule.role == "caption":
            # A sentence that begins with the name of a cell keeps it as it is.
            start = rule.text if re.match(r"r[0-9]", rule.text) else capital(rule.text)
            yield from wrap(f"{start}.", max(20, int((place.width - place.left) / 6.6)))


def _bracket(name: str, parts: Iterable[str]) -> list[str]:
    """Put comments around a part of the picture, if there is anything in it."""
    drawn = list(parts)
    return [f"<!--{name}-->", *drawn, f"<!--/{name}-->"] if drawn else []


def _ground(scene: Scene, place: Geometry, look: Theme) -> Iterable[str]:
    """Draw what lies under everything: holes, the cells of givens, and regions beyond the tiling."""
    layout = scene.layout
    holes = {*product(range(layout.height), range(layout.width))} - {*layout.places}
    if holes:
        yield f'<path fill="{look.hole}" d="{_filled(place, holes)}"/>'
    givens = [layout.places[digit.cell] for digit in scene.digits if digit.given]
    if givens:
        yield f'<path fill="{look.given}" d="{_filled(place, givens)}"/>'
    for region in _extra(layout):
        if not layout.is_slanting(region):
            around = place.outline(region, 1.6)
            yield f'<path fill="{look.region}" stroke="{look.faint}" stroke-width="1.6" d="{around}"/>'


@lru_cache(maxsize=64)
def _edges(layout: Layout) -> tuple[str, str]:
    """Return the path of all lines between cells, and that of the borders."""
    place = Geometry(layout)
    return place.edges(), place.borders(_tiling(layout))


def _lines(layout: Layout, look: Theme) -> Iterable[str]:
    """Draw the lines between cells, and the borders."""
    edges, borders = _edges(layout)
    yield f'<path stroke="{look.thin}" d="{edges}"/>'
    yield f'<path stroke="{look.thick}" stroke-width="2.4" stroke-linecap="square" d="{borders}"/>'


def _labels(layout: Layout, place: Geometry, look: Theme) -> Iterable[str]:
    """Write the names of rows and columns."""
    size = place.cell
    yield f'<g fill="{look.faint}" font-size="11">'
    for i in range(max(layout.width, layout.height)):
        middle = place.left + (i + 0.5) * size
        if i < layout.width:
            yield f'<text x="{figure(middle)}" y="{figure(place.top - 7)}">c{i + 1}</text>'
        if i < layout.height:
            yield f'<text x="{figure(place.left / 2)}" y="{figure(middle + 4)}">r{i + 1}</text>'
    yield "</g>"


def _shades(scene: Scene, place: Geometry, look: Theme) -> Iterable[str]:
    """Shade the areas, those of one role as one path."""
    together: dict[str, list[str]] = {}
    # Shades do not blend to mud: the smaller of two areas leads.
    least = {
        cell: len(area.cells) for area in sorted(scene.areas, key=lambda area: -len(area.cells)) for cell in area.cells
    }
    for role, area in _looks(scene.areas):
        leading = [place.places[cell] for cell in area.cells if least[cell] == len(area.cells)]
        if leading:
            together.setdefault(role, []).append(_filled(place, leading))
    for role, shades in together.items():
        fill = look.areas[role]
        yield f'<path fill="{fill.fill}" fill-opacity="{fill.opacity:g}" d="{"".join(shades)}"/>'


def _ruled(scene: Scene, place: Geometry, look: Theme) -> Iterable[str]:
    """Draw the marks of the rules: fences, lines and stems, then the small texts on a patch of paper."""
    marks = scene.rules
    for role, style in _RULED.items():
        ways = "".join(_way(place, mark) for mark in marks if mark.role == role)
        if ways:
            yield f'<path stroke="{look.rule}" {style} d="{ways}"/>'
    texts = [(*_spot(place, mark), mark.text) for mark in marks if mark.role in ("label", "sign")]
    if texts:
        patches = "".join(box(x - 3.2 * len(text) - 1.5, y - 6, 6.4 * len(text) + 3, 12) for x, y, text in texts)
        yield f'<path fill="{look.paper}" d="{patches}"/>'
        yield f'<g fill="{look.ink}" font-size="10.5">'
        yield from (f'<text x="{figure(x)}" y="{figure(y + 3.8)}">{escape(text)}</text>' for x, y, text in texts)
        yield "</g>"


def _spot(place: Geometry, mark: RuleMark) -> Point:
    """Return the middle of a text: in the upper left corner of a cell, or half way between two."""
    if mark.role == "label":
        x, y = place.corner(mark.cells[0])
        return x + 4 + 3.2 * len(mark.text), y + 8
    (x, y), (u, v) = (place.centre(cell) for cell in mark.cells)
    return (x + u) / 2, (y + v) / 2


def _way(place: Geometry, mark: RuleMark) -> str:
    """Return the path of a line, a stem, or a border a little inside the cells."""
    points = [place.centre(cell) for cell in mark.cells]
    if mark.role in ("fence", "dots"):
        return place.outline(mark.cells, FENCE)
    half = place.cell / 2
    if mark.role == "line":
        # From the outer corner of the first cell to that of the last.
        (x, y), (u, v) = points[0], points[-1]
        right = half if u > x else -half
        return f"M{figure(x - right)} {figure(y - half)}L{figure(u + right)} {figure(v + half)}"
    # A ring around the cell that holds a sum, a line from it through the others, and a square where the line stops.
    start = toward(points[0], points[1], half - 5)
    line = "M" + "L".join(f"{figure(x)} {figure(y)}" for x, y in [start, *points[1:]])
    return f"{circle(*points[0], half - 5)}{line}{square(*points[-1], 4)}"


def _looks(areas: Iterable[Area]) -> list[tuple[str, Area]]:
    """Return each area with its look in a theme: sets take turns in three of them."""
    kinds = cycle(("set", "set B", "set C"))
    return [(next(kinds) if area.role == "set" else area.role, area) for area in areas]


def _outlines(scene: Scene, place: Geometry, look: Theme) -> Iterable[str]:
    """Draw the outlines of areas; the pieces of a set hang together, and several sets have letters."""
    areas = [(kind, area) for kind, area in _looks(scene.areas) if look.areas[kind].stroke]
    lanes = place.lanes([(_LANES.get(area.role, 2), area.cells) for _, area in areas])
    together: dict[str, list[str]] = {}
    sets: list[tuple[str, Point]] = []
    marked = {place.note(note.cell, note.digit) for note in scene.notes if note.role != "note"}
    for (kind, area), lane in zip(areas, lanes, strict=True):
        path = place.outline(area.cells, lane)
        if area.role == "set":
            path += place.brackets(area.cells, lane)
            sets.append((kind, place.tab(area.cells, marked)))
        together.setdefault(kind, []).append(path)
    for kind, paths in together.items():
        yield f'<path{outline(look, kind)} d="{"".join(paths)}"/>'
    if len(sets) > 1:
        for kind, (x, y) in sets:
            yield f'<path fill="{look.areas[kind].stroke}" d="{box(x, y, 10, 11)}"/>'
        yield f'<g fill="{look.paper}" font-size="9.5" font-weight="700">'
        for (_, (x, y)), letter in zip(sets, ascii_uppercase, strict=False):
            yield f'<text x="{figure(x + 5)}" y="{figure(y + 9)}">{letter}</text>'
        yield "</g>"


def _filled(place: Geometry, filled: Iterable[tuple[int, int]]) -> str:
    """Return a path that fills places of the canvas, one piece for each run of a row."""
    path, size = "", place.cell
    places = sorted(set(filled))
    # Within a run column and number go up together.
    for _, run in groupby(enumerate(places), key=lambda each: (each[1][0], each[1][1] - each[0])):
        cells = [where for _, where in run]
        x, y = place.left + cells[0][1] * size, place.top + cells[0][0] * size
        path += box(x, y, len(cells) * size, size)
    return path


def _tiling(layout: Layout) -> list[tuple[int, ...]]:
    """Return the first regions that tile the grid without overlap; empty if none do."""
    found: list[tuple[int, ...]] = []
    held: set[int] = set()
    for house in layout.regions:
        if held.isdisjoint(house.cells):
            found.append(house.cells)
            held.update(house.cells)
    return found if len(held) == layout.cells else []


def _extra(layout: Layout) -> list[tuple[int, ...]]:
    """Return the regions beyond the tiling, which are shaded rather than bordered."""
    tiling = _tiling(layout)
    return [house.cells for house in layout.regions if house.cells not in tiling]


def _placed(scene: Scene, place: Geometry, look: Theme) -> Iterable[str]:
    """Draw the digits that cells hold, one element for each row of givens and of placed ones, and the plain notes."""
    symbols = scene.layout.symbols
    for given, kind in ((True, f'fill="{look.ink}" font-weight="700"'), (False, f'fill="{look.placed}"')):
        digits = ((place.centre(d.cell), symbols[d.digit - 1]) for d in scene.digits if d.given == given)
        yield from _written(digits, kind, place.big, place.big * 0.36)
    for needed, name in ((True, NEEDED_NOTES), (False, OTHER_NOTES)):
        plain = (note for note in scene.notes if note.role == "note" and note.needed == needed)
        notes = ((place.note(note.cell, note.digit), symbols[note.digit - 1]) for note in plain)
        yield from _bracket(name, _written(notes, f'fill="{look.faint}"', NOTE_SIZE, NOTE_DROP))


def _written(placed: Iterable[tuple[Point, str]], kind: str, size: float, drop: float) -> Iterable[str]:
    """Write characters at their own places, one element for each line of them."""
    lines: dict[float, list[tuple[float, str]]] = {}
    for (x, y), symbol in placed:
        lines.setdefault(y, []).append((x, symbol))
    if lines:
        yield f'<g {kind} font-size="{figure(size)}">'
        for y, said in sorted(lines.items()):
            xs = " ".join(figure(x) for x, _ in sorted(said))
            yield f'<text x="{xs}" y="{figure(y + drop)}">{escape("".join(s for _, s in sorted(said)))}</text>'
        yield "</g>"


def _links(scene: Scene, place: Geometry, look: Theme, router: Router) -> Iterable[str]:
    """Draw the links, behind all digits and notes, and what ties the members of one node together."""
    whole = scene.course or scene
    groups = {
        pair: node in scene.order
        for node in dict.fromkeys(whole.order)
        for pair in pairwise(place.note(*member) for member in node)
    }
    # The short links leave the least choice, so they are drawn first.
    ways = {pair: router.route(*pair) for pair in sorted(groups, key=lambda pair: _length(*pair))}
    bands = "".join(way for pair, way in ways.items() if groups[pair])
    if bands:
        yield f'<path stroke="{look.ink}" stroke-opacity=".35" stroke-width="6" d="{bands}"/>'
    paths: dict[Tie, str] = {}
    for tie in sorted(dict.fromkeys(whole.ties), key=lambda tie: _length(*_ends(tie, place))):
        paths[tie] = router.route(*_ends(tie, place))
    weak = "".join(paths[tie] for tie in paths if not tie.strong and tie in scene.ties)
    strong = "".join(paths[tie] for tie in paths if tie.strong and tie in scene.ties)
    yield from links(look, weak, strong)
    hits = "".join(router.route(*_ends(tie, place)) for tie in scene.hits)
    if hits:
        yield dotted(look, hits)


def _numbers(scene: Scene, place: Geometry, look: Theme, router: Router) -> Iterable[str]:
    """Write a running number beside each node, in that gap between four notes which is the freest."""
    marked = {place.note(note.cell, note.digit) for note in scene.notes if note.role != "note"}
    spots: list[Point] = []
    said = ""
    for number, node in enumerate(scene.order, 1):
        x, y = place.note(*node[0])
        # A chain that returns has its first number at its start and no second one there.
        if node in scene.order[: number - 1]:
            continue
        gaps = [(x + right, y + down) for right in (10.0, -10.0) for down in (-10.0, 10.0)]
        beside = [sum(abs(gap[0] - u) + abs(gap[1] - v) < 21 for u, v in marked) for gap in gaps]
        busy = [3 * router.busy(gap) + 9 * (gap in spots) + near for gap, near in zip(gaps, beside, strict=True)]
        gap = gaps[busy.index(min(busy))]
        digits = str(number)
        spots += [(gap[0] + 5.2 * (column - (len(digits) - 1) / 2), gap[1]) for column in range(len(digits))]
        said += digits
    if spots:
        xs = " ".join(figure(x) for x, _ in spots)
        ys = " ".join(figure(y + 3) for _, y in spots)
        style = f'stroke="{look.paper}" stroke-width="1.6" paint-order="stroke" font-weight="700" font-size="8.4"'
        yield f'<text fill="{look.ink}" {style} x="{xs}" y="{ys}">{said}</text>'


def _length(near: Point, far: Point) -> float:
    return abs(near[0] - far[0]) + abs(near[1] - far[1])


def _ends(tie: Tie, place: Geometry) -> tuple[Point, Point]:
    """Return the closest two members of the nodes that a link joins."""
    pairs = [(place.note(*near), place.note(*far)) for near in tie.near for far in tie.far]
    return min(pairs, key=lambda pair: (pair[0][0] - pair[1][0]) ** 2 + (pair[0][1] - pair[1][1]) ** 2)
