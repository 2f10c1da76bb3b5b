"""The questions of one survey, by their numbers in its store."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from deduce.surveys.choice import patterns_of
from deduce.surveys.engine import engine
from deduce.surveys.levels import EVERY_PATTERN, EVERYTHING, Level, levels_of, with_each, without_each
from deduce.surveys.questions import (
    SurveyQuestion,
    further_question,
    needs_question,
    smallest_question,
    spec,
    validity_question,
    walk_question,
)
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
    smallest: bool
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
    without : tuple of (str, int)
        How far do its patterns go without one outside the base?
    added : tuple of (str, int)
        How far does the base go with one pattern more?
    further : int or None
        What of everything would go on from where each level is stuck?
    needs, smallest : int or None
        The smallest sets of patterns, and the smallest arguments.
    """

    engine: str
    questions: Mapping[int, SurveyQuestion]
    validity: int
    levels: tuple[tuple[Level, int], ...]
    widest: tuple[Level, int]
    patterns: tuple[Level, int]
    base: tuple[Level, int]
    without: tuple[tuple[str, int], ...]
    added: tuple[tuple[str, int], ...]
    further: int | None
    needs: int | None
    smallest: int | None

    @property
    def places(self) -> Mapping[str, int]:
        """For each level that something goes on from, its place in the answers to `further`."""
        if self.further is None:
            return {}
        order = [tuple(patterns) for patterns in spec(self.questions[self.further].text)["levels"]]
        narrower = (level for level, question in self.levels if question != self.widest[1])
        return {level.name: order.index(level.patterns) for level in narrower}


class _Asker:
    """Writes questions down, each once."""

    def __init__(self, store: Store, budget: int | None) -> None:
        self._store = store
        self._budget = budget
        self._walks: dict[tuple[str, ...], int] = {}
        self.questions: dict[int, SurveyQuestion] = {}

    def ask(self, question: SurveyQuestion, label: str) -> int:
        """Return the number of a question."""
        number = self._store.question(question, engine(), label)
        self.questions[number] = question
        return number

    def walk(self, level: Level) -> tuple[Level, int]:
        """Ask how far a level goes; levels with the same patterns are one question, labelled by the first."""
        if level.patterns not in self._walks:
            self._walks[level.patterns] = self.ask(walk_question(level, self._budget), level.name)
        return level, self._walks[level.patterns]


def questionnaire(store: Store, asking: Asking) -> Questionnaire:
    """Write down what is asked.

    Raises
    ------
    PatternError
        For a pattern that the catalogue lacks.
    """
    patterns = None if asking.patterns is None else tuple(asking.patterns)
    levels = levels_of(asking.levels, patterns)
    about = patterns
    if about is None:
        about = tuple(name for level in levels for name in level.patterns if name != REFUTATION)
    widest = Level.of(EVERYTHING, about)
    found = Level.of(EVERY_PATTERN, patterns_of(about))
    base = Level.of("base", patterns_of(asking.base))
    asker = _Asker(store, asking.budget)
    valid = asker.ask(validity_question(asking.nodes), "validity")
    ladder = tuple(asker.walk(level) for level in levels)
    whole = asker.walk(widest)
    ground, seen = (base, 0), (found, 0)
    without: tuple[tuple[str, int], ...] = ()
    added: tuple[tuple[str, int], ...] = ()
    if asking.marginal:
        seen = asker.walk(found)
        more = [name for name in found.patterns if name not in base.patterns]
        missing = without_each(base.patterns, found.patterns)
        without = tuple((name, asker.walk(level)[1]) for name, level in zip(more, missing, strict=True))
        first, *others = with_each(base.patterns, found.patterns)
        ground = (base, asker.walk(first)[1])
        added = tuple((name, asker.walk(level)[1]) for name, level in zip(more, others, strict=True))
    further = needs = smallest = None
    if any(level.patterns != widest.patterns for level in levels):
        further = asker.ask(further_question(levels, widest, asking.budget), "what would go on")
    if asking.needs:
        question = needs_question(base.patterns, found.patterns, asking.needs_limit)
        needs = asker.ask(question, "smallest sets of patterns")
    if asking.smallest:
        smallest = asker.ask(smallest_question(found), "smallest arguments")
    return Questionnaire(
        engine(), asker.questions, valid, ladder, whole, seen, ground, without, added, further, needs, smallest
    )
