"""Print a scene as a text grid for terminals, with marks in plain ASCII."""

from __future__ import annotations

from deduce.pictures.scene import Note, NoteRole, Scene
from deduce.puzzle.layout import Layout
from deduce.words.en.explain import key_of

__all__ = ["text_grid"]

_MARKS: dict[NoteRole, tuple[str, str]] = {
    "pattern": ("*", ""),
    "fin": ("^", ""),
    "exit": ("!", ""),
    "even": ("<", ">"),
    "odd": ("(", ")"),
    "eliminated": ("-", ""),
    "placed": ("+", ""),
    "opened": ("?", ""),
}
"""What stands before and behind a digit with a role."""


def text_grid(scene: Scene) -> str:
    """Print the candidate grid of a scene, one word a cell.

    Parameters
    ----------
    scene : Scene
        What to show.

    Returns
    -------
    str
        Bare digits are givens, ``[5]`` is an entered digit, ``{5}`` an only note.  A scene of a proof has marks within
        the words and a line below that explains those that occur.
    """
    layout = scene.layout
    if layout.problem:
        return _table(scene)
    words = ["{}"] * layout.cells
    for digit in scene.digits:
        symbol = layout.symbols[digit.digit - 1]
        words[digit.cell] = symbol if digit.given else f"[{symbol}]"
    noted: dict[int, list[Note]] = {}
    for note in scene.notes:
        noted.setdefault(note.cell, []).append(note)
    for cell, notes in noted.items():
        written = "".join(_written(layout, note) for note in notes)
        words[cell] = f"{{{written}}}" if len(notes) == 1 else written
    grid = _ruled(layout, words)
    return "\n".join([grid, *_legend(scene)])


def _legend(scene: Scene) -> list[str]:
    """Explain the marks that occur in one line, if any do."""
    key, used = key_of(scene.layout), {note.role for note in scene.notes}
    told = [f"{before}n{after} {key[role]}" for role, (before, after) in _MARKS.items() if role in used]
    return ["   ".join(told)] if told else []


def _table(scene: Scene) -> str:
    """Print the scene of a problem, one line a variable, with a line below that explains the marks."""
    layout = scene.layout
    wide = max(len(layout.cell_name(cell)) for cell in range(layout.cells))
    placed = {digit.cell: layout.symbols[digit.digit - 1] for digit in scene.digits}
    lines = []
    for cell in range(layout.cells):
        notes = [_written(layout, note) for note in scene.notes if note.cell == cell]
        held = f"= {placed[cell]}" if cell in placed else f": {', '.join(notes)}"
        lines.append(f"{layout.cell_name(cell).ljust(wide)} {held}".rstrip())
    return "\n".join([*lines, *_legend(scene)])


def _written(layout: Layout, note: Note) -> str:
    before, after = _MARKS.get(note.role, ("", ""))
    return f"{before}{layout.symbols[note.digit - 1]}{after}"


def _ruled(layout: Layout, words: list[str]) -> str:
    """Print the words in columns, with bars and rules wherever two regions meet."""
    height, width = layout.height, layout.width
    # A place without a cell counts as a region of its own.
    region = {(row, column): -2 for row in range(height) for column in range(width)}
    region.update(dict.fromkeys(layout.places, -1))
    for number, house in reversed([*enumerate(layout.regions)]):
        region.update((layout.places[cell], number) for cell in house.cells)
    shown = dict(zip(layout.places, words, strict=True))
    widths = [max(len(shown.get((row, column), " ")) for row in range(height)) for column in range(width)]
    cuts = {c for r, c in region if c and region[r, c] != region[r, c - 1]}
    printed = []
    for row in range(height):
        line = rule = ""
        # Whether something ends between this row and the one above, for each column.
        above = [bool(row and region[row - 1, column] != region[row, column]) for column in range(width)]
        for column in range(width):
            if column:
                bar = region[row, column] != region[row, column - 1]
                before = row and region[row - 1, column - 1] != region[row, column - 1]
                joint = "+" if above[column] or before else "|" if bar else " "
                line += f" {'|' if bar else ' '} " if column in cuts else " "
                over = f"{'-' if before else ' '}{joint}{'-' if above[column] else ' '}"
                rule += over if column in cuts else "-" if above[column] and before else " "
            line += shown.get((row, column), "").ljust(widths[column])
            rule += ("-" if above[column] else " ") * widths[column]
        printed += [rule.rstrip()] * any(above) + [line.rstrip()]
    return "\n".join(printed)
