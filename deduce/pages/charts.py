"""The course of a walk as a chart, with the optional package matplotlib."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from deduce.errors import needed
from deduce.pictures.themes import BLUE, ORANGE, VERMILLION
from deduce.walks.walk import Walk
from deduce.words.en.shows import CHART, chart_title

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["chart"]


def chart(walk: Walk) -> Figure:
    """Draw the course of a walk: candidates left and the effort of each step, and where it ended if not solved.

    Parameters
    ----------
    walk : Walk
        The walk.

    Returns
    -------
    matplotlib.figure.Figure
        A figure of its own; no global state of matplotlib is touched.  A notebook shows it by itself.

    Raises
    ------
    MissingExtra
        If matplotlib is not installed, with the command that installs it.
    """
    module = needed("matplotlib.figure", "matplotlib", "A chart", "pictures")
    figure = cast("Figure", module.Figure(figsize=(9, 5), layout="constrained"))
    upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(2, 1))
    grids = [walk.start, *(step.after for step in walk.steps)]
    left = [(grid.live & ~grid.true).bit_count() for grid in grids]
    upper.step(range(len(left)), left, where="post", color=BLUE, linewidth=2)
    upper.set_ylabel(CHART["left"])
    upper.set_ylim(bottom=0)
    lower.bar(
        range(1, len(walk.steps) + 1), [step.proof.effort for step in walk.steps], color=ORANGE, edgecolor="black"
    )
    lower.set_ylabel(CHART["effort"])
    lower.set_xlabel(CHART["step"])
    lower.xaxis.get_major_locator().set_params(integer=True)
    if walk.outcome.value in CHART:
        end = len(walk.steps)
        upper.plot([end], [left[-1]], marker="X", markersize=11, color=VERMILLION, markeredgecolor="black")
        label = CHART[walk.outcome.value]
        upper.annotate(label, (end, left[-1]), xytext=(-8, 10), textcoords="offset points", ha="right")
    figure.suptitle(chart_title(walk), fontsize=11)
    for axes in (upper, lower):
        axes.spines[["top", "right"]].set_visible(False)
        axes.grid(axis="y", alpha=0.3)
    return figure
