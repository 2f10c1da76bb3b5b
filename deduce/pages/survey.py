"""The coverage as tables, and as one self-contained HTML page."""

from __future__ import annotations

import html
from collections.abc import Iterator
from dataclasses import astuple
from decimal import Decimal
from pathlib import Path

from deduce.errors import MissingExtra
from deduce.pages.frame import document, style, wide
from deduce.pages.survey_charts import charts
from deduce.surveys.coverage import Coverage
from deduce.surveys.order import Order, exact_order, greedy_order
from deduce.surveys.tables import Table

__all__ = ["fragment", "orders", "page", "tables", "write_csv"]

_MOST_PAIRS = 25
"""How many pairs of patterns that replace each other are listed."""

_MOST_NEXT = 4
"""How many patterns are named that would go on from where a level is stuck."""


def tables(coverage: Coverage) -> tuple[Table, ...]:
    """Return a table for everything that was asked."""
    found = [_lists(coverage), _solved(coverage), _course(coverage), _uses(coverage), *_stuck(coverage)]
    if coverage.marginal:
        found.append(_marginal(coverage))
    if coverage.families:
        found += [_replaces(coverage), *_orders(coverage)]
    return tuple(found)


def page(coverage: Coverage) -> str:
    """Return the tables, and charts where matplotlib is installed, as one self-contained HTML page."""
    title = f"Coverage of {', '.join(coverage.lists) or 'no list'}"
    heading = f"<h1>{html.escape(title)}</h1><p>Engine {html.escape(coverage.asked.engine)}.</p>"
    return document(title, heading + fragment(coverage))


def fragment(coverage: Coverage) -> str:
    """Return what a page or a notebook shows of the coverage, without the frame of a page."""
    try:
        drawn = [f"<figure><figcaption>{label}</figcaption>{chart}</figure>" for label, chart in charts(coverage)]
    except MissingExtra as error:
        drawn = [f"<p>Without charts: {html.escape(str(error))}.</p>"]
    body = "".join([*drawn, *(wide(table.html(), table.title) for table in tables(coverage))])
    return f'<div class="deduce-coverage">{style("coverage.css")}{body}</div>'


def write_csv(coverage: Coverage, folder: Path) -> tuple[Path, ...]:
    """Write one CSV file for each table into a folder, made if it is not there, and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for table in tables(coverage):
        path = folder / f"{table.slug}.csv"
        path.write_text(table.csv(), encoding="utf-8")
        written.append(path)
    return tuple(written)


def orders(coverage: Coverage) -> Iterator[Order]:
    """Yield the greedy and the exact order in which to teach patterns."""
    catalogue = coverage.asked.patterns[0].patterns
    yield greedy_order(coverage.families, catalogue)
    yield exact_order(coverage.families, catalogue)


def _lists(coverage: Coverage) -> Table:
    heads = ("list", "records", "different", "bad", "one solution", "none", "several", "unknown", "troubles", "engine")
    rows = [(name, *astuple(count), coverage.asked.engine) for name, count in coverage.counts.items()]
    note = "Everything below counts the records with one solution."
    return Table.of("Lists", heads, rows, note)


def _solved(coverage: Coverage) -> Table:
    rows = []
    short = False
    for name, solved in coverage.solved.items():
        valid = coverage.counts[name].valid
        rows += [(name, level, valid, count, count / valid if valid else None) for level, count in solved.items()]
        short = short or any(answered < valid for answered in coverage.answered[name].values())
    note = "Some puzzles met trouble and count as not solved." if short else ""
    return Table.of("Puzzles solved by each level", ("list", "level", "puzzles", "solved", "share"), rows, note)


def _course(coverage: Coverage) -> Table:
    rows = [
        (name, level, Decimal(f"{steps:.1f}"), Decimal(f"{effort:.1f}"), depth)
        for name, levels in coverage.effort.items()
        for level, (steps, effort, depth) in levels.items()
    ]
    return Table.of("Walks by level", ("list", "level", "mean steps", "mean effort", "greatest depth"), rows)


def _uses(coverage: Coverage) -> Table:
    rows = []
    for name, uses in coverage.uses.items():
        valid = coverage.counts[name].valid
        hardest = coverage.hardest[name]
        rows += [
            (name, pattern, walks, walks / valid, steps, hardest[pattern]) for pattern, (walks, steps) in uses.items()
        ]
    heads = ("list", "pattern", "puzzles", "share", "steps", "hardest step in")
    note = "The easiest pattern is used where several fit."
    if coverage.asked.widest[0].patterns != coverage.asked.patterns[0].patterns:
        note += " A counting argument with the shape of a pattern is counted under that name."
    return Table.of("Patterns used in walks of everything", heads, rows, note)


def _stuck(coverage: Coverage) -> Iterator[Table]:
    rows = []
    for name, levels in coverage.stuck.items():
        for level, following in levels.items():
            if not following:
                continue
            most = sorted(following.items(), key=lambda item: (-item[1], item[0]))
            shown = [(pattern or "nothing", count) for pattern, count in most[:_MOST_NEXT]]
            if len(most) > _MOST_NEXT:
                shown.append(("others", sum(count for _, count in most[_MOST_NEXT:])))
            rows += [(name, level, following.total(), pattern, count) for pattern, count in shown]
    note = "The easiest pattern of everything that finds something there."
    if rows:
        heads = ("list", "level", "stuck", "what would go on there", "puzzles")
        yield Table.of("Where levels are stuck", heads, rows, note)


def _marginal(coverage: Coverage) -> Table:
    rows = [(pattern, lost, won) for pattern, (lost, won) in coverage.marginal.items()]
    base = ", ".join(coverage.asked.base[0].patterns)
    heads = ("pattern", "lost without it", "won with it alone")
    note = f"Lost: solved by all patterns, but not without this one. Won: solved by {base} and this one, not by those."
    return Table.of("What each pattern adds", heads, rows, note)


def _replaces(coverage: Coverage) -> Table:
    pairs = sorted(coverage.replaces.items(), key=lambda item: (-item[1][0], -item[1][0] / item[1][1]))
    rows = [(one, other, both, either, both / either) for (one, other), (both, either) in pairs[:_MOST_PAIRS]]
    heads = ("pattern", "other", "exchangeable", "either helps", "share")
    note = "In how many puzzles each can take the other's place in a smallest set of patterns that solves."
    if coverage.incomplete:
        note += f" Puzzles whose solving sets are not all known: {coverage.incomplete:,}."
    return Table.of("Patterns that replace each other", heads, rows, note)


def _orders(coverage: Coverage) -> Iterator[Table]:
    for order in orders(coverage):
        name = "exact" if order.method != "greedy" else "greedy"
        rows = [(0, "what is known before", order.solved[0], order.solved[0])]
        for lesson, pattern in enumerate(order.patterns, 1):
            rows.append((lesson, pattern, order.solved[lesson], order.solved[lesson] - order.solved[lesson - 1]))
        how = "" if name == order.method else f" ({order.method})"
        note = f"The counts after each lesson add up to {order.gain:,}{how}"
        note += ", proved to be the most." if order.exact else f"; no order comes to more than {order.bound:,}."
        if coverage.incomplete:
            note += f" Puzzles whose solving sets are not all known: {coverage.incomplete:,}."
        yield Table.of(f"Order of lessons, {name}", ("lesson", "pattern", "solved", "more"), rows, note)
