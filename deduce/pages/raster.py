"""From SVG to pixels, with the optional packages resvg-py and Pillow."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any, cast

from deduce.errors import needed

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["animation", "png", "sheet"]


def png(drawing: str, width: int) -> bytes:
    """Return the PNG of an SVG text.

    Parameters
    ----------
    drawing : str
        The SVG.
    width : int
        In pixels; the height follows.

    Raises
    ------
    MissingExtra
        If resvg-py is not installed, with the command that installs it.
    """
    resvg = _optional("resvg_py", "resvg-py")
    made = resvg.svg_to_bytes(svg_string=drawing, width=width, sans_serif_family="DejaVu Sans")
    return bytes(cast("Sequence[int]", made))


def sheet(pictures: Sequence[bytes], columns: int, width: int) -> bytes:
    """Return one PNG with small copies of pictures, row by row.

    Parameters
    ----------
    pictures : sequence of bytes
        PNG files, at least one.
    columns : int
        How many stand in a row.
    width : int
        Of each copy, in pixels.

    Raises
    ------
    MissingExtra
        If Pillow is not installed.
    """
    small = [_resized(picture, width) for picture in pictures]
    height = max(image.height for image in small)
    rows = -(-len(small) // columns)
    module = _optional("PIL.Image", "Pillow")
    whole = module.new("RGB", (columns * (width + 8) + 8, rows * (height + 8) + 8), "#808080")
    for number, image in enumerate(small):
        row, column = divmod(number, columns)
        whole.paste(image, (8 + column * (width + 8), 8 + row * (height + 8)))
    written = BytesIO()
    whole.save(written, "PNG", optimize=True)
    return written.getvalue()


def animation(pictures: Sequence[bytes], kind: str, seconds: float) -> bytes:
    """Return an endless animation of pictures of one size.

    Parameters
    ----------
    pictures : sequence of bytes
        PNG files, at least one.
    kind : str
        ``"gif"`` or ``"webp"``.
    seconds : float
        For which each picture stands.

    Raises
    ------
    MissingExtra
        If Pillow is not installed.
    ValueError
        For another kind of file.
    """
    if kind not in ("gif", "webp"):
        raise ValueError(f"an animation cannot be written as {kind!r}; give a name that ends in .gif or .webp")
    frames = [_opened(picture) for picture in pictures]
    written = BytesIO()
    frames[0].save(written, kind.upper(), save_all=True, append_images=frames[1:], duration=int(seconds * 1000), loop=0)
    return written.getvalue()


def _opened(picture: bytes) -> Image:
    """Read a PNG."""
    module = _optional("PIL.Image", "Pillow")
    return cast("Image", module.open(BytesIO(picture)).convert("RGB"))


def _resized(picture: bytes, width: int) -> Image:
    """Return a smaller copy."""
    image = _opened(picture)
    return image.resize((width, max(1, round(image.height * width / image.width))))


def _optional(module: str, package: str) -> Any:
    """Return a module that pictures of pixels need."""
    return needed(module, package, "A PNG picture", "pictures")
