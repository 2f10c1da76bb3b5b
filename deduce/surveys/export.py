"""Answers for other tools: one row for each record and level, as CSV, Parquet or data frames."""

from __future__ import annotations

import csv
import json
import os
import tempfile
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from deduce.errors import needed
from deduce.puzzle.layout import Layout, box_shape
from deduce.surveys.survey import Survey

__all__ = ["COLUMNS", "rows", "to_csv", "to_pandas", "to_parquet", "to_polars"]

COLUMNS: dict[str, type] = {
    "list": str,
    "record": int,
    "layout": str,
    "puzzle": str,
    "solutions": str,
    "level": str,
    "patterns": str,
    "outcome": str,
    "steps": int,
    "effort": int,
    "hardest": str,
    "hardest_effort": int,
    "depth": int,
    "open": int,
    "next": str,
    "uses": str,
    "engine": str,
}
"""The columns and what they hold.

`layout` is the size of the grid, or the regions as JSON; `patterns` lists the names of the level and `uses` how often
each was used, both as JSON; `open` is how many candidates were left, `next` the pattern that would go on from where the
walk was stuck, empty for levels outside the ladder; `engine` is the version and digest of what answered.
"""


def rows(survey: Survey) -> Iterator[tuple[Any, ...]]:
    """Yield one row for each record and question about a level, over all lists of the store.

    The order is that of lists, records and questions; equal surveys yield equal rows, however they were run.
    """
    asked = survey.asked
    numbers = ", ".join(map(str, asked.labels))
    found = survey.store.db.execute(
        "SELECT lists.name, number, layouts.text, puzzles.text, coalesce(solutions, ''), walk.question,"
        " json_extract(questions.text, '$.patterns'), outcome, steps, effort, hardest, hardest_effort, depth, open,"
        " further.patterns, uses, engine FROM members JOIN lists ON lists.id = list"
        " JOIN puzzles ON puzzles.id = members.puzzle JOIN layouts ON layouts.id = layout"
        " JOIN walk ON walk.puzzle = members.puzzle JOIN questions ON questions.id = walk.question"
        " LEFT JOIN further ON further.puzzle = members.puzzle AND further.question = ?2"
        " LEFT JOIN validity ON validity.puzzle = members.puzzle AND validity.question = ?1"
        f" WHERE walk.question IN ({numbers}) ORDER BY lists.name, number, questions.text",
        (asked.validity, asked.further),
    )
    places = {question: asked.places[level.name] for level, question in asked.levels if level.name in asked.places}
    for name, number, layout, puzzle, solutions, question, *others, further, uses, engine in found:
        following = json.loads(further)[places[question]] if further and question in places else ""
        record = (name, number, _layout_name(layout), puzzle, solutions)
        yield *record, asked.labels[question], *others, following, uses, engine


@lru_cache(maxsize=64)
def _layout_name(text: str) -> str:
    """Return the size of a layout with the usual boxes, such as ``9x9``; any other layout in full."""
    layout = Layout.from_json(text)
    shape = box_shape(layout.order)
    usual = shape is not None and layout == Layout.standard(layout.order)
    return f"{layout.order}x{layout.order}" if usual else text


def to_csv(survey: Survey, path: str | os.PathLike[str]) -> None:
    """Write the rows as CSV, one at a time."""
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        writer.writerows(rows(survey))


def to_pandas(survey: Survey) -> Any:
    """Return the rows as a `pandas.DataFrame`.

    Raises
    ------
    MissingExtra
        If pandas is not installed.
    """
    library = needed("pandas", "pandas", "a pandas data frame")
    frame = library.DataFrame(list(rows(survey)), columns=list(COLUMNS))
    return frame.astype({name: "int64" for name, kind in COLUMNS.items() if kind is int})


def to_polars(survey: Survey) -> Any:
    """Return the rows as a `polars.DataFrame`.

    Raises
    ------
    MissingExtra
        If polars is not installed.
    """
    library = needed("polars", "polars", "a polars data frame")
    return library.DataFrame(list(rows(survey)), schema=_polars_schema(library), orient="row")


def to_parquet(survey: Survey, path: str | os.PathLike[str]) -> None:
    """Write the rows as a Parquet file, overwritten if it is there, without ever holding all of them.

    Raises
    ------
    MissingExtra
        If polars is not installed.
    """
    polars = needed("polars", "polars", "writing Parquet")
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder, "rows.csv")
        to_csv(survey, table)
        # CSV does not tell empty text from none; there is no none here.
        frame = polars.scan_csv(table, schema=_polars_schema(polars))
        frame.with_columns(polars.col(polars.String).fill_null("")).sink_parquet(path)


def _polars_schema(polars: Any) -> dict[str, Any]:
    return {name: polars.Int64 if kind is int else polars.String for name, kind in COLUMNS.items()}
