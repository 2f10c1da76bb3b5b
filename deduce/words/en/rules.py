"""The prose of rules beyond the houses: of "one rule alone", what a rule leaves possible, and of the marks of rules."""

from __future__ import annotations

from collections.abc import Callable

from deduce.patterns.one_rule import ONE_RULE
from deduce.positions import bits
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Pair
from deduce.words.en.names import Names, concluded, excluded, in_words, losses, series

__all__ = ["DOTS", "TELLERS"]

DOTS = "dotted lines hold sums in which a digit may come twice, if no other rule forbids it"

_MOST_READ = 4
"""If more cells than this are to be read, they are not told one by one."""


def _one_rule(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell the rule, what its other cells may be, and what that leaves no room for."""
    compared = _compared(proof, names, pattern.role("rule")[0])
    if compared:
        return compared
    grid, rule = grid_of(proof), pattern.role("rule")[0]
    hit = {c.cell for c in (*proof.eliminates, *proof.places)}
    cells = [cell for cell in pattern.role("read") if len(hit) > 1 or names.cell(cell) not in hit]
    read = [f"{names.cell(cell)} is {names.digits(names.notes(grid, cell), 'or')}" for cell in cells]
    told = names.sentence(names.rule(rule))
    if names.problem:
        told = f"It is asked that {names.rule(rule)}"
        filled = [str(grid.candidate(c)) for c in bits(grid.true & grid.model.masks[rule])] if cells else []
        read = [*filled, *_barred(proof, names, rule), *read]
        if len(cells) + len(filled) > _MOST_READ:
            read = [f"the other {len(cells) + len(filled)} variables leave little room"]
    elif len(cells) > _MOST_READ:
        read = [f"the notes of {names.cells(cells)} leave little room"]
    if proof.contradiction:
        reason = names.sentence(series(read) or "nothing is left for it")
        return f"{told}. {reason}, so this position has no solution."
    so = f"{names.sentence(series(read))}, so" if read else "So"
    return f"{told}. {so} {concluded(proof.places, proof.eliminates)}."


def _compared(proof: Proof, names: Names, rule: int) -> str:
    """Tell what a comparison leaves of a cell: by how many rise above or below it in their line, or by the other."""
    grid, layout = grid_of(proof), names.layout
    kind, number, _ = layout.origin(rule)
    pair, hit = layout.rules[number] if kind == "rule" else None, {grid.number(c) for c in proof.eliminates}
    cells = {names.split(candidate)[1] for candidate in hit}
    if not isinstance(pair, Pair) or pair.relation != "less" or proof.contradiction or proof.places or len(cells) != 1:
        return ""
    (cell,), (low, high) = cells, pair.cells
    upper, other = cell == low, high if cell == low else low
    held = max(names.notes(grid, other)) if upper else min(names.notes(grid, other))
    least, who, bound = ("at most" if upper else "at least"), names.cell(cell), held - 1 if upper else held + 1
    line = _rise(layout, cell, upper=upper)
    if len(line) > 1 and bound == (layout.order - len(line) if upper else len(line) + 1):
        above = f"{in_words(len(line))} {'rise above' if upper else 'stand below'} it"
        told = f"{who} is {least} {names.digit(bound)}, since {above}, {series(map(names.cell, line))}"
    else:
        than = f"is {'less' if upper else 'more'} than {names.cell(other)}"
        told = f"{who} {than}, which is {least} {names.digit(held)}"
    return f"{told}: {losses(proof.eliminates)}."


def _rise(layout: Layout, cell: int, *, upper: bool) -> list[int]:
    """Return the longest line of cells behind a cell of which each is said to be more (or less) than the one before."""
    pairs = (rule.cells for rule in layout.rules if isinstance(rule, Pair) and rule.relation == "less")
    nexts = [pair[upper] for pair in pairs if pair[not upper] == cell]
    return max(([there, *_rise(layout, there, upper=upper)] for there in nexts), key=len, default=[])


def _barred(proof: Proof, names: Names, rule: int) -> list[str]:
    """Say which variables of a rule about one value cannot have it, where the one that is left has to."""
    grid = grid_of(proof)
    terms = [c for c, _ in grid.model.constraints[rule].terms]
    gone = [grid.candidate(c) for c in terms if not grid.live >> c & 1]
    one_value = len({names.split(c)[0] for c in terms}) == 1
    return [excluded(gone)] if one_value and gone and len(gone) == len(terms) - 1 else []


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {ONE_RULE: _one_rule}
"""For each pattern the function that tells it."""
