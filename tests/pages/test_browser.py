"""The page in a real browser: keys, toggles, links to steps, no request, accessibility, and what it looks like."""

from __future__ import annotations

import json
import re
from base64 import b64decode
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pictures.positions import PI

import deduce
from deduce import Grid, Walk
from deduce.pictures import page, walk_bundle

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
)
GOLDEN = Path(__file__).parent / "golden" / "page.png"

pytestmark = [
    pytest.mark.skipif(not CHROMIUM.exists(), reason=f"these tests need a browser at {CHROMIUM}"),
    pytest.mark.filterwarnings("ignore"),  # the driver's own warnings are not ours
]


@cache
def walk() -> Walk:
    grid = Grid.parse("9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32..")
    # A fixed list, so that the page stays the same when the catalogue grows.
    names = ["hidden single", "naked single", "pointing pair", "claiming pair"]
    return deduce.walk(grid, [*names, "naked pair", "hidden pair", "skyscraper", "XY-wing", "W-wing"], budget=40)


@cache
def chain_at() -> int:
    """Return the number of a step with a chain and with notes beside it."""
    return next(n for n, step in enumerate(walk().steps, 1) if step.proof.pattern.name == "skyscraper")


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS.split())
        yield opened
        opened.close()


class Seat:
    """A page that is shown, what it requested and what its scripts complained about."""

    def __init__(self, browser, tmp_path: Path, html: str, *, hash_: str = "", **options) -> None:
        file = tmp_path / "page.html"
        file.write_text(html, encoding="utf-8")
        self.context = browser.new_context(viewport={"width": 1100, "height": 1000}, **options)
        self.page = self.context.new_page()
        self.requests: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.address = file.as_uri()
        self.page.goto(self.address + hash_)

    def shown(self, player: int = 0) -> list[str]:
        """Return how the visible entries of a player begin."""
        script = (
            "n => Array.from(document.querySelectorAll('.deduce-frames')[n].children)"
            ".filter(d => !d.hidden).map(d => d.querySelector('summary').textContent.split(' ')[0])"
        )
        return self.page.evaluate(script, player)

    def picture(self, number: int) -> str:
        """Return the SVG that an entry shows now."""
        source = self.page.locator(".deduce-frames").first.locator("img").nth(number).get_attribute("src")
        return b64decode(source.removeprefix("data:image/svg+xml;base64,")).decode()


@pytest.fixture
def seat(browser, tmp_path) -> Iterator[Seat]:
    made = Seat(browser, tmp_path, page(walk()))
    yield made
    assert made.errors == []
    made.context.close()


def test_keys_step_through_the_walk(seat: Seat) -> None:
    press = seat.page.keyboard.press
    assert seat.shown() == ["Where"]
    said = []
    for key in ("ArrowRight", "ArrowRight", "ArrowLeft", "End", "ArrowRight", "Home"):
        press(key)
        said.append((seat.shown(), seat.page.get_by_role("status").inner_text()))
    last = len(walk())
    assert said == [
        (["1."], f"Step 1 of {last}"),
        (["2."], f"Step 2 of {last}"),
        (["1."], f"Step 1 of {last}"),
        (["Where"], "End"),
        (["Where"], "End"),
        (["Where"], "Start"),
    ]


def test_buttons_list_and_slider(seat: Seat) -> None:
    button = seat.page.get_by_role("button", name="Next")
    button.click()
    assert seat.shown() == ["1."]
    entries = seat.page.get_by_role("navigation", name="List of steps").get_by_role("button")
    assert entries.count() == len(walk()) + 2
    assert re.fullmatch(r"7\. .+: .+ \(effort \d+\)", entries.nth(7).inner_text())
    entries.nth(7).click()
    assert seat.shown() == ["7."]
    assert entries.nth(7).get_attribute("aria-current") == "step"
    seat.page.keyboard.press("ArrowDown")
    assert seat.shown() == ["8."]
    assert seat.page.evaluate("document.activeElement.textContent").startswith("8.")
    seat.page.get_by_role("slider").fill("3")
    assert seat.shown() == ["3."]
    seat.page.get_by_role("button", name="All steps").click()
    assert len(seat.shown()) == len(walk()) + 2
    seat.page.get_by_role("button", name="One step").click()
    assert seat.shown() == ["3."]


def test_play_moves_by_itself_and_pauses(seat: Seat) -> None:
    seat.page.clock.install()
    seat.page.get_by_role("button", name="Play").click()
    seat.page.clock.run_for(5100)
    assert seat.shown() == ["2."]
    seat.page.get_by_role("button", name="Pause").click()
    seat.page.clock.run_for(6000)
    assert seat.shown() == ["2."]
    assert seat.page.get_by_role("button", name="Play").count() == 1


def test_notes_and_links_can_be_taken_out_and_put_back(seat: Seat) -> None:
    number = chain_at()
    whole = seat.picture(number)
    assert "<!--links-->" in whole
    assert "<!--other notes-->" in whole
    links = seat.page.get_by_role("button", name="Links")
    links.click()
    assert links.get_attribute("aria-pressed") == "false"
    assert seat.picture(number) == re.sub(r"<!--links-->.*?<!--/links-->", "", whole, flags=re.DOTALL)
    links.click()
    assert seat.picture(number) == whole
    seat.page.get_by_label("Notes").select_option("needed notes")
    needed = seat.picture(number)
    assert needed == re.sub(r"<!--other notes-->.*?<!--/other notes-->", "", whole, flags=re.DOTALL)
    seat.page.get_by_label("Notes").select_option("no notes")
    assert "notes-->" not in seat.picture(number)
    assert "<!--links-->" in seat.picture(number)
    width = seat.page.locator(".deduce-frames img").nth(number).evaluate("image => image.naturalWidth")
    assert width > 0, "what is left is still a picture"


def test_a_step_has_an_address(browser, tmp_path) -> None:
    seat = Seat(browser, tmp_path, page(walk()), hash_="#walk1=5")
    assert seat.shown() == ["5."]
    seat.page.keyboard.press("ArrowRight")
    assert seat.page.url.endswith("#walk1=6")
    seat.page.evaluate("location.hash = '#walk1=2'")
    seat.page.wait_for_function("document.querySelector('[role=status]').textContent.startsWith('Step 2 ')")
    assert seat.shown() == ["2."]
    for odd in ("#walk1=99999", "#walk1=-1", "#walk1=x", "#else"):
        seat.page.goto("about:blank")
        seat.page.goto(seat.address + odd)
        assert seat.shown() == ["Where"]
    assert seat.errors == []
    seat.context.close()


def test_players_on_one_page_leave_one_another_alone(browser, tmp_path) -> None:
    short = deduce.walk(Grid.parse("12.. 34.. .... ..41"), budget=4)
    body = re.search(r"<main>(.*)</main>", page(short), re.DOTALL)
    assert body
    html = page(walk()).replace("</main>", body[1] + walk_bundle(short)["text/html"] + "</main>")
    seat = Seat(browser, tmp_path, html, hash_="#walk1=3&walk2=2")
    assert [seat.shown(n) for n in range(3)] == [["3."], ["2."], ["Where"]]
    seat.page.keyboard.press("ArrowRight")
    assert [seat.shown(n) for n in range(3)] == [["4."], ["2."], ["Where"]]
    seat.page.locator(".deduce-steps").nth(1).focus()
    seat.page.keyboard.press("ArrowRight")
    assert [seat.shown(n) for n in range(3)] == [["4."], ["3."], ["Where"]]
    seat.page.locator(".deduce-steps").nth(2).focus()
    seat.page.keyboard.press("End")
    assert [seat.shown(n) for n in range(2)] == [["4."], ["3."]]
    assert seat.page.url.endswith("#walk1=4&walk2=3")
    assert seat.errors == []
    seat.context.close()


def test_nothing_is_requested(seat: Seat) -> None:
    seat.page.keyboard.press("End")
    seat.page.get_by_role("button", name="All steps").click()
    seat.page.wait_for_timeout(200)
    assert [url for url in seat.requests if not url.startswith("data:")] == [seat.address]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(browser, tmp_path, scheme: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    seat = Seat(browser, tmp_path, page(walk()), hash_=f"#walk1={chain_at()}", color_scheme=scheme)
    found = Axe().run(seat.page).response
    assert found["passes"]
    assert [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")] == []
    seat.context.close()


def test_everything_can_be_reached_with_the_keyboard(seat: Seat) -> None:
    reached = []
    for _ in range(14):
        seat.page.keyboard.press("Tab")
        if seat.page.evaluate("document.activeElement === document.body"):
            break
        reached.append(seat.page.evaluate("document.activeElement.textContent || document.activeElement.type"))
        assert seat.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none", reached
    for wanted in ("Next", "Play", "All steps", "Links", "range", "Where it starts"):
        assert any(wanted in text for text in reached), (wanted, reached)


def test_without_scripts_the_page_is_a_complete_list(browser, tmp_path) -> None:
    seat = Seat(browser, tmp_path, page(walk()), java_script_enabled=False)
    assert seat.page.locator(".deduce-frames > details[open]").count() == len(walk()) + 2
    assert seat.page.locator(".deduce-frames > details img").last.is_visible()
    assert seat.page.get_by_role("button").count() == 0
    seat.context.close()


def test_on_paper_every_step_is_there_and_the_controls_are_not(seat: Seat) -> None:
    seat.page.emulate_media(media="print")
    visible = seat.page.locator(".deduce-frames > details").evaluate_all("all => all.map(d => d.offsetHeight > 50)")
    assert len(visible) == len(walk()) + 2
    seat.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert seat.page.locator(".deduce-frames > details[open]").count() == len(walk()) + 2
    assert all(seat.page.locator(".deduce-frames > details").evaluate_all("all => all.map(d => d.offsetHeight > 50)"))
    assert not seat.page.get_by_role("navigation").first.is_visible()


def test_the_page_looks_as_it_did(browser, tmp_path) -> None:
    # For gross change only: a thumbnail in grey, since fonts differ from machine to machine.  After a change on
    # purpose: look at the page, delete the file and run this test once to write it anew.
    from PIL import Image

    seat = Seat(browser, tmp_path, page(walk()), hash_=f"#walk1={chain_at()}")
    seat.page.wait_for_timeout(200)
    shot = Image.open(BytesIO(seat.page.screenshot())).convert("L").resize((55, 50))
    seat.context.close()
    if not GOLDEN.exists():
        shot.save(GOLDEN)
        pytest.fail(f"there was no {GOLDEN.name}; it has been written: look at it and run the test again")
    kept = Image.open(GOLDEN).convert("L")
    assert shot.size == kept.size
    now, then = shot.tobytes(), kept.tobytes()
    differs = sum(abs(a - b) for a, b in zip(now, then, strict=True)) / len(now)
    blank = sum(255 - b for b in then) / len(then)
    assert differs < min(12, blank * 0.6), "the page looks different: see the comment above"


def test_an_executed_notebook_shows_the_player_in_its_export(browser, tmp_path) -> None:
    import nbformat
    from nbclient import NotebookClient
    from nbconvert import HTMLExporter

    source = f"import deduce\nwalk = deduce.walk(deduce.Grid.parse({PI!r}), budget=5)\nwalk"
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source)])
    NotebookClient(notebook, timeout=300, kernel_name="python3").execute()
    data = notebook.cells[0].outputs[0]["data"]
    assert data["text/html"] == walk_bundle(deduce.walk(Grid.parse(PI), budget=5))["text/html"]
    html, _ = HTMLExporter().from_notebook_node(notebook)
    # The exporter's own page loads scripts from elsewhere; they are not ours and are not let out.
    trusted = Seat(browser, tmp_path, re.sub(r'<script src="http[^>]*></script>', "", html))
    player = trusted.page.locator(".deduce-steps")
    player.focus()
    player.press("ArrowRight")
    player.press("ArrowRight")
    assert trusted.shown() == ["2."]
    assert "walk1" not in trusted.page.url, "a notebook's address is not the player's to change"
    trusted.context.close()
    # A notebook that is not trusted loses the scripts and keeps the list.
    plain = re.sub(r"<script.*?</script>", "", html, flags=re.DOTALL)
    untrusted = Seat(browser, tmp_path, plain)
    assert untrusted.page.locator(".deduce-frames > details").count() == 7
    untrusted.page.locator(".deduce-frames > details > summary").nth(3).click()
    assert untrusted.page.locator(".deduce-frames > details").nth(3).locator("img").is_visible()
    untrusted.context.close()


@pytest.mark.parametrize("change", ["nothing", "a lie", "a step less", "another puzzle's document"])
def test_a_page_says_that_all_its_steps_are_checked_unless_its_document_was_touched(browser, tmp_path, change) -> None:
    html = page(walk(), author="Somebody")
    held = re.search(r'(<script type="application/json" class="deduce-document"[^>]*>\n)(.*?)(</script>)', html, re.S)
    assert held is not None
    value = json.loads(held[2])
    if change == "a lie":
        step = next(step for step in value["steps"] if "eliminates" in step)
        for listed in (step["eliminates"], step["argument"][0]["false"]):
            listed[0] = f"{int(listed[0][0]) % 9 + 1}{listed[0][1:]}"
    elif change == "a step less":
        del value["steps"][-1]
    elif change == "another puzzle's document":
        value = json.loads(deduce.walk(Grid.parse(PI)).to_json())
    text = held[2] if change == "nothing" else json.dumps(value)
    seat = Seat(browser, tmp_path, html.replace(held[0], held[1] + text.replace("<", "\\u003c") + held[3]))
    said = seat.page.locator("[data-deduce-checked]")
    if change == "nothing":
        assert said.inner_text() == f"All {len(walk())} steps checked in this browser."
    else:
        assert said.inner_text().startswith("Not checked: ")
        assert ("the document in this page was changed" in said.inner_text()) == (change != "a lie")
    assert ("deduce-refused" in said.get_attribute("class")) == (change != "nothing")
    assert said.is_visible()
    assert seat.errors == []
    seat.context.close()
