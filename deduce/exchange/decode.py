"""From the plain values of a document to grids and proofs: the only way in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from deduce.errors import ProofError
from deduce.exchange.constraints import decode_ids
from deduce.exchange.encode import named_things, notes_used, starting_grid
from deduce.exchange.layouts import decode_layout
from deduce.exchange.reader import Node
from deduce.kernel import MAX_WEIGHT, Argument, Counting, Inference, Position, Supposition, Swap
from deduce.positions import after, bits, bitset
from deduce.proof import Chain, Link, Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["MAX_INFERENCES", "NameTable", "decode_puzzle", "decode_step", "follow"]

MAX_INFERENCES = 10_000
"""How many inferences a list of them may hold."""

MAX_PARTS = 1_000
"""How many roles, names, nodes or inner patterns a pattern may have."""

MAX_SWAPS = 50
"""How many swaps a document may name: the kernel may have to try many fillings for each."""


class NameTable:
    """What the names of a document mean on a layout.

    Parameters
    ----------
    layout : Layout
        The layout of the puzzle.
    constraints : mapping of str to int
        What the document calls the constraints.
    """

    def __init__(self, layout: Layout, constraints: Mapping[str, int]) -> None:
        self.layout = layout
        self.swaps = 0
        things = {kind: {n: i for i, n in names.items()} for kind, names in named_things(layout).items()}
        self.kinds: dict[str, Mapping[str, int]] = {**things, "constraints": constraints}
        self.expected = {
            "cells": "a cell, such as r1c1",
            "candidates": "a candidate, such as 1r1c1",
            "houses": "a house, such as row 1",
            "digits": f"one of the digits {layout.symbols}",
            "constraints": "a constraint of the layout, such as cell r1c1",
        }

    def one(self, node: Node, kind: str) -> int:
        """Read one name."""
        return node.name(self.kinds[kind], self.expected[kind])

    def several(self, node: Node, kind: str) -> tuple[int, ...]:
        """Read a list of names."""
        return node.names(self.kinds[kind], self.expected[kind], kind, most=len(self.kinds["candidates"]))

    def different(self, node: Node, kind: str) -> tuple[int, ...]:
        """Read a list of names, each of them once."""
        return node.names(self.kinds[kind], self.expected[kind], kind, once=True)


def decode_puzzle(node: Node, version: int = 2) -> tuple[Grid, NameTable]:
    """Return the grid that a document starts from, and what its names mean; see `encode_puzzle` for the members.

    Version 1 calls constraints what the model calls them.  From version 2 on documents list what rules say.
    """
    constraints = node.maybe("constraints") if version > 1 else None
    layout = decode_layout(node.member("layout"), constraints)
    if version == 1:
        names = NameTable(layout, {rule.name: number for number, rule in enumerate(layout.model.constraints)})
    else:
        names = NameTable(layout, decode_ids(constraints, layout, node))
    givens = _digits(node.member("givens"), names)
    entered = _digits(node.member("entered", []), names)
    if set(entered) & set(givens):
        raise node.member("entered").wrong("entered digits beside the givens", "a given is listed as entered")
    cleared = Grid.from_numbers(layout, givens, entered)
    eliminated, assumed, kept, presumed = (
        bitset(names.different(node.member(name, []), "candidates"))
        for name in ("eliminated", "assumed", "kept", "presumed")
    )
    for name, mask in (("eliminated", eliminated), ("assumed", assumed)):
        if mask & cleared.true & ~kept:
            raise node.member(name).wrong("candidates that are not placed", "a placed candidate is listed")
    live = cleared.live & ~eliminated & ~assumed | kept
    if presumed & live & ~cleared.true:
        raise node.member("presumed").wrong("candidates that are gone or placed", "an open candidate is listed")
    resting = _resting(node.member("resting", []), names, assumed, live & ~cleared.true)
    return Grid(layout, live, cleared.true, cleared.givens, assumed, presumed, resting), names


def _resting(node: Node, names: NameTable, assumed: int, open_: int) -> tuple[tuple[int, int], ...]:
    """Read what rests on each assumed note: lists that begin with the note; by default nothing but its own absence."""
    found = {note: 1 << note for note in bits(assumed)}
    for item in node.items(0, len(found), "lists"):
        listed = names.different(item, "candidates")
        if not listed or found.get(listed[0]) != 1 << listed[0]:
            raise item.wrong("a list that begins with an assumed note, each once", "another beginning")
        found[listed[0]] = bitset(listed)
        if found[listed[0]] & open_:
            raise item.wrong("candidates that are gone or placed", "an open candidate")
    return tuple(sorted(found.items()))


def _digits(node: Node, names: NameTable) -> tuple[int, ...]:
    """Read placed digits: one character a cell, or a list of tokens."""
    layout = names.layout
    if not isinstance(node.value, str) or layout.problem:
        return names.different(node, "candidates")
    line = node.text(layout.cells)
    if len(line) != layout.cells:
        raise node.wrong(f"{layout.cells} characters, one a cell", f"{len(line)} characters")
    found = []
    for cell, char in enumerate(line):
        if char == ".":
            continue
        digit = layout.symbols.find(char) + 1
        if not digit:
            raise node.wrong(f"one of {layout.symbols} or '.'", f"{char!r} in {layout.cell_name(cell)}")
        found.append(layout.number(digit, cell))
    return tuple(found)


def decode_step(node: Node, grid: Grid, names: NameTable) -> Proof:
    """Return the proof of one step; its summary must say what its argument concludes.

    Parameters
    ----------
    node : Node
        The step.
    grid : Grid
        The position in which the proof stands.
    names : NameTable
        Of the layout of that grid.
    """
    inferences = _inferences(node.member("argument"), names)
    pattern = _pattern(node.member("pattern"), names)
    proof = Proof(grid, inferences, pattern, node.member("proved smallest", False).truth())
    for name, side in (("places", "true"), ("eliminates", "false")):
        actual = {c for inference in inferences for c in getattr(inference, side)}
        if set(names.different(node.member(name, []), "candidates")) != actual:
            at = node.maybe(name) or node
            raise at.wrong("the conclusions of the argument, no more and no fewer", f"{name} tells something else")
    for name, holds in (("contradiction", proof.contradiction), ("assumes unique", proof.assumes_unique)):
        if name == "assumes unique" and not node.has(name) and not proof.swaps:
            # What a step inherits from earlier ones may be left unsaid; the reader knows.
            continue
        if node.member(name, False).truth() != holds:
            raise (node.maybe(name) or node).wrong(f"{name}: {str(holds).lower()}", "the argument differs")
    notes = node.maybe("rests on notes")
    if notes is not None and [item.value for item in notes.items()] not in (notes_used(proof), _own_notes(proof)):
        raise notes.wrong("the assumed notes that the step rests on, in order", "other notes")
    premises = node.maybe("premises")
    if premises is not None and tuple(names.one(item, "constraints") for item in premises.items()) != proof.bases:
        raise premises.wrong("the bases of the argument, each once, in order", "other premises")
    return proof


def _own_notes(proof: Proof) -> list[str]:
    """Return the assumed notes that a proof uses itself, which is all that older documents list."""
    grid = starting_grid(proof)
    try:
        return [grid.model.names[c] for c in bits(proof.needs.gone & ~grid.true & grid.assumed)]
    except ProofError:
        return []


def _inferences(node: Node, names: NameTable) -> tuple[Inference, ...]:
    return tuple(_inference(item, names) for item in node.items(1, MAX_INFERENCES, "inferences"))


def _inference(node: Node, names: NameTable) -> Inference:
    """Read one inference; what it concludes is left to the kernel to judge."""
    false, true = (names.several(node.member(name, []), "candidates") for name in ("false", "true"))
    return Inference(_argument(node, names), false, true)


def _argument(node: Node, names: NameTable) -> Argument:
    supposed, swap = node.maybe("suppose"), node.maybe("swap")
    kinds = [any(map(node.has, ("bases", "covers", "swaps"))), supposed is not None, swap is not None]
    if sum(kinds) != 1:
        raise node.wrong("bases, covers or swaps, or suppose, or swap", f"{sum(kinds)} kinds of argument")
    if supposed is not None:
        return Supposition(names.one(supposed, "candidates"), _inferences(node.member("inferences"), names))
    if swap is not None:
        return _swap(swap, names)
    bases, covers = (_side(node.member(name, []), names) for name in ("bases", "covers"))
    swaps = node.member("swaps", []).items(0, MAX_SWAPS, "swaps")
    weighted = tuple((_swap(item, names), item.member("weight", 1).whole(1, MAX_WEIGHT)) for item in swaps)
    return Counting(bases, covers, weighted)


def _swap(node: Node, names: NameTable) -> Swap:
    names.swaps += 1
    if names.swaps > MAX_SWAPS:
        raise node.wrong(f"at most {MAX_SWAPS} swaps in a document", "one more")
    pattern = names.several(node.member("pattern"), "candidates")
    return Swap(pattern, names.several(node.member("exits"), "candidates"))


def _side(node: Node, names: NameTable) -> tuple[tuple[int, int], ...]:
    """Read bases or covers: a name, or a name with a weight."""
    found = []
    for item in node.items(0, len(names.kinds["constraints"]), "constraints"):
        if isinstance(item.value, list):
            name, weight = item.items(2, 2, "parts: a constraint and its weight")
            found.append((names.one(name, "constraints"), weight.whole(1, MAX_WEIGHT)))
        else:
            found.append((names.one(item, "constraints"), 1))
    return tuple(found)


def _pattern(node: Node, names: NameTable) -> Pattern:
    def parts(name: str, what: str) -> Iterator[Node]:
        return node.member(name, []).items(0, MAX_PARTS, what)

    chain = node.maybe("chain")
    return Pattern(
        node.member("name").text(),
        tuple(_role(item, names) for item in parts("roles", "roles")),
        None if chain is None else _chain(chain, names),
        tuple(item.text() for item in parts("also", "names")),
        tuple(_pattern(item, names) for item in parts("inner", "patterns")),
    )


def _role(node: Node, names: NameTable) -> Role:
    held = [kind for kind in names.kinds if node.has(kind)]
    if len(held) != 1:
        raise node.wrong(f"one of {', '.join(names.kinds)}", f"{len(held)} of them")
    return Role(node.member("role").text(), held[0], names.several(node.member(held[0]), held[0]))


def _chain(node: Node, names: NameTable) -> Chain:
    nodes = []
    for item in node.member("nodes").items(1, MAX_PARTS, "nodes"):
        group = isinstance(item.value, list)
        nodes.append(names.several(item, "candidates") if group else (names.one(item, "candidates"),))
        if not nodes[-1]:
            raise item.wrong("at least one candidate")
    closed = node.member("loop", False).truth()
    wanted = len(nodes) - (not closed)
    listed = node.member("links").items(wanted, wanted, "links")
    return Chain(tuple(nodes), tuple(_link(item, names) for item in listed), closed)


def _link(node: Node, names: NameTable) -> Link:
    strong = node.has("strong")
    if strong == node.has("weak"):
        raise node.wrong("either strong or weak", "both or neither")
    constraints = names.several(node.member("strong" if strong else "weak"), "constraints")
    return Link(strong, constraints, names.several(node.member("covers", []), "constraints"))


def follow(grid: Grid, proof: Proof) -> Grid:
    """Return the position that a proof claims to lead to, verified or not."""
    position = Position(grid.live, grid.true)
    for inference in proof.inferences:
        position = after(grid.model, position, inference)
    return grid.moved(Position(position.live | position.true, position.true), proof)
