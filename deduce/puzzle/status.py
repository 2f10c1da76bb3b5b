"""What is impossible about a position, each finding with the house or cell at fault."""

from __future__ import annotations

from dataclasses import dataclass

from deduce.positions import bits
from deduce.puzzle.bounds import unreachable_rules
from deduce.puzzle.layout import Layout

__all__ = ["DIGIT_TWICE", "NO_CANDIDATE", "NO_PLACE", "RULE", "Finding", "findings"]

DIGIT_TWICE = "digit twice in a house"
NO_CANDIDATE = "cell with no candidate"
NO_PLACE = "digit with no place in a house"
RULE = "rule that cannot be met"


@dataclass(frozen=True, slots=True)
class Finding:
    """One reason why a position has no solution.

    Parameters
    ----------
    kind : str
        `DIGIT_TWICE`, `NO_CANDIDATE`, `NO_PLACE` or `RULE`.
    constraint : str
        The name of the constraint that cannot be met, such as ``"7 in box 2"``.
    cells : tuple of str
        The cells at fault.
    sentence : str
        The finding in words.
    """

    kind: str
    constraint: str
    cells: tuple[str, ...]
    sentence: str

    def __str__(self) -> str:
        return self.sentence


def findings(layout: Layout, live: int, true: int) -> tuple[Finding, ...]:
    """List what is impossible: digits twice in a house, cells without candidates, homeless digits, then other rules."""
    twice, bare, homeless = [], [], []
    for number, mask in enumerate(layout.masks):
        name = layout.model.constraints[number].name
        placed = bits(true & mask)
        kind, whose, which = layout.origin(number)
        if kind == "cell":
            cell = layout.cell_name(whose)
            if len(placed) > 1:
                digits = " and ".join(layout.symbols[c // layout.cells] for c in placed)
                twice.append(Finding(DIGIT_TWICE, name, (cell,), f"{cell} holds {digits} at once"))
            elif not live & mask:
                bare.append(Finding(NO_CANDIDATE, name, (cell,), f"{cell} has no candidate left"))
            continue
        digit, house = layout.symbols[which - 1], layout.houses[whose].name
        cells = tuple(layout.cell_name(c % layout.cells) for c in (placed if len(placed) > 1 else bits(mask)))
        if len(placed) > 1:
            times = "twice" if len(cells) == 2 else f"{len(cells)} times"
            sentence = f"{digit} stands {times} in {house}: {', '.join(cells[:-1])} and {cells[-1]}"
            twice.append(Finding(DIGIT_TWICE, name, cells, sentence))
        elif not live & mask:
            homeless.append(Finding(NO_PLACE, name, cells, f"{digit} has no place left in {house}"))
    further = []
    for number, _ in unreachable_rules(layout, live, true):
        constraint = layout.model.constraints[number]
        held = sorted({candidate % layout.cells for candidate, _ in constraint.terms})
        cells = tuple(map(layout.cell_name, held))
        further.append(Finding(RULE, constraint.name, cells, f"it cannot be met that {constraint.name}"))
    return tuple(twice + bare + homeless + further)
