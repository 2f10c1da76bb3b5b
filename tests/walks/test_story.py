"""Order and story: where attention goes, what each step rests on, and how a walk is parted and told."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from pictures.positions import proof
from puzzle.problems import worked
from strategies import JIGSAW, LAYOUTS, positions

import deduce
from deduce.exchange import Document, schema, verify
from deduce.patterns.singles import HIDDEN, LAST, NAKED, SINGLES
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle
from deduce.walks import ChapterKind, dependency_graph, prune, story
from deduce.walks.attention import Attention
from deduce.walks.story import _shape
from deduce.words.en.names import in_words
from deduce.words.en.story import _likewise

DIAGONALS = Layout.parse("grid 9\ndiagonals\n")
GOLDEN = Path(__file__).with_name("stories.txt")
TOLD = {"hard": minimal_puzzle(104), "diagonals": minimal_puzzle(3, DIAGONALS), "irregular": minimal_puzzle(5, JIGSAW)}
READ = {
    **TOLD,
    "cages": minimal_puzzle(7, Layout.parse("grid 6\ncage r1c1 r1c2 r2c2 = 9\ncage r4c4 r4c5 r5c4 = 8\n")),
    "thermometers": minimal_puzzle(7, Layout.parse("grid 6\nr1c1 < r1c2 < r2c2 < r3c2\nr6c6 < r6c5 < r5c5\n")),
    "problem": deduce.Grid.from_problem(worked.market()),
}


@cache
def walk_of(name: str) -> deduce.Walk:
    return deduce.walk(READ[name])


@cache
def story_of(name: str) -> deduce.walks.Story:
    return walk_of(name).story()


def last_cells(grid: deduce.Grid) -> set[int]:
    """Return the cells that are the last open one of a house."""
    found = set()
    for house in grid.layout.houses:
        open_ = [cell for cell in house.cells if not grid.true & grid.layout.masks[cell]]
        if len(open_) == 1:
            found.update(open_)
    return found


# The order


@pytest.mark.parametrize("shape", LAYOUTS)
def test_a_last_open_cell_is_taken_first_and_told_as_that(shape):
    seen = 0
    for seed in range(8):
        for step in deduce.walk(minimal_puzzle(seed, LAYOUTS[shape])).steps:
            ending = last_cells(step.before)
            assert (step.proof.pattern.name == LAST) == bool(ending)
            if ending:
                seen += 1
                assert step.proof.pattern.role("placed")[0] % step.before.layout.cells in ending
    assert seen


@given(positions())
def test_attention_sees_every_single_that_finders_see(grid: deduce.Grid) -> None:
    """Whatever was in hand before, a single is taken as long as there is one, and each is one that finders offer."""
    for names in ((LAST,), (HIDDEN,), (NAKED,), (LAST, NAKED), SINGLES):
        offered = {
            (p.pattern.name, p.pattern.role("placed"), p.pattern.role("house")) for p in deduce.find(grid, names)
        }
        found = Attention(grid, names).single(grid)
        assert (found is None) == (not offered)
        if found is not None:
            everywhere = {
                (p.pattern.name, p.pattern.role("placed"), p.pattern.role("house"))
                for name in names
                for p in deduce.find(grid, [name])
            }
            assert (found.pattern.name, found.pattern.role("placed"), found.pattern.role("house")) in everywhere


@pytest.mark.parametrize("shape", LAYOUTS)
@pytest.mark.parametrize("patterns", [[NAKED], [LAST, NAKED], [HIDDEN], [*SINGLES, "naked pair", "X-wing"]])
def test_where_a_walk_ends_does_not_depend_on_the_order(shape, patterns):
    for seed in range(6):
        grid = minimal_puzzle(seed, LAYOUTS[shape])
        one, other = (deduce.walk(grid, patterns, order=order) for order in ("attention", "catalogue"))
        assert (one.grid, one.outcome) == (other.grid, other.outcome)


def test_an_order_that_is_none_is_refused():
    with pytest.raises(ValueError, match="order is 'random'; give one of 'attention', 'catalogue'"):
        deduce.walk(TOLD["hard"], order="random")


def test_consecutive_singles_mostly_share_a_house_or_digit():
    pairs = shared = 0
    for seed in range(70_000, 70_012):
        steps = deduce.walk(minimal_puzzle(seed)).steps
        for one, other in pairwise(steps):
            if one.proof.pattern.name in SINGLES and other.proof.pattern.name in SINGLES:
                layout = one.before.layout
                (a, cell), (b, far) = (divmod(s.proof.pattern.role("placed")[0], layout.cells) for s in (one, other))
                pairs += 1
                shared += a == b or layout.neighbours[cell] >> far & 1
    assert shared >= 0.9 * pairs


# The story


@pytest.mark.parametrize("name", TOLD)
def test_a_story_holds_each_needed_step_once(name):
    walked = walk_of(name)
    told = walked.story()
    assert told.walk == prune(walked)
    assert tuple(step.step for step in told.steps) == told.walk.steps
    assert [step.number for step in told.steps] == list(range(1, len(told.walk) + 1))
    assert len(told.walk) + len(told.left_out) == len(walked)
    assert all(any(step is one for one in walked.steps) for step in told.left_out)
    whole = story(walked, whole=True)
    assert (whole.walk, whole.left_out) == (walked, ())


@pytest.mark.parametrize("name", TOLD)
def test_causes_are_those_of_the_dependency_graph(name):
    told = story_of(name)
    graph = dependency_graph(told.walk)
    for step in told.steps:
        behind = {i + 1 for i in graph.predecessors(step.number - 1)}
        # A chain is told by links of which the sum may not need everything.
        assert behind <= {*step.rests_on} if step.step.proof.pattern.chain else behind == {*step.rests_on}
        assert all(step.number in told.steps[i - 1].gains for i in step.rests_on)
        assert all(step.number in told.steps[i - 1].rests_on for i in step.gains)
        if step.because is not None:
            assert step.because.number == max(step.rests_on)
            earlier = told.steps[step.because.number - 1].step
            new = {earlier.before.candidate(c) for c in bits(earlier.after.true & ~earlier.before.true)}
            assert {*step.because.placed} == new
            assert bool(new) != bool(step.because.gone)
            assert {*step.because.gone} <= {*earlier.proof.eliminates}
            assert step.words().startswith("Now ")
        assert (step.number - 1 in step.rests_on) <= (step.because is not None)


def test_no_idea_of_a_story_leads_nowhere():
    ideas = 0
    for seed in range(70_000, 70_020):
        told = deduce.walk(minimal_puzzle(seed)).story()
        for step in told.steps:
            ideas += not step.single
            assert step.single or step.gains
    assert ideas


@pytest.mark.parametrize("name", TOLD)
def test_chapters_and_runs(name):
    told = story_of(name)
    for number, chapter in enumerate(told.chapters):
        singles = [step.single for step in chapter.steps]
        if chapter.kind is ChapterKind.IDEA:
            assert singles == sorted(singles), "what an idea opens comes after it"
            assert not singles[0]
        else:
            assert all(singles)
            assert number == (len(told.chapters) - 1 if chapter.kind is ChapterKind.REST else 0)
            assert chapter.kind is not ChapterKind.WHOLE or len(told.chapters) == 1
        for step in chapter.steps:
            if step.run is not None:
                assert {*step.run.numbers} <= {one.number for one in chapter.steps}, "no run goes over a chapter's end"
                assert step.number in step.run.numbers
                cell = step.step.proof.pattern.role("placed")[0] % step.step.before.layout.cells
                digit = step.step.proof.pattern.role("placed")[0] // step.step.before.layout.cells + 1
                house = step.run.house
                assert digit == step.run.digit if house is None else house in step.step.before.layout.houses_of[cell]


def test_stories_read_as_they_did():
    """Stories by their lines; write the file anew where words were meant to change, and read it aloud."""
    told = "\n\n".join(f"# {name}\n\n{story_of(name).words('line')}" for name in READ)
    assert f"{told}\n" == GOLDEN.read_text(encoding="utf-8")


def test_titles_say_what_the_heaviest_step_of_a_chapter_does():
    titles = {name: [chapter.title for chapter in story_of(name).chapters] for name in READ}
    assert titles["hard"] == [
        "The opening: 14 cells by singles",
        "The naked pair that fills box 7",
        "The rest are singles: 42 cells",
    ]
    assert "The pointing pair that places four 5s" in titles["diagonals"]
    assert "The supposition that places two 4s" in titles["diagonals"]
    assert titles["cages"][1] == "The sum that places two 3s"
    assert titles["thermometers"][1] == "The rule that opens box 1"
    assert titles["problem"][1] == "The supposition that settles Bo"
    dead = deduce.walk(deduce.Grid.parse("123. ...4 .... ....")).story()
    assert dead.chapters[-1].title == "Contradiction: r1c4 has no candidate left"


def test_titles_take_away_nothing_that_stays():
    """What a title says is taken from cells is ruled out there by a step of its chapter."""
    seen = 0
    made = (deduce.walk(minimal_puzzle(seed)).story() for seed in (21, 26, 31, 44))
    for one in (*map(story_of, READ), *made):
        for chapter in one.chapters:
            told = re.fullmatch(r"The .* that takes ([\d, and]+) from (r\d+c\d+.*?)(, and more)?", chapter.title)
            if told is None:
                continue
            seen += 1
            wanted = {f"{d}{cell}" for d in re.findall(r"\d+", told[1]) for cell in re.findall(r"r\d+c\d+", told[2])}
            lost = [{*map(str, step.step.proof.eliminates)} for step in chapter.idea]
            assert any(wanted <= one and (wanted == one) == (told[3] is None) for one in lost), chapter.title
    assert seen >= 6


def test_a_round_of_the_rules_is_one_chapter():
    layout = deduce.Layout.parse("grid 6\ncage r1c1 r1c2 = 3\ncage r3c3 r3c4 = 11\nr6c1 < r6c2")
    walk = deduce.walk(deduce.Grid.empty(layout), ["sum bound", "one rule alone"])
    assert len(walk) > 1
    (chapter,) = walk.story(whole=True).chapters
    assert chapter.title == f"What the rules leave: {in_words(len(walk))} steps"
    one = deduce.walk(deduce.Grid.empty(layout), ["sum bound", "one rule alone"], 1).story(whole=True)
    assert [chapter.title for chapter in one.chapters] == ["The sum that takes 3 from r1c1 and r1c2"], (
        "one step keeps its name"
    )


def test_a_mirror_step_refers_to_its_twin():
    told = story_of("diagonals")
    twins = [step for step in told.steps if step.twin is not None]
    assert [step.number for step in twins] == [21, 22]
    assert twins[0].words() == "Likewise for 3, from r7c3 to r5c1, r5c2 or r5c3: r4c3 loses 3."
    for step in twins:
        one, other = step.step.proof, told.steps[step.twin - 1].step.proof
        assert (step.twin, one.pattern.name) == (step.number - 1, other.pattern.name)
        assert [link.strong for link in one.pattern.chain.links] == [link.strong for link in other.pattern.chain.links]
        assert step.words("full") == one.words(level="full"), "who asks for all has all"
    firsts = {chapter.steps[0].number for chapter in told.chapters}
    assert firsts.isdisjoint(step.number for step in twins), "the step before stands under another title"


def test_what_mirror_steps_are_told_by():
    def again(name: str) -> str:
        return _likewise(proof(name))

    assert again("naked pair").startswith("Likewise for 4 and 7 with r1c2 and r1c8 in row 1: r1c1, r1c3, ")
    assert again("skyscraper") == "Likewise for 5 in rows 2 and 7 and column 3: r1c9, r3c9, r8c8 and r9c8 lose 5."
    assert again("XY-wing") == "Likewise for 3 with r2c5, r5c5 and r5c8: r2c8 loses 3."
    assert again("chain that returns to its start") == "Likewise, from 5 in r1c1 back to it: r1c1 is 5."
    assert again("continuous loop").startswith(
        "Likewise, round 5 in r1c1, 5 in r1c5, 6 in r1c5, 6 in r9c5, 6 in r9c1 and 5 in r9c1: r1c5 loses 1, "
    )


def test_causes_of_what_holds_anyway_have_a_sentence_of_their_own():
    told = story_of("cages").words()
    assert "9. Now r1c3 has lost its 1 and 3. Box 1 totals 21, and the cage of " in told


def test_what_a_step_gains_stands_before_its_written_chain():
    told = story_of("problem").words()
    assert "coral cannot be 1. That leaves one place for 1 in amber, blue, coral and dun.\n   [" in told
    assert not re.search(r"(is|are) false That", told)


def test_names_of_variables_and_values_keep_their_spelling():
    told = deduce.walk(deduce.Grid.from_problem(worked.timetable())).story().words()
    assert "\n\nstars is Mon 10. Now that stars is Mon 10, Mon 11 goes to tides, then tools." in told
    assert "Stars" not in told


def test_a_story_in_paragraphs():
    told = deduce.walk(deduce.Grid.parse("..24......1..2..")).story()
    (chapter,) = told.chapters
    assert (chapter.kind, chapter.title) == (ChapterKind.WHOLE, "Singles all the way: 12 cells")
    assert chapter.words() == (
        "Box 2 is filled: 1 in r2c4, then 3 in r2c3. Box 4 is filled: 4 in r4c3, then 2 in r3c4, then 3 in r4c4. "
        "1 goes to r4c1, then r1c2. Now that r1c2 is 1, box 1 is filled: 3 in r1c1, then 2 in r2c1, then 4 in r2c2. "
        "Now that r2c1 is 2, box 3 is filled: 4 in r3c1, then 3 in r3c2."
    )
    assert told.words("full").count("\nNow ") == sum(step.because is not None for step in told.steps)


def test_what_leads_nowhere_is_said_to_be_left_out():
    told = story_of("hard")
    assert told.left_out
    assert (
        "Left out, since nothing needs it: " in told.words() or "Left out, since nothing needs them: " in told.words()
    )
    assert "Left out" not in story(walk_of("hard"), whole=True).words()


def test_walks_that_do_not_end_well_have_stories():
    stuck = deduce.walk(deduce.Grid.parse("12.. .... .... ....")).story()
    assert "No pattern that was tried finds anything" in stuck.words()
    dead = deduce.walk(deduce.Grid.parse("123. ...4 .... ....")).story()
    assert dead.chapters[-1].steps[-1].step.checked.contradiction
    assert "has no solution" in dead.words()
    done = deduce.walk(deduce.walk(deduce.Grid.parse("..24......1..2..")).grid).story()
    assert (done.chapters, done.steps) == ((), ())
    for told in (stuck, dead, done):
        jsonschema.validate(json.loads(told.to_json()), json.loads(schema("deduce-story")))


@pytest.mark.parametrize("name", TOLD)
def test_the_document_of_a_story(name):
    told = story_of(name)
    value = json.loads(told.to_json())
    jsonschema.validate(value, json.loads(schema("deduce-story")))
    document = Document.from_json(json.dumps(value["walk"]))
    assert [one.judgement.value for one in verify(document)] == ["verified"] * len(told.walk)
    steps = [step for chapter in value["chapters"] for step in chapter["steps"]]
    assert [step["rests on"] for step in steps] == [list(step.rests_on) for step in told.steps]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**value, "format": "deduce-proof"}, json.loads(schema("deduce-story")))
    with pytest.raises(ValueError, match="form is 'deduce-song'"):
        schema("deduce-song")


def test_suppositions_that_break_down_alike_are_told_once():
    grid = deduce.Grid.parse("8....61.35.6.......4.....9.....9......15...38..57..2..7.2.3.6..6....2.8......9...")
    steps = [step for step in deduce.walk(grid).steps if step.proof.pattern.name == "supposition"]
    assert len({_shape(step) for step in steps}) == len(steps) > 1
    proof = steps[0].proof
    (inference,) = proof.inferences
    other = replace(inference.argument, candidate=steps[1].proof.inferences[0].argument.candidate)
    alike = replace(steps[0], proof=replace(proof, inferences=(replace(inference, argument=other),)))
    assert _shape(alike) == _shape(steps[0])
    digit, cell = proof.eliminates[0].digit, proof.eliminates[0].cell
    assert _likewise(proof) == f"Suppose instead that {cell} is {digit}: the same follows, so {cell} loses {digit}."
