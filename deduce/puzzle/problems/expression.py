"""The constraints that the maintained fork takes as text, such as ``"a + b <= 5"``."""

from __future__ import annotations

import ast
from collections.abc import Callable, Sequence
from typing import Any

from deduce.errors import ProblemError

__all__ = ["expression"]


def expression(text: str, variables: Sequence[str]) -> tuple[Callable[..., Any], tuple[str, ...]]:
    """Return a function for an expression, and the variables that it takes, in the order in which they occur.

    Parameters
    ----------
    text : str
        One expression of Python over the variables of the problem.
    variables : sequence of str
        Their names.

    Raises
    ------
    ProblemError
        If it is no expression, or names none of the variables.

    Examples
    --------
    >>> function, names = expression("b - a >= 2", ["a", "b", "c"])
    >>> names, function(5, 3)
    (('b', 'a'), True)
    """
    try:
        tree = ast.parse(text.strip(), mode="eval")
    except SyntaxError as error:
        raise ProblemError(
            f"the constraint {text!r} is no expression ({error.msg})", "write one Python expression"
        ) from error
    found = sorted((n.lineno, n.col_offset, n.id) for n in ast.walk(tree) if isinstance(n, ast.Name))
    known = set(variables)
    names = tuple(dict.fromkeys(name for _, _, name in found if name in known))
    if not names:
        raise ProblemError(f"the constraint {text!r} names no variable of the problem", "name at least one")
    code = compile(tree, "<constraint>", "eval")

    def holds(*values: Any) -> Any:
        # The caller's own expression, evaluated as his solver would do it.
        return eval(code, dict(zip(names, values, strict=True)))  # noqa: S307

    holds.__name__ = text.strip()
    return holds, names
