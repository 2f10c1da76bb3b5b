"""The stage in a real browser: every screen, a clicker through a whole walk, nothing given away, a speaker in step."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest
from pages.test_browser import CHROMIUM, FLAGS
from puzzle.problems import worked

import deduce
from deduce import Grid, Walk, counting
from deduce.pages.player import page
from deduce.pages.stage import shown
from deduce.patterns.catalogue import PLAIN
from deduce.puzzle.grid import grid_of
from deduce.solving.generate import minimal_puzzle
from deduce.walks.walk import Outcome, Step
from deduce.words.en.explain import headline
from deduce.words.en.names import capital
from deduce.words.en.shows import STAGE

PUZZLE = "9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32.."
SIZES = ((1280, 720), (1440, 900), (1920, 1080), (3840, 2160), (390, 844))

browsing = pytest.mark.skipif(not CHROMIUM.exists(), reason=f"these tests need a browser at {CHROMIUM}")
pytestmark = [pytest.mark.filterwarnings("ignore")]  # the driver's own warnings are not ours


@cache
def walk() -> Walk:
    """Singles in runs, locked candidates, and three chains of one link more than a pair."""
    return deduce.walk(deduce.walk(Grid.parse(PUZZLE), budget=9).grid, budget=11)


@cache
def html() -> str:
    return page(walk(), title="The night shift", author="A. Presenter")


@cache
def supposed() -> Walk:
    found, _ = counting.next_proof(deduce.walk(minimal_puzzle(6), PLAIN).grid, names=("supposition",))
    assert found is not None
    grid = grid_of(found)
    checked = deduce.check(grid, found)
    step = Step(grid, found, grid.moved(checked.after, found), checked)
    return Walk(grid, (step,), Outcome.BUDGET_SPENT, ("supposition",))


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS.split())
        yield opened
        opened.close()


class Hall:
    """A page that is shown, with what it requested and what its scripts complained about."""

    def __init__(self, browser, folder: Path, text: str = "", *, at: str = "#stage", size=(1280, 720), **more) -> None:
        file = folder / "page.html"
        file.write_text(text or html(), encoding="utf-8")
        self.address = file.as_uri()
        self.context = browser.new_context(viewport={"width": size[0], "height": size[1]}, **more)
        self.requests: list[str] = []
        self.errors: list[str] = []
        self.context.on("request", lambda request: self.requests.append(request.url))
        self.context.on("weberror", lambda error: self.errors.append(str(error.error)))
        self.page = self.context.new_page()
        self.page.goto(self.address + at)
        self.ready()

    def ready(self, page=None) -> None:
        (page or self.page).wait_for_function("document.documentElement.dataset.stage === 'ready'")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    @property
    def turn(self) -> str:
        return self.page.evaluate("location.hash")

    def told(self) -> str:
        """Everything that the document says anywhere: text, attributes, title and address."""
        return self.page.evaluate(
            "() => { const all = document.documentElement.cloneNode(true);"
            "all.querySelectorAll('style').forEach(e => e.remove());"
            "return document.title + ' ' + location.hash + ' ' + all.outerHTML }"
        )

    def boxes(self) -> dict[str, list[float]]:
        script = (
            "() => Object.fromEntries(['.stage-board svg', '.stage-title', '.stage-words', '.stage-key', "
            "'.stage-controls'].map(s => [s, document.querySelector(s).getBoundingClientRect()])"
            ".map(([s, b]) => [s, [b.left, b.top, b.right, b.bottom]]))"
        )
        return self.page.evaluate(script)


@pytest.fixture
def hall(browser, tmp_path) -> Iterator[Hall]:
    made = Hall(browser, tmp_path)
    yield made
    assert made.errors == []
    made.context.close()


def addresses() -> list[str]:
    found: list[str] = []
    place = 0
    last = -1
    for number, *_ in shown(walk()):
        place = place + 1 if number == last else 1
        found.append(f"#stage={number}.{place}")
        last = number
    return found


@browsing
@pytest.mark.parametrize("size", SIZES)
def test_board_and_words_fit_every_screen_and_nothing_jumps(browser, tmp_path, size) -> None:
    hall = Hall(browser, tmp_path, size=size)
    wide, high = size
    still = None
    for _ in addresses():
        boxes = hall.boxes()
        for name, (left, top, right, bottom) in boxes.items():
            assert min(left, top, wide - right, high - bottom) >= 0, (hall.turn, name)
        board, words = boxes[".stage-board svg"], boxes[".stage-words"]
        if wide > high:
            assert board[2] <= words[0], "side by side"
            assert board[3] - board[1] >= 0.9 * high, "as large as the window allows"
        else:
            assert board[3] <= words[1], "stacked"
            assert board[2] - board[0] >= 0.9 * wide
        place = (board, boxes[".stage-title"][:2])
        assert still in (None, place), "board and title stay where they are"
        still = place
        hidden, fits, letters = hall.page.evaluate(
            "() => { const e = document.querySelector('.stage-words'); return [e.scrollHeight - e.clientHeight, "
            "document.documentElement.scrollHeight <= innerHeight, parseFloat(getComputedStyle(e).fontSize)] }"
        )
        assert hidden <= 1, f"words are cut off at {hall.turn}"
        assert fits
        assert letters >= max(12.9, 0.021 * min(high, 0.5625 * wide)), "readable from the back"
        hall.press("PageDown")
    hall.context.close()


@browsing
@pytest.mark.parametrize("size", SIZES[:4])
def test_a_reader_sees_board_and_words_on_one_screen(browser, tmp_path, size) -> None:
    hall = Hall(browser, tmp_path, at="#walk1=0", size=size)
    seen = set()
    for number in range(len(walk()) + 2):
        found = hall.page.evaluate(
            "n => { const d = document.querySelectorAll('.deduce-frames > details')[n];"
            "return ['.deduce-told > img', '.deduce-told > div > p'].map(s => d.querySelector(s))"
            ".map(e => e.getBoundingClientRect()).map(b => [b.left, b.top, b.right, b.bottom]) }",
            number,
        )
        image, words = found
        assert max(image[2], words[2]) <= size[0], number
        assert max(image[3], words[3]) <= size[1], number
        assert image[2] <= words[0]
        seen.add((image[0], image[2]))
        assert hall.page.evaluate("document.documentElement.scrollHeight <= innerHeight")
        hall.press("PageDown")
    assert len(seen) == 1
    hall.context.close()


@browsing
def test_a_clicker_goes_through_the_whole_walk_and_back(hall: Hall) -> None:
    visited = [hall.turn]
    for _ in range(len(addresses()) - 1):
        hall.press("PageDown")
        visited.append(hall.turn)
    assert visited == addresses()
    hall.press("PageDown")
    assert hall.turn == addresses()[-1]
    for expected in reversed(addresses()[:-1]):
        hall.press("PageUp")
        assert hall.turn == expected


@browsing
def test_other_keys_of_the_stage(hall: Hall) -> None:
    hall.press("Space", "ArrowRight", "n")
    assert hall.turn == "#stage=1.3"
    hall.press("ArrowLeft", "Shift+Space")
    assert hall.turn == "#stage=1.1"
    hall.press("Alt+PageDown", "Alt+PageDown", "PageDown")
    assert hall.turn == "#stage=3.2"
    hall.press("Alt+PageUp", "Alt+PageUp")
    assert hall.turn == "#stage=2.1"
    hall.press("End")
    assert hall.turn == f"#stage={len(walk()) + 1}.1"
    hall.press("Home", "PageDown", "b")
    black = hall.page.locator(".stage-black")
    assert black.is_visible()
    hall.press("PageDown")
    assert not black.is_visible()
    assert hall.turn == "#stage=1.1", "the first press only brings the board back"
    hall.press(".")
    assert black.is_visible()
    hall.press(".", "Escape")
    assert hall.turn == "#walk1=1"
    assert hall.page.locator(".deduce-frames").is_visible()
    hall.press("f")
    assert hall.turn == "#stage=1.1"


@browsing
@pytest.mark.parametrize("outline", [False, True])
def test_nothing_is_given_away_before_its_turn(browser, tmp_path, outline) -> None:
    hall = Hall(browser, tmp_path)
    if outline:
        hall.press("o")
    steps = walk().steps
    rows = list(shown(walk()))
    for index, (number, _, _, words, _) in enumerate(rows):
        told = hall.told()
        kinds = [row[1] for row in rows[: index + 1] if row[0] == number]
        secret = [headline(step.proof) for step in steps[number:]]
        heard = {step.proof.pattern.name for step in steps[: number - 1]} if outline else set()
        if 1 <= number <= len(steps):
            name = steps[number - 1].proof.pattern.name
            if "name" in kinds:
                heard.add(name)
                assert capital(name) in told
            secret += [] if "falls" in kinds else [headline(steps[number - 1].proof)]
        secret += [capital(step.proof.pattern.name) for step in steps if step.proof.pattern.name not in heard]
        secret += [text.partition(": ")[2] for text in secret if ": " in text]
        # A sentence still to come, unless it has been said word for word.
        said = {row[3] for row in rows[: index + 1]}
        secret += [
            row[3] for row in rows[index + 1 :] if row[3] not in said and row[1] not in ("start", "where", "name")
        ]
        found = [text for text in secret if text in told and text not in words]
        assert found == [], (hall.turn, found)
        hall.page.evaluate("document.querySelector('.deduce-stage').focus()")
        hall.press("PageDown")
    hall.context.close()


@browsing
def test_a_turn_has_an_address_that_survives_a_reload(browser, tmp_path) -> None:
    hall = Hall(browser, tmp_path, at="#stage=8.5")
    assert hall.page.title() == "The night shift \u2013 Step 8: Skyscraper"
    before = hall.page.locator(".stage-words").inner_text()
    assert "r7c2" in before
    hall.page.reload()
    hall.ready()
    assert (hall.turn, hall.page.locator(".stage-words").inner_text()) == ("#stage=8.5", before)
    hall.page.evaluate("location.hash = '#stage=3.2'")
    hall.page.wait_for_function("document.title.includes('Step 3')")
    for odd, expected in (("#stage=999.9", addresses()[-1]), ("#stage=2.99", "#stage=2.5"), ("#stage=0", "#stage=0.1")):
        hall.page.goto("about:blank")
        hall.page.goto(hall.address + odd)
        hall.ready()
        assert hall.turn == expected
    assert hall.errors == []
    hall.context.close()


@browsing
def test_a_page_may_open_on_the_stage(browser, tmp_path) -> None:
    text = page(supposed(), title="Night & day", author="<A>", lang="en-GB", stage=True, theme="dark")
    hall = Hall(browser, tmp_path, text, at="")
    assert hall.turn == "#stage=0.1"
    assert hall.page.locator(".stage-title").inner_text() == "Night & day"
    assert hall.page.locator(".stage-kicker").inner_text() == "<A>"
    assert hall.page.evaluate("document.documentElement.lang") == "en-GB"
    assert hall.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(21, 23, 27)"
    kinds = [kind for _, kind, *_ in shown(supposed())]
    assert kinds.count("consequence") > 1
    for _ in kinds:
        hall.press("PageDown")
    assert hall.turn == "#stage=2.1"
    assert hall.errors == []
    hall.context.close()


@browsing
@pytest.mark.parametrize("made", [walk, supposed])
def test_bright_and_dark_by_the_system_and_by_the_button(browser, tmp_path, made) -> None:
    hall = Hall(browser, tmp_path, page(made()), at="#walk1=1", color_scheme="dark")
    paper = "getComputedStyle(document.body).backgroundColor"
    pictures = "Array.from(document.querySelectorAll('img'), i => atob(i.src.split(',')[1]).includes('#15171b'))"
    assert hall.page.evaluate(paper) == "rgb(21, 23, 27)"
    dark = hall.page.evaluate(pictures)
    assert len(dark) == html().count("<img ") if made is walk else len(dark) > 3
    assert all(dark)
    hall.page.get_by_role("button", name="Light").click()
    assert hall.page.evaluate(paper) == "rgb(255, 255, 255)"
    assert not any(hall.page.evaluate(pictures))
    hall.press("f")
    assert "#15171b" not in hall.page.locator(".stage-board").inner_html()
    hall.page.mouse.move(600, 500)
    hall.page.get_by_role("button", name="Dark").click()
    assert "#15171b" in hall.page.locator(".stage-board").inner_html()
    assert hall.errors == []
    hall.context.close()


@browsing
def test_a_speaker_is_in_step_with_the_stage(hall: Hall) -> None:
    hall.press("PageDown", "PageDown")
    with hall.context.expect_page() as opening:
        hall.press("s")
    desk = opening.value
    hall.ready(desk)
    desk.wait_for_function("document.querySelector('.speaker-state').textContent === 'In step with the stage'")
    at = "() => location.hash.replace(/^#\\w+=/, '').split('&')[0]"
    assert desk.evaluate(at) == "1.2"
    hall.press("PageDown")
    desk.wait_for_function(f"({at})() === '1.3'")
    desk.keyboard.press("PageDown")
    hall.page.wait_for_function("location.hash === '#stage=1.4'")
    desk.keyboard.press("b")
    hall.page.wait_for_function("!document.querySelector('.stage-black').hidden")
    desk.keyboard.press("b")
    hall.page.wait_for_function("document.querySelector('.stage-black').hidden")
    # What comes next, the fullest words, and what is to be filled in.
    proof = walk().steps[0].proof
    text = desk.locator(".deduce-speaker").inner_text()
    assert headline(proof) in text
    assert all(line.partition(". ")[2] in text for line in proof.words(level="full").split("\n"))
    assert "After the step" in text
    assert proof.premises[0] in text
    assert desk.locator(".speaker-clock").inner_text().startswith("0:")
    # A message without the secret moves nothing; a reload of the stage loses nothing.
    hall.page.evaluate("postMessage({deduce: 'speaker', at: 9, key: 'guess'}, '*')")
    hall.page.reload()
    hall.ready()
    assert hall.turn == "#stage=1.4"
    desk.keyboard.press("PageDown")
    hall.page.wait_for_function("location.hash === '#stage=1.5'")
    hall.press("PageDown")
    desk.wait_for_function(f"({at})() === '2.1'")
    hall.page.goto("about:blank")
    desk.wait_for_function("document.querySelector('.speaker-state').classList.contains('apart')", timeout=9000)
    assert desk.locator(".speaker-state").inner_text() == STAGE["apart"]


@browsing
@pytest.mark.parametrize(
    ("size", "scheme"),
    [((1280, 720), "light"), ((390, 844), "dark")]
    + [pytest.param(*other, marks=pytest.mark.thorough) for other in (((1280, 720), "dark"), ((390, 844), "light"))],
)
def test_axe_finds_nothing(browser, tmp_path, size, scheme) -> None:
    from axe_playwright_python.sync_playwright import Axe

    hall = Hall(browser, tmp_path, size=size, color_scheme=scheme, reduced_motion="reduce")
    for at in ("#walk1=8", "#stage", "#stage=8.5", "#stage=8.7", "#speaker=8.5", "outline"):
        hall.page.goto("about:blank")
        hall.page.goto(hall.address + (at if at.startswith("#") else "#stage=9.3"))
        hall.ready()
        if at == "outline":
            hall.press("o")
        else:
            hall.page.mouse.move(100, 100)
        found = Axe().run(hall.page).response
        assert found["passes"], at
        assert [(v["id"], v["nodes"][0]["html"][:200]) for v in found["violations"]] == [], at
    hall.context.close()


@browsing
def test_the_stage_requests_nothing(hall: Hall) -> None:
    hall.press(*["PageDown"] * 12, "o", "Escape", "Escape")
    assert [url for url in hall.requests if not url.startswith("data:")] == [hall.address]


@browsing
@pytest.mark.parametrize("size", SIZES)
def test_a_board_that_is_no_square_keeps_its_key_out_of_sight(browser, tmp_path, size) -> None:
    made = deduce.walk(Grid.from_problem(worked.square()), budget=3)
    hall = Hall(browser, tmp_path, page(made), at="#stage=2.4", size=size)
    left, top, right, bottom = hall.boxes()[".stage-board svg"]
    shape = hall.page.evaluate("document.querySelector('.stage-board svg').getAttribute('viewBox')").split()
    assert (right - left) / (bottom - top) == pytest.approx(float(shape[2]) / float(shape[3]), rel=0.01)
    assert hall.page.locator(".stage-key svg").is_visible()
    assert hall.errors == []
    hall.context.close()


@browsing
def test_runs_of_singles_play_as_one(hall: Hall) -> None:
    run = next(i for i, step in enumerate(walk().steps) if "single" not in step.proof.pattern.name)
    hall.page.clock.install()
    hall.press("PageDown", "r")
    hall.page.clock.run_for(900 * (run + 2))
    assert hall.turn == f"#stage={run}.5"
    _, _, concluded = headline(walk().steps[run - 1].proof).partition(": ")
    assert hall.page.locator(".stage-words").inner_text() == f"{concluded}."
    hall.press("PageDown", "r")
    assert hall.turn == f"#stage={run + 1}.1", "here is no run"


@browsing
def test_reduced_motion_is_honoured(browser, tmp_path) -> None:
    hall = Hall(browser, tmp_path, reduced_motion="reduce")
    for part in (".stage-controls", ".stage-rail i"):
        assert hall.page.evaluate(f"getComputedStyle(document.querySelector('{part}')).transitionDuration") == "0s"
    hall.press("PageDown", "r")
    assert hall.turn.endswith(".5")
    assert hall.turn != "#stage=1.5"
    hall.context.close()


@browsing
def test_notes_of_the_audience_can_be_chosen(hall: Hall) -> None:
    hall.page.goto(hall.address + "#stage=5.2")
    hall.page.reload()
    hall.ready()
    count = "document.querySelector('.stage-board svg').textContent.length"
    few = hall.page.evaluate(count)
    choice = hall.page.get_by_label(STAGE["notes"])
    choice.select_option("all notes")
    whole = hall.page.evaluate(count)
    choice.select_option("no notes")
    assert hall.page.evaluate(count) < few < whole
    assert len(STAGE["noteChoices"]) == 3


@browsing
def test_chapters_are_the_outline_and_start_a_sheet(browser, tmp_path, monkeypatch) -> None:
    steps = walk().steps
    parts = (SimpleNamespace(title="Opening", steps=steps[:4]), SimpleNamespace(title="Two chains", steps=steps[4:]))
    monkeypatch.setattr(Walk, "story", lambda _: SimpleNamespace(chapters=parts), raising=False)
    hall = Hall(browser, tmp_path, page(walk()), at="#stage=5.2")
    hall.press("o")
    outline = hall.page.locator(".stage-outline")
    assert outline.get_by_role("heading", level=3).all_inner_texts() == ["Opening", "Chapter 2"]
    assert outline.get_by_role("button").count() == 1 + 5
    assert outline.locator("[aria-current]").inner_text() == "Step 5"
    outline.get_by_role("button", name="2. ").first.click()
    assert hall.turn == "#stage=2.1"
    hall.press("End", "o")
    assert outline.get_by_role("heading", level=3).all_inner_texts() == ["Opening", "Two chains"]
    hall.press("Escape", "Escape")
    listed = hall.page.get_by_role("navigation", name="List of steps").locator(".deduce-chapter")
    assert listed.all_inner_texts() == ["Opening", "Two chains"]
    hall.page.emulate_media(media="print")
    breaks = "all => all.map(d => [getComputedStyle(d).breakBefore, getComputedStyle(d, '::before').content])"
    found = hall.page.locator("[data-chapter]").evaluate_all(breaks)
    assert found == [["page", '"Opening"'], ["page", '"Two chains"']]
    hall.context.close()


@browsing
def test_paper_gets_the_readers_page_bright_from_a_dark_stage_too(browser, tmp_path) -> None:
    hall = Hall(browser, tmp_path, at="#stage=8.5", color_scheme="dark")
    hall.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    hall.page.emulate_media(media="print")
    pictures = hall.page.locator(".deduce-frames > details img")
    assert pictures.count() == len(walk()) + 2
    assert all(pictures.evaluate_all("all => all.map(i => i.offsetWidth > 50)"))
    assert not any(pictures.evaluate_all("all => all.map(i => atob(i.src.split(',')[1]).includes('#15171b'))"))
    hall.page.evaluate("dispatchEvent(new Event('afterprint'))")
    hall.page.emulate_media(media="screen")
    assert hall.page.locator(".stage-board svg").is_visible()
    assert hall.turn == "#stage=8.5"
    assert hall.errors == []
    hall.context.close()


def test_notes_filled_in_stay_and_an_answer_is_never_alone() -> None:
    before: set[tuple[int, int]] = set()
    answer = {(digit.cell, digit.digit) for digit in list(shown(full()))[-1][4][1].digits}
    for number, kind, _, _, (few, whole) in shown(full()):
        if kind in ("start", "end"):
            continue
        notes = {(note.cell, note.digit) for note in few.notes}
        live = {(note.cell, note.digit) for note in whole.notes}
        assert notes <= live
        assert before & live <= notes, (number, kind, "a note has vanished")
        before = notes
        if kind in ("position", "where", "name", "link"):
            for cell in {cell for cell, _ in notes}:
                here = [note for note in notes if note[0] == cell]
                if len(here) == 1 and here[0] in answer:
                    assert [note for note in live if note[0] == cell] == here, (number, kind)


@cache
def full() -> Walk:
    return deduce.walk(Grid.parse(PUZZLE))


def test_ninety_steps_fit_into_the_size_promised() -> None:
    assert len(full()) > 80
    assert len(page(full()).encode()) / len(full()) * 90 < 1_200_000


def test_two_hash_seeds_give_the_same_bytes() -> None:
    code = (
        "import deduce, hashlib; from deduce.pages.player import page; "
        f"w = deduce.walk(deduce.Grid.parse({PUZZLE!r}), budget=20); "
        "print(hashlib.sha256(page(w).encode()).hexdigest())"
    )
    made = set()
    for seed in ("0", "1"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=environment)
        made.add(run.stdout)
    assert len(made) == 1


def test_an_unknown_theme_is_refused() -> None:
    with pytest.raises(ValueError, match="theme is 'neon'"):
        page(supposed(), theme="neon")


@browsing
@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080)])
def test_a_sum_comes_need_by_need_with_all_its_words_beside_its_table(browser, tmp_path, size) -> None:
    grid = deduce.walk(minimal_puzzle(6), PLAIN).grid
    proof, _ = counting.next_proof(grid, names=("counting argument",))
    assert proof is not None
    checked = deduce.check(grid, proof)
    step = Step(grid, proof, grid.moved(checked.after, proof), checked)
    told = page(Walk(grid, (step,), Outcome.BUDGET_SPENT, ()))
    hall = Hall(browser, tmp_path, told, at="#stage=1.4", size=size)
    seen = []
    for _ in range(8):
        whole = "e => [e.scrollHeight <= e.clientHeight + 1, e.getBoundingClientRect().bottom <= innerHeight]"
        assert hall.page.locator(".stage-words").evaluate(whole) == [True, True]
        seen.append(hall.page.locator(".stage-kicker").inner_text())
        drawn = hall.page.locator(".stage-key > svg").inner_html()
        assert (">missing<" in drawn) == ("What falls" in seen[-1])
        if "What falls" in seen[-1]:
            break
        hall.press("PageDown")
    assert [line.split(" \u00b7 ")[1] for line in seen] == [*(f"Need {n} of 6" for n in range(1, 7)), "What falls"]
    assert hall.errors == []
    hall.context.close()
