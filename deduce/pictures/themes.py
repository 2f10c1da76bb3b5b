"""Themes: which colours and strokes the marks of a scene are printed with.

Colours are those of Okabe and Ito, which stay apart under the common kinds of colour blindness; no meaning hangs on a
colour alone.  What falls is a dark tile with notched sides, what is placed is ringed, the candidates of a chain are
square and round by turns, a strong link is a double line and a weak link a single dashed one.  The theme for print has
no colours at all; the one for the stage has the most contrast and the widest lines, for a projector in a lit room.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

__all__ = ["THEMES", "Fill", "Theme", "theme_of"]

ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILLION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"


class Fill(NamedTuple):
    """How a marked cell or house is printed.

    Parameters
    ----------
    fill : str
        Colour of the shade.
    opacity : float
        Of the shade.
    stroke : str
        Colour of the outline; empty for none.
    width : float
        Of the outline.
    dashes : str
        Of the outline; empty for a whole line.
    """

    fill: str
    opacity: float
    stroke: str
    width: float = 2.0
    dashes: str = ""


class Body(NamedTuple):
    """How the shape around a marked note is printed: colours of the inside and of the line, and its width."""

    fill: str
    stroke: str
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Theme:
    """Everything about a picture that is not position or shape.

    Parameters
    ----------
    paper, ink : str
        Background; links, given digits and words.
    faint : str
        Plain notes and labels.
    given : str
        Shade behind given digits.
    placed : str
        Digits that were placed.
    thin, thick : str
        Lines between cells; borders of regions.
    region : str
        Shade of regions that overlap others.
    hole : str
        Places of the canvas without a cell.
    rule : str
        Fences, lines and stems of the rules beyond houses.
    on_mark : str
        Digits on a shape.
    strike : Body
        The tile around what falls; its digit is printed in `paper`.
    areas : dict
        For each role of an area; the second and third of several sets have looks of their own.
    marks : dict
        For each role of a note that has a shape.
    """

    paper: str
    ink: str
    faint: str
    given: str
    placed: str
    thin: str
    thick: str
    region: str
    hole: str
    rule: str
    on_mark: str
    strike: Body
    areas: dict[str, Fill]
    marks: dict[str, Body]

    def body(self, role: str) -> Body:
        """Return how the shape around notes of a role is printed."""
        return self.strike if role == "eliminated" else self.marks[role]

    def ink_on(self, role: str) -> str:
        """Return the colour of digits in the shape of a role."""
        if role == "eliminated":
            return self.paper
        return self.ink if self.marks[role].fill == "none" else self.on_mark


_AREAS: dict[str, tuple[str, float, float, str]] = {
    "base": ("blue", 0.25, 2.4, ""),
    "cover": ("purple", 0.18, 2, "9 4"),
    "rule": ("purple", 0.1, 2, "1.5 3"),
    "sum": ("blue", 0.2, 1.6, "12 3 3 3"),
    "pivot": ("yellow", 0.45, 2.2, ""),
    "pincer": ("yellow", 0.3, 2, "3 3"),
    "subset": ("yellow", 0.4, 1.8, ""),
    "cell": ("yellow", 0.25, 1.6, "5 2 1 2"),
    "swappable": ("orange", 0.34, 3, "3 1.5"),
    "added": ("yellow", 0.3, 1.8, "8 2"),
    "taken": ("orange", 0.25, 1.8, "4 4"),
    "set": ("green", 0.16, 2, "7 3 2 3"),
    "follows": ("blue", 0, 1.8, "3 5"),
    "set B": ("purple", 0.18, 2, ""),
    "set C": ("orange", 0.24, 2, "6 2 6 5"),
    "target": ("green", 0.15, 2.4, "14 3"),
    "bar": ("orange", 0.3, 1.6, "2 3"),
    "lost": ("red", 0.22, 0, ""),
    "trouble": ("red", 0.25, 3, ""),
    "look": ("blue", 0.16, 2, "1 5"),
}
"""For each role of an area its hue, the opacity of its shade, and the width and dashes of its outline."""

_TONES: dict[str, tuple[str, str, str, str]] = {
    "paper": ("#fff", "#15171b", "#fff", "#fff"),
    "ink": ("#000", "#fff", "#000", "#000"),
    "faint": ("#444", "#d9dde3", "#333", "#000"),
    "given": ("#ececec", "#2b2f36", "#e8e8e8", "#dcdcdc"),
    "placed": ("#005A8C", "#7CC8F2", "#000", "#00487A"),
    "thin": ("#999", "#6d747e", "#8a8a8a", "#666"),
    "thick": ("#000", "#e6e8eb", "#000", "#000"),
    "region": ("#f0f0f0", "#24272d", "#f2f2f2", "#f0f0f0"),
    "hole": ("#d6d6d6", "#33373e", "#d9d9d9", "#d6d6d6"),
    "rule": ("#0072B2", "#56B4E9", "#000", "#0072B2"),
    "on_mark": ("#000", "#000", "#000", "#000"),
}
"""The plain colours of the themes, light, dark, print and stage; what each is for, `Theme` says."""

_Hue = tuple[str, str, float]
_GREY: _Hue = ("#000", "#000", 0.3)

_HUES: dict[str, tuple[_Hue, _Hue, _Hue, _Hue]] = {
    "blue": ((SKY, BLUE, 1), (SKY, SKY, 0.8), _GREY, (SKY, "#004F80", 1.3)),
    "purple": ((PURPLE, "#9C4A78", 1), (PURPLE, PURPLE, 1.1), _GREY, (PURPLE, "#7A2F5B", 1.3)),
    "yellow": ((YELLOW, "#000", 1), (YELLOW, YELLOW, 0.48), _GREY, (YELLOW, "#000", 1.3)),
    "orange": ((ORANGE, "#000", 1), (ORANGE, ORANGE, 0.75), _GREY, (ORANGE, "#000", 1.3)),
    "green": ((GREEN, "#00694D", 1), (GREEN, "#2CC79B", 1.6), _GREY, (GREEN, "#004D38", 1.3)),
    "red": ((VERMILLION, VERMILLION, 1), (VERMILLION, "#FF7A1A", 1), _GREY, (VERMILLION, "#A32900", 1.2)),
}
"""For each hue and theme the shade, the line, and how much stronger than in `_AREAS` its shades are."""


def _theme(number: int, strike: Body, green: str, width: float, fills: tuple[str, ...], wider: float = 1) -> Theme:
    """Return the theme of a column of the tables: its tile, the line of what can be placed, and its shapes."""
    tones = {name: row[number] for name, row in _TONES.items()}
    areas = {}
    for role, (hue, opacity, line, dashes) in _AREAS.items():
        fill, stroke, strength = _HUES[hue][number]
        areas[role] = Fill(fill, round(opacity * strength, 2), stroke if line else "", round(line * wider, 1), dashes)
    marks = {role: Body(fill, tones["ink"], width) for role, fill in zip(_SHAPED, fills, strict=True)}
    marks |= {"exit": Body("#fff", tones["ink"], 1.6), "opened": Body("none", green, 1.8)}
    return Theme(**tones, strike=strike, areas=areas, marks=marks | {"placed": Body("#fff", green, 2.2)})


_SHAPED = ("even", "odd", "pattern", "fin")
_COLOURS = (ORANGE, SKY, YELLOW, PURPLE)

THEMES = {
    "light": _theme(0, Body("#A32900", "#A32900"), "#007A59", 1, _COLOURS),
    "dark": _theme(1, Body("#FFB8A8", "#fff", 1.2), "#2CC79B", 1, _COLOURS),
    "print": _theme(2, Body("#000", "#000"), "#000", 1.2, ("#fff", "#c8c8c8", "#fff", "#dcdcdc")),
    "stage": _theme(3, Body("#8A1F00", "#000", 1.4), "#004D38", 1.8, _COLOURS, 1.4),
}
"""The themes by name."""

LIGHT = THEMES["light"]


def theme_of(name: str) -> Theme:
    """Return a theme by its name.

    Raises
    ------
    ValueError
        For an unknown name.
    """
    if name not in THEMES:
        raise ValueError(f"theme is {name!r}; give one of {', '.join(map(repr, THEMES))}")
    return THEMES[name]
