"""The recording kit: sizes, times, captions, chapters, selection, and what each file says."""

from __future__ import annotations

import json
import re
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
import srt
import webvtt
from pictures.positions import counted, thinned
from PIL import Image, ImageChops
from strategies import minimal

import deduce
from deduce import Walk
from deduce.__main__ import main
from deduce.counting.names import COUNTING
from deduce.pages.raster import opened, pixels, png
from deduce.pages.stills import Frame
from deduce.pages.storyboard import animate, shots, storyboard
from deduce.pages.timing import LINE, Pace, captions, durations, words_in
from deduce.pictures import scene_of
from deduce.pictures.scene import of_grid
from deduce.pictures.turns import turns

SMALL = (320, 180)
SCHEMA = Path(deduce.__file__).parent / "pages" / "deduce-kit-1.schema.json"


@cache
def walk() -> Walk:
    """Return a walk with a chain and two singles that follow from it."""
    cells = {"r1c4": "26", "r3c5": "46", "r7c5": "49", "r7c9": "29", "r1c9": "23", "r7c4": "27"}
    return deduce.walk(thinned(cells), ["hidden single", "naked single", "XY-chain"], budget=3)


@cache
def long() -> Walk:
    """Return a whole walk."""
    return deduce.walk(minimal("9x9", 10))


def manifest(folder: Path) -> dict:
    """Read the manifest of a kit, by its schema."""
    value = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    jsonschema.validate(value, json.loads(SCHEMA.read_text(encoding="utf-8")))
    return value


def test_a_kit_has_all_its_files_and_every_frame_one_size(tmp_path: Path) -> None:
    files = walk().storyboard(tmp_path / "kit", size=SMALL, theme="dark", overlays=True)
    told = manifest(tmp_path / "kit")
    names = [frame["file"] for frame in told["frames"]]
    assert names == sorted(names)
    assert names[:2] == ["000-01-start.png", "001-02-where.png"]
    assert "001-04-link-xy-chain.png" in names
    assert names[-3:] == ["002-01-placed-naked-single.png", "003-01-placed-naked-single.png", "004-01-end.png"]
    texts = {"script.md", "chapters.txt", "captions.srt", "captions.vtt", "manifest.json", "frames.ffconcat"}
    made = {str(file.relative_to(tmp_path / "kit")) for file in files}
    assert made == {*names, *(f"overlays/{name}" for name in names), *texts, "sheet.png", "card.png"}
    assert made == {str(f.relative_to(tmp_path / "kit")) for f in (tmp_path / "kit").rglob("*") if f.is_file()}
    for file in files:
        if file.suffix == ".png" and file.name != "sheet.png":
            assert opened(file.read_bytes()).size == SMALL, file
    frames = [opened((tmp_path / "kit" / name).read_bytes()) for name in names]
    assert {frame.getpixel((0, 0)) for frame in frames} == {(0x15, 0x17, 0x1B)}, "the paper of the dark theme"
    assert len({frame.tobytes() for frame in frames}) == len(frames)


def test_each_link_of_a_chain_has_a_frame(tmp_path: Path) -> None:
    step = walk().steps[0]
    here = list(shots(walk(), [1]))
    assert [shot.kind for shot in here] == [turn.kind for turn in turns(step)]
    links = [shot for shot in here if shot.kind == "link"]
    assert len(links) == len(step.proof.pattern.chain.links) > 4
    assert all(re.match(r"\(\d\)r\dc\d", shot.shown) and "(" not in shot.said for shot in links)
    assert not any("XY-chain" in shot.title + shot.said + shot.file for shot in here[:2]), "nothing is given away"


def test_boards_stand_at_one_place_whatever_is_beside_them() -> None:
    frame = Frame(640, 360)
    first, last = shots(walk(), [1]), [*shots(walk(), [1])][-2]
    plain = next(first)
    images = [pixels(frame.svg(shot.scene, shot.title, shot.shown)) for shot in (plain, last)]
    differ = ImageChops.difference(*images).crop((0, 60, 350, 360)).getbbox()
    spots = (
        ImageChops.difference(images[0], Image.new("RGB", images[0].size, "white")).crop((0, 60, 350, 360)).getbbox()
    )
    assert differ is not None
    assert differ[2] - differ[0] < spots[2] - spots[0]
    for x in range(40):
        assert images[0].getpixel((x, 200)) == images[1].getpixel((x, 200))


@pytest.mark.parametrize("size", [(640, 360), (360, 360), (360, 640)])
def test_nothing_is_drawn_outside_the_inner_nine_tenths(size: tuple[int, int]) -> None:
    last = [*shots(walk(), [1])][-2]
    image = pixels(Frame(*size).svg(last.scene, last.title * 3, last.shown * 8, "Step 1 of 3"))
    box = ImageChops.difference(image, Image.new("RGB", size, "white")).getbbox()
    assert box is not None
    assert box[0] >= size[0] * 0.05 - 1
    assert box[1] >= size[1] * 0.05 - 1
    assert box[2] <= size[0] * 0.95 + 2
    assert box[3] <= size[1] * 0.95 + 2


def test_both_rasterisers_draw_the_same_board(monkeypatch: pytest.MonkeyPatch) -> None:
    last = [*shots(walk(), [1])][-2]
    drawn = Frame(960, 540).svg(last.scene, last.title, last.shown)
    first = pixels(drawn)
    monkeypatch.setitem(__import__("sys").modules, "cairosvg.surface", None)
    second = pixels(drawn)
    assert first.size == second.size == (960, 540)
    boards = [image.convert("L").crop((50, 70, 500, 520)) for image in (first, second)]
    blurred = [board.resize((45, 45), Image.Resampling.BOX) for board in boards]
    assert max(ImageChops.difference(*blurred).tobytes()) < 60, "digits and notes stand in the same places"


def test_the_palette_of_a_theme_keeps_its_colours() -> None:
    for theme in ("light", "dark", "print"):
        last = [*shots(walk(), [1])][-2]
        whole = pixels(Frame(640, 360, theme).svg(last.scene, last.title, last.shown))
        painted = opened(png(whole, theme))
        assert painted.getpixel((0, 0)) == whole.getpixel((0, 0))
        lows = ImageChops.difference(painted, whole).convert("L").histogram()
        assert sum(lows[40:]) < 0.004 * 640 * 360


def test_the_table_of_a_long_sum_leaves_room_for_the_words() -> None:
    scene = scene_of(counted(COUNTING))
    assert scene.tally is not None
    rows = tuple(f"{digit} in row {row}" for digit in "123" for row in range(1, 10))
    long = replace(scene, tally=replace(scene.tally, needs=rows, numbers=tuple(range(len(rows)))))
    words = "These words can be read."
    drawn = Frame().svg(long, "A sum", words)
    size = re.search(rf'font-size="([\d.]+)"[^>]*>{words[:10]}', drawn)
    assert size is not None
    assert float(size[1]) == 36, "the words keep their size"
    assert all(f">{row}</text>" in drawn for row in rows)


def test_an_overlay_is_the_marks_alone() -> None:
    shot = [*shots(walk(), [1])][-2]
    frame = Frame(640, 360)
    clear = pixels(frame.overlay(shot.scene), clear=True)
    assert clear.mode == "RGBA"
    assert clear.getpixel((0, 0))[3] == 0
    covered = sum(clear.getchannel("A").histogram()[1:])
    assert 0 < covered < 0.15 * 640 * 360
    empty = pixels(frame.overlay(of_grid(walk().start)), clear=True)
    assert empty.getchannel("A").getbbox() is None


@pytest.mark.parametrize(("minutes", "steps"), [(6.5, None), (2.0, range(1, 13))])
def test_a_target_length_is_met(tmp_path: Path, minutes: float, steps: range | None) -> None:
    long().storyboard(tmp_path, size=(64, 36), minutes=minutes, steps=steps)
    told = manifest(tmp_path)
    assert "note" not in told
    assert told["seconds"] == pytest.approx(60 * minutes, rel=0.02)
    clock = 0.0
    for frame in told["frames"]:
        assert frame["start"] == pytest.approx(clock, abs=0.011)
        assert frame["seconds"] >= 1
        assert round(frame["seconds"] * 25, 6) == round(frame["seconds"] * 25)
        clock += frame["seconds"]
    assert clock == pytest.approx(told["seconds"])
    lasting = re.findall(r"duration ([\d.]+)", (tmp_path / "frames.ffconcat").read_text())
    assert sum(map(float, lasting)) == pytest.approx(60 * minutes, rel=0.02)
    assert lasting[-4:] == ["0.04"] * 4, "ffmpeg shows the last picture for the middle one of three durations"


def test_a_target_that_cannot_be_met_is_told_why(tmp_path: Path) -> None:
    long().storyboard(tmp_path / "short", size=(64, 36), minutes=0.1, steps=range(1, 7))
    note = manifest(tmp_path / "short")["note"]
    assert note.startswith("This is not 0:06: even at 190 words a minute")
    assert note in (tmp_path / "short" / "script.md").read_text()
    long().storyboard(tmp_path / "long", size=(64, 36), minutes=300, steps=range(1, 7))
    assert "takes only" in manifest(tmp_path / "long")["note"]


def test_less_is_told_before_a_target_is_given_up() -> None:
    said = ["one two three four five six seven"] * 10
    lengths, pace, note = durations(said, Pace(140, 0.8), 0.6)
    assert (pace.rate, note) == (140, "")
    assert sum(lengths) == pytest.approx(36, rel=0.02)
    lengths, pace, note = durations(said, Pace(140, 0.8), 0.5)
    assert 140 < pace.rate < 190
    assert pace.pause == pytest.approx(0.3)
    assert sum(lengths) == pytest.approx(30, rel=0.02)
    assert not note
    assert words_in("r1c2 is 3") == 4


def test_captions_are_valid_and_follow_what_is_said(tmp_path: Path) -> None:
    walk().storyboard(tmp_path, size=(64, 36))
    told = manifest(tmp_path)
    lines = [*srt.parse((tmp_path / "captions.srt").read_text(encoding="utf-8"), ignore_errors=False)]
    cues = webvtt.read(str(tmp_path / "captions.vtt"))
    assert len(lines) == len(cues) > len(told["frames"])
    assert [line.index for line in lines] == [*range(1, len(lines) + 1)]
    for line, cue in zip(lines, cues, strict=True):
        assert line.content == cue.text
        seconds = (line.end - line.start).total_seconds()
        assert 1 <= round(seconds, 3) <= 7
        assert cue.start_in_seconds == pytest.approx(line.start.total_seconds(), abs=1)
        assert len(line.content.splitlines()) <= 2
        assert max(map(len, line.content.splitlines())) <= LINE
    for one, other in pairwise(lines):
        assert one.end <= other.start
    assert " ".join(" ".join(line.content.split()) for line in lines) == " ".join(
        " ".join(frame["say"].split()) for frame in told["frames"]
    )
    assert lines[-1].end.total_seconds() <= told["seconds"] + 0.01


def test_captions_of_a_whole_walk_keep_to_their_limits() -> None:
    said = [shot.said for shot in shots(long())]
    lengths, pace, _ = durations(said, Pace())
    for caption in captions(said, lengths, pace.rate):
        assert 0.99 <= caption.end - caption.start <= 7.001
        assert caption.text.count("\n") <= 1
        assert max(map(len, caption.text.split("\n"))) <= LINE
        assert len(caption.text) / (caption.end - caption.start) <= 21


def test_chapters_begin_at_nought_and_say_something(tmp_path: Path) -> None:
    long().storyboard(tmp_path, size=(64, 36))
    marks = [line.split(" ", 1) for line in (tmp_path / "chapters.txt").read_text(encoding="utf-8").splitlines()]
    assert marks[0][0] == "0:00"
    times = [60 * int(time.split(":")[0]) + int(time.split(":")[1]) for time, _ in marks]
    assert all(later - earlier >= 9 for earlier, later in pairwise(times)), "a mark is printed in whole seconds"
    titles = [title for _, title in marks]
    assert len(set(titles)) == len(titles)
    assert all(":" in title or (title.startswith("The ") and " that " in title) for title in titles)
    assert any(" that " in title for title in titles)
    assert [chapter["title"] for chapter in manifest(tmp_path)["chapters"]] == titles


def test_singles_are_told_in_series_runs_or_turns() -> None:
    every = [number for number, step in enumerate(long().steps, 1) if "single" in step.proof.pattern.name]
    series = [shot for shot in shots(long()) if shot.kind == "placed"]
    assert [shot.number for shot in series] == [s.number for s in long().story(whole=True).steps if s.single]
    assert set(every) <= {shot.number for shot in series}
    runs = [shot for shot in shots(long(), singles="runs") if shot.kind == "placed"]
    assert [n for shot in runs for n in range(shot.number, shot.last + 1)] == [shot.number for shot in series]
    wide = next(shot for shot in runs if shot.last > shot.number)
    assert f"-to-{wide.last:03}" in wide.file
    assert len(wide.scene.area("target")) == wide.last - wide.number + 1
    turned = [*shots(long(), singles="turns")]
    assert not [shot for shot in turned if shot.kind == "placed"]
    with pytest.raises(ValueError, match="singles is 'some'; give one of 'series', 'runs', 'turns'"):
        next(shots(long(), singles="some"))
    with pytest.raises(ValueError, match="step 999 is not there"):
        next(shots(long(), [999]))


def test_a_log_goes_straight_to_a_storyboard(tmp_path: Path) -> None:
    walked = long()
    log = [str(step.proof.conclusion()).split()[0] for step in walked.steps[:4]]
    moves = "\n".join(log)
    told = deduce.audit(walked.start, moves).walk()
    assert [step.proof.conclusion().split()[0] for step in told.steps][-1] == log[-1]
    assert len(told.check()) == len(told)
    assert deduce.audit(walked.start, "").walk().steps == ()
    assert told.storyboard(tmp_path, size=(64, 36))


def test_the_command_writes_what_is_selected(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line, folder = long().start.line(), str(tmp_path / "kit")
    quick = ["--size", "64x36", "--workers", "1", "--no-words", "--no-key"]
    assert main(["storyboard", line, folder, "--whole", "--steps", "2-5,7", "--skip", "4", *quick]) == 0
    assert re.search(r"Wrote \d+ files", capsys.readouterr().out)
    steps = [n for frame in manifest(tmp_path / "kit")["frames"] for n in frame.get("steps", [])]
    assert sorted(set(steps)) == [2, 3, 5, 7]
    assert main(["storyboard", line, folder, "--chapters", "1", *quick, "--animate", str(tmp_path / "a.webp")]) == 0
    assert opened((tmp_path / "a.webp").read_bytes()).size == (64, 36)
    for wrong, why in (
        (["--steps", "0"], "--steps 0 is not there"),
        (["--size", "big"], "--size big is not there"),
        (["--singles", "some"], "singles is 'some'"),
        (["--theme", "loud"], "theme is 'loud'"),
        (["--minutes", "-1"], "--minutes: -1 is below 0"),
        (["--allow", "no chain"], "did you mean"),
    ):
        assert main(["storyboard", line, folder, *quick, *wrong]) == 2
        assert why in capsys.readouterr().err


def test_two_workers_write_the_same_as_none(tmp_path: Path) -> None:
    alone = walk().storyboard(tmp_path / "one", size=SMALL)
    seen: list[tuple[int, int]] = []
    with ProcessPoolExecutor(2) as executor:
        storyboard(walk(), tmp_path / "two", size=SMALL, executor=executor, progress=lambda *at: seen.append(at))
    assert seen == [(n, seen[-1][1]) for n in range(1, seen[-1][1] + 1)]
    for file in alone:
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes(), file.name


def test_a_whole_walk_is_animated(tmp_path: Path) -> None:
    file = animate(walk(), tmp_path / "walk.webp", size=(96, 96), seconds=0.5)
    with Image.open(BytesIO(file.read_bytes())) as image:
        assert image.n_frames == len([*shots(walk())])
