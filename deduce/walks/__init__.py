"""From a grid to its solution: steps, outcomes, walks."""

from deduce.walks.walk import Outcome, Step, Walk, walk

__all__ = ["Outcome", "Step", "Walk", "walk"]
