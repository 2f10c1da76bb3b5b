"""The recording kit: frames of one size, script, captions, chapters, contact sheet and card, all of one telling."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from functools import partial
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from deduce.claims.notes import premises_of
from deduce.pages.raster import animation, opened, pixels, png
from deduce.pages.stills import Box, Frame, fitted, text
from deduce.pages.timing import FPS, Pace, captions, clock, durations, srt, vtt
from deduce.pictures.scene import Area, Scene, of_grid, of_proof, stages
from deduce.pictures.svg import drawing
from deduce.pictures.themes import theme_of
from deduce.pictures.turns import turns
from deduce.walks.story import StoryStep, story
from deduce.walks.walk import Outcome, Step, Walk
from deduce.words.en import kit as say
from deduce.words.en.explain import explain, headline, outcome, puzzle_line
from deduce.words.en.names import capital
from deduce.words.en.shows import ended, page_title
from deduce.words.en.story import tell_singles

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["DETAILS", "FORMAT", "SINGLES", "VERSION", "Shot", "animate", "shots", "storyboard"]

FORMAT, VERSION = "deduce-kit", "1.0"

SINGLES = ("series", "runs", "turns")
"""How singles are told: a frame for each, a frame for a run of them that one look explains, or in all their turns."""

DETAILS = ("links", "steps", "lines")
"""How much is told of a step beyond singles."""

SHORTEST_CHAPTER = 10.0
"""Seconds; players of videos refuse marks that are closer."""

Size = tuple[int, int]


class Shot(NamedTuple):
    """One frame, and what is said while it stands.

    Parameters
    ----------
    number, last : int
        The step that it is about, or the first and last of several; 0 for the start, and one more than there are
        steps for the end.
    turn : int
        From 1 for each step.
    kind : str
        That of its turn, or ``"start"``, ``"placed"`` for singles, ``"end"``.
    pattern, title, shown, said : str
        The name of the pattern; what is printed above and beside the board; what is spoken.
    scene : Scene
        What is shown.
    chapter : int
        From 0.
    """

    number: int
    last: int
    turn: int
    kind: str
    pattern: str
    title: str
    shown: str
    said: str
    scene: Scene
    chapter: int

    @property
    def file(self) -> str:
        """The name of its picture: step, turn, and what it is."""
        slug = re.sub("[^a-z0-9]+", "-", self.pattern.lower())
        until = f"-to-{self.last:03}" if self.last > self.number else ""
        return f"{self.number:03}-{self.turn:02}-{self.kind}{f'-{slug}' if slug else ''}{until}.png"


def shots(
    walk: Walk, steps: Iterable[int] | None = None, *, singles: str = "series", detail: str = "links"
) -> Iterator[Shot]:
    """Yield the frames in which a walk is told.

    Parameters
    ----------
    walk : Walk
        The walk.
    steps : iterable of int, optional
        Which of its steps, from 1; by default all, with a frame before and one behind them.
    singles, detail : str
        One of `SINGLES`, and one of `DETAILS`.

    Raises
    ------
    ValueError
        For another way to tell singles, or a step that is not there.
    """
    if singles not in SINGLES:
        raise ValueError(f"singles is {singles!r}; give one of {', '.join(map(repr, SINGLES))}")
    count = len(walk)
    wanted = frozenset(range(1, count + 1) if steps is None else steps)
    for number in sorted(wanted):
        if not 1 <= number <= count:
            raise ValueError(f"step {number} is not there; the walk has {count}, numbered from 1")
    told = story(walk, whole=True)
    if steps is None:
        line = puzzle_line(walk.start)
        yield Shot(0, 0, 1, "start", "", say.start_title(), line, line, of_grid(walk.start), 0)
    shown = 0 if steps is None else -1
    for at, chapter in enumerate(told.chapters):
        here = [step for step in chapter.steps if step.number in wanted]
        while here:
            group = _group(here, singles)
            here = here[len(group) :]
            if group[0].single and singles != "turns":
                yield _placed(group, at)
            else:
                yield from _turned(group[0], at, detail, follows=shown == group[0].number - 1)
            shown = group[-1].number
    if steps is None:
        line = capital(outcome(walk))
        end = of_grid(walk.grid, ended())
        yield Shot(count + 1, count + 1, 1, "end", "", ended(), line, line, end, max(0, len(told.chapters) - 1))


def _group(steps: Sequence[StoryStep], singles: str) -> Sequence[StoryStep]:
    """Return the steps that the next frame is about."""
    run = steps[0].run if singles == "runs" else None
    return steps[:1] if run is None else [step for step in steps if step.run == run]


def _placed(group: Sequence[StoryStep], chapter: int) -> Shot:
    """Return the frame of a single, with what shows it, or of a run of them, with all their digits in place."""
    first, last = group[0], group[-1]
    names = dict.fromkeys(told.step.proof.pattern.name for told in group)
    scene = of_proof(first.step.proof)
    if len(group) > 1:
        layout = last.step.after.layout
        cells = [number % layout.cells for told in group for number in told.step.proof.pattern.role("placed")]
        marked = tuple(Area("target", layout.cell_name(cell), (cell,)) for cell in cells)
        scene = replace(of_grid(last.step.after), areas=marked)
    words = tell_singles(group)
    title = say.run_title([told.step for told in group])
    return Shot(first.number, last.number, 1, "placed", "; ".join(names), title, words, words, scene, chapter)


def _turned(told: StoryStep, chapter: int, detail: str, *, follows: bool) -> Iterator[Shot]:
    """Yield a step in its turns; the position before it is left out where it has just been shown."""
    proof = told.step.proof
    for number, turn in enumerate(turns(told.step), 1):
        words, title = turn.words, say.frame_title(proof, turn.kind, turn.title)
        if detail != "links" and turn.kind == "falls":
            words = explain(proof) if detail == "steps" else f"{headline(proof)}."
        elif (turn.kind == "position" and follows) or turn.kind in _LEFT_OUT[detail]:
            continue
        said = words.partition(": ")[2] if turn.kind == "link" and words.startswith("(") else words
        named = "" if turn.kind in ("position", "where") else proof.pattern.name
        yield Shot(told.number, told.number, number, turn.kind, named, title, words, said, turn.scene, chapter)


_LEFT_OUT = {
    "links": (),
    "steps": ("link", "consequence", "need"),
    "lines": ("position", "where", "name", "link", "consequence", "need", "result"),
}
"""The turns that are left out where less is told."""


def _draw(frame: Frame, folder: Path, overlay: bool, shot: Shot, corner: str, shown: bool) -> bytes:
    """Draw a frame into its file, and return its board in small, if the contact sheet shows it."""
    image = pixels(frame.svg(shot.scene, shot.title, shot.shown, corner))
    (folder / shot.file).write_bytes(png(image, frame.theme))
    if overlay:
        clear = pixels(frame.overlay(shot.scene), clear=True)
        (folder / "overlays" / shot.file).write_bytes(png(clear, frame.theme))
    if not shown:
        return b""
    board = frame.board(drawing(shot.scene, key=False, theme=frame.theme))
    box = (board.x, board.y, board.x + board.width, board.y + board.height)
    height = max(1, round(_SMALL * board.height / board.width))
    return png(image.resize((_SMALL, height), box=box, reducing_gap=2.0), frame.theme)


def storyboard(
    walk: Walk,
    folder: str | Path,
    *,
    size: Size = (1920, 1080),
    theme: str = "light",
    notes: str = "all",
    title: bool = True,
    words: bool = True,
    key: bool = True,
    overlays: bool = False,
    steps: Iterable[int] | None = None,
    singles: str = "series",
    detail: str = "links",
    rate: float = 140,
    pause: float = 0.8,
    minutes: float | None = None,
    executor: Executor | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Path, ...]:
    """Write everything that a recording of a walk needs into a folder.

    Parameters
    ----------
    walk : Walk
        The walk.
    folder : str or Path
        Made if it does not exist; files of the same names are overwritten.
    size : (int, int)
        Width and height of every frame in pixels.
    theme : str
        ``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for projection.
    notes : str
        ``"all"``, ``"needed"`` (those that each step rests on) or ``"none"``.
    title, words, key : bool
        Whether frames have a title bar, the words beside the board (below it where they are not wide), and the key.
    overlays : bool
        Whether the folder ``overlays`` gets the marks of each frame alone, on nothing, for editing programs.
    steps : iterable of int, optional
        Which steps to tell, from 1.
    singles : str
        ``"series"`` (a frame for each), ``"runs"`` (a frame for those that one look explains) or ``"turns"``.
    detail : str
        How much of a step beyond singles is told: ``"links"`` (each link of a chain, each consequence of a
        supposition), ``"steps"`` (where to look, the name, the whole reasoning, the result) or ``"lines"`` (what it
        concludes, in one frame).
    rate, pause : float
        Words a minute, and seconds of silence after each frame.
    minutes : float, optional
        How long the recording is to be: pauses change first, then the rate, then how much is told; the script says so
        where that is not enough.
    executor : Executor, optional
        Draws the frames, such as a `concurrent.futures.ProcessPoolExecutor`; by default they are drawn here.
    progress : callable, optional
        Told after each frame how many are drawn, and how many there are.

    Returns
    -------
    tuple of Path
        The files: the frames (``017-03-link-xy-wing.png``: step, turn, and what it is) and their overlays,
        ``script.md``, ``chapters.txt``, ``captions.srt``, ``captions.vtt``, ``manifest.json`` (its schema is
        ``deduce/pages/deduce-kit-1.schema.json``), ``frames.ffconcat``, ``sheet.png`` and ``card.png``.

    Raises
    ------
    MissingExtra
        If a package is missing that draws pictures, with the command that installs it; nothing is written then.
    ValueError
        For a size, theme, choice of notes or way to tell singles that there is not, for a step that the walk does not
        have, or if the rate, pause or target is not above zero.

    Notes
    -----
    A video is one more command, of ffmpeg for example::

        ffmpeg -i FOLDER/frames.ffconcat -i FOLDER/captions.srt -r 25 -pix_fmt yuv420p -c:s mov_text FOLDER/video.mp4

    The times of all files are whole frames at 25 a second.
    """
    width, height = size
    if min(width, height) < 1 or rate <= 0 or pause < 0 or (minutes is not None and minutes <= 0):
        raise ValueError(f"size {width}x{height}, rate {rate:g}, pause {pause:g}, minutes {minutes}: give more than 0")
    frame = Frame(width, height, theme, title, words, key)
    chosen = None if steps is None else tuple(steps)
    kit = _kit(walk, frame, chosen, singles, detail, Pace(rate, pause), minutes)
    told = [shot._replace(scene=shot.scene.with_notes(notes)) for shot in kit.told]
    png(pixels(frame.svg(of_grid(walk.start), "", "")), theme)  # what is missing is missed before anything is written
    target = Path(folder)
    (target / "overlays" if overlays else target).mkdir(parents=True, exist_ok=True)
    concluding = {shot.number: at for at, shot in enumerate(told) if shot.kind != "result"}
    shown = [at in concluding.values() for at in range(len(told))]
    corners = [say.corner(shot.number, shot.last, len(walk)) * (0 < shot.number <= len(walk)) for shot in told]
    draw = partial(_draw, frame, target, overlays)
    drawn = (
        map(draw, told, corners, shown) if executor is None else executor.map(draw, told, corners, shown, chunksize=4)
    )
    small = []
    for done, thumbnail in enumerate(drawn, 1):
        small += [thumbnail] * bool(thumbnail)
        if progress is not None:
            progress(done, len(told))
    pictures = {"card.png": pixels(kit.card())}
    if small:
        labels = [kit.label(shot) for shot, on_sheet in zip(told, shown, strict=True) if on_sheet]
        pictures["sheet.png"] = _sheet(small, labels, theme)
    for name, image in pictures.items():
        (target / name).write_bytes(png(image, theme))
    lines = captions([shot.said for shot in told], kit.lengths, kit.pace.rate)
    texts = {
        "script.md": kit.script(),
        "chapters.txt": "".join(f"{clock(start)} {name}\n" for start, name in kit.marks),
        "captions.srt": srt(lines),
        "captions.vtt": vtt(lines),
        "manifest.json": kit.manifest(overlays=overlays),
        "frames.ffconcat": kit.concat(),
    }
    for name, content in texts.items():
        (target / name).write_text(content, encoding="utf-8")
    files = [shot.file for shot in told]
    files += [f"overlays/{name}" for name in files] * overlays
    return tuple(target / name for name in (*files, *pictures, *texts))


@dataclass(frozen=True, slots=True)
class _Kit:
    """What the texts of a kit are made of.

    Parameters
    ----------
    walk : Walk
        What is told.
    frame : Frame
        Size and theme.
    told, lengths : list
        The frames, and for how many seconds each stands.
    pace : Pace
        Words a minute and pauses.
    note : str
        Why the target is missed; empty if it is not.
    """

    walk: Walk
    frame: Frame
    told: list[Shot]
    lengths: list[float]
    pace: Pace
    note: str

    @property
    def starts(self) -> list[float]:
        """When each frame starts, in seconds."""
        return [round(start, 2) for start in accumulate(self.lengths, initial=0.0)][:-1]

    @property
    def marks(self) -> list[tuple[float, str]]:
        """When each chapter starts, and its title; what is too short for one goes with the chapter before it."""
        names = say.chapter_titles(story(self.walk, whole=True).chapters) or [say.start_title()]
        first: dict[int, float] = {}
        for shot, start in zip(self.told, self.starts, strict=True):
            first.setdefault(shot.chapter, start)
        found: list[tuple[float, str]] = []
        for (chapter, start), end in zip(first.items(), [*first.values(), sum(self.lengths)][1:], strict=True):
            if not found or (end - start >= SHORTEST_CHAPTER and start - found[-1][0] >= SHORTEST_CHAPTER):
                found.append((start, names[chapter]))
        return found

    def label(self, shot: Shot) -> str:
        """Say what a picture on the contact sheet is."""
        if not 0 < shot.number <= len(self.walk):
            return shot.title
        if shot.number < shot.last:
            return f"{shot.number}-{shot.last}. {shot.title}"
        return f"{shot.number}. {headline(self.walk.steps[shot.number - 1].proof)}"

    def card(self) -> str:
        """Return the summary of the walk on one frame: its start, its chapters and their times, its patterns."""
        moments = "\n".join(f"{clock(start)}  {name}" for start, name in self.marks)
        # A number and what it counts stay on one line.
        used = ", ".join(say.patterns_used(self.walk)).replace(" \u00d7 ", "\u00a0\u00d7\u00a0")
        told = f"{capital(outcome(self.walk))}\n\n{moments}\n\n{used}"
        start = of_grid(self.walk.start).with_notes("none")
        return replace(self.frame, title=True, words=True, key=False).svg(start, page_title(self.walk), told)

    def script(self) -> str:
        """Return the script: chapters, steps with what to prepare, and a line with its time for each frame."""
        length, (rate, pause) = clock(sum(self.lengths)), self.pace
        parts = [say.script_opening(self.walk, len(self.told), length, rate, pause, self.note)]
        due, known, last = self.marks, set[int](), -1
        for shot, start in zip(self.told, self.starts, strict=True):
            if due and start >= due[0][0]:
                parts.append(f"\n## {clock(due[0][0])} {due.pop(0)[1]}\n")
            if shot.number != last and 0 < shot.number <= len(self.walk):
                steps = self.walk.steps[shot.number - 1 : shot.last]
                title = say.corner(shot.number, shot.last, len(self.walk))
                parts.append(f"\n### {title}: {say.run_title(steps)}\n")
                for step in steps:
                    fresh = tuple(number for number in _read(step) if number not in known)
                    known.update(fresh)
                    if len(steps) == 1:
                        parts += [f"{line}\n" for line in say.preparation(step, stages(step)[1], fresh)]
            last = shot.number
            parts.append(say.script_say(clock(start), shot.shown.replace("\n", " "), shot.file))
        return "\n".join(parts) + "\n"

    def manifest(self, *, overlays: bool) -> str:
        """Return what all files of the kit are, and when each frame stands, as JSON."""
        frames: list[dict[str, Any]] = []
        for shot, start, seconds in zip(self.told, self.starts, self.lengths, strict=True):
            value: dict[str, Any] = {"file": shot.file, "start": start, "seconds": seconds, "kind": shot.kind}
            if 0 < shot.number <= len(self.walk):
                value |= {"steps": [*range(shot.number, shot.last + 1)], "turn": shot.turn}
            value |= {"pattern": shot.pattern} if shot.pattern else {}
            value |= {"title": shot.title, "words": shot.shown, "say": shot.said}
            frames.append(value | ({"overlay": f"overlays/{shot.file}"} if overlays else {}))
        whole = {
            "format": FORMAT,
            "version": VERSION,
            "puzzle": self.walk.start.line(),
            "width": self.frame.width,
            "height": self.frame.height,
            "frames a second": FPS,
            "seconds": round(sum(self.lengths), 2),
            "words a minute": round(self.pace.rate, 1),
            "pause": round(self.pace.pause, 2),
            **({"note": self.note} if self.note else {}),
            "chapters": [{"start": start, "title": name} for start, name in self.marks],
            "frames": frames,
            "files": _FILES | ({"sheet": "sheet.png"} if self.told else {}),
        }
        return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"

    def concat(self) -> str:
        """Return the frames and how long each stands, as a script of ffmpeg.

        At a constant rate it shows the last picture for the middle one of the last three durations, whatever the list
        says; so the last frame is parted, and its last parts are one frame of the video each.
        """
        entries = [(shot.file, seconds) for shot, seconds in zip(self.told, self.lengths, strict=True)]
        for file, seconds in entries[-1:]:
            entries[-1:] = [(file, seconds - 4 / FPS), *[(file, 1 / FPS)] * 4]
        return "ffconcat version 1.0\n" + "".join(f"file {file}\nduration {length:.2f}\n" for file, length in entries)


_FILES = {
    "video": "frames.ffconcat",
    "captions": ["captions.srt", "captions.vtt"],
    "script": "script.md",
    "chapters": "chapters.txt",
    "card": "card.png",
}


def _kit(
    walk: Walk, frame: Frame, steps: Iterable[int] | None, singles: str, detail: str, pace: Pace, minutes: float | None
) -> _Kit:
    """Return what is told and when; less is told to meet a target."""
    if detail not in DETAILS:
        raise ValueError(f"detail is {detail!r}; give one of {', '.join(map(repr, DETAILS))}")
    for less in DETAILS[DETAILS.index(detail) :]:
        told = [*shots(walk, steps, singles=singles, detail=less)]
        kit = _Kit(walk, frame, told, *durations([shot.said for shot in told], pace, minutes))
        if minutes is None or sum(kit.lengths) <= 1.02 * 60 * minutes:
            break
    return kit


_SMALL = 232
"""Width of a board on the contact sheet."""


def _sheet(pictures: Sequence[bytes], labels: Sequence[str], theme: str) -> Image:
    """Return small boards in rows, each with its label."""
    images = [opened(picture) for picture in pictures]
    columns = min(8, len(images))
    high = max(image.height for image in images)
    wide, tall = _SMALL + 16, high + 44
    frame = Frame(columns * wide + 16, -(-len(images) // columns) * tall + 16, theme)
    look, parts, places = theme_of(theme), [], []
    for number, label in enumerate(labels):
        row, column = divmod(number, columns)
        x, y = 16 + column * wide, 16 + row * tall
        places.append((x, y))
        size, lines = fitted(label, Box(x, y, _SMALL, 36), 14)
        parts += text(lines[:2], x, y + high + 15, min(size, 13), look.ink)
    whole = pixels(frame.sheet(parts))
    for image, place in zip(images, places, strict=True):
        whole.paste(image, place)
    return whole


def _read(step: Step) -> tuple[int, ...]:
    """Return what has to be read for a step: its bases, and the cells of its swaps, whose notes show the exits."""
    proof = step.proof
    swapped = premises_of(proof).cells if proof.swaps else ()
    return tuple(dict.fromkeys([*proof.bases, *swapped]))


def animate(
    thing: Step | Walk,
    file: str | Path,
    *,
    size: Size = (720, 720),
    theme: str = "light",
    seconds: float | None = None,
    steps: Iterable[int] | None = None,
) -> Path:
    """Write a step in all its turns, or a whole walk, as an animation.

    Parameters
    ----------
    thing : Step or Walk
        What is shown.
    file : str or Path
        A name that ends in ``.gif`` or ``.webp``.
    size : (int, int)
        Width and height in pixels.
    theme : str
        ``"light"``, ``"dark"`` or ``"print"``.
    seconds : float, optional
        For which each picture stands; by default as long as it takes to read.
    steps : iterable of int, optional
        Which steps of a walk to show, from 1.

    Raises
    ------
    MissingExtra
        If a package is missing that draws pictures.
    ValueError
        For another kind of file.
    """
    target, one = Path(file), isinstance(thing, Step)
    walk = Walk(thing.before, (thing,), Outcome.BUDGET_SPENT, ()) if isinstance(thing, Step) else thing
    told = [*shots(walk, [1] if one else steps, singles="turns" if one else "series")]
    frame = Frame(*size, theme)
    read, _, _ = durations([shot.said for shot in told], Pace(200, 0.6))
    times = read if seconds is None else [seconds] * len(told)
    kind = target.suffix.removeprefix(".").lower()
    if kind not in ("gif", "webp"):
        raise ValueError(f"an animation cannot be written as {kind!r}; give a name that ends in .gif or .webp")
    images = [pixels(frame.svg(shot.scene, shot.title, shot.shown)) for shot in told]
    target.write_bytes(animation(images, kind, times))
    return target
