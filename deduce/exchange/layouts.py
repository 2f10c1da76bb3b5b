"""Layouts to and from documents: by name where they have one, else spelled out."""

from __future__ import annotations

import json
import re
from typing import Any

from deduce.errors import ExchangeError, LayoutError, LayoutTextError
from deduce.exchange.problems import decode_problem, encode_problem
from deduce.exchange.reader import Node, parse
from deduce.puzzle.layout import SYMBOLS, House, Layout, box_shape
from deduce.puzzle.rule_text import read_rules, split
from deduce.puzzle.rules import Rule

__all__ = ["decode_layout", "encode_layout", "layout_from_json", "layout_to_json"]

_STANDARD = re.compile(r"standard ([1-9][0-9]?)(?:, boxes ([1-9][0-9]?)x([1-9][0-9]?))?")

MAX_REGIONS = 200
MAX_SIDE = 99
MAX_HOUSES = 2000
MAX_RULES = 2000
MAX_LINE = 4000


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
    if layout.problem:
        return {"problem": encode_problem(layout.problem.statement)}
    order = layout.order
    if layout.boxes and layout == Layout.standard(order, layout.boxes):
        rows, columns = layout.boxes
        return f"standard {order}" + (f", boxes {rows}x{columns}" if box_shape(order) != layout.boxes else "")
    spelled: dict[str, Any] = {"order": order, "symbols": layout.symbols}
    if layout.region_kind:
        spelled["regions"] = [[layout.cell_name(cell) for cell in house.cells] for house in layout.houses[2 * order :]]
        if layout.region_kind != "box":
            spelled["region kind"] = layout.region_kind
    else:
        spelled["cells"] = [
            "".join("o" if (row, column) in layout.cell_at else "-" for column in range(layout.width))
            for row in range(layout.height)
        ]
        spelled["houses"] = [_house(layout, house) for house in layout.houses]
    if layout.rules:
        spelled["rules"] = [rule.line(layout) for rule in layout.rules]
    try:
        again = decode_layout(Node(spelled, ("layout",)))
    except ExchangeError:
        again = None
    if again != layout or again.model.constraints != layout.model.constraints:
        problem = "a layout with rules that a document has no words for"
        raise ExchangeError("puzzle.layout", problem, "rules of the text form")
    return spelled


def _house(layout: Layout, house: House) -> dict[str, Any]:
    """Return a house by its name and cells."""
    told: dict[str, Any] = {"kind": house.kind, "number": house.number}
    if house.grid:
        told["grid"] = house.grid
    return {**told, "cells": [layout.cell_name(cell) for cell in house.cells]}


def decode_layout(node: Node, listed: Node | None = None) -> Layout:
    """Return the layout that a document states; the same object for the same words.

    Of a problem the constraints may be `listed` elsewhere in the document.

    Raises
    ------
    ExchangeError
        If there is no such layout.
    """
    if isinstance(node.value, str):
        return _named(node)
    if node.has("problem"):
        return decode_problem(node.member("problem"), listed)
    order = node.member("order").whole(2, len(SYMBOLS))
    letters = node.member("symbols", SYMBOLS[:order]).text(len(SYMBOLS))
    try:
        base = _general(node, order, letters) if node.has("cells") else _square(node, order, letters)
        return _ruled(node, base)
    except LayoutError as error:
        raise node.wrong(error.advice, error.problem) from None


def _square(node: Node, order: int, letters: str) -> Layout:
    """Read a square grid with regions."""
    kind = node.member("region kind", "box").text(40)
    cells = {f"r{cell // order + 1}c{cell % order + 1}": cell for cell in range(order * order)}
    expected = f"a cell from r1c1 to r{order}c{order}"
    regions = node.member("regions", []).items(0, MAX_REGIONS, "regions")
    listed = [region.names(cells, expected, "cells", least=order, most=order) for region in regions]
    return Layout(order, listed, symbols=letters, region_kind=kind)


def _general(node: Node, order: int, letters: str) -> Layout:
    """Read cells on a canvas and their houses."""
    places = []
    for row, line in enumerate(node.member("cells").items(1, MAX_SIDE, "rows")):
        signs = line.text(MAX_SIDE)
        if set(signs) - {"o", "-"}:
            raise line.wrong("o for a cell and - for a hole")
        places += [(row, column) for column, sign in enumerate(signs) if sign == "o"]
    numbers = {f"r{row + 1}c{column + 1}": cell for cell, (row, column) in enumerate(places)}
    houses = []
    for item in node.member("houses").items(0, MAX_HOUSES, "houses"):
        cells = item.member("cells").names(numbers, "a cell of the canvas", "cells", least=order, most=order)
        whose = item.member("grid").whole(1, 99) if item.has("grid") else 0
        houses.append(House(item.member("kind").text(40), item.member("number").whole(1, 999), cells, whose))
    return Layout.build(order, places, houses, symbols=letters)


def _ruled(node: Node, base: Layout) -> Layout:
    """Add the rules, each a line of the text form of layouts."""
    rules: list[Rule] = []
    for item in node.member("rules", []).items(0, MAX_RULES, "rules"):
        line = item.text(MAX_LINE)
        words = split(line, 1, line)
        if not words:
            raise item.wrong("a line of the text form of layouts", "an empty line")
        try:
            rules += read_rules(base, words, {})
        except LayoutTextError as error:
            raise item.wrong(error.expected, error.problem) from None
    layout = base.with_rules(*rules)  # the same object for the same description
    _ = layout.model
    return layout


def _named(node: Node) -> Layout:
    """Read ``standard 9`` or ``standard 6, boxes 3x2``."""
    match = _STANDARD.fullmatch(node.text(40))
    if match is None:
        raise node.wrong("standard N or standard N, boxes RxC")
    order, rows, columns = (int(number or 0) for number in match.groups())
    try:
        return Layout.standard(order, (rows, columns) if rows else None)
    except LayoutError as error:
        raise node.wrong(error.advice, error.problem) from None


def layout_to_json(layout: Layout) -> str:
    """Return a layout as JSON text, as a document states it."""
    return json.dumps(encode_layout(layout), ensure_ascii=False, indent=1)


def layout_from_json(text: str) -> Layout:
    """Read a layout from JSON text.

    Raises
    ------
    ExchangeError
        With the path of the place that is wrong.

    Examples
    --------
    >>> layout_from_json('{"order": 4, "rules": ["cage r1c1 r1c2 = 3"]}')
    <Layout of order 4 with 8 houses, 1 rules>
    """
    return decode_layout(parse(text))
