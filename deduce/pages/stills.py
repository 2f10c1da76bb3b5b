"""A still: a scene in a frame of fixed size, its board always at one place, with title, words and key around it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from textwrap import wrap
from typing import NamedTuple

from deduce.pictures.drawing import Drawing
from deduce.pictures.scene import Scene
from deduce.pictures.svg import drawing, legend
from deduce.pictures.themes import theme_of

__all__ = ["Box", "Frame", "fitted", "text"]

_EM = 0.6
"""How wide a letter of DejaVu Sans is on the whole, in ems; lines of our words never come out wider than this."""


class Box(NamedTuple):
    """A part of a frame, in pixels."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Frame:
    """What all frames of a kit share.

    Parameters
    ----------
    width, height : int
        In pixels.
    theme : str
        ``"light"``, ``"dark"`` or ``"print"``.
    title, words, key : bool
        Whether there is a title above the board, and whether words and the key stand beside it, or below it where the
        frame is not wide.
    """

    width: int = 1920
    height: int = 1080
    theme: str = "light"
    title: bool = True
    words: bool = True
    key: bool = True

    @property
    def unit(self) -> float:
        """What a pixel of a frame of 1920 by 1080 is in this one."""
        return min(self.width, self.height) / 1080

    @property
    def inner(self) -> Box:
        """The inner nine tenths, which every screen shows."""
        return Box(self.width * 0.05, self.height * 0.05, self.width * 0.9, self.height * 0.9)

    def boxes(self) -> tuple[Box, Box]:
        """Return the places of the board and of what is said."""
        x, y, width, height = self.inner
        bar = 84 * self.unit if self.title else 0.0
        y, height = y + bar, height - bar
        if not (self.words or self.key):
            return Box(x, y, width, height), Box(x, y, 0, 0)
        if self.width >= 1.2 * self.height:
            board = min(height, 0.6 * width)
            gap = 44 * self.unit
            return Box(x, y, board, height), Box(x + board + gap, y, width - board - gap, height)
        board = min(width, 0.7 * height)
        return Box(x, y, width, board), Box(x, y + board + 12 * self.unit, width, height - board - 12 * self.unit)

    def board(self, drawn: Drawing) -> Box:
        """Return the place of a drawing in the frame; it is the same for all drawings of one layout without a key."""
        box, _ = self.boxes()
        scale = min(box.width / drawn.width, box.height / drawn.height)
        width = drawn.width * scale
        return Box(box.x + (box.width - width) / 2, box.y, width, drawn.height * scale)

    def svg(self, scene: Scene, title: str, words: str, corner: str = "") -> str:
        """Return a frame as the text of an SVG file.

        Parameters
        ----------
        scene : Scene
            What the board shows.
        title : str
            Above it.
        words : str
            Beside it; they are printed smaller where there are many, and cut where even that does not help.
        corner : str
            In the upper right corner.
        """
        look, unit = theme_of(self.theme), self.unit
        drawn = drawing(scene, key=False, theme=self.theme)
        place, (_, side) = self.board(drawn), self.boxes()
        parts = [drawn.svg(size=place.width, at=place[:2])]
        if self.title:
            x, y, width, _ = self.inner
            end = text([corner], x + width, y + 48 * unit, 26 * unit, look.faint, anchor="end")
            room = width - 26 * unit * _EM * len(corner) - 30 * unit
            size, lines = fitted(title, Box(x, y, room, 66 * unit), 50 * unit)
            parts += [*end, *text(lines, x, y + 48 * unit, size, look.ink, bold=True)]
        left = side.height
        if self.key:
            scale = 1.75 * unit
            explained = legend(scene, side.width / scale, theme=self.theme)
            if explained.parts:
                # The table of a long sum leaves room for the words.
                scale *= min(1.0, 0.6 * side.height / (explained.height * scale))
                left -= explained.height * scale + 16 * unit
                at = (side.x, side.y + side.height - explained.height * scale)
                parts.append(explained.svg(size=explained.width * scale, at=at))
        if self.words:
            size, lines = fitted(words, Box(side.x, side.y, side.width, left), 36 * unit)
            parts += text(lines, side.x, side.y + 1.2 * size, size, look.ink)
        return self.sheet(parts)

    def overlay(self, scene: Scene) -> str:
        """Return the marks of a scene alone, where the frame has them, as the text of a transparent SVG file."""
        drawn = drawing(scene, key=False, theme=self.theme, transparent=True, board=False)
        place = self.board(drawn)
        return self.sheet([drawn.svg(size=place.width, at=place[:2])], paper="none")

    def sheet(self, parts: Iterable[str], paper: str | None = None) -> str:
        """Return parts on a paper of the frame's size."""
        look = theme_of(self.theme)
        return Drawing("", "", self.width, self.height, paper or look.paper, [*parts], ' fill="none"').svg()


def text(
    lines: Iterable[str], x: float, y: float, size: float, fill: str, *, bold: bool = False, anchor: str = "start"
) -> list[str]:
    """Return lines of text one below the other; `y` is that on which the first stands."""
    style = f'font-size="{size:.1f}" text-anchor="{anchor}" fill="{fill}"' + ' font-weight="700"' * bold
    return [
        f'<text {style} x="{x:.1f}" y="{y + number * 1.4 * size:.1f}">{escape(line)}</text>'
        for number, line in enumerate(lines)
        if line
    ]


def fitted(said: str, box: Box, largest: float) -> tuple[float, list[str]]:
    """Return the size in which words fit a box, not below half of the largest, and their lines; cut if they do not."""
    steps = 12
    for step in range(steps + 1):
        size = largest * (1 - step / (2 * steps))
        lines = [line for part in said.split("\n") for line in wrap(part, int(box.width / size / _EM)) or [""]]
        most = max(1, int((box.height / size + 0.2) / 1.4))
        if len(lines) <= most:
            return size, lines
    return size, [*lines[: most - 1], f"{lines[most - 1].rstrip(' .,;:')} \u2026"]
