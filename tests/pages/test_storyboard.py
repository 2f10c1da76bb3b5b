"""Storyboards, animations and charts: what is written, and what is said where a package is missing."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pictures.positions import PI, thinned
from PIL import Image, ImageSequence
from strategies import minimal

import deduce
from deduce import Grid, Walk
from deduce.patterns import PLAIN, UNIQUE
from deduce.pictures import animate, chart
from deduce.pictures.scene import stages
from deduce.pictures.turns import turns
from deduce.words.en.explain import headline, notation

SMALL = (80, 45)


@cache
def walk() -> Walk:
    """Return a walk with singles, a chain and what follows from it."""
    cells = {"r1c4": "26", "r3c5": "46", "r7c5": "49", "r7c9": "29", "r1c9": "23", "r7c4": "27"}
    return deduce.walk(thinned(cells), ["hidden single", "naked single", "XY-chain"], budget=3)


def test_three_stages_of_a_step() -> None:
    for step in deduce.walk(Grid.parse(PI)).steps[:6]:
        before, pattern, result = stages(step)
        assert {note.role for note in before.notes} <= {"note"}
        assert before.areas == before.ties == ()
        assert before.digits == pattern.digits
        assert [note.needed for note in before.notes] == [note.needed for note in pattern.notes]
        assert len(result.digits) == len(before.digits) + len(step.proof.places)
        assert len({before.title, pattern.title, result.title}) == 3
        lost = {note.cell for note in before.notes} & {a.cells[0] for a in result.area("lost")}
        live = {(note.cell, note.digit) for note in result.notes}
        assert lost == {note.cell for note in before.notes if (note.cell, note.digit) not in live} - {
            digit.cell for digit in result.digits
        }


def test_what_a_step_opens_is_marked() -> None:
    step = walk().steps[0]
    assert step.proof.pattern.name == "XY-chain"
    result = stages(step)[2]
    opened = {f"{note.digit}{result.layout.cell_name(note.cell)}" for note in result.noted("opened")}
    assert opened == {"3r1c9", "7r7c4"}
    assert {str(c) for s in walk().steps[1:] for c in s.proof.places} == opened


def test_a_script_says_what_to_fill_in_point_at_say_and_write(tmp_path: Path) -> None:
    files = walk().storyboard(tmp_path, size=SMALL, notes="needed")
    frames = [file.name for file in files if re.match(r"\d{3}-", file.name)]
    script = (tmp_path / "script.md").read_text(encoding="utf-8")
    assert re.findall(r"\]\((.*?)\)", script) == frames
    for number, step in enumerate(walk().steps, 1):
        assert f"### Step {number} of 3: {headline(step.proof)}" in script
        assert f"**Write:** `{notation(step.proof)}`" in script or not notation(step.proof)
    assert "**Fill in first:** All notes of r1c4, r3c5, r7c5 and r7c9." in script
    assert "**Point at:** the chain in order: r1c4, then r3c5, then r7c5, then r7c9." in script
    for turn in turns(walk().steps[0])[1:]:
        assert turn.words.replace("\n", " ") in script


def test_notes_to_fill_in_are_named_once(tmp_path: Path) -> None:
    steps = deduce.walk(Grid.parse("12.. 34.. .... ..41"))
    steps.storyboard(tmp_path, size=SMALL)
    script = (tmp_path / "script.md").read_text(encoding="utf-8")
    filled = re.findall(r"\*\*Fill in first:\*\* (.*)", script)
    assert len(filled) == len(steps)
    scans = [name for line in filled for name in re.findall(r"\d in (?:row|column|box) \d", line)]
    assert len(scans) == len(set(scans)) == len({name for s in steps.steps for name in s.proof.premises})


def test_the_cells_of_a_swap_are_filled_in_first(tmp_path: Path) -> None:
    steps = deduce.walk(minimal("9x9", 10), [*PLAIN[:8], *UNIQUE, "XY-chain"], assume_unique=True)
    number = next(i for i, step in enumerate(steps.steps) if step.proof.swaps)
    step = steps.steps[number]
    replace(steps, start=step.before, steps=(step,)).storyboard(tmp_path, size=SMALL)
    script = (tmp_path / "script.md").read_text(encoding="utf-8")
    (filled,) = re.findall(r"\*\*Fill in first:\*\* (.*)", script)
    open_ = [c for c in step.proof.pattern.role("cells") if not step.before.true & step.before.layout.masks[c]]
    assert len(open_) >= 2
    for cell in open_:
        assert step.before.layout.cell_name(cell) in filled


def test_a_walk_without_steps_still_has_a_script(tmp_path: Path) -> None:
    files = deduce.walk(Grid.empty(), budget=0).storyboard(tmp_path, size=SMALL)
    assert [file.name for file in files][:2] == ["000-01-start.png", "001-01-end.png"]
    assert (tmp_path / "chapters.txt").read_text(encoding="utf-8") == "0:00 The puzzle\n"


@pytest.mark.parametrize("kind", ["gif", "webp"])
def test_one_step_is_animated_turn_by_turn(tmp_path: Path, kind: str) -> None:
    step = walk().steps[0]
    file = animate(step, tmp_path / f"step.{kind}", size=(240, 240), seconds=1.5)
    with Image.open(BytesIO(file.read_bytes())) as image:
        frames = [frame.convert("RGB").tobytes() for frame in ImageSequence.Iterator(image)]
        assert len(frames) == len(turns(step)) == len(set(frames))
        assert image.size == (240, 240)
        assert image.info["loop"] == 0
    with pytest.raises(ValueError, match=r"'mov'; give a name that ends in \.gif or \.webp"):
        animate(step, tmp_path / "step.mov")


def test_a_chart_shows_the_course_of_a_walk() -> None:
    figure = chart(deduce.walk(Grid.parse(PI)))
    upper, lower = figure.axes
    steps = deduce.walk(Grid.parse(PI)).steps
    heights = [bar.get_height() for bar in lower.patches]
    assert heights == [step.proof.effort for step in steps]
    left = list(upper.lines[0].get_ydata())
    assert left[0] == (steps[0].before.live & ~steps[0].before.true).bit_count()
    assert left[-1] == 0
    assert len(left) == len(steps) + 1
    assert list(upper.texts) == []
    stuck = walk().chart().axes[0]
    assert [text.get_text() for text in stuck.texts] == ["stuck here"]
    written = BytesIO()
    figure.savefig(written, format="svg")
    assert written.getvalue().startswith(b"<?xml")


@pytest.mark.parametrize(
    ("module", "package", "make"),
    [
        ("resvg_py", "resvg-py", lambda folder: walk().storyboard(folder / "board")),
        ("PIL.Image", "Pillow", lambda folder: animate(walk().steps[0], folder / "a.gif")),
        ("matplotlib.figure", "matplotlib", lambda _: walk().chart()),
    ],
)
def test_a_missing_package_is_named_with_the_way_out(monkeypatch, tmp_path: Path, module, package, make) -> None:
    monkeypatch.setitem(sys.modules, module, None)
    monkeypatch.setitem(sys.modules, "cairosvg.surface", None)
    with pytest.raises(ModuleNotFoundError, match=f"needs {package}; install it with: pip install") as caught:
        make(tmp_path)
    assert "deduce-proofs[pictures]" in str(caught.value)
    assert caught.value.name == module
    assert list(tmp_path.iterdir()) == [], "nothing is written halfway"


def test_pictures_load_no_optional_package() -> None:
    code = (
        "import sys, deduce; w = deduce.walk(deduce.Grid.parse('12.. 34.. .... ..41')); w.page(); "
        "w.steps[0].proof.picture(); "
        "print([m for m in ('PIL', 'matplotlib', 'resvg_py', 'cairosvg') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
