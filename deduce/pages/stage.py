"""What the stage of a page shows: every turn of a walk with its board; what boards share is kept once."""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode
from dataclasses import replace

from deduce.pictures.geometry import Geometry
from deduce.pictures.scene import Scene, of_grid
from deduce.pictures.svg import svg
from deduce.pictures.turns import turns
from deduce.puzzle.problems.layout import ProblemLayout
from deduce.walks.effort import SIMPLE
from deduce.walks.walk import Step, Walk
from deduce.words.en.explain import headline, outcome, puzzle_line
from deduce.words.en.shows import WHOLE, ended, longer, start

__all__ = ["chapters", "packed"]

KEY = 360
"""How wide the key is, so that it stands beside the board in letters of the size of words."""


def chapters(walk: Walk) -> dict[int, str]:
    """Return the titles of the chapters by the number of the step, from 1, at which each begins."""
    found, first = {}, 1
    for part in walk.story().chapters if hasattr(walk, "story") else ():
        found[first] = str(part.title)
        first += len(part.steps)
    return found or {1: WHOLE}


def packed(walk: Walk, theme: str) -> str:
    """Return everything that the stage of a walk shows, as compressed JSON in base64.

    Parameters
    ----------
    walk : Walk
        The walk.
    theme : str
        Of the bright boards; there is a dark one of each as well.
    """
    pieces: dict[str, int] = {}
    boards: dict[tuple[int, ...], int] = {}

    def drawn(scene: Scene, name: str) -> int:
        parts = re.split("(?=<)", svg(scene, key=KEY, theme=name))
        return boards.setdefault(tuple(pieces.setdefault(part, len(pieces)) for part in parts), len(boards))

    layout, place, simple = walk.start.layout, Geometry(walk.start.layout), []
    first, last = of_grid(walk.start, start()), of_grid(walk.grid, ended())
    shown = [(0, "start", first.title, puzzle_line(walk.start), first, replace(first, notes=()))]
    fresh: list[list[str]] = []
    seen: set[str] = set()
    filled = 0
    for number, step in enumerate(walk.steps, 1):
        fresh.append([name for name in dict.fromkeys(step.proof.premises) if name not in seen])
        seen.update(fresh[-1])
        simple.append(step.proof.pattern.name in SIMPLE)
        for turn in turns(step):
            if turn.kind != "position":
                filled = _filled(walk, step, filled, turn.scene)
            scene = turn.scene
            kept = tuple(n for n in scene.notes if n.role != "note" or filled >> layout.number(n.digit, n.cell) & 1)
            few = replace(scene, notes=kept, course=scene.course or scene)
            shown.append((number, turn.kind, turn.title, turn.words, scene, few))
    shown.append((len(walk.steps) + 1, "end", last.title, outcome(walk), last, last))
    data = {
        "turns": [
            (*told, [drawn(scene, name) for scene in (few, all_) for name in (theme, "dark")])
            for *told, all_, few in shown
        ],
        "pieces": list(pieces),
        "boards": list(boards),
        "size": None
        if isinstance(layout, ProblemLayout)
        else (place.width, place.top + place.high + 8, place.left, KEY),
        "steps": [(step.proof.pattern.name, headline(step.proof), longer(step.proof)[1]) for step in walk.steps],
        "fresh": fresh,
        "simple": simple,
        "chapters": list(chapters(walk).items()),
    }
    return b64encode(zlib.compress(json.dumps(data, separators=(",", ":")).encode(), 9)).decode()


def _filled(walk: Walk, step: Step, filled: int, scene: Scene) -> int:
    """Return the notes that are filled in, as a bitset: what the step reads and marks, never an answer alone."""
    layout, model = walk.start.layout, walk.start.layout.model
    live = step.before.live & ~step.before.true
    for rule, mask in zip(model.constraints, model.masks, strict=True):
        read = mask & live
        if rule.name in step.proof.premises and read.bit_count() > 1:
            filled |= read
    for note in scene.notes:
        if note.role not in ("note", "opened", "placed"):
            filled |= 1 << layout.number(note.digit, note.cell)
    for mask in layout.masks:
        here = filled & live & mask
        if here.bit_count() == 1 and here & walk.grid.true:
            filled |= live & mask
    return filled
