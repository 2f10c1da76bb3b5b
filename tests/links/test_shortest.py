"""One candidate asked for: the shortest chain, the best of the shortest, all of them, and "none exists"."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import groupby, islice

import pytest
import reference_sets as sets
from hypothesis import given, settings, strategies as st
from reference import Board, Cand
from reference_sets import Net, Node
from strategies import positions

import deduce
from deduce.links.linkset import all_links, set_links
from deduce.links.search import best, layers, preference
from deduce.patterns import NAMES, Found, chain_for, chains_for, fault
from deduce.proof import Proof
from deduce.solving.generate import minimal_puzzle

KINDS = {"single": (False, False), "groups": (True, False), "sets": (True, True)}
few = settings(max_examples=settings().max_examples // 5)


def nodes_of(proof: Proof) -> tuple[Node, ...]:
    size = proof.grid.layout.cells
    assert proof.pattern.chain is not None
    return tuple(frozenset((n // size + 1, n % size) for n in node) for node in proof.pattern.chain.nodes)


def twin(grid: deduce.Grid, kind: str) -> Net:
    group, almost = KINDS[kind]
    return sets.net(Board.of(grid), group=group, sets=almost)


def options(kind: str) -> dict[str, bool]:
    return dict(zip(("groups", "almost_locked_sets"), KINDS[kind], strict=True))


def cand(grid: deduce.Grid, candidate: deduce.Candidate) -> Cand:
    number = grid.number(candidate)
    return number // grid.layout.cells + 1, number % grid.layout.cells


# Three answers


@pytest.mark.parametrize("kind", KINDS)
@given(grid=positions("4x4", "5x5", "6x6"))
def test_found_or_none_exists(kind: str, grid: deduce.Grid) -> None:
    """Found exactly if the clauses of the links entail it, and then by as few links as a plain search needs."""
    links = twin(grid, kind)
    false, true = sets.entailed(links) or (set(), set())
    shortest = sets.settled_in(links)
    assert shortest.keys() == false | true
    for candidate in grid.candidates():
        answer = chain_for(grid, candidate, **options(kind))
        here = cand(grid, candidate)
        assert (answer.outcome is Found.FOUND) == (here in shortest)
        assert answer.outcome in (Found.FOUND, Found.NONE_EXISTS)
        if answer.proof is None:
            continue
        proof = answer.proof
        assert len(nodes_of(proof)) - 1 == shortest[here], f"{candidate}\n{grid.pencil()}"
        after = deduce.check(grid, proof).after
        settled = after.true >> grid.number(candidate) & 1 or not after.live >> grid.number(candidate) & 1
        assert settled
        assert fault(proof) is None
        assert (here in true) == (candidate in proof.places)


@pytest.mark.parametrize("kind", KINDS)
@few
@given(grid=positions("9x9"), seed=st.integers(0, 10**6))
def test_found_or_none_exists_on_a_full_grid(kind: str, grid: deduce.Grid, seed: int) -> None:
    shortest = sets.settled_in(twin(grid, kind))
    every = grid.candidates()
    for candidate in every[seed % 7 :: 7]:
        answer = chain_for(grid, candidate, **options(kind))
        length = len(nodes_of(answer.proof)) - 1 if answer.proof else None
        assert shortest.get(cand(grid, candidate)) == length, f"{candidate}\n{grid.pencil()}"


@given(positions("6x6", "9x9"), st.integers(0, 10**6))
def test_a_budget_tells_spent_from_none(grid: deduce.Grid, seed: int) -> None:
    every = grid.candidates()
    for candidate in every[seed % 11 :: 11]:
        answer = chain_for(grid, candidate, groups=True)
        if answer.proof is None:
            assert chain_for(grid, candidate, groups=True, longest=1).outcome is Found.NONE_EXISTS
            continue
        links = len(nodes_of(answer.proof)) - 1
        assert chain_for(grid, candidate, groups=True, longest=links) == answer
        spent = chain_for(grid, candidate, groups=True, longest=links - 1)
        assert (spent.outcome, spent.proof) == (Found.BUDGET_SPENT, None)


def test_only_open_candidates_can_be_asked_for() -> None:
    grid = deduce.Grid.parse("12.. 34.. .... ..41")
    with pytest.raises(ValueError, match="1r1c1 is placed"):
        chain_for(grid, "1r1c1")
    with pytest.raises(ValueError, match="2r1c1 is gone"):
        chains_for(grid, "2r1c1")
    with pytest.raises(deduce.GridError):
        chain_for(grid, "1r9c9")


# The best of the shortest


def ends(links: Net, candidate: Cand, placed: bool) -> set[Node]:
    single = frozenset([candidate])
    return {single} if placed else links.foes.get(single, set())


@pytest.mark.parametrize("kind", KINDS)
@given(grid=positions("4x4", "5x5"))
def test_ties_are_broken_as_stated(kind: str, grid: deduce.Grid) -> None:
    """Brute force lists every shortest chain; none ranks before the one returned."""
    links = twin(grid, kind)
    for candidate, size in sorted(sets.settled_in(links).items())[:12]:
        name = f"{grid.layout.symbols[candidate[0] - 1]}{grid.layout.cell_name(candidate[1])}"
        proof = chain_for(grid, name, **options(kind)).proof
        assert proof is not None
        mine = nodes_of(proof)
        around = ends(links, candidate, cand_placed(proof, candidate))
        ways = sets.chains(links, around, around, size)
        assert mine in ways
        returning = [way[0] == way[-1] for way in ways]
        rivals = [way for way, returns in zip(ways, returning, strict=True) if not returns or all(returning)]
        ranks = {sets.rank(links, way) for way in rivals}
        assert sets.rank(links, mine) == min(ranks), f"{name}\n{grid.pencil()}"


def cand_placed(proof: Proof, candidate: Cand) -> bool:
    return any(cand(proof.grid, place) == candidate for place in proof.places)


def test_each_part_of_the_order_decides_somewhere() -> None:
    """Fewer sets, then fewer groups, then fewer digits, then bivalue cells: each is what settles some choice."""
    decided = set()
    for grid in map(position, HARD):
        links = set_links(grid, groups=True, almost_locked_sets=True)
        rank = preference(links, grid.layout.cells)
        for number in range(0, links.singles, 3):
            sees = links.weak[number] & links.live
            way = layers(links, sees, sees) if links.live >> number & 1 else None
            if way is None:
                continue
            chosen = best(links, way, grid.layout.cells)
            proofs = chains_for(grid, grid.candidate(number), groups=True, almost_locked_sets=True)
            for proof in islice(proofs, 60):
                other = rank(numbered(links, proof))
                mine = rank(chosen)
                if chosen[0] != chosen[-1] and nodes_of(proof)[0] != nodes_of(proof)[-1]:
                    assert mine[:4] <= other[:4]
                    decided |= {i for i in range(4) if mine[:i] == other[:i] and mine[i] < other[i]}
    assert decided == {0, 1, 2, 3}


def numbered(links, proof: Proof) -> tuple[int, ...]:
    numbers = {links.members(node): node for node in range(len(links.weak))}
    return tuple(numbers[node] for node in proof.pattern.chain.nodes)


# All of them


def turned(ways: Iterable[tuple[Node, ...]]) -> set[tuple[Node, ...]]:
    """Each chain in one direction."""
    return {min(way, way[::-1], key=lambda nodes: [sorted(node) for node in nodes]) for way in ways}


@pytest.mark.parametrize("kind", KINDS)
@given(grid=positions("4x4", "5x5"), extra=st.sampled_from((0, 2)))
def test_all_chains_up_to_a_length(kind: str, grid: deduce.Grid, extra: int) -> None:
    links = twin(grid, kind)
    for candidate, size in sorted(sets.settled_in(links).items())[:6]:
        if size + extra > 5:
            continue
        name = f"{grid.layout.symbols[candidate[0] - 1]}{grid.layout.cell_name(candidate[1])}"
        longest = size + extra if extra else None
        proofs = list(chains_for(grid, name, longest=longest, **options(kind)))
        found = [nodes_of(proof) for proof in proofs]
        assert [len(way) for way in found] == sorted(len(way) for way in found), "the shortest first"
        around = ends(links, candidate, cand_placed(proofs[0], candidate))
        assert len(turned(found)) == len(found), "a chain is listed twice"
        assert turned(found) == turned(sets.chains(links, around, around, size + extra)), f"{name}\n{grid.pencil()}"
        for proof in proofs[:20]:
            deduce.check(grid, proof)
            assert fault(proof) is None


def test_listing_is_lazy() -> None:
    """The first of very many chains come at once; the number of all of them is out of reach."""
    grid = deduce.walk(minimal_puzzle(33), ["hidden single"]).grid
    candidate = next(c for c in grid.candidates() if chain_for(grid, c, groups=True).proof)
    some = list(islice(chains_for(grid, candidate, groups=True, almost_locked_sets=True, longest=41), 50))
    assert len(some) == 50
    again = list(islice(chains_for(grid, candidate, groups=True, almost_locked_sets=True, longest=41), 50))
    assert [proof.inferences for proof in some] == [proof.inferences for proof in again]


@given(positions("6x6", "9x9"), st.integers(0, 10**6))
def test_no_chain_is_listed_where_none_exists(grid: deduce.Grid, seed: int) -> None:
    every = grid.candidates()
    for candidate in every[seed % 13 :: 13]:
        listed = next(chains_for(grid, candidate, groups=True, longest=9), None)
        answer = chain_for(grid, candidate, groups=True, longest=9)
        assert (listed is None) == (answer.outcome is not Found.FOUND)


# Finders return the shortest


@few
@given(positions("6x6", "9x9"))
def test_finders_settle_each_candidate_with_the_fewest_links(grid: deduce.Grid) -> None:
    names = [name for name in NAMES if name.startswith("chain ") or name == "grouped chain"]
    lengths: dict[Cand, int] = {}
    # Each by itself: an argument that two names share is not told twice.
    for proof in (proof for name in names for proof in deduce.find(grid, [name])):
        size = len(nodes_of(proof)) - 1
        concluded = {cand(grid, c) for c in (*proof.eliminates, *proof.places)}
        board = Board.of(grid)
        concluded |= {z for z in board.candidates() for p in proof.places if board.sees(z, cand(grid, p))}
        for candidate in concluded:
            lengths[candidate] = min(size, lengths.get(candidate, size))
    for candidate, size in sets.settled_in(twin(grid, "sets")).items():
        assert lengths[candidate] == size, f"{candidate}\n{grid.pencil()}"


# Other names


HARD = (6, 7, 19, 33, 62, 124, 185, 250, 909)


@lru_cache(maxsize=16)
def position(seed: int) -> deduce.Grid:
    return deduce.walk(minimal_puzzle(seed), ["hidden single", "naked single"]).grid


def test_the_simplest_name_is_taken_and_the_others_are_listed() -> None:
    seen: dict[str, set[tuple[str, ...]]] = {}
    for grid in map(position, HARD):
        proofs = list(deduce.find(grid))
        for proof in proofs:
            ranks = [NAMES.index(name) for name in (proof.pattern.name, *proof.also)]
            assert ranks == sorted(set(ranks)), "a simpler name fits"
            seen.setdefault(proof.pattern.name, set()).add(proof.also)
    chain, wide = "chain with both ends on one digit", "chain through almost locked sets"
    assert seen["skyscraper"] == seen["two-string kite"] == {("X-chain", chain)}
    assert seen["empty rectangle"] == {("grouped X-chain", "grouped chain")}
    assert seen["ALS-XZ"] == seen["ALS-XY-wing"] == {(wide,)}
    assert seen["doubly linked ALS-XZ"] == {("loop through almost locked sets",)}
    assert ("ALS-XZ", wide) in seen["XYZ-wing"]
    assert seen["WXYZ-wing"] >= {(), ("ALS-XZ", wide)}
    assert seen["naked pair"] == seen["finned X-wing"] == {()}
    assert seen["death blossom"] == {(), (wide,)}


def test_wings_are_chains_too() -> None:
    seen: dict[str, set[tuple[str, ...]]] = {}
    for seed in range(40):
        for proof in deduce.find(position(seed), ["XY-wing", "W-wing"]):
            seen.setdefault(proof.pattern.name, set()).add(proof.also)
    chain = "chain with both ends on one digit"
    assert seen["XY-wing"] == {("XY-chain", chain)}
    assert seen["W-wing"] == {(chain,)}


@pytest.mark.parametrize(
    "name", ["skyscraper", "two-string kite", "XYZ-wing", "empty rectangle", "ALS-XZ", "ALS-XY-wing"]
)
def test_another_name_really_fits(name: str) -> None:
    """Asked for another of its names alone, the library finds what the proof eliminates, by a chain no longer."""
    tried = 0
    for grid in map(position, HARD):
        for proof in deduce.find(grid, [name]):
            for candidate in proof.eliminates if proof.also else ():
                answer = chain_for(grid, candidate, groups=True, almost_locked_sets=True).proof
                assert answer is not None
                # The links know sets of up to four cells: in place of a wider one a chain may take more of them.
                if max(len(role.items) for role in proof.pattern.roles) <= 4:
                    assert len(nodes_of(answer)) <= (len(proof.pattern.chain.nodes) if proof.pattern.chain else 4)
                    tried += 1
    assert tried


def test_the_shortest_chain_takes_the_simplest_name() -> None:
    grid = position(33)
    names = set()
    for candidate in grid.candidates():
        answer = chain_for(grid, candidate, groups=True, almost_locked_sets=True)
        if answer.proof:
            names.add(answer.proof.pattern.name)
            assert all(NAMES.index(answer.proof.pattern.name) < NAMES.index(name) for name in answer.proof.also)
            assert answer.proof.pattern.name != "remote pairs"
    assert len(names) > 3


def test_links_of_single_candidates_rank_alike_in_every_node_set() -> None:
    grid = position(62)
    plain, wide = all_links(grid), set_links(grid, groups=True, almost_locked_sets=True)
    cells = grid.layout.cells
    for number in range(plain.singles):
        sees = plain.weak[number] & plain.live
        way = layers(plain, sees, sees) if plain.live >> number & 1 else None
        if way:
            chosen = best(plain, way, cells)
            assert preference(plain, cells)(chosen) == preference(wide, cells)(chosen)


def test_search_lengths_agree_between_layers_and_listing() -> None:
    grid = position(62)
    for candidate in grid.candidates()[::9]:
        listed = [len(nodes_of(proof)) for proof in islice(chains_for(grid, candidate, longest=9), 200)]
        assert [size for size, _ in groupby(listed)] == sorted(set(listed))
