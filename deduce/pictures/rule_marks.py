"""What a picture shows of the rules beyond houses: marks with roles, as in a scene, without colours or coordinates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Cage, Equal, Pair, Restricted, Rule, Total
from deduce.words.en.rules import DOTS

__all__ = ["RuleMark", "rule_marks"]

RuleRole = Literal["fence", "dots", "label", "line", "stem", "sign", "caption"]
"""A broken line around cells that differ; a dotted one around cells that have a sum and may be alike; a small text in
the corner of a cell; a line through cells that are a house; a line from the cell that holds a sum through those that
make it up; a sign between two cells; a sentence below the grid."""


@dataclass(frozen=True, slots=True)
class RuleMark:
    """One mark.

    Parameters
    ----------
    role : str
        What kind of mark.
    cells : tuple of int
        Where, in the order in which a line runs; empty for a caption.
    text : str
        What is written there, such as a total.
    """

    role: RuleRole
    cells: tuple[int, ...] = ()
    text: str = ""


def rule_marks(layout: Layout) -> tuple[RuleMark, ...]:
    """Return the marks of a layout: houses that are slanting lines first, then its rules in order.

    Examples
    --------
    >>> layout = Layout.standard(4).with_rules(Cage((0, 1), 3))
    >>> rule_marks(layout)
    (RuleMark(role='fence', cells=(0, 1), text=''), RuleMark(role='label', cells=(0,), text='3'))
    """
    if layout.problem:
        # The constraints of a problem are told in words; its picture is a table.
        return ()
    lines = [RuleMark("line", house.cells) for house in layout.regions if layout.is_slanting(house.cells)]
    marks: list[RuleMark] = []
    for rule in layout.rules:
        marks += _marks(layout, rule) or [RuleMark("caption", (), rule.name(layout))]
    if any(mark.role == "dots" for mark in marks):
        marks.append(RuleMark("caption", (), DOTS))
    return (*lines, *_together(marks))


def _apart(layout: Layout, one: int, other: int) -> tuple[int, int]:
    """Return how many rows and columns lie between two cells."""
    (row, column), (down, right) = layout.places[one], layout.places[other]
    return abs(row - down), abs(column - right)


def _beside(layout: Layout, one: int, other: int) -> bool:
    """Whether two cells share a side."""
    return sum(_apart(layout, one, other)) == 1


def _near(layout: Layout, one: int, other: int) -> bool:
    """Whether two cells share a side or a corner."""
    return max(_apart(layout, one, other)) == 1


def _connected(layout: Layout, cells: Sequence[int]) -> bool:
    """Whether cells hang together by their sides, and none is there twice."""
    left = {*cells}
    if len(left) < len(cells):
        return False
    edge = [left.pop()]
    while edge:
        cell = edge.pop()
        found = {other for other in left if _beside(layout, cell, other)}
        left -= found
        edge += found
    return not left


def _together(marks: Iterable[RuleMark]) -> Iterator[RuleMark]:
    """Yield the marks with texts that would stand in one place drawn together, at the first of them."""
    texts: dict[tuple[str, frozenset[int]], dict[str, None]] = {}
    listed = [*marks]
    for mark in listed:
        texts.setdefault((mark.role, frozenset(mark.cells)), {})[mark.text] = None
    for mark in listed:
        if mark.role not in ("label", "sign"):
            yield mark
            continue
        found = texts.pop((mark.role, frozenset(mark.cells)), None)
        if found:
            yield replace(mark, text=" ".join(found))


def _marks(layout: Layout, rule: Rule) -> list[RuleMark]:
    """Return the marks of one rule; none if they would not say it, or not clearly, so that it is told below the grid.

    That is so for sums of cells that do not hang together or in which a cell counts twice, lines that jump, relations
    of cells that are not side by side, and equal sums of several cells where there is more than one pair of them.
    """
    if isinstance(rule, Cage) and _connected(layout, rule.cells):
        return [RuleMark("fence", rule.cells), *[RuleMark("label", rule.cells[:1], str(rule.total))] * bool(rule.total)]
    if isinstance(rule, Total) and _connected(layout, rule.cells):
        return [RuleMark("dots", tuple(sorted(rule.cells))), RuleMark("label", (min(rule.cells),), _bounds(rule))]
    if isinstance(rule, Equal) and len({*rule.cells}) == len(rule.cells):
        return _equal(layout, rule)
    if isinstance(rule, Pair) and _beside(layout, *rule.cells):
        return [_sign(layout, rule)]
    if isinstance(rule, Restricted):
        text = rule.told or "".join(layout.symbols[digit - 1] for digit in rule.digits)
        return [RuleMark("label", (cell,), text) for cell in rule.cells]
    return []


def _bounds(rule: Total) -> str:
    """Write the bounds of a sum."""
    if rule.least == rule.most:
        return str(rule.least)
    low, high = rule.least, rule.most
    return f"\u2265{low}" if high is None else f"\u2264{high}" if low is None else f"{low}-{high}"


def _equal(layout: Layout, rule: Equal) -> list[RuleMark]:
    """Return a stem for a sum that one cell holds, else dots around each side."""
    if rule.split == 1:
        jumps = not all(_near(layout, a, b) for a, b in pairwise(rule.cells))
        return [] if jumps else [RuleMark("stem", rule.cells)]
    pairs = [other for other in layout.rules if isinstance(other, Equal) and min(map(len, other.sides)) > 1]
    if {*pairs} != {rule} or not all(_connected(layout, side) for side in rule.sides):
        return []
    dots = [RuleMark("dots", tuple(sorted(side))) for side in rule.sides]
    return [mark for each in dots for mark in (each, RuleMark("label", each.cells[:1], "="))]


def _sign(layout: Layout, rule: Pair) -> RuleMark:
    """Return the sign of a relation; the smaller-than sign opens towards the greater cell, whichever way that lies."""
    first, second = rule.cells
    signs = {"apart": "\u2265{}", "differ": "\u00b1{}", "near": "\u2264{}", "ratio": "\u00d7{}"}
    if rule.relation != "less":
        return RuleMark("sign", rule.cells, signs[rule.relation].format(rule.amount))
    (row, column), (down, right) = layout.places[first], layout.places[second]
    text = "<" if (column, row) < (right, down) else ">"
    if column == right:
        # Up and down: the sign is turned, its point towards the smaller cell.
        text = "\u2227" if row < down else "\u2228"
    return RuleMark("sign", rule.cells, text)
