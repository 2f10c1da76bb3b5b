"""The questions of one survey, by their numbers in its store."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from deduce.surveys.choice import patterns_of
from deduce.surveys.engine import engine
from deduce.surveys.levels import EVERY_PATTERN, EVERYTHING, Level, levels_of, with_each, without_each
from deduce.surveys.questions import FURTHER, NEEDS, VALIDITY, WALK, SurveyQuestion
from deduce.surveys.refutation import REFUTATION
from deduce.surveys.store import Store

__all__ = ["Asking", "Questionnaire", "questionnaire"]


@dataclass(frozen=True, slots=True)
class Asking:
    """What a caller wants to know; see `survey` for what each field means."""

    patterns: Iterable[str] | None
    levels: Mapping[str, Iterable[str]] | Sequence[Level | str] | None
    base: Iterable[str]
    marginal: bool
    needs: bool
    budget: int | None
    nodes: int
    needs_limit: int


@dataclass(frozen=True, slots=True)
class Questionnaire:
    """The questions of a survey.

    Parameters
    ----------
    engine : str
        Which engine answers.
    questions : dict of int to SurveyQuestion
        All of them, by number.
    labels : dict of int to str
        What tables call those that walk.
    validity : int
        How many solutions?
    levels : tuple of (Level, int)
        How far does each level go?
    widest : (Level, int)
        How far does everything go that the survey is about?
    patterns : (Level, int)
        How far do its patterns go, without counting arguments and suppositions?  With those nearly every puzzle comes
        out, so what a pattern adds is measured without them; asked only with `without`.
    base : (Level, int)
        The level that `added` and `needs` build on; asked only with `added`.
    without : dict of str to int
        How far do its patterns go without one outside the base?
    added : dict of str to int
        How far does the base go with one pattern more?
    further : int or None
        What of everything would go on from where each level is stuck?
    places : dict of str to int
        For each level narrower than everything its place in the answers to `further`.
    needs : int or None
        The smallest sets of patterns.
    """

    engine: str
    questions: Mapping[int, SurveyQuestion]
    labels: Mapping[int, str]
    validity: int
    levels: tuple[tuple[Level, int], ...]
    widest: tuple[Level, int]
    patterns: tuple[Level, int]
    base: tuple[Level, int]
    without: Mapping[str, int]
    added: Mapping[str, int]
    further: int | None
    places: Mapping[str, int]
    needs: int | None


def questionnaire(store: Store, asking: Asking) -> Questionnaire:
    """Write down what is asked.

    Raises
    ------
    PatternError
        For a pattern that the catalogue lacks.
    """
    patterns = None if asking.patterns is None else tuple(asking.patterns)
    levels = levels_of(asking.levels, patterns)
    if patterns is None:
        patterns = tuple(name for level in levels for name in level.patterns if name != REFUTATION)
    widest = Level.of(EVERYTHING, patterns)
    found = Level.of(EVERY_PATTERN, patterns_of(patterns))
    base = Level.of("base", patterns_of(asking.base))
    questions: dict[int, SurveyQuestion] = {}
    walks: dict[tuple[str, ...], int] = {}
    labels: dict[int, str] = {}

    def ask(label: str, kind: str, **fields: object) -> int:
        question = SurveyQuestion.of(kind, **fields)
        number = store.question(question, engine(), label)
        questions[number] = question
        return number

    def walk(level: Level) -> int:
        """Ask how far a level goes; levels with the same patterns are one question, labelled by the first."""
        if level.patterns not in walks:
            number = ask(level.name, WALK, patterns=level.patterns, budget=asking.budget)
            walks[level.patterns] = number
            labels[number] = level.name
        return walks[level.patterns]

    valid = ask("validity", VALIDITY, nodes=asking.nodes)
    ladder = tuple((level, walk(level)) for level in levels)
    whole, every, ground = (widest, walk(widest)), (found, 0), (base, 0)
    without: dict[str, int] = {}
    added: dict[str, int] = {}
    if asking.marginal:
        every, ground = (found, walk(found)), (base, walk(base))
        more = [name for name in found.patterns if name not in base.patterns]
        without = dict(zip(more, map(walk, without_each(base.patterns, found.patterns)), strict=True))
        added = dict(zip(more, map(walk, with_each(base.patterns, found.patterns)[1:]), strict=True))
    narrower = [level for level in levels if level.patterns != widest.patterns]
    order = sorted({level.patterns for level in levels})
    further = needs = None
    if narrower:
        further = ask("what would go on", FURTHER, levels=order, among=widest.patterns, budget=asking.budget)
    if asking.needs:
        fields = {"known": base.patterns, "patterns": found.patterns, "limit": asking.needs_limit}
        needs = ask("smallest sets of patterns", NEEDS, **fields)
    places = {level.name: order.index(level.patterns) for level in narrower}
    return Questionnaire(
        engine(), questions, labels, valid, ladder, whole, every, ground, without, added, further, places, needs
    )
