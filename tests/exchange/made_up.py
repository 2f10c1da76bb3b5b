"""Random proofs that need not prove anything, on random positions of odd layouts: what can be written must be read."""

from __future__ import annotations

from hypothesis import strategies as st
from strategies import JIGSAW

from deduce import Grid, Layout, Proof
from deduce.kernel import MAX_WEIGHT, Counting, Inference, Supposition, Swap
from deduce.proof import Chain, Link, Pattern, Role

__all__ = ["ODD", "grids", "proofs"]

ODD = (
    Layout.standard(4),
    Layout.standard(6),
    Layout.standard(6, (3, 2)),
    Layout.standard(9),
    JIGSAW,
    Layout(3),
    Layout(4, [(0, 1, 2, 3), (0, 5, 10, 15)], symbols=";,\"'", region_kind="so against"),
    Layout(5, symbols="(<!>)"),
    Layout(4, [(3, 6, 9, 12)], symbols="αβγδ", region_kind="up] {and down}, \\ 2 *"),
    Layout.standard(16),
)
"""Layouts with and without names of their own, some with symbols and house names that grammars use."""

TEXTS = st.sampled_from(
    ["skyscraper", "pointing pair", "so", "chain", "also", "a; b | c", '"', "Ünïcode", "2 * x", "  ", "", "-"]
) | st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=12).filter(str.isprintable)


def masks(size: int) -> st.SearchStrategy[int]:
    """Bitsets, many of them with few bits."""
    few = st.lists(st.integers(0, size - 1), max_size=8).map(lambda bits: sum(1 << b for b in set(bits)))
    return few | st.integers(0, (1 << size) - 1)


@st.composite
def grids(draw: st.DrawFn) -> Grid:
    """Draw a position: any placed digits, clashing ones included, any live candidates, any assumed ones."""
    layout = draw(st.sampled_from(ODD))
    size = layout.order * layout.cells
    true = draw(masks(size))
    start = Grid.empty(layout).live if draw(st.booleans()) else draw(masks(size))
    return Grid(layout, start | true, true, true & draw(masks(size)), draw(masks(size)))


@st.composite
def inferences(draw: st.DrawFn, layout: Layout, depth: int) -> Inference:
    """Draw an inference of any kind that concludes anything."""
    candidates = st.lists(st.integers(0, layout.order * layout.cells - 1), max_size=4).map(tuple)
    weights = st.integers(1, 3) | st.just(MAX_WEIGHT)
    swap = st.builds(Swap, candidates, candidates)
    side = st.lists(st.tuples(st.integers(0, len(layout.model.constraints) - 1), weights), max_size=4).map(tuple)
    kinds = [st.builds(Counting, side, side, st.lists(st.tuples(swap, weights), max_size=2).map(tuple)), swap]
    if depth:
        inner = st.lists(inferences(layout, depth - 1), min_size=1, max_size=2).map(tuple)
        kinds.append(st.builds(Supposition, st.integers(0, layout.order * layout.cells - 1), inner))
    return Inference(draw(st.one_of(kinds)), draw(candidates), draw(candidates))


@st.composite
def patterns(draw: st.DrawFn, layout: Layout, depth: int = 1) -> Pattern:
    """Draw a pattern with roles of every kind, and perhaps a chain."""
    most = {
        "cells": (0, layout.cells - 1),
        "candidates": (0, layout.order * layout.cells - 1),
        "houses": (0, len(layout.houses) - 1),
        "digits": (1, layout.order),
        "constraints": (0, len(layout.model.constraints) - 1),
    }
    roles = [
        Role(draw(TEXTS), kind, draw(st.lists(st.integers(*most[kind]), max_size=4).map(tuple)))
        for kind in draw(st.lists(st.sampled_from(sorted(most)), max_size=4))
    ]
    chain = None
    if draw(st.booleans()):
        nodes = st.lists(st.integers(*most["candidates"]), min_size=1, max_size=3).map(tuple)
        held = draw(st.lists(nodes, min_size=1, max_size=5).map(tuple))
        loop = draw(st.booleans())
        some = st.lists(st.integers(*most["constraints"]), max_size=3).map(tuple)
        links = st.builds(Link, st.booleans(), some, some)
        wanted = len(held) - (not loop)
        chain = Chain(held, draw(st.lists(links, min_size=wanted, max_size=wanted).map(tuple)), loop)
    also = draw(st.lists(TEXTS, max_size=2).map(tuple))
    inner = draw(st.lists(patterns(layout, depth - 1), max_size=2).map(tuple)) if depth else ()
    return Pattern(draw(TEXTS), tuple(roles), chain, also, inner)


@st.composite
def proofs(draw: st.DrawFn) -> Proof:
    """Draw a proof."""
    grid = draw(grids())
    steps = draw(st.lists(inferences(grid.layout, 2), min_size=1, max_size=3).map(tuple))
    return Proof(grid, steps, draw(patterns(grid.layout)), draw(st.booleans()))
