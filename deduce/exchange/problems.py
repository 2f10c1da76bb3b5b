"""Layouts of problems to and from documents: names of variables and values, groups, and linear constraints.

The caller's own objects do not travel, and neither do his functions: what a constraint says is in its linear form.
"""

from __future__ import annotations

from typing import Any

from deduce.errors import ExchangeError, ProblemError
from deduce.exchange.reader import Node
from deduce.kernel import Constraint
from deduce.puzzle.layout import Layout
from deduce.puzzle.problems.compiled import MOST_CANDIDATES, MOST_COEFFICIENT, Part
from deduce.puzzle.problems.layout import Statement
from deduce.puzzle.problems.naming import MOST_NAME, MOST_TITLE

__all__ = ["MAX_CONSTRAINTS", "decode_problem", "encode_problem"]

MAX_CONSTRAINTS = 20_000
"""How many constraints, and how many linear ones in each, a document may list."""

_MOST_BOUND = MOST_COEFFICIENT * MOST_CANDIDATES


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
        linear = []
        for rule in part.constraints:
            item: dict[str, Any] = {"name": rule.name, "terms": {names[c]: a for c, a in rule.terms}}
            if rule.lower is not None:
                item["at least"] = rule.lower
            if rule.upper is not None:
                item["at most"] = rule.upper
            linear.append(item)
        stated = {"title": part.title, "variables": spoken(part.cells), "from": list(part.sources)}
        constraints.append({**stated, "linear": linear})
    document: dict[str, Any] = {"variables": list(problem.variables), "values": list(problem.values)}
    return {**document, "groups": groups, "constraints": constraints}


def decode_problem(node: Node) -> Layout:
    """Return the layout that a document states.

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
        spoken = _known(item.member("variables"), cells, "a variable of the problem")
        if len(spoken) != len(values):
            raise item.wrong(f"{len(values)} variables in a group, as many as there are values", f"{len(spoken)}")
        groups.append((item.member("name").text(MOST_TITLE), spoken, item.member("from").whole(0, MAX_CONSTRAINTS)))
    parts = []
    for item in node.member("constraints").items(0, MAX_CONSTRAINTS, "constraints"):
        sources = tuple(n.whole(0, MAX_CONSTRAINTS) for n in item.member("from").items(0, MAX_CONSTRAINTS, "numbers"))
        linear = item.member("linear").items(1, MAX_CONSTRAINTS, "linear constraints")
        spoken = _known(item.member("variables"), cells, "a variable of the problem")
        stated = tuple(_linear(one, tokens) for one in linear)
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


def _known(node: Node, table: dict[str, int], expected: str) -> tuple[int, ...]:
    """Read a list of different names."""
    found = []
    for item in node.items(0, len(table), "names"):
        name = item.text(MOST_TITLE)
        if name not in table:
            raise item.wrong(expected)
        found.append(table[name])
    if len(set(found)) != len(found):
        raise node.wrong("each name once", "one is listed twice")
    return tuple(found)


def _linear(node: Node, tokens: dict[str, int]) -> Constraint:
    terms = []
    held = node.member("terms")
    if not isinstance(held.value, dict):
        raise held.wrong("an object from candidates to coefficients")
    for token in held.value:
        if token not in tokens:
            raise ExchangeError(held.path, f"the candidate {token[:MOST_NAME]!a}", "a candidate of the problem")
        coefficient = held.member(token).whole(-MOST_COEFFICIENT, MOST_COEFFICIENT)
        if not coefficient:
            raise held.member(token).wrong("a coefficient other than 0")
        terms.append((tokens[token], coefficient))
    least, most = node.maybe("at least"), node.maybe("at most")
    lower = None if least is None else least.whole(-_MOST_BOUND, _MOST_BOUND)
    upper = None if most is None else most.whole(-_MOST_BOUND, _MOST_BOUND)
    return Constraint(node.member("name").text(MOST_TITLE), tuple(terms), lower, upper)
