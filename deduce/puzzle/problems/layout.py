"""The layout of a problem: its variables are the cells, its values the digits."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import Any, ClassVar, NamedTuple

from deduce.errors import GridError, ProblemError
from deduce.kernel import Constraint
from deduce.proof import Candidate
from deduce.puzzle.description import Description, Nouns
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.problems.compiled import Part, compiled
from deduce.puzzle.problems.described import Described
from deduce.puzzle.problems.naming import Symbols, choices, distinct, listed, printable
from deduce.puzzle.problems.reader import describe
from deduce.puzzle.rules import Rule

__all__ = ["Among", "Group", "ProblemLayout", "Statement"]


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


class Statement(NamedTuple):
    """What a problem says without the caller's own objects: what a document holds of it.

    Parameters
    ----------
    variables, values : tuple of str
        How they are printed.
    groups : tuple of (str, tuple of int, int)
        The houses: printable name, variables, and the number of the constraint that says so.
    parts : tuple of Part
        Everything else that has to hold.
    """

    variables: tuple[str, ...]
    values: tuple[str, ...]
    groups: tuple[tuple[str, tuple[int, ...], int], ...] = ()
    parts: tuple[Part, ...] = ()

    def layout(self, described: Described | None = None) -> ProblemLayout:
        """Return the layout that says this."""
        return ProblemLayout(*self, described=described)


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

    nouns: ClassVar[Nouns] = Nouns("variable", "value", "value")

    variable_names: tuple[str, ...]
    described: Described | None
    variables: tuple[Hashable, ...]
    values: tuple[Hashable, ...]

    def __init__(
        self,
        variable_names: Sequence[str],
        value_names: Sequence[str],
        groups: Sequence[tuple[str, tuple[int, ...], int]] = (),
        parts: Iterable[Part] = (),
        *,
        described: Described | None = None,
    ) -> None:
        names, values = tuple(variable_names), tuple(value_names)
        houses = tuple(
            Group("group", number, tuple(sorted(cells)), 0, told, source)
            for number, (told, cells, source) in enumerate(groups, 1)
        )
        rules = tuple(map(Among, parts))
        if len({f"{v} = {w}" for v in names for w in values}) < len(names) * len(values):
            raise ProblemError("two candidates of the problem print alike", "give variables and values other names")
        self._hold(
            ("problem", names, values, houses, rules),
            places=tuple((cell, 0) for cell in range(len(names))),
            order=len(values),
            symbols=Symbols.of(values),
            houses=houses,
            rules=rules,
            variable_names=names,
            described=described,
            variables=described.variables if described else names,
            values=described.values if described else values,
        )

    @property
    def problem(self) -> ProblemLayout:
        """The layout itself."""
        return self

    @cached_property
    def _named(self) -> Mapping[str, int]:
        """For each candidate, as it is printed, its number."""
        return MappingProxyType({name: number for number, name in enumerate(self.model.names)})

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
        houses, parts = compiled(described, variables, values)
        titles = [_group_name(stated.title, [variables[cell] for cell in stated.scope]) for stated in houses]
        named = zip(distinct(titles), houses, strict=True)
        groups = [(title, stated.scope, stated.number) for title, stated in named]
        return cls(variables, values, groups, parts, described=described)

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
        return found

    @property
    def span(self) -> str:
        """Which variables there are, for error messages."""
        names = self.variable_names
        return choices(names) if len(names) <= 12 else f"{names[0]}, {names[1]}, ... or {names[-1]}"

    @property
    def statement(self) -> Statement:
        """What the layout says, without the caller's own objects."""
        return Statement(self.variable_names, tuple(self.symbols), self.groups, self.parts)

    @cached_property
    def titles(self) -> Mapping[int, str]:
        """The printable names of the constraints that can be left out, by number from 1.

        A problem that came as a document has lost its statements; its houses and its linear constraints are left.
        """
        if self.described is not None:
            return MappingProxyType({one.number: one.title for one in self.described.stated})
        titles = [f"{name} take every value once" for name, _, _ in self.groups]
        titles += [part.title for part in self.parts if part.sources]
        return MappingProxyType(dict(enumerate(titles, 1)))

    def keeping(self, kept: frozenset[int]) -> ProblemLayout:
        """Return the problem with some of its constraints, by their numbers in `titles`, and all of its domains."""
        if self.described is not None:
            stated = tuple(one for one in self.described.stated if one.number in kept)
            return ProblemLayout.described_by(replace(self.described, stated=stated))
        groups = tuple(group for number, group in enumerate(self.groups, 1) if number in kept)
        stated_parts = [part for part in self.parts if part.sources]
        left = [part for number, part in enumerate(stated_parts, 1 + len(self.groups)) if number in kept]
        domains = [part for part in self.parts if not part.sources]
        return self.statement._replace(groups=groups, parts=(*domains, *left)).layout()

    def sources(self, constraint: int) -> tuple[int, ...]:
        """Return the numbers of the caller's constraints that one of the model comes from; none for a domain."""
        kind, number, _ = self.origin(constraint)
        if kind == "rule":
            return self.parts[number].sources
        return (self.groups[number][2],) if kind == "house" else ()

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
        return Statement.layout, (self.statement, described)

    def __repr__(self) -> str:
        return f"<ProblemLayout of {self.cells} variables, {self.order} values and {len(self.rules)} constraints>"


def _group_name(title: str, names: Sequence[str]) -> str:
    """Name a house: by its variables, unless the caller gave the constraint a name of its own."""
    own = (f"{listed(names)} are all different", f"{listed(names)} differ")
    return listed(names) if title in own else title
