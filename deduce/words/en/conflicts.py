"""The prose of conflicts between the constraints of a problem."""

from __future__ import annotations

from deduce.claims.conflict import Conflict
from deduce.words.en.explain import explain, headline

__all__ = ["tell_conflict"]


def tell_conflict(conflict: Conflict) -> str:
    """Return which constraints conflict, whether one could be spared, and the reasoning.

    One constraint a line if there are several.
    """
    count = len(conflict.titles)
    if not count:
        told = "The values of the variables alone leave no solution."
    elif count == 1:
        told = f"This constraint cannot be met: {conflict.titles[0]}."
    else:
        listed = "\n".join(
            f"  {number}. {title}" for number, title in zip(conflict.numbers, conflict.titles, strict=True)
        )
        told = f"These {count} constraints cannot all hold:\n{listed}\n"
        told += (
            "Without any one of them there is a solution."
            if conflict.minimal
            else "Whether one of them could be left out was not settled within the budget."
        )
    steps = [step.proof for step in conflict.walk.steps]
    if len(steps) == 1:
        return f"{told}\n{explain(steps[0])}"
    lines = [f"  {number}. {headline(proof)}. {explain(proof)}" for number, proof in enumerate(steps, 1)]
    return "\n".join([told, "Step by step:", *lines])
