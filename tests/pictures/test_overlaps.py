"""Nothing is erased or faked: what the lines of a picture run over, computed over many steps."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import islice
from math import hypot

import pytest
from pictures.paths import flattened, points_of
from pictures.positions import GRIDS, grouped, proof, with_sets

import deduce
from deduce import Proof
from deduce.pictures import picture, scene_of
from deduce.pictures.geometry import NODE, Geometry
from deduce.pictures.svg import LINKS, NEEDED_NOTES, OTHER_NOTES
from deduce.solving.generate import minimal_puzzle

NOTE = (4.3, 5.0)
"""Half the width and height of a note's digit, in user units."""

DIGIT = (14.5, 17.5)
"""The same of a placed digit (46 high)."""

TOLERANCE = 1.0
"""How far the middle of a line may reach into the box of a digit: less than a stroke of the digit is wide."""


def lines_of(text: str) -> Iterator[list[tuple[float, float]]]:
    """Yield the points of each link, and of each line that ties a group together, of a picture."""
    for part in re.findall(f"<!--{LINKS}-->(.*?)<!--/{LINKS}-->", text, re.DOTALL):
        # The halos follow the links, and the inside of a double line follows its outside.
        for path in dict.fromkeys(re.findall(r' d="([^"]*)"', part)):
            yield from flattened(path)


def crossed(found: Proof) -> list[str]:
    """List the notes and digits that a line of a picture runs over, except at its own ends."""
    scene = scene_of(found)
    place = Geometry(scene.layout)
    bodies = {place.note(note.cell, note.digit): NOTE for note in scene.notes}
    bodies |= {place.centre(digit.cell): DIGIT for digit in scene.digits}
    inside = {
        (int(x) + across, int(y) + down): (x, y)
        for (x, y), (wide, high) in bodies.items()
        for across in range(-int(wide - TOLERANCE), int(wide - TOLERANCE) + 1)
        for down in range(-int(high - TOLERANCE), int(high - TOLERANCE) + 1)
    }
    run_over = []
    for points in lines_of(picture(found)):
        own = {inside.get((round(x), round(y))) or nearest(bodies, x, y) for x, y in (points[0], points[-1])}
        met = {inside[spot] for x, y in points for spot in [(round(x), round(y))] if spot in inside}
        run_over += [f"{body} in {found.pattern.name}" for body in met - own]
    return run_over


def nearest(bodies: Iterable[tuple[float, float]], x: float, y: float) -> tuple[float, float]:
    """Return the note at which a line ends: under its shape."""
    body = min(bodies, key=lambda other: hypot(x - other[0], y - other[1]))
    assert hypot(x - body[0], y - body[1]) < NODE
    return body


REAL = {grid.line(): name for name, grid in GRIDS.items() if grid.true}
"""A name for each position that is a real one, in the middle of a walk."""


@pytest.mark.parametrize("name", REAL.values())
def test_no_link_runs_over_a_note_or_a_digit(name: str) -> None:
    """Of real positions the first chains that are there at once."""
    chains = (found for found in deduce.find(GRIDS[name]) if found.pattern.chain)
    for found in islice(chains, 12):
        assert crossed(found) == []


def chains_on_the_way(seed: int) -> Iterator[Proof]:
    """Yield the chains of a walk, and the first ones that are there at once where it first needs one."""
    steps = [step for step in deduce.walk(minimal_puzzle(seed)).steps if step.proof.pattern.chain]
    yield from (step.proof for step in steps)
    for step in steps[:1]:
        yield from islice((found for found in deduce.find(step.before) if found.pattern.chain), 8)


@pytest.mark.parametrize("seed", [1002, 1004, 1008, 1012, 1015, 1016, 1018, 1020])
def test_no_link_of_a_walk_runs_over_a_note_or_a_digit(seed: int) -> None:
    found = [*chains_on_the_way(seed)]
    assert len(found) > 8
    assert [*filter(crossed, found)] == []


@pytest.mark.thorough
def test_no_link_of_thousands_runs_over_a_note_or_a_digit() -> None:
    drawn = 0
    for seed in range(1000, 1600):
        for found in chains_on_the_way(seed):
            drawn += 1
            assert crossed(found) == [], seed
    assert drawn > 3000


@pytest.mark.parametrize("name", GRIDS)
def test_no_link_runs_over_a_note_of_a_full_board(name: str) -> None:
    assert crossed(proof(name)) == []


@pytest.mark.parametrize("made", [grouped, with_sets])
def test_groups_are_tied_together_around_what_is_no_member(made: object) -> None:
    assert callable(made)
    assert crossed(made()) == []


@pytest.mark.parametrize("name", GRIDS)
def test_nothing_that_is_drawn_later_covers_a_note(name: str) -> None:
    text, scene = picture(proof(name)), scene_of(proof(name))
    place = Geometry(scene.layout)
    plain = [place.note(note.cell, note.digit) for note in scene.notes if note.role == "note"]
    later = text[max(0, *(text.find(f"<!--/{part}-->") for part in (NEEDED_NOTES, OTHER_NOTES))) :]
    boxes = []
    for path in re.findall(r' d="([^"]*)"', later):
        for piece in path.split("M")[1:]:
            xs, ys = zip(*points_of(f"M{piece}"), strict=True)
            boxes.append((min(xs), max(xs), min(ys), max(ys)))
    numbers = re.search(r'paint-order[^>]* x="([^"]*)" y="([^"]*)"', later)
    for x, y in zip(numbers[1].split(), numbers[2].split(), strict=True) if numbers else ():
        # A figure 8.4 high with the paper around it; it stands on a line three units below its middle.
        boxes.append((float(x) - 3.5, float(x) + 3.5, float(y) - 7.0, float(y) + 1.0))
    assert boxes or proof(name).contradiction
    for x, y in plain:
        for left, right, top, bottom in boxes:
            covers = min(right - x, x - left) > -NOTE[0] and min(bottom - y, y - top) > -NOTE[1]
            assert not covers, (x, y, left, right, top, bottom)
