"""Where cheap deductions lead, without their reasons: a screen before the search that keeps them."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.kernel import Position, bits
from deduce.links.implications import closed
from deduce.links.statements import Rules

__all__ = ["quickly", "witness"]

BRANCHES = 2_000
"""How many branches are tried in search of a solution that spares questions."""


def quickly(rules: Rules, live: int, true: int) -> tuple[Position | None, int]:
    """Follow singles, locked candidates and chains to the end.

    Parameters
    ----------
    rules : Rules
        A model all of whose constraints are plain.
    live, true : int
        The position.

    Returns
    -------
    Position or None
        None if they end in a contradiction.
    int
        A rough measure of how much had to be drawn on the way.
    """
    work = 0
    weak = rules.weak
    choices: Sequence[tuple[int, int]] = rules.choices
    while True:
        moving = True
        while moving:
            moving = False
            still = []
            for item in choices:
                here = live & item[1]
                if here & (here - 1):
                    still.append(item)
                elif not here:
                    return None, work
                elif not here & true:
                    true |= here
                    live &= ~weak[here.bit_length() - 1]
                    moving = True
                    work += 1
            choices = still
        falls = 0
        for number, mask in choices:
            here = live & mask
            if not here & true:
                for other, outside in rules.overlaps[number]:
                    if not here & outside:
                        falls |= rules.masks[other] & live & ~here
        if falls:
            live &= ~falls
            work += 2
            continue
        falls, rises = closed(rules, choices, live, true)
        if falls & rises:
            return None, work + 8
        for candidate in bits(rises):
            falls |= weak[candidate] & live
        if not falls & live:
            return Position(live, true), work
        live &= ~falls
        work += 8


def witness(rules: Rules, position: Position) -> int:
    """Return the true candidates of one solution as a bitset, or 0 if none is found quickly or the model is not plain.

    What is true in a solution can be shown false by no argument, so such candidates need not be asked about.  Nothing
    that is concluded rests on it.
    """
    if not all(rules.plain) or not all(rules.some):
        return 0
    stack: list[tuple[int, int, Sequence[tuple[int, int]]]] = [(position.live, position.true, rules.choices)]
    for _ in range(BRANCHES):
        if not stack:
            return 0
        settled = _settled(rules, *stack.pop())
        if settled is None:
            continue
        live, true, choices = settled
        if not choices:
            return true
        fewest = min(choices, key=lambda item: (live & item[1]).bit_count())[1] & live
        stack += [(live & ~rules.weak[c], true | 1 << c, choices) for c in reversed(bits(fewest))]
    return 0


def _settled(
    rules: Rules, live: int, true: int, choices: Sequence[tuple[int, int]]
) -> tuple[int, int, Sequence[tuple[int, int]]] | None:
    """Place singles until none is left; return the position and what is still to be met, or None if it is dead."""
    moving = True
    while moving:
        moving = False
        still = []
        for item in choices:
            here = live & item[1]
            if not here:
                return None
            if here & (here - 1):
                still.append(item)
            elif not here & true:
                true |= here
                live &= ~rules.weak[here.bit_length() - 1]
                moving = True
        choices = still
    return live, true, choices
