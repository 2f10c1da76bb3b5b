"""The store: puzzles, questions and answers in one SQLite file.

Answers are addressed by content: the puzzle's text on its layout, the engine, and the question.  Whatever has been
answered once is never asked again, and the same input gives the same answers in any order of arrival.  Times are kept
apart from answers.  A batch is one transaction, so a killed survey has either all of it or nothing.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple, Self

from deduce.errors import SurveyError
from deduce.puzzle.layout import Layout
from deduce.surveys.identity import digest, layout_text
from deduce.surveys.questions import FURTHER, NEEDS, VALIDITY, WALK, SurveyQuestion

__all__ = ["ANSWERS", "Asked", "Store", "StoredAnswer", "Trouble"]

FORM = 1
"""Which form of tables a file has; other forms are refused."""

_PATIENCE = 100
"""How many times a new file is tried that another process holds."""

ANSWERS: dict[str, dict[str, str]] = {
    VALIDITY: {"solutions": "TEXT"},
    WALK: {
        "outcome": "TEXT",
        "steps": "INTEGER",
        "effort": "INTEGER",
        "hardest": "TEXT",
        "hardest_effort": "INTEGER",
        "depth": "INTEGER",
        "open": "INTEGER",
        "uses": "TEXT",
    },
    FURTHER: {"patterns": "TEXT"},
    NEEDS: {"complete": "INTEGER", "sets": "TEXT"},
}
"""For each kind of question the columns of its answers, and what they hold."""


def _about(table: str, columns: Mapping[str, str]) -> str:
    """Return what makes a table of what is known about puzzles and questions."""
    named = "".join(f"{name} {kind} NOT NULL, " for name, kind in columns.items())
    keys = "puzzle INTEGER REFERENCES puzzles, question INTEGER REFERENCES questions"
    return f"CREATE TABLE {table} ({keys}, {named}PRIMARY KEY (puzzle, question)) WITHOUT ROWID;\n"


_TABLES = """
CREATE TABLE layouts (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE);
CREATE TABLE puzzles (
    id INTEGER PRIMARY KEY, digest BLOB NOT NULL UNIQUE, layout INTEGER NOT NULL REFERENCES layouts,
    text TEXT NOT NULL);
CREATE TABLE lists (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
CREATE TABLE members (list INTEGER REFERENCES lists, number INTEGER, puzzle INTEGER NOT NULL REFERENCES puzzles,
    PRIMARY KEY (list, number)) WITHOUT ROWID;
CREATE TABLE rejects (list INTEGER REFERENCES lists, number INTEGER, reason TEXT NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (list, number)) WITHOUT ROWID;
CREATE TABLE questions (
    id INTEGER PRIMARY KEY, engine TEXT NOT NULL, kind TEXT NOT NULL, text TEXT NOT NULL, label TEXT NOT NULL,
    UNIQUE (engine, kind, text));
CREATE TABLE took (puzzle INTEGER REFERENCES puzzles, engine TEXT, microseconds INTEGER NOT NULL,
    PRIMARY KEY (puzzle, engine)) WITHOUT ROWID;
"""
_TABLES += "".join(_about(kind, columns) for kind, columns in ANSWERS.items())
_TABLES += _about("troubles", {"kind": "TEXT", "detail": "TEXT"})

_KEYS = {"questions": 3}
"""How many of its values make a row of a table what it is, where that is more than one."""


class StoredAnswer(NamedTuple):
    """An answer on its way to the store.

    Parameters
    ----------
    puzzle, question : int
        Their numbers in the store.
    kind : str
        The kind of the question.
    values : tuple
        The columns of `ANSWERS`.
    """

    puzzle: int
    question: int
    kind: str
    values: tuple[Any, ...]


class Trouble(NamedTuple):
    """Questions about a puzzle that were not answered.

    Parameters
    ----------
    puzzle : int
        Its number in the store.
    questions : tuple of int
        What was asked.
    kind : str
        ``"crashed"``: the worker died over it; ``"overlong"``: the wall-clock guard ran out; ``"failed"``: the engine
        raised an error.
    detail : str
        What is known about it.
    """

    puzzle: int
    questions: tuple[int, ...]
    kind: str
    detail: str


class Asked(NamedTuple):
    """A puzzle with what is still to be asked about it.

    Parameters
    ----------
    puzzle : int
        Its number in the store.
    layout : Layout
        Its layout.
    text : str
        Its canonical text.
    questions : tuple of int
        Those without an answer.
    """

    puzzle: int
    layout: Layout
    text: str
    questions: tuple[int, ...]


class Store:
    """Answers in an SQLite file.

    Parameters
    ----------
    path : path, optional
        The file, made if it is not there; by default one that vanishes when the store is closed.

    Raises
    ------
    SurveyError
        If the file is something else, or was written by another version with other tables.

    Notes
    -----
    Several processes may write to one file, as long as it lies on a local disk.
    """

    def __init__(self, path: str | os.PathLike[str] | None = None) -> None:
        self.path = None if path is None else Path(path)
        if self.path is not None and not self.path.parent.is_dir():
            raise SurveyError(f"there is no folder {self.path.parent}", "make it, or give another path for the store")
        try:
            # The empty name is a database in a temporary file, not in memory: long surveys stay small.  The garbage
            # collector may close it in any thread.
            self.db = sqlite3.connect("" if self.path is None else self.path, timeout=60, check_same_thread=False)
            self._open()
        except sqlite3.DatabaseError as error:
            raise SurveyError(f"{path} cannot be used as a store ({error})", "give the path of a new file") from error
        self._layouts = {
            Layout.from_json(text): number for number, text in self.db.execute("SELECT id, text FROM layouts")
        }

    def _open(self) -> None:
        """Make the tables, or see that they are ours."""
        # In one transaction, so that both are of one moment: another process may be making the tables.
        self.db.execute("BEGIN")
        tables = self.db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        form = self.db.execute("PRAGMA user_version").fetchone()[0]
        self.db.commit()
        if form == 0 and tables == 0:
            if self.path is not None:
                self._write_ahead()
            tables = _TABLES.replace("CREATE TABLE", "CREATE TABLE IF NOT EXISTS")
            self.db.executescript(f"BEGIN IMMEDIATE; {tables} PRAGMA user_version={FORM}; COMMIT;")
        elif form != FORM:
            problem = f"{self.path} holds tables of form {form}, not {FORM}" if form else f"{self.path} is no store"
            raise SurveyError(problem, "give the path of a new file")
        self.db.execute("PRAGMA synchronous=NORMAL")

    def _write_ahead(self) -> None:
        """Let readers not wait for the writer, nor a commit for the disk; a killed process loses nothing committed.

        SQLite does not wait for a lock here, so another process that opens the new file at this moment is waited for.
        """
        for left in reversed(range(_PATIENCE)):
            try:
                self.db.execute("PRAGMA journal_mode=WAL")
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or not left:
                    raise
                time.sleep(0.1)
            else:
                return

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Say which store it was that could not be read or written."""
        try:
            yield
        except sqlite3.DatabaseError as error:
            problem = f"the store {self.path or 'in a temporary file'} cannot be read or written ({error})"
            advice = "see that its disk has room, that it may be written and that no other process holds it"
            raise SurveyError(problem, f"{advice}, or give the path of a new file") from error

    def commit(self) -> None:
        """Keep what was written down."""
        with self._told():
            self.db.commit()

    @contextmanager
    def attached(self, path: Path) -> Iterator[None]:
        """Let the tables of another store be read under the name ``part``; what is written is one transaction."""
        self.commit()
        with self._told():
            self.db.execute("ATTACH ? AS part", (str(path),))
            try:
                with self.db:
                    yield
            finally:
                self.db.execute("DETACH part")

    def close(self) -> None:
        """Close the file."""
        self.db.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def __del__(self) -> None:
        db = getattr(self, "db", None)
        if db is not None:
            db.close()

    def question(self, question: SurveyQuestion, engine: str, label: str) -> int:
        """Return the number of a question, written down if it is new; a new label replaces the old one."""
        with self._told(), self.db:
            number = self._number("questions", engine=engine, kind=question.kind, text=question.text, label=label)
            self.db.execute("UPDATE questions SET label = ? WHERE id = ? AND label != ?", (label, number, label))
        return number

    def list_number(self, name: str) -> int:
        """Return the number of a list, written down if it is new."""
        with self._told(), self.db:
            return self._number("lists", name=name)

    def lists(self) -> tuple[str, ...]:
        """Return the names of the lists, in the order in which they came."""
        return tuple(name for (name,) in self.db.execute("SELECT name FROM lists ORDER BY id"))

    def length(self, name: str) -> int:
        """Return how many records of a list are puzzles, as far as the store has seen it."""
        found = self.db.execute("SELECT count(*) FROM members JOIN lists ON lists.id = list WHERE name = ?", (name,))
        return int(found.fetchone()[0])

    def register(self, list_number: int, number: int, layout: Layout, text: str) -> int:
        """Write down a record of a list and return the number of its puzzle; commit is left to the caller.

        Raises
        ------
        SurveyError
            If the list had another puzzle there.
        """
        with self._told():
            puzzle = self._puzzle_number(layout, text)
            key = (list_number, number)
            self.db.execute("INSERT OR IGNORE INTO members VALUES (?, ?, ?)", (*key, puzzle))
            there = self.db.execute("SELECT puzzle FROM members WHERE list = ? AND number = ?", key).fetchone()[0]
            if there != puzzle:
                raise self._changed(list_number, number)
            # It may have been a bad record before somebody mended it.
            self.db.execute("DELETE FROM rejects WHERE list = ? AND number = ?", key)
        return puzzle

    def reject(self, list_number: int, number: int, reason: str, text: str) -> None:
        """Write down a bad record, without a reason if it is only to be counted; commit is left to the caller.

        Raises
        ------
        SurveyError
            If the list had a puzzle there.
        """
        with self._told():
            key = (list_number, number)
            if self.db.execute("SELECT 1 FROM members WHERE list = ? AND number = ?", key).fetchone():
                raise self._changed(list_number, number)
            self.db.execute("INSERT OR REPLACE INTO rejects VALUES (?, ?, ?, ?)", (*key, reason, text[:200]))

    def rejects(self, name: str) -> Iterator[tuple[int, str, str]]:
        """Yield the bad records of a list that were collected: number, reason, and how the text begins."""
        yield from self.db.execute(
            "SELECT number, reason, rejects.text FROM rejects JOIN lists ON lists.id = list WHERE name = ?"
            " AND reason != '' ORDER BY number",
            (name,),
        )

    def answered(self, puzzle: int, kinds: Iterable[str], *, troubles: bool = True) -> set[int]:
        """Return the questions that have an answer for a puzzle; `troubles` counts those that met trouble as well."""
        tables = [*kinds, "troubles"] if troubles else [*kinds]
        found = " UNION ALL ".join(f"SELECT question FROM {table} WHERE puzzle = ?1" for table in tables)
        with self._told():
            return {number for (number,) in self.db.execute(found, (puzzle,))}

    def record(
        self, answers: Sequence[StoredAnswer], troubles: Sequence[Trouble], times: Mapping[int, int], engine: str
    ) -> None:
        """Write down what a batch has brought, in one transaction."""
        by_kind: dict[str, list[tuple[Any, ...]]] = {}
        for answer in answers:
            by_kind.setdefault(answer.kind, []).append((answer.puzzle, answer.question, *answer.values))
        with self._told(), self.db:
            for kind, rows in by_kind.items():
                marks = ", ".join("?" * len(rows[0]))
                self.db.executemany(f"INSERT OR REPLACE INTO {kind} VALUES ({marks})", rows)
                # What met trouble before has its answer now.
                settled = [row[:2] for row in rows]
                self.db.executemany("DELETE FROM troubles WHERE puzzle = ? AND question = ?", settled)
            for trouble in troubles:
                rows = [(trouble.puzzle, question, trouble.kind, trouble.detail) for question in trouble.questions]
                self.db.executemany("INSERT OR REPLACE INTO troubles VALUES (?, ?, ?, ?)", rows)
            self.db.executemany(
                "INSERT INTO took VALUES (?, ?, ?) ON CONFLICT (puzzle, engine)"
                " DO UPDATE SET microseconds = microseconds + excluded.microseconds",
                [(puzzle, engine, spent) for puzzle, spent in times.items()],
            )

    def rows(self, kind: str) -> Iterator[tuple[Any, ...]]:
        """Yield all answers of a kind: layout, puzzle, engine, question, then the columns of `ANSWERS`.

        The order is that of these four texts, so the rows do not depend on the course of the survey.
        """
        columns = ", ".join(f"{kind}.{column}" for column in ANSWERS[kind])
        yield from self.db.execute(
            f"SELECT layouts.text, puzzles.text, engine, questions.text, {columns} FROM {kind}"
            f" JOIN puzzles ON puzzles.id = puzzle JOIN layouts ON layouts.id = layout"
            f" JOIN questions ON questions.id = question"
            f" ORDER BY layouts.text, puzzles.text, engine, questions.text"
        )

    def _changed(self, list_number: int, number: int) -> SurveyError:
        """Return the complaint that a list is not what it was."""
        name = self.db.execute("SELECT name FROM lists WHERE id = ?", (list_number,)).fetchone()[0]
        problem = f"record {number} of the list {name!r} was another puzzle when this store first saw it"
        return SurveyError(problem, "give the changed list another name, or take a new store")

    def _puzzle_number(self, layout: Layout, text: str) -> int:
        """Return the number of a puzzle, written down if it is new."""
        address = digest(layout, text)
        found = self.db.execute("SELECT id FROM puzzles WHERE digest = ?", (address,)).fetchone()
        if found is not None:
            return int(found[0])
        if layout not in self._layouts:
            self._layouts[layout] = self._number("layouts", text=layout_text(layout))
        return self._number("puzzles", digest=address, layout=self._layouts[layout], text=text)

    def _number(self, table: str, **values: object) -> int:
        """Return the number of a row, written down if it is new; another process may have done so since we looked.

        Only the first values, as many as `_KEYS` says, make rows the same.
        """
        keys = [*values][: _KEYS.get(table, 1)]
        marks = ", ".join("?" * len(values))
        self.db.execute(f"INSERT OR IGNORE INTO {table} ({', '.join(values)}) VALUES ({marks})", (*values.values(),))
        where = " AND ".join(f"{key} = ?" for key in keys)
        found = self.db.execute(f"SELECT id FROM {table} WHERE {where}", [values[key] for key in keys])
        return int(found.fetchone()[0])
