"""Story: a walk as one would tell it, in chapters, with what made each step possible and what it opens.

A walk is a list; a listener follows attention and cause.  So a story first leaves out what leads nowhere, then parts
the rest into chapters: the singles it opens with, each idea with what it opens, and the singles that are left.  Singles
that one look at a house or one digit explains are a run, told together and still there one by one.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from deduce.exchange import Document
from deduce.kernel import Supposition
from deduce.patterns import PLAIN
from deduce.patterns.one_rule import ONE_RULE
from deduce.patterns.singles import SINGLES
from deduce.patterns.sums import BOUND, LEFTOVER
from deduce.positions import Needs, bits
from deduce.proof import Candidate
from deduce.walks.dependencies import supplies, told_needs
from deduce.walks.prune import needed_steps, only
from deduce.window import ShownChapter, ShownStory, ShownStoryStep

if TYPE_CHECKING:
    from deduce.walks.walk import Step, Walk

__all__ = ["FORMAT", "VERSION", "Because", "Chapter", "ChapterKind", "StepRun", "Story", "StoryStep", "groups", "story"]

FORMAT = "deduce-story"
VERSION = "1.0"

RECENT = 4
"""How many steps back a cause may lie that a listener still has before the eyes."""


class ChapterKind(StrEnum):
    """What a chapter is about."""

    OPENING = "opening"
    IDEA = "idea"
    REST = "rest"
    WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Because:
    """What made a step possible: an earlier step that is still in mind, and what it settled that this one uses.

    Parameters
    ----------
    number : int
        The earlier step.
    gone, placed : tuple of Candidate
        What it ruled out and what it placed, as far as the step rests on it.  What fell because the earlier step placed
        a digit is told by that digit, so it is not in `gone`.
    """

    number: int
    gone: tuple[Candidate, ...]
    placed: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class StepRun:
    """Singles in a row that belong to one look.

    Parameters
    ----------
    numbers : tuple of int
        The steps, in order.
    house : int, optional
        The number of the house that they fill, counted from 0 as in the layout.
    digit : int, optional
        The digit that they place, where it is that which they have in common.
    """

    numbers: tuple[int, ...]
    house: int | None = None
    digit: int | None = None


@dataclass(frozen=True, slots=True)
class StoryStep(ShownStoryStep):
    """One step of a story.

    Parameters
    ----------
    number : int
        From 1, along the whole story.
    step : Step
        The step, in its position.
    rests_on : tuple of int
        The numbers of the earlier steps that settled what this one uses.
    because : Because, optional
        What made it possible, where that was recent.
    gains : tuple of int
        The numbers of the later steps that use what this one settles.
    run : StepRun, optional
        The run that it is told in.
    twin : int, optional
        The number of the step before, where that is the same pattern at the same shape.
    """

    number: int
    step: Step
    rests_on: tuple[int, ...] = ()
    because: Because | None = None
    gains: tuple[int, ...] = ()
    run: StepRun | None = None
    twin: int | None = None

    @property
    def single(self) -> bool:
        """Whether the step is a single."""
        return _single(self.step)


@dataclass(frozen=True, slots=True)
class Chapter(ShownChapter):
    """A part of a story.

    Parameters
    ----------
    kind : ChapterKind
        The singles that a story opens with, an idea with what it opens, the singles that are left, or all at once.
    steps : tuple of StoryStep
        In order.
    """

    kind: ChapterKind
    steps: tuple[StoryStep, ...]

    @property
    def idea(self) -> tuple[StoryStep, ...]:
        """The steps that are no singles."""
        return tuple(told for told in self.steps if not told.single)


@dataclass(frozen=True, slots=True)
class Story(ShownStory):
    """A walk in chapters.

    Parameters
    ----------
    chapters : tuple of Chapter
        In order; together they hold every step of `walk`.
    walk : Walk
        What is told.
    left_out : tuple of Step
        The steps of the walk as it was made that lead nowhere and are therefore not told.
    """

    chapters: tuple[Chapter, ...]
    walk: Walk
    left_out: tuple[Step, ...] = ()

    @property
    def steps(self) -> tuple[StoryStep, ...]:
        """The steps of all chapters."""
        return tuple(told for chapter in self.chapters for told in chapter.steps)

    def to_json(self) -> str:
        """Return the story as JSON in the form ``deduce-story``; see :func:`deduce.exchange.schema`.

        It holds the walk as a proof document, so whoever reads it can have every step verified.
        """
        value = {
            "format": FORMAT,
            "version": VERSION,
            "walk": Document.of_walk(self.walk).value(),
            "left out": [_named(step) for step in self.left_out],
            "chapters": [
                {
                    "kind": chapter.kind.value,
                    "title": chapter.title,
                    "text": chapter.words(),
                    "steps": [_value(told) for told in chapter.steps],
                }
                for chapter in self.chapters
            ],
        }
        return json.dumps(value, ensure_ascii=False, indent=1) + "\n"


def story(walk: Walk, *, whole: bool = False) -> Story:
    """Return the story of a walk.

    Parameters
    ----------
    walk : Walk
        The walk.
    whole : bool
        Whether to tell the steps that lead nowhere as well.

    Returns
    -------
    Story
        Of what :func:`deduce.walks.prune` keeps, unless it is to be whole.

    Examples
    --------
    >>> from deduce.puzzle.grid import Grid
    >>> from deduce.walks import walk
    >>> told = story(walk(Grid.parse("..24......1..2..")))
    >>> [(chapter.kind.value, len(chapter.steps)) for chapter in told.chapters], told.left_out
    ([('whole', 12)], ())
    """
    kept = range(len(walk)) if whole else needed_steps(walk)
    told = walk if len(kept) == len(walk) else only(walk, kept)
    left_out = tuple(step for number, step in enumerate(walk.steps) if number not in kept)
    return Story(_chapters(_causes(told.steps)), told, left_out)


def _single(step: Step) -> bool:
    return step.proof.pattern.name in SINGLES


def _causes(steps: Sequence[Step]) -> list[StoryStep]:
    """Return the steps with their numbers, what each rests on, what made it possible, and what it opens."""
    used = [dict(found) for found in supplies(steps, (told_needs(step.proof) for step in steps))]
    gains: list[list[int]] = [[] for _ in steps]
    for j, found in enumerate(used):
        for i in found:
            gains[i].append(j + 1)
    runs = _runs(steps)
    return [
        StoryStep(
            j + 1,
            step,
            tuple(i + 1 for i in found),
            _because(steps, j, found),
            tuple(gains[j]),
            runs.get(j + 1),
            j if j and _shape(step) and _shape(step) == _shape(steps[j - 1]) else None,
        )
        for j, (step, found) in enumerate(zip(steps, used, strict=True))
    ]


def _shape(step: Step) -> tuple[object, ...] | None:
    """Return what mirror steps have in common; None where sums, rules or singles differ each time."""
    pattern, argument = step.proof.pattern, step.proof.inferences[0].argument
    if isinstance(argument, Supposition):
        return tuple(inference.argument for inference in argument.inferences)
    if pattern.name not in _MIRRORED:
        return None
    roles = tuple((role.kind, len(role.items)) for role in pattern.roles)
    links = pattern.chain and (pattern.chain.loop, *(link.strong for link in pattern.chain.links))
    return pattern.name, roles, links


BY_RULES = frozenset((ONE_RULE, BOUND, LEFTOVER))
"""The patterns that are told by a rule first, which holds whatever has happened."""

_MIRRORED = frozenset(PLAIN) - {*SINGLES, *BY_RULES}
"""The patterns of which one says as much as the other."""


def _because(steps: Sequence[Step], j: int, found: dict[int, Needs]) -> Because | None:
    """Return what the latest step that a step rests on did for it, if that was recent."""
    i = max(found, default=-1)
    if i < 0 or j - i > RECENT:
        return None
    earlier = steps[i]
    new = earlier.after.true & ~earlier.before.true
    settled = tuple(map(earlier.before.candidate, bits(new or found[i].gone)))
    return Because(i + 1, () if new else settled, settled if new else ())


def _runs(steps: Sequence[Step]) -> dict[int, StepRun]:
    """Find the singles in a row that fill one house or place one digit, at least two of them, the longest first."""
    found: dict[int, StepRun] = {}
    at = 0
    while at < len(steps):
        best, what = at + 1, None
        if _single(steps[at]):
            for house, digit in _looks(steps[at]):
                end = at
                while end < len(steps) and _single(steps[end]) and (house, digit) in _looks(steps[end]):
                    end += 1
                if end > best:
                    best, what = end, (house, digit)
        if what is not None:
            run = StepRun(tuple(range(at + 1, best + 1)), *what)
            found.update(dict.fromkeys(run.numbers, run))
        at = best
    return found


def _looks(step: Step) -> list[tuple[int | None, int | None]]:
    """List what a single can be told together by: the houses of its cell, regions first, then its digit."""
    layout = step.before.layout
    (candidate,) = step.proof.pattern.role("placed")
    digit, cell = divmod(candidate, layout.cells)
    houses = sorted(layout.houses_of[cell], key=lambda h: layout.houses[h].kind in ("row", "column"))
    return [*((house, None) for house in houses), (None, digit + 1)]


def _chapters(steps: Sequence[StoryStep]) -> tuple[Chapter, ...]:
    """Part the steps: an idea is a row of steps beyond singles that lead to one another, with the singles it opens."""
    parts: list[list[StoryStep]] = []
    for told in steps:
        if not parts or (not told.single and _closed(parts[-1], told, steps)):
            parts.append([])
        parts[-1].append(told if parts[-1] else replace(told, twin=None))
    chapters = [Chapter(ChapterKind.OPENING if part[0].single else ChapterKind.IDEA, tuple(part)) for part in parts]
    if len(chapters) == 1 and chapters[0].kind is ChapterKind.OPENING:
        return (Chapter(ChapterKind.WHOLE, chapters[0].steps),)
    if chapters and chapters[-1].kind is ChapterKind.IDEA:
        chapters[-1:] = _ended(chapters[-1])
    return tuple(chapters)


def groups(steps: Sequence[StoryStep]) -> Iterator[Sequence[StoryStep]]:
    """Yield steps that follow one another: those of one run together, each other one by itself."""
    at = 0
    while at < len(steps):
        run = steps[at].run
        end = at + 1 if run is None else at + run.numbers[-1] - steps[at].number + 1
        yield steps[at:end]
        at = end


def _closed(part: Sequence[StoryStep], new: StoryStep, steps: Sequence[StoryStep]) -> bool:
    """Whether a step beyond singles begins something new after these: singles came, or nothing that follows needs them.

    What follows means the steps beyond singles up to the next single.  A round of the rules is one thing.
    """
    last = part[-1].number
    if part[-1].single:
        return True
    if {told.step.proof.pattern.name for told in (*part, new)} <= BY_RULES:
        return False
    end = next((told.number for told in steps[last:] if told.single), len(steps) + 1)
    return not any(last < gain < end for told in part for gain in told.gains)


def _ended(chapter: Chapter) -> list[Chapter]:
    """Part the last idea from the singles that are left: with it stays what it opens, up to the end of that run."""
    idea = {told.number for told in chapter.idea}
    end = len(idea)
    for group in groups(chapter.steps[end:]):
        if end > len(idea) and idea.isdisjoint(group[0].rests_on):
            break
        end += len(group)
    if len(chapter.steps) - end < _REST:
        return [chapter]
    return [replace(chapter, steps=chapter.steps[:end]), Chapter(ChapterKind.REST, chapter.steps[end:])]


_REST = 3
"""Fewer singles than this at the end make no chapter."""


def _named(step: Step) -> dict[str, Any]:
    return {"pattern": step.proof.pattern.name, "conclusion": step.proof.conclusion()}


def _value(told: StoryStep) -> dict[str, Any]:
    """Return a step of a story as plain values."""
    value: dict[str, Any] = {
        "number": told.number,
        **_named(told.step),
        "line": told.words("line"),
        "text": told.words(),
        "rests on": list(told.rests_on),
        "gains": list(told.gains),
    }
    if told.because is not None:
        gone, placed = told.because.gone, told.because.placed
        value["because"] = {"step": told.because.number, "gone": [*map(str, gone)], "placed": [*map(str, placed)]}
    if told.run is not None:
        value["run"] = list(told.run.numbers)
    return value
