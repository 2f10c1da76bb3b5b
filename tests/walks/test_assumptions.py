"""What rests on a person's notes, or on a unique solution, says so, through steps, clearings, documents and audits."""

from __future__ import annotations

import copy
import pickle
import random

import pytest

from deduce import Grid, Layout, audit, check, judge, solutions, walk
from deduce.exchange import Document, proof_from_json, proof_from_line, proof_to_json, proof_to_line, verify
from deduce.kernel import Position, place
from deduce.positions import Setting, accepted, bits
from deduce.proof import Pattern, Proof, conclude
from deduce.solving.generate import minimal_puzzle
from deduce.walks import prune

PUZZLE = "...2....3.....3..4.3....61..5..7.1.....5..3.6.93....42...7...8.812..........14..."


def wrong_note(grid, seed):
    """Return a grid with one note wrong: a candidate of the solution ruled out; and the solution."""
    (solution,) = solutions(grid, limit=2)
    number = random.Random(seed).choice(bits(solution.true & ~grid.true))
    return grid.without([grid.candidate(number)]), solution, number


def lies(steps, solution):
    """Yield each proof whose conclusion a solution contradicts."""
    for step in steps:
        concluded = [(c, False) for i in step.proof.inferences for c in i.false]
        concluded += [(c, True) for i in step.proof.inferences for c in i.true]
        if step.proof.contradiction or any((solution.true >> c & 1) != holds for c, holds in concluded):
            yield step.proof


def test_what_follows_from_a_wrong_note_names_it():
    grid = Grid.parse(PUZZLE).without(["7r2c7"])
    (solution,) = solutions(Grid.parse(PUZZLE), limit=2)
    told = [*lies(walk(grid).steps, solution)]
    assert len(told) >= 3
    assert all([*map(str, proof.assumes)] == ["7r2c7"] for proof in told)
    assert any(not proof.needs.gone & grid.assumed for proof in told), "some of them use the note only at second hand"
    assert told[-1].words().endswith(" This rests on your note that 7 is not in r2c7.")


@pytest.mark.parametrize("seed", range(12))
def test_no_false_conclusion_is_without_its_note(seed):
    grid, solution, number = wrong_note(minimal_puzzle(seed), seed)
    walked = walk(grid, trials=0)
    for proof in lies(walked.steps, solution):
        assert number in proof.noted
    for proof in lies(prune(walked).steps if walked.solved else (), solution):
        assert number in proof.noted


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(100, 250))
def test_no_false_conclusion_is_without_its_note_anywhere(seed):
    grid, solution, number = wrong_note(minimal_puzzle(seed), seed)
    assert all(number in proof.noted for proof in lies(walk(grid).steps, solution))


def test_a_note_that_nothing_uses_is_not_named():
    """A true note marks only what rests on it, and a digit placed without it accounts for what it clears."""
    named = steps = 0
    for seed in range(20):
        grid = minimal_puzzle(seed)
        (solution,) = solutions(grid, limit=2)
        number = random.Random(seed).choice(bits(grid.live & ~solution.true))
        for step in walk(grid.without([grid.candidate(number)]), trials=0).steps:
            steps += 1
            named += bool(step.proof.assumes)
    assert steps > 1000
    assert 0 < named < steps / 3


def test_documents_keep_what_rests_on_a_note():
    grid = Grid.parse(PUZZLE).without(["7r2c7"])
    walked = walk(grid)
    document = Document.from_json(walked.to_json())
    assert [proof.noted for proof in document.proofs] == [step.proof.noted for step in walked.steps]
    late = [step.proof for step in walked.steps if step.proof.noted and not step.proof.needs.gone & grid.assumed]
    assert late
    for proof in late:
        for read in (proof_from_json(proof_to_json(proof)), proof_from_line(proof_to_line(proof))):
            assert read.noted == proof.noted
            assert read.grid.resting == proof.grid.resting
    judged = verify(document)
    assert [step.proof.noted for step in judged] == [step.proof.noted for step in walked.steps]


def test_copies_of_a_grid_keep_what_rests_on_a_note():
    grid = walk(Grid.parse(PUZZLE).without(["7r2c7"])).grid
    assert any(mask != 1 << note for note, mask in grid.resting)
    for twin in (pickle.loads(pickle.dumps(grid)), copy.deepcopy(grid)):
        assert twin.resting == grid.resting


def test_a_claim_and_a_log_rest_on_the_note_too():
    grid = Grid.parse(PUZZLE).without(["7r2c7"])
    steps = walk(grid).steps
    late = next(step for step in steps if step.proof.places and step.proof.noted)
    verdict = judge(late.before, f"{late.proof.places[0].cell} = {late.proof.places[0].written}")
    assert any(proof.noted for proof in verdict.proofs) or verdict.kind.value == "refuted"
    small = Grid.parse("1... .... .... ....".replace(" ", "")).without(["2r1c2", "3r1c2"])
    first, second = audit(small, "r1c2 = 4\nr1c3 <> 4").moves[:2]
    assert [*map(str, first.verdict.proofs[0].assumes)] == ["2r1c2", "3r1c2"]
    assert second.verdict.already or [*map(str, second.verdict.proofs[0].assumes)] == ["2r1c2", "3r1c2"]


def test_what_a_placement_clears_by_a_sum_rests_on_what_the_sum_had_used_up():
    """The total is at most 8: with 4 in r1c1, which was settled assuming one solution, 3 in r2c3 leaves 1 for r3c2."""
    layout = Layout.parse("grid 4\ntotal r1c1 r2c3 r3c2 <= 8")
    start = Grid.empty(layout)
    given = start.number("4r1c1")
    position = place(layout.model, Position(start.live, start.true), given)
    grid = Grid(layout, position.live, position.true, 0, 0, 1 << given)
    bound = start.number("3r2c3")
    alone = position.live & ~sum(1 << start.number(f"{d}r2c3") for d in (1, 2, 4))
    grid = Grid(layout, alone, grid.true, 0, 0, grid.presumed)
    single = Proof(grid, conclude(grid, [layout_single(layout, grid, bound)]), Pattern("naked single"))
    assert str(single.places[0]) == "3r2c3"
    after = check(grid, single).after
    fell = grid.live & ~after.live
    assert fell >> start.number("2r3c2") & 1
    assert single.assumes_unique, "what it clears rests on the 4"
    beyond = grid.moved(after, single)
    assert beyond.presumed >> start.number("2r3c2") & 1


def layout_single(layout, grid, number):
    """Return the argument that places the last candidate of a cell."""
    from deduce.kernel import Counting

    return Counting(((layout.cell_constraint(number % layout.cells), 1),), ())


def test_the_adapter_lets_the_kernel_judge_one_inference():
    grid = Grid.parse("12.. 3... .... ...1".replace(" ", ""))
    proof = walk(grid).steps[0].proof
    assert accepted(Setting(grid.model, grid.live, grid.true), proof.inferences)
    assert not accepted(Setting(grid.model, (1 << len(grid.model.names)) - 1, 0), proof.inferences)


def test_documents_that_list_only_the_notes_that_a_step_uses_itself_are_read():
    grid = Grid.parse(PUZZLE).without(["7r2c7"])
    text = walk(grid).to_json()
    assert text.count(chr(34) + "rests on notes" + chr(34)) >= 3
    late = next(
        step.proof for step in walk(grid).steps if step.proof.noted and not step.proof.needs.gone & grid.assumed
    )
    number = next(i for i, step in enumerate(walk(grid).steps) if step.proof == late)
    lines = text.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith('"steps"')) + 1 + number
    lines[at] = lines[at].replace('"rests on notes":["7r2c7"]', '"rests on notes":[]')
    assert Document.from_json("\n".join(lines)).proofs[number].noted == late.noted
