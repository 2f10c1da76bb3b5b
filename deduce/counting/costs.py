"""What an argument costs: the measure in which a smallest one is smallest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deduce.kernel import Counting, Model
from deduce.puzzle.layout import Layout

__all__ = ["COSTS", "Cost", "cost_named", "unit_cost"]

COSTS = ("constraints", "people")
"""The names that `cost` options accept."""

CELL, SCAN, COVER, DIGIT = 2, 3, 1, 2
"""The option ``"people"``: reading the notes of a cell, scanning a house for a digit, keeping in mind that a constraint
has room for one only, and each different digit to follow."""


@dataclass(frozen=True, slots=True)
class Cost:
    """The cost of counting arguments over one model, in whole numbers.

    Parameters
    ----------
    bases, covers : sequence of int
        For each constraint what each use of it as a base and as a cover costs, at least 1.
    digits : sequence of int
        For each constraint the digit that it is about; 0 if it is about none.
    each_digit : int
        What each different digit adds.
    """

    bases: Sequence[int]
    covers: Sequence[int]
    digits: Sequence[int] = ()
    each_digit: int = 0

    def of(self, argument: Counting) -> int:
        """Return the cost of an argument."""
        total = sum(self.bases[k] * weight for k, weight in argument.bases)
        total += sum(self.covers[k] * weight for k, weight in argument.covers)
        if not self.each_digit:
            return total
        used = {self.digits[k] for side in (argument.bases, argument.covers) for k, _ in side}
        return total + self.each_digit * len(used - {0})


def unit_cost(model: Model) -> Cost:
    """Return the cost by which each use of a constraint counts 1."""
    ones = [1] * len(model.constraints)
    return Cost(ones, ones)


def cost_named(name: str, model: Model, layout: Layout | None) -> Cost:
    """Return the cost with a name.

    Parameters
    ----------
    name : str
        ``"constraints"``: each use of a base or a cover counts 1.  ``"people"``: as a base
        a cell counts 2 and a digit in a house 3, as a cover anything counts 1, and each different digit adds 2.
    model : Model
        The model.
    layout : Layout or None
        What tells cells from digits in houses; needed for ``"people"``.

    Raises
    ------
    ValueError
        For another name, or if ``"people"`` is asked for on a model that has no layout.
    """
    if name not in COSTS:
        raise ValueError(f"no cost is called {name!r}; the names are {' and '.join(map(repr, COSTS))}")
    if name == "constraints":
        return unit_cost(model)
    if layout is None:
        raise ValueError("the cost 'people' weighs cells, houses and digits; this model has none, use 'constraints'")
    # A further rule is read like a cell: its cells, and what it says of them.
    size = len(model.constraints)
    digits = [place[1] if place else 0 for place in map(layout.house_of, range(size))]
    return Cost([SCAN if digit else CELL for digit in digits], [COVER] * size, digits, DIGIT)
