"""From the solver's floating-point multipliers to whole weights that the kernel accepts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import gcd, lcm

from deduce.counting.program import Program
from deduce.counting.system import System
from deduce.kernel import MAX_WEIGHT, Counting, Inference, Model, Position
from deduce.positions import conclusions, counting

__all__ = ["CountingError", "concluded", "exact_duals", "read_off", "whole", "whole_weights"]

MAX_DENOMINATOR = 1_000_000
"""Multipliers whose common denominator is larger than this are solved for exactly instead of being read off."""

_NOISE = 1e-7


class CountingError(RuntimeError):
    """The kernel refused a sum that the solver had found; an internal error, never passed over in silence.

    Parameters
    ----------
    wanted : str
        What the sum was to conclude.
    argument : Counting or None
        The last argument that was tried.
    """

    def __init__(self, wanted: str, argument: Counting | None) -> None:
        super().__init__(wanted, argument)
        self.wanted = wanted
        self.argument = argument

    def __str__(self) -> str:
        return (
            f"the kernel does not see {self.wanted} in the sum that the solver found ({self.argument}); please report"
        )


def whole(multipliers: Mapping[int, Fraction]) -> dict[int, int]:
    """Return the smallest whole numbers in the same proportion; zeros are left out.

    Examples
    --------
    >>> whole({3: Fraction(1, 2), 5: Fraction(-2, 3), 8: Fraction(0)})
    {3: 3, 5: -4}
    """
    used = {key: value for key, value in multipliers.items() if value}
    scale = lcm(*(value.denominator for value in used.values()))
    scaled = {key: int(value * scale) for key, value in used.items()}
    shared = gcd(*scaled.values()) or 1
    return {key: value // shared for key, value in scaled.items()}


def read_off(multipliers: Sequence[float]) -> dict[int, int] | None:
    """Read floats as fractions with one small common denominator; return the whole numbers in the same proportion.

    Parameters
    ----------
    multipliers : sequence of float
        Each one close to a fraction.

    Returns
    -------
    dict of int to int or None
        By place in the sequence, zeros left out; None if no common denominator up to `MAX_DENOMINATOR` fits.

    Examples
    --------
    >>> read_off([0.5, 0.0, -0.6666666667])
    {0: 3, 2: -4}
    """
    used = [(i, y) for i, y in enumerate(multipliers) if abs(y) > _NOISE]
    scale = 1
    for _, y in used:
        scaled = y * scale
        if abs(scaled - round(scaled)) > _NOISE * scale:
            scale *= Fraction(scaled).limit_denominator(MAX_DENOMINATOR // scale).denominator
            if scale * 2 > MAX_DENOMINATOR:
                return None
    found = {i: round(y * scale) for i, y in used}
    shared = gcd(*found.values()) or 1
    return {i: weight // shared for i, weight in found.items() if weight}


def concluded(
    model: Model, position: Position, argument: Counting, false: int | None = None, true: int | None = None
) -> Inference | None:
    """Return what the kernel sees in a sum if that is what is wanted, else None.

    Parameters
    ----------
    model, position, argument
        As for `deduce.positions.conclusions`.
    false, true : int, optional
        The candidate that is to be false, or true; with neither, a contradiction is wanted.  A contradiction is also
        taken where a candidate was wanted.
    """
    inference = conclusions(model, position, argument)
    if inference is None or inference.contradiction or false in inference.false or true in inference.true:
        return inference
    return None


def whole_weights(
    system: System, duals: Sequence[float], program: Program, wanted: Mapping[int, int]
) -> tuple[Counting, Inference]:
    """Turn the duals of a solved program into an argument that concludes what was wanted.

    Parameters
    ----------
    system : System
        The position; row i of the program must be row i of the system.
    duals : sequence of float
        For each row, positive where it serves as a cover and negative where it serves as a base.
    program : Program
        The program, whose last basis is solved exactly when reading the floats as fractions fails.
    wanted : mapping of int to int
        What the objective pushed up: column to +1 if that candidate is to be false, -1 if it is to be true.

    Returns
    -------
    Counting
        With whole weights.
    Inference
        Everything that the kernel concludes from it.

    Raises
    ------
    CountingError
        If the kernel accepts neither reading.
    """
    false = next((system.open[c] for c, sign in wanted.items() if sign > 0), None)
    true = next((system.open[c] for c, sign in wanted.items() if sign < 0), None)
    tried: Counting | None = None
    for read in (read_off, lambda _: whole(exact_duals(system, program, wanted))):
        argument = _signed(system, read(duals) or {})
        if argument is not None:
            tried = argument
            inference = concluded(system.model, system.position, argument, false, true)
            if inference is not None:
                return argument, inference
    names = system.model.names
    goal = f"no room for {names[false]}" if false is not None else "a contradiction"
    raise CountingError(goal if true is None else f"no way without {names[true]}", tried)


def _signed(system: System, weights: Mapping[int, int]) -> Counting | None:
    """Return the argument with positive weights as covers and negative ones as bases; None if it cannot be one."""
    rows = system.rows
    bases = {rows[i].number: -w for i, w in weights.items() if w < 0 and rows[i].lower is not None}
    covers = {rows[i].number: w for i, w in weights.items() if w > 0 and rows[i].upper is not None}
    if (not bases and not covers) or max((*bases.values(), *covers.values())) > MAX_WEIGHT:
        return None
    return counting(bases.items(), covers.items())


def exact_duals(system: System, program: Program, wanted: Mapping[int, int]) -> dict[int, Fraction]:
    """Solve for the multipliers of the program's last basis in exact fractions.

    Parameters
    ----------
    system : System
        The position.
    program : Program
        A solved program with the rows of the system as its first rows and the columns as its first columns.
    wanted : mapping of int to int
        The costs that the program maximised.

    Returns
    -------
    dict of int to Fraction
        Row of the system to multiplier; zeros are left out.

    Notes
    -----
    The multipliers y of a basis are the solution of ``sum over binding rows of y * coefficient = cost`` for each basic
    column: as many equations as unknowns, solved by elimination in whole fractions.  The cost is cubic in the
    number of binding rows.
    """
    unknowns = [i for i in program.binding_rows() if i < len(system.rows)]
    columns = [c for c in program.basic_columns() if c < len(system.open)]
    place = {row: i for i, row in enumerate(unknowns)}
    equations: list[dict[int, Fraction]] = []
    for column in columns:
        equation = {-1: Fraction(wanted.get(column, 0))}
        for row in system.touching[column]:
            if row in place:
                coefficient = next(a for c, a in system.rows[row].terms if c == column)
                equation[row] = Fraction(coefficient)
        equations.append(equation)
    return _eliminate(equations)


def _eliminate(equations: list[dict[int, Fraction]]) -> dict[int, Fraction]:
    """Solve sparse linear equations; key -1 holds the right-hand side; unknowns left free are zero."""
    solved: list[tuple[int, dict[int, Fraction]]] = []
    for equation in equations:
        for pivot, row in solved:
            factor = equation.pop(pivot, None)
            if factor:
                _subtract(equation, row, factor)
        pivot = min((key for key, value in equation.items() if key >= 0 and value), default=-1)
        if pivot < 0:
            continue
        lead = equation.pop(pivot)
        solved.append((pivot, {key: value / lead for key, value in equation.items() if value}))
    found: dict[int, Fraction] = {}
    for pivot, row in reversed(solved):
        value = row.get(-1, Fraction(0)) - sum(
            (a * found.get(key, Fraction(0)) for key, a in row.items() if key >= 0), Fraction(0)
        )
        if value:
            found[pivot] = value
    return found


def _subtract(equation: dict[int, Fraction], row: dict[int, Fraction], factor: Fraction) -> None:
    """Subtract a multiple of a solved row; its own pivot is not listed in it."""
    for key, value in row.items():
        left = equation.get(key, Fraction(0)) - factor * value
        if left:
            equation[key] = left
        else:
            equation.pop(key, None)
