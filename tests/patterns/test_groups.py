"""Groups and sets as nodes: the graph, the completeness of the closure and of the finders, and loops."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
import reference_sets as sets
from hypothesis import given, settings, strategies as st
from reference import CHAINS, Board, Cand
from reference_sets import Net, Node, Pair
from strategies import LAYOUTS, dead, positions

import deduce
from deduce.kernel import Counting, coefficients
from deduce.links.closure import closure
from deduce.links.linkset import all_links, set_links
from deduce.patterns import fault
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle

SMALL = ("4x4", "5x5", "6x6")
KINDS = {"groups": (True, False), "almost locked sets": (False, True), "both": (True, True)}
few = settings(max_examples=settings().max_examples // 5)


def cands(grid: deduce.Grid, numbers: Iterable[int]) -> frozenset[Cand]:
    return frozenset((n // grid.layout.cells + 1, n % grid.layout.cells) for n in numbers)


def gone(proof: Proof) -> frozenset[Cand]:
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.false))


def placed(proof: Proof) -> frozenset[Cand]:
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.true))


# The graph


def nodes_of(graph, grid: deduce.Grid) -> dict[int, Node]:
    return {n: cands(grid, map(grid.number, data["candidates"])) for n, data in graph.nodes(data=True)}


def check_graph(grid: deduce.Grid, group: bool, almost: bool) -> None:
    graph = deduce.link_graph(grid, groups=group, almost_locked_sets=almost)
    expected = sets.net(Board.of(grid), group=group, sets=almost)
    nodes = nodes_of(graph, grid)
    assert len({*nodes.values()}) == len(nodes)
    assert {*nodes.values()} == expected.nodes, grid.pencil()
    for kind, pairs in (("strong", expected.strong), ("weak", expected.weak)):
        edges = [frozenset((nodes[a], nodes[b])) for a, b, key in graph.edges(keys=True) if key == kind]
        assert len(set(edges)) == len(edges)
        assert set(edges) == pairs, f"{kind}\n{grid.pencil()}"
    order = grid.layout.order
    for number, data in graph.nodes(data=True):
        single = len(nodes[number]) == 1
        assert single == (number < order**3)
        assert data["candidate"] == (data["candidates"][0] if single else None)
        assert data["name"] == "/".join(map(str, data["candidates"]))


@pytest.mark.parametrize("kind", KINDS)
@given(grid=positions(*SMALL) | dead(*SMALL))
def test_the_graph_is_that_of_the_definitions(kind: str, grid: deduce.Grid) -> None:
    check_graph(grid, *KINDS[kind])


@few
@given(positions("9x9"))
def test_the_graph_of_a_full_grid(grid: deduce.Grid) -> None:
    check_graph(grid, True, True)


def test_order_16_has_groups_of_four_in_a_crossing() -> None:
    """Any layout: two or more candidates that two houses share, here with places left in two boxes of a row only."""
    layout = Layout.standard(16)
    grid = deduce.Grid.empty(layout)
    row = [layout.number(1, cell) for cell in range(8, 16)]
    grid = grid.without(map(layout.candidate, row))
    graph = deduce.link_graph(grid, groups=True)
    names = {name: n for n, name in graph.nodes(data="name")}
    left, right = ("/".join(f"1r1c{c}" for c in range(first, first + 4)) for first in (1, 5))
    strong = graph.edges[names[left], names[right], "strong"]
    assert strong["origins"] == ("1 in row 1",)
    assert {len(data["candidates"]) for _, data in graph.nodes(data=True)} == {1, 4}
    assert closure(set_links(grid, groups=True)).false == 0


@given(positions(*SMALL))
def test_each_edge_carries_what_justifies_it(grid: deduce.Grid) -> None:
    """A strong edge: bases and covers leave "at least one of these", nothing else below zero; a weak one: one rule."""
    graph = deduce.link_graph(grid, groups=True, almost_locked_sets=True)
    rules = grid.model.constraints
    open_ = grid.live & ~grid.true
    members = {n: {grid.number(c) for c in data["candidates"]} for n, data in graph.nodes(data=True)}
    seen = set()
    for a, b, kind, data in graph.edges(keys=True, data=True):
        both = members[a] | members[b]
        assert data["origins"] == tuple(rules[number].name for number in data["constraints"])
        assert data["constraints"]
        if kind == "weak":
            assert not data["covers"]
            assert all(both <= {c for c, _ in rules[number].terms} for number in data["constraints"])
            continue
        choices = [(number,) for number in data["constraints"]]
        if data["covers"]:
            seen.add("almost locked")
            choices = [data["constraints"]]
        for bases in choices:
            sum_ = Counting(tuple((n, 1) for n in bases), tuple((n, 1) for n in data["covers"]))
            weights, slack = coefficients(grid.model, sum_)
            assert slack == -1
            assert {c for c, weight in weights.items() if weight < 0 and open_ >> c & 1} == both
            assert all(weights[c] == -1 for c in both)


def test_edges_are_the_same_every_time() -> None:
    grid = deduce.walk(deduce.Grid.parse("12.. 3... .... ...1"), []).grid
    first, second = (deduce.link_graph(grid, groups=True, almost_locked_sets=True) for _ in range(2))
    assert list(first.nodes(data=True)) == list(second.nodes(data=True))
    assert list(first.edges(keys=True, data=True)) == list(second.edges(keys=True, data=True))


# Completeness, in both directions


def check_closure(grid: deduce.Grid, group: bool, almost: bool) -> set[Cand]:
    links = set_links(grid, groups=group, almost_locked_sets=almost)
    judged = sets.entailed(sets.net(Board.of(grid), group=group, sets=almost))
    assert judged is not None, "the position has a solution, so its links hold together"
    reach = closure(links)
    assert cands(grid, bits(reach.false)) == judged[0], grid.pencil()
    assert cands(grid, bits(reach.true)) == judged[1], grid.pencil()
    return judged[0]


@pytest.mark.parametrize("kind", KINDS)
@given(grid=positions(*SMALL))
def test_the_closure_is_what_the_links_entail(kind: str, grid: deduce.Grid) -> None:
    check_closure(grid, *KINDS[kind])


@pytest.mark.parametrize("kind", KINDS)
@few
@given(grid=positions("9x9"))
def test_the_closure_of_a_full_grid(kind: str, grid: deduce.Grid) -> None:
    check_closure(grid, *KINDS[kind])


def test_more_nodes_reach_further() -> None:
    """The node sets differ: on real positions each addition settles candidates that the others leave."""
    sizes = dict.fromkeys(("single", *KINDS), 0)
    for seed in (33, 185, 250, 909):
        grid = deduce.walk(minimal_puzzle(seed), ["hidden single", "naked single"]).grid
        sizes["single"] += closure(all_links(grid)).false.bit_count()
        for kind, (group, almost) in KINDS.items():
            links = set_links(grid, groups=group, almost_locked_sets=almost)
            sizes[kind] += closure(links).false.bit_count()
    assert sizes["single"] < sizes["groups"] < sizes["both"]
    assert sizes["single"] < sizes["almost locked sets"] < sizes["both"]


def promised(grid: deduce.Grid, names: tuple[str, ...], links: Net) -> list[Proof]:
    """Hold what finders conclude together against SAT entailment over the links that they may use."""
    judged = sets.entailed(links)
    assert judged is not None
    board = Board.of(grid)
    proofs = list(deduce.find(grid, names))
    put: set[Cand] = set().union(*map(placed, proofs))
    fallen: set[Cand] = set().union(*map(gone, proofs))
    cleared = {z for z in board.candidates() if any(board.sees(z, p) for p in put)}
    assert put == judged[1], grid.pencil()
    assert fallen <= judged[0] <= fallen | cleared, grid.pencil()
    return proofs


@given(positions(*SMALL, "9x9"))
def test_grouped_x_chains(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    proofs = list(deduce.find(grid, ["X-chain", "grouped X-chain"]))
    for digit in board.digits():
        false, true = sets.entailed(sets.net(board, group=True, digit=digit))
        mine = [proof for proof in proofs if proof.pattern.role("digit") == (digit,)]
        put, fallen = (set().union(*map(part, mine)) for part in (placed, gone))
        assert put == true, grid.pencil()
        assert fallen <= false <= fallen | {z for z in board.candidates() if any(board.sees(z, p) for p in put)}
    for proof in proofs:
        if proof.pattern.name == "grouped X-chain":
            nodes = proof.pattern.chain.nodes
            assert max(map(len, nodes)) > 1
            assert {c // grid.layout.cells + 1 for node in nodes for c in node} == {*proof.pattern.role("digit")}


@pytest.mark.parametrize("almost", [False, True], ids=["groups", "groups and almost locked sets"])
@given(grid=positions(*SMALL))
def test_chain_finders_are_complete(almost: bool, grid: deduce.Grid) -> None:
    names = (*CHAINS, "grouped chain", *["chain through almost locked sets"][: int(almost)])
    links = sets.net(Board.of(grid), group=True, sets=almost)
    for proof in promised(grid, names, links):
        check_chain(grid, proof, links)


@few
@given(positions("9x9"))
def test_chain_finders_are_complete_on_a_full_grid(grid: deduce.Grid) -> None:
    links = sets.net(Board.of(grid), group=True, sets=True)
    for proof in promised(grid, (*CHAINS, "grouped chain", "chain through almost locked sets"), links):
        check_chain(grid, proof, links)


def chain_pairs(grid: deduce.Grid, proof: Proof) -> tuple[list[Pair], list[Pair], list[Node]]:
    """The strong and weak links of a chain, and its nodes."""
    chain = proof.pattern.chain
    nodes = [cands(grid, node) for node in chain.nodes]
    following = nodes[1:] + nodes[:1] if chain.loop else nodes[1:]
    pairs = [frozenset(pair) for pair in zip(nodes, following, strict=False)]
    assert [link.strong for link in chain.links] == [n % 2 == 0 for n in range(len(pairs))]
    return pairs[::2], pairs[1::2], nodes


def check_chain(grid: deduce.Grid, proof: Proof, links: Net) -> None:
    """Every link is one of the definitions, what falls conflicts with both ends, and the name says what is in it."""
    strong, weak, nodes = chain_pairs(grid, proof)
    assert set(strong) <= links.strong
    assert set(weak) <= links.weak
    through = [link for link in proof.pattern.chain.links if link.covers]
    assert len(through) == sum(pair not in links.plain for pair in strong)
    name = proof.pattern.name
    if through:
        assert name == "chain through almost locked sets"
        cells = {cell for link in through for cell in link.constraints}
        assert proof.pattern.role("set cells") == tuple(sorted(cells))
    elif max(map(len, nodes)) > 1:
        assert name == "grouped chain"
    else:
        assert name in CHAINS
    if placed(proof):
        assert placed(proof) == nodes[0] == nodes[-1]
    else:
        assert gone(proof) == sets.together(Board.of(grid), nodes[0], nodes[-1])
        assert gone(proof)


# Loops


def loop_gone(grid: deduce.Grid, proof: Proof) -> set[Cand]:
    """What a continuous loop eliminates: beside each weak link, and where a digit locked in a set falls outside."""
    board = Board.of(grid)
    _, weak, _ = chain_pairs(grid, proof)
    found: set[Cand] = set()
    for rule in sets.rules(board):
        for pair in weak:
            both = frozenset().union(*pair)
            if both <= rule:
                found |= rule - both
    for link, here, there in zip(proof.pattern.chain.links, *ends(proof), strict=True):
        if link.covers:
            passing = {digit for digit, _ in (*cands(grid, here), *cands(grid, there))}
            digits = set().union(*(board.notes[cell] for cell in link.constraints)) - passing
            for digit in digits:
                held = frozenset((digit, cell) for cell in link.constraints if digit in board.notes[cell])
                found |= sets.together(board, held)
    return found


def ends(proof: Proof) -> tuple[list[tuple[int, ...]], list[tuple[int, ...]]]:
    nodes = list(proof.pattern.chain.nodes)
    return nodes, nodes[1:] + nodes[:1]


LOOPS = ("continuous loop", "grouped loop", "loop through almost locked sets", "doubly linked ALS-XZ")


@given(positions(*SMALL))
def test_loops_eliminate_all_that_they_can(grid: deduce.Grid) -> None:
    check_loops(grid)


@few
@given(positions("9x9"))
def test_loops_of_a_full_grid(grid: deduce.Grid) -> None:
    check_loops(grid)


def check_loops(grid: deduce.Grid) -> None:
    """Look at every order and name, and at the links of the sixty shortest."""
    for name in LOOPS:
        proofs = list(deduce.find(grid, [name]))
        lengths = [len(proof.pattern.chain.links) for proof in proofs]
        assert lengths == sorted(lengths), "the shortest first"
        assert len({gone(proof) for proof in proofs}) == len(proofs), "once for each set of eliminations"
        for proof in proofs[:60]:
            nodes = chain_pairs(grid, proof)[2]
            assert proof.pattern.chain.loop
            assert len(frozenset().union(*nodes)) == sum(map(len, nodes))
            assert not placed(proof)
            assert gone(proof) == loop_gone(grid, proof), f"{proof.notation()}\n{grid.pencil()}"
            through = any(link.covers for link in proof.pattern.chain.links)
            grouped = max(map(len, nodes)) > 1
            assert name == LOOPS[3] or name == LOOPS[2 if through else int(grouped)]
            deduce.check(grid, proof)


@given(positions(*SMALL))
def test_loops_use_links_of_the_definitions(grid: deduce.Grid) -> None:
    usual, wider = (sets.net(Board.of(grid), group=True, sets=True, largest=largest) for largest in (4, 5))
    for proof in deduce.find(grid, LOOPS):
        links = wider if proof.pattern.name == "doubly linked ALS-XZ" else usual
        strong, weak, _ = chain_pairs(grid, proof)
        assert set(strong) <= links.strong
        assert set(weak) <= links.weak


@given(positions("4x4", "5x5"))
def test_no_weak_link_on_a_loop_is_forgotten(grid: deduce.Grid) -> None:
    """What falls beside a weak link with a shortest loop over it, all of whose nodes are apart, is found."""
    board = Board.of(grid)
    links = sets.net(board, group=True)
    possible, certain = set(), set()
    for one, other in map(tuple, links.weak):
        size = sets.fewest_links(links, [one]).get(other)
        beside = {z for rule in sets.rules(board) if one | other <= rule for z in rule - one - other}
        if size is None or not beside:
            continue
        possible |= beside
        ways = sets.chains(links, {one}, {other}, size)
        assert ways
        if any(len(frozenset().union(*way)) == sum(map(len, way)) for way in ways):
            certain |= beside
    found = {z for proof in deduce.find(grid, LOOPS[:2]) for z in gone(proof)}
    assert certain <= found <= possible, grid.pencil()


# Patterns on one digit


@given(positions("5x5", "6x6", "9x9"))
def test_empty_rectangles(grid: deduce.Grid) -> None:
    expected = sets.empty_rectangles(Board.of(grid))
    found = set()
    for proof in deduce.find(grid, ["empty rectangle"]):
        role = proof.pattern.role
        (digit,), (region,) = role("digit"), role("region")
        places = frozenset(c % grid.layout.cells for node in proof.pattern.chain.nodes[2:] for c in node)
        found.add((digit, region, role("arms"), places, gone(proof)))
        assert not placed(proof)
    assert found == expected, grid.pencil()


@given(positions())
def test_remote_pairs(grid: deduce.Grid) -> None:
    found = {}
    for proof in deduce.find(grid, ["remote pairs"]):
        cells = proof.pattern.role("cells")
        key = frozenset((cells[0], cells[-1])), gone(proof)
        assert key not in found
        found[key] = len(cells)
    assert found == sets.remote_pairs(Board.of(grid)), grid.pencil()


@given(st.integers(0, 300), st.booleans())
def test_remote_pairs_in_a_row_of_cells(seed: int, longer: bool) -> None:
    """Positions in which such a row is put on purpose: random ones hardly ever have it."""
    layout = LAYOUTS["9x9"]
    path = ["r1c1", "r1c5", "r4c5", "r4c9"] + ["r9c9", "r9c2"] * longer
    grid = deduce.Grid.empty(layout)
    one, other = seed % 9 + 1, (seed + 1 + seed // 9 % 8) % 9 + 1
    if one == other:
        other = one % 9 + 1
    keep = {f"{digit}{cell}" for digit in (one, other) for cell in path}
    grid = grid.without(c for c in grid.candidates() if str(c)[1:] in path and str(c) not in keep)
    proofs = list(deduce.find(grid, ["remote pairs"]))
    found = {
        (frozenset((p.pattern.role("cells")[0], p.pattern.role("cells")[-1])), gone(p)): len(p.pattern.role("cells"))
        for p in proofs
    }
    assert found == sets.remote_pairs(Board.of(grid))
    assert proofs
    for proof in proofs:
        deduce.check(grid, proof)
        assert fault(proof) is None
        assert {digit for digit, _ in gone(proof)} <= {one, other}
