"""Another tool that renders proofs: a page whose script reads only the JSON, in a real browser."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from exchange.material import course, suppositions, swaps
from strategies import LAYOUTS

import deduce
from deduce.exchange import Document
from deduce.patterns import PLAIN
from deduce.positions import bits

ROOT = Path(__file__).parent.parent.parent
PAGE = ROOT / "notebooks" / "proof_viewer.html"
GOLDEN = Path(__file__).parent / "golden"
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-sync"

pytestmark = [
    pytest.mark.skipif(not CHROMIUM.exists(), reason=f"these tests need a browser at {CHROMIUM}"),
    pytest.mark.filterwarnings("ignore"),  # the driver's own warnings are not ours
]


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS.split())
        yield opened
        opened.close()


@pytest.fixture
def page(browser):
    """The page, opened; at the end nothing has been fetched and no script has failed."""
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    opened = context.new_page()
    requests, errors = [], []
    opened.on("request", lambda request: requests.append(request.url))
    opened.on("pageerror", lambda error: errors.append(str(error)))
    opened.goto(PAGE.as_uri())
    yield opened
    assert errors == []
    assert requests == [PAGE.as_uri()]
    context.close()


def give(page, tmp_path, text):
    """Choose a file on the page, as a person would."""
    path = tmp_path / f"given-{len(list(tmp_path.iterdir()))}.json"  # one name twice is no change to a browser
    path.write_text(text, encoding="utf-8")
    before = page.evaluate("document.body.dataset.loads")
    page.set_input_files("#file", str(path))
    page.wait_for_function("before => document.body.dataset.loads !== before", arg=before)


POSITIONS = """() => shown.positions.map(position => ({
    notes: position.notes.map(digits => [...digits].sort((a, b) => a - b)),
    placed: [...position.placed].map(([cell, one]) => [cell, one.digit]).sort((a, b) => a[0] - b[0]),
}))"""


DRAWN = """number => {
    show(number);
    const all = what => [...document.querySelectorAll("#drawing " + what)];
    return {
        strong: all("[data-link=strong]").length,
        weak: all("[data-link=weak]").length,
        eliminated: all("[data-mark=eliminated]").length,
        placed: all("rect[data-mark=placed]").length,
        cells: all("[data-cell]").map(one => one.dataset.cell),
        notes: all(".note").length,
        story: document.getElementById("story").textContent,
    };
}"""


def position_of(grid):
    cells = grid.layout.cells
    return {
        "notes": [[c // cells for c in bits(grid.live & grid.layout.masks[v])] for v in range(cells)],
        "placed": sorted([c % cells, c // cells] for c in bits(grid.true)),
    }


def documents():
    # The page draws squares without rules, and one digit a cell; the made-up document puts two givens into one.
    other = ("features", "rules", "problem", "timetable")
    paths = [path for path in sorted(GOLDEN.glob("*.json")) if not path.name.startswith(other)]
    yield from (Document.from_json(path.read_text(encoding="utf-8")) for path in paths)
    yield from (course(shape, 5) for shape in LAYOUTS)
    yield Document.of_proof(course("9x9", 31).proofs[-9])
    nearly_empty = deduce.Grid.empty(deduce.Layout.standard(16)).without(["Gr1c1"])
    yield Document.of_walk(deduce.walk(nearly_empty, PLAIN, budget=1))
    yield Document.of_proof(suppositions("6x6", 1)[0])
    yield Document.of_proof(swaps()[4])


def test_the_page_works_out_every_position_as_the_library_does(page, tmp_path):
    for document in documents():
        give(page, tmp_path, document.to_json())
        assert page.text_content("#problem") == ""
        found = page.evaluate(POSITIONS)
        expected = [position_of(proof.grid) for proof in document.proofs]
        assert found[: len(expected)] == expected
        assert found[0] == position_of(document.start)
        assert len(found) == len(expected) + 1


def test_a_step_is_drawn_from_its_roles(page):
    document = Document.from_json((GOLDEN / "walk-1.0.json").read_text(encoding="utf-8"))
    names = page.eval_on_selector_all("#steps button", "all => all.map(one => one.textContent)")
    assert names == [f"{n}. {proof.pattern.name}" for n, proof in enumerate(document.proofs, 1)]
    for number, proof in enumerate(document.proofs):
        drawn = page.evaluate(DRAWN, number)
        links = proof.pattern.chain.links if proof.pattern.chain else ()
        assert drawn["strong"] == sum(link.strong for link in links)
        assert drawn["weak"] == sum(not link.strong for link in links)
        assert drawn["eliminated"] == len(proof.eliminates)
        assert drawn["placed"] == len(proof.places)
        roles = [role for role in proof.pattern.roles if role.kind == "cells"]
        assert sorted(drawn["cells"]) == sorted(proof.grid.layout.cell_name(v) for role in roles for v in role.items)
        assert drawn["notes"] == (proof.grid.live & ~proof.grid.true).bit_count()
        assert proof.pattern.name in drawn["story"]


def test_a_weak_link_is_dashed_and_a_strong_one_double(page):
    number = next(n for n, p in enumerate(Document.from_json(sample()).proofs) if p.pattern.chain)
    page.evaluate("n => show(n)", number)
    weak = page.locator("[data-link=weak]").first
    assert weak.get_attribute("stroke-dasharray")
    strong = page.locator("[data-link=strong]").first
    assert strong.get_attribute("stroke-dasharray") is None
    over = page.evaluate("one => one.nextSibling.getAttribute('stroke')", strong.element_handle())
    assert over == "#FFFFFF"


def test_marks_stand_on_their_candidates(page):
    """The stroke through an eliminated candidate crosses the note that it strikes out."""
    document = Document.from_json(sample())
    for number, proof in enumerate(document.proofs):
        if not proof.eliminates or number % 3:
            continue
        page.evaluate("n => show(n)", number)
        marks = page.evaluate(
            """() => [...document.querySelectorAll('[data-mark=eliminated]')].map(mark => {
                const box = mark.getBoundingClientRect(), x = box.x + box.width / 2, y = box.y + box.height / 2;
                const note = [...document.querySelectorAll('.note')].find(one => {
                    const b = one.getBoundingClientRect();
                    return b.left <= x && x <= b.right && b.top <= y && y <= b.bottom;
                });
                return note && note.textContent;
            })"""
        )
        assert marks == [str(candidate.digit) for candidate in proof.eliminates]


def sample():
    """The document inside the page."""
    text = PAGE.read_text(encoding="utf-8")
    return re.search(r'<script type="application/json" id="sample">\n(.*?)</script>', text, re.DOTALL)[1]


def test_the_embedded_sample_is_a_good_document():
    document = Document.from_json(sample())
    position = document.start
    for proof in document.proofs:
        position = position.moved(deduce.check(position, proof).after)
    assert position.solved


def test_keys_and_buttons_move_between_steps(page):
    count = len(Document.from_json(sample()).proofs)
    page.keyboard.press("Home")
    assert page.text_content("#where") == f"Step 1 of {count}"
    assert page.is_disabled("#back")
    page.keyboard.press("ArrowRight")
    page.click("#on")
    assert page.text_content("#where") == f"Step 3 of {count}"
    page.keyboard.press("End")
    assert page.text_content("#where") == f"Step {count} of {count}"
    page.keyboard.press("ArrowLeft")
    assert page.text_content("#steps [aria-current]").startswith(f"{count - 1}. ")
    page.click("#steps button >> nth=4")
    assert page.text_content("#where") == f"Step 5 of {count}"


def test_what_is_no_proof_document_is_said_to_be_none(page, tmp_path):
    good = course("4x4", 1).to_json()
    for text in (
        "{",
        "[]",
        good.replace('"2.0"', '"3.0"'),
        good.replace("deduce-proof", "x"),
        good.replace("r1c", "r9c"),
    ):
        give(page, tmp_path, text)
        assert "This is no proof document: " in page.text_content("#problem")
    give(page, tmp_path, good)
    assert page.text_content("#problem") == ""


def test_a_file_can_be_dropped(page):
    page.evaluate(
        """text => {
            const held = new DataTransfer();
            held.items.add(new File([text], "dropped.json"));
            document.dispatchEvent(new DragEvent("drop", { dataTransfer: held, bubbles: true, cancelable: true }));
        }""",
        course("6x6", 2).to_json(),
    )
    page.wait_for_function("() => shown.layout.order === 6")
    assert f"of {len(course('6x6', 2).proofs)}" in page.text_content("#where")


def test_a_name_from_a_stranger_is_shown_as_text(page, tmp_path):
    text = course("4x4", 1).to_json().replace('"hidden single"', '"<img src=x onerror=window.hit=1>"')
    give(page, tmp_path, text)
    assert "<img" in page.text_content("#story")
    assert page.evaluate("window.hit") is None


def test_the_viewer_holds_the_checker_as_it_is(page, tmp_path):
    from deduce.pages.checked import script, with_checker

    held = PAGE.read_text(encoding="utf-8")
    assert f"<!-- checker -->\n{script()}<!-- /checker -->" in held, f"run: python -m deduce.pages.checked {PAGE}"
    old = tmp_path / "old.html"
    old.write_text(held.replace("function sum(text)", "function total(text)"), encoding="utf-8")
    assert with_checker(old.read_text(encoding="utf-8")) == held
    subprocess.run([sys.executable, "-m", "deduce.pages.checked", str(old)], check=True)
    assert old.read_text(encoding="utf-8") == held
    count = page.evaluate("shown.steps.length")
    assert page.text_content("#checked") == f"All {count} steps checked in this browser."


def test_a_foreign_document_is_checked_as_it_is_dropped(page, tmp_path):
    text = (GOLDEN / "walk-2.0.json").read_text(encoding="utf-8")
    give(page, tmp_path, text)
    assert page.text_content("#checked") == "All 70 steps checked in this browser."
    value = json.loads(text)
    number, step = next((n, step) for n, step in enumerate(value["steps"], 1) if "eliminates" in step)
    for held in (step["eliminates"], step["argument"][0]["false"]):
        held[0] = f"{int(held[0][0]) % 9 + 1}{held[0][1:]}"
    give(page, tmp_path, json.dumps(value))
    assert page.text_content("#checked").startswith(f"Not checked: step {number}: ")
    assert page.locator("#checked.deduce-refused").count() == 1
    give(page, tmp_path, (GOLDEN / "timetable-2.0.json").read_text(encoding="utf-8"))
    assert page.text_content("#checked") == "All 9 steps checked in this browser."
    assert page.text_content("#problem").startswith("This document cannot be drawn here: ")


def test_a_page_says_that_its_own_document_is_checked_unless_it_was_touched(browser, tmp_path):
    from deduce.pages.checked import embed
    from deduce.pages.frame import document

    text = course("9x9", 5).to_json()
    assert embed(text + "</script>").count("</script>") == 2
    whole = document("A walk", f"<p data-deduce-checked></p>{embed(text)}")
    count = len(json.loads(text)["steps"])
    token = re.search(r'"true":\["(.*?)"', text)[1]
    touched = whole.replace(token, f"{int(token[0]) % 9 + 1}{token[1:]}")
    for name, content in (("good", whole), ("touched", touched)):
        (tmp_path / f"{name}.html").write_text(content, encoding="utf-8")
        opened = browser.new_page()
        opened.goto((tmp_path / f"{name}.html").as_uri())
        said = opened.text_content("[data-deduce-checked]")
        assert (said == f"All {count} steps checked in this browser.") == (name == "good"), said
        assert said.startswith("Not checked: ") == (name == "touched")
        opened.close()
