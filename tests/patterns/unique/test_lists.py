"""Public lists: what assumes a unique solution is true wherever there is one, and wrong where there are several."""

from __future__ import annotations

import pytest

import deduce
from deduce.errors import SeveralSolutionsError
from deduce.patterns import NAMES, PLAIN, UNIQUE, fault
from deduce.patterns.catalogue import choose, find_unasked, first
from deduce.positions import bits

LISTS = (
    "euler96_50.txt",
    "gecode_9x9.txt",
    "hard_95.txt",
    "hard_1465_part.txt",
    "hardest_375_part.txt",
    "seventeen_clues.txt",
)


def lines(collections, name):
    return [line.split()[0] for line in (collections / name).read_text().splitlines() if line and line[0] != "#"]


def sound(line):
    """Walk a puzzle, look for everything where simple steps stick, and hold it all against the solution."""
    grid = deduce.Grid.parse(line)
    (answer,) = deduce.solutions(grid)
    met = 0
    stuck = deduce.walk(grid, PLAIN[:8]).grid
    walked = deduce.walk(grid, NAMES, assume_unique=True)
    proofs = [step.proof for step in walked.steps if step.proof.swaps]
    true = {str(grid.candidate(c)) for c in bits(answer.true)}
    for proof in (*find_unasked(stuck, UNIQUE), *proofs):
        met += 1
        assert true.isdisjoint(map(str, proof.eliminates)), (line, proof)
        assert true.issuperset(map(str, proof.places)), (line, proof)
        assert fault(proof) is None, (line, proof)
    for step in walked.steps:
        assert not answer.true & ~step.after.live, (line, step.proof)
    return met


def test_sound_on_a_part_of_every_list(collections):
    met = {}
    for name in LISTS:
        found = lines(collections, name)
        met[name] = sum(map(sound, found[3 :: max(1, len(found) // 8)]))
    assert sum(count > 0 for count in met.values()) > 3, met
    assert sum(met.values()) > 50, met


@pytest.mark.thorough
@pytest.mark.parametrize("name", LISTS)
def test_sound_on_every_list(collections, name):
    met = sum(map(sound, lines(collections, name)))
    # Where the hardest known puzzles stick, no swappable is near.
    assert met > 0 or name == "hardest_375_part.txt"


def wrong_ones(line):
    """How many deductions on a way through a grid with several solutions are against one of them."""
    grid = deduce.Grid.parse(line)
    answers = list(deduce.solutions(grid, 40))
    assert len(answers) > 1
    with pytest.raises(SeveralSolutionsError) as caught:
        deduce.walk(grid, assume_unique=True)
    assert caught.value.first != caught.value.second
    assert {caught.value.first, caught.value.second} <= {answer.line() for answer in answers}
    finders = choose(PLAIN[:8])
    wrong = right = 0
    barren: dict[tuple[int, int], int] = {}
    while True:
        proof, _ = first(grid, finders, barren)
        if proof is None:
            break
        grid = grid.moved(deduce.check(grid, proof).after, proof)
    for proof in find_unasked(grid, UNIQUE):
        # The kernel accepts the argument: it is the assumption that is wrong.
        after = deduce.check(grid, proof).after
        if all(not answer.true & ~after.live for answer in answers):
            right += 1
        else:
            wrong += 1
    return wrong, right


def test_wrong_where_there_are_several_solutions(collections):
    found = [wrong_ones(line) for line in lines(collections, "many_solutions.txt")[::12]]
    assert sum(wrong > 0 for wrong, _ in found) > 5
    assert sum(wrong for wrong, _ in found) > 20


@pytest.mark.thorough
def test_wrong_on_the_whole_negative_set(collections):
    found = [wrong_ones(line) for line in lines(collections, "many_solutions.txt")]
    grids, steps = sum(wrong > 0 for wrong, _ in found), sum(wrong for wrong, _ in found)
    print(f"{grids} of {len(found)} grids offer a deduction against one of their solutions; {steps} such deductions")
    assert grids > len(found) // 4
