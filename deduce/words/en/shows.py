"""The prose around pictures: what the step player, the storyboard and the charts say."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from deduce.patterns.unique_names import ways_of
from deduce.proof import Proof
from deduce.puzzle.layout import Layout
from deduce.walks.walk import Step, Walk
from deduce.words.en.explain import canvas, cell_list, explain, headline, outcome, puzzle_line
from deduce.words.en.names import capital, in_words, named, series
from deduce.words.en.notation import notation

if TYPE_CHECKING:
    from deduce.pictures.scene import Scene

__all__ = [
    "ALSO",
    "CHART",
    "PLAYER",
    "STAGE",
    "TURNS",
    "WHOLE",
    "chapter",
    "chart_title",
    "effort",
    "ended",
    "longer",
    "page_title",
    "script_opening",
    "script_step",
    "start",
]

_LABELS = json.loads(files("deduce.words.en").joinpath("shows.json").read_text(encoding="utf-8"))

PLAYER: dict[str, Any] = _LABELS["player"]
"""Labels of the player; the script fills in the number and the count."""

STAGE: dict[str, Any] = _LABELS["stage"]
"""Labels of the stage and of the speaker's window."""

TURNS: dict[str, str] = _LABELS["turns"]
"""Titles of the turns in which a step is told; the one that names the pattern has its name."""

CHART: dict[str, str] = _LABELS["chart"]
"""Labels of the chart of a walk."""

WHOLE: str = _LABELS["whole"]
"""The chapter of a walk that has no chapters."""

ALSO: str = _LABELS["also"]
"""The heading of what else could be found at a step."""


def start() -> str:
    """Return the headline of the position in which a walk starts."""
    return "Where it starts"


def ended() -> str:
    """Return the headline of the position in which a walk ends."""
    return "Where it ends"


def page_title(walk: Walk) -> str:
    """Return the title of a page."""
    count = len(walk.steps)
    return f"{capital(canvas(walk.start.layout))} in {count} step{'' if count == 1 else 's'}"


def effort(proof: Proof) -> str:
    """Say how much there was to read."""
    return f"(effort {proof.effort})"


def longer(proof: Proof) -> tuple[str, list[str]]:
    """Return the heading and the lines of the longest way to tell a proof."""
    lines = [line.partition(". ")[2] for line in explain(proof, "full").split("\n")]
    heading = "Link by link" if proof.pattern.chain is not None else "Premise by premise"
    return _HEADINGS.get(proof.pattern.name, heading), lines


_HEADINGS = {"counting argument": "Need by need", "supposition": "Step by step"}


def chart_title(walk: Walk) -> str:
    """Return the title of a chart."""
    return f"{page_title(walk)}. {outcome(walk)}"


def script_opening(walk: Walk) -> str:
    """Return the head of the script of a storyboard, in Markdown."""
    count = len(walk.steps)
    steps = "1 step" if count == 1 else f"{count} steps"
    return (
        f"# {page_title(walk)}\n\n{puzzle_line(walk.start)} {outcome(walk)}\n\n`{walk.start.line()}`\n\n"
        f"There are three frames for each of the {steps}: the position before it, its pattern, and what it leads to. "
        "`thumbnails.png` shows them all; `chapters.txt` has a line for each step, with a place for the time at which "
        "it starts.\n"
    )


def script_step(number: int, step: Step, scene: Scene, frames: tuple[str, str, str], fresh: tuple[int, ...]) -> str:
    """Return the part of the script for one step, in Markdown.

    Parameters
    ----------
    number : int
        From 1.
    step : Step
        The step.
    scene : Scene
        What the picture of its pattern shows.
    frames : tuple of str
        The files of its three frames.
    fresh : tuple of int
        The constraints to be read for this step that no earlier one had.
    """
    proof = step.proof
    before, pattern, result = frames
    chain = notation(proof)
    told = [
        f"## {number}. {headline(proof)}",
        f"![the position before step {number}]({before})",
        f"**Fill in first:** {_to_fill_in(scene.layout, fresh)}",
        f"![the pattern of step {number}]({pattern})",
        f"**Point at:** {_to_point_at(step, scene)}",
        f"**Say:** {explain(proof)}",
    ]
    if chain:
        told.append(f"**Write:** `{chain}`")
    told.append(f"![what step {number} leads to]({result})")
    return "\n\n".join(told) + "\n"


def chapter(number: int, step: Step) -> str:
    """Return the chapter mark of a step, with a place for the time at which it starts."""
    return f"__:__ {number}. {capital(step.proof.pattern.name)}"


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
    said = []
    for role in ("base", "cover", "trouble"):
        said += [area.name for area in scene.areas if area.role == role]
    marked = {note.cell for note in scene.notes if note.role in ("pattern", "fin", "exit")}
    marked |= {cell for area in scene.area("swappable") for cell in area.cells}
    parts = [series(said)] * bool(said)
    if marked:
        count = in_words(len(marked))
        parts.append(f"the {count} cell{'' if len(marked) == 1 else 's'} {cell_list(layout, marked)}")
    ways = [[layout.cell_name(c % layout.cells) for c in way] for way in ways_of(step.proof.pattern) if len(way) > 2]
    parts += dict.fromkeys(f"the way {', then '.join(dict.fromkeys(way))}" for way in ways)
    bars = [area.name for area in scene.areas if area.role == "bar"]
    if bars:
        parts.append(f"the placed digits in {series(bars)}")
    targets = [area.name for area in scene.areas if area.role == "target"]
    lost = [area.name for area in scene.areas if area.role == "lost"]
    if targets:
        parts.append(f"{series(targets)}, where the digit goes")
    if lost:
        parts.append(f"{series(lost)}, where notes fall")
    return f"{'; '.join(parts)}." if parts else "the whole board."
