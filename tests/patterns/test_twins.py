"""Each finder against its dull twin, in both directions, position by position."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable

import pytest
import reference
from hypothesis import assume, given
from reference import CHAINS, FISH, SUBSETS, Board, Cand
from strategies import dead, positions

import deduce
from deduce.proof import Proof


def find(grid: deduce.Grid, *names: str) -> list[Proof]:
    """What the finders of these names yield, each proof under one of the names."""
    proofs = list(deduce.find(grid, names))
    for proof in proofs:
        assert proof.grid is grid
        assert proof.pattern.name in names
    return proofs


def cands(grid: deduce.Grid, numbers: Iterable[int]) -> frozenset[Cand]:
    return frozenset((n // grid.layout.cells + 1, n % grid.layout.cells) for n in numbers)


def gone(proof: Proof) -> frozenset[Cand]:
    """The candidates that a proof eliminates."""
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.false))


def placed(proof: Proof) -> frozenset[Cand]:
    """The candidates that a proof places."""
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.true))


def only(items: tuple[int, ...]) -> int:
    (item,) = items
    return item


def explain(grid: deduce.Grid, missing: Iterable[Hashable], extra: Iterable[Hashable]) -> str:
    """Print the grid, the facts that differ, and how they share out over the houses."""
    lines = ["", grid.pencil(), ""]
    by_house: Counter[str] = Counter()
    for word, facts in (("missing", missing), ("too many", extra)):
        for fact in sorted(facts, key=repr):
            lines.append(f"{word}: {fact}")
            cells = {cell for part in _flat(fact) for cell in part}
            by_house.update(f"{word} in {house.name}" for house in grid.layout.houses if cells & set(house.cells))
    return "\n".join([*lines, *(f"  {where}: {count}" for where, count in sorted(by_house.items()))])


def _flat(fact: object) -> Iterable[set[int]]:
    """The cells of the candidates in a fact."""
    if isinstance(fact, frozenset) and all(isinstance(c, tuple) for c in fact):
        yield {cell for _, cell in fact}
    elif isinstance(fact, tuple):
        for part in fact:
            yield from _flat(part)


def compare(grid: deduce.Grid, found: list[Hashable], expected: set[Hashable]) -> None:
    """Both directions, and no fact twice."""
    assert set(found) == expected, explain(grid, expected - set(found), set(found) - expected)
    twice = [fact for fact, count in Counter(found).items() if count > 1]
    assert not twice, explain(grid, [], twice)


# Singles


@given(positions())
def test_last_open_cells(grid: deduce.Grid) -> None:
    proofs = find(grid, "last open cell")
    found = [(only_cand(proof, "placed"), only(proof.pattern.role("house"))) for proof in proofs]
    assert all(placed(proof) == {fact[0]} and not gone(proof) for proof, fact in zip(proofs, found, strict=True))
    compare(grid, found, reference.last_open_cells(Board.of(grid)))


@given(positions())
def test_hidden_singles(grid: deduce.Grid) -> None:
    proofs = find(grid, "hidden single")
    found = [(only_cand(proof, "placed"), only(proof.pattern.role("house"))) for proof in proofs]
    assert all(placed(proof) == {fact[0]} and not gone(proof) for proof, fact in zip(proofs, found, strict=True))
    compare(grid, found, reference.hidden_singles(Board.of(grid)))


@given(positions())
def test_naked_singles(grid: deduce.Grid) -> None:
    proofs = find(grid, "naked single")
    found = [only_cand(proof, "placed") for proof in proofs]
    assert all(placed(proof) == {fact} and not gone(proof) for proof, fact in zip(proofs, found, strict=True))
    compare(grid, found, reference.naked_singles(Board.of(grid)))


def only_cand(proof: Proof, role: str) -> Cand:
    (candidate,) = cands(proof.grid, [only(proof.pattern.role(role))])
    return candidate


# Sets of cells and digits


@given(positions())
def test_locked_candidates(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    found = []
    for proof in find(grid, "locked candidates, pointing", "locked candidates, claiming"):
        role = proof.pattern.role
        digit, base, cover = only(role("digit")), only(role("base")), only(role("cover"))
        assert cands(grid, role("locked")) == {(digit, cell) for cell in board.places(digit, base)}
        assert not placed(proof)
        found.append((proof.pattern.name, digit, base, cover, gone(proof)))
    compare(grid, found, reference.locked(board))


@pytest.mark.parametrize("size", SUBSETS)
@given(positions())
def test_naked_subsets(size: int, grid: deduce.Grid) -> None:
    found = []
    for proof in find(grid, f"naked {SUBSETS[size]}"):
        role = proof.pattern.role
        cells = set(role("subset"))
        holding = [h for h, house in enumerate(grid.layout.houses) if cells <= set(house.cells)]
        assert list(role("houses")) == holding
        assert not placed(proof)
        found.append((frozenset(cells), frozenset(role("digits")), gone(proof)))
    compare(grid, found, reference.naked_subsets(Board.of(grid), size))


@pytest.mark.parametrize("size", SUBSETS)
@given(positions())
def test_hidden_subsets(size: int, grid: deduce.Grid) -> None:
    found = []
    for proof in find(grid, f"hidden {SUBSETS[size]}"):
        role = proof.pattern.role
        assert not placed(proof)
        parts = frozenset(role("digits")), frozenset(role("subset"))
        found.append((only(role("house")), *parts, gone(proof)))
    compare(grid, found, reference.hidden_subsets(Board.of(grid), size))


@pytest.mark.parametrize("size", FISH)
@given(positions("6x6", "9x9"))
def test_fish(size: int, grid: deduce.Grid) -> None:
    board = Board.of(grid)
    found = []
    for proof in find(grid, FISH[size]):
        role = proof.pattern.role
        digit = only(role("digit"))
        corners = {(digit, cell) for base in role("base lines") for cell in board.places(digit, base)}
        assert cands(grid, role("corners")) == corners
        assert not placed(proof)
        found.append((digit, frozenset(role("base lines")), frozenset(role("cover lines")), gone(proof)))
    compare(grid, found, reference.fish(board, size))


# Two links of one digit


@given(positions("5x5", "6x6", "9x9"))
def test_skyscrapers(grid: deduce.Grid) -> None:
    found = []
    for proof in find(grid, "skyscraper"):
        role = proof.pattern.role
        assert not placed(proof)
        assert len(chain_cands(proof)) == 4
        found.append((only(role("digit")), frozenset(role("lines")), only(role("cross line")), gone(proof)))
    compare(grid, found, reference.skyscrapers(Board.of(grid)))


@given(positions("5x5", "6x6", "9x9"))
def test_two_string_kites(grid: deduce.Grid) -> None:
    """Where foot and free end of a line can change places, the argument may be the same: one proof stands for both."""
    found = []
    for proof in find(grid, "two-string kite"):
        role = proof.pattern.role
        assert not placed(proof)
        cells = [cell for _, cell in chain_cands(proof)]
        assert len(cells) == 4
        found.append((only(role("digit")), *role("lines"), only(role("region")), (cells[0], cells[3]), gone(proof)))
    expected = reference.kites(Board.of(grid))
    held = {(*fact[:3], fact[5]) for fact in found}
    same = {fact for fact in expected - set(found) if (*fact[:3], fact[5]) in held}
    compare(grid, found, expected - same)


# Wings


@pytest.mark.parametrize("name", ["XY-wing", "XYZ-wing"])
@given(positions())
def test_wings_with_a_pivot(name: str, grid: deduce.Grid) -> None:
    twin = {"XY-wing": reference.xy_wings, "XYZ-wing": reference.xyz_wings}[name]
    found = []
    for proof in find(grid, name):
        role = proof.pattern.role
        found.append((only(role("pivot")), frozenset(role("pincers")), only(role("digit")), gone(proof)))
        assert not placed(proof)
        if name == "XY-wing":
            assert len(chain_cands(proof)) == 6
    compare(grid, found, twin(Board.of(grid)))


@given(positions())
def test_w_wings(grid: deduce.Grid) -> None:
    """Where two houses have the same two places, either may be the bridge: one proof stands for both."""
    expected = reference.w_wings(Board.of(grid))
    found = []
    for proof in find(grid, "W-wing"):
        role = proof.pattern.role
        nodes = chain_cands(proof)
        assert len(nodes) == 6
        assert not placed(proof)
        pincers, feet = tuple(role("pincers")), [cell for _, cell in nodes[2:4]]
        assert all(Board.of(grid).share(foot, pincer) for foot, pincer in zip(feet, pincers, strict=True))
        found.append((pincers, frozenset(feet), only(role("digit")), gone(proof)))
        assert only(role("bridge")) in expected.get(found[-1], ()) or found[-1] not in expected
    compare(grid, found, set(expected))


def test_a_w_wing_that_can_be_told_either_way_round_is_told_once() -> None:
    """With a house through two opposite corners of a rectangle, both can see both of the other corners."""
    layout = deduce.Layout.parse("grid 9\nhouse slope r1c5 r2c7 r3c2 r4c8 r5c1 r6c4 r7c9 r8c3 r9c6\n")
    live = layout.every
    for corner in ("r1c1", "r5c5"):
        cell = layout.parse_cell(corner)
        live &= ~sum(1 << layout.number(digit, cell) for digit in range(1, 10) if digit not in (4, 7))
    for other in ["r2c7", "r3c2", "r4c8", "r6c4", "r7c9", "r8c3", "r9c6"]:
        live &= ~(1 << layout.parse_candidate(f"4{other}"))
    grid = deduce.Grid(layout, live, 0, 0)
    (proof,) = find(grid, "W-wing")
    assert [str(candidate) for candidate in proof.eliminates] == ["7r1c5", "7r5c1"]
    assert deduce.check(grid, proof)


# Chains


def chain_cands(proof: Proof) -> list[Cand]:
    """The nodes of a chain, after every link was held against its definition."""
    grid, chain = proof.grid, proof.pattern.chain
    assert chain is not None
    nodes = [only(node) for node in chain.nodes]
    masks = grid.layout.masks
    ends = nodes[1:] + nodes[:1] if chain.loop else nodes[1:]
    assert len(chain.links) == len(ends)
    for n, (a, b, link) in enumerate(zip(nodes, ends, chain.links, strict=False)):
        assert link.strong == (n % 2 == 0)
        assert link.constraints
        for number in link.constraints:
            here = grid.live & masks[number]
            assert here >> a & 1
            assert here >> b & 1
            assert a != b
            assert not link.strong or here.bit_count() == 2
    assert len(chain.links) % 2 == (not chain.loop)
    return [next(iter(cands(grid, [node]))) for node in nodes]


def promised(grid: deduce.Grid, proofs: list[Proof], kind: str) -> None:
    """Hold the promise of a kind of chain against SAT entailment over its links."""
    board = Board.of(grid)
    judged = reference.entailed(board, *reference.links_of(board, kind))
    assert judged is not None, "the position has a solution, so its links hold together"
    false, true = judged
    eliminated: set[Cand] = set().union(*map(gone, proofs))
    put: set[Cand] = set().union(*map(placed, proofs))
    assert eliminated <= false, explain(grid, [], [frozenset(eliminated - false)])
    assert put == true, explain(grid, [frozenset(true - put)], [frozenset(put - true)])
    seen = {z for z in board.candidates() if any(board.sees(z, p) for p in put)}
    assert false <= eliminated | seen, explain(grid, [frozenset(false - eliminated - seen)], [])
    for proof in proofs:
        nodes = chain_cands(proof)
        if placed(proof):
            assert placed(proof) == {nodes[0]} == {nodes[-1]}
            assert not gone(proof)
        else:
            assert nodes[0] != nodes[-1]
            assert gone(proof) <= board.falls(nodes[0], nodes[-1])


@given(positions())
def test_x_chains(grid: deduce.Grid) -> None:
    proofs = find(grid, "X-chain")
    promised(grid, proofs, "X-chain")
    for proof in proofs:
        assert {digit for digit, _ in chain_cands(proof)} == set(proof.pattern.role("digit"))


@given(positions())
def test_xy_chains(grid: deduce.Grid) -> None:
    proofs = find(grid, "XY-chain")
    promised(grid, proofs, "XY-chain")
    for proof in proofs:
        nodes = chain_cands(proof)
        assert all(a[1] == b[1] for a, b in zip(nodes[::2], nodes[1::2], strict=True))
        assert all(a[0] == b[0] for a, b in zip(nodes[1::2], nodes[2::2], strict=False))


@given(positions())
def test_chains(grid: deduce.Grid) -> None:
    proofs = find(grid, *CHAINS)
    promised(grid, proofs, "chain")
    board = Board.of(grid)
    for proof in proofs:
        first, *_, last = chain_cands(proof)
        if proof.pattern.name == CHAINS[0]:
            assert first != last
            assert first[0] == last[0]
        elif proof.pattern.name == CHAINS[1]:
            assert first[0] != last[0]
            assert board.sees(first, last) or board.share(first[1], last[1])
        else:
            assert first == last
            assert placed(proof) == {first}


def lengths(proofs: list[Proof], key: Callable[[Proof], frozenset[Cand]]) -> dict[Cand, int]:
    """The fewest links with which each candidate is concluded."""
    best: dict[Cand, int] = {}
    for proof in proofs:
        links = len(proof.pattern.chain.links)  # type: ignore[union-attr]
        for candidate in key(proof):
            best[candidate] = min(links, best.get(candidate, links))
    return best


@given(positions())
def test_chains_are_the_shortest(grid: deduce.Grid) -> None:
    board = Board.of(grid)
    links = reference.links_of(board, "chain")
    proofs = find(grid, *CHAINS)
    eliminated, put = lengths(proofs, gone), lengths(proofs, placed)
    assert put == reference.shortest_returns(board, *links), grid.pencil()
    for z, shortest in reference.shortest_chains(board, *links).items():
        cleared = [put[p] for p in put if board.sees(z, p)]
        got = min([*cleared, *([eliminated[z]] if z in eliminated else [])], default=None)
        assert got == shortest, f"{grid.pencil()}\n{z} falls to {shortest} links, the proofs have {got}"


@given(positions())
def test_continuous_loops(grid: deduce.Grid) -> None:
    found: set[Cand] = set()
    for proof in find(grid, "continuous loop"):
        nodes = chain_cands(proof)
        assert len(set(nodes)) == len(nodes)
        assert not placed(proof)
        assert gone(proof)
        found |= gone(proof)
    expected = reference.loop_eliminations(Board.of(grid))
    assert found == expected, explain(grid, [frozenset(expected - found)], [frozenset(found - expected)])


# Dead ends


@given(dead())
def test_contradictions(grid: deduce.Grid) -> None:
    proofs = list(deduce.find(grid))
    hurt = Board.of(grid).hurt()
    assume(hurt)
    assert {proof.pattern.name for proof in proofs} == {"contradiction"}
    assert all(proof.contradiction and deduce.check(grid, proof).contradiction for proof in proofs)
    assert {name for proof in proofs for name in proof.premises} == set(hurt), grid.pencil()
    assert {finding.constraint for finding in grid.status()} == set(hurt)


@given(positions())
def test_no_contradiction_where_there_is_a_solution(grid: deduce.Grid) -> None:
    assert all(proof.pattern.name != "contradiction" for proof in deduce.find(grid))
    assert grid.status() == ()
