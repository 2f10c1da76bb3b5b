"""A story in plain English: chapters, what made each step possible, what it gains, and runs of singles."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from deduce.patterns.singles import HIDDEN, LAST
from deduce.puzzle.grid import grid_of
from deduce.walks.effort import effort
from deduce.walks.story import ChapterKind
from deduce.words.en.explain import explain, headline, outcome, puzzle_line, title_of
from deduce.words.en.names import capital, in_words, series
from deduce.words.en.notation import notation

if TYPE_CHECKING:
    from deduce.proof import Candidate, Proof
    from deduce.walks.story import Because, Chapter, StepRun, Story, StoryStep

__all__ = ["chapter_title", "tell_chapter", "tell_singles", "tell_story", "tell_story_step"]


def tell_story(story: Story, level: str = "paragraph") -> str:
    """Return a story as text: the puzzle, its chapters, how it ends, and what was left out."""
    told = [puzzle_line(story.walk.start)]
    for number, chapter in enumerate(story.chapters, 1):
        told.append(f"Chapter {number}. {chapter.title}\n\n{tell_chapter(chapter, level)}")
    return "\n\n".join([*told, " ".join(filter(None, (outcome(story.walk), left_out(story))))])


def left_out(story: Story) -> str:
    """Return a sentence on the steps that are not told; empty if there are none."""
    if not story.left_out:
        return ""
    names = Counter(step.proof.pattern.name for step in story.left_out)
    listed = series(name if count == 1 else f"{name} ({in_words(count)} times)" for name, count in names.items())
    count = len(story.left_out)
    return f"Left out, since nothing needs {'it' if count == 1 else 'them'}: {listed}."


def chapter_title(chapter: Chapter) -> str:
    """Return what a chapter is about."""
    problem = bool(chapter.steps[0].step.before.layout.problem)
    unit = "variable" if problem else "cell"
    count = _counted(len(chapter.steps), unit)
    if chapter.kind is ChapterKind.WHOLE:
        return f"Singles all the way: {count}"
    if chapter.kind is ChapterKind.OPENING:
        return f"The opening: {count} by singles"
    if chapter.kind is ChapterKind.REST:
        return f"The rest are singles: {count}"
    idea = chapter.idea
    heaviest = max(idea, key=lambda told: (effort(told.step.proof).total, told.number))
    title = title_of(heaviest.step.proof.pattern.name, heaviest.step.before.layout)
    if len(idea) > 1:
        title += f", with {_counted(len(idea) - 1, 'other step')}"
    opened = len(chapter.steps) - len(idea)
    return f"{title}: {_counted(opened, unit)} open{'s' * (opened == 1)}" if opened else title


def tell_chapter(chapter: Chapter, level: str = "paragraph") -> str:
    """Return a chapter as text, one paragraph for each step of an idea and one for the singles after it."""
    if level == "full":
        return "\n\n".join(
            f"{told.number}. {headline(told.step.proof)}\n{_noted(told, level)}" for told in chapter.steps
        )
    if level == "line":
        return "\n".join(_lines(chapter.steps))
    paragraphs: list[str] = []
    singles: list[str] = []
    at = 0
    while at < len(chapter.steps):
        told = chapter.steps[at]
        if told.single:
            group = _together(chapter.steps, at)
            announced = at > 0 and not chapter.steps[at - 1].single and _opens(chapter.steps, at - 1)
            singles.append(_tell_singles(group, announced=announced))
            at += len(group)
            continue
        if singles:
            paragraphs.append(" ".join(singles))
            singles = []
        gain = f" {_gain(chapter.steps[at + 1].step.proof)}" if _opens(chapter.steps, at) else ""
        paragraphs.append(f"{told.number}. {_noted(told, level, gain)}")
        at += 1
    return "\n\n".join([*paragraphs, *([" ".join(singles)] if singles else [])])


def tell_story_step(told: StoryStep, level: str = "paragraph") -> str:
    """Return what made a step possible, where that was recent, and its reasoning."""
    proof = told.step.proof
    if level == "line" or told.because is None:
        return explain(proof, level)
    return _since(told.because, proof, explain(proof, level))


def _noted(told: StoryStep, level: str, gain: str = "") -> str:
    """Return the words of a step with what it gains, and its written chain."""
    chain = notation(told.step.proof)
    return tell_story_step(told, level) + gain + (f"\n   {chain}" if chain else "")


def _since(because: Because, proof: Proof, sentence: str) -> str:
    """Put what made a step possible before its first sentence."""
    facts = _facts(because)
    if grid_of(proof).layout.problem or sentence.startswith("1. "):
        return f"Now {facts}. {sentence}" if not sentence.startswith("1. ") else f"Now {facts}.\n{sentence}"
    return f"Now that {facts}, {_small(sentence)}"


def _small(sentence: str) -> str:
    """Return a sentence with a small first letter, unless it begins with a name such as X-wing."""
    return sentence[:1].lower() + sentence[1:] if re.match(r"[A-Z]([a-z]|\b [a-z])", sentence) else sentence


def _facts(because: Because) -> str:
    """Say what an earlier step settled, as a clause."""
    if because.placed:
        return series(f"{c.cell} is {c.written}" for c in because.placed)
    cells: dict[str, list[Candidate]] = {}
    for candidate in because.gone:
        cells.setdefault(candidate.cell, []).append(candidate)
    together: dict[tuple[str, ...], list[str]] = {}
    for cell, gone in cells.items():
        together.setdefault(tuple(c.written for c in gone), []).append(cell)
    if len(together) > _FEW or any(len(where) > _SEVERAL for where in together.values()):
        return f"step {because.number} has ruled out {_counted(len(because.gone), 'note')}"
    return series(_lost(digits, where) for digits, where in together.items())


_FEW, _SEVERAL = 2, 4
"""So many kinds of losses, and so many cells for each, are named; more are counted."""


def _lost(digits: Sequence[str], cells: Sequence[str]) -> str:
    if len(cells) == 1:
        return f"{cells[0]} has lost its {series(digits)}"
    return f"{series(digits)} {'has' if len(digits) == 1 else 'have'} gone from {series(cells)}"


def _counted(count: int, name: str) -> str:
    return f"{in_words(count)} {name}{'' if count == 1 else 's'}"


def _placed(told: StoryStep) -> Candidate:
    (candidate,) = told.step.proof.places
    return candidate


def _house(told: StoryStep) -> str:
    """Return the name of the house of a single; empty for a naked one."""
    return _name(told, told.step.proof.pattern.role("house"))


def _name(told: StoryStep, houses: Sequence[int]) -> str:
    return series(told.step.before.layout.houses[house].name for house in houses)


def _opens(steps: Sequence[StoryStep], at: int) -> bool:
    """Whether the step after an idea is a single that rests on it."""
    return at + 1 < len(steps) and steps[at + 1].single and steps[at + 1].number in steps[at].gains


def _gain(proof: Proof) -> str:
    """Say what a step opens: the single that follows it."""
    (placed,) = proof.places
    houses = proof.pattern.role("house")
    if not houses:
        return f"That leaves nothing but {placed.written} for {placed.cell}."
    return f"That leaves one place for {placed.written} in {grid_of(proof).layout.houses[houses[0]].name}."


def _together(steps: Sequence[StoryStep], at: int) -> Sequence[StoryStep]:
    """Return the steps from one on that are told with it."""
    run = steps[at].run
    return steps[at : at + 1] if run is None else steps[at : at + run.numbers[-1] - steps[at].number + 1]


def _tell_singles(group: Sequence[StoryStep], *, announced: bool = False) -> str:
    """Tell a run of singles in one sentence, with what made the first one possible."""
    first = group[0]
    run = first.run
    sentence = _short(first) if run is None or len(group) == 1 else _tell_run(group, run)
    if first.because is None or announced:
        return f"{capital(sentence)}."
    return _since(first.because, first.step.proof, f"{sentence}.")


def _short(told: StoryStep) -> str:
    placed, house, name = _placed(told), _house(told), told.step.proof.pattern.name
    if placed.variable:
        return f"{placed.cell} is {placed.written}"
    if name == LAST:
        return f"{placed.cell} is the last open cell of {house} and takes {placed.written}"
    if name == HIDDEN:
        return f"{house} has its {placed.written} in {placed.cell}, the only place left"
    return f"{placed.cell} can only be {placed.written}"


def _tell_run(group: Sequence[StoryStep], run: StepRun) -> str:
    placed = [_placed(told) for told in group]
    if run.digit is not None:
        return f"{placed[0].written} goes to {', then '.join(c.cell for c in placed)}"
    assert run.house is not None
    last = group[-1].step
    layout, true = last.after.layout, last.after.true
    full = all(true & layout.masks[cell] for cell in layout.houses[run.house].cells)
    if placed[0].variable:
        return ", then ".join(f"{c.cell} is {c.written}" for c in placed)
    listed = ", then ".join(f"{c.written} in {c.cell}" for c in placed)
    return f"{_name(group[0], [run.house])} {'is filled:' if full else 'takes'} {listed}"


def _lines(steps: Sequence[StoryStep]) -> Iterator[str]:
    """Yield one line for each step, and one for each run of singles."""
    at = 0
    while at < len(steps):
        group = _together(steps, at)
        first, last = group[0].number, group[-1].number
        if len(group) > 1 and group[0].run is not None:
            yield f"{first}-{last}. {capital(_tell_run(group, group[0].run))}"
        else:
            yield f"{first}. {headline(group[0].step.proof)}"
        at += len(group)


def tell_singles(group: Sequence[StoryStep]) -> str:
    """Tell singles of one run, or a part of it, in one sentence, with what made the first one possible."""
    return _tell_singles(group)
