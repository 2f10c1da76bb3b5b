"""From SVG to pixels and files of them, with optional packages: CairoSVG where it works, else resvg-py; and Pillow."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache, partial
from html import escape, unescape
from importlib import import_module
from io import BytesIO
from typing import TYPE_CHECKING, Any

from deduce.errors import needed
from deduce.pictures.themes import theme_of

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["animation", "opened", "pixels", "png"]


def pixels(drawing: str, *, clear: bool = False) -> Image:
    """Return the picture of an SVG text, in the size that it states.

    Parameters
    ----------
    drawing : str
        The SVG.
    clear : bool
        Whether what it leaves open stays transparent.

    Raises
    ------
    MissingExtra
        If neither CairoSVG nor resvg-py works, or Pillow is not installed, with the command that installs them.

    Notes
    -----
    A frame of 1920 by 1080 takes CairoSVG 40 ms, handed over without a detour through a PNG, and resvg-py 240 ms, of
    which 65 ms go for writing one.  CairoSVG needs the library libcairo2 of the system.
    """
    images = _pillow()
    try:
        surface, parser = import_module("cairosvg.surface"), import_module("cairosvg.parser")
    except (ImportError, OSError):  # OSError: without libcairo2
        resvg = _optional("resvg_py", "resvg-py")
        made = resvg.svg_to_bytes(svg_string=drawing, sans_serif_family="DejaVu Sans")
        found: Image = images.open(BytesIO(bytes(made)))
        return found if clear else found.convert("RGB")
    tree = parser.Tree(bytestring=_PLACED.sub(_one_by_one, drawing).encode())
    canvas = surface.PNGSurface(tree, None, 96).cairo
    canvas.flush()
    # Cairo's pixels are BGR with alpha multiplied in; on paper that covers everything there is none to speak of.
    size, kind = (canvas.get_width(), canvas.get_height()), ("RGBA", "BGRa") if clear else ("RGB", "BGRX")
    return images.frombuffer(kind[0], size, bytes(canvas.get_data()), "raw", kind[1], canvas.get_stride(), 1)  # type: ignore[no-any-return]


_PLACED = re.compile(r'<text((?: [a-z-]+="[^"]*")*?) x="([^"]* [^"]*)" y="([^"]*)">([^<]*)</text>')


def _one_by_one(found: re.Match[str]) -> str:
    """Write a text that has a place for each letter as a text for each letter: CairoSVG centres it as a whole."""
    kept, xs, ys, letters = found[1], found[2].split(), found[3].split(), unescape(found[4])
    spots = zip(xs, ys if len(ys) > 1 else ys * len(xs), letters, strict=True)
    return "".join(f'<text{kept} x="{x}" y="{y}">{escape(letter)}</text>' for x, y, letter in spots)


def png(image: Image, theme: str) -> bytes:
    """Return the PNG of a picture: in the colours of a theme, or whole if it has transparent parts.

    One palette for all frames takes 3 ms to apply; the file takes 5 ms instead of 45 and is half as large.
    """
    written = BytesIO()
    (image if image.mode == "RGBA" else _painted(image, theme)).save(written, "PNG", compress_level=3)
    return written.getvalue()


def opened(picture: bytes) -> Image:
    """Read a PNG."""
    return _pillow().open(BytesIO(picture)).convert("RGB")  # type: ignore[no-any-return]


def animation(images: Sequence[Image], kind: str, seconds: Sequence[float]) -> bytes:
    """Return an endless animation of pictures of one size.

    Parameters
    ----------
    images : sequence of Image
        At least one.
    kind : str
        ``"gif"`` or ``"webp"``.
    seconds : sequence of float
        For which each picture stands.
    """
    written = BytesIO()
    times = [max(20, round(time * 1000)) for time in seconds]
    first, *others = images
    first.save(written, kind.upper(), save_all=True, append_images=others, duration=times, loop=0, lossless=True)
    return written.getvalue()


def _painted(image: Image, theme: str) -> Image:
    """Return a picture in the colours of a theme."""
    return image.quantize(palette=_palette(theme), dither=_pillow().Dither.NONE)


@cache
def _palette(theme: str) -> Image:
    """Return the colours of a theme, each also mixed with paper and ink, as letters and lines are at their edges."""
    look, read = theme_of(theme), import_module("PIL.ImageColor").getrgb
    paper, ink, given, on_mark = map(read, (look.paper, look.ink, look.given, look.on_mark))
    plain = [read(colour) for colour in dict.fromkeys(re.findall("#[0-9A-Fa-f]+", repr(look)))]
    shades = [_mixed(read(area.fill), under, area.opacity) for area in look.areas.values() for under in (paper, given)]
    found = [paper, ink, given, *plain, *shades, *(_mixed(ink, paper, part / 16) for part in range(1, 16))]
    for part in (1 / 2, 1 / 4, 3 / 4):
        found += [_mixed(colour, paper, part) for colour in plain]
        found += [_mixed(ink, colour, part) for colour in shades]
        found += [_mixed(on_mark, read(body.fill), part) for body in look.marks.values() if body.fill != "none"]
    # Colours next to one already there would only take its place: Pillow looks colours up a little coarsely.
    apart: list[Colour] = []
    for colour in found:
        if all(max(abs(a - b) for a, b in zip(colour, other, strict=True)) > 7 for other in apart):
            apart.append(colour)
    held = _pillow().new("P", (1, 1))
    held.putpalette([level for colour in apart[:256] for level in colour])
    return held  # type: ignore[no-any-return]


Colour = tuple[int, int, int]


def _mixed(upper: Colour, lower: Colour, part: float) -> Colour:
    red, green, blue = (round(part * a + (1 - part) * b) for a, b in zip(upper, lower, strict=True))
    return red, green, blue


def _optional(module: str, package: str) -> Any:
    """Return a module that pictures of pixels need."""
    return needed(module, package, "A PNG picture", "pictures")


_pillow = partial(_optional, "PIL.Image", "Pillow")
