"""The prose around pictures: what the step player, the turns of a step and the charts say."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from deduce.proof import Proof
from deduce.walks.walk import Walk
from deduce.words.en.explain import canvas, explain, outcome
from deduce.words.en.names import capital, many

__all__ = ["ALSO", "CHART", "PLAYER", "STAGE", "TALLY", "TURNS", "WHOLE", "chart_title", "effort", "ended", "longer"]
__all__ += ["page_title", "start"]

_LABELS = json.loads(files("deduce.words.en").joinpath("shows.json").read_text(encoding="utf-8"))

PLAYER: dict[str, Any] = _LABELS["player"]
"""Labels of the player; the script fills in the number and the count."""

STAGE: dict[str, Any] = _LABELS["stage"]
"""Labels of the stage and of the speaker's window."""

TURNS: dict[str, str] = _LABELS["turns"]
"""Titles of the turns in which a step is told; the one that names the pattern has its name."""

TALLY: dict[str, str] = _LABELS["tally"]
"""Labels of the table of a sum."""

CHART: dict[str, str] = _LABELS["chart"]
"""Labels of the chart of a walk."""

WHOLE: str = _LABELS["whole"]
"""The chapter of a walk that has no chapters."""

ALSO: str = _LABELS["also"]
"""The heading of what else could be found at a step."""


def start() -> str:
    """Return the headline of the position in which a walk starts."""
    return "Where it starts"


def ended() -> str:
    """Return the headline of the position in which a walk ends."""
    return "Where it ends"


def page_title(walk: Walk) -> str:
    """Return the title of a page."""
    return f"{capital(canvas(walk.start.layout))} in {many(len(walk), 'step', str)}"


def effort(proof: Proof) -> str:
    """Say how much there was to read."""
    return f"(effort {proof.effort})"


def longer(proof: Proof) -> tuple[str, list[str]]:
    """Return the heading and the lines of the longest way to tell a proof."""
    lines = [line.partition(". ")[2] for line in explain(proof, "full").split("\n")]
    heading = "Link by link" if proof.pattern.chain is not None else "Premise by premise"
    return _HEADINGS.get(proof.pattern.name, heading), lines


_HEADINGS = {"counting argument": "Need by need", "supposition": "Step by step"}


def chart_title(walk: Walk) -> str:
    """Return the title of a chart."""
    return f"{page_title(walk)}. {outcome(walk)}"
