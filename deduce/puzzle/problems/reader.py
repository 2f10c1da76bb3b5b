"""Read a python-constraint problem without solving or changing it.

The library keeps what it was given in private attributes, the same ones in its older and in its maintained form:
``_variables`` (a domain of each, with the values that a solver has hidden in ``_hidden``) and ``_constraints`` (pairs
of a constraint and its variables, where nothing stands for all of them); the maintained form adds
``_str_constraints``.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from deduce.errors import ProblemError
from deduce.puzzle.problems.described import Described, Stated, WeightedTotal
from deduce.puzzle.problems.expression import expression
from deduce.puzzle.problems.naming import MOST_STATED, brief, choices, distinct, listed, printable, sum_title
from deduce.puzzle.problems.numbers import exact
from deduce.puzzle.problems.tables import tabulate

__all__ = ["KINDS", "describe"]

KINDS = (
    "AllDifferentConstraint",
    "AllEqualConstraint",
    "ExactSumConstraint",
    "MaxSumConstraint",
    "MinSumConstraint",
    "InSetConstraint",
    "NotInSetConstraint",
    "SomeInSetConstraint",
    "SomeNotInSetConstraint",
    "FunctionConstraint",
)
"""The kinds of constraints that are understood, beside functions and the strings of the maintained form."""

_MOST_SHOWN = 60
"""A set that prints longer than this is not written out in a title."""


def describe(problem: Any, names: Sequence[str | None] | None = None) -> Described:
    """Return what a problem says.

    Parameters
    ----------
    problem : constraint.Problem
        Of python-constraint or of its maintained fork.
    names : sequence of (str or None), optional
        Names for the constraints, in the order in which they were added (those given as text come last); None for one
        that is to be named by what it says.

    Raises
    ------
    ProblemError
        For a variable, a value or a constraint that cannot be read, by name.
    TypeError
        If this is no problem of that library.
    """
    domains = getattr(problem, "_variables", None)
    pairs = getattr(problem, "_constraints", None)
    if not isinstance(domains, dict) or not isinstance(pairs, list):
        raise TypeError(f"a {type(problem).__name__} is no python-constraint problem; give a constraint.Problem")
    if not domains:
        raise ProblemError("the problem has no variables", "add variables first")
    variables = tuple(domains)
    texts = printable(variables)
    held = [_values(name, domain) for name, domain in zip(texts, domains.values(), strict=True)]
    values = _union(held)
    digit = {value: number for number, value in enumerate(values)}
    mine = []
    for found in held:
        here = {digit[value]: value for value in found}
        mine.append({d: here[d] for d in sorted(here)})
    reader = _Reader(variables, texts, tuple(mine))
    stated = [replace(reader.read(n, own, scope), own=own) for n, (own, scope) in enumerate(pairs, 1)]
    for number, text in enumerate(getattr(problem, "_str_constraints", ()), len(stated) + 1):
        stated.append(replace(reader.read_text(number, text), own=text))
    return Described(variables, values, tuple(mine), _titled(stated, names))


def _values(name: str, domain: Any) -> list[Hashable]:
    """Return the values of a domain, each once, those that a solver has hidden included."""
    found: dict[Hashable, Hashable] = {}
    for value in [*domain, *getattr(domain, "_hidden", ())]:
        try:
            found.setdefault(value, value)
        except TypeError:
            problem = f"the value {value!r} of {name} cannot be hashed"
            raise ProblemError(problem, "use values such as numbers, strings or tuples") from None
        if value != value:
            raise ProblemError(f"the value {value!r} of {name} does not equal itself", "leave it out")
    return list(found)


def _union(held: Iterable[Iterable[Hashable]]) -> tuple[Hashable, ...]:
    """Return all values, each once: in ascending order if they are numbers, otherwise as they first occur."""
    values = tuple(dict.fromkeys(value for found in held for value in found))
    try:
        numbers = {value: exact(value) for value in values}
    except ValueError:
        return values
    return tuple(sorted(values, key=lambda value: numbers[value]))


def _titled(stated: Sequence[Stated], names: Sequence[str | None] | None) -> tuple[Stated, ...]:
    """Return the constraints under different titles, the caller's where he gave some."""
    given: list[str | None] = [None] * len(stated) if names is None else list(names)
    if len(given) != len(stated):
        problem = f"{len(given)} names are given for {len(stated)} constraints"
        raise ProblemError(problem, "give one for each, in the order in which they were added, or None")
    for name in given:
        if name is not None and not (isinstance(name, str) and name.strip() == name and name and name.isprintable()):
            raise ProblemError(f"{name!r} is no name for a constraint", "give one line of text, or None")
    titles = distinct([brief(name or one.title, MOST_STATED) for name, one in zip(given, stated, strict=True)])
    return tuple(replace(one, title=title) for one, title in zip(stated, titles, strict=True))


class _Reader:
    """Turns one constraint after the other into plain data."""

    def __init__(
        self, variables: tuple[Hashable, ...], texts: tuple[str, ...], domains: tuple[dict[int, Hashable], ...]
    ) -> None:
        self.texts = texts
        self.number_of = {variable: number for number, variable in enumerate(variables)}
        self.by_text = {v: number for number, v in enumerate(variables) if isinstance(v, str)}
        self.domains = domains

    def read(self, number: int, constraint: Any, scope: Iterable[Hashable] | None) -> Stated:
        """Read one constraint with its variables."""
        kind = type(constraint).__name__
        if type(constraint).__module__.partition(".")[0] != "constraint" or kind not in KINDS:
            known = choices([name.removesuffix("Constraint") for name in KINDS])
            problem = f"constraint {number} is of the kind {kind}, which is not understood"
            raise ProblemError(problem, f"state it by {known}, or as a function of few variables")
        cells = self._scope(number, kind, constraint, scope)
        names = [self.texts[cell] for cell in cells]
        if kind == "AllDifferentConstraint":
            title = f"{listed(names)} {'differ' if len(names) == 2 else 'are all different'}"
            return Stated(number, "different", title, cells)
        if kind == "AllEqualConstraint":
            return Stated(number, "equal", f"{listed(names)} are{' all' * (len(names) > 2)} equal", cells)
        if kind == "FunctionConstraint":
            return self._function(number, _kept(number, constraint, "_func"), cells)
        if kind.endswith("SumConstraint"):
            return self._sum(number, kind, constraint, cells)
        return self._set(number, kind, constraint, cells)

    def read_text(self, number: int, text: str) -> Stated:
        """Read a constraint that was given as text."""
        function, names = expression(text, list(self.by_text))
        return self._function(number, function, tuple(self.by_text[name] for name in names))

    def _scope(self, number: int, kind: str, constraint: Any, scope: Iterable[Hashable] | None) -> tuple[int, ...]:
        """Return the numbers of a constraint's variables; of all variables if it names none."""
        named = list(scope) if scope is not None else []
        if not named:
            return tuple(range(len(self.texts)))
        for variable in named:
            if variable not in self.number_of:
                problem = f"constraint {number} ({kind}) names {variable!r}, which is no variable of the problem"
                raise ProblemError(problem, "add the variable, or mend the list")
        cells = [self.number_of[variable] for variable in named]
        if len(set(cells)) < len(cells):
            twice = next(self.texts[cell] for cell in cells if cells.count(cell) > 1)
            raise ProblemError(f"constraint {number} ({kind}) names {twice} twice", "name each variable once")
        if isinstance(scope, set | frozenset):
            # A set has no order that stays the same from run to run.
            if kind == "FunctionConstraint" or getattr(constraint, "_multipliers", None):
                problem = f"constraint {number} ({kind}) has its variables in a set, which has no order"
                raise ProblemError(problem, "give them in a list")
            cells.sort()
        return tuple(cells)

    def _function(self, number: int, function: Any, cells: tuple[int, ...]) -> Stated:
        names = [self.texts[cell] for cell in cells]
        title = _function_title(number, function, names)
        called = f"constraint {number} ({title})"
        table = tabulate(called, function, [self.domains[cell] for cell in cells], names)
        return Stated(number, "table", title, cells, table=table)

    def _sum(self, number: int, kind: str, constraint: Any, cells: tuple[int, ...]) -> Stated:
        names = [self.texts[cell] for cell in cells]
        multipliers = list(_kept(number, constraint, "_multipliers") or [])
        if multipliers and len(multipliers) != len(cells):
            problem = f"constraint {number} ({kind}) has {len(multipliers)} multipliers for {len(cells)} variables"
            raise ProblemError(problem, "give one for each variable")
        bound = _kept(number, constraint, f"_{kind.removesuffix('Constraint').lower()}")
        try:
            goal = exact(bound)
            factors = tuple(exact(factor) for factor in multipliers) or (Fraction(1),) * len(cells)
            for cell in cells:
                for value in self.domains[cell].values():
                    exact(value)
        except ValueError as error:
            problem = f"constraint {number} ({kind} over {listed(names)}) cannot add up: {error}"
            raise ProblemError(problem, "use whole numbers, fractions or short decimals") from None
        least = None if kind.startswith("Max") else goal
        most = None if kind.startswith("Min") else goal
        total = WeightedTotal(factors, least, most)
        return Stated(number, "sum", sum_title(names, total), cells, total=total)

    def _set(self, number: int, kind: str, constraint: Any, cells: tuple[int, ...]) -> Stated:
        names = [self.texts[cell] for cell in cells]
        inside = "NotIn" not in kind
        values = _kept(number, constraint, "_set")
        allowed = tuple(
            frozenset(d for d, value in self.domains[cell].items() if (value in values) == inside) for cell in cells
        )
        shown = _set_title(values)
        where = f"{'' if inside else 'not '}in {shown}"
        if not kind.startswith("Some"):
            verb = "is" if len(names) == 1 else "are"
            return Stated(number, "each in", f"{listed(names)} {verb} {where}", cells, allowed=allowed)
        count, only = _kept(number, constraint, "_n"), _kept(number, constraint, "_exact")
        if type(count) is not int:
            problem = f"constraint {number} ({kind}) asks for {count!r} of {listed(names)}"
            raise ProblemError(problem, "give a whole number")
        title = (
            f"{'exactly' if only else 'at least'} {count} of {listed(names)} {'is' if count == 1 else 'are'} {where}"
        )
        most = count if only else None
        return Stated(number, "count in", title, cells, allowed=allowed, least=count, most=most)


def _kept(number: int, constraint: Any, name: str) -> Any:
    """Return what a constraint was made with."""
    try:
        return getattr(constraint, name)
    except AttributeError:
        kind = type(constraint).__name__
        problem = f"constraint {number} is a {kind} without {name}"
        raise ProblemError(problem, "use python-constraint 1.3 or later, or its fork python-constraint2 2.x") from None


def _function_title(number: int, function: Any, names: Sequence[str]) -> str:
    """Name a function: by the first line of its docstring, else by its own name, else by its number."""
    said = (getattr(function, "__doc__", None) or "").strip().splitlines()
    own = getattr(function, "__name__", "<lambda>")
    # The docstring of a built-in function tells what it does in general, not what it means here.
    if said and hasattr(function, "__code__"):
        return _inner("".join(c if c.isprintable() else " " for c in said[0].strip().rstrip(".")), names)
    if own == "<lambda>":
        return f"condition {number} on {listed(names)} holds"
    return own if not own.isidentifier() else f"{own}({', '.join(names)}) holds"


def _inner(sentence: str, names: Sequence[str]) -> str:
    """Return a sentence as it stands behind "since": a small word at its head without its capital, a name untouched."""
    head = sentence.partition(" ")[0]
    return sentence[0].lower() + sentence[1:] if head.lower() in _SMALL_WORDS and head not in names else sentence


# fmt: off
_SMALL_WORDS = frozenset((
    "a", "all", "an", "any", "as", "at", "both", "each", "either", "every", "exactly", "from", "he", "if", "in", "it",
    "neither", "no", "nobody", "none", "not", "nothing", "of", "on", "one", "only", "she", "some", "that", "the",
    "their", "there", "these", "they", "this", "those", "three", "two", "when", "whoever", "with",
))
# fmt: on
"""Words that have a capital only because a sentence begins with them."""


def _set_title(values: Any) -> str:
    """Write a set; its members in order, so that the title is the same on every run."""
    if isinstance(values, set | frozenset):
        try:
            members = sorted(values)
        except TypeError:
            members = sorted(values, key=repr)
        shown = "{" + ", ".join(map(str, members)) + "}"
    elif isinstance(values, list | tuple | range):
        shown = "{" + ", ".join(map(str, values)) + "}"
    else:
        shown = f"the {type(values).__name__} given"
    return shown if len(shown) <= _MOST_SHOWN and shown.isprintable() else f"a set of {len(values)}"
