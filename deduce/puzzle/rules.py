"""Rules beyond houses: what else a layout demands, each compiled to linear constraints over candidates.

A rule knows the cells that it speaks of and yields the kernel's constraints for them.  A digit counts as its number,
from 1.  Nothing here is only a matter of missing candidates: a restricted cell has a constraint of its own, since an
exchange of digits must not break a rule that is no longer visible.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.problems.cliques import between_two

if TYPE_CHECKING:
    from deduce.puzzle.description import Description

__all__ = ["Apart", "Cage", "Equal", "Pair", "Restricted", "Rule", "Total", "conflicts", "domain", "exclusive"]


class Rule(ABC):
    """One further rule of a layout.  Subclasses are frozen dataclasses, so that layouts can be compared.

    Attributes
    ----------
    kind : str
        What rules of this class are called.
    cells : tuple of int
        Every cell that the rule speaks of.
    """

    kind: ClassVar[str]
    cells: tuple[int, ...]

    @abstractmethod
    def name(self, layout: Description) -> str:
        """Return the rule as a statement, such as ``"the cage of r1c1, r1c2 totals 3"``."""

    @abstractmethod
    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield what the rule says, in a stated order; names are statements, no two alike."""

    @abstractmethod
    def line(self, layout: Description) -> str:
        """Return the line of the text form that says this."""

    def moved(self, to: Sequence[int]) -> Rule:
        """Return the rule with each cell replaced by ``to[cell]``, for a layout that becomes part of a larger one."""
        return replace(self, cells=tuple(to[cell] for cell in self.cells))  # type: ignore[type-var]


def exclusive(name: str, candidates: Iterable[int]) -> Constraint:
    """Return the constraint "at most one of these"."""
    return Constraint(name, tuple((candidate, 1) for candidate in sorted(candidates)), None, 1)


def _list(layout: Description, cells: Iterable[int], joint: str = ", ") -> str:
    """List cells by name."""
    return joint.join(map(layout.cell_name, cells))


def _sum(name: str, terms: Iterable[tuple[int, int]], lower: int | None, upper: int | None) -> Constraint:
    """Return a constraint with the terms of each candidate added up and zeros left out."""
    added: dict[int, int] = {}
    for candidate, coefficient in terms:
        added[candidate] = added.get(candidate, 0) + coefficient
    return Constraint(name, tuple(sorted((c, a) for c, a in added.items() if a)), lower, upper)


def _digits(layout: Description, cells: Iterable[int], sign: int = 1) -> Iterator[tuple[int, int]]:
    """Yield the terms of the sum of some cells."""
    for cell in cells:
        for digit in range(1, layout.order + 1):
            yield layout.number(digit, cell), sign * digit


@dataclass(frozen=True, slots=True)
class Cage(Rule):
    """Cells without a repeated digit and, if a total is given, with that sum.

    Parameters
    ----------
    cells : tuple of int
        In reading order.
    total : int or None
        What the digits add up to.
    """

    kind: ClassVar[str] = "cage"
    cells: tuple[int, ...]
    total: int | None = None

    def name(self, layout: Description) -> str:
        """Return the statement."""
        here = f"the cage of {_list(layout, self.cells)}"
        return f"{here} repeats no digit" if self.total is None else f"{here} totals {self.total}"

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield the total, then for each digit that it stands there at most once (exactly once if all have to)."""
        if self.total is not None:
            yield _sum(self.name(layout), _digits(layout, self.cells), self.total, self.total)
        every = len(self.cells) == layout.order
        for digit in range(1, layout.order + 1) if len(self.cells) > 1 else ():
            times = "exactly" if every else "at most"
            name = f"{layout.symbols[digit - 1]} stands {times} once in the cage of {_list(layout, self.cells)}"
            terms = tuple((layout.number(digit, cell), 1) for cell in self.cells)
            yield Constraint(name, terms, 1 if every else None, 1)

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        return f"cage {_list(layout, self.cells, ' ')}" + ("" if self.total is None else f" = {self.total}")


@dataclass(frozen=True, slots=True)
class Total(Rule):
    """Cells with a sum; digits may repeat.

    Parameters
    ----------
    cells : tuple of int
        In reading order; a cell that counts twice stands there twice.
    least, most : int or None
        The bounds of the sum; None where that side is open.
    """

    kind: ClassVar[str] = "total"
    cells: tuple[int, ...]
    least: int | None
    most: int | None

    def name(self, layout: Description) -> str:
        """Return the statement."""
        verb = "is" if len(self.cells) == 1 else "total"
        return f"{_list(layout, self.cells)} {verb} {' and '.join(self._bounds('', 'at least ', 'at most '))}"

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield the sum."""
        yield _sum(self.name(layout), _digits(layout, self.cells), self.least, self.most)

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        return f"total {_list(layout, self.cells, ' ')} {' '.join(self._bounds('= ', '>= ', '<= '))}"

    def _bounds(self, exactly: str, least: str, most: str) -> list[str]:
        """Say what the sum is, or each bound that it has."""
        if self.least == self.most:
            return [f"{exactly}{self.least}"]
        return [f"{sign}{bound}" for sign, bound in ((least, self.least), (most, self.most)) if bound is not None]


@dataclass(frozen=True, slots=True)
class Equal(Rule):
    """Two lists of cells with the same sum; with one cell on the first side, an arrow.

    Parameters
    ----------
    cells : tuple of int
        The cells of both sides, the first side first.
    split : int
        How many of them are on the first side.
    """

    kind: ClassVar[str] = "equal sums"
    cells: tuple[int, ...]
    split: int

    @property
    def sides(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The cells of the first and of the second side."""
        return self.cells[: self.split], self.cells[self.split :]

    def name(self, layout: Description) -> str:
        """Return the statement."""
        one, other = (_list(layout, side) for side in self.sides)
        if self.split == 1:
            return f"{one} is the total of {other}"
        return f"{one} total as much as {other}"

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield the one sum minus the other."""
        one, other = self.sides
        yield _sum(self.name(layout), (*_digits(layout, one), *_digits(layout, other, -1)), 0, 0)

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        one, other = (_list(layout, side, " ") for side in self.sides)
        return f"equal {one} = {other}"


_RELATIONS: dict[str, tuple[Callable[[int, int, int], bool], str, str]] = {
    "less": (lambda a, b, _: a < b, "{a} is less than {b}", "{a} < {b}"),
    "apart": (lambda a, b, n: abs(a - b) >= n, "{a} differs from {b} by {n} or more", "difference {a} {b} >= {n}"),
    "differ": (lambda a, b, n: abs(a - b) == n, "{a} differs from {b} by {n}", "difference {a} {b} = {n}"),
    "near": (lambda a, b, n: abs(a - b) <= n, "{a} differs from {b} by {n} or less", "difference {a} {b} <= {n}"),
    "ratio": (
        lambda a, b, n: a == n * b or b == n * a,
        "{a} is {n} times {b} or the other way round",
        "ratio {a} {b} = {n}",
    ),
}
"""For each relation of two cells its test, its statement and its line in the text form."""


@dataclass(frozen=True, slots=True)
class Pair(Rule):
    """Two cells in a stated relation.

    Parameters
    ----------
    cells : (int, int)
        The two cells, in the order of the statement.
    relation : str
        ``"less"`` (the first is the smaller), ``"apart"``, ``"differ"`` or ``"near"`` (the difference is at least,
        exactly, or at most `amount`), or ``"ratio"`` (one is `amount` times the other).
    amount : int
        What the relation counts by; 0 for ``"less"``.
    """

    kind: ClassVar[str] = "pair"
    cells: tuple[int, int]
    relation: str
    amount: int = 0

    def name(self, layout: Description) -> str:
        """Return the statement."""
        return self._told(layout, _RELATIONS[self.relation][1])

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield the conflicts between the digits of the two cells, drawn together into as few constraints as fit."""
        test = _RELATIONS[self.relation][0]
        digits = range(1, layout.order + 1)
        allowed = {(a, b) for a in digits for b in digits if test(a, b, self.amount)}
        yield from conflicts(layout, self.name(layout), self.cells, allowed)

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        return self._told(layout, _RELATIONS[self.relation][2])

    def _told(self, layout: Description, form: str) -> str:
        a, b = map(layout.cell_name, self.cells)
        return form.format(a=a, b=b, n=self.amount)


def conflicts(
    layout: Description, name: str, cells: tuple[int, int], allowed: set[tuple[int, int]]
) -> Iterator[Constraint]:
    """Yield the constraints of two cells of which only some pairs of digits are allowed.

    Digits without any partner are ruled out.  Of the others, each digit of the first cell is taken together with what
    it bars in the second; digits that bar at least as much join it, since a cell holds one digit.  What another
    constraint says as well is left out.
    """
    one, other = cells
    digits = range(1, layout.order + 1)
    left = [a for a in digits if any((a, b) in allowed for b in digits)]
    right = [b for b in digits if any((a, b) in allowed for a in left)]
    for cell, kept in ((one, left), (other, right)):
        yield from domain(layout, f"{name}, so {layout.cell_name(cell)} is", cell, kept)
    barred = [(layout.number(a, one), layout.number(b, other)) for a in left for b in right if (a, b) not in allowed]
    groups = []
    for mask in between_two(barred):
        found = [divmod(candidate, layout.cells) for candidate in bits(mask)]
        groups.append([[digit + 1 for digit, there in found if there == cell] for cell in cells])
    for group in sorted(groups):
        held = [*zip(cells, group, strict=True)]
        where = " and ".join(f"{layout.cell_name(cell)} {_choice(layout, digits)}" for cell, digits in held)
        candidates = [layout.number(digit, cell) for cell, digits in held for digit in digits]
        yield exclusive(f"{name}, so not both {where}", candidates)


def _choice(layout: Description, digits: Iterable[int]) -> str:
    """List digits as alternatives, a run of three or more by its ends."""
    ordered = sorted(digits)
    named = [layout.symbols[digit - 1] for digit in ordered]
    if len(ordered) > 2 and ordered[-1] - ordered[0] == len(ordered) - 1:
        return f"{named[0]} to {named[-1]}"
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} or {named[-1]}"


def domain(layout: Description, told: str, cell: int, kept: Iterable[int]) -> Iterator[Constraint]:
    """Yield the constraint that rules out what a cell may not hold, if there is anything.

    Parameters
    ----------
    layout : Description
        The layout.
    told : str
        The statement up to the verb; the digits that are left follow.
    cell : int
        The cell.
    kept : iterable of int
        The digits that it may hold.
    """
    kept = set(kept)
    barred = [digit for digit in range(1, layout.order + 1) if digit not in kept]
    if barred:
        name = f"{told} {_choice(layout, kept)}" if kept else f"{told} nothing"
        yield Constraint(name, tuple((layout.number(digit, cell), 1) for digit in barred), None, 0)


@dataclass(frozen=True, slots=True)
class Restricted(Rule):
    """Cells that may hold some digits only.

    Parameters
    ----------
    cells : tuple of int
        In reading order.
    digits : tuple of int
        What they may hold, ascending.
    told : str
        ``"even"``, ``"odd"``, or empty, which lists the digits.
    """

    kind: ClassVar[str] = "restricted cells"
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    told: str = ""

    def name(self, layout: Description) -> str:
        """Return the statement."""
        verb = "is" if len(self.cells) == 1 else "are"
        return f"{_list(layout, self.cells)} {verb} {self.told or _choice(layout, self.digits)}"

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield "none of the other digits" for each cell."""
        for cell in self.cells:
            yield from domain(layout, f"{layout.cell_name(cell)} is {self.told}".rstrip(), cell, self.digits)

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        what = self.told or f"only {''.join(layout.symbols[digit - 1] for digit in self.digits)}"
        return f"{what} {_list(layout, self.cells, ' ')}"


_MOVES = {
    "knight": ("a knight's move apart", ((1, 2), (2, 1), (1, -2), (2, -1))),
    "king": ("a king's move apart", ((0, 1), (1, 0), (1, 1), (1, -1))),
}


@dataclass(frozen=True, slots=True)
class Apart(Rule):
    """A relation between all pairs of cells that stand in a stated way to each other on the canvas.

    Parameters
    ----------
    cells : tuple of int
        All cells of the layout, or those of the part that the rule was made for.
    how : str
        ``"knight"`` or ``"king"``: no digit twice a chess move apart.  ``"beside"``: neighbours in a row or column
        differ by at least `amount`.
    amount : int
        For ``"beside"``.
    """

    kind: ClassVar[str] = "cells apart"
    cells: tuple[int, ...]
    how: str
    amount: int = 0

    def name(self, layout: Description) -> str:
        """Return the statement, with the cells unless it is about all."""
        where = "" if self.cells == tuple(range(layout.cells)) else f", among {_list(layout, self.cells)}"
        if self.how == "beside":
            return f"neighbours differ by {self.amount} or more{where}"
        return f"no digit stands twice {_MOVES[self.how][0]}{where}"

    def constraints(self, layout: Description) -> Iterator[Constraint]:
        """Yield the conflicts pair by pair, in reading order; a king's squares of four cells come whole."""
        inside = {layout.places[cell]: cell for cell in self.cells}
        if self.how == "beside":
            for cell in self.cells:
                row, column = layout.places[cell]
                for place in ((row, column + 1), (row + 1, column)):
                    if place in inside:
                        yield from Pair((cell, inside[place]), "apart", self.amount).constraints(layout)
            return
        told, moves = _MOVES[self.how]
        for group in sorted(self._groups(inside, moves)):
            for digit in range(1, layout.order + 1):
                where = f"{_list(layout, group)}, {told}"
                name = f"{layout.symbols[digit - 1]} stands at most once in {where}"
                yield exclusive(name, (layout.number(digit, cell) for cell in group))

    def _groups(
        self, inside: dict[tuple[int, int], int], moves: Sequence[tuple[int, int]]
    ) -> Iterator[tuple[int, ...]]:
        """Yield cells of which any two are a move apart: pairs, and for a king squares of four."""
        squares = []
        if self.how == "king":
            for (row, column), cell in inside.items():
                corners = [inside.get(place) for place in ((row, column + 1), (row + 1, column), (row + 1, column + 1))]
                found = [other for other in corners if other is not None]
                if len(found) == 3:
                    squares.append({cell, *found})
                    yield tuple(sorted(squares[-1]))
        for (row, column), cell in inside.items():
            for down, right in moves:
                other = inside.get((row + down, column + right))
                if other is not None and not any({cell, other} <= square for square in squares):
                    yield tuple(sorted((cell, other)))

    def line(self, layout: Description) -> str:
        """Return the line of the text form."""
        where = "" if self.cells == tuple(range(layout.cells)) else f" {_list(layout, self.cells, ' ')}"
        return (f"neighbours differ by {self.amount}" if self.how == "beside" else self.how) + where
