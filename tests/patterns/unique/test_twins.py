"""The finders of rectangles against their dull twins, in both directions, position by position."""

from __future__ import annotations

import pytest
import reference_unique as twin
from hypothesis import given
from reference import Board
from strategies import minimal, positions, solution, walked

import deduce
from deduce.links.swaps import bivalue_grids, extended_rectangles, rectangles, two_digit_swaps
from deduce.patterns.catalogue import fault, find_unasked
from deduce.patterns.unique_names import AVOIDABLE, CHAINS, LOCKED, ONE_DIGIT, OPEN_CORNER, STRONG, UNIQUE
from deduce.positions import bits
from deduce.proof import Proof


def cands(grid, numbers):
    return frozenset((n // grid.layout.cells + 1, n % grid.layout.cells) for n in numbers)


def given_cells(grid):
    return {n % grid.layout.cells for n in bits(grid.givens)}


def gone(proof: Proof):
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.false))


def put(proof: Proof):
    return cands(proof.grid, (c for inference in proof.inferences for c in inference.true))


def told(proof: Proof):
    """A proof as a twin tells it: corners, digits, exits, and what it concludes."""
    role = proof.pattern.role
    return role("cells"), role("digits"), cands(proof.grid, role("exits")), gone(proof), put(proof)


def found(grid, name):
    proofs = list(find_unasked(grid, [name]))
    for proof in proofs:
        assert proof.pattern.name == name
        assert proof.assumes_unique
        assert fault(proof) is None
        deduce.check(grid, proof)
    return proofs


def expected(grid, *, placed=False):
    board = Board.of(grid)
    return board, [one for one in twin.rectangles(board, given_cells(grid)) if one.placed == placed]


@given(positions())
def test_the_rectangles_are_all_there(grid):
    board = Board.of(grid)
    ours = {(one.cells, one.digits, cands(grid, one.exits)) for one in rectangles(grid)}
    theirs = {(one.corners, one.digits, one.exits) for one in twin.rectangles(board, given_cells(grid))}
    assert ours == theirs, grid.pencil()


@given(positions())
def test_one_corner_open(grid):
    board, theirs = expected(grid)
    facts = set()
    for one in theirs:
        if len({cell for _, cell in one.exits}) == 1:
            single = len(one.exits) == 1
            falls = frozenset() if single else twin.direct(board, one.exits)
            if single or falls:
                facts.add((one.corners, one.digits, one.exits, falls, one.exits if single else frozenset()))
    ours = [told(proof) for proof in found(grid, OPEN_CORNER)]
    assert set(ours) == facts, grid.pencil()
    assert len(ours) == len(facts)


@given(positions())
def test_exits_on_one_digit(grid):
    board, theirs = expected(grid)
    facts = set()
    for one in theirs:
        falls = twin.direct(board, one.exits)
        if len({d for d, _ in one.exits}) == 1 and len({cell for _, cell in one.exits}) > 1 and falls:
            facts.add((one.corners, one.digits, one.exits, falls, frozenset()))
    ours = [told(proof) for proof in found(grid, ONE_DIGIT)]
    assert set(ours) == facts, grid.pencil()
    assert len(ours) == len(facts)


@given(positions())
def test_strong_links_between_corners(grid):
    board, theirs = expected(grid)
    facts = {
        (one.corners, one.digits, one.exits, frozenset(twin.by_corners(board, one)), frozenset()) for one in theirs
    }
    ours = [told(proof) for proof in found(grid, STRONG)]
    assert set(ours) == {fact for fact in facts if fact[3]}, grid.pencil()


@pytest.mark.parametrize(("name", "way"), [(LOCKED, twin.by_sets), (CHAINS, twin.by_chains)])
@given(positions())
def test_locked_sets_and_chains_conclude_all_they_can(name, way, grid):
    board, theirs = expected(grid)
    ours = set().union(*map(gone, found(grid, name)))
    assert ours == way(board, theirs), grid.pencil()


@given(positions("4x4", "6x6", "9x9"))
def test_avoidable_rectangles(grid):
    board, theirs = expected(grid, placed=True)
    proofs = found(grid, AVOIDABLE)
    singles = {one.exits for one in theirs if len(one.exits) == 1}
    assert set().union(*map(put, proofs)) == set().union(*singles), grid.pencil()
    falls = twin.by_sets(board, theirs) | twin.by_chains(board, theirs)
    for one in theirs:
        falls |= twin.by_corners(board, one)
        if len(one.exits) > 1:
            falls |= twin.direct(board, one.exits)
    assert set().union(*map(gone, proofs)) == falls, grid.pencil()


@given(positions("4x4", "6x6", "9x9"))
def test_every_exchange_keeps_all_totals(grid):
    """Larger swappables: for each way to fill the pattern there is another one with the same totals, by trying all."""
    board = Board.of(grid)
    for search in (extended_rectangles, two_digit_swaps, bivalue_grids):
        for one in list(search(grid))[:3]:
            allowed = {}
            for digit, cell in cands(grid, one.pattern):
                allowed.setdefault(cell, []).append(digit)
            if len(allowed) > 8:
                continue
            by_totals = {}
            for filling in fillings(board, allowed):
                by_totals.setdefault(frozenset(twin.totals(board, filling).items()), []).append(filling)
            possible = [f for f in fillings(board, allowed) if all(c in held(board) for c in f)]
            # Nothing need be left of what other swaps could be filled with: then they say nothing.
            assert possible or search is not extended_rectangles
            for filling in possible:
                assert len(by_totals[frozenset(twin.totals(board, filling).items())]) > 1, (grid.pencil(), one)


def held(board):
    return {*board.candidates(), *((digit, cell) for cell, digit in board.placed.items())}


def fillings(board, allowed):
    """Every way to fill some cells with digits that they may have, no digit twice in a house."""

    def extend(cells, chosen):
        if not cells:
            yield tuple(chosen)
            return
        for digit in allowed[cells[0]]:
            if not any(d == digit and board.share(cell, cells[0]) for d, cell in chosen):
                yield from extend(cells[1:], [*chosen, (digit, cells[0])])

    yield from extend(sorted(allowed), [])


def test_every_name_comes_up_and_is_sound():
    """On the way through generated puzzles each name is met, and never loses the solution."""
    met = set()
    for seed in (1, 2, 3, 7, 33):
        puzzle = minimal("9x9", seed)
        path = deduce.walk(puzzle, deduce.patterns.PLAIN[: deduce.patterns.PLAIN.index("XY-chain") + 1]).steps
        answer = solution(puzzle).true
        for step in path[:: 3 if seed < 33 else 1]:
            for proof in find_unasked(step.before, sorted(UNIQUE - met)):
                met.add(proof.pattern.name)
                after = deduce.check(step.before, proof).after
                assert not answer & ~after.live, proof
                assert not after.true & ~answer, proof
    assert met == UNIQUE


@given(positions())
def test_no_finder_loses_a_unique_solution(grid):
    puzzle = deduce.Grid.from_numbers(grid.layout, bits(grid.givens))
    answers = list(deduce.solutions(puzzle, 2))
    if len(answers) != 1 or answers[0].true & ~grid.live:
        return
    for proof in find_unasked(grid, UNIQUE):
        assert not answers[0].true & ~deduce.check(grid, proof).after.live, proof


def test_walks_of_small_puzzles_meet_them_too():
    grids = walked("6x6", 3, 0)
    assert all(proof.assumes_unique for grid in grids for proof in find_unasked(grid, UNIQUE))
