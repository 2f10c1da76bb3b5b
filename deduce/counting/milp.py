"""A mixed-integer program for HiGHS, through scipy if it is installed and highspy otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from math import inf
from typing import Any

from deduce.surveys.errors import MissingExtra

__all__ = ["Found", "Rows", "maximum"]


class Rows:
    """Linear constraints ``low <= sum of coefficient * variable <= high``, row by row."""

    def __init__(self) -> None:
        self.starts = [0]
        self.columns: list[int] = []
        self.values: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def add(self, terms: Sequence[tuple[int, float]], low: float | None, high: float | None) -> None:
        """Add a constraint; None leaves a side open."""
        self.columns += [column for column, _ in terms]
        self.values += [value for _, value in terms]
        self.starts.append(len(self.columns))
        self.low.append(-inf if low is None else low)
        self.high.append(inf if high is None else high)


@dataclass(frozen=True, slots=True)
class Found:
    """What the solver found.

    Parameters
    ----------
    values : tuple of float
        One for each variable.
    bound : float
        No solution is worth more.
    method : str
        Which solver.
    """

    values: tuple[float, ...]
    bound: float
    method: str


def maximum(worth: Sequence[float], rows: Rows, *, whole: int, seconds: float, through: str = "") -> Found | None:
    """Maximize a sum over variables from 0 to 1, the first `whole` of which are 0 or 1.

    Parameters
    ----------
    worth : sequence of float
        One for each variable.
    rows : Rows
        The constraints.
    whole : int
        How many variables may not be fractions.
    seconds : float
        How long the solver may take.
    through : str, optional
        ``"scipy"`` or ``"highspy"``; by default the first that is installed.

    Returns
    -------
    Found or None
        None if no solution was found in time.
    """
    for package, solve in (("scipy", _by_scipy), ("highspy", _by_highspy)):
        if through in ("", package) and find_spec(package) is not None:
            return solve(worth, rows, whole, seconds)
    raise MissingExtra(through or "scipy", "the exact order of lessons")


def _by_scipy(worth: Sequence[float], rows: Rows, whole: int, seconds: float) -> Found | None:
    optimize: Any = import_module("scipy.optimize")
    sparse: Any = import_module("scipy.sparse")
    matrix = sparse.csr_array((rows.values, rows.columns, rows.starts), shape=(len(rows.low), len(worth)))
    done = optimize.milp(
        [-value for value in worth],
        constraints=optimize.LinearConstraint(matrix, rows.low, rows.high),
        integrality=[1] * whole + [0] * (len(worth) - whole),
        bounds=optimize.Bounds(0, 1),
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    if done.x is None:
        return None
    # Without whole variables there is no branching, and the solution is its own bound.
    bound = done.fun if done.mip_dual_bound is None else done.mip_dual_bound
    return Found(tuple(map(float, done.x)), -float(bound), "HiGHS through scipy")


def _by_highspy(worth: Sequence[float], rows: Rows, whole: int, seconds: float) -> Found | None:
    highspy: Any = import_module("highspy")
    solver = highspy.Highs()
    solver.silent()
    # HiGHS has one set of threads in a process; counting arguments are sought with one.
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", 0.0)
    count = len(worth)
    solver.addCols(count, list(worth), [0.0] * count, [1.0] * count, 0, [], [], [])
    solver.changeColsIntegrality(whole, list(range(whole)), [highspy.HighsVarType.kInteger] * whole)
    solver.addRows(len(rows.low), rows.low, rows.high, len(rows.columns), rows.starts[:-1], rows.columns, rows.values)
    solver.changeObjectiveSense(highspy.ObjSense.kMaximize)
    solver.run()
    info = solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    return Found(tuple(solver.getSolution().col_value), float(info.mip_dual_bound), "HiGHS through highspy")
