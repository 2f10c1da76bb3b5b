"""Grids as text: reading and printing, in pairs that round-trip."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from deduce.errors import GridError
from deduce.positions import bits, bitset
from deduce.puzzle.layout import Layout, box_shape
from deduce.puzzle.problems import text as problem_text
from deduce.puzzle.problems.naming import choices
from deduce.puzzle.word import Word, words as words_of

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
    cut = [[*words_of(_WORD, row.translate(_BARS), number, text)] for number, row in rows]
    words = [row for row in cut if row]
    if not words:
        raise GridError("the text holds no cells", "give one character a cell, '.' for an empty one")
    flat = [word for row in words for word in row]
    sizes = (_rows(layout),) if layout else tuple([order] * order for order in ORDERS)
    wide = any(len(word.text) > 1 for word in flat)
    for size in sizes:
        rows_fit = [len(row) for row in words] == size
        if wide and len(flat) == sum(size) and (rows_fit or len(words) == 1):
            return _read_notes(layout or Layout.standard(len(size)), flat)
    cells = [char for word in flat for char in word.characters()]
    for size in sizes:
        if len(cells) == sum(size):
            return _read_cells(layout or Layout.standard(len(size)), cells)
    full = [Word(row, number, 1, text) for number, row in rows if row]
    lengths = [len(row.text) for row in full]
    for size in sizes:
        if lengths in ([sum(size)], size):
            spread = [char for row in full for char in row.characters()]
            return _read_cells(layout or Layout.standard(len(size)), spread)
    raise _size_error(words, cells, sizes)


def _rows(layout: Layout) -> list[int]:
    """Return how many cells each row of the canvas has."""
    counts = [0] * layout.height
    for row, _ in layout.places:
        counts[row] += 1
    return [count for count in counts if count]


def _size_error(rows: list[list[Word]], cells: list[Word], sizes: Sequence[list[int]]) -> GridError:
    """Return the error that says what is wrong with the number of cells, at the row at fault if one stands out."""
    lengths = [sum(len(word.text) for word in row) for row in rows]
    for word in cells:
        # A foreign character is a likelier slip than a missing cell, and easier to see.
        if not word.text.isalnum() and word.text not in EMPTY:
            return _symbol_error(word, None)
    fitting = next((size for size in sizes if len(size) == len(rows) > 1), None)
    if fitting is not None:
        even = len(set(fitting)) == 1
        for row, length, needed in zip(rows, lengths, fitting, strict=True):
            expected = f"each of the {len(rows)} rows needs {needed}" if even else f"it needs {needed}"
            if length < needed:
                return row[-1].wrong(GridError, f"this row has {length} cells", expected, at=len(row[-1].text))
            if length > needed:
                return row[0].wrong(GridError, f"this row has {length} cells", expected, at=needed)
    counts = [str(sum(size)) for size in sizes]
    expected = choices(counts)
    advice = f"a grid has {expected}, with '.' for an empty cell"
    return cells[-1].wrong(GridError, f"{len(cells)} cells found", advice, at=1)


def _symbol_error(word: Word, layout: Layout | None) -> GridError:
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
    return word.wrong(GridError, problem, expected)


def _digit(layout: Layout, word: Word) -> int:
    """Return the digit (from 1) that a character names; capitals and small letters are one unless both are symbols."""
    found = layout.symbols.find(word.text)
    if found < 0 and word.text.isascii() and word.text.isalpha():
        found = layout.symbols.find(word.text.swapcase())
    if found < 0:
        raise _symbol_error(word, layout)
    return found + 1


def _read_cells(layout: Layout, cells: list[Word]) -> Reading:
    """Read one character a cell."""
    placed = ((cell, word) for cell, word in enumerate(cells) if word.text not in EMPTY and not word.text.isspace())
    return Reading(layout, tuple(layout.number(_digit(layout, word), cell) for cell, word in placed))


def _read_notes(layout: Layout, words: list[Word]) -> Reading:
    """Read one word a cell."""
    givens, entered = [], []
    notes = 0
    for cell, word in enumerate(words):
        body = word.text
        offset = 1 if body[0] in "[{" else 0
        if body in list(EMPTY):
            notes |= layout.masks[cell]
            continue
        if offset and (len(body) < 2 or body[-1] != "]}"["[{".index(body[0])]):
            raise _symbol_error(word.part(0, 1), layout)
        numbers: list[int] = []
        for char in word.part(offset, len(body) - offset).characters():
            number = layout.number(_digit(layout, char), cell)
            if number in numbers:
                raise char.wrong(GridError, f"{char.text} stands twice in one cell", "list each remaining digit once")
            numbers.append(number)
        notes |= bitset(numbers)
        if body[0] == "[":
            if len(numbers) != 1:
                problem = f"{body} does not hold one digit"
                raise word.wrong(GridError, problem, "square brackets mark one entered digit")
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
    return _ruled(layout, line(layout, true))


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
    high, broad = shape if shape and layout == Layout.standard(layout.order) else (height, width)
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
