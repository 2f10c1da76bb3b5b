"""Print a scene as a text grid for terminals, with marks in plain ASCII."""

from __future__ import annotations

from deduce.pictures.scene import Note, NoteRole, Scene
from deduce.pictures.words import KEY
from deduce.puzzle.layout import Layout

__all__ = ["text_grid"]

_MARKS: dict[NoteRole, tuple[str, str, str]] = {
    # before and after the digit, and what it means
    "pattern": ("*", "", KEY["pattern"]),
    "fin": ("^", "", KEY["fin"]),
    "exit": ("!", "", KEY["exit"]),
    "even": ("<", ">", KEY["even"]),
    "odd": ("(", ")", KEY["odd"]),
    "eliminated": ("-", "", KEY["eliminated"]),
    "placed": ("+", "", KEY["placed"]),
    "opened": ("?", "", KEY["opened"]),
}


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
    used = {note.role for note in scene.notes}
    legend = [f"{before}n{after} {meaning}" for role, (before, after, meaning) in _MARKS.items() if role in used]
    return f"{grid}\n{'   '.join(legend)}" if legend else grid


def _written(layout: Layout, note: Note) -> str:
    before, after, _ = _MARKS.get(note.role, ("", "", ""))
    return f"{before}{layout.symbols[note.digit - 1]}{after}"


def _ruled(layout: Layout, words: list[str]) -> str:
    """Print the words in columns, with bars and rules wherever two regions meet."""
    order = layout.order
    region = [-1] * layout.cells
    for number, house in enumerate(layout.houses[2 * order :]):
        for cell in house.cells:
            if region[cell] < 0:
                region[cell] = number
    widths = [max(len(words[row * order + column]) for row in range(order)) for column in range(order)]
    cuts = {c for c in range(1, order) for r in range(order) if region[r * order + c] != region[r * order + c - 1]}
    printed = []
    for row in range(order):
        line, rule, ruled = "", "", False
        for column in range(order):
            cell = row * order + column
            if column:
                bar = region[cell] != region[cell - 1]
                line += f" {'|' if bar else ' '} " if column in cuts else " "
                above = row and region[cell - order] != region[cell]
                before = row and region[cell - 1 - order] != region[cell - 1]
                joint = "+" if above or before else "|" if bar else " "
                if column in cuts:
                    rule += f"{'-' if before else ' '}{joint}{'-' if above else ' '}"
                else:
                    rule += "-" if above and before else " "
            line += words[cell].ljust(widths[column])
            above = bool(row and region[cell - order] != region[cell])
            rule += ("-" if above else " ") * widths[column]
            ruled = ruled or above
        if ruled:
            printed.append(rule.rstrip())
        printed.append(line.rstrip())
    return "\n".join(printed)
