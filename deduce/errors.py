"""The errors of the library: fields first, the sentence is built last.

Every error inherits :class:`DeduceError` and, beside it, the builtin that a caller would expect (``ValueError`` for
malformed input, ``RuntimeError`` for a search that ran out of budget).
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = [
    "BudgetSpent",
    "DeduceError",
    "ExchangeError",
    "ExportError",
    "GridError",
    "LayoutError",
    "LayoutTextError",
    "PatternError",
    "ProblemError",
    "ProofError",
    "SeveralSolutionsError",
    "UniquenessError",
]


class DeduceError(Exception):
    """Base class of everything that this library raises on purpose."""


class LayoutError(DeduceError, ValueError):
    """A layout that cannot be built.

    Parameters
    ----------
    problem : str
        What is wrong, with the value at fault.
    advice : str
        What to do instead.
    """

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(problem, advice)
        self.problem = problem
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}"


class ProblemError(DeduceError, ValueError):
    """A python-constraint problem that cannot be read.

    Parameters
    ----------
    problem : str
        Which variable or constraint is at fault, and why.
    advice : str
        What to do instead.
    """

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(problem, advice)
        self.problem = problem
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}"


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

    def __init__(self, problem: str, expected: str, *, text: str = "", line: int = 0, column: int = 0) -> None:
        super().__init__(problem, expected, text, line, column)
        self.problem = problem
        self.expected = expected
        self.text = text
        self.line = line
        self.column = column

    def __str__(self) -> str:
        where = ""
        if self.line:
            where = f"line {self.line}" + (f", column {self.column}" if self.column else "") + ": "
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

    def __init__(self, name: object, known: Sequence[str], near: Sequence[str] = (), only_in: str = "") -> None:
        super().__init__(name, tuple(known), tuple(near), only_in)
        self.name = name
        self.known = tuple(known)
        self.near = tuple(near)
        self.only_in = only_in

    def __str__(self) -> str:
        if self.only_in:
            return f"plans are made of named patterns; {self.name!r} is only for {self.only_in}: leave it out here"
        if self.near:
            return f"no pattern is called {self.name!r}; did you mean {' or '.join(map(repr, self.near))}?"
        return f"no pattern is called {self.name!r}; the names are: {'; '.join(self.known)}"


class UniquenessError(DeduceError, ValueError):
    """Patterns that assume a unique solution, asked for where it is not assumed.

    Parameters
    ----------
    names : sequence of str
        The patterns.
    """

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__(tuple(names))
        self.names = tuple(names)

    def __str__(self) -> str:
        listed = ", ".join(map(repr, self.names))
        verb = "holds" if len(self.names) == 1 else "hold"
        way = "say assume_unique=True (--assume-unique on the command line), or leave that out"
        return f"{listed} {verb} only in a puzzle with one solution; {way}"


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

    def __init__(self, first: str, second: str, differ: tuple[str, ...] = (), no_givens: bool = False) -> None:
        super().__init__(first, second, differ, no_givens)
        self.first = first
        self.second = second
        self.differ = differ
        self.no_givens = no_givens

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

    def __init__(self, step: tuple[int, ...], missing: str, got: str) -> None:
        super().__init__(step, missing, got)
        self.step = step
        self.missing = missing
        self.got = got

    def __str__(self) -> str:
        where = f"inference {'.'.join(map(str, self.step))}" if self.step else "the proof"
        return f"{where} is refused: needed {self.missing}, got {self.got}"


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

    def __init__(self, path: str, problem: str, expected: str) -> None:
        super().__init__(path, problem, expected)
        self.path = path
        self.problem = problem
        self.expected = expected

    def __str__(self) -> str:
        return f"{self.path or 'the document'}: {self.problem}; expected {self.expected}"


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

    def __init__(self, form: str, problem: str, advice: str) -> None:
        super().__init__(form, problem, advice)
        self.form = form
        self.problem = problem
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.form} cannot carry this: {self.problem}; {self.advice}"


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

    def __init__(self, what: str, limit: int, unit: str) -> None:
        super().__init__(what, limit, unit)
        self.what = what
        self.limit = limit
        self.unit = unit

    def __str__(self) -> str:
        return f"{self.what} stopped after {self.limit} {self.unit}; raise the budget to search further"
