"""Charts of the coverage, as SVG text drawn by matplotlib."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from deduce.errors import needed
from deduce.pictures.themes import BLUE, GREEN, ORANGE, PURPLE, SKY, VERMILLION
from deduce.surveys.coverage import Coverage
from deduce.surveys.order import greedy_order
from deduce.surveys.tables import percent

__all__ = ["charts"]

_COLOURS = (BLUE, ORANGE, GREEN, PURPLE, SKY, VERMILLION, "#000000")
"""Okabe and Ito's palette, without its yellow, which is too faint on white."""

_HATCHES = ("", "//", "..", "xx", "\\\\", "++", "oo")
"""So that bars can be told apart without colours."""

_TALLEST = 30
"""How many bars a chart may have."""


def charts(coverage: Coverage) -> tuple[tuple[str, str], ...]:
    """Return charts of what was asked, each as its caption and an ``<svg>`` element.

    Raises
    ------
    MissingExtra
        If matplotlib is not installed.

    Notes
    -----
    Drawn without a display and without pyplot, so nothing of the caller's plotting is touched; the same coverage gives
    the same text.
    """
    needed("matplotlib", "matplotlib", "drawing charts")
    found = [_shares(coverage)]
    if coverage.marginal:
        found.append(_bars(coverage))
    if any(sets and all(sets) for sets in coverage.families):
        found.append(_lessons(coverage))
    return tuple(found)


def _figure(high: float) -> tuple[Any, Any]:
    """Return a figure and its axes."""
    figure = needed("matplotlib.figure", "matplotlib", "drawing charts").Figure(figsize=(9, high), layout="constrained")
    axes = figure.add_subplot()
    axes.spines[["top", "right"]].set_visible(False)
    return figure, axes


def _svg(figure: Any, label: str) -> tuple[str, str]:
    """Return a caption with the figure as an SVG element, the same for the same figure."""
    matplotlib = needed("matplotlib", "matplotlib", "drawing charts")
    out = io.StringIO()
    with matplotlib.rc_context({"svg.hashsalt": "deduce", "svg.fonttype": "path"}):
        figure.savefig(out, format="svg", metadata={"Date": None, "Title": label})
    text = out.getvalue()
    return label, text[text.index("<svg") :].replace("<svg", f'<svg role="img" aria-label="{label}"', 1)


def _shares(coverage: Coverage) -> tuple[str, str]:
    """Draw the share of each list that each level solves."""
    levels = [level.name for level, _ in coverage.asked.levels]
    figure, axes = _figure(1.5 + 0.35 * len(levels) * max(1, len(coverage.lists)))
    thick = 0.8 / max(1, len(coverage.lists))
    for i, (name, solved) in enumerate(coverage.solved.items()):
        valid = coverage.counts[name].valid or 1
        places = [place + (i - (len(coverage.lists) - 1) / 2) * thick for place in range(len(levels))]
        shares = [100 * solved[level] / valid for level in levels]
        style = {"color": _COLOURS[i % 7], "hatch": _HATCHES[i % 7], "edgecolor": "white"}
        bars = axes.barh(places, shares, thick, label=f"{name} ({valid:,})", **style)
        axes.bar_label(bars, [percent(share / 100).rstrip("%") for share in shares], padding=3, fontsize=8)
    axes.set_yticks(range(len(levels)), levels)
    axes.invert_yaxis()
    axes.set_xlim(0, 108)
    axes.set_xlabel("puzzles solved, per cent")
    figure.legend(loc="outside lower center", ncols=min(4, max(1, len(coverage.lists))), frameon=False)
    return _svg(figure, "Share of each list that each level solves")


def _bars(coverage: Coverage) -> tuple[str, str]:
    """Draw what each pattern adds; patterns that add nothing are left out."""
    rows = [(name, *both) for name, both in coverage.marginal.items() if any(both)][:_TALLEST]
    figure, axes = _figure(1.5 + 0.3 * max(1, len(rows)))
    for i, label in enumerate(("lost by all patterns without it", "won by the base with it alone")):
        places = [place + (i - 0.5) * 0.4 for place in range(len(rows))]
        bars = axes.barh(places, [row[i + 1] for row in rows], 0.4, label=label, color=_COLOURS[i], hatch=_HATCHES[i])
        axes.bar_label(bars, padding=3, fontsize=8)
    axes.set_yticks(range(len(rows)), [row[0] for row in rows])
    axes.invert_yaxis()
    axes.set_xlabel("puzzles")
    figure.legend(loc="outside lower center", ncols=2, frameon=False)
    return _svg(figure, "What each pattern adds")


def _lessons(coverage: Coverage) -> tuple[str, str]:
    """Draw how many puzzles are solved after each lesson of the greedy order."""
    order = greedy_order(coverage.families, coverage.asked.patterns[0].patterns)
    names: Sequence[str] = ("known before", *order.patterns)
    figure, axes = _figure(1.5 + 0.25 * len(names))
    axes.plot(order.solved, range(len(names)), marker="o", color=_COLOURS[0])
    axes.set_yticks(range(len(names)), names)
    axes.invert_yaxis()
    axes.set_xlim(left=0)
    axes.set_xlabel("puzzles solved after this lesson, greedy order")
    return _svg(figure, "Puzzles solved after each lesson")
