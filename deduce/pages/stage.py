"""What the stage of a page shows: every turn of a walk with its board; what boards share is kept once."""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode
from collections.abc import Iterator, Mapping
from dataclasses import replace

from deduce.pictures.geometry import Geometry
from deduce.pictures.rule_marks import rule_marks
from deduce.pictures.scene import Scene, of_grid
from deduce.pictures.svg import drawing, svg
from deduce.pictures.turns import turns
from deduce.walks.effort import SIMPLE
from deduce.walks.walk import Step, Walk
from deduce.words.en.explain import headline, outcome, puzzle_line
from deduce.words.en.shows import WHOLE, ended, longer, start

__all__ = ["chapters", "packed", "shown"]

KEY = 360
"""How wide the key is, so that it stands beside the board in letters of the size of words."""


def chapters(walk: Walk) -> dict[int, str]:
    """Return the titles of the chapters by the number of the step, from 1, at which each begins."""
    found, first = {}, 1
    for part in walk.story().chapters:
        found[first] = str(part.title)
        first += len(part.steps)
    return found or {1: WHOLE}


def packed(walk: Walk, theme: str, parts: Mapping[int, str]) -> str:
    """Return everything that the stage of a walk shows, as compressed JSON in base64.

    Parameters
    ----------
    walk : Walk
        The walk.
    theme : str
        Of the bright boards; there is a dark one of each as well.
    parts : mapping of int to str
        Its :func:`chapters`.
    """
    pieces: dict[str, int] = {}
    boards: dict[tuple[int, ...], int] = {}

    def drawn(scene: Scene, name: str) -> int:
        parts = re.split("(?=<)", svg(scene, key=size[3], theme=name))
        return boards.setdefault(tuple(pieces.setdefault(part, len(pieces)) for part in parts), len(boards))

    layout, sheet = walk.start.layout, drawing(of_grid(walk.start), key=False)
    size = (sheet.width, sheet.height - 12, 12.0, sheet.width)
    if not layout.problem:
        place = Geometry(layout)
        # Rules that are told below a board are as wide as it.
        wide = place.width if any(rule.role == "caption" for rule in rule_marks(layout)) else KEY
        size = (place.width, place.top + place.high + 8, place.left, wide)
    read = [dict.fromkeys(step.proof.premises) for step in walk.steps]
    data = {
        "turns": [
            (*told, [drawn(scene, name) for scene in scenes for name in (theme, "dark")])
            for *told, scenes in shown(walk)
        ],
        "pieces": list(pieces),
        "boards": list(boards),
        "size": size,
        "steps": [(step.proof.pattern.name, headline(step.proof), longer(step.proof)[1]) for step in walk.steps],
        "fresh": [[name for name in read[i] if not any(name in names for names in read[:i])] for i in range(len(read))],
        "simple": [step.proof.pattern.name in SIMPLE for step in walk.steps],
        "chapters": list(parts.items()),
    }
    return b64encode(zlib.compress(json.dumps(data, separators=(",", ":")).encode(), 9)).decode()


def shown(walk: Walk) -> Iterator[tuple[int, str, str, str, tuple[Scene, Scene]]]:
    """Yield the turns of a walk: number of the step, kind, title, words; and the scene with few notes and with all.

    The few are those filled in so far: what the steps have read and marked.  They stay until they fall, and an answer
    is never filled in alone.
    """
    first, last = of_grid(walk.start, start()), of_grid(walk.grid, ended())
    yield 0, "start", first.title, puzzle_line(walk.start), (replace(first, notes=()), first)
    filled, number_of = 0, walk.start.layout.number
    for number, step in enumerate(walk.steps, 1):
        for turn in turns(step):
            scene = turn.scene
            if turn.kind != "position":
                filled = _filled(walk, step, filled, scene)
            kept = tuple(n for n in scene.notes if n.role != "note" or filled >> number_of(n.digit, n.cell) & 1)
            few = replace(scene, notes=kept, course=scene.course or scene)
            yield number, turn.kind, turn.title, turn.words, (few, scene)
    yield len(walk.steps) + 1, "end", last.title, outcome(walk), (last, last)


def _filled(walk: Walk, step: Step, filled: int, scene: Scene) -> int:
    """Return the notes that are filled in, as a bitset: what the step reads and marks, never an answer alone."""
    layout, model = walk.start.layout, walk.start.layout.model
    live = step.before.live & ~step.before.true
    wanted = {*step.proof.premises}
    for rule, mask in zip(model.constraints, model.masks, strict=True):
        if rule.name in wanted and (mask & live).bit_count() > 1:
            filled |= mask & live
    for note in scene.notes:
        if note.role not in ("note", "opened", "placed"):
            filled |= 1 << layout.number(note.digit, note.cell)
    for mask in layout.masks:
        here = filled & live & mask
        if here.bit_count() == 1 and here & walk.grid.true:
            filled |= live & mask
    return filled
