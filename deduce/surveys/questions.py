"""What a survey asks about each puzzle; a question with its answer is what the store keeps."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

__all__ = ["FURTHER", "NEEDS", "VALIDITY", "WALK", "SurveyQuestion", "spec"]

VALIDITY = "validity"
WALK = "walk"
FURTHER = "further"
NEEDS = "needs"


@dataclass(frozen=True, slots=True)
class SurveyQuestion:
    """A question that can be asked about any puzzle.

    Parameters
    ----------
    kind : str
        `VALIDITY`: how many solutions; `WALK`: how far a set of patterns goes; `FURTHER`: what
        would go on from where several sets are stuck; `NEEDS`: the smallest sets that solve.
    text : str
        Everything that the answer depends on beside the puzzle and the engine, as canonical JSON.
    """

    kind: str
    text: str

    @classmethod
    def of(cls, kind: str, **fields: object) -> SurveyQuestion:
        """Return the question with these fields."""
        return cls(kind, json.dumps(fields, separators=(",", ":"), sort_keys=True))


@lru_cache(maxsize=4096)
def spec(text: str) -> dict[str, Any]:
    """Return the fields of a question; do not change them."""
    fields: dict[str, Any] = json.loads(text)
    return fields
