"""Notes: a person's candidate grid against the puzzle, and the least pencil work of a walk."""

import json

import pytest
from hypothesis import given, strategies as st
from strategies import positions

import deduce
from deduce.claims import notes
from deduce.errors import GridError
from deduce.kernel import Position, check
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle
from deduce.solving.truth import Count
from deduce.walks import notes_needed, premises_of
from deduce.words.en.audits import explain_needed

PUZZLE = minimal_puzzle(33)
SOLUTION = next(deduce.solutions(PUZZLE))


def tokens(grid, numbers):
    return [grid.model.names[c] for c in numbers]


def pencil(grid, live):
    """A candidate grid with exactly these notes, impossible ones included."""
    layout = grid.layout
    words = []
    for cell in range(layout.cells):
        here = live & layout.masks[cell]
        digits = "".join(layout.symbols[c // layout.cells] for c in bits(here))
        words.append(digits if grid.true & layout.masks[cell] else f"{{{digits}}}")
    return "\n".join(" ".join(words[i : i + layout.order]) for i in range(0, layout.cells, layout.order))


def test_complete_notes_are_in_order():
    report = notes.compare_notes(PUZZLE, pencil(PUZZLE, PUZZLE.live))
    assert report.clean
    assert report.count is Count.ONE
    assert report.words() == "The notes are in order."
    assert notes.compare_notes(PUZZLE, PUZZLE).clean


@given(st.data(), positions("4x4", "6x6"))
def test_each_finding_is_told_apart(data, grid):
    solution = next(deduce.solutions(grid, 1))
    count = len(list(deduce.solutions(deduce.Grid.from_numbers(grid.layout, bits(grid.givens)), 2)))
    layout = grid.layout
    open_cells = [cell for cell in range(layout.cells) if not grid.true & layout.masks[cell]]
    flips = data.draw(st.lists(st.sampled_from(range(layout.order * layout.cells)), max_size=6, unique=True))
    flips = [c for c in flips if c % layout.cells in open_cells]
    noted = grid.live
    for c in flips:
        noted ^= 1 << c
    skipped = {
        cell for cell in open_cells if noted & layout.masks[cell] in (0, layout.masks[cell])
    }  # a cell with every digit, or none, is not judged here
    report = notes.compare_notes(grid, pencil(grid, noted))
    flips = [c for c in flips if c % layout.cells not in skipped]
    added = {c for c in flips if not grid.live >> c & 1}
    seen = {c for c in added if grid.true & layout.same_digit_peers[c]}
    unfilled = [cell for cell in open_cells if noted & layout.masks[cell] == layout.masks[cell]]
    full = {c for cell in unfilled for c in bits(layout.masks[cell])}
    assert {c for c, _ in report.forbidden} == seen - full
    assert set(report.stale) == added - seen - full
    gone = {c for c in range(layout.order * layout.cells)
            if grid.live >> c & 1 and not noted >> c & 1 and c % layout.cells in open_cells}  # fmt: skip
    assert {*report.lost, *report.missing} == gone
    if count == 1:
        assert set(report.lost) == {c for c in gone if solution.true >> c & 1}
    for candidate, cell in report.forbidden:
        holder = candidate - candidate % layout.cells + cell
        assert grid.true >> holder & 1
        assert layout.neighbours[cell] >> candidate % layout.cells & 1


def test_wrong_digits_and_blank_cells():
    first = PUZZLE.candidates()[0]
    wrong = next(c for c in PUZZLE.candidates() if not SOLUTION.true >> PUZZLE.number(c) & 1)
    words = pencil(PUZZLE, PUZZLE.live).split()
    at = (wrong.row - 1) * 9 + wrong.column - 1
    words[at] = f"[{wrong.digit}]"
    blank = next(i for i, word in enumerate(words) if word.startswith("{") and i != at)
    words[blank] = "."
    report = notes.compare_notes(PUZZLE, " ".join(words))
    assert tokens(PUZZLE, report.wrong) == [str(wrong)]
    assert report.unfilled == (blank,)
    assert not report.clean
    assert f"Wrong digits: {wrong.digit} in r{wrong.row}c{wrong.column}." in report.words()
    assert first
    with pytest.raises(GridError):
        notes.compare_notes(PUZZLE, "12")


def test_a_grid_of_digits_alone_has_no_notes_to_judge():
    report = notes.compare_notes(PUZZLE, PUZZLE.line())
    assert report.clean
    assert len(report.unfilled) == 81 - PUZZLE.true.bit_count()
    assert json.loads(report.to_json())["unfilled"][0].startswith("r")


def test_premises_are_the_bases():
    walk = deduce.walk(minimal_puzzle(909))
    for step in walk.steps:
        found = premises_of(step.proof)
        names = {f"cell {step.before.layout.cell_name(cell)}" for cell in found.cells}
        names |= {f"{d} in {step.before.layout.houses[h].name}" for h, d in found.scans}
        assert names == set(step.proof.premises)


@pytest.mark.parametrize("seed", [6, 33, 909])
def test_the_notes_asked_for_are_enough_and_none_is_asked_for_twice(seed):
    walk = deduce.walk(minimal_puzzle(seed))
    layout = walk.start.layout
    needed = notes_needed(walk)
    assert [need.step for need in needed] == [*range(1, len(walk) + 1)]
    cells, scans = set(), set()
    for need, step in zip(needed, walk.steps, strict=True):
        true = step.before.true
        assert not cells & {*need.fill}
        assert not scans & {*need.scan}
        cells |= {*need.fill}
        for house, digit in need.scan:
            inside = [c for c in layout.houses[house].cells if not true & layout.masks[c]]
            assert any(c not in cells for c in inside), f"{digit} is scanned for in a house that is filled in"
        scans |= {*need.scan}
        # Whatever is neither noted, nor barred by a placed digit, nor remembered might be true: the step still holds.
        known = sum(1 << c for c, _ in need.recall)
        for number in (*cells, *(layout.house_constraint(*scan) for scan in scans)):
            known |= layout.masks[number]
        for c in bits(true):
            known |= layout.peers[c] | layout.masks[c % layout.cells]
        loose = step.before.moved(Position(step.before.live | layout.every & ~known, true))
        assert holds_in(loose, step.proof) or found_in(loose, step.proof), f"step {need.step}: {step.proof}"


def holds_in(grid, proof):
    try:
        check(grid, proof)
    except deduce.ProofError:
        return False
    return True


def found_in(grid, proof):
    """Whether the same is concluded under the same name by rules that serve as well."""
    wanted = {*proof.eliminates, *proof.places}
    names = ["hidden single", "naked single"] if proof.places else [proof.pattern.name]
    return any(wanted <= {*p.eliminates, *p.places} for p in deduce.find(grid, names))


def test_what_is_needed_in_words():
    walk = deduce.walk(minimal_puzzle(909))
    told = explain_needed(walk.start, notes_needed(walk)).splitlines()
    tall = next(i for i, step in enumerate(walk.steps, 1) if step.proof.pattern.name == "skyscraper")
    assert told[0] == "Before step 1: scan box 3 for 7."
    assert f"Before step {tall}: scan columns 2 and 7 for 8." in told
    recalled = next(need for need in notes_needed(walk) if need.recall)
    ((candidate, step), *_) = recalled.recall
    assert candidate in {walk.start.number(c) for c in walk.steps[step - 1].proof.eliminates}
    row, column = divmod(candidate % 81, 9)
    gone = f"{candidate // 81 + 1} in r{row + 1}c{column + 1} (step {step})"
    assert any(line.startswith(f"Before step {recalled.step}: ") and gone in line for line in told)
    solved = deduce.walk(next(deduce.solutions(PUZZLE)))
    assert explain_needed(solved.start, notes_needed(solved)) == "No notes are needed."


def test_a_house_filled_in_whole_is_named_by_its_name():
    grid = PUZZLE
    box = next(h for h, house in enumerate(grid.layout.houses) if house.kind == "box")
    cells = [c for c in grid.layout.houses[box].cells if not grid.true & grid.layout.masks[c]]
    told = explain_needed(grid, [notes.NotesNeeded(1, tuple(cells))])
    assert told == "Before step 1: fill in box 1."
