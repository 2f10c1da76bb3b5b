"""From grids and proofs to the plain values of a document.

Candidates become tokens (``5r4c7``), houses their names (``box 2``), constraints their names or ids
(``7 in box 2``, ``rule 3: cage, total 15, r1c1 r1c2``), and whatever is as it would
be anyway (a weight of 1, an empty list, no chain) is left out.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from deduce.errors import ExchangeError
from deduce.exchange.constraints import constraint_ids, encode_constraints
from deduce.exchange.layouts import encode_layout
from deduce.kernel import Counting, Inference, Model, Supposition, Swap
from deduce.positions import bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import line

__all__ = ["encode_notes", "encode_puzzle", "encode_step", "named_things", "notes_used", "starting_grid"]


def starting_grid(proof: Proof) -> Grid:
    """Return the grid of a proof, which documents need to be a real one.

    Raises
    ------
    ExchangeError
        If the proof starts from something else that a kernel would accept.
    """
    if not isinstance(proof.grid, Grid):
        raise ExchangeError("puzzle", f"a position of the type {type(proof.grid).__name__}", "a Grid")
    return proof.grid


def encode_puzzle(grid: Grid) -> dict[str, Any]:
    """Return a grid: its layout, givens and entered digits, and what else sets its position apart.

    ``eliminated`` lists the candidates that are gone although no placed digit clears them; ``assumed`` those that a
    person's notes rule out, whether or not a digit entered since would clear them; ``kept`` those that are live
    although a placed digit clears them (a grid in which two digits clash may hold such).  ``presumed`` lists those of
    the candidates gone or placed that were settled assuming a unique solution.  ``resting`` tells for each assumed note
    what rests on it besides: a list of the note and the candidates gone or placed because of it.
    """
    layout = grid.layout
    if grid.givens & ~grid.true or grid.true & ~grid.live:
        raise ExchangeError("puzzle", "a given that is not placed, or a placed digit that is not live", "a whole grid")
    entered = grid.true & ~grid.givens
    document: dict[str, Any] = {"layout": encode_layout(layout), "givens": _digits(layout, grid.givens)}
    if layout.rules:
        document["constraints"] = encode_constraints(layout)
    if layout.rules and layout.problem:
        del document["layout"]["problem"]["constraints"]
    if entered:
        document["entered"] = _digits(layout, entered)
    cleared = Grid.from_numbers(layout, bits(grid.givens), bits(entered)).live
    for name, mask in (
        ("eliminated", cleared & ~grid.live & ~grid.assumed),
        ("assumed", grid.assumed),
        ("kept", grid.live & ~(cleared & ~grid.assumed)),
        ("presumed", grid.presumed & (~grid.live | grid.true)),
    ):
        if mask:
            document[name] = _tokens(layout.model, bits(mask))
    resting = [(note, mask & ~(1 << note)) for note, mask in grid.resting]
    if any(mask for _, mask in resting):
        document["resting"] = [_tokens(layout.model, (note, *bits(mask))) for note, mask in resting if mask]
    return document


def _digits(layout: Layout, placed: int) -> str | list[str]:
    """Return placed digits as a line, or as tokens where two stand in one cell or a cell is a variable."""
    twice = any((placed & mask).bit_count() > 1 for mask in layout.masks[: layout.cells])
    return _tokens(layout.model, bits(placed)) if twice or layout.problem else line(layout, placed)


@lru_cache(maxsize=64)
def named_things(layout: Layout) -> dict[str, dict[int, str]]:
    """Return what the items of roles are called: for each kind the name of each number."""
    return {
        "cells": {cell: layout.cell_name(cell) for cell in range(layout.cells)},
        "candidates": dict(enumerate(layout.model.names)),
        "houses": {number: house.name for number, house in enumerate(layout.houses)},
        "digits": dict(enumerate(layout.symbols, 1)),
    }


def encode_step(proof: Proof) -> dict[str, Any]:
    """Return a proof without its position: what it concludes, its argument, its pattern, what had to be read."""
    grid = starting_grid(proof)
    layout, model = grid.layout, grid.layout.model
    step: dict[str, Any] = {}
    if proof.places:
        step["places"] = _tokens(model, (c for inference in proof.inferences for c in inference.true), tidy=True)
    if proof.eliminates:
        step["eliminates"] = _tokens(model, (c for inference in proof.inferences for c in inference.false), tidy=True)
    if proof.contradiction:
        step["contradiction"] = True
    step["pattern"] = _pattern(layout, proof.pattern)
    step["argument"] = [_inference(layout, inference) for inference in proof.inferences]
    if proof.bases:
        step["premises"] = [constraint_ids(layout)[number] for number in proof.bases]
    notes = notes_used(proof)
    if notes:
        step["rests on notes"] = notes
    if proof.assumes_unique:
        step["assumes unique"] = True
    if proof.proved_smallest:
        step["proved smallest"] = True
    return step


def encode_notes(grid: Grid) -> list[str] | list[list[str]]:
    """Return what each cell may still hold, cell by cell in reading order: digits in one text, values in a list."""
    layout = grid.layout
    held: list[list[str]] = [[] for _ in range(layout.cells)]
    for number in bits(grid.live):
        digit, cell = divmod(number, layout.cells)
        held[cell].append(layout.symbols[digit])
    return held if layout.problem else ["".join(digits) for digits in held]


def notes_used(proof: Proof) -> list[str]:
    """Return the assumed notes that a proof rests on."""
    return _tokens(starting_grid(proof).model, proof.noted)


def _tokens(model: Model, candidates: Iterable[int], *, tidy: bool = False) -> list[str]:
    """Return the names of candidates, `tidy` in order and each once."""
    return [model.names[c] for c in (sorted(set(candidates)) if tidy else candidates)]


def _inference(layout: Layout, inference: Inference) -> dict[str, Any]:
    """Return one inference; neither ``false`` nor ``true`` says that it concludes a contradiction."""
    model, ids = layout.model, constraint_ids(layout)
    item: dict[str, Any] = {}
    argument = inference.argument
    if isinstance(argument, Counting):
        for name, side in (("bases", argument.bases), ("covers", argument.covers)):
            if side:
                item[name] = [ids[number] if weight == 1 else [ids[number], weight] for number, weight in side]
        if not item and not argument.swaps:
            item["bases"] = []
        if argument.swaps:
            item["swaps"] = [_swap(model, swap, weight) for swap, weight in argument.swaps]
    elif isinstance(argument, Supposition):
        item["suppose"] = model.names[argument.candidate]
        item["inferences"] = [_inference(layout, inner) for inner in argument.inferences]
    elif isinstance(argument, Swap):
        item["swap"] = _swap(model, argument)
    else:
        raise ExchangeError("argument", type(argument).__name__, "a counting argument, a supposition or a swap")
    for name, candidates in (("false", inference.false), ("true", inference.true)):
        if candidates:
            item[name] = _tokens(model, candidates)
    return item


def _swap(model: Model, swap: Swap, weight: int = 1) -> dict[str, Any]:
    told = {"pattern": _tokens(model, swap.pattern), "exits": _tokens(model, swap.exits)}
    return told if weight == 1 else {**told, "weight": weight}


def _pattern(layout: Layout, pattern: Pattern) -> dict[str, Any]:
    """Return a pattern with its roles, its chain, its other names and the patterns inside it."""
    found: dict[str, Any] = {"name": pattern.name}
    if pattern.roles:
        found["roles"] = [_role(layout, role) for role in pattern.roles]
    if pattern.chain is not None:
        found["chain"] = _chain(layout, pattern.chain)
    if pattern.also:
        found["also"] = list(pattern.also)
    if pattern.inner:
        found["inner"] = [_pattern(layout, part) for part in pattern.inner]
    return found


def _role(layout: Layout, role: Role) -> dict[str, Any]:
    """Return a role under the kind of its items: ``{"role": "pivot", "cells": ["r4c7"]}``."""
    names = named_things(layout) | {"constraints": dict(enumerate(constraint_ids(layout)))}
    if role.kind not in names:
        raise ExchangeError("pattern.roles", f"items of the kind {role.kind!r}", f"one of {', '.join(names)}")
    return {"role": role.name, role.kind: [names[role.kind][item] for item in role.items]}


def _chain(layout: Layout, chain: Chain) -> dict[str, Any]:
    """Return a chain: a node is a token or a list of them, a link says what justifies it under its strength."""
    model, ids = layout.model, constraint_ids(layout)
    nodes = [model.names[node[0]] if len(node) == 1 else _tokens(model, node) for node in chain.nodes]
    links = []
    for link in chain.links:
        kind = "strong" if link.strong else "weak"
        item: dict[str, Any] = {kind: [ids[number] for number in link.constraints]}
        if link.covers:
            item["covers"] = [ids[number] for number in link.covers]
        links.append(item)
    found: dict[str, Any] = {"nodes": nodes, "links": links}
    return {**found, "loop": True} if chain.loop else found
