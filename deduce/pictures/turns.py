"""The turns in which a step is told to an audience: each shows and says one thing more, and nothing before its turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from deduce.counting.names import SUPPOSITION
from deduce.pictures.scene import Area, NoteRole, Scene, area_of, consequences, sights, stages
from deduce.pictures.tally import SumTable
from deduce.proof import Proof
from deduce.words.en.explain import explain, headline, puzzle_line
from deduce.words.en.names import Names, capital
from deduce.words.en.shows import TURNS, longer

if TYPE_CHECKING:
    from deduce.walks.walk import Step

__all__ = ["Turn", "turns"]

_CONCLUDED = ("eliminated", "placed")
_REVEALING = ("target", "lost", "trouble", "bar")


@dataclass(frozen=True, slots=True)
class Turn:
    """One thing more about a step.

    Parameters
    ----------
    kind : str
        ``"position"``, ``"where"`` to look, the ``"name"`` of the pattern, a ``"link"`` of its chain, a
        ``"consequence"`` of a supposition, a ``"need"`` of a sum, what ``"falls"`` or is placed, and the ``"result"``.
    title : str
        A few words above it.
    words : str
        What is said.
    scene : Scene
        What is shown; its title is that of the turn, so that it gives nothing away.
    """

    kind: Literal["position", "where", "name", "link", "consequence", "need", "falls", "result"]
    title: str
    words: str
    scene: Scene


def turns(step: Step) -> tuple[Turn, ...]:
    """Return the turns of a step of a walk.

    Parameters
    ----------
    step : Step
        The step.

    Returns
    -------
    tuple of Turn
        The position; where to look, with nothing named; the name of the pattern; its chain link by link, or a
        supposition consequence by consequence; what falls or is placed, and why; the position that it leads to.
    """
    proof = step.proof
    before, pattern, result = stages(step)
    before = _plain(before, TURNS["position"])
    where = replace(_plain(before, TURNS["where"]), areas=sights(proof))
    name = capital(proof.pattern.name)
    *grown, end = _told(proof, before, pattern)
    first = _named(pattern, name)
    return (
        Turn("position", before.title, puzzle_line(step.before), before),
        Turn("where", where.title, explain(proof, "where"), where),
        Turn("name", name, explain(proof, "name"), first),
        *grown,
        end,
        # What can be placed now is for the next step to show.
        Turn("result", TURNS["result"], f"{headline(proof)}.", _plain(result, TURNS["result"], "opened")),
    )


def _plain(scene: Scene, title: str, *roles: str) -> Scene:
    """Return a scene under a title, with the notes of some roles as plain ones."""
    notes = tuple(replace(note, role="note") if note.role in roles else note for note in scene.notes)
    return replace(scene, title=title, notes=notes)


def _named(pattern: Scene, title: str) -> Scene:
    """Return the pattern alone: no conclusion, and no link or node of a chain."""
    areas = tuple(area for area in pattern.areas if area.role not in _REVEALING)
    hidden = (note.role for note in pattern.notes) if pattern.ties else _CONCLUDED
    return replace(_plain(pattern, title, *hidden), areas=areas, ties=(), order=(), ends=(), hits=(), tally=None)


def _told(proof: Proof, before: Scene, pattern: Scene) -> Iterator[Turn]:
    """Yield how a pattern comes to its conclusion; the last turn is the conclusion."""
    _, lines = longer(proof)
    chain = proof.pattern.chain
    said = explain(proof)
    if proof.pattern.name == SUPPOSITION:
        first, *inner, said = lines
        yield from _followed(proof, before, first, inner)
    elif chain is not None and not pattern.layout.problem and len(lines) > len(pattern.ties):
        count = len(pattern.ties)
        yield from _grown(pattern, lines[:count])
        said = " ".join(lines[count:])
    elif pattern.tally is not None and len(lines) == len(pattern.tally.needs) + 1:
        *needs, said = lines
        yield from _counted(pattern, pattern.tally, needs)
    kind = "broken" if proof.contradiction else "places" if proof.places else "falls"
    yield Turn("falls", TURNS[kind], said, replace(pattern, title=TURNS[kind]))


def _grown(pattern: Scene, lines: list[str]) -> Iterator[Turn]:
    """Yield a chain link by link, each where it will be in the whole."""
    shown: set[tuple[int, int]] = set()
    # Of a candidate that falls as well its place in the chain is shown first.
    roles: dict[tuple[int, int], NoteRole] = {}
    for index, node in enumerate(pattern.order):
        roles = dict.fromkeys(node, "odd" if index % 2 else "even") | roles
    for number, (tie, line) in enumerate(zip(pattern.ties, lines, strict=True), 1):
        shown |= {*tie.near, *tie.far}
        title = TURNS["link"].format(number=number, count=len(lines))
        notes = tuple(
            replace(note, role=roles[note.cell, note.digit] if (note.cell, note.digit) in shown else "note")
            for note in pattern.notes
        )
        order = tuple(node for node in pattern.order if shown.issuperset(node))
        part = replace(_named(pattern, title), notes=notes, ties=pattern.ties[:number], order=order, course=pattern)
        yield Turn("link", title, line, part)


def _followed(proof: Proof, before: Scene, first: str, lines: list[str]) -> Iterator[Turn]:
    """Yield a supposition, and each of its consequences in the position that the ones before it left."""
    title = TURNS["supposed"]
    digit, cell = Names(before.layout).split(proof.pattern.role("supposed")[0])
    notes = tuple(replace(n, role="odd") if (n.cell, n.digit) == (cell, digit) else n for n in before.notes)
    area = Area("cell", before.layout.cell_name(cell), (cell,))
    yield Turn("consequence", title, first, replace(before, title=title, notes=notes, areas=(area,)))
    for number, (scene, line) in enumerate(zip(consequences(proof), lines, strict=True), 1):
        title = TURNS["consequence"].format(number=number, count=len(lines))
        yield Turn("consequence", title, line, _plain(scene, title))


def _counted(pattern: Scene, tally: SumTable, lines: list[str]) -> Iterator[Turn]:
    """Yield the needs of a sum one by one, with the places that each may take."""
    layout, seen = pattern.layout, 0
    for number, (need, line) in enumerate(zip(tally.numbers, lines, strict=True), 1):
        seen |= layout.model.masks[need]
        title = TURNS["need"].format(number=number, count=len(lines))
        shown = (layout.number(note.digit, note.cell) for note in pattern.notes)
        notes = tuple(
            replace(note, role="pattern" if seen >> candidate & 1 else "note")
            for note, candidate in zip(pattern.notes, shown, strict=True)
        )
        part = replace(tally, needs=tally.needs[:number], missing=0)
        scene = replace(_named(pattern, title), notes=notes, areas=(area_of(layout, "base", need),), tally=part)
        yield Turn("need", title, line, scene)
