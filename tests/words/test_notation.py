"""Written chains: read back exactly, and refused with a caret where they are malformed."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pictures.positions import GRIDS, NINE, proof, thinned

import deduce
from deduce import Grid, Layout
from deduce.errors import ClaimError, GridError, TextError
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.names import Names
from deduce.words.en.notation import notation, parse_chain, parse_notation, written_chain

CHAINS = [name for name in GRIDS if proof(name).pattern.chain is not None]


def told(chain):
    """Return all that a written chain tells: not which almost locked set a strong link runs through."""
    links = [(link.strong, () if link.covers else link.constraints) for link in chain.links]
    return chain.nodes, links, chain.loop


@pytest.mark.parametrize("name", CHAINS)
@pytest.mark.parametrize("spelled", [str, lambda text: text.replace(" ", ""), lambda text: text.replace(" = ", "==")])
def test_what_was_written_is_read_back_exactly(name, spelled) -> None:
    found = proof(name)
    grid = GRIDS[name]
    read = parse_notation(grid.layout, spelled(notation(found)), grid.live)
    assert told(read.chain) == told(found.pattern.chain)
    assert read.places == tuple(map(grid.number, found.places))
    assert read.eliminates == tuple(map(grid.number, found.eliminates))
    assert told(parse_chain(grid.layout, written_chain(found), grid.live)) == told(found.pattern.chain)


def test_chains_of_walks_are_read_back() -> None:
    seen = 0
    for seed in range(12):
        for step in deduce.walk(minimal_puzzle(seed)).steps:
            chain = step.proof.pattern.chain
            if chain is not None:
                seen += 1
                read = parse_chain(NINE, written_chain(step.proof))
                assert read.nodes == tuple(tuple(sorted(node)) for node in chain.nodes)
                assert [link.strong for link in read.links] == [link.strong for link in chain.links]
                assert read.loop == chain.loop
    assert seen > 5


@given(
    st.sampled_from([4, 6, 9, 10, 16, 25]).flatmap(
        lambda order: st.tuples(
            st.just(order),
            st.lists(
                st.tuples(
                    st.integers(1, order),
                    st.sets(st.integers(0, order * order - 1), min_size=1, max_size=3),
                ),
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
    assert parse_chain(layout, text).nodes == tuple(nodes)


def test_nodes_of_two_digits_and_short_forms() -> None:
    chain = parse_chain(NINE, "(5)r1c1/(6)r1c2=(7)r3c3\u2013(7=8)r9c3")
    assert chain.nodes[0] == tuple(sorted((NINE.parse_candidate("5r1c1"), NINE.parse_candidate("6r1c2"))))
    assert [Names(NINE).node(node) for node in chain.nodes[1:]] == ["(7)r3c3", "(7)r9c3", "(8)r9c3"]
    assert parse_chain(NINE, "(5=6)r2c4").nodes == parse_chain(NINE, "(5)r2c4 = (6)r2c4").nodes


def test_a_link_without_a_reason_is_read_and_left_to_the_judge() -> None:
    chain = parse_chain(NINE, "(5)r1c1 = (5)r9c9")
    assert chain.links[0].constraints == ()
    crowded = parse_chain(NINE, "(5)r1c1 = (5)r1c9", Grid.empty().live)
    assert crowded.links[0].constraints == ()
    thin = thinned(houses={"5 in row 1": "r1c1 r1c9"})
    assert [
        NINE.model.constraints[n].name for n in parse_chain(NINE, "(5)r1c1=(5)r1c9", thin.live).links[0].constraints
    ] == ["5 in row 1"]


REFUSED = {
    "": (1, 1, "the end of the text where a node should be"),
    "(5)r1c1": (1, 8, "the end of the text where a strong link should be"),
    "(5)r1c1=(5)r1c2-": (1, 17, "the end of the text where a node should be"),
    "(5)r1c1-(5)r1c2": (1, 8, "a weak link where a strong one should be"),
    "(5)r1c1=(5)r1c2=(5)r1c3": (1, 16, "a strong link where a weak one should be"),
    "(5)r1c1=(5)r1c2-(5)r1c3": (1, 17, "the chain ends with a weak link"),
    "(x)r1c1": (1, 2, "'x' where a digit should be"),
    "(\u00b2)r1c1": (1, 2, "'\u00b2' where a digit should be"),
    "(5)r0c1=(5)r1c2": (1, 5, "there is no row 0"),
    "(5)r1c\u00b2": (1, 7, "'\u00b2' where the number of a column should be"),
    "(5)r11c1=(6)r1c1": (1, 4, "a cell is named twice"),
    "(5)r1c1 = (5=6)r1c2": (1, 13, "a strong link where a weak one should be"),
    "(5)r1c1 =\n(5)r1z1": (2, 6, "'z' where c and a column should be"),
    "(5)r1c1=(5)r1c2 foo": (1, 17, "'f' where the end should be"),
    "(5)r1c1=(5)r1c2 => r1c3": (1, 24, "the end of the text where <> or = should be"),
    "(5=6)r1c1/(7)r1c2=(8)r1c1": (1, 11, "a link inside a node of several digits"),
    "(5 r1c1": (1, 4, "'r' where a closing bracket should be"),
}


@pytest.mark.parametrize("text", REFUSED)
def test_malformed_text_is_refused_at_its_place(text: str) -> None:
    line, column, problem = REFUSED[text]
    with pytest.raises(ClaimError) as caught:
        parse_notation(NINE, text)
    error = caught.value
    assert (error.line, error.column, error.problem, error.text) == (line, column, problem, text)
    assert error.expected
    if text:
        shown = str(error).split("\n")
        assert shown[-1].index("^") == column + 1
        assert shown[-2].strip() == text.split("\n")[line - 1].strip()


def test_big_numbers_and_long_texts_are_refused_quickly() -> None:
    with pytest.raises(ClaimError, match="there is no row 999999;"):
        parse_chain(Layout.standard(16), f"(5)r{'9' * 5000}c1")
    with pytest.raises(ClaimError):
        parse_chain(NINE, "(5)r1c1=" * 5000)


@given(st.text(alphabet="()[]r c/=-<>,0123456789AX\n", max_size=40))
def test_no_other_error_comes_out(text: str) -> None:
    with suppress(ClaimError):
        assert parse_notation(NINE, text).chain.nodes


def test_both_kinds_of_misread_text_have_one_parent() -> None:
    assert issubclass(ClaimError, TextError)
    assert issubclass(GridError, TextError)
    assert issubclass(TextError, ValueError)
