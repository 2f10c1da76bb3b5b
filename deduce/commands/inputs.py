"""What commands are given: a puzzle, a file, or standard input."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from deduce.errors import DeduceError, PatternError
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import puzzles

__all__ = ["Complaint", "grid_asked", "grid_from", "grids_from", "layout_from", "names_asked", "names_from", "note"]
__all__ += ["say", "text_from", "write", "writing"]

_ENDINGS = (".txt", ".csv", ".json", ".log", ".md")


class Complaint(DeduceError, ValueError):  # noqa: N818 - a sentence for the user, not a failure of ours
    """One clear sentence about what the user gave."""


def text_from(source: str, what: str = "") -> str:
    """Return the text of standard input (``-``), of a file, or of the argument itself.

    Parameters
    ----------
    source : str
        What the command was given.
    what : str
        What the file holds, where it has to be one and cannot be the text itself.

    Raises
    ------
    Complaint
        For a file that cannot be read, and for what looks like the name of one that does not exist.
    """
    if source == "-":
        return sys.stdin.read()
    path = Path(source)
    try:
        found = path.is_file()
    except (OSError, ValueError):  # too long or too odd for a path: it is the text itself
        found = False
    if found:
        try:
            return path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise Complaint(f"{source} cannot be read as UTF-8 text ({error})") from error
    if what:
        raise Complaint(f"there is no file {source}; give a file with {what}, or - for standard input")
    looks_named = source.strip().lower().endswith(_ENDINGS) or source.startswith((os.sep, "." + os.sep, ".." + os.sep))
    if "\n" not in source and looks_named:
        raise Complaint(f"there is no file {source}; give the text itself, a file or -")
    return source


def names_asked(options: argparse.Namespace) -> list[str] | None:
    """Return the patterns that ``--allow`` and ``--forbid`` leave; None if neither was given."""
    allowed = names_from(options.allow, "--allow")
    if options.forbid is None:
        return allowed
    from deduce.patterns import NAMES, PLAIN

    forbidden = names_from(options.forbid, "--forbid") or []
    for name in forbidden:
        if name not in NAMES:
            raise PatternError(name, NAMES)
    usual = NAMES if getattr(options, "assume_unique", False) else PLAIN
    left = [name for name in allowed or usual if name not in forbidden]
    if not left:
        raise Complaint("--forbid leaves nothing that may be used; forbid less")
    return left


def grid_asked(options: argparse.Namespace) -> Grid:
    """Return the grid of a command; errors are those of `grid_from`."""
    return grid_from(options.puzzle, number=options.number, layout=layout_from(options))


def layout_from(options: argparse.Namespace) -> Layout | None:
    """Return the layout that a command was told, or None if it was told none.

    Raises
    ------
    Complaint
        If it was told twice, or the file cannot be read.
    LayoutTextError, ExchangeError
        For a malformed file.
    """
    if options.layout is None:
        return None if options.order is None else Layout.standard(options.order)
    if options.order is not None:
        raise Complaint("--order and --layout both say what the grid looks like; give one of them")
    text = text_from(options.layout, "a layout")
    return Layout.from_json(text) if text.lstrip().startswith(("{", '"')) else Layout.parse(text)


def grid_from(source: str, *, number: int | None = None, layout: Layout | None = None) -> Grid:
    """Return the puzzle that a source holds.

    Parameters
    ----------
    source : str
        As for `text_from`.
    number : int, optional
        Which one, from 1, where the source holds several.
    layout : Layout, optional
        What the grid looks like, where its size does not tell; the source ``empty`` is then the grid without a digit.

    Raises
    ------
    Complaint
        If there is no such puzzle.
    GridError
        For malformed text.
    """
    if layout is not None and source == "empty":
        return Grid.empty(layout)
    found = _puzzles(source, layout)
    wanted = 1 if number is None else number
    if not 1 <= wanted <= len(found):
        raise Complaint(f"--number {wanted} is not there; the input holds {len(found)}, numbered from 1")
    if number is None and len(found) > 1:
        note(f"Puzzle 1 of {len(found)}; --number picks another.")
    return Grid.parse(found[wanted - 1], layout)


def grids_from(source: str, *, layout: Layout | None = None) -> list[Grid]:
    """Return all puzzles that a source holds; arguments and errors are those of `grid_from`."""
    return [Grid.parse(text, layout) for text in _puzzles(source, layout)]


def _puzzles(source: str, layout: Layout | None) -> list[str]:
    """Return the texts of the puzzles in a source, at least one."""
    found = puzzles(text_from(source), layout)
    if not found:
        raise Complaint("there is no puzzle in the input; give one character a cell, '.' for an empty one")
    return found


def names_from(text: str | None, option: str = "") -> list[str] | None:
    """Split a list of names at its semicolons, with the names of a family for its alias; None if it was not given.

    Raises
    ------
    Complaint
        If there is no name in it and `option` says which option that was.
    """
    if text is None:
        return None
    from deduce.patterns import ALIASES

    said = [name.strip() for name in text.split(";") if name.strip()]
    if not said and option:
        raise Complaint(f"{option} names nothing; give names separated by semicolons, or leave it out")
    return list(dict.fromkeys(name for one in said for name in ALIASES.get(one.lower(), (one,))))


def say(text: str) -> None:
    """Print to standard output."""
    sys.stdout.write(f"{text}\n")


def note(text: str) -> None:
    """Print to standard error, so that JSON on standard output stays whole."""
    sys.stderr.write(f"{text}\n")


def write(path: str, content: str) -> None:
    """Write a file; errors are those of `writing`."""
    with writing(path):
        Path(path).write_text(content, encoding="utf-8")


@contextmanager
def writing(path: str) -> Iterator[None]:
    """Complain if what is done inside cannot write there.

    Raises
    ------
    Complaint
        With the name of the file or folder.
    """
    try:
        yield
    except OSError as error:
        raise Complaint(f"{path} cannot be written ({error.strerror or error})") from error
