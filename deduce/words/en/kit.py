"""What a recording kit says: its script, the titles of its chapters, and what is printed on its frames."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from deduce.patterns.unique_names import ways_of
from deduce.proof import Proof
from deduce.puzzle.layout import Layout
from deduce.walks.walk import Step, Walk
from deduce.words.en.explain import cell_list, headline, outcome, puzzle_line
from deduce.words.en.names import capital, in_words, many, named, series
from deduce.words.en.notation import notation
from deduce.words.en.shows import page_title

if TYPE_CHECKING:
    from deduce.pictures.scene import Scene
    from deduce.walks.story import Chapter

__all__ = ["chapter_titles", "corner", "frame_title", "patterns_used", "preparation", "run_title", "script_opening"]
__all__ += ["script_say", "start_title", "too_long", "too_short"]


def start_title() -> str:
    """Return the title of the first frame."""
    return "The puzzle"


def corner(number: int, last: int, count: int) -> str:
    """Say which step or steps a frame is about."""
    return f"Step {number} of {count}" if number == last else f"Steps {number} to {last} of {count}"


def frame_title(proof: Proof, kind: str, title: str) -> str:
    """Return the title of a frame: once the pattern has been named, it leads."""
    if kind in ("position", "where", "name"):
        return title
    return f"{capital(proof.pattern.name)}: {title[:1].lower()}{title[1:]}"


def run_title(steps: Sequence[Step]) -> str:
    """Return the title of a frame that shows one single or several."""
    if len(steps) == 1:
        return headline(steps[0].proof)
    return f"{capital(in_words(len(steps)))} singles"


def chapter_titles(chapters: Iterable[Chapter]) -> list[str]:
    """Return titles of chapters that say what happens in them, no two of them alike."""
    found: list[str] = []
    for chapter in chapters:
        title = chapter.title
        found.append(title if title not in found else f"{title} (step {chapter.steps[0].number})")
    return found


def patterns_used(walk: Walk) -> list[str]:
    """Return which patterns a walk uses, and how often."""
    used = Counter(step.proof.pattern.name for step in walk.steps)
    return [f"{count} \u00d7 {name}" for name, count in used.items()]


def script_opening(walk: Walk, frames: int, length: str, rate: float, pause: float, note: str) -> str:
    """Return the head of the script, in Markdown."""
    missed = f" {note}" if note else ""
    return (
        f"# {page_title(walk)}\n\n{puzzle_line(walk.start)} {capital(outcome(walk))}\n\n`{walk.start.line()}`\n\n"
        f"{frames} frames, {length} at {rate:.0f} words a minute with a pause of {pause:.1f} s after each.{missed}\n"
    )


def preparation(step: Step, scene: Scene, fresh: tuple[int, ...]) -> list[str]:
    """Return what the script says before a step, in Markdown: what has to be on the board, and where to point.

    Parameters
    ----------
    step : Step
        The step.
    scene : Scene
        What the picture of its pattern shows.
    fresh : tuple of int
        The constraints to be read for this step that no earlier one had.
    """
    chain = notation(step.proof)
    told = [f"**Fill in first:** {_to_fill_in(scene.layout, fresh)}", f"**Point at:** {_to_point_at(step, scene)}"]
    return [*told, f"**Write:** `{chain}`"] if chain else told


def script_say(time: str, words: str, file: str) -> str:
    """Return the line of the script for one frame."""
    return f"- {time} [{file}]({file}) {words}"


def _missed(told: str, frames: int, total: str, target: str, rate: float, pause: float) -> str:
    """Say why a recording cannot be as short or as long as it was to be."""
    said = f"even at {rate:.0f} words a minute, with pauses of {pause:.1f} s, what the {frames} frames say takes"
    return f"This is not {target}: {said} {told.format(total)}."


too_long = partial(_missed, "{}; leave steps out, or tell singles as runs")
too_short = partial(_missed, "only {}; take more steps in, or tell singles in all their turns")


def _to_fill_in(layout: Layout, fresh: tuple[int, ...]) -> str:
    """Say which notes a presenter has to have on the board before a step, and had not before."""
    kinds = [(layout.origin(number).kind, named(layout, number)) for number in fresh]
    cells, scans = ([name for kind, name in kinds if kind == wanted] for wanted in ("cell", "house"))
    said = []
    if cells:
        said.append(f"all notes of {series(cells)}")
    if scans:
        said.append(f"the places for {series(scans)}")
    return f"{capital(series(said))}." if said else "nothing new; everything that this step reads stands there already."


def _to_point_at(step: Step, scene: Scene) -> str:
    """Say which cells to point at, in the order in which the words name them."""
    layout = scene.layout
    if step.proof.pattern.chain is not None:
        nodes = [*(tie.near for tie in scene.ties), scene.ties[-1].far]
        cells = list(dict.fromkeys(cell_list(layout, {cell for cell, _ in node}) for node in nodes))
        return f"the chain in order: {', then '.join(cells)}."

    def areas(*roles: str) -> str:
        return series(area.name for role in roles for area in scene.areas if area.role == role)

    marked = {note.cell for note in scene.notes if note.role in ("pattern", "fin", "exit")}
    marked |= {cell for area in scene.area("swappable") for cell in area.cells}
    ways = [[layout.cell_name(c % layout.cells) for c in way] for way in ways_of(step.proof.pattern) if len(way) > 2]
    parts = [
        areas("base", "cover", "trouble"),
        f"the {many(len(marked), 'cell')} {cell_list(layout, marked)}" if marked else "",
        *dict.fromkeys(f"the way {', then '.join(dict.fromkeys(way))}" for way in ways),
        f"the placed digits in {areas('bar')}" if areas("bar") else "",
        f"{areas('target')}, where the digit goes" if areas("target") else "",
        f"{areas('lost')}, where notes fall" if areas("lost") else "",
    ]
    return f"{'; '.join(filter(None, parts)) or 'the whole board'}."
