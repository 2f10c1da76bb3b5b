"""Grids as text: reading and printing, in pairs that round-trip."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from deduce.errors import GridError
from deduce.positions import bits
from deduce.puzzle.layout import Layout, box_shape
from deduce.puzzle.problems import text as problem_text

__all__ = ["EMPTY", "Reading", "block", "line", "pencil", "puzzles", "read"]

EMPTY = ".0_*"
"""The characters that stand for an empty cell."""

ORDERS = (4, 6, 9, 12, 16, 25)
"""The orders that a text without a layout may have."""

_RULER = re.compile(r"[-+=|: ]*[-+=][-+=|: ]*")
_BARS = str.maketrans("|", " ")
_WORD = re.compile(r"\[[^\s\[\]{}]*\]|\{[^\s\[\]{}]*\}|[^\s\[\]{}]+|\S")


@dataclass(frozen=True, slots=True)
class Reading:
    """What a text says, as candidate numbers of the layout.

    Parameters
    ----------
    layout : Layout
        The layout that was given or inferred.
    givens, entered : tuple of int
        The digits that belong to the puzzle, and those that a person placed.
    notes : int or None
        The bitset of candidates that the text leaves; None if it has no notes.
    """

    layout: Layout
    givens: tuple[int, ...]
    entered: tuple[int, ...] = ()
    notes: int | None = None


@dataclass(frozen=True, slots=True)
class _Word:
    """A piece of the text with its place, both counted from 1."""

    text: str
    line: int
    column: int


def read(text: str, layout: Layout | None = None) -> Reading:
    """Read a grid; see `Grid.parse` for the forms.

    Raises
    ------
    GridError
        For malformed text, with line, column and a caret.
    """
    if layout is not None and layout.problem:
        return Reading(layout, *problem_text.read(text, layout))
    rows = [
        (number, content)
        for number, content in enumerate(text.splitlines(), 1)
        if not content.lstrip().startswith("#") and not _RULER.fullmatch(content)
    ]
    words = [[_Word(m[0], number, m.start() + 1) for m in _WORD.finditer(row.translate(_BARS))] for number, row in rows]
    words = [row for row in words if row]
    if not words:
        raise GridError("the text holds no cells", "give one character a cell, '.' for an empty one")
    flat = [word for row in words for word in row]
    sizes = (_rows(layout),) if layout else tuple([order] * order for order in ORDERS)
    wide = any(len(word.text) > 1 for word in flat)
    for size in sizes:
        rows_fit = [len(row) for row in words] == size
        if wide and len(flat) == sum(size) and (rows_fit or len(words) == 1):
            return _read_notes(text, layout or Layout.standard(len(size)), flat)
    cells = [_Word(char, word.line, word.column + i) for word in flat for i, char in enumerate(word.text)]
    for size in sizes:
        if len(cells) == sum(size):
            return _read_cells(text, layout or Layout.standard(len(size)), cells)
    for size in sizes:
        full = [(number, row) for number, row in rows if row]
        lengths = [len(row) for _, row in full]
        if lengths == [sum(size)] or lengths == size:
            spread = [_Word(char, number, i + 1) for number, row in full for i, char in enumerate(row)]
            return _read_cells(text, layout or Layout.standard(len(size)), spread)
    raise _size_error(text, words, cells, sizes)


def _rows(layout: Layout) -> list[int]:
    """Return how many cells each row of the canvas has."""
    counts = [0] * layout.height
    for row, _ in layout.places:
        counts[row] += 1
    return [count for count in counts if count]


def _size_error(text: str, rows: list[list[_Word]], cells: list[_Word], sizes: Sequence[list[int]]) -> GridError:
    """Return the error that says what is wrong with the number of cells, at the row at fault if one stands out."""
    lengths = [sum(len(word.text) for word in row) for row in rows]
    for word in cells:
        # A foreign character is a likelier slip than a missing cell, and easier to see.
        if not word.text.isalnum() and word.text not in EMPTY:
            return _symbol_error(text, word, None)
    fitting = next((size for size in sizes if len(size) == len(rows) > 1), None)
    if fitting is not None:
        even = len(set(fitting)) == 1
        for row, length, needed in zip(rows, lengths, fitting, strict=True):
            if length != needed:
                last = row[-1]
                column = last.column + len(last.text) if length < needed else row[0].column + needed
                return GridError(
                    f"this row has {length} cells",
                    f"each of the {len(rows)} rows needs {needed}" if even else f"it needs {needed}",
                    text=text,
                    line=last.line,
                    column=column,
                )
    last = cells[-1]
    counts = [str(sum(size)) for size in sizes]
    expected = counts[0] if len(counts) == 1 else ", ".join(counts[:-1]) + " or " + counts[-1]
    return GridError(
        f"{len(cells)} cells found",
        f"a grid has {expected}, with '.' for an empty cell",
        text=text,
        line=last.line,
        column=last.column + 1,
    )


def _symbol_error(text: str, word: _Word, layout: Layout | None) -> GridError:
    """Return the error that says what is wrong with one character."""
    char = word.text
    plain = unicodedata.normalize("NFKC", char)
    name = unicodedata.name(char, "an unnamed character").lower()
    expected = f"write one of {layout.symbols} or '.' for an empty cell" if layout else "write '.' for an empty cell"
    if plain != char and plain.isascii() and plain.isalnum():
        problem = f"{char!r} is a {name}"
        expected = f"write a plain {plain}"
    elif char in "-":
        problem = "'-' stands where a cell was expected"
        expected = "write '.' for an empty cell; '-' is read as a ruler"
    elif layout and char.isascii() and char.isdigit():
        problem = f"{char} is beyond the digits of a {layout.order}x{layout.order} grid"
        expected = f"its digits are {layout.symbols}"
    else:
        problem = f"{char!r} is no digit" + ("" if char.isascii() else f" ({name})")
    return GridError(problem, expected, text=text, line=word.line, column=word.column)


def _digit(text: str, layout: Layout, word: _Word) -> int:
    """Return the digit (from 1) that a character names; capitals and small letters are one unless both are symbols."""
    found = layout.symbols.find(word.text)
    if found < 0 and word.text.isascii() and word.text.isalpha():
        found = layout.symbols.find(word.text.swapcase())
    if found < 0:
        raise _symbol_error(text, word, layout)
    return found + 1


def _read_cells(text: str, layout: Layout, cells: list[_Word]) -> Reading:
    """Read one character a cell."""
    givens = []
    for cell, word in enumerate(cells):
        if word.text not in EMPTY and not word.text.isspace():
            givens.append(layout.number(_digit(text, layout, word), cell))
    return Reading(layout, tuple(givens))


def _read_notes(text: str, layout: Layout, words: list[_Word]) -> Reading:
    """Read one word a cell."""
    givens, entered = [], []
    notes = 0
    for cell, word in enumerate(words):
        body = word.text
        offset = 1 if body[0] in "[{" else 0
        inner = body[offset : len(body) - offset]
        if body in list(EMPTY):
            notes |= sum(1 << layout.number(digit, cell) for digit in range(1, layout.order + 1))
            continue
        if offset and (len(body) < 2 or body[-1] != "]}"["[{".index(body[0])]):
            raise _symbol_error(text, _Word(body[0], word.line, word.column), layout)
        digits = []
        for i, char in enumerate(inner):
            digit = _digit(text, layout, _Word(char, word.line, word.column + offset + i))
            if digit in digits:
                raise GridError(
                    f"{char} stands twice in one cell",
                    "list each remaining digit once",
                    text=text,
                    line=word.line,
                    column=word.column + offset + i,
                )
            digits.append(digit)
        numbers = [layout.number(digit, cell) for digit in digits]
        notes |= sum(1 << number for number in numbers)
        if body[0] == "[":
            if len(numbers) != 1:
                raise GridError(
                    f"{body} does not hold one digit",
                    "square brackets mark one entered digit",
                    text=text,
                    line=word.line,
                    column=word.column,
                )
            entered += numbers
        elif body[0] != "{" and len(numbers) == 1:
            givens += numbers
    return Reading(layout, tuple(givens), tuple(entered), notes)


def puzzles(text: str, layout: Layout | None = None) -> list[str]:
    """Split the text of a file into puzzles: the whole text if it is one grid, else one puzzle a line.

    Lines that are empty or start with ``#`` are passed over.  A line is not read here, so a bad one is met by the
    reader of that line.
    """
    lines = [row for row in text.splitlines() if row.strip() and not row.lstrip().startswith("#")]
    if len(lines) <= 1:
        return [text] if lines else []
    try:
        read(text, layout)
    except GridError:
        sizes = {layout.cells} if layout else {order * order for order in ORDERS}
        if any(len(row.strip().split()[0]) in sizes for row in lines):
            return lines
    return [text]


def line(layout: Layout, true: int) -> str:
    """Print the placed digits as one line, ``.`` for an open cell."""
    if layout.problem:
        return problem_text.line(layout, true)
    cells = ["."] * layout.cells
    for number in bits(true):
        digit, cell = divmod(number, layout.cells)
        cells[cell] = layout.symbols[digit]
    return "".join(cells)


def block(layout: Layout, true: int) -> str:
    """Print the placed digits on their places, with rulers between boxes where they are rectangles."""
    flat = line(layout, true)
    return _ruled(layout, list(flat))


def pencil(layout: Layout, live: int, true: int, givens: int) -> str:
    """Print a candidate grid: bare digits are givens, ``[5]`` entered, ``{5}`` an only note, ``{}`` no candidate."""
    if layout.problem:
        return problem_text.pencil(layout, live, true, givens)
    words = []
    for cell in range(layout.cells):
        here = live & layout.masks[cell]
        digits = "".join(layout.symbols[number // layout.cells] for number in bits(here))
        if here & true:
            words.append(digits if here & givens else f"[{digits}]")
        else:
            words.append(digits if len(digits) > 1 else f"{{{digits}}}")
    return _ruled(layout, words)


def _ruled(layout: Layout, words: Iterable[str]) -> str:
    """Print one word a cell in aligned columns, with rulers between rectangular boxes."""
    shown = dict(zip(layout.places, words, strict=True))
    height, width = layout.height, layout.width
    shape = box_shape(layout.order)
    ruled = shape is not None and layout == Layout.standard(layout.order)
    high, broad = shape if ruled and shape else (height, width)
    widths = [max(len(shown.get((row, column), " ")) for row in range(height)) for column in range(width)]
    printed = []
    for row in range(height):
        parts = []
        for left in range(0, width, broad):
            columns = range(left, left + broad)
            parts.append(" ".join(shown.get((row, column), "").ljust(widths[column]) for column in columns))
        if row and row % high == 0:
            printed.append("-+-".join("-" * len(part) for part in parts))
        printed.append(" | ".join(parts).rstrip())
    return "\n".join(printed)
