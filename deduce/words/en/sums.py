"""The prose of sums: where a total comes from, and what the least or the most that the other cells hold leaves."""

from __future__ import annotations

from collections.abc import Callable

from deduce.kernel import Counting
from deduce.patterns.sums import BOUND, LEFTOVER, Form, form_of, least_beside
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.names import Names, capital, losses, series

__all__ = ["TELLERS"]


def _bound(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what a rule by itself leaves room for."""
    form = form_of(names.layout, pattern)
    (rule,) = form.rules
    return f"{capital(names.rule(rule))}. {_what_falls(proof, names, form)}"


def _leftover(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what houses leave when whole cages are taken away, and then what that leaves room for."""
    layout = names.layout
    form = form_of(layout, pattern)
    sum_of_house = layout.order * (layout.order + 1) // 2
    count = len(form.houses)
    verb = "totals" if count == 1 else "together total"
    whole = f"{capital(names.houses(form.houses))} {verb} {count * sum_of_house}"
    inside = [cell for cell, sign in form.cells if sign > 0]
    outside = [cell for cell, sign in form.cells if sign < 0]
    rules = series(names.rule(number) for number in form.rules)
    many = "it" if count == 1 else "them"
    if not outside:
        left = f"{_sum(names, inside)} {form.total}, the rest of {many}"
    elif not inside:
        left = f"{_sum(names, outside)} {-form.total}, which is what stands out of {many}"
    else:
        more = f"{abs(form.total)} {'more' if form.total >= 0 else 'less'} than"
        more = "as much as" if form.total == 0 else more
        one, other = _plainly(names, inside), _plainly(names, outside)
        left = f"{one}, left over in {many}, {'is' if len(inside) == 1 else 'come to'} {more} {other} outside"
    return f"{whole}, and {rules}. So {left}. {_what_falls(proof, names, form)}"


def _sum(names: Names, cells: list[int]) -> str:
    return f"{names.cells(cells)} {'is' if len(cells) == 1 else 'total'}"


def _plainly(names: Names, cells: list[int]) -> str:
    return names.cells(cells) if len(cells) == 1 else f"the sum of {names.cells(cells)}"


def _what_falls(proof: Proof, names: Names, form: Form) -> str:
    """Tell for one candidate what the others would come to, and that the rest falls alike."""
    grid = grid_of(proof)
    argument = proof.inferences[0].argument
    upper = isinstance(argument, Counting) and any(number in form.rules for number, _ in argument.covers)
    if form.houses:
        # Rules are taken away from houses, so they stand on the other side of the sum.
        upper = not upper
    concluded = []
    if proof.places:
        concluded.append(series(f"r{c.row}c{c.column} is {c.symbol or c.digit}" for c in proof.places))
    if proof.eliminates:
        concluded.append(losses(proof.eliminates))
    end = series(concluded)
    signs = dict(form.cells)
    if len(signs) == 1:
        return f"Therefore {end}."
    for candidate in map(grid.number, proof.eliminates):
        digit, cell = names.split(candidate)
        if cell not in signs or len(signs) < 2 or set(signs.values()) != {signs[cell]}:
            continue
        # Where all cells stand outside, the sum is read the other way round.
        high = upper == (signs[cell] > 0)
        beside = least_beside(grid, form, cell, digit, upper=upper)
        if beside is None:
            return f"With {names.digit(digit)} in {names.cell(cell)} the other cells cannot all differ: {end}."
        bound = "least" if high else "most"
        come = f"the other {'cell' if len(signs) == 2 else 'cells'} would come to {abs(beside)} at {bound}"
        whole = abs(beside) + digit * abs(signs[cell])
        wrong = f"{whole} in all, which is too {'much' if high else 'little'}"
        alike = " By the same count: " if len(proof.eliminates) > 1 else " So "
        return f"If {names.cell(cell)} were {names.digit(digit)}, {come}, {wrong}.{alike}{end}."
    return f"The {'least' if upper else 'most'} that the other cells can hold leaves no other way: {end}."


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {BOUND: _bound, LEFTOVER: _leftover}
"""For each pattern the function that tells it."""
