"""Records from files and iterables, one at a time: plain lines and CSV, also packed with gzip or Zstandard."""

from __future__ import annotations

import csv
import gzip
import io
import os
import re
import sys
import zlib
from collections.abc import Iterable, Iterator, Sized
from pathlib import Path
from typing import IO, BinaryIO, cast

from deduce.errors import GridError, MissingExtra, SurveyError, needed
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import EMPTY
from deduce.surveys.identity import plain

__all__ = ["LONGEST", "Source", "called", "source"]

LONGEST = 65_536
"""How long a line may be; a longer one is a bad record, and is not held in memory."""

_SEPARATOR = re.compile(r"[\s,;]")
_PACKED = (".gz", ".zst")
_PLAIN = (".txt", ".csv", ".tsv")
_SHORT = 2**20
"""Of packed files up to so many bytes a buffer may swallow all at once, so nothing is said of how far they are read."""

_FIGURES = frozenset("0123456789" + EMPTY)
_SHORTEST = 8
"""A cell of at least so many characters, most of them figures or marks of empty cells, heads no column."""

Record = tuple[int, "str | Grid | GridError"]
"""The number of a record, from 1, and what stands there; for files the number of the line."""


class Source:
    """Numbered records, read only as they are asked for.

    Parameters
    ----------
    name : str
        What tables call the list.
    records : iterable
        Numbers and what stands there.
    total : int, optional
        How many there are, where that is known.

    Attributes
    ----------
    read : int
        How many have been read.
    """

    def __init__(self, name: str, records: Iterable[Record], total: int | None = None) -> None:
        self.name = name
        self.total = total
        self.read = 0
        self._records = records

    def __iter__(self) -> Iterator[Record]:
        for record in self._records:
            self.read += 1
            yield record

    def share(self) -> float | None:
        """Return how much of the input has been read, from 0 to 1, or None where nobody knows."""
        return None

    def expected(self) -> int | None:
        """Return how many records there will be: known, or guessed from the part of the input that was read."""
        if self.total is not None:
            return self.total
        share = self.share()
        return max(self.read, round(self.read / share)) if share and self.read else None

    def close(self) -> None:
        """Let go of the file, if there is one."""


class _File(Source):
    """The records of a file."""

    def __init__(self, path: Path, name: str, layout: Layout | None, column: str | None) -> None:
        super().__init__(name, self._found())
        self._layout = layout
        self._column = column
        self._path = path
        try:
            self._raw: BinaryIO = path.open("rb")
            self._size = os.fstat(self._raw.fileno()).st_size
        except OSError as error:
            raise SurveyError(
                f"{path} cannot be read ({error.strerror})", "give the path of a readable file"
            ) from error
        suffixes = [suffix.lower() for suffix in path.suffixes]
        packed = suffixes.pop() if suffixes and suffixes[-1] in _PACKED else ""
        self._table = bool(suffixes) and suffixes[-1] in (".csv", ".tsv")
        try:
            unpacked = _unpacked(self._raw, packed)
        except MissingExtra:
            self._raw.close()
            raise
        # The ends of lines stay as they are, so that their lengths add up to that of the file.
        self._text = io.TextIOWrapper(unpacked, encoding="utf-8-sig", errors="replace", newline="")
        self._packed = packed
        self._taken = 0
        self._ended = False

    def _found(self) -> Iterator[Record]:
        lines = self._lines()
        yield from _rows(lines, self._layout, self._column) if self._table else _plain_lines(lines, self._layout)

    def _lines(self) -> Iterator[tuple[int, str | GridError]]:
        """Yield each line without its end that is no comment; one that is too long as an error."""
        number = 0
        try:
            while line := self._text.readline(LONGEST):
                number += 1
                self._taken += len(line)
                if len(line) == LONGEST and not line.endswith("\n"):
                    while rest := self._text.readline(LONGEST):
                        self._taken += len(rest)
                        if rest.endswith("\n"):
                            break
                    yield number, GridError("the line is very long", "give one puzzle a line", line=number)
                elif line.strip() and not line.lstrip().startswith("#"):
                    yield number, line.rstrip("\r\n")
        except _broken() as error:
            problem = f"{self._path} cannot be read beyond line {number} ({error})"
            raise SurveyError(problem, "what was read before is kept; mend the file and run again") from error
        self._ended = True

    def share(self) -> float | None:
        if self._ended:
            return 1.0
        if self._packed:
            return self._raw.tell() / self._size if self._size > _SHORT else None
        return min(1.0, self._taken / self._size) if self._size else None

    def close(self) -> None:
        self._text.close()
        self._raw.close()


def source(
    puzzles: str | os.PathLike[str] | Iterable[str | Grid],
    name: str | None = None,
    layout: Layout | None = None,
    column: str | None = None,
) -> Source:
    """Return the records of a file or of an iterable.

    Parameters
    ----------
    puzzles : path or iterable of str or Grid
        A file with one puzzle a line, a CSV file (``.csv``, ``.tsv``), either of them packed (``.gz``, ``.zst``); or
        anything to iterate over.
    name : str, optional
        What tables call the list; by default the file's name without its endings, or ``"puzzles"``.
    layout : Layout, optional
        The layout of all texts.
    column : str, optional
        Which column of a CSV file; by default the one headed ``puzzle``, or the first that holds one.

    Raises
    ------
    SurveyError
        If the file cannot be read, or is packed in a way that needs a package which is not installed.

    Notes
    -----
    In plain files, lines that are empty or start with ``#`` are passed over, and what follows the puzzle after a blank,
    comma or semicolon is ignored.  In CSV files a cell may be quoted, but must not span lines.
    """
    if isinstance(puzzles, str | os.PathLike):
        path = Path(puzzles)
        try:
            there = path.is_file()
        except (OSError, ValueError):
            there = False
        if not there:
            raise SurveyError(f"there is no file {str(puzzles)[:100]!r}", "give a path, or a list of puzzles")
        return _File(path, name or called(path), layout, column)
    total = len(puzzles) if isinstance(puzzles, Sized) else None
    return Source(name or "puzzles", enumerate(puzzles, 1), total)


def called(path: str | os.PathLike[str]) -> str:
    """Return the name of a file without the endings that say how it is written; other dots belong to the name."""
    name = Path(path).name
    for ending in _PACKED, _PLAIN:
        if name.lower().endswith(ending):
            name = Path(name).stem
    return name


def _plain_lines(lines: Iterator[tuple[int, str | GridError]], layout: Layout | None) -> Iterator[Record]:
    """Yield the puzzle of each line."""
    for number, line in lines:
        if isinstance(line, GridError):
            yield number, line
            continue
        body = line.strip()
        # A line of full length may use blanks for empty cells; otherwise a blank ends the puzzle.
        yield number, body if plain(body, layout) else _spaced(line, layout) or _SEPARATOR.split(body, maxsplit=1)[0]


def _spaced(line: str, layout: Layout | None) -> str | None:
    """Return a line whose empty cells are blanks, or None if it is no such line."""
    if " " not in line:
        return None
    dotted = line.replace(" ", ".")
    return dotted if plain(dotted, layout) else None


def _rows(lines: Iterator[tuple[int, str | GridError]], layout: Layout | None, column: str | None) -> Iterator[Record]:
    """Yield one cell of each row of a CSV file."""
    at = -1
    headed = False
    for number, line in lines:
        if isinstance(line, GridError):
            yield number, line
            continue
        if at < 0 and not headed:
            delimiter = max(",;\t", key=line.count)
        try:
            row = next(csv.reader([line], delimiter=delimiter))
        except csv.Error as error:
            yield number, GridError(f"the row is no CSV ({error})", "mend the row", line=number)
            continue
        if at < 0:
            at = next((i for i, cell in enumerate(row) if column is None and plain(cell.strip(), layout)), -1)
            if at < 0 and not headed and (column is not None or not any(_figures(cell) for cell in row)):
                headed = True
                at = _headed(row, column)
                continue
            if at < 0:
                yield number, GridError("no column holds a puzzle", "name the column", line=number)
                continue
        if at < len(row):
            yield number, row[at].strip()
        else:
            yield number, GridError(f"the row has {len(row)} columns", f"column {at + 1} holds the puzzle", line=number)


def _figures(cell: str) -> bool:
    """Whether a cell looks like a puzzle gone wrong rather than like the name of a column."""
    return len(cell) >= _SHORTEST and 2 * sum(char in _FIGURES for char in cell) > len(cell)


def _headed(row: list[str], column: str | None) -> int:
    """Return which column a heading names, or -1 if the rows must tell."""
    names = [cell.strip().lower() for cell in row]
    wanted = "puzzle" if column is None else column.strip().lower()
    if names.count(wanted) > 1:
        raise SurveyError(f"{names.count(wanted)} columns are called {wanted!r}", "give each a name of its own")
    if wanted in names:
        return names.index(wanted)
    if column is not None:
        raise SurveyError(f"no column is called {column!r}", f"the columns are {', '.join(row)}")
    return -1


def _unpacked(raw: BinaryIO, packed: str) -> IO[bytes]:
    """Return the unpacked bytes of a file."""
    if packed == ".gz":
        return cast("IO[bytes]", gzip.GzipFile(fileobj=raw))
    if packed == ".zst":
        zstandard = needed("zstandard", "zstandard", "reading .zst files")
        return cast("IO[bytes]", zstandard.ZstdDecompressor().stream_reader(raw, read_across_frames=True))
    return raw


def _broken() -> tuple[type[Exception], ...]:
    """Return what a file raises that cannot be read or unpacked."""
    zstandard = sys.modules.get("zstandard")
    zstd_errors = () if zstandard is None else (zstandard.ZstdError,)
    return OSError, EOFError, zlib.error, *zstd_errors
