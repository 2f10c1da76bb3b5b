"""Where cheap deductions lead, without their reasons: a screen before the search that keeps them."""

from __future__ import annotations

from collections.abc import Iterable

from deduce.deadline import in_time
from deduce.kernel import Position
from deduce.links.closure import entailed
from deduce.links.linkset import strong_links
from deduce.links.statements import Statements
from deduce.positions import bits
from deduce.solving.singles import place_singles

__all__ = ["where_chains_lead", "witness"]

BRANCHES = 2_000
"""How many branches are tried in search of a solution that spares questions."""


def where_chains_lead(statements: Statements, live: int, true: int) -> tuple[Position | None, int]:
    """Return the position to which singles, locked candidates and chains lead.

    Parameters
    ----------
    statements : Statements
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
    weak, choices, overlaps, whole = statements.weak, statements.choices, statements.overlaps, statements.masks
    widest = statements.widest
    masks: Iterable[int] = choices
    while True:
        in_time()
        before = true
        live, true, unmet = place_singles(weak, live, true, masks)
        work += (true ^ before).bit_count()
        if unmet is None:
            return None, work
        masks = unmet
        falls = 0
        for mask in unmet:
            here = live & mask
            if here.bit_count() <= widest and not here & true:
                for other, outside in overlaps[choices[mask][0]]:
                    if not here & outside:
                        falls |= whole[other] & live & ~here
        if falls:
            live &= ~falls
            work += 2
            continue
        strong, active = strong_links(live, unmet)
        _, falls, rises = entailed(strong, weak, live, active)
        falls &= live & ~true
        if falls & rises:
            return None, work + 8
        for candidate in bits(rises):
            falls |= weak[candidate] & live
        if not falls & live:
            return Position(live, true), work
        live &= ~falls
        work += 8


def witness(statements: Statements, position: Position) -> int:
    """Return the true candidates of one solution as a bitset, or 0 if none is found quickly or the model is not plain.

    What is true in a solution can be shown false by no argument, so such candidates need not be asked about.  Nothing
    that is concluded rests on it.
    """
    if not all(statements.plain) or not all(statements.some):
        return 0
    stack: list[tuple[int, int, Iterable[int]]] = [(position.live, position.true, statements.choices)]
    for _ in range(BRANCHES):
        if not stack:
            return 0
        live, true, unmet = place_singles(statements.weak, *stack.pop())
        if unmet is None:
            continue
        if not unmet:
            return true
        fewest = min(unmet, key=lambda mask: (live & mask).bit_count()) & live
        stack += [(live & ~statements.weak[c], true | 1 << c, unmet) for c in reversed(bits(fewest))]
    return 0
