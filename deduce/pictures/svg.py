"""Print a scene as SVG: plain presentation attributes, its own background, no scripts, styles, ids or links.

Colours are those of Okabe and Ito, which stay apart under the common kinds of colour blindness; no meaning hangs on a
colour alone.  What falls is struck through, what is placed is ringed, the candidates of a chain are square and round by
turns, a strong link is a double line and a weak link a single dashed one.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from deduce.pictures.geometry import NODE, Geometry, Point, figure
from deduce.pictures.scene import Scene, Tie
from deduce.pictures.words import KEY
from deduce.puzzle.layout import Layout

__all__ = ["svg"]

ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILLION, PURPLE, BLACK = "#0072B2", "#D55E00", "#CC79A7", "#000"
PAPER, PALE, GREY = "#fff", "#ececec", "#444"

FONT = "DejaVu Sans,Verdana,Arial,Helvetica,sans-serif"

_NOTE_SIZE = 13.6

_AREAS: dict[str, tuple[str, float, str, float]] = {
    # fill, its opacity, attributes of the outline, inset
    "base": (SKY, 0.25, f'stroke="{BLUE}" stroke-width="2.6"', 2.6),
    "cover": (PURPLE, 0.18, f'stroke="{PURPLE}" stroke-width="2.6" stroke-dasharray="9 4"', 5.4),
    "pivot": (YELLOW, 0.45, f'stroke="{BLACK}" stroke-width="2.6"', 3),
    "pincer": (YELLOW, 0.3, f'stroke="{BLACK}" stroke-width="2" stroke-dasharray="3 3"', 3),
    "subset": (YELLOW, 0.4, f'stroke="{BLACK}" stroke-width="2"', 3),
    "target": (GREEN, 0.15, f'stroke="{GREEN}" stroke-width="2.6"', 4),
    "bar": (ORANGE, 0.3, f'stroke="{BLACK}" stroke-width="1.6" stroke-dasharray="2 3"', 4),
    "trouble": (VERMILLION, 0.25, f'stroke="{VERMILLION}" stroke-width="3"', 3),
}


def svg(scene: Scene, *, key: bool = True) -> str:
    """Print a scene as the text of an SVG file.

    Parameters
    ----------
    scene : Scene
        What to show.
    key : bool
        Whether a line below the grid says what the marks mean.

    Returns
    -------
    str
        A whole SVG document of about 10 KB or less for a 9x9 grid.
    """
    place = Geometry(scene.layout)
    explained = _key(scene, place) if key else []
    rows = 1 + max((entry[1] for entry in explained), default=-1)
    width, height = place.width, place.top + place.side + 8 + rows * 22
    size = f"{figure(width)} {figure(height)}"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{figure(width)}" '
        f'height="{figure(height)}" role="img" font-family="{FONT}" text-anchor="middle" fill="none">',
        f"<title>{escape(scene.title)}</title>",
        f"<desc>{escape(scene.description)}</desc>",
        f'<path fill="{PAPER}" d="M0 0h{figure(width)}v{figure(height)}h{figure(-width)}z"/>',
        *_frame(scene, place),
        *_big(scene, place),
        *_small(scene, place),
        *_links(scene, place),
        *_marked(scene, place),
        *(drawn for entry in explained for drawn in entry[2]),
        "</svg>",
    ]
    return "\n".join(part for part in parts if part)


def _frame(scene: Scene, place: Geometry) -> Iterable[str]:
    """Draw shades, lines, borders and labels."""
    layout, size = scene.layout, place.cell
    step, side = figure(size), figure(place.side)
    givens = "".join(
        f"M{figure(x)} {figure(y)}h{step}v{step}h-{step}z"
        for x, y in (place.corner(digit.cell) for digit in scene.digits if digit.given)
    )
    if givens:
        yield f'<path fill="{PALE}" d="{givens}"/>'
    for region in _extra(layout):
        look = f'fill="{BLACK}" fill-opacity=".06" stroke="#666" stroke-width="1.6"'
        yield f'<path {look} d="{place.outline(region, 3)}"/>'
    for area in scene.areas:
        fill, opacity, _, _ = _AREAS[area.role]
        yield f'<path fill="{fill}" fill-opacity="{opacity:g}" d="{_filled(place, area.cells)}"/>'
    lost = sorted({note.cell for note in scene.notes if note.role == "eliminated"})
    if lost:
        yield f'<path fill="{VERMILLION}" fill-opacity=".13" d="{_filled(place, lost)}"/>'
    lines = "".join(
        f"M{figure(place.left + i * size)} {figure(place.top)}v{side}"
        f"M{figure(place.left)} {figure(place.top + i * size)}h{side}"
        for i in range(1, layout.order)
    )
    yield f'<path stroke="#999" d="{lines}"/>'
    around = f"M{figure(place.left)} {figure(place.top)}h{side}v{side}h-{side}z"
    borders = place.borders(_tiling(layout)) + around
    yield f'<path stroke="{BLACK}" stroke-width="2.4" stroke-linecap="square" d="{borders}"/>'
    for area in scene.areas:
        _, _, outline, inset = _AREAS[area.role]
        if outline:
            yield f'<path {outline} d="{place.outline(area.cells, inset)}"/>'
    yield f'<g fill="{GREY}" font-size="11">'
    for i in range(layout.order):
        middle = place.left + (i + 0.5) * size
        yield f'<text x="{figure(middle)}" y="{figure(place.top - 7)}">c{i + 1}</text>'
        yield f'<text x="{figure(place.left / 2)}" y="{figure(middle + 4)}">r{i + 1}</text>'
    yield "</g>"


def _filled(place: Geometry, filled: Iterable[int]) -> str:
    """Return a path that fills cells, one piece for each run of a row."""
    order, size, path = place.order, figure(place.cell), []
    cells = sorted(filled)
    start = previous = cells[0]
    for cell in [*cells[1:], -1]:
        if cell != previous + 1 or cell % order == 0:
            x, y = place.corner(start)
            wide = figure((previous - start + 1) * place.cell)
            path.append(f"M{figure(x)} {figure(y)}h{wide}v{size}h-{wide}z")
            start = cell
        previous = cell
    return "".join(path)


def _tiling(layout: Layout) -> list[tuple[int, ...]]:
    """Return the first regions that tile the grid without overlap; empty if none do."""
    found: list[tuple[int, ...]] = []
    held: set[int] = set()
    for house in layout.houses[2 * layout.order :]:
        if held.isdisjoint(house.cells):
            found.append(house.cells)
            held.update(house.cells)
    return found if len(held) == layout.cells else []


def _extra(layout: Layout) -> list[tuple[int, ...]]:
    """Return the regions beyond the tiling, which are shaded rather than bordered."""
    tiling = _tiling(layout)
    return [house.cells for house in layout.houses[2 * layout.order :] if house.cells not in tiling]


def _big(scene: Scene, place: Geometry) -> Iterable[str]:
    """Draw the digits that cells hold, one element for each row of givens and one for each row of placed ones."""
    order, size = place.order, min(place.cell * 0.62, 46)
    for given in (True, False):
        rows: dict[int, list[tuple[float, str]]] = {}
        for digit in scene.digits:
            if digit.given == given:
                x = place.centre(digit.cell)[0]
                rows.setdefault(digit.cell // order, []).append((x, scene.layout.symbols[digit.digit - 1]))
        if rows:
            look = f'fill="{BLACK}" font-weight="700"' if given else f'fill="{BLUE}"'
            yield f'<g {look} font-size="{figure(size)}">'
            for row, placed in sorted(rows.items()):
                yield _text(placed, place.centre(row * order)[1] + size * 0.36)
            yield "</g>"


def _small(scene: Scene, place: Geometry) -> Iterable[str]:
    """Draw the plain notes, one element for each line of them."""
    lines: dict[float, list[tuple[float, str]]] = {}
    for note in scene.notes:
        if note.role == "note":
            x, y = place.note(note.cell, note.digit)
            lines.setdefault(y, []).append((x, scene.layout.symbols[note.digit - 1]))
    if lines:
        yield f'<g fill="{GREY}" font-size="{figure(_NOTE_SIZE)}">'
        for y, noted in sorted(lines.items()):
            yield _text(sorted(noted), y + _NOTE_SIZE * 0.36)
        yield "</g>"


def _text(placed: list[tuple[float, str]], y: float) -> str:
    """Print characters at their own x on one line."""
    xs = " ".join(figure(x) for x, _ in placed)
    return f'<text x="{xs}" y="{figure(y)}">{escape("".join(symbol for _, symbol in placed))}</text>'


def _links(scene: Scene, place: Geometry) -> Iterable[str]:
    """Draw the links, all halos first so that no link is cut by its neighbour's."""
    if not scene.ties:
        return
    # A link behind another candidate of the chain would seem to lead there, which is worse than crossing a plain note.
    taken = {place.note(note.cell, note.digit): 1.0 if note.role == "note" else 4.0 for note in scene.notes}
    digits = {digit.cell for digit in scene.digits}
    paths: list[tuple[bool, str]] = []
    drawn: list[Point] = []
    for tie in scene.ties:
        path, points = place.curve(*_ends(tie, place), taken=taken, digits=digits, drawn=drawn)
        paths.append((tie.strong, path))
        drawn += points
    everything = "".join(path for _, path in paths)
    yield f'<path stroke="{PAPER}" stroke-opacity=".85" stroke-width="7.6" d="{everything}"/>'
    weak = "".join(path for strong, path in paths if not strong)
    strong = "".join(path for strong, path in paths if strong)
    if weak:
        yield f'<path stroke="{BLACK}" stroke-width="1.8" stroke-dasharray="5 3" d="{weak}"/>'
    yield f'<path stroke="{BLACK}" stroke-width="5" d="{strong}"/>'
    yield f'<path stroke="{PAPER}" stroke-width="2" d="{strong}"/>'


def _ends(tie: Tie, place: Geometry) -> tuple[Point, Point]:
    """Return the closest two members of the nodes that a link joins."""
    pairs = [(place.note(*near), place.note(*far)) for near in tie.near for far in tie.far]
    return min(pairs, key=lambda pair: (pair[0][0] - pair[1][0]) ** 2 + (pair[0][1] - pair[1][1]) ** 2)


def _marked(scene: Scene, place: Geometry) -> Iterable[str]:
    """Draw the notes that have a role, each on its shape."""
    drawn = False
    for note in scene.notes:
        if note.role != "note":
            if not drawn:
                yield f'<g fill="{BLACK}" font-size="{figure(_NOTE_SIZE)}" font-weight="700">'
                drawn = True
            point = place.note(note.cell, note.digit)
            yield _mark(note.role, point, scene.layout.symbols[note.digit - 1])
    if drawn:
        yield "</g>"


def _mark(role: str, point: Point, symbol: str) -> str:
    """Draw one marked note: its shape, its digit, and the stroke through what falls."""
    x, y = point
    centre = f'cx="{figure(x)}" cy="{figure(y)}"'
    digit = f'<text x="{figure(x)}" y="{figure(y + _NOTE_SIZE * 0.36)}">{escape(symbol)}</text>'
    r, d = NODE, figure(2 * NODE)
    if role == "odd":
        shape = f'<circle {centre} r="{figure(r)}" fill="{SKY}" stroke="{BLACK}"/>'
    elif role == "even":
        shape = f'<path fill="{ORANGE}" stroke="{BLACK}" d="M{figure(x - r)} {figure(y - r)}h{d}v{d}h-{d}z"/>'
    elif role == "placed":
        shape = (
            f'<circle {centre} r="{figure(r + 1.2)}" fill="{PAPER}" stroke="{GREEN}" stroke-width="2.4"/>'
            f'<circle {centre} r="{figure(r - 1.2)}" fill="{PAPER}" stroke="{GREEN}"/>'
        )
    elif role == "eliminated":
        stroke = f"M{figure(x - r)} {figure(y + r)}l{d} -{d}"
        shape = f'<path stroke="{VERMILLION}" stroke-width="3" d="{stroke}"/>'
    else:
        slope, flat = f"{figure(r * 0.5)} ", figure(r)
        left = f"{figure(x - r)} {figure(y)}"
        six = f"M{left}l{slope}-{flat}h{flat}l{slope}{flat}l-{slope}{flat}h-{flat}z"
        shape = f'<path fill="{YELLOW}" stroke="{BLACK}" d="{six}"/>'
    return shape + digit


_Entry = tuple[float, int, list[str]]


def _key(scene: Scene, place: Geometry) -> list[_Entry]:
    """Lay out the key: for each kind of mark in the scene a sample and its meaning, in rows."""
    used: set[str] = {area.role for area in scene.areas} | {note.role for note in scene.notes}
    used |= {"strong" if tie.strong else "weak" for tie in scene.ties}
    entries: list[_Entry] = []
    x, row = place.left, 0
    for role, meaning in KEY.items():
        if role not in used:
            continue
        wide = 40 + 6.5 * len(meaning)
        if x + wide > place.width and x > place.left:
            x, row = place.left, row + 1
        y = place.top + place.side + 20 + row * 22
        word = (
            f'<text x="{figure(x + 24)}" y="{figure(y + 4)}" font-size="12" text-anchor="start" fill="{BLACK}">'
            f"{escape(meaning)}</text>"
        )
        entries.append((x, row, [*_sample(role, x, y), word]))
        x += wide
    return entries


def _sample(role: str, x: float, y: float) -> Iterable[str]:
    """Draw the sample of one kind of mark."""
    line = f"M{figure(x - 2)} {figure(y)}h22"
    if role == "strong":
        yield f'<path stroke="{BLACK}" stroke-width="5" d="{line}"/>'
        yield f'<path stroke="{PAPER}" stroke-width="2" d="{line}"/>'
    elif role == "weak":
        yield f'<path stroke="{BLACK}" stroke-width="1.8" stroke-dasharray="5 3" d="{line}"/>'
    elif role in _AREAS:
        fill, opacity, outline, _ = _AREAS[role]
        box = f"M{figure(x)} {figure(y - 7)}h18v14h-18z"
        yield f'<path fill="{fill}" fill-opacity="{opacity:g}" {outline} d="{box}"/>'
    else:
        yield f'<g fill="{BLACK}" font-size="{figure(_NOTE_SIZE)}" font-weight="700">'
        yield _mark(role, (x + 9, y), "n") + "</g>"
