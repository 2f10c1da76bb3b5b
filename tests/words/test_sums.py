"""What is said and drawn of sums and suppositions, on real positions and on ones with totals."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from random import Random

import pytest
from counting.positions import caged_grid, stuck

import deduce
from deduce import counting
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.shapes import _roles, argument_of
from deduce.kernel import Counting, Inference, Position, Supposition, check, coefficients, place
from deduce.pages.player import proof_html
from deduce.patterns.catalogue import PLAIN as NAMES
from deduce.pictures.scene import of_proof
from deduce.positions import Setting, accepted, after, bits, conclusions
from deduce.proof import Pattern, Proof, Role
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.names import NUMBERS, Names
from deduce.words.en.suppositions import consequences, inner_proofs
from deduce.words.en.tallies import read_sum


@lru_cache(maxsize=4)
def beyond(seed: int = 6) -> deduce.Grid:
    return deduce.walk(minimal_puzzle(seed), NAMES).grid


@lru_cache(maxsize=4)
def nameless(seed: int = 6) -> tuple[Proof, ...]:
    found = counting.eliminations(beyond(seed)).proofs
    return tuple(proof for proof in found if proof.pattern.name == COUNTING)


@lru_cache(maxsize=4)
def supposition(seed: int = 6) -> Proof:
    proof, _ = counting.next_proof(beyond(seed), names=(SUPPOSITION,))
    assert proof is not None
    return proof


def number(word: str) -> int:
    return NUMBERS.index(word) if word in NUMBERS else int(word)


def test_words_of_a_sum_count_as_the_sum_does():
    """The numbers that the words give are counted here anew from the constraints."""
    for proof in nameless():
        (inference,) = proof.inferences
        argument = inference.argument
        told = proof.words()
        masks = proof.grid.model.masks
        first = inference.false[0] if not inference.true else None
        left = [[(k, w) for k, w in side if first is None or not masks[k] >> first & 1] for side in
                (argument.bases, argument.covers)]  # fmt: skip
        needs, room = (sum(w for _, w in side) for side in left)
        assert number(re.search(r"there (?:is|are) (\w+) needs?: ", told)[1]) == needs
        places = re.search(r"(\w+) places? (?:with|for)", told)
        spared = re.search(r"Only (\w+) needs? can do without a place", told)
        assert number(places[1]) == room < needs - (number(spared[1]) if spared else 0)


def test_every_need_is_read_with_what_could_meet_it():
    for proof in nameless()[:6]:
        grid = proof.grid
        lines = read_sum(proof, Names(grid.layout), proof.pattern)
        told = proof.words(level="full").splitlines()
        assert [line.partition(". ")[2] for line in told[:-1]] == lines
        assert told[-1].partition(". ")[2] == proof.words()
        assert lines
        assert not [
            line for line in lines if "takes nothing" in line and "but only" in told[-1] and "without" not in told[-1]
        ]


def test_a_crossing_of_rows_and_columns_is_told_as_one():
    """Four cells of two rows and two columns, and a digit in four columns, are told as groups, not one by one."""
    grid = deduce.Grid.empty()
    layout = grid.layout
    bases = [(layout.cell_constraint(r * 9 + c), 1) for r in (0, 3) for c in (1, 4)]
    covers = [(layout.house_constraint(9 + c, d), 1) for c in (1, 4) for d in (2, 7)]
    argument = Counting(tuple(sorted(bases)), tuple(sorted(covers)))
    live = grid.live
    for cell, _ in bases:
        for d in range(1, 10):
            if d not in (2, 7):
                live &= ~(1 << layout.number(d, cell))
    position = grid.moved(Position(live, 0))
    inference = conclusions(grid.model, Position(live, 0), argument)
    weights, slack = coefficients(grid.model, argument)
    assert slack == 0
    assert {*inference.false} == {c for c in bits(live) if weights.get(c, 0) > 0}
    told = Proof(position, (inference,), counting.name_argument(position, inference)).words()
    assert told.startswith("There are four needs: ")
    assert "They take up all of four places with room for one each: " in told
    assert "takes one of them without meeting a need falls: " in told
    assert "a digit in each of the four cells where rows 1 and 4 cross columns 2 and 5" in told
    assert "the 2 and 7 of columns 2 and 5" in told


def test_roles_say_how_often_a_part_counts():
    heavy = [proof for proof in nameless() if any(w > 1 for _, w in proof.inferences[0].argument.bases)]
    assert heavy
    for proof in heavy:
        assert any(role.name.rpartition(" ")[2].isdigit() and ", counted " in role.name for role in proof.pattern.roles)
        assert argument_of(proof.grid, proof.pattern) == proof.inferences[0].argument
        assert deduce.Proof.from_json(proof.to_json()).pattern == proof.pattern


@pytest.mark.parametrize("seed", [6, 169])
def test_words_of_a_supposition_tell_each_inference(seed):
    proof = supposition(seed)
    inner = proof.inferences[0].argument.inferences
    assert len(proof.pattern.inner) == len(inner)
    told = proof.words().splitlines()
    (candidate,) = proof.eliminates
    assert told[0] == f"Suppose that r{candidate.row}c{candidate.column} is {candidate.digit}."
    assert [line.split(".")[0] for line in told[1:-1]] == [str(i + 1) for i in range(len(told) - 2)]
    assert told[-1] == f"So r{candidate.row}c{candidate.column} loses {candidate.digit}."
    full = proof.words(level="full").splitlines()
    assert [line.split(".")[0] for line in full] == [str(i + 1) for i in range(len(told))]
    assert [line.partition(". ")[2] for line in full[1:-1]] == [line.words for line in consequences(proof)]
    assert re.search("(has no|no place left) ", told[-2])
    # Every inference is told, those of one pattern together, and every digit that is placed is named with its cell.
    lines = consequences(proof)
    assert sorted(map(repr, inner)) == sorted(
        repr(i) for line in lines for part in line.proofs for i in part.inferences
    )
    count = sum(len(line.proofs) for line in lines)
    assert f"breaks down {'at once' if count == 1 else f'in {count} steps'}" in proof.words(level="line")
    for line in lines:
        for part in line.proofs:
            for placed in part.places:
                assert re.search(rf"{placed.cell} (can only be|is) {placed.digit}|its {placed.digit} in {placed.cell}",
                                 line.words)  # fmt: skip


@pytest.mark.parametrize("seed", [6, 169])
def test_a_line_rests_on_no_more_than_the_lines_that_it_names(seed):
    """The kernel accepts each line after the supposition and the lines that it names, with those that they name."""
    proof = supposition(seed)
    (candidate,) = proof.pattern.role("supposed")
    start = place(proof.grid.model, Position(proof.grid.live, proof.grid.true), candidate)
    behind: list[list[Inference]] = []
    for line in consequences(proof):
        cited = re.match(r"By ([\d, and]+), ", line.words)
        on = [int(number) - 1 for number in re.findall(r"\d+", cited[1])] if cited else []
        assert all(number < len(behind) for number in on)
        before = [inference for number in on for inference in behind[number]]
        own = [inference for part in line.proofs for inference in part.inferences]
        behind.append([*dict.fromkeys([*before, *own])])
        position = start
        for inference in before:
            position = after(proof.grid.model, position, inference)
        setting = Setting(proof.grid.model, *position)
        assert accepted(setting, tuple(own)), line.words
    assert own[-1].contradiction


def test_a_supposition_without_inner_patterns_is_told_all_the_same():
    proof = supposition()
    bare = Proof(proof.grid, proof.inferences, Pattern(SUPPOSITION, proof.pattern.roles))
    assert bare.words() == proof.words()


def test_inner_steps_hold_where_they_are_drawn():
    proof = supposition()
    for inner in inner_proofs(proof):
        check(inner.grid, inner)
        assert inner.words()
    assert inner.contradiction


def test_pictures_of_suppositions_show_what_follows_and_where_it_breaks():
    proof = supposition()
    scene = of_proof(proof)
    inner = proof.inferences[0].argument.inferences
    size = proof.grid.layout.cells
    true = {(c % size, c // size + 1) for i in inner for c in i.true}
    assert {(note.cell, note.digit) for note in scene.noted("odd")} == true
    assert len(scene.area("trouble")) == 1
    assert scene.noted("eliminated")
    html = proof_html(proof)
    assert html.count("<img ") == len(consequences(proof)) + 1
    assert "Step by step" in html


def test_pictures_of_sums_mark_needs_and_places():
    for proof in nameless()[:8]:
        scene = of_proof(proof)
        layout = proof.grid.layout
        (inference,) = proof.inferences
        cells = {layout.cell_name(k) for k, _ in inference.argument.bases if k < layout.cells}
        assert cells <= {area.name for area in scene.area("base")}
        marked = {(note.cell, note.digit) for note in scene.noted("pattern")}
        needed = {c for k, _ in inference.argument.bases for c in bits(proof.grid.live & layout.masks[k])}
        falls = {*inference.false, *inference.true}
        assert marked == {(c % layout.cells, c // layout.cells + 1) for c in needed - falls}


# Totals


def unnamed(proof: Proof) -> Proof:
    """Return the proof as one without a name of the trade, told by its parts."""
    (inference,) = proof.inferences
    return replace(proof, pattern=Pattern(COUNTING, tuple(_roles(proof.grid, inference.argument))))


def test_a_total_is_told_by_its_name_and_in_amounts():
    grid = caged_grid({(0, 1): 3})
    proof = counting.smallest(grid, "3r1c1")
    assert proof is not None
    assert proof.pattern.name == "sum bound"
    proof = unnamed(proof)
    assert proof.words() == (
        "Add up what is allowed: the cage of r1c1, r1c2 totals 3; at most 3 in all. Add up what is needed: a digit in "
        "r1c2; at least 1 in all. That leaves 2 to spare, and 3 in r1c1 would take 3. So r1c1 loses 3."
    )
    assert argument_of(grid, proof.pattern) == proof.inferences[0].argument
    assert of_proof(proof).noted("eliminated")


def test_what_is_left_of_a_row_is_told_as_a_total():
    """A row of a 4x4 grid totals 10; a cage of three of its cells totals 6, so the fourth is 4."""
    grid = caged_grid({(0, 1, 2): 6})
    found = counting.eliminations(grid)
    assert "4r1c4" in {str(c) for c in found.true}
    proof = next(p for p in found.proofs if "4r1c4" in {str(c) for c in p.places})
    check(grid, proof)
    assert "the cage of r1c1, r1c2, r1c3 totals 6" in proof.words()
    assert "the cage of r1c1, r1c2, r1c3 totals 6" in unnamed(proof).words()
    layout = grid.layout
    row = tuple((layout.house_constraint(0, d), d) for d in range(1, 5))
    the_total = next(k for k, rule in enumerate(grid.model.constraints) if rule.name.endswith("totals 6"))
    argument = Counting(row, ((3, 4), (the_total, 1)))
    inference = conclusions(grid.model, Position(grid.live, grid.true), argument)
    named = Proof(grid, (inference,), counting.name_argument(grid, inference))
    assert named.pattern.name == "leftover sum"
    told = unnamed(named).words()
    assert "row 1 totals 10" in told
    assert "the cage of r1c1, r1c2, r1c3 totals 6; at most 10 in all" in told


@pytest.mark.parametrize("totals", [{(0, 1): 3, (2, 3): 8}, {(0, 4): 1}, {(0, 1, 2): 5}])
def test_totals_that_cannot_be_are_a_contradiction_with_words(totals):
    grid = caged_grid(totals)
    found = counting.eliminations(grid)
    assert len(found.proofs) == 1
    (proof,) = found.proofs
    assert proof.contradiction
    check(grid, proof)
    assert counting.simplest(grid).contradiction
    step, outcome = counting.next_proof(grid)
    assert outcome is counting.Outcome.FOUND
    while not step.contradiction:
        grid = grid.moved(check(grid, step).after)
        step, _ = counting.next_proof(grid)
    assert proof.words()
    assert "no solution" in proof.words()


def test_a_puzzle_of_cages_is_walked_by_counting_alone():
    """Cages alone, no givens: every step is a checked sum or supposition, and each can be told and drawn."""
    cages = {(0, 1): 3, (2, 6): 7, (3, 7): 5, (4, 5): 7, (8, 9): 3, (10, 14): 7, (11, 15): 5, (12, 13): 7}
    grid = caged_grid(cages)
    for _ in range(64):
        proof, _ = counting.next_proof(grid)
        if proof is None:
            break
        grid = grid.moved(check(grid, proof).after)
        assert proof.words()
        assert of_proof(proof).notes is not None
    for cells, total in cages.items():
        held = [c for cell in cells for c in bits(grid.live) if c % 16 == cell]
        assert sum(c // 16 + 1 for c in held if grid.true >> c & 1) <= total


def test_inference_of_no_argument_has_no_name():
    with pytest.raises(TypeError, match="only sums of rules and suppositions"):
        counting.name_argument(stuck(6), Inference(deduce.kernel.Swap((1,), (2,))))


def test_what_is_gained_is_told_by_whose_it_is():
    """Each candidate that meets more than it takes is named with how much, as a condition that can be read aloud."""
    layout = deduce.Layout.parse("grid 4\ncage r1c1 r1c2 = 3")
    grid = deduce.walk(deduce.Grid.empty(layout), ["sum bound"]).grid
    (cage,) = (k for k, rule in enumerate(grid.model.constraints) if "3" in rule.name and rule.lower == 3)
    argument = Counting(((cage, 1),), ((layout.house_constraint(0, 2), 2),))
    inference = conclusions(grid.model, Position(grid.live, grid.true), argument)
    pattern = Pattern(COUNTING, tuple(_roles(grid, argument)))
    words = Proof(grid, (inference,), pattern).words()
    assert "At most 2 can be gained: 1 if r1c1 is 1 and 1 if r1c2 is 1." in words
    assert {str(c) for c in map(grid.candidate, inference.false)} == {"2r1c3", "2r1c4"}


def test_a_need_that_can_do_without_a_place_is_told_in_good_grammar():
    told = [proof.words() for seed in (6, 169) for proof in nameless(seed)]
    found = [
        match for words in told for match in [re.search(r"Only (\w+) needs? can do without a place", words)] if match
    ]
    assert found
    assert all(match[0].split()[2] == ("need" if match[1] == "one" else "needs") for match in found)


def told_first(text: str, *names: str) -> tuple[str, str]:
    """Return line and paragraph of the first deduction of some names on an empty layout."""
    found = next(deduce.find(deduce.Grid.empty(deduce.Layout.parse(text)), names))
    deduce.check(found.grid, found)
    return found.words(level="line"), found.words()


def test_the_only_cell_that_is_left_over_gets_its_digit_at_once() -> None:
    cage = "r1c1, r1c2, r1c3, r1c4, r1c5, r1c6, r1c7, r1c8"
    assert told_first("grid 9\ncage r1c1-r1c8 = 39\n", "leftover sum") == (
        "Leftover sum: 6 in r1c9",
        f"Row 1 totals 45, and the cage of {cage} totals 39. So r1c9 is 6, the rest of it.",
    )
    outside = told_first("grid 9\ncage r1c1-r1c6 = 24\ncage r1c7-r1c9 r2c9 = 25\n", "leftover sum")
    assert outside[0] == "Leftover sum: 4 in r2c9"
    assert outside[1].endswith("So r2c9 is 4, which is what stands out of it.")


def test_a_cage_of_one_cell_tells_its_total() -> None:
    told = told_first("grid 9\ncage r5c5 = 4\n", *NAMES)
    assert told == ("Sum bound: 4 in r5c5", "The cage of r5c5 totals 4, so r5c5 is 4.")


def test_few_combinations_are_spoken() -> None:
    assert told_first("grid 9\ncage r1c1-r1c3 = 8\n", "sum bound")[1] == (
        "The cage of r1c1, r1c2, r1c3 totals 8. In three cells 8 is 125 or 134: r1c1, r1c2 and r1c3 lose 6, 7 and 8."
    )


def test_what_a_sum_rules_out_is_told_by_numbers_that_are_true() -> None:
    """Sentences on left over sums are read back: what would have to be is out of reach of what can be."""
    assert sum(_read_back(seed) for seed in range(6)) > 12


def _read_back(seed: int) -> int:
    """Check what is told of rows all but one of whose cells lie in cages, and how often numbers were told."""
    full = next(deduce.solutions(deduce.Grid.empty(deduce.Layout.standard(9)), 1, shuffle=Random(seed)))
    lines = []
    for row in range(1, 9):
        for cells in ([(row, c) for c in range(1, 5)], [*((row, c) for c in range(5, 9)), (row + 1, 8)][row % 2 :]):
            digits = [full.digit(*cell) or 0 for cell in cells]
            if len({*digits}) == len(digits):
                lines.append(f"cage {' '.join(f'r{r}c{c}' for r, c in cells)} = {sum(digits)}")
    grid = deduce.Grid.empty(deduce.Layout.parse("\n".join(["grid 9", *lines[::2], *lines[1::4], ""])))
    seen = 0
    for step in deduce.walk(grid, ["sum bound", "leftover sum"]).steps:
        told = step.proof.words()
        assert "leaves no other way" not in told
        for needed, end, bound, other in re.findall(
            r"would have to (?:be|come to) (-?\d+)(?: at (least|most))?, but (?:it is|they come to) (-?\d+) at (\w+)",
            told,
        ):
            seen += 1
            assert int(needed) > int(bound) if other == "most" else int(needed) < int(bound)
            assert end in ("", {"most": "least", "least": "most"}[other])
        for beside, at, whole, wrong in re.findall(
            r"would come to (\d+) at (\w+), (\d+) in all, which is too (\w+)", told
        ):
            seen += 1
            assert (at, wrong) in (("least", "much"), ("most", "little"))
            assert int(whole) > int(beside)
    return seen


def test_a_supposition_tells_each_pattern_once() -> None:
    """A naked pair used for one house and later for another is told with all that it rules out."""
    grid = deduce.Grid.empty(deduce.Layout.standard(9)).without(
        [f"{digit}{cell}" for cell in ("r1c1", "r1c2") for digit in "3456789"] + [f"{d}r1c3" for d in "3456789"]
    )
    (pair,) = {p.pattern for p in deduce.find(grid, ["naked pair"]) if p.pattern.role("subset") == (0, 1)}
    number, layout = grid.number, grid.layout
    first, second = (layout.house_constraint(house, digit) for house, digit in ((0, 1), (0, 2)))
    sums = [Counting(((0, 1), (1, 1)), tuple(sorted([(first, 1), (second, 1)])))]
    fallen = conclusions(grid.model, Position(grid.live, grid.true), sums[0])
    assert fallen is not None
    parts = [Inference(sums[0], fallen.false[:7]), Inference(sums[0], fallen.false[7:])]
    empty = Inference(Counting(((2, 1),), ()))
    supposed = Supposition(number("9r9c9"), (*parts, empty))
    proof = Proof(
        grid,
        (Inference(supposed, (number("9r9c9"),)),),
        Pattern(
            SUPPOSITION,
            (Role("supposed", "candidates", (number("9r9c9"),)),),
            inner=(pair, pair, Pattern("contradiction")),
        ),
    )
    told = proof.words()
    assert told.count("naked pair") == 1
    assert "r1c3, r1c4, r1c5, r1c6, r1c7, r1c8 and r1c9 lose 1 and 2" in told
    assert "breaks down in 2 steps" in proof.words(level="line")
