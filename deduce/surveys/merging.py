"""Stores brought together: the parts of a long list, surveyed apart, as if in one run."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from sqlite3 import Connection
from typing import NamedTuple

from deduce.errors import SurveyError
from deduce.surveys.store import ANSWERS, Store

__all__ = ["Merged", "StoreConflict", "merge"]


class StoreConflict(NamedTuple):
    """Two stores that do not agree; what came first is kept.

    Parameters
    ----------
    store : str
        The file of the store that came later.
    kind : str
        ``"record"``, or the kind of the question that got two answers.
    where : str
        The record, as number and list, or the puzzle.
    kept, other : str
        What the two say.
    """

    store: str
    kind: str
    where: str
    kept: str
    other: str


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge has done.

    Parameters
    ----------
    store : Store
        Everything together.
    puzzles, answers : int
        How many of either it had not had before.
    engines : tuple of str
        The engines whose answers it holds; each answers for itself.
    conflicts : tuple of StoreConflict
        What did not agree.
    """

    store: Store
    puzzles: int
    answers: int
    engines: tuple[str, ...]
    conflicts: tuple[StoreConflict, ...]


def merge(
    stores: Iterable[Store | str | os.PathLike[str]], into: Store | str | os.PathLike[str], *, name: str | None = None
) -> Merged:
    """Bring the answers of several stores together in one.

    Parameters
    ----------
    stores : iterable of Store or path
        Files of stores; they are read only.
    into : Store or path
        Where everything goes, beside what it holds; made if it is not there.
    name : str, optional
        Put the records of all lists of the stores into one list of this name, numbered on in the order given; without
        it lists of one name are one list, and must have the same records under the same numbers.

    Raises
    ------
    SurveyError
        If a file is no store, or a store lies in a temporary file.

    Notes
    -----
    Puzzles and answers are known by their content, so it does not matter who asked first, and without `name` merging a
    store twice changes nothing.
    """
    kept = into if isinstance(into, Store) else Store(into)
    conflicts: list[StoreConflict] = []
    before = _held(kept)
    for part in stores:
        path = part.path if isinstance(part, Store) else Path(part)
        if path is None or not path.is_file():
            raise SurveyError(f"there is no file of the store {part}", "give the path of a store that was written")
        if isinstance(part, Store):
            part.commit()
        else:
            Store(path).close()  # refuses what is no store
        with kept.attached(path):
            conflicts += _brought(kept.db, path, name)
    puzzles, answers = (now - then for now, then in zip(_held(kept), before, strict=True))
    engines = tuple(engine for (engine,) in kept.db.execute("SELECT DISTINCT engine FROM questions ORDER BY engine"))
    return Merged(kept, puzzles, answers, engines, tuple(conflicts))


def _held(store: Store) -> tuple[int, int]:
    """Return how many puzzles and answers a store holds."""
    tables = ["puzzles", *ANSWERS]
    puzzles, *answers = (store.db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in tables)
    return puzzles, sum(answers)


_PUZZLES = (
    " JOIN part.puzzles AS those ON those.id = theirs.puzzle JOIN puzzles AS these ON these.digest = those.digest"
)
_QUESTIONS = (
    " JOIN part.questions AS asked ON asked.id = theirs.question JOIN questions ON"
    " (questions.engine, questions.kind, questions.text) = (asked.engine, asked.kind, asked.text)"
)
_BOTH = "AS theirs" + _PUZZLES + _QUESTIONS
"""Rows of the store that is read, beside what they are about in the one that is written."""


def _brought(db: Connection, path: Path, name: str | None) -> Iterator[StoreConflict]:
    """Copy what an attached store holds, and yield what does not agree with what is there."""
    db.execute("INSERT OR IGNORE INTO layouts (text) SELECT text FROM part.layouts ORDER BY id")
    db.execute(
        "INSERT OR IGNORE INTO puzzles (digest, layout, text) SELECT digest, layouts.id, theirs.text"
        " FROM part.puzzles AS theirs JOIN part.layouts AS those ON those.id = theirs.layout"
        " JOIN layouts ON layouts.text = those.text ORDER BY theirs.id"
    )
    db.execute(
        "INSERT OR IGNORE INTO questions (engine, kind, text, label)"
        " SELECT engine, kind, text, label FROM part.questions ORDER BY id"
    )
    for number, called in db.execute("SELECT id, name FROM part.lists ORDER BY id").fetchall():
        db.execute("INSERT OR IGNORE INTO lists (name) VALUES (?)", (name or called,))
        mine = db.execute("SELECT id FROM lists WHERE name = ?", (name or called,)).fetchone()[0]
        numbers = "SELECT list, number FROM members UNION ALL SELECT list, number FROM rejects"
        last = db.execute(f"SELECT max(number) FROM ({numbers}) WHERE list = ?", (mine,)).fetchone()[0] or 0
        values = {"mine": mine, "number": number, "from": last if name else 0}
        rows = db.execute(
            "SELECT theirs.number, ours.text, these.text FROM part.members AS theirs" + _PUZZLES + " JOIN members"
            " ON members.list = :mine AND members.number = theirs.number + :from"
            " JOIN puzzles AS ours ON ours.id = members.puzzle WHERE theirs.list = :number AND ours.id != these.id",
            values,
        )
        for record, one, other in rows:
            yield StoreConflict(str(path), "record", f"record {record} of {called}", one, other)
        db.execute(
            "INSERT OR IGNORE INTO members SELECT :mine, theirs.number + :from, these.id"
            " FROM part.members AS theirs" + _PUZZLES + " WHERE theirs.list = :number",
            values,
        )
        db.execute(
            "INSERT OR IGNORE INTO rejects SELECT :mine, number + :from, reason, text FROM part.rejects"
            " WHERE list = :number AND NOT EXISTS (SELECT 1 FROM members WHERE list = :mine"
            " AND members.number = rejects.number + :from)",
            values,
        )
    for kind, columns in ANSWERS.items():
        one, other = (f"json_array({', '.join(f'{side}.{column}' for column in columns)})" for side in (kind, "theirs"))
        rows = db.execute(
            f"SELECT these.text, {one}, {other} FROM part.{kind} {_BOTH} JOIN {kind} ON {kind}.puzzle = these.id"
            f" AND {kind}.question = questions.id WHERE {one} != {other} ORDER BY 1"
        )
        for text, had, brought in rows:
            yield StoreConflict(str(path), kind, text, had, brought)
        values_of = ", ".join(f"theirs.{column}" for column in columns)
        db.execute(f"INSERT OR IGNORE INTO {kind} SELECT these.id, questions.id, {values_of} FROM part.{kind} {_BOTH}")
    db.execute(
        f"INSERT OR IGNORE INTO troubles SELECT these.id, questions.id, theirs.kind, detail FROM part.troubles {_BOTH}"
    )
    for kind in ANSWERS:
        # What met trouble in one store may have its answer from another.
        db.execute(f"DELETE FROM troubles WHERE (puzzle, question) IN (SELECT puzzle, question FROM {kind})")
    db.execute(
        f"INSERT INTO took SELECT these.id, theirs.engine, microseconds FROM part.took AS theirs{_PUZZLES} WHERE TRUE"
        " ON CONFLICT (puzzle, engine) DO UPDATE SET microseconds = max(microseconds, excluded.microseconds)"
    )
