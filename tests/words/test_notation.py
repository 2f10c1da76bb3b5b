"""Written chains: as claims they are read back exactly."""

import pytest
from hypothesis import given, strategies as st
from pictures.positions import GRIDS, NINE, proof
from puzzle.problems import worked

import deduce
from deduce import Layout
from deduce.claims.text import parse_claim
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.names import Names
from deduce.words.en.notation import notation, written_chain

CHAINS = [name for name in GRIDS if proof(name).pattern.chain is not None]


def nodes_of(chain):
    """Return the nodes as they are written: a loop ends at its first node once more."""
    nodes = tuple(tuple(sorted(node)) for node in chain.nodes)
    return (*nodes, nodes[0]) if chain.loop else nodes


@pytest.mark.parametrize("name", CHAINS)
@pytest.mark.parametrize("spelled", [str, lambda text: text.replace(" = ", "=").replace(" - ", "--")])
def test_what_was_written_is_read_back_exactly(name, spelled) -> None:
    found = proof(name)
    grid, chain = GRIDS[name], found.pattern.chain
    read = parse_claim(grid.layout, spelled(notation(found)))
    assert read.reason.nodes == nodes_of(chain)
    assert read.reason.strong == tuple(link.strong for link in chain.links)
    assert {*read.places} == {*map(grid.number, found.places)}
    assert {*read.eliminates} == {*map(grid.number, found.eliminates)}
    assert notation(found).startswith(f"{written_chain(found)}, so ")


def test_chains_of_walks_are_read_back() -> None:
    seen = 0
    for seed in range(12):
        for step in deduce.walk(minimal_puzzle(seed)).steps:
            chain = step.proof.pattern.chain
            if chain is not None:
                seen += 1
                read = parse_claim(NINE, written_chain(step.proof)).reason
                assert read.nodes == nodes_of(chain)
                assert read.strong == tuple(link.strong for link in chain.links)
    assert seen > 5


@given(
    st.sampled_from([4, 6, 9, 10, 16, 25]).flatmap(
        lambda order: st.tuples(
            st.just(order),
            st.lists(
                st.tuples(st.integers(1, order), st.sets(st.integers(0, order * order - 1), min_size=1, max_size=3)),
                min_size=2,
                max_size=8,
            ).filter(lambda nodes: len(nodes) % 2 == 0),
        )
    )
)
def test_nodes_of_any_shape_on_any_order_are_read_back(case) -> None:
    order, drawn = case
    layout = Layout.standard(order)
    nodes = [tuple(sorted(layout.number(digit, cell) for cell in cells)) for digit, cells in drawn]
    names = Names(layout)
    text = names.node(nodes[0])
    for index, node in enumerate(nodes[1:]):
        text += f" {'-' if index % 2 else '='} {names.node(node)}"
    assert parse_claim(layout, text).reason.nodes == tuple(nodes)


def test_nodes_of_two_digits_and_short_forms() -> None:
    read = parse_claim(NINE, "(5)r1c1/(6)r1c2=(7)r3c3\u2013(7=8)r9c3").reason
    assert read.nodes[0] == tuple(sorted((NINE.parse_candidate("5r1c1"), NINE.parse_candidate("6r1c2"))))
    assert [Names(NINE).node(node) for node in read.nodes[1:]] == ["(7)r3c3", "(7)r9c3", "(8)r9c3"]


def test_nodes_of_a_problem_stand_in_brackets() -> None:
    grid = deduce.Grid.from_problem(worked.market())
    told = [step.proof for step in deduce.walk(grid).steps if step.proof.pattern.chain is not None]
    assert notation(told[0]) == "[kites = 1] = [kites = 3 or tea = 3], so maps = 3 is false"


def test_what_is_no_chain_is_not_written() -> None:
    assert (notation(proof("naked pair")), written_chain(proof("naked pair"))) == ("", "")
