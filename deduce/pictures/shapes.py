"""The shapes around marked notes, one for each role, so that no meaning hangs on a colour."""

from __future__ import annotations

from deduce.pictures.geometry import NODE, Point, figure

__all__ = ["REACH", "circle", "end", "shape", "square"]

REACH = NODE + 1.2
"""The furthest that a shape goes from the middle of its note, to the side or up or down."""


def shape(role: str, point: Point) -> str:
    """Return the path of the shape for a role around a point.

    Raises
    ------
    KeyError
        If notes of this role have no shape.
    """
    x, y = point
    return _SHAPES[role](x, y)


def end(role: str, point: Point, half: float) -> str:
    """Return the path of the frame around the mark of an end of a chain: a square for a square, else a circle."""
    x, y = point
    return square(x, y, half) if role == "even" else circle(x, y, half)


def circle(x: float, y: float, radius: float) -> str:
    """Return the path of a circle."""
    r, d = figure(radius), figure(2 * radius)
    return f"M{figure(x - radius)} {figure(y)}a{r} {r} 0 1 1 {d} 0a{r} {r} 0 1 1-{d} 0z"


def square(x: float, y: float, half: float = NODE) -> str:
    """Return the path of a square."""
    d = figure(2 * half)
    return f"M{figure(x - half)} {figure(y - half)}h{d}v{d}h-{d}z"


def _hexagon(x: float, y: float) -> str:
    slope, flat = figure(NODE * 0.5), figure(NODE)
    return f"M{figure(x - NODE)} {figure(y)}l{slope}-{flat}h{flat}l{slope} {flat}l-{slope} {flat}h-{flat}z"


def _diamond(x: float, y: float) -> str:
    r = figure(REACH)
    return f"M{figure(x - REACH)} {figure(y)}l{r}-{r} {r} {r}-{r} {r}z"


def _house(x: float, y: float) -> str:
    """Return a square with a gable, for the way out of something."""
    r, d, rise = figure(NODE), figure(2 * NODE), figure(NODE * 0.45)
    low = figure(NODE * 1.55)
    return f"M{figure(x - NODE)} {figure(y - NODE * 0.55)}l{r}-{rise} {r} {rise}v{low}h-{d}z"


def _ring(x: float, y: float) -> str:
    """Return two circles, one in the other."""
    return circle(x, y, REACH) + circle(x, y, NODE - 1.4)


def _corners(x: float, y: float) -> str:
    """Return a square whose sides are open in the middle."""
    r, side = figure(3.6), figure(NODE * 2 - 7.2)
    start = f"M{figure(x - NODE)} {figure(y - NODE + 3.6)}"
    return f"{start}v-{r}h{r}m{side} 0h{r}v{r}m0 {side}v{r}h-{r}m-{side} 0h-{r}v-{r}"


def _notched(x: float, y: float) -> str:
    """Return a tile whose four sides are notched, so that its corners reach out like those of a cross."""
    r, dent = figure(REACH), figure(2.2)
    return (
        f"M{figure(x - REACH)} {figure(y - REACH)}l{r} {dent} {r}-{dent}-{dent} {r} {dent} {r}-{r}-{dent}-{r} {dent} "
        f"{dent}-{r}z"
    )


_SHAPES = {
    "even": square,
    "odd": lambda x, y: circle(x, y, NODE),
    "pattern": _hexagon,
    "fin": _diamond,
    "exit": _house,
    "opened": _corners,
    "placed": _ring,
    "eliminated": _notched,
}
