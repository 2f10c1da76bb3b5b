"""What the rules of a layout say, listed in documents: an id, an origin, terms and bounds for each linear constraint.

The constraints of cells and houses go by plain names (``cell r4c7``, ``7 in box 2``).  All others get a short id that
does not change with wording, such as ``rule 3: cage, total 15, r1c1 r1c2``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from functools import lru_cache
from typing import Any

from deduce.errors import ExchangeError
from deduce.exchange.reader import Node
from deduce.kernel import Constraint
from deduce.puzzle.layout import Layout
from deduce.puzzle.problems.compiled import MOST_CANDIDATES, MOST_COEFFICIENT
from deduce.puzzle.problems.naming import MOST_NAME, MOST_TITLE, brief, distinct
from deduce.puzzle.rules import Rule

__all__ = ["MAX_CONSTRAINTS", "constraint_ids", "decode_ids", "decode_linear", "encode_constraints", "encode_linear"]

MAX_CONSTRAINTS = 20_000
"""How many constraints, and how many linear ones in each, a document may list."""

_MOST_ID = 100
_MOST_BOUND = MOST_COEFFICIENT * MOST_CANDIDATES


@lru_cache(maxsize=64)
def constraint_ids(layout: Layout) -> tuple[str, ...]:
    """Return what documents call each constraint of the layout's model.

    Examples
    --------
    >>> from deduce.puzzle.rules import Cage
    >>> constraint_ids(Layout(2).with_rules(Cage((0, 3), 2)))[-3:]
    ('rule 1: cage, total 2, r1c1 r2c2', 'rule 1: cage, 1, r1c1 r2c2', 'rule 1: cage, 2, r1c1 r2c2')
    """
    names = [rule.name for rule in layout.model.constraints[: layout.exact]]
    names += [_id(layout, number, rule, said) for number, rule, said, kept in _said(layout) if kept]
    return distinct(names)


def _said(layout: Layout) -> Iterator[tuple[int, Rule, Constraint, bool]]:
    """Yield what each rule says, with the number of the rule, and whether it is a constraint of the model."""
    rest = iter(layout.model.constraints[layout.exact :])
    following = next(rest, None)
    for number, rule in enumerate(layout.rules, 1):
        for said in rule.constraints(layout):
            kept = said == following
            yield number, rule, said, kept
            following = next(rest, None) if kept else following


def _id(layout: Layout, number: int, rule: Rule, said: Constraint) -> str:
    """Return the id of a constraint: the rule, its kind, the sum or the digits that it is about, and the cells."""
    digits: dict[str, list[str]] = {}
    for candidate, _ in sorted(said.terms):
        digit, cell = divmod(candidate, layout.cells)
        digits.setdefault(layout.cell_name(cell), []).append(layout.symbols[digit])
    joint = "" if all(len(symbol) == 1 for symbol in layout.symbols) else " "
    several = {joint.join(held) for held in digits.values()}
    about = ", ".join(f"{cell} {joint.join(held)}" for cell, held in digits.items())
    if several == {joint.join(layout.symbols)}:
        bounds = [f"{side} {n}" for side, n in _bounds(said).items()] if said.lower != said.upper else [f"{said.lower}"]
        about = f"{'total ' * (rule.kind != 'total')}{' '.join(bounds)}, {' '.join(digits)}"
    elif len(several) == 1:
        about = f"{several.pop()}, {' '.join(digits)}"
    return brief(f"rule {number}: {rule.kind}, {about}", _MOST_ID)


def _bounds(said: Constraint) -> dict[str, int]:
    """Return the bounds that a constraint has."""
    return {side: n for side, n in (("at least", said.lower), ("at most", said.upper)) if n is not None}


def encode_linear(names: Sequence[str], said: Constraint, **named: object) -> dict[str, Any]:
    """Return a constraint as a document states it: under some name, with its terms and its bounds."""
    return {**named, "terms": {names[c]: a for c, a in said.terms}, **_bounds(said)}


def encode_constraints(layout: Layout) -> list[dict[str, Any]]:
    """Return what the rules of a layout say, rule by rule: origin, title, and the linear constraints with their ids.

    What a cell or a house says as well is no constraint of the model, and is left out; a problem, which is read back
    from this list, has it marked as ``already said``.
    """
    ids = iter(constraint_ids(layout)[layout.exact :])
    told: dict[int, dict[str, Any]] = {}
    for number, rule, said, kept in _said(layout):
        if number not in told:
            told[number] = {"origin": _origin(layout, number, rule), "title": rule.name(layout), "linear": []}
        name = {"name": said.name} if layout.problem else {}
        if kept:
            told[number]["linear"].append(encode_linear(layout.model.names, said, id=next(ids), **name))
        elif name:
            told[number]["linear"].append(encode_linear(layout.model.names, said, **{"already said": True}, **name))
    return [*told.values()]


def _origin(layout: Layout, number: int, rule: Rule) -> dict[str, Any]:
    """Return where constraints come from: the rule, its kind, its cells and its parameters."""
    part = getattr(rule, "part", None)
    if part is not None:
        parameters: dict[str, Any] = {"from": list(part.sources)}
    else:
        held = {field.name: getattr(rule, field.name) for field in fields(rule) if field.name != "cells"}  # type: ignore[arg-type]
        parameters = {n: list(v) if isinstance(v, tuple) else v for n, v in held.items() if v not in (None, "")}
    return {"rule": number, "kind": rule.kind, "cells": [*map(layout.cell_name, rule.cells)], **parameters}


def decode_linear(node: Node, tokens: Mapping[str, int], named: str) -> Constraint:
    """Read a linear constraint; `named` is the member that it is called by."""
    terms = []
    held = node.member("terms")
    if not isinstance(held.value, dict):
        raise held.wrong("an object from candidates to coefficients")
    for token in held.value:
        if token not in tokens:
            raise ExchangeError(held.path, f"the candidate {token[:MOST_NAME]!a}", "a candidate of the puzzle")
        coefficient = held.member(token).whole(-MOST_COEFFICIENT, MOST_COEFFICIENT)
        if not coefficient:
            raise held.member(token).wrong("a coefficient other than 0")
        terms.append((tokens[token], coefficient))
    lower, upper = (
        node.member(side).whole(-_MOST_BOUND, _MOST_BOUND) if node.has(side) else None
        for side in ("at least", "at most")
    )
    return Constraint(node.member(named).text(MOST_TITLE), tuple(terms), lower, upper)


def decode_ids(node: Node | None, layout: Layout, at: Node) -> dict[str, int]:
    """Return the numbers of the constraints of a layout by what a document calls them.

    The list has to say what the rules say, constraint for constraint, under whatever ids; `at` is blamed if there is
    none although the layout has rules.
    """
    model, exact = layout.model, layout.exact
    tokens = {name: number for number, name in enumerate(model.names)}
    known = {rule.name: number for number, rule in enumerate(model.constraints[:exact])}
    waiting: dict[tuple[object, ...], list[int]] = {}
    for place, (number, _, said, _) in enumerate([item for item in _said(layout) if item[3]], exact):
        waiting.setdefault((number, *_meaning(said)), []).append(place)
    if node is None and waiting:
        raise at.wrong("the member 'constraints', which says what the rules say", "it is missing")
    for listed in () if node is None else node.items(0, MAX_CONSTRAINTS, "rules"):
        origin = listed.member("origin")
        number = origin.member("rule").whole(1, len(layout.rules))
        own = _origin(layout, number, layout.rules[number - 1])
        if any(not origin.has(name) or origin.member(name).value != value for name, value in own.items()):
            raise origin.wrong(f"what the layout says of rule {number}", "something else")
        for item in listed.member("linear").items(0, MAX_CONSTRAINTS, "linear constraints"):
            if item.has("already said"):
                continue
            said = decode_linear(item, tokens, "id")
            if said.name in known:
                raise item.member("id").wrong("an id of its own")
            same = waiting.get((number, *_meaning(said)))
            if not same:
                raise item.wrong("what the rules of the layout say, each once", "another constraint")
            known[said.name] = same.pop(0)
    left = next((model.constraints[places[0]].name for places in waiting.values() if places), None)
    if node is not None and left is not None:
        raise node.wrong("all that the rules of the layout say", f"a list without {left!r}")
    return known


def _meaning(said: Constraint) -> tuple[object, ...]:
    return frozenset(said.terms), said.lower, said.upper
