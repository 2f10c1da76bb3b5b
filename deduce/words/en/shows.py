"""The prose around pictures: what the step player, the turns of a step and the charts say."""

from __future__ import annotations

from deduce.proof import Proof
from deduce.walks.walk import Walk
from deduce.words.en.explain import canvas, explain, outcome
from deduce.words.en.names import capital

__all__ = [
    "CHART",
    "PLAYER",
    "TURNS",
    "chart_title",
    "effort",
    "ended",
    "longer",
    "page_title",
    "start",
]

PLAYER = {
    "controls": "Steps",
    "list": "List of steps",
    "previous": "\u2190 Previous",
    "next": "Next \u2192",
    "play": "Play",
    "pause": "Pause",
    "all": "All steps",
    "one": "One step",
    "position": "Position in the walk",
    "notes": "Notes",
    "noteChoices": ["all notes", "needed notes", "no notes"],
    "links": "Links",
    "start": "Start",
    "end": "End",
    "step": "Step {number} of {count}",
    "keys": "Arrow keys step; Home and End go to the ends.",
}
"""Labels of the player; the script fills in the number and the count."""

TURNS = {
    "position": "The position",
    "where": "Where to look",
    "link": "Link {number} of {count}",
    "supposed": "Suppose",
    "consequence": "Consequence {number} of {count}",
    "places": "What is placed",
    "falls": "What falls",
    "broken": "Why there is no solution",
    "result": "After the step",
}
"""Titles of the turns in which a step is told; the one that names the pattern has its name."""

CHART = {
    "left": "candidates left",
    "effort": "effort of the step",
    "step": "step",
    "stuck": "stuck here",
    "budget spent": "budget spent here",
    "impossible": "no solution: shown here",
}
"""Labels of the chart of a walk."""


def start() -> str:
    """Return the headline of the position in which a walk starts."""
    return "Where it starts"


def ended() -> str:
    """Return the headline of the position in which a walk ends."""
    return "Where it ends"


def page_title(walk: Walk) -> str:
    """Return the title of a page."""
    count = len(walk.steps)
    return f"{capital(canvas(walk.start.layout))} in {count} step{'' if count == 1 else 's'}"


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
