"""What linear rules leave possible, cell by cell, for searches that need no reasons."""

from __future__ import annotations

from functools import lru_cache

from deduce.positions import bits
from deduce.puzzle.layout import Layout

__all__ = ["tighten"]

_Group = tuple[int, tuple[tuple[int, int], ...]]
_Row = tuple[int | None, int | None, int, tuple[_Group, ...]]


@lru_cache(maxsize=32)
def _rows(layout: Layout) -> tuple[_Row, ...]:
    """Return the constraints that say more than "at most one", their terms cell by cell.

    A cell holds one digit, so what it adds lies between its least and its greatest coefficient, those of candidates
    that the constraint does not name being zero.
    """
    found = []
    for number in layout.linear:
        constraint = layout.model.constraints[number]
        weights = dict(constraint.terms)
        cells = sorted({candidate % layout.cells for candidate in weights})
        groups = []
        for cell in cells:
            here = layout.masks[cell]
            groups.append((here, tuple((candidate, weights.get(candidate, 0)) for candidate in bits(here))))
        mask = sum(here for here, _ in groups)
        found.append((constraint.lower, constraint.upper, mask, tuple(groups)))
    return tuple(found)


def tighten(layout: Layout, live: int, changed: int) -> int | None:
    """Return the live candidates that every sum leaves room for, or None if one cannot be met.

    Parameters
    ----------
    layout : Layout
        The layout.
    live : int
        The live candidates; a placed digit is the only live candidate of its cell.
    changed : int
        Only rules that hold one of these candidates are looked at, and what follows from what they clear.
    """
    rows = _rows(layout)
    while changed:
        before = live
        for lower, upper, mask, groups in rows:
            if not mask & changed:
                continue
            ends = []
            for here, weights in groups:
                if not live & here:
                    return None
                found = [a for candidate, a in weights if live >> candidate & 1]
                ends.append((min(found), max(found)))
            least, most = sum(low for low, _ in ends), sum(high for _, high in ends)
            if (upper is not None and least > upper) or (lower is not None and most < lower):
                return None
            for (_, weights), (low, high) in zip(groups, ends, strict=True):
                room = None if upper is None else upper - least + low
                need = None if lower is None else lower - most + high
                if (room is None or high <= room) and (need is None or low >= need):
                    continue
                for candidate, a in weights:
                    if (room is not None and a > room) or (need is not None and a < need):
                        live &= ~(1 << candidate)
        changed = before & ~live
    return live
