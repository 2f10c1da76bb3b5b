"""Verdicts: truth, proof and reason kept apart, in puzzles with one solution, several and none."""

import json
from html import escape

import pytest
from claims.oracle import entailed, is_solution

import deduce
from deduce import counting
from deduce.claims.claim import Named
from deduce.claims.named import matching
from deduce.claims.seek import to_read
from deduce.claims.verdict import FaultKind, Kind, Remedy
from deduce.pages.audit import _failing
from deduce.patterns import NAMES, PLAIN
from deduce.solving.generate import minimal_puzzle
from deduce.solving.truth import Count
from deduce.walks import claim_of, judge, parse_claim

HARD = minimal_puzzle(909)
STEPS = deduce.walk(HARD).steps
SOLUTION = next(deduce.solutions(HARD))
TALL = next(step for step in STEPS if step.proof.pattern.name == "skyscraper").before
CHAIN = "(8)r5c2 = (8)r7c2 - (8)r7c7 = (8)r4c7"
"""In `TALL`: columns 2 and 7 hold 8 twice each; the chain eliminates 8 from r4c3 and r5c8."""


def tokens(grid, numbers):
    return [grid.model.names[c] for c in numbers]


def test_a_reason_that_proves_it():
    verdict = judge(TALL, f"{CHAIN} => r4c3 <> 8")
    assert (verdict.kind, verdict.true, verdict.reason_holds, verdict.count) == (Kind.PROVED, True, True, Count.ONE)
    assert verdict.proof.pattern.name == "skyscraper"
    assert tokens(TALL, verdict.also) == ["8r5c8"]
    assert verdict.others == ()
    assert verdict.words() == (
        f"{CHAIN} => r4c3 <> 8\n"
        f"Read as: r4c3 <> 8 because {CHAIN}\n"
        "Yes: 8 falls in r4c3, and your chain shows it.\n"
        f"Skyscraper. {verdict.proof.words()}\n"
        "The same reason also shows that r5c8 is not 8."
    )


def test_a_hidden_single_is_credited_to_the_house_that_places_it():
    """In the other houses of its cell the digit may have more places: then the reason is wrong, true as it may be."""
    right = wrong = 0
    for step in deduce.walk(HARD).steps:
        grid = step.before
        for proof in deduce.find(grid, ["hidden single"]):
            (placed,), layout = proof.places, grid.layout
            for house in layout.houses_of[(placed.row - 1) * 9 + placed.column - 1]:
                others = {c.cell for c in grid.candidates() if c.digit == placed.digit} - {placed.cell}
                alone = others.isdisjoint(layout.cell_name(cell) for cell in layout.houses[house].cells)
                for said in ("because hidden single", f", the only place for {placed.digit}"):
                    verdict = judge(grid, f"{placed.cell} is {placed.digit} {said} in {layout.houses[house].name}")
                    assert (verdict.kind is Kind.PROVED and verdict.reason_holds is True) == alone, verdict.words()
                    right, wrong = right + alone, wrong + (not alone)
        if min(right, wrong) > 60:
            break
    assert min(right, wrong) > 60


def test_a_hidden_pair_is_credited_to_the_house_that_hides_it():
    """Here 1 and 2 have two cells of row 1 to themselves, which lie in box 1 as well, where there are more."""
    grid = deduce.Grid.empty().without(f"{digit}r1c{column}" for digit in (1, 2) for column in range(3, 10))
    for house, found in ((0, 1), (18, 0), (9, 0)):
        named = Named(("hidden pair",), digits=(1, 2), houses=(house,))
        assert len(matching(grid, named)) == found, grid.layout.houses[house].name
    both = grid.without(f"{digit}r{row}c{column}" for digit in (1, 2) for row in (2, 3) for column in (1, 2, 3))
    assert matching(both, Named(("hidden pair",), digits=(1, 2), houses=(18,)))


def test_a_bare_reason_claims_what_it_concludes():
    verdict = judge(TALL, "skyscraper on 8 in columns 2 and 7")
    assert verdict.kind is Kind.PROVED
    assert verdict.true is True
    assert [str(c) for c in verdict.proof.eliminates] == ["8r4c3", "8r5c8"]


def test_a_chain_that_begins_and_ends_with_what_it_refutes():
    verdict = judge(TALL, f"(8)r4c3 - {CHAIN} - (8)r4c3 => r4c3 <> 8")
    assert (verdict.kind, verdict.reason_holds) == (Kind.PROVED, True)
    broken = judge(TALL, f"(8)r4c3 - {CHAIN} - (8)r9c9")
    assert (broken.kind, broken.fault.kind, broken.fault.link) == (Kind.BROKEN, FaultKind.ALTERNATION, 1)


def test_a_simpler_proof_is_shown_as_well():
    proofs = [proof for proof in deduce.find(TALL) if proof.eliminates and proof.pattern.chain]
    shown = 0
    for number, proof in enumerate(proofs):
        earlier = [p for p in proofs[:number] if NAMES.index(p.pattern.name) < NAMES.index(proof.pattern.name)]
        if not any(set(proof.eliminates) <= set(p.eliminates) for p in earlier):
            continue
        verdict = judge(TALL, claim_of(proof))
        (simpler,) = verdict.others
        assert verdict.reason_holds
        assert NAMES.index(simpler.pattern.name) < NAMES.index(proof.pattern.name)
        assert set(proof.eliminates) <= set(simpler.eliminates)
        assert f"There is a simpler one. {simpler.pattern.name[0].upper()}" in verdict.words()
        shown += 1
        if shown == 3:
            return
    raise AssertionError("no deduction with a simpler one was found")


@pytest.mark.parametrize(
    ("claim", "kind", "said"),
    [
        ("skyscraper on 8 in columns 2 and 8", FaultKind.EXTRA_PLACES,
         "not a skyscraper: 8 can also go in r3c8, r6c8 or r8c8 of column 8"),
        ("naked pair 36 r1c2 r2c2", FaultKind.EXTRA_DIGITS, "not a naked pair: r1c2 can also be 7"),
        ("naked triple 367 r1c2 r2c2 r5c2", FaultKind.EXTRA_DIGITS, "not a naked triple: r5c2 can also be 5 or 8"),
        ("naked pair 36 r1c2 r2c2 r3c2", FaultKind.WRONG_SIZE, None),
        ("naked pair 36 r1c2 r9c9", FaultKind.NOT_TOGETHER, "not a naked pair: r1c2 and r9c9 do not lie as it needs"),
        ("naked pair 36 r2c2 r2c3", FaultKind.PLACED, "not a naked pair: r2c3 is 2 already"),
        ("hidden pair 89 r4c3 r6c3 in column 3", FaultKind.EXTRA_PLACES,
         "not a hidden pair: 8 can also go in r5c3, r7c3, r8c3 or r9c3 of column 3"),
        ("X-wing on 8 in rows 3 and 6 => r7c9 <> 8", FaultKind.EXTRA_PLACES,
         "not an X-wing: 8 can also go in r3c9 of row 3"),
        ("X-wing on 8 in rows 3 and 6 and columns 2, 5 and 9", FaultKind.EXTRA_PLACES, None),
        ("X-wing on 8 in rows 3, 6 and 7", FaultKind.WRONG_SIZE, None),
        ("pointing 6 in box 1", FaultKind.EXTRA_PLACES,
         "not a pointing pair: 6 can also go in r1c3 of box 1"),
        ("r5c2 = 8 by hidden single", FaultKind.EXTRA_PLACES, "not a hidden single: 8 can also go in r7c2 of column 2"),
        ("r5c2 = 8 by last open cell in row 5", FaultKind.OPEN_CELLS,
         "not a last open cell: row 5 has six open cells, r5c1, r5c2, r5c3, r5c4, r5c6 and r5c8"),
        ("full house: r5c2 = 8", FaultKind.OPEN_CELLS,
         "not a last open cell: column 2 has five open cells, r1c2, r2c2, r3c2, r5c2 and r7c2"),
        ("r5c2 = 8 by naked single", FaultKind.EXTRA_DIGITS, "not a naked single: r5c2 can also be 3, 5 or 7"),
        ("two-string kite on 8 in row 6 and column 2", FaultKind.NOTHING_FALLS, None),
        ("jellyfish on 1", FaultKind.NOT_THERE, "there is no jellyfish with 1 on the board"),
        (f"{CHAIN} => r5c6 <> 8", FaultKind.NOT_CONCLUDED, "the skyscraper is there, but says nothing of 8 in r5c6"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_set_or_a_line(claim, kind, said):
    verdict = judge(TALL, claim)
    assert verdict.kind is Kind.BROKEN
    assert verdict.fault.kind is kind
    assert verdict.fault.link == 0
    if said is not None:
        assert f": {said}." in verdict.words()


@pytest.mark.parametrize(
    ("claim", "link", "kind", "said"),
    [
        ("(8)r3c9 = (8)r3c8 - (8)r6c8 = (8)r4c7", 3, FaultKind.NOT_STRONG,
         "not a strong link: 8 can also go in r5c8 of box 6"),
        ("(8)r5c2 = (3)r5c2", 1, FaultKind.NOT_STRONG, "not a strong link: r5c2 can also be 5 or 7"),
        ("(8)r5c2 = (8)r9c9", 1, FaultKind.PLACED, "r9c9 is 4 already"),
        ("(8)r5c2 = (8)r6c3 - (8)r7c7 = (8)r4c7", 1, FaultKind.NOT_STRONG, None),
        ("(8)r5c2 = (8)r7c2 - (8)r4c7 = (8)r7c7", 2, FaultKind.NOT_WEAK,
         "not a weak link: (8)r7c2 and (8)r4c7 can both be true"),
        ("(8)r5c2 = (8)r7c2 - (8)r7c9 = (8)r7c1", 3, FaultKind.PLACED, None),
        ("(8)r5c2 = (8)r7c2 = (8)r7c7", 2, FaultKind.ALTERNATION, None),
        ("(8)r5c2 = (8)r7c2 - (8)r7c7", 2, FaultKind.ENDS, None),
        ("(9)r5c2 = (8)r7c2", 1, FaultKind.NOT_NOTED, "r5c2 has no 9 among the notes"),
        ("(8)r5c2 = (8)r7c7", 1, FaultKind.NOT_JOINED, None),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_link(claim, link, kind, said):
    verdict = judge(TALL, claim)
    fault = verdict.fault
    assert (verdict.kind, fault.link) == (Kind.BROKEN, link), verdict.words()
    assert fault.kind is kind
    if said is not None:
        assert f" (link {link}): {said}." in verdict.words()
    # The link at fault is underlined.
    start, end = fault.span
    assert f"  {' ' * start}{'^' * (end - start)}" in verdict.words().splitlines()


def test_an_earlier_elimination_would_mend_it():
    verdict = judge(TALL, "(8)r3c9 = (8)r3c8 - (8)r6c8 = (8)r4c7")
    (mend,) = verdict.fault.mends
    assert tokens(TALL, verdict.fault.blockers) == ["8r5c8"]
    assert mend.remedy is Remedy.NOW
    assert mend.proofs[0].pattern.name == "skyscraper"
    assert verdict.fault.mended is (judge(TALL.without(["8r5c8"]), verdict.claim).kind is Kind.PROVED)
    never = judge(TALL, "naked pair 36 r1c2 r2c2").fault
    assert [mend.remedy for mend in never.mends] == [Remedy.NEVER]
    assert SOLUTION.true >> never.blockers[0] & 1


def test_a_blocker_that_takes_several_steps():
    verdict = judge(TALL, "r5c2 = 8 by hidden single")
    (mend,) = verdict.fault.mends
    assert mend.remedy is Remedy.LATER
    grid = TALL
    for proof in mend.proofs:
        assert proof.grid == grid
        grid = grid.moved(deduce.check(grid, proof).after)
    assert not grid.live >> mend.candidate & 1
    assert verdict.fault.mended


def test_a_missing_note_would_mend_it():
    before = deduce.Grid.parse(TALL.pencil())
    noted = before.without(["8r7c7"])
    verdict = judge(noted, CHAIN)
    assert (verdict.fault.kind, verdict.fault.link) == (FaultKind.NOT_NOTED, 2)
    assert tokens(noted, verdict.fault.restores) == ["8r7c7"]
    assert verdict.fault.mended
    assert "The notes leave out 8 in r7c7; with it the reason holds." in verdict.words()


def test_truth_and_reason_are_kept_apart():
    verdict = judge(TALL, "naked pair 36 r2c2 r2c7 => r4c3 <> 8")
    assert (verdict.kind, verdict.true, verdict.reason_holds, verdict.provable) == (Kind.BROKEN, True, False, True)
    assert verdict.others[0].pattern.name == "skyscraper"
    refuted = judge(TALL, "naked pair 36 r2c2 r2c7 => r2c5 = 3")
    assert (refuted.kind, refuted.true, refuted.fault is not None) == (Kind.REFUTED, False, True)


def test_several_cells_must_all_hold():
    right, wrong = "r4c3/r5c8 <> 8", "r4c3/r4c4/r5c8 <> 8"
    assert judge(TALL, right).kind is Kind.PROVED
    verdict = judge(TALL, wrong)
    assert verdict.kind is Kind.REFUTED
    assert tokens(TALL, verdict.false) == ["8r4c4"]
    assert verdict.counter.true == SOLUTION.true
    covered = judge(TALL, f"{CHAIN} => r4c3 <> 8, r5c8 <> 8, r5c6 <> 8")
    assert (covered.kind, tokens(TALL, covered.fault.missing)) == (Kind.BROKEN, ["8r5c6"])


def test_claims_without_reason_are_proved_along_a_walk():
    verdict = judge(TALL, "r5c6 <> 8", trials=0)
    assert verdict.kind is Kind.PROVED
    assert len(verdict.proofs) > 1
    assert [(a.method, a.exhausted) for a in verdict.tried] == [("one step", True), ("walk", True), ("counting", False)]
    grid = TALL
    for proof in verdict.proofs:
        assert proof.grid == grid
        grid = grid.moved(deduce.check(grid, proof).after)
    assert "8r5c6" not in map(str, grid.candidates())
    # Fewer steps than the walk needed to get there.
    reached = next(i for i, s in enumerate(deduce.walk(TALL).steps, 1) if "8r5c6" not in map(str, s.after.candidates()))
    assert len(verdict.proofs) <= reached


def test_claims_without_reason_are_proved_by_what_is_least_to_read():
    along = judge(TALL, "r5c6 <> 8", trials=0)
    verdict = judge(TALL, "r5c6 <> 8")
    assert [(a.method, a.exhausted) for a in verdict.tried] == [("one step", True), ("walk", True), ("counting", True)]
    verdict.check()
    # What counting alone can do here has less effort, but constraints count twice in it: plain steps are less to read.
    least = counting.smallest(TALL, "8r5c6")
    (argument,) = (inference.argument for inference in least.inferences)
    assert max(weight for _, weight in (*argument.bases, *argument.covers)) > 1
    assert least.effort < sum(p.effort for p in along.proofs) < to_read((least,))
    assert verdict.proofs == along.proofs


STUCK = 6
"""A puzzle of the generator that no named pattern solves."""


def test_where_patterns_are_stuck_counting_goes_on():
    grid = minimal_puzzle(STUCK)
    solution = next(deduce.solutions(grid))
    stuck = deduce.walk(grid, PLAIN)
    if stuck.solved:
        pytest.fail("this puzzle is no longer one at which named patterns get stuck; take another")
    right = next(c for c in stuck.grid.candidates() if solution.true >> grid.number(c) & 1)
    wrong = [c for c in stuck.grid.candidates() if not solution.true >> grid.number(c) & 1]
    verdict = judge(grid, f"+{right}")
    assert verdict.kind is Kind.PROVED
    assert max(proof.depth for proof in verdict.proofs) <= 1
    verdict.check()
    assert judge(grid, f"-{wrong[0]}").kind is Kind.PROVED
    assert judge(grid, f"-{wrong[0]}", steps=0, trials=0).kind is Kind.UNPROVED


@pytest.mark.parametrize("every", [9])
def test_every_candidate_of_a_stuck_position_is_judged_rightly(every):
    """Brute force says which candidates are true; what is false must be proved so, and nothing else."""
    grid = deduce.walk(minimal_puzzle(STUCK), PLAIN).grid
    solution = next(deduce.solutions(grid)).true
    for candidate in grid.candidates()[::every]:
        true = solution >> grid.number(candidate) & 1
        verdict = judge(grid, f"-{candidate}")
        assert verdict.kind is (Kind.REFUTED if true else Kind.PROVED), candidate
        if not true:
            verdict.check()


def test_unproved_says_what_was_tried():
    verdict = judge(TALL, "r5c6 <> 8", steps=1, trials=0)
    assert (verdict.kind, verdict.true) == (Kind.UNPROVED, True)
    assert [(a.method, a.exhausted) for a in verdict.tried] == [
        ("one step", True),
        ("walk", False),
        ("counting", False),
    ]
    assert "a walk of one step, cut off by its budget, and counting, cut off by its budget," in verdict.words()


def test_what_is_settled_already():
    verdict = judge(TALL, "r4c5 <> 1, r9c9 = 4")
    assert (verdict.kind, verdict.proofs) == (Kind.PROVED, ())
    assert len(verdict.already) == 2
    assert "Yes: 1 falls in r4c5 and 4 goes in r9c9; that is settled already." in verdict.words()


LOOSE = deduce.Grid.parse("12..34..........")
"""Twelve solutions."""


def test_in_a_puzzle_with_several_solutions_true_means_in_all():
    grid = LOOSE
    found = list(deduce.solutions(grid, None))
    assert len(found) == 12
    for candidate in grid.candidates():
        number = grid.number(candidate)
        inside = [solution.true >> number & 1 for solution in found]
        for claim, holds in ((f"-{candidate}", not any(inside)), (f"+{candidate}", all(inside))):
            verdict = judge(grid, claim)
            assert verdict.count is Count.MANY
            assert verdict.true is holds
            assert (verdict.kind is Kind.REFUTED) is not holds
            assert entailed(grid, *([[number], []] if claim[0] == "-" else [[], [number]])) == (True, holds)
            if not holds:
                assert is_solution(grid, verdict.counter)
                assert "one of the puzzle's solutions " in verdict.words()


def test_a_puzzle_without_solution_is_told():
    verdict = judge(deduce.Grid.parse("123....4........"), "r3c3 <> 3")
    assert verdict.count is Count.NONE
    assert verdict.true is None
    assert verdict.kind is not Kind.REFUTED
    assert "the puzzle has no solution" in verdict.words()


def test_a_position_that_has_lost_the_solution_is_told():
    wrong = TALL.without(["7r4c3"])
    verdict = judge(wrong, "r4c3 <> 8")
    assert tokens(wrong, verdict.lost) == ["7r4c3"]
    assert "Beware: the position has lost the solution; look at r4c3 again." in verdict.words()
    assert "Beware: the position has lost the solution, in which r4c3 is 7; look at" in verdict.words(spoil=True)
    assert (verdict.to_dict()["lost_in"], "lost" in verdict.to_dict()) == (["r4c3"], False)
    assert verdict.to_dict(spoil=True)["lost"] == ["7r4c3"]
    lie = judge(TALL.without(["8r5c8", "8r6c8"]), "r3c8 = 8: hidden single in column 8")
    assert lie.kind is Kind.REFUTED
    rests = judge(TALL.without(["7r1c2"]), "naked pair 36 r1c2 r2c2")
    assert (rests.kind, rests.fault.kind) == (Kind.BROKEN, FaultKind.RESTS_ON_ERROR)
    assert "extras" not in rests.to_dict()["fault"], "the digit that is missing is the solution's"
    assert rests.to_dict(spoil=True)["fault"]["extras"] == ["7r1c2"]


def test_a_claim_may_take_several_steps():
    both = judge(HARD, "r2c8 is 7 and r6c9 is 7")
    assert (both.kind, len(both.proofs)) == (Kind.PROVED, 2)
    assert "Yes: 7 goes in r2c8 and r6c9, as two steps from here show." in both.words()
    assert "1. Hidden single: 7 in r2c8" in both.words()


def test_the_only_place_is_one_cell():
    for said in ("r4c3 and r5c3 are the only place for 8 in box 4", "in box 4 8 can only go in r4c3, r5c3"):
        with pytest.raises(deduce.ClaimError, match="the only place is one cell"):
            parse_claim(HARD.layout, said)


def test_a_budget_too_small_for_the_truth():
    blank = deduce.Grid.parse("." * 81)
    verdict = judge(blank, "r1c1 = 1", budget=0, steps=0)
    assert (verdict.count, verdict.true, verdict.kind) == (Count.UNKNOWN, None, Kind.UNPROVED)
    assert "Not known: " in verdict.words()


def test_a_name_that_does_not_fit_its_chain_is_told():
    verdict = judge(TALL, f"XY-chain: {CHAIN} => r4c3 <> 8")
    assert (verdict.kind, verdict.misnamed) == (Kind.PROVED, True)
    assert "its name is another one, though: it is a skyscraper." in verdict.words()
    for name in ("X-chain", "skyscraper", "chain"):
        assert not judge(TALL, f"{name}: {CHAIN} => r4c3 <> 8").misnamed


def test_a_claim_that_was_read_before_can_be_judged():
    claim = parse_claim(TALL.layout, "r4c3 <> 8")
    assert judge(TALL, claim).claim is claim


@pytest.mark.parametrize("claim", [f"{CHAIN} => r4c3 <> 8", "naked pair 36 r1c2 r2c2", "r4c3 = 8", "r5c6 <> 8"])
def test_verdicts_as_data_and_in_notebooks(claim):
    verdict = judge(TALL, claim, steps=3)
    told = json.loads(verdict.to_json())
    assert (told["format"], told["version"], told["verdict"]) == ("deduce-verdict", "1.0", verdict.kind.value)
    assert told["claim"] == claim
    assert [proof["pattern"] for proof in told["proofs"]] == [proof.pattern.name for proof in verdict.proofs]
    assert "counter_solution" not in told
    assert ("counter_solution" in verdict.to_dict(spoil=True)) == (verdict.kind is Kind.REFUTED)
    assert ("fault" in told) == (verdict.fault is not None)
    shown = verdict._repr_mimebundle_()
    assert shown["text/plain"] == verdict.words()
    assert f'class="{verdict.kind.value}"' in shown["text/html"]


def test_the_same_on_every_run():
    assert judge(TALL, "r5c6 <> 8").to_json() == judge(TALL, "r5c6 <> 8").to_json()


def test_the_plain_answer_comes_first_and_the_solution_only_when_asked():
    refuted = judge(TALL, "r4c3 = 8")
    answer = next(c for c in TALL.candidates() if (c.row, c.column) == (4, 3) and SOLUTION.true >> TALL.number(c) & 1)
    assert refuted.words() == "r4c3 = 8\nNo: the solution does not have 8 in r4c3."
    assert str(SOLUTION) in refuted.words(spoil=True)
    assert judge(TALL, f"-{answer}").words().endswith(f"No: the solution has {answer.digit} in r4c3.")
    other = judge(TALL, "r4c3 can't be 8 bc of the naked pair 36 in r1c2 and r2c2").words().splitlines()
    assert other[1] == "Read as: r4c3 <> 8 because naked pair 36 r1c2 r2c2"
    assert other[2].startswith("True, but not for that reason: not a naked pair: ")
    mistaken = judge(TALL, "skyscrapper on 8 so r4c3 isnt 8").words().splitlines()
    assert mistaken[1] == "Read as: r4c3 <> 8 because skyscraper 8 (taking 'skyscrapper' as 'skyscraper')"
    assert mistaken[2] == "Yes: 8 falls in r4c3, and your skyscraper shows it."


@pytest.mark.parametrize(
    ("claim", "marked"),
    [("r2c1 = 2", ()), ("r1c1 <> 3", ("r1c1",)), ("r2c1 <> 1 because naked pair 13 r1c1 r2c2", ("r2c2",))],
)
def test_a_verdict_is_drawn_and_has_a_page_that_gives_nothing_away(claim, marked):
    grid = deduce.Grid.parse("..24......1..2..")
    verdict = judge(grid, claim)
    drawn, page = verdict.picture(theme="dark", notes="needed", size=300), verdict.page()
    assert drawn.startswith("<svg ")
    assert verdict.picture() != drawn
    if verdict.proof is not None:
        assert drawn == verdict.proof.picture(theme="dark", notes="needed", size=300)
    else:
        scene = _failing(verdict)
        assert {area.role for area in scene.areas} == {"trouble"}
        assert {*marked} <= {area.name for area in scene.areas}
    assert page.startswith("<!DOCTYPE html>")
    assert f"<title>{escape(claim)}</title>" in page
    assert escape(verdict.words().splitlines()[-1]) in page
    assert verdict.counter is None or verdict.counter.line() not in page
    with pytest.raises(ValueError, match="theme is 'loud'"):
        verdict.picture(theme="loud")
