"""The linear system of a position: what the rules still say about the open candidates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import inf

from deduce.kernel import Counting, Model, Position
from deduce.positions import bits, counting
from deduce.puzzle.bounds import sum_range

__all__ = ["Row", "System", "faults", "first_fault"]


@dataclass(frozen=True, slots=True)
class Row:
    """One constraint of the model, over the open candidates alone.

    Parameters
    ----------
    number : int
        The constraint in the model.
    terms : tuple of (int, int)
        Column of the system and coefficient.
    lower, upper : int or None
        The bounds, less what the true candidates already add up to.
    """

    number: int
    terms: tuple[tuple[int, int], ...]
    lower: int | None
    upper: int | None


class System:
    """The rules of a model that still have something open in a position.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        What is live and what is true; dead candidates count 0, true ones 1.

    Attributes
    ----------
    open : tuple of int
        The open candidates, ascending; column i of the system is candidate ``open[i]``.
    rows : tuple of Row
        In the order of the constraints.
    """

    def __init__(self, model: Model, position: Position) -> None:
        self.model = model
        self.position = position
        live, true = position
        self.open = tuple(bits(live & ~true))
        self.column = {candidate: i for i, candidate in enumerate(self.open)}
        open_ = live & ~true
        rows = []
        for number, constraint in enumerate(model.constraints):
            mask = model.masks[number]
            if not mask & open_:
                continue
            settled = sum(a for c, a in constraint.terms if true >> c & 1) if mask & true else 0
            rows.append(
                Row(
                    number,
                    tuple((self.column[c], a) for c, a in constraint.terms if open_ >> c & 1),
                    None if constraint.lower is None else constraint.lower - settled,
                    None if constraint.upper is None else constraint.upper - settled,
                )
            )
        self.rows = tuple(rows)

    @cached_property
    def touching(self) -> tuple[tuple[int, ...], ...]:
        """For each column the rows (their places in `rows`) in which it stands."""
        found: list[list[int]] = [[] for _ in self.open]
        for place, row in enumerate(self.rows):
            for column, _ in row.terms:
                found[column].append(place)
        return tuple(map(tuple, found))

    def argument(self, bases: Iterable[tuple[int, int]], covers: Iterable[tuple[int, int]]) -> Counting:
        """Return the counting argument with these rows (places in `rows`) and weights, zeros left out."""
        return counting(
            ((self.rows[place].number, weight) for place, weight in bases),
            ((self.rows[place].number, weight) for place, weight in covers),
        )


def first_fault(model: Model, position: Position) -> Counting | None:
    """Return the argument of the first constraint that the position alone makes impossible to meet, or None."""
    return next(faults(model, position), None)


def faults(model: Model, position: Position) -> Iterator[Counting]:
    """Yield the arguments of the constraints that the position alone makes impossible to meet, each by itself.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        What is live and what is true.

    Notes
    -----
    These are the constraints that cannot be met whatever the open candidates turn out to be; a linear program over the
    open candidates does not see those that have nothing open.
    """
    live, true = position
    for number, constraint in enumerate(model.constraints):
        least, most = sum_range(constraint, live, true)
        if most < (-inf if constraint.lower is None else constraint.lower):
            yield Counting(((number, 1),), ())
        if least > (inf if constraint.upper is None else constraint.upper):
            yield Counting((), ((number, 1),))
