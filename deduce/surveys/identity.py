"""What makes two records the same puzzle: one canonical text on one layout, and their digest."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache

from deduce.errors import GridError
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import SYMBOLS, Layout
from deduce.puzzle.text import EMPTY, ORDERS

__all__ = ["Identity", "digest", "identify", "layout_text", "plain"]

Identity = tuple[Layout, str]
"""A layout and the text that `Grid.parse` reads back on it."""

_DOTS = str.maketrans(EMPTY, "." * len(EMPTY))
_SIZES = {order * order: order for order in ORDERS}


def plain(text: str, layout: Layout | None = None) -> Identity | None:
    """Return the identity of a text with one character a cell without building a grid; None if it is no such text.

    Examples
    --------
    >>> plain("1___0000....*4*.", None)[1]
    '1............4..'
    """
    if layout is None:
        order = _SIZES.get(len(text))
        if order is None:
            return None
        layout = Layout.standard(order)
    elif len(text) != layout.cells:
        return None
    text = text.translate(_DOTS)
    if set(text) <= _characters(layout):
        return layout, text
    if layout.symbols == SYMBOLS[: layout.order] and text.isascii():
        text = text.upper()
        if set(text) <= _characters(layout):
            return layout, text
    return None


def identify(item: object, layout: Layout | None = None) -> Identity:
    """Return the identity of a record.

    Parameters
    ----------
    item : str or Grid
        Anything that `Grid.parse` reads, or a grid.
    layout : Layout, optional
        The layout of texts; by default the one with rectangular boxes that fits.

    Raises
    ------
    GridError
        For malformed text, and for what is neither text nor a grid.
    """
    if isinstance(item, str):
        quick = plain(item, layout)
        if quick is not None:
            return quick
        item = Grid.parse(item, layout)
    elif not isinstance(item, Grid):
        kind = type(item).__name__
        raise GridError(f"{str(item)[:40]!r} of type {kind} is no puzzle", "give a text or a grid")
    text = item.line()
    if item.assumed or Grid.parse(text, item.layout) != item:
        text = item.pencil()
    return item.layout, text


def digest(layout: Layout, text: str) -> bytes:
    """Return the address of a puzzle, 16 bytes."""
    return hashlib.blake2b(f"{layout_text(layout)}\n{text}".encode(), digest_size=16).digest()


@lru_cache(maxsize=64)
def layout_text(layout: Layout) -> str:
    """Return everything that makes up a layout, rules and canvases too, as one line of JSON for `Layout.from_json`."""
    return json.dumps(json.loads(layout.to_json()), separators=(",", ":"), sort_keys=True)


@lru_cache(maxsize=64)
def _characters(layout: Layout) -> frozenset[str]:
    """Return what may stand in a canonical line."""
    return frozenset(layout.symbols + ".")
