"""The prose of rules beyond the houses: of "one rule alone", what a rule leaves possible, and of the marks of rules."""

from __future__ import annotations

from collections.abc import Callable

from deduce.patterns.one_rule import ONE_RULE
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.names import Names, capital, losses, series

__all__ = ["DOTS", "TELLERS"]

DOTS = "dotted lines hold sums in which a digit may come twice, if no other rule forbids it"

_MOST_READ = 4
"""If more cells than this are to be read, they are not told one by one."""


def _one_rule(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell the rule, what its other cells may be, and what that leaves no room for."""
    grid = grid_of(proof)
    hit = {c.cell for c in (*proof.eliminates, *proof.places)}
    cells = [cell for cell in pattern.role("read") if len(hit) > 1 or names.cell(cell) not in hit]
    read = series(f"{names.cell(cell)} is {names.digits(names.notes(grid, cell), 'or')}" for cell in cells)
    if len(cells) > _MOST_READ:
        read = f"the notes of {names.cells(cells)} leave little room"
    told = f"{_sentence(names.rule(pattern.role('rule')[0]))}."
    if proof.contradiction:
        return f"{told} {_sentence(read or 'nothing is left for it')}, so this position has no solution."
    concluded = [f"{c.cell} is {c.written}" for c in proof.places]
    concluded += [losses(proof.eliminates)] * bool(proof.eliminates)
    return f"{told} {f'{_sentence(read)}, so' if read else 'So'} {series(concluded)}."


def _sentence(text: str) -> str:
    """Return the text with a capital, unless it begins with the name of a cell."""
    return text if text[:1] == "r" and text[1:2].isdigit() else capital(text)


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {ONE_RULE: _one_rule}
"""For each pattern the function that tells it."""
