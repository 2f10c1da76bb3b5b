"""Any proof, written as a claim, is judged proved; with one link damaged it is judged broken at that link."""

from itertools import islice

import pytest
from claims.oracle import first_fault
from hypothesis import assume, given, settings, strategies as st
from reference import Board
from strategies import positions

import deduce
from deduce.claims.claim import WrittenChain
from deduce.claims.judge import judge_with
from deduce.claims.seek import Seeker
from deduce.claims.verdict import FaultKind, Kind
from deduce.kernel import Position
from deduce.patterns import PLAIN
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle
from deduce.solving.truth import facts_of
from deduce.walks import claim_of, judge, parse_claim
from deduce.words.en.notation import notation

SOME = 3
# A position of 9x9 takes a second or so: the corpus has many, and the long run takes them at random as well.
SHAPES = ("6x6", "9x9") if settings.get_current_profile_name() == "thorough" else ("6x6",)


def some(draw, items):
    """A few of many items."""
    return [draw(st.sampled_from(items)) for _ in range(min(SOME, len(items)))]


@given(st.data(), positions("4x4", "5x5", "6x6"))
def test_any_proof_written_as_a_claim_is_judged_proved(data, grid):
    proofs = list(deduce.find(grid))
    assume(proofs)
    seeker = Seeker(grid, facts_of(grid))
    for proof in some(data.draw, proofs):
        said = claim_of(proof)
        verdict = judge_with(seeker, parse_claim(grid.layout, said))
        assert verdict.kind is Kind.PROVED, f"{said}\n{verdict.words()}"
        assert verdict.reason_holds
        assert verdict.true is True
        assert verdict.proof.eliminates == proof.eliminates or set(proof.eliminates) <= set(verdict.proof.eliminates)
        assert set(proof.places) <= set(verdict.proof.places)
        verdict.check()


@pytest.mark.thorough
@settings(max_examples=100)
@given(st.data(), positions("9x9"), st.sampled_from(PLAIN))
def test_any_proof_of_any_finder_is_judged_proved(data, grid, name):
    proofs = list(islice(deduce.find(grid, [name]), 20))
    for proof in some(data.draw, proofs)[:2]:
        verdict = judge(grid, claim_of(proof), steps=0)
        assert verdict.kind is Kind.PROVED, f"{claim_of(proof)}\n{verdict.words()}"
        assert verdict.reason_holds


NINE = ["hidden single", "naked pair", "X-wing", "XY-wing", "W-wing", "X-chain", "grouped chain", "ALS-XZ"]


@pytest.mark.parametrize("name", NINE)
def test_proofs_on_the_large_grid_are_judged_proved(name):
    found = 0
    for seed in (33, 909):
        for step in deduce.walk(minimal_puzzle(seed), order="catalogue").steps[10::9]:
            proof = next(deduce.find(step.before, [name]), None)
            if proof is not None:
                found += 1
                seeker = Seeker(step.before, facts_of(step.before))
                verdict = judge_with(seeker, parse_claim(step.before.layout, claim_of(proof)))
                assert verdict.reason_holds, claim_of(proof)
        if found:
            return
    raise AssertionError(f"no {name} was found to be judged")


CHAINS = ["skyscraper", "X-chain", "XY-chain", "continuous loop", "chain with both ends on one digit",
          "chain with linked ends on different digits", "chain that returns to its start", "grouped chain"]  # fmt: skip


def chains(grid):
    return [proof for proof in deduce.find(grid, CHAINS) if proof.pattern.chain]


def written(grid, proof):
    """Nodes and links of a chain as plain data, and its text word by word."""
    cells = grid.layout.cells
    chain = proof.pattern.chain
    nodes = [[(c // cells + 1, c % cells) for c in node] for node in chain.nodes]
    nodes += nodes[:1] * chain.loop
    return nodes, [link.strong for link in chain.links], notation(proof).split(", so ")[0].split(" ")


@given(st.data(), positions(*SHAPES))
def test_the_notation_of_a_chain_is_read_back(data, grid):
    proofs = chains(grid)
    assume(proofs)
    proof = data.draw(st.sampled_from(proofs))
    claim = parse_claim(grid.layout, notation(proof))
    nodes, strong, _ = written(grid, proof)
    assert isinstance(claim.reason, WrittenChain)
    assert claim.reason.strong == tuple(strong)
    assert len(claim.reason.nodes) == len(nodes)
    assert set(claim.eliminates) == {grid.number(c) for c in proof.eliminates}
    assert set(claim.places) == {grid.number(c) for c in proof.places}


@given(st.data(), positions(*SHAPES))
def test_a_link_of_the_wrong_kind_is_found(data, grid):
    proofs = chains(grid)
    assume(proofs)
    proof = data.draw(st.sampled_from(proofs))
    _, strong, words = written(grid, proof)
    number = data.draw(st.integers(0, len(strong) - 1))
    words[2 * number + 1] = "-" if strong[number] else "="
    verdict = judge(grid, " ".join(words), steps=0)
    assert verdict.kind is Kind.BROKEN
    assert (verdict.fault.link, verdict.fault.kind) == (number + 1, FaultKind.ALTERNATION)


@given(st.data(), positions(*SHAPES))
def test_a_node_that_does_not_belong_is_found(data, grid):
    proofs = chains(grid)
    assume(proofs)
    proof = data.draw(st.sampled_from(proofs))
    nodes, strong, words = written(grid, proof)
    place = data.draw(st.integers(0, len(proof.pattern.chain.nodes) - 1))
    candidate = data.draw(st.sampled_from(grid.candidates()))
    nodes[place] = [(candidate.digit, (candidate.row - 1) * grid.layout.order + candidate.column - 1)]
    words[2 * place] = f"({candidate.digit})r{candidate.row}c{candidate.column}"
    if proof.pattern.chain.loop and place == 0:
        nodes[-1], words[-1] = nodes[0], words[0]
    expected = first_fault(grid, nodes, strong)
    verdict = judge(grid, " ".join(words), steps=0)
    if expected is None:
        assert verdict.fault is None or verdict.fault.link == 0
    else:
        assert verdict.kind is Kind.BROKEN
        assert verdict.fault.link == expected, verdict.words()


@given(st.data(), positions(*SHAPES))
def test_a_candidate_that_comes_back_breaks_its_strong_link(data, grid):
    found = [
        (proof, back)
        for proof in chains(grid)
        for link in proof.pattern.chain.links
        for back in bits(grid.layout.masks[link.constraints[0]] & ~grid.live)
        if link.strong and not grid.true & (grid.layout.peers[back] | grid.layout.masks[back % grid.layout.cells])
    ]
    assume(found)
    proof, back = data.draw(st.sampled_from(found))
    nodes, strong, words = written(grid, proof)
    worse = grid.moved(Position(grid.live | 1 << back, grid.true))
    expected = first_fault(worse, nodes, strong)
    verdict = judge(worse, " ".join(words), steps=0)
    if expected is None:
        assert verdict.fault is None or verdict.fault.link == 0
        return
    fault = verdict.fault
    assert (verdict.kind, fault.link) == (Kind.BROKEN, expected)
    if fault.kind is FaultKind.NOT_STRONG:
        cells = grid.layout.cells
        there = {(c // cells + 1, c % cells) for c in (*fault.nodes[0], *fault.nodes[1], *fault.extras)}
        assert there in [set(group) for group in Board.of(worse).groups()]
        assert fault.blockers == fault.extras
