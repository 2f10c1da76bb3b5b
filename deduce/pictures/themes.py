"""Themes: which colours and strokes the marks of a scene are printed with.

Colours are those of Okabe and Ito, which stay apart under the common kinds of colour blindness; no meaning hangs on a
colour alone.  What falls is struck through, what is placed is ringed, the candidates of a chain are square and round by
turns, a strong link is a double line and a weak link a single dashed one.  The theme for print has no colours at all.
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
        The stroke through what falls; its digit is printed in `ink`.
    areas : dict
        For each role of an area.
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


LIGHT = Theme(
    paper="#fff",
    ink="#000",
    faint="#444",
    given="#ececec",
    placed="#005A8C",
    thin="#999",
    thick="#000",
    region="#f0f0f0",
    hole="#d6d6d6",
    rule="#0072B2",
    on_mark="#000",
    strike=Body("none", VERMILLION, 3),
    areas={
        "base": Fill(SKY, 0.25, BLUE, 2.4),
        "cover": Fill(PURPLE, 0.18, "#9C4A78", 2, "9 4"),
        "rule": Fill(PURPLE, 0.1, "#9C4A78", 2, "1.5 3"),
        "sum": Fill(SKY, 0.2, BLUE, 1.6, "12 3 3 3"),
        "pivot": Fill(YELLOW, 0.45, "#000", 2.2),
        "pincer": Fill(YELLOW, 0.3, "#000", 2, "3 3"),
        "subset": Fill(YELLOW, 0.4, "#000", 1.8),
        "cell": Fill(YELLOW, 0.25, "#000", 1.6, "5 2 1 2"),
        "swappable": Fill(ORANGE, 0.22, "#000", 2.4, "2.5 1.5"),
        "added": Fill(YELLOW, 0.3, "#000", 1.8, "8 2"),
        "taken": Fill(ORANGE, 0.25, "#000", 1.8, "4 4"),
        "set": Fill(GREEN, 0.16, "#00694D", 2, "7 3 2 3"),
        "target": Fill(GREEN, 0.15, "#00694D", 2.4),
        "bar": Fill(ORANGE, 0.3, "#000", 1.6, "2 3"),
        "lost": Fill(VERMILLION, 0.13, ""),
        "trouble": Fill(VERMILLION, 0.25, VERMILLION, 3),
        "look": Fill(SKY, 0.16, "#000", 2, "1 5"),
    },
    marks={
        "even": Body(ORANGE, "#000"),
        "odd": Body(SKY, "#000"),
        "pattern": Body(YELLOW, "#000"),
        "fin": Body(PURPLE, "#000"),
        "exit": Body("#fff", "#000", 1.6),
        "opened": Body("none", "#00694D", 1.8),
        "placed": Body("#fff", "#007A59", 2.2),
    },
)

DARK = Theme(
    paper="#15171b",
    ink="#fff",
    faint="#d9dde3",
    given="#2b2f36",
    placed="#7CC8F2",
    thin="#6d747e",
    thick="#e6e8eb",
    region="#24272d",
    hole="#33373e",
    rule="#56B4E9",
    on_mark="#000",
    strike=Body("none", "#FF7A1A", 3),
    areas={
        "base": Fill(SKY, 0.2, SKY, 2.4),
        "cover": Fill(PURPLE, 0.2, PURPLE, 2, "9 4"),
        "rule": Fill(PURPLE, 0.12, PURPLE, 2, "1.5 3"),
        "sum": Fill(SKY, 0.16, SKY, 1.6, "12 3 3 3"),
        "pivot": Fill(YELLOW, 0.22, YELLOW, 2.2),
        "pincer": Fill(YELLOW, 0.14, YELLOW, 2, "3 3"),
        "subset": Fill(YELLOW, 0.18, YELLOW, 1.8),
        "cell": Fill(YELLOW, 0.12, YELLOW, 1.6, "5 2 1 2"),
        "swappable": Fill(ORANGE, 0.18, ORANGE, 2.4, "2.5 1.5"),
        "added": Fill(YELLOW, 0.16, YELLOW, 1.8, "8 2"),
        "taken": Fill(ORANGE, 0.18, ORANGE, 1.8, "4 4"),
        "set": Fill(GREEN, 0.25, "#2CC79B", 2, "7 3 2 3"),
        "target": Fill(GREEN, 0.25, "#2CC79B", 2.4),
        "bar": Fill(ORANGE, 0.2, ORANGE, 1.6, "2 3"),
        "lost": Fill(VERMILLION, 0.26, ""),
        "trouble": Fill(VERMILLION, 0.3, "#FF7A1A", 3),
        "look": Fill(SKY, 0.18, "#fff", 2, "1 5"),
    },
    marks={
        "even": Body(ORANGE, "#fff"),
        "odd": Body(SKY, "#fff"),
        "pattern": Body(YELLOW, "#fff"),
        "fin": Body(PURPLE, "#fff"),
        "exit": Body("#fff", "#fff", 1.6),
        "opened": Body("none", "#2CC79B", 1.8),
        "placed": Body("#fff", "#2CC79B", 2.2),
    },
)

PRINT = Theme(
    paper="#fff",
    ink="#000",
    faint="#333",
    given="#e8e8e8",
    placed="#000",
    thin="#8a8a8a",
    thick="#000",
    region="#f2f2f2",
    hole="#d9d9d9",
    rule="#000",
    on_mark="#000",
    strike=Body("none", "#777", 2.4),
    areas={
        "base": Fill("#000", 0.09, "#000", 2.4),
        "cover": Fill("#000", 0.03, "#000", 1.8, "9 4"),
        "rule": Fill("#000", 0.02, "#000", 1.8, "1.5 3"),
        "sum": Fill("#000", 0.03, "#000", 1.8, "12 3 3 3"),
        "pivot": Fill("#000", 0.12, "#000", 2.2),
        "pincer": Fill("#000", 0.06, "#000", 1.8, "3 3"),
        "subset": Fill("#000", 0.06, "#000", 1.6),
        "cell": Fill("#000", 0.04, "#000", 1.4, "5 2 1 2"),
        "swappable": Fill("#000", 0.08, "#000", 2.4, "2.5 1.5"),
        "added": Fill("#000", 0.06, "#000", 1.6, "8 2"),
        "taken": Fill("#000", 0.03, "#000", 1.6, "4 4"),
        "set": Fill("#000", 0.06, "#000", 1.8, "7 3 2 3"),
        "target": Fill("#000", 0.06, "#000", 2.4, "14 3"),
        "bar": Fill("#000", 0.04, "#000", 1.4, "2 3"),
        "lost": Fill("#000", 0.05, ""),
        "trouble": Fill("#000", 0.12, "#000", 3),
        "look": Fill("#000", 0.05, "#000", 2, "1 5"),
    },
    marks={
        "even": Body("#fff", "#000", 1.2),
        "odd": Body("#c8c8c8", "#000", 1.2),
        "pattern": Body("#fff", "#000", 1.2),
        "fin": Body("#dcdcdc", "#000", 1.2),
        "exit": Body("#fff", "#000", 1.6),
        "opened": Body("none", "#000", 1.6),
        "placed": Body("#fff", "#000", 2),
    },
)

THEMES = {"light": LIGHT, "dark": DARK, "print": PRINT}
"""The themes by name."""


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
