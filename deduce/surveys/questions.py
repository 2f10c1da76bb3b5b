"""What a survey asks about each puzzle; a question with its answer is what the store keeps."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from deduce.surveys.choice import ordered
from deduce.surveys.levels import Level

__all__ = [
    "FURTHER",
    "NEEDS",
    "SMALLEST",
    "VALIDITY",
    "WALK",
    "SurveyQuestion",
    "further_question",
    "needs_question",
    "smallest_question",
    "spec",
    "validity_question",
    "walk_question",
]

VALIDITY = "validity"
WALK = "walk"
FURTHER = "further"
NEEDS = "needs"
SMALLEST = "smallest"


@dataclass(frozen=True, slots=True)
class SurveyQuestion:
    """A question that can be asked about any puzzle.

    Parameters
    ----------
    kind : str
        `VALIDITY`: how many solutions; `WALK`: how far a set of patterns goes; `FURTHER`: what
        would go on from where several sets are stuck; `NEEDS`: the smallest sets that solve;
        `SMALLEST`: the size of the smallest arguments.
    text : str
        Everything that the answer depends on beside the puzzle and the engine, as canonical JSON.
    """

    kind: str
    text: str


def _question(kind: str, **fields: object) -> SurveyQuestion:
    return SurveyQuestion(kind, json.dumps(fields, separators=(",", ":"), sort_keys=True))


def validity_question(nodes: int) -> SurveyQuestion:
    """Ask how many solutions a puzzle has, branching at most so often."""
    return _question(VALIDITY, nodes=nodes)


def walk_question(level: Level, budget: int | None = None) -> SurveyQuestion:
    """Ask how far a level goes in so many steps."""
    return _question(WALK, patterns=level.patterns, budget=budget)


def further_question(levels: Iterable[Level], among: Level, budget: int | None = None) -> SurveyQuestion:
    """Ask which pattern of a wider level would go on from where each of some levels is stuck, in whatever order."""
    return _question(FURTHER, levels=sorted({level.patterns for level in levels}), among=among.patterns, budget=budget)


def needs_question(known: Iterable[str], patterns: Iterable[str], limit: int) -> SurveyQuestion:
    """Ask which smallest sets of patterns solve a puzzle beside the known ones, trying at most so many sets."""
    return _question(NEEDS, known=ordered(known), patterns=ordered(patterns), limit=limit)


def smallest_question(level: Level) -> SurveyQuestion:
    """Ask for the smallest arguments at the hardest step and at the stuck position of a level."""
    return _question(SMALLEST, patterns=level.patterns)


@lru_cache(maxsize=4096)
def spec(text: str) -> dict[str, Any]:
    """Return the fields of a question; do not change them."""
    fields: dict[str, Any] = json.loads(text)
    return fields
