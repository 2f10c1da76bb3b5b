"""Layouts to and from documents: by name where they have one, else spelled out."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from deduce.errors import ExchangeError, LayoutError
from deduce.exchange.problems import decode_problem, encode_problem
from deduce.exchange.reader import Node
from deduce.puzzle.layout import SYMBOLS, Layout, box_shape
from deduce.puzzle.problems.layout import ProblemLayout

__all__ = ["decode_layout", "encode_layout"]

MAX_REGIONS = 200


def encode_layout(layout: Layout) -> Any:
    """Return the layout as a document states it.

    Raises
    ------
    ExchangeError
        If a document has no words for something about the layout.

    Examples
    --------
    >>> encode_layout(Layout.standard(9)), encode_layout(Layout.standard(6, (3, 2)))
    ('standard 9', 'standard 6, boxes 3x2')
    >>> encode_layout(Layout(2))
    {'order': 2, 'symbols': '12', 'regions': []}
    """
    if isinstance(layout, ProblemLayout):
        return {"problem": encode_problem(layout)}
    order = layout.order
    for rows in range(1, order + 1):
        if order % rows == 0 and order >= 4 and layout == Layout.standard(order, (rows, order // rows)):
            plain = box_shape(order) == (rows, order // rows)
            return f"standard {order}" if plain else f"standard {order}, boxes {rows}x{order // rows}"
    regions = [house for house in layout.houses if house.kind not in ("row", "column")]
    kind = regions[0].kind if regions else "box"
    try:
        again = _spelled(order, layout.symbols, tuple(house.cells for house in regions), kind)
    except LayoutError:
        again = None
    if again != layout or again.model.constraints != layout.model.constraints:
        raise ExchangeError("puzzle.layout", "a layout with other rules than houses", "rows, columns and regions")
    spelled = {
        "order": order,
        "symbols": layout.symbols,
        "regions": [[layout.cell_name(cell) for cell in house.cells] for house in regions],
    }
    return spelled if kind == "box" else {**spelled, "region kind": kind}


def decode_layout(node: Node) -> Layout:
    """Return the layout that a document states; the same object for the same words.

    Raises
    ------
    ExchangeError
        If there is no such layout.
    """
    if isinstance(node.value, str):
        return _named(node)
    if node.has("problem"):
        return decode_problem(node.member("problem"))
    order = node.member("order").whole(2, len(SYMBOLS))
    symbols = node.maybe("symbols")
    letters = SYMBOLS[:order] if symbols is None else symbols.text(len(SYMBOLS))
    named = node.maybe("region kind")
    kind = "box" if named is None else named.text(40)
    regions = node.maybe("regions")
    cells = {f"r{cell // order + 1}c{cell % order + 1}": cell for cell in range(order * order)}
    listed = []
    for region in () if regions is None else regions.items(0, MAX_REGIONS, "regions"):
        numbers = []
        for cell in region.items(order, order, "cells"):
            name = cell.text(8)
            if name not in cells:
                raise cell.wrong(f"a cell from r1c1 to r{order}c{order}")
            numbers.append(cells[name])
        listed.append(tuple(numbers))
    try:
        layout = _spelled(order, letters, tuple(listed), kind)
    except LayoutError as error:
        raise node.wrong(error.advice, error.problem) from None
    except ValueError as error:  # two houses of one name: the model cannot tell their constraints apart
        raise node.wrong("a name of its own for each house", str(error)) from None
    return layout


@lru_cache(maxsize=64)
def _spelled(order: int, symbols: str, regions: tuple[tuple[int, ...], ...], kind: str) -> Layout:
    """Return one shared layout with a compiled model for each description."""
    layout = Layout(order, regions, symbols=symbols, region_kind=kind)
    _ = layout.model
    return layout


def _named(node: Node) -> Layout:
    """Read ``standard 9`` or ``standard 6, boxes 3x2``."""
    expected = "standard N or standard N, boxes RxC"
    words = node.text(40).split(" ")
    sizes = words[3].split("x") if len(words) == 4 and words[2] == "boxes" else []
    order = words[1].removesuffix(",") if len(words) in (2, 4) else ""
    numbers = [order, *sizes]
    if words[0] != "standard" or not all(n.isascii() and n.isdigit() and len(n) < 3 for n in numbers):
        raise node.wrong(expected)
    box = (int(sizes[0]), int(sizes[1])) if len(sizes) == 2 else None
    try:
        layout = Layout.standard(int(order), box)
    except LayoutError as error:
        raise node.wrong(error.advice, error.problem) from None
    if node.value != f"standard {int(order)}" + (f", boxes {box[0]}x{box[1]}" if box else ""):
        raise node.wrong(expected)
    return layout
