"""The layout of a problem: its variables are the cells, its values the digits."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar

from deduce.errors import GridError, ProblemError
from deduce.kernel import Constraint
from deduce.proof import Candidate
from deduce.puzzle.description import Description
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.problems.compiled import Part, compiled
from deduce.puzzle.problems.described import Described
from deduce.puzzle.problems.naming import Symbols, choices, distinct, listed, printable
from deduce.puzzle.problems.reader import describe
from deduce.puzzle.rules import Rule

__all__ = ["Among", "Group", "ProblemLayout"]


@dataclass(frozen=True, slots=True)
class Group(House):
    """Variables that take every value of the problem once.

    Parameters
    ----------
    told : str
        Its printable name: the variables, or what the caller calls the constraint.
    source : int
        The number of the constraint that it comes from, which takes no part in comparison.
    """

    told: str = ""
    source: int = field(default=0, compare=False)

    @property
    def name(self) -> str:
        """The printable name."""
        return self.told


@dataclass(frozen=True, slots=True)
class Among(Rule):
    """What a constraint of a problem, or several together, say beyond houses.

    Parameters
    ----------
    part : Part
        Title, variables, sources and linear constraints.
    """

    kind: ClassVar[str] = "constraint"
    part: Part

    @property
    def cells(self) -> tuple[int, ...]:  # type: ignore[override]
        """The variables that it speaks of."""
        return self.part.cells

    def name(self, _: Description) -> str:
        """Return what is said."""
        return self.part.title

    def constraints(self, _: Description) -> Iterator[Constraint]:
        """Yield the linear constraints."""
        yield from self.part.constraints

    def line(self, _: Description) -> str:
        """Refuse: the text form of layouts has no words for constraints of a problem."""
        raise ProblemError(f"{self.part.title!r} has no line in the text form of layouts", "write the layout as JSON")

    def moved(self, to: Sequence[int]) -> Rule:
        """Refuse: a problem is no part of a larger layout."""
        raise ProblemError(f"{self.part.title!r} cannot be moved to cells {list(to)}", "add it to the larger problem")


class ProblemLayout(Layout):
    """Variables for cells and values for digits, in a table of one row a variable.

    Parameters
    ----------
    variable_names, value_names : sequence of str
        How they are printed.
    groups : sequence of (str, tuple of int, int)
        The houses: printable name, variables, and the number of the constraint that says so.
    parts : sequence of Part
        Everything else that has to hold.
    described : Described, optional
        The problem that this was made from.

    Attributes
    ----------
    variables, values : tuple
        The caller's own; the printable names where the layout was not made from a problem.
    described : Described or None
        The problem as plain data.

    Notes
    -----
    Two such layouts are equal if they print alike and say the same; the caller's own objects take no part.
    """

    noun: ClassVar[tuple[str, str]] = ("variable", "value")

    def __init__(
        self,
        variable_names: Sequence[str],
        value_names: Sequence[str],
        groups: Sequence[tuple[str, tuple[int, ...], int]] = (),
        parts: Iterable[Part] = (),
        *,
        described: Described | None = None,
    ) -> None:
        self.order = len(value_names)
        self.symbols = Symbols.of(value_names)
        self.cells = len(variable_names)
        self.places = tuple((cell, 0) for cell in range(self.cells))
        self.height, self.width = self.cells, 1
        self.houses = tuple(
            Group("group", number, tuple(sorted(cells)), 0, told, source)
            for number, (told, cells, source) in enumerate(groups, 1)
        )
        self.rules = tuple(map(Among, parts))
        self.variable_names = tuple(variable_names)
        self.described = described
        self.variables: tuple[Hashable, ...] = described.variables if described else self.variable_names
        self.values: tuple[Hashable, ...] = described.values if described else tuple(value_names)
        self._named = {
            f"{v} = {w}": (cell, d) for cell, v in enumerate(variable_names) for d, w in enumerate(value_names)
        }
        if len(self._named) < self.cells * self.order:
            raise ProblemError("two candidates of the problem print alike", "give variables and values other names")
        self._key = ("problem", self.variable_names, tuple(value_names), self.houses, self.rules)
        self._hash = hash(self._key)

    @classmethod
    def of(cls, problem: Any, names: Sequence[str | None] | None = None) -> ProblemLayout:
        """Return the layout of a python-constraint problem, which is only read.

        Parameters
        ----------
        problem : constraint.Problem
            Of python-constraint or of its maintained fork.
        names : sequence of (str or None), optional
            Names for its constraints, in the order in which they were added.

        Raises
        ------
        ProblemError
            If something in it cannot be read, by name.
        """
        return cls.described_by(describe(problem, names))

    @classmethod
    def described_by(cls, described: Described) -> ProblemLayout:
        """Return the layout of a problem that has been read."""
        variables, values = printable(described.variables), printable(described.values)
        found = compiled(described, variables, values)
        titles = [_group_name(stated.title, [variables[cell] for cell in stated.scope]) for stated in found.houses]
        named = zip(distinct(titles), found.houses, strict=True)
        groups = [(title, stated.scope, stated.number) for title, stated in named]
        return cls(variables, values, groups, found.parts, described=described)

    def candidate(self, number: int) -> Candidate:
        """Return a candidate by its number in the model."""
        digit, cell = divmod(number, self.cells)
        return Candidate(digit + 1, cell + 1, 1, self.symbols[digit], self.variable_names[cell])

    def cell_name(self, cell: int) -> str:
        """Return the name of a variable."""
        return self.variable_names[cell]

    def parse_cell(self, text: str) -> int:
        """Read the name of a variable back to its number; the inverse of `cell_name`.

        Raises
        ------
        GridError
            If the problem has no such variable.
        """
        try:
            return self.variable_names.index(text.strip())
        except ValueError:
            raise GridError(f"{text!r} is no variable here", f"write {self.span}") from None

    def parse_candidate(self, text: str) -> int:
        """Read a candidate such as ``WA = red`` back to its number; the inverse of printing one.

        Raises
        ------
        GridError
            If the problem has no such candidate.
        """
        found = self._named.get(text.strip())
        if found is None:
            # Blanks around the sign are left to the writer.
            one, sign, other = text.partition("=")
            found = self._named.get(f"{one.strip()} = {other.strip()}") if sign else None
        if found is None:
            advice = f"write one of {self.span}, then = and one of {', '.join(self.symbols[:12])}"
            raise GridError(f"{text!r} is no variable with one of its values", advice)
        cell, digit = found
        return self.number(digit + 1, cell)

    @property
    def span(self) -> str:
        """Which variables there are, for error messages."""
        names = self.variable_names
        return choices(names) if len(names) <= 12 else f"{names[0]}, {names[1]}, ... or {names[-1]}"

    @property
    def groups(self) -> tuple[tuple[str, tuple[int, ...], int], ...]:
        """The houses as the constructor takes them."""
        return tuple((h.name, h.cells, h.source) for h in self.houses if isinstance(h, Group))

    @property
    def parts(self) -> tuple[Part, ...]:
        """The other constraints as the constructor takes them."""
        return tuple(rule.part for rule in self.rules if isinstance(rule, Among))

    def __reduce__(self) -> tuple[object, ...]:
        described = self.described
        if described is not None:
            # A caller's function may not travel; its table does.
            described = replace(described, stated=tuple(replace(one, own=None) for one in described.stated))
        return _built, (self.variable_names, tuple(self.symbols), self.groups, self.parts, described)

    def __repr__(self) -> str:
        return f"<ProblemLayout of {self.cells} variables, {self.order} values and {len(self.rules)} constraints>"


def _group_name(title: str, names: Sequence[str]) -> str:
    """Name a house: by its variables, unless the caller gave the constraint a name of its own."""
    own = (f"{listed(names)} are all different", f"{listed(names)} differ")
    return listed(names) if title in own else title


def _built(
    variables: tuple[str, ...],
    values: tuple[str, ...],
    groups: tuple[tuple[str, tuple[int, ...], int], ...],
    parts: tuple[Part, ...],
    described: Described | None,
) -> ProblemLayout:
    """Return a layout that was pickled."""
    return ProblemLayout(variables, values, groups, parts, described=described)
