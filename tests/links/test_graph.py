"""The candidate graph against networkx's own Sudoku graph and against the plain definitions."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from reference import Board, Cand, strong_links, weak_links
from strategies import dead, positions

import deduce
from deduce.puzzle.layout import Layout


def of_digit(grid: deduce.Grid, digit: int) -> nx.Graph:
    """The weak links between candidates of one digit, as a plain graph over the cells."""
    graph = deduce.link_graph(grid)
    cells = grid.layout.cells
    here = graph.subgraph(n for n in graph if n // cells == digit - 1)
    weak = [(a % cells, b % cells) for a, b, kind in here.edges(keys=True) if kind == "weak"]
    plain = nx.Graph(weak)
    assert plain.number_of_edges() == len(weak), "two weak links between the same candidates"
    return plain


# Source: networkx.sudoku_graph, written independently of this library; Herzberg & Murty, Notices of the AMS 54(6), 2007
# (81 vertices, 810 edges, 20-regular, diameter 2, spectrum 20, 11^4, 5^12, 2^4, -1^36, -4^24). The figures for boxes
# of 2x2 and 4x4 were recomputed with nx.


@pytest.mark.parametrize(("n", "edges", "degree"), [(2, 56, 7), (3, 810, 20), (4, 4992, 39)])
def test_one_digit_of_an_empty_grid(n: int, edges: int, degree: int) -> None:
    grid = deduce.Grid.empty(Layout.standard(n * n))
    expected = nx.sudoku_graph(n)
    for digit in (1, n * n):
        plain = of_digit(grid, digit)
        assert {frozenset(e) for e in plain.edges} == {frozenset(e) for e in expected.edges}
        assert plain.number_of_nodes() == n**4
        assert plain.number_of_edges() == edges
        assert {d for _, d in plain.degree} == {degree}


def test_spectrum_of_the_9x9_graph() -> None:
    """Exact: the traces of the powers of the matrix fix how often each of six given numbers is an eigenvalue."""
    plain = of_digit(deduce.Grid.empty(), 5)
    assert nx.diameter(plain) == 2
    spectrum = {20: 1, 11: 4, 5: 12, 2: 4, -1: 36, -4: 24}
    near = [sorted(plain[cell]) for cell in range(81)]
    power = [[int(a == b) for b in range(81)] for a in range(81)]
    annihilated = power
    for k, value in enumerate(spectrum):
        assert sum(power[a][a] for a in range(81)) == sum(count * v**k for v, count in spectrum.items())
        power = [[sum(row[n] for n in near[b]) for b in range(81)] for row in power]
        product = [[sum(row[n] for n in near[b]) - value * row[b] for b in range(81)] for row in annihilated]
        annihilated = product
    assert not any(map(any, annihilated)), "there is another eigenvalue"


def test_whole_empty_grid() -> None:
    """729 options under 324 items (Knuth, TAOCP 4B, 7.2.2.1); nothing is strong in an empty 9x9 grid."""
    grid = deduce.Grid.empty()
    graph = deduce.link_graph(grid)
    assert (len(graph), len(grid.model.constraints)) == (729, 324)
    assert graph.number_of_edges() == 9 * 810 + 81 * 36
    assert {kind for *_, kind in graph.edges(keys=True)} == {"weak"}


def edges(graph: nx.MultiGraph, grid: deduce.Grid, kind: str) -> set[frozenset[Cand]]:
    cells = grid.layout.cells
    pairs = [{(n // cells + 1, n % cells) for n in (a, b)} for a, b, key in graph.edges(keys=True) if key == kind]
    return {frozenset(pair) for pair in pairs}


def expected_edges(links: dict[Cand, set[Cand]]) -> set[frozenset[Cand]]:
    return {frozenset((a, b)) for a, others in links.items() for b in others}


@given(positions() | dead())
def test_edges_are_those_of_the_definitions(grid: deduce.Grid) -> None:
    graph, board = deduce.link_graph(grid), Board.of(grid)
    cells = grid.layout.cells
    assert {(n // cells + 1, n % cells) for n in graph} == set(board.candidates())
    assert edges(graph, grid, "strong") == expected_edges(strong_links(board)), grid.pencil()
    assert edges(graph, grid, "weak") == expected_edges(weak_links(board)), grid.pencil()
    assert edges(graph, grid, "strong") <= edges(graph, grid, "weak"), "every strong link may serve as a weak one"


@given(positions())
def test_constraints_justify_the_edges(grid: deduce.Grid) -> None:
    graph = deduce.link_graph(grid)
    open_ = grid.live & ~grid.true
    held = [{c for c, _ in rule.terms if open_ >> c & 1} for rule in grid.model.constraints]
    met = [any(grid.true >> c & 1 for c, _ in rule.terms) for rule in grid.model.constraints]
    for a, b, kind, data in graph.edges(keys=True, data=True):
        assert data["kind"] == kind
        both = [n for n, here in enumerate(held) if {a, b} <= here and (kind == "weak" or len(here) == 2)]
        assert list(data["constraints"]) == both
        assert both
        assert not any(met[n] for n in both)
        assert all((grid.model.constraints[n].lower, grid.model.constraints[n].upper) == (1, 1) for n in both)


@given(positions())
def test_the_graph_is_the_same_every_time(grid: deduce.Grid) -> None:
    first, second = deduce.link_graph(grid), deduce.link_graph(grid)
    assert list(first.nodes(data=True)) == list(second.nodes(data=True))
    assert list(first.edges(keys=True, data=True)) == list(second.edges(keys=True, data=True))
    assert len({name for _, name in first.nodes(data="name")}) == len(first)
