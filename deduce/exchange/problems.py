"""Layouts of problems to and from documents: names of variables and values, groups, and linear constraints.

The caller's own objects do not travel, and neither do his functions: what a constraint says is in its linear form.
"""

from __future__ import annotations

from typing import Any

from deduce.errors import ProblemError
from deduce.exchange.constraints import MAX_CONSTRAINTS, decode_linear, encode_linear
from deduce.exchange.reader import Node
from deduce.puzzle.layout import Layout
from deduce.puzzle.problems.compiled import MOST_CANDIDATES, Part
from deduce.puzzle.problems.layout import Statement
from deduce.puzzle.problems.naming import MOST_NAME, MOST_TITLE

__all__ = ["decode_problem", "encode_problem"]


def encode_problem(problem: Statement) -> dict[str, Any]:
    """Return a problem as a document states it.

    ``groups`` take every value once; each of the ``constraints`` is a list of sums ``at least <= terms <= at most``
    over candidates, and ``from`` says which constraints of the original problem it comes from.
    """

    def spoken(cells: tuple[int, ...]) -> list[str]:
        return [problem.variables[cell] for cell in cells]

    names = [f"{v} = {w}" for w in problem.values for v in problem.variables]
    groups = [{"name": told, "variables": spoken(cells), "from": n} for told, cells, n in problem.groups]
    constraints = []
    for part in problem.parts:
        linear = [encode_linear(names, said, name=said.name) for said in part.constraints]
        stated = {"title": part.title, "variables": spoken(part.cells), "from": list(part.sources)}
        constraints.append({**stated, "linear": linear})
    document: dict[str, Any] = {"variables": list(problem.variables), "values": list(problem.values)}
    return {**document, "groups": groups, "constraints": constraints}


def decode_problem(node: Node, listed: Node | None = None) -> Layout:
    """Return the layout that a document states; its constraints are `listed` there where they are not with it.

    Raises
    ------
    ExchangeError
        With the path of what is wrong.
    """
    variables = _names(node.member("variables"))
    values = _names(node.member("values"))
    if len(variables) * len(values) > MOST_CANDIDATES:
        raise node.wrong(f"at most {MOST_CANDIDATES} candidates", f"{len(variables)} variables of {len(values)} values")
    cells = {name: cell for cell, name in enumerate(variables)}
    tokens = {f"{v} = {w}": d * len(variables) + c for c, v in enumerate(variables) for d, w in enumerate(values)}
    groups = []
    for item in node.member("groups").items(0, MAX_CONSTRAINTS, "groups"):
        spoken = item.member("variables").names(cells, "a variable of the problem", "variables", once=True)
        if len(spoken) != len(values):
            raise item.wrong(f"{len(values)} variables in a group, as many as there are values", f"{len(spoken)}")
        groups.append((item.member("name").text(MOST_TITLE), spoken, item.member("from").whole(0, MAX_CONSTRAINTS)))
    parts = []
    held = node.maybe("constraints")
    where = listed or node.member("constraints") if held is None else held
    for item in where.items(0, MAX_CONSTRAINTS, "constraints"):
        origin, scope = (item, "variables") if held is not None else (item.member("origin"), "cells")
        sources = tuple(n.whole(0, MAX_CONSTRAINTS) for n in origin.member("from").items(0, MAX_CONSTRAINTS, "numbers"))
        linear = item.member("linear").items(1, MAX_CONSTRAINTS, "linear constraints")
        spoken = origin.member(scope).names(cells, "a variable of the problem", "variables", once=True)
        stated = tuple(decode_linear(one, tokens, "name") for one in linear)
        parts.append(Part(item.member("title").text(3 * MOST_TITLE), spoken, sources, stated))
    try:
        layout = Statement(variables, values, tuple(groups), tuple(parts)).layout()
        _ = layout.model
    except (ProblemError, ValueError) as error:  # names that occur twice, bounds that contradict each other
        raise node.wrong("a problem that the kernel can read", str(error)) from None
    return layout


def _names(node: Node) -> tuple[str, ...]:
    found = tuple(item.text(MOST_NAME) for item in node.items(1, MOST_CANDIDATES, "names"))
    if len(set(found)) != len(found) or not all(found):
        raise node.wrong("different names, none of them empty", "one twice, or an empty one")
    return found
