"""A story in plain English: chapters, what made each step possible, what it gains, and runs of singles."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from deduce.patterns.one_rule import ONE_RULE
from deduce.patterns.singles import HIDDEN, LAST
from deduce.patterns.sums import BOUND
from deduce.puzzle.grid import grid_of
from deduce.walks.effort import effort
from deduce.walks.story import BY_RULES, ChapterKind, groups
from deduce.words.en.chains import there, true
from deduce.words.en.explain import explain, headline, outcome, puzzle_line
from deduce.words.en.names import Names, concluded, entry, in_words, many, series, together
from deduce.words.en.notation import notation
from deduce.words.en.speech import Spoken

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
    often = {1: "", 2: " (twice)"}
    listed = series(name + often.get(count, f" ({in_words(count)} times)") for name, count in names.items())
    count = len(story.left_out)
    return f"Left out, since nothing needs {'it' if count == 1 else 'them'}: {listed}."


def chapter_title(chapter: Chapter) -> str:
    """Return what a chapter is about."""
    problem = bool(chapter.steps[0].step.before.layout.problem)
    unit = "variable" if problem else "cell"
    count = many(len(chapter.steps), unit)
    if chapter.kind is ChapterKind.WHOLE:
        return f"Singles all the way: {count}"
    if chapter.kind is ChapterKind.OPENING:
        return f"The opening: {count} by singles"
    if chapter.kind is ChapterKind.REST:
        return f"The rest are singles: {count}"
    return _idea_title(chapter)


def _idea_title(chapter: Chapter) -> str:
    """Say what the heaviest step of a chapter does: what it opens, or else what it takes away."""
    idea = chapter.idea
    heaviest = max(idea, key=lambda told: (effort(told.step.proof).total, told.number)).step
    proof, layout = heaviest.proof, heaviest.before.layout
    if proof.contradiction:
        return headline(proof)
    called = {ONE_RULE: "rule", BOUND: "sum"}.get(proof.pattern.name, proof.pattern.name)
    if len(idea) == len(chapter.steps) >= _ROUND and {told.step.proof.pattern.name for told in idea} <= BY_RULES:
        return f"What the rules leave: {many(len(idea), 'step')}"
    who = f"The {Names(layout).worded(re.split(', | with | that ', called)[0])}"
    if len(idea) < len(chapter.steps):
        return f"{who} that {_opened(next(groups(chapter.steps[len(idea) :])), Names(layout))}"
    if proof.places:
        return f"{who} that places {series(map(entry, proof.places))}"
    lost = together(proof.eliminates)
    digits, cells = max(lost.items(), key=lambda group: len(group[0]) * len(group[1]))
    where = series(cells) if len(cells) <= _SEVERAL else many(len(cells), Names(layout).nouns.cell)
    return f"{who} that takes {series(digits)} from {where}{', and more' * (len(lost) > 1)}"


def _opened(group: Sequence[StoryStep], names: Names) -> str:
    """Say what singles that are told together do."""
    first, run = group[0], group[0].run
    placed, houses = _placed(first), first.step.proof.pattern.role("house")
    if run is None or len(group) == 1:
        return f"opens {names.houses(houses)}" if houses and not names.problem else f"settles {placed.cell}"
    if run.digit is not None:
        return f"places {in_words(len(group))} {placed.written}s"
    return f"{'fills' if _full(group[-1], run) else 'opens'} {names.houses([run.house or 0])}"


def tell_chapter(chapter: Chapter, level: str = "paragraph") -> str:
    """Return a chapter as text, one paragraph for each step of an idea and one for the singles after it."""
    if level == "full":
        return "\n\n".join(
            f"{told.number}. {headline(told.step.proof)}\n{_noted(told, level)}" for told in chapter.steps
        )
    if level == "line":
        return "\n".join(_lines(chapter.steps))
    steps, paragraphs = chapter.steps, list[str]()
    for group in groups(steps):
        told, at = group[0], group[0].number - steps[0].number
        if not told.single:
            gain = f" {_gain(steps[at + 1].step.proof)}" if _opens(steps, at) else ""
            paragraphs.append(f"{told.number}. {_noted(told, level, gain)}")
        elif at and steps[at - 1].single:
            paragraphs[-1] += f" {tell_singles(group)}"
        else:
            paragraphs.append(tell_singles(group, announced=at > 0 and _opens(steps, at - 1)))
    return "\n\n".join(paragraphs)


def tell_story_step(told: StoryStep, level: str = "paragraph") -> str:
    """Return what made a step possible, where that was recent, and its reasoning."""
    proof = told.step.proof
    said = explain(proof, level) if told.twin is None or level != "paragraph" else _likewise(proof)
    return said if level == "line" or told.because is None else _since(told.because, proof, said)


def _likewise(proof: Proof) -> str:
    """Tell a step that is like the one before: with which digits, where, and what falls."""
    names, pattern, parts = Names(grid_of(proof).layout), proof.pattern, {"digits": "", "cells": "", "houses": ""}
    if pattern.role("supposed"):
        supposed = true(names, pattern.role("supposed")[:1])
        return f"Suppose instead that {supposed}: the same follows, so {concluded(proof.places, proof.eliminates)}."
    for kind in parts:
        items = dict.fromkeys(item for role in pattern.roles if role.kind == kind for item in role.items)
        parts[kind] = format(Spoken(proof, names, kind, items)) if kind != "houses" else series(names.by_kind(items))
    told = f"Likewise{' for ' * bool(parts['digits'])}{parts['digits']}"
    if parts["cells"] or parts["houses"]:
        told += f"{' with ' * bool(parts['cells'])}{parts['cells']}{' in ' * bool(parts['houses'])}{parts['houses']}"
    elif pattern.chain is not None:
        where = [Spoken(proof, names, "candidates", node) for node in pattern.chain.nodes]
        nodes = [f"{node:or}" if parts["digits"] else there(names, node.items) for node in where]
        way = f"from {nodes[0]} {'back to it' if nodes[0] == nodes[-1] else f'to {nodes[-1]}'}"
        told += f", {f'round {series(nodes)}' if pattern.chain.loop else way}"
    return f"{told}: {concluded(proof.places, proof.eliminates)}."


def _noted(told: StoryStep, level: str, gain: str = "") -> str:
    """Return the words of a step with what it gains, and its written chain."""
    chain = notation(told.step.proof)
    return tell_story_step(told, level) + gain + (f"\n   {chain}" if chain else "")


def _since(because: Because, proof: Proof, sentence: str) -> str:
    """Put what made a step possible before its first sentence, or in one of its own before what holds anyway."""
    facts, names = _facts(because), Names(grid_of(proof).layout)
    if proof.pattern.name in BY_RULES or sentence.startswith(("1. ", "If ", "But ", "Every ")):
        joint = "\n" if sentence.startswith("1. ") else " "
        return f"Now {facts}.{joint}{sentence}"
    return f"Now that {facts}, {_small(names, sentence)}"


def _small(names: Names, sentence: str) -> str:
    """Return a sentence with a small first letter, unless it begins with a cell or with a name such as X-wing."""
    own = names.begins(sentence) or not re.match(r"[A-Z]([a-z]|\b [a-z])", sentence)
    return sentence if own else sentence[:1].lower() + sentence[1:]


def _facts(because: Because) -> str:
    """Say what an earlier step settled, as a clause."""
    if because.placed:
        return series(f"{c.cell} is {c.written}" for c in because.placed)
    lost = together(because.gone)
    if len(lost) > _FEW or any(len(where) > _SEVERAL for where in lost.values()):
        return f"step {because.number} has ruled out {many(len(because.gone), 'note')}"
    return series(_lost(digits, where) for digits, where in lost.items())


_ROUND = 2
"""From so many steps on that are no more than rules, a chapter is called after the rules and not after one of them."""

_FEW, _SEVERAL = 2, 4
"""So many kinds of losses, and so many cells for each, are named; more are counted."""


def _lost(digits: Sequence[str], cells: Sequence[str]) -> str:
    if len(cells) == 1:
        return f"{cells[0]} has lost its {series(digits)}"
    return f"{series(digits)} {'has' if len(digits) == 1 else 'have'} gone from {series(cells)}"


def _placed(told: StoryStep) -> Candidate:
    (candidate,) = told.step.proof.places
    return candidate


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


def tell_singles(group: Sequence[StoryStep], *, announced: bool = False) -> str:
    """Tell singles of one run, or a part of it, in one sentence, with what made the first one possible."""
    first = group[0]
    if announced and len(group) == 1:
        return f"{_placed(first).cell} is {_placed(first).written}."
    sentence = f"{_told_together(group)}."
    return sentence if first.because is None or announced else _since(first.because, first.step.proof, sentence)


def _told_together(group: Sequence[StoryStep]) -> str:
    """Tell a single, or those of a run, in a sentence without its full stop."""
    run, names = group[0].run, Names(group[0].step.before.layout)
    return names.sentence(_short(group[0], names) if run is None or len(group) == 1 else _tell_run(group, run, names))


def _short(told: StoryStep, names: Names) -> str:
    placed, name = _placed(told), told.step.proof.pattern.name
    house = names.houses(told.step.proof.pattern.role("house"))
    if placed.variable:
        return f"{placed.cell} is {placed.written}"
    if name == LAST:
        return f"{placed.cell} is the last open cell of {house} and takes {placed.written}"
    if name == HIDDEN:
        return f"{house} has its {placed.written} in {placed.cell}, the only place left"
    return f"{placed.cell} can only be {placed.written}"


def _tell_run(group: Sequence[StoryStep], run: StepRun, names: Names) -> str:
    placed = [_placed(told) for told in group]
    if run.digit is not None:
        return f"{placed[0].written} goes to {', then '.join(c.cell for c in placed)}"
    if placed[0].variable:
        return ", then ".join(f"{c.cell} is {c.written}" for c in placed)
    listed = ", then ".join(f"{c.written} in {c.cell}" for c in placed)
    return f"{names.houses([run.house or 0])} {'is filled:' if _full(group[-1], run) else 'takes'} {listed}"


def _full(told: StoryStep, run: StepRun) -> bool:
    """Whether the house of a run has no open cell after a step."""
    grid = told.step.after
    return all(grid.true & grid.layout.masks[cell] for cell in grid.layout.houses[run.house or 0].cells)


def _lines(steps: Sequence[StoryStep]) -> Iterator[str]:
    """Yield one line for each step, and one for each run of singles."""
    for group in groups(steps):
        first, last = group[0].number, group[-1].number
        yield (
            f"{first}. {headline(group[0].step.proof)}" if last == first else f"{first}-{last}. {_told_together(group)}"
        )
