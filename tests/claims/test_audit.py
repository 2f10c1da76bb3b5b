"""Solve logs: every move judged, what was passed over, what is never used, and where a log goes wrong."""

import json
import re
from functools import lru_cache
from html.parser import HTMLParser

import deduce
from deduce.claims.verdict import Kind
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle
from deduce.walks import audit, claim_of

PUZZLE = minimal_puzzle(909)
WALK = deduce.walk(PUZZLE)
LOG = [claim_of(step.proof) for step in WALK.steps]
SMALL = deduce.Grid.parse("..24......1..2..")
"""Solution 3124 2431 4312 1243."""


def tokens(grid, numbers):
    return [grid.model.names[c] for c in numbers]


@lru_cache(maxsize=1)
def whole():
    return audit(PUZZLE, "\n".join(f"{n}. {line} # said" for n, line in enumerate(LOG, 1)))


def test_a_walk_written_as_a_log_is_flawless():
    found = whole()
    assert found.flawless
    assert found.counts == {"proved": len(LOG), "broken": 0, "refuted": 0, "unproved": 0}
    assert found.end.solved
    assert found.end == found.sound
    assert found.first_wrong is None
    assert all(judged.verdict.reason_holds for judged in found.moves)
    assert all(judged.line.comment == "# said" for judged in found.lines)
    assert [judged.line.number for judged in found.lines] == [*range(1, len(LOG) + 1)]


def test_what_a_move_uses_is_what_it_rests_on():
    found = whole()
    for number, judged in enumerate(found.lines, 1):
        gone = {PUZZLE.number(c) for c in judged.verdict.proof.rests_on}
        expected = {
            i for i, earlier in enumerate(WALK.steps[: number - 1], 1)
            if gone & {*bits(earlier.before.live & ~earlier.after.live)}
        }  # fmt: skip
        assert set(judged.uses) == expected
        for used in judged.uses:
            assert number in found.lines[used - 1].used_by


def test_steps_whose_results_are_never_used():
    late = next(i for i, step in enumerate(WALK.steps) if i > 20 and step.proof.eliminates)
    log = [*LOG[:late], LOG[late]]
    found = audit(PUZZLE, log)
    assert found.lines[-1].unused
    assert found.lines[-1].used_by == ()
    assert "No placement of the log rests on this." in found.words()
    # What no placement rests on, worked out from the uses alone.
    useful = {judged.line.number for judged in found.lines if judged.verdict.claim.places}
    for judged in reversed(found.lines):
        if judged.line.number in useful:
            useful |= set(judged.uses)
    assert {judged.line.number for judged in found.lines if not judged.unused} == useful
    # Without those lines every move is proved as before.
    kept = [line for line, judged in zip(log, found.lines, strict=True) if not judged.unused]
    assert len(kept) < len(log)
    assert audit(PUZZLE, kept).flawless


def test_a_wrong_move_and_what_follows_from_it():
    log = ["r2c1 = 2", "r1c1 <> 3 # the slip", "r1c1 = 1: naked single", "r1c2 = 3", "r4c1 = 1"]
    found = audit(SMALL, log)
    kinds = [judged.verdict.kind for judged in found.lines]
    assert kinds == [Kind.PROVED, Kind.REFUTED, Kind.REFUTED, Kind.REFUTED, Kind.PROVED]
    assert found.first_wrong.line.number == 2
    assert found.lines[2].follows == (2,)
    assert set(found.lines[3].follows) <= {2, 3}
    assert found.lines[3].follows
    assert not found.flawless
    assert "The log first goes wrong in line 2." in found.words()
    assert "It follows from line 2, which is wrong." in found.words()
    assert found.end != found.sound


def test_easier_steps_that_were_passed_over():
    step = next(s for s in WALK.steps if s.proof.pattern.name == "skyscraper")
    singles = {p.conclusion() for p in deduce.find(step.before, ["hidden single", "naked single"])}
    assert singles == set()
    earlier = next(s for s in WALK.steps if s.proof.pattern.name == "hidden single")
    chain = next(p for p in deduce.find(earlier.before, ["X-chain", "XY-chain", "chain with both ends on one digit"]))
    there = {p.conclusion() for p in deduce.find(earlier.before, ["hidden single", "naked single"])}
    (judged,) = audit(earlier.before, [claim_of(chain)]).lines
    assert judged.verdict.kind is Kind.PROVED
    assert {p.conclusion() for p in judged.easier} == there
    (own,) = audit(earlier.before, [claim_of(earlier.proof)]).lines
    assert own.easier == ()


def test_eliminations_that_the_log_left_out():
    step = next(s for s in WALK.steps if len(s.proof.eliminates) > 1)
    said, _, rest = claim_of(step.proof).partition(" => ")
    first, _, others = rest.partition(", ")
    (judged,) = audit(step.before, [f"{said} => {first}"]).lines
    left = re.findall(r"r(\d)c(\d) <> (\d)", others)
    assert sorted(tokens(PUZZLE, judged.left_out)) == sorted(f"{d}r{r}c{c}" for r, c, d in left)


def test_a_true_move_with_a_broken_reason_is_still_made():
    found = audit(SMALL, ["r2c2 = 4: naked pair 12 r1c1 r1c2", "r2c1 = 2"])
    first, second = found.lines
    assert (first.verdict.kind, second.verdict.kind) == (Kind.BROKEN, Kind.PROVED)
    assert found.end.digit(2, 2) == 4


def test_lines_that_cannot_be_read_are_kept():
    found = audit(SMALL, "r2c1 = 2\nr2c1 == nine\n\n# the rest\nr9c9 = 1")
    assert [judged.error is not None for judged in found.lines] == [False, True, False, False, True]
    assert found.lines[1].error.line == 2
    assert found.lines[4].error.column == 2
    assert not found.flawless
    assert "Lines 2 and 5 cannot be read." in found.words()


def test_notes_between_moves_stale_missing_and_wrong_told_apart():
    notes = "13 {3} 2 4\n[2] 4 3 1\n34 34 1 234\n. 2 4 3"
    found = audit(SMALL, f"r2c1 = 2 by hidden single\n{notes}\nr2c2 = 4")
    report = found.lines[1].notes
    assert tokens(SMALL, report.lost) == ["1r1c2"]
    assert tokens(SMALL, [c for c, _ in report.forbidden]) == ["4r3c4"]
    assert [SMALL.layout.cell_name(cell) for cell in report.unfilled] == ["r4c1"]
    assert "Missing although it is the answer: 1 in r1c2." in found.words()


def test_a_candidate_crossed_out_earlier_but_still_noted_is_stale():
    step = next(s for s in WALK.steps if s.proof.pattern.name == "pointing pair")
    log = f"{claim_of(step.proof)}\n{step.before.pencil()}"
    report = audit(step.before, log).lines[1].notes
    assert report.stale == tuple(sorted(PUZZLE.number(c) for c in step.proof.eliminates))
    assert (report.forbidden, report.lost, report.missing) == ((), (), ())


def test_the_audit_as_data():
    found = audit(SMALL, ["r2c1 = 2", "r1c1 <> 3 # the slip", "nonsense"])
    told = json.loads(found.to_json())
    assert (told["format"], told["version"], told["first_wrong"]) == ("deduce-audit", "1.0", 2)
    assert (told["unreadable"], told["flawless"], told["solved"]) == (1, False, False)
    assert told["counts"] == {"proved": 1, "broken": 0, "refuted": 1, "unproved": 0}
    assert [line.get("verdict") for line in told["lines"]] == ["proved", "refuted", None]
    assert told["lines"][1]["comment"] == "# the slip"
    assert "counter_solution" not in told["lines"][1]
    assert told["lines"][2]["error"]["column"] == 1


class Page(HTMLParser):
    """Tags in order, and the text outside style."""

    def __init__(self, text):
        super().__init__()
        self.open, self.said, self.sources, self.classes = [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if tag == "img":
            assert found["alt"]
            self.sources.append(found["src"])
        if tag == "li":
            self.classes.append(found.get("class"))
        if tag not in ("meta", "link", "img", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] != "style":
            self.said.append(data)


def test_the_page_needs_nothing_beside_itself():
    found = audit(
        SMALL, ["r2c1 = 2 by hidden single", "r1c1 <> 3 # <a slip>", "r9c9 = 1", "", "(3)r1c1 = (1)r1c2 - (4)r2c2"]
    )
    page = Page(found.page())
    assert page.open == []
    assert page.classes == ["proved", "refuted", None, "broken"]
    assert all(source.startswith("data:image/svg+xml;base64,") for source in page.sources)
    said = " ".join(page.said)
    for sentence in ("The log first goes wrong in line 2.", "# <a slip>", "Unreadable", "Broken"):
        assert sentence in said
    assert "http" not in found.page().replace("http://www.w3.org", "")
    shown = found._repr_mimebundle_()
    assert shown["text/plain"] == found.words()
    assert Page(shown["text/html"]).classes == page.classes


def test_an_empty_log():
    found = audit(SMALL, "")
    assert (found.lines, found.flawless) == ((), True)
    assert "The log has no moves." in found.words()


def test_moves_can_be_taken_back_and_several_stand_on_a_line():
    log = "r2c1 = 2; r2c2 = 4 ; a good pair\nr1c1 <> 3\nundo\nnotes taken in row 1\nR2C1=2 (hidden single)"
    found = audit(SMALL, log)
    assert [judged.line.undoes for judged in found.lines] == [False, False, False, True, False, False]
    assert [judged.line.text.strip() for judged in found.lines][:2] == ["r2c1 = 2", "r2c2 = 4"]
    assert [judged.line.comment for judged in found.lines] == ["", "; a good pair", "", "", "notes taken in row 1", ""]
    undone = audit(SMALL, "r2c1 = 2; r2c2 = 4")
    assert found.end.live == undone.end.live
    assert audit(SMALL, "undo").lines[0].error is not None
    twice = audit(SMALL, "nonsense\nnonsense").words()
    assert twice.count("Cannot be read: ") == 1
    assert "Cannot be read, like line 1." in twice
