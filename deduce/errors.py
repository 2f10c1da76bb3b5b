"""The errors of the library: fields first, the sentence is built last.

Every error inherits :class:`DeduceError` and, beside it, the builtin that a caller would expect (``ValueError`` for
malformed input, ``RuntimeError`` for a search that ran out of budget).  They are dataclasses for the sake of their
fields alone: they compare and print as exceptions do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

__all__ = ["BudgetSpent", "DeduceError", "ExchangeError", "ExportError", "GridError", "LayoutError"]
__all__ += ["LayoutTextError", "MissingExtra", "OutOfTime", "PatternError", "ProblemError", "ProofError"]
__all__ += ["SeveralSolutionsError", "SurveyError", "TextError", "UniquenessError", "needed"]


class DeduceError(Exception):
    """Base class of everything that this library raises on purpose."""

    def __post_init__(self) -> None:
        """Make the fields the arguments of the exception, so that it prints and pickles as others do."""
        self.args = tuple(vars(self).values())


@dataclass(eq=False, repr=False)
class _AdvisedError(DeduceError):
    """What is wrong, and what to do instead.

    Parameters
    ----------
    problem : str
        What is wrong, with what is at fault: a value, a variable, a constraint.
    advice : str
        What to do instead.
    """

    problem: str
    advice: str

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}"


class LayoutError(_AdvisedError, ValueError):
    """A layout that cannot be built; it has a ``problem`` and an ``advice``."""


class ProblemError(_AdvisedError, ValueError):
    """A python-constraint problem that cannot be read; it has a ``problem`` and an ``advice``."""


class SurveyError(_AdvisedError, RuntimeError):
    """A survey that cannot go on; it has a ``problem`` and an ``advice``."""


@dataclass(eq=False, repr=False)
class TextError(DeduceError, ValueError):
    """Malformed text, with the place where reading stopped.

    Parameters
    ----------
    problem : str
        What was found.
    expected : str
        What would have been right there, or what to do.
    text : str, optional
        The whole text that was read.
    line, column : int, optional
        Where, both counted from 1; 0 where the fault has no single place.
    """

    problem: str
    expected: str
    text: str = ""
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        where = f"line {self.line}{f', column {self.column}' if self.column else ''}: " if self.line else ""
        sentence = f"{where}{self.problem}; {self.expected}"
        lines = self.text.splitlines()
        if not self.column or not 0 < self.line <= len(lines):
            return sentence
        start = max(0, self.column - 60)
        shown = lines[self.line - 1][start : self.column + 40].replace("\t", " ")
        return f"{sentence}\n  {shown}\n  {' ' * (self.column - 1 - start)}^"


class GridError(TextError):
    """Malformed text of a grid, a cell or a candidate."""


class LayoutTextError(TextError):
    """Malformed text of a layout."""


class ClaimError(TextError):
    """Malformed text of a claim or of a written chain."""


@dataclass(eq=False, repr=False)
class PatternError(DeduceError, ValueError):
    """A pattern name that the catalogue does not hold.

    Parameters
    ----------
    name : str
        The name that was asked for.
    known : sequence of str
        Every name that would have been accepted.
    near : sequence of str
        The known names that look most like it.
    only_in : str
        Where the name is known, if it is known elsewhere.
    """

    name: object
    known: Sequence[str]
    near: Sequence[str] = ()
    only_in: str = ""

    def __post_init__(self) -> None:
        self.known, self.near = tuple(self.known), tuple(self.near)
        super().__post_init__()

    def __str__(self) -> str:
        if self.only_in:
            return f"plans are made of named patterns; {self.name!r} is only for {self.only_in}: leave it out here"
        if self.near:
            return f"no pattern is called {self.name!r}; did you mean {' or '.join(map(repr, self.near))}?"
        return f"no pattern is called {self.name!r}; the names are: {'; '.join(self.known)}"


@dataclass(eq=False, repr=False)
class UniquenessError(DeduceError, ValueError):
    """Patterns that assume a unique solution, asked for where it is not assumed.

    Parameters
    ----------
    names : sequence of str
        The patterns.
    """

    names: Sequence[str]

    def __post_init__(self) -> None:
        self.names = tuple(self.names)
        super().__post_init__()

    def __str__(self) -> str:
        listed = ", ".join(map(repr, self.names))
        verb = "holds" if len(self.names) == 1 else "hold"
        way = "say assume_unique=True (--assume-unique on the command line), or leave that out"
        return f"{listed} {verb} only in a puzzle with one solution; {way}"


@dataclass(eq=False, repr=False)
class SeveralSolutionsError(DeduceError, ValueError):
    """A puzzle with several solutions, where a deduction was to rest on there being one.

    Parameters
    ----------
    first, second : str
        Two of its solutions, each as one line.
    differ : tuple of str
        The names of the cells in which they differ.
    no_givens : bool
        Whether a position was asked about that has digits or notes, but no givens.
    """

    first: str
    second: str
    differ: tuple[str, ...] = ()
    no_givens: bool = False

    def __str__(self) -> str:
        cells = ", ".join(self.differ) if len(self.differ) <= _LISTED else f"{len(self.differ)} cells"
        where = f", which differ in {cells}," if self.differ else ""
        why = "; it has no givens, and digits entered and notes are no part of a puzzle" if self.no_givens else ""
        return (
            "the puzzle has more than one solution, so nothing can be deduced from there being only one"
            f"{why}; two of them{where} are\n  {self.first}\n  {self.second}"
        )


_LISTED = 16
"""How many cells are named one by one."""


@dataclass(eq=False, repr=False)
class ProofError(DeduceError, ValueError):
    """A proof that the kernel refuses.

    Parameters
    ----------
    step : tuple of int
        Which inference, counted from 1; one more number for each supposition it stands under; empty for the proof as
        a whole.
    missing : str
        What the kernel needed there.
    got : str
        What it found instead.
    """

    step: tuple[int, ...]
    missing: str
    got: str

    def __str__(self) -> str:
        where = f"inference {'.'.join(map(str, self.step))}" if self.step else "the proof"
        return f"{where} is refused: needed {self.missing}, got {self.got}"


@dataclass(eq=False, repr=False)
class ExchangeError(DeduceError, ValueError):
    """A proof document that cannot be read or written, with the path of what is wrong.

    Parameters
    ----------
    path : str
        Where in the document, such as ``steps[3].argument[0].bases[1]``; empty for the document as a whole.
    problem : str
        What was found there.
    expected : str
        What would have been right.
    """

    path: str
    problem: str
    expected: str

    def __str__(self) -> str:
        return f"{self.path or 'the document'}: {self.problem}; expected {self.expected}"


@dataclass(eq=False, repr=False)
class ExportError(DeduceError, ValueError):
    """A proof that a standard format cannot express.

    Parameters
    ----------
    form : str
        The format, such as ``"LRAT"``.
    problem : str
        What it cannot say.
    advice : str
        What to do instead.
    """

    form: str
    problem: str
    advice: str

    def __str__(self) -> str:
        return f"{self.form} cannot carry this: {self.problem}; {self.advice}"


@dataclass(eq=False, repr=False)
class BudgetSpent(DeduceError, RuntimeError):  # noqa: N818 - it says what happened, not that something is wrong
    """A search stopped because its budget was spent; what it would have found is not known.

    Parameters
    ----------
    what : str
        The search that stopped.
    limit : int
        The budget that was spent.
    unit : str
        What the budget counts.
    """

    what: str
    limit: float
    unit: str

    def __str__(self) -> str:
        return f"{self.what} stopped after {self.limit} {self.unit}; raise the budget to search further"


class OutOfTime(BudgetSpent):
    """A search stopped because the deadline of its call had passed, or because it was cancelled.

    `limit` is the number of seconds, `unit` is ``"seconds"`` or ``"cancelled"``.
    """

    def __str__(self) -> str:
        if self.unit == "cancelled":
            return f"{self.what} was cancelled"
        return f"{self.what} stopped after {self.limit:g} seconds; give it more time to search further"


@dataclass(eq=False, repr=False)
class MissingExtra(DeduceError, ModuleNotFoundError):  # noqa: N818 - it names what is missing, as its base does
    """An optional package that is not installed.

    Parameters
    ----------
    package : str
        As `pip` knows it.
    purpose : str
        What it is needed for.
    extra : str
        The optional part of this library that brings it, if one does.
    """

    package: str
    purpose: str
    extra: str = ""

    def __str__(self) -> str:
        if self.extra:
            return f"{self.purpose} needs {self.package}; install it with: pip install 'deduce-proofs[{self.extra}]'"
        return f"{self.purpose} needs the package {self.package}, which is not installed; pip install {self.package}"


def needed(module: str, package: str, purpose: str, extra: str = "") -> Any:
    """Return an optional module; the other arguments are what to say if it is missing.

    Raises
    ------
    MissingExtra
        If it cannot be imported.
    """
    try:
        return import_module(module)
    except ImportError as error:
        missing = MissingExtra(package, purpose, extra)
        missing.name = module
        raise missing from error
