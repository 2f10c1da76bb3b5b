"""Contrast by arithmetic: every text and line of every theme against all that can lie behind it."""

from __future__ import annotations

import re
from itertools import combinations
from math import dist
from typing import get_args

import pytest

from deduce.pictures.scene import AreaRole, NoteRole
from deduce.pictures.themes import THEMES, Theme

Colour = tuple[float, float, float]


def colour(code: str) -> Colour:
    digits = code.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    red, green, blue = (int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4))
    return red, green, blue


def over(top: Colour, opacity: float, below: Colour) -> Colour:
    red, green, blue = (t * opacity + b * (1 - opacity) for t, b in zip(top, below, strict=True))
    return red, green, blue


def luminance(shown: Colour) -> float:
    """Return the relative luminance of WCAG 2.2."""
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in shown)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of WCAG 2.2, from 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def backgrounds(theme: Theme, given: bool) -> list[tuple[str, Colour]]:
    """List what a digit or a note can stand on: the paper, and up to two shades above it."""
    paper = colour(theme.given if given else theme.paper)
    found = [("paper", paper), ("region", colour(theme.region))]
    for roles in [(role,) for role in theme.areas] + list(combinations(theme.areas, 2)):
        # What cannot be met stands alone; a cell of a bar holds a digit and loses nothing.
        if "trouble" in roles and len(roles) > 1 and "bar" not in roles:
            continue
        shown = paper
        for role in roles:
            shown = over(colour(theme.areas[role].fill), theme.areas[role].opacity, shown)
        found.append((" + ".join(roles), shown))
    return found


def test_the_arithmetic() -> None:
    assert contrast(colour("#000"), colour("#fff")) == pytest.approx(21)
    # The value that WCAG's own techniques quote for this grey on white.
    assert contrast(colour("#767676"), colour("#fff")) == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", THEMES)
def test_text_can_be_read_on_all_that_lies_behind_it(name: str) -> None:
    theme = THEMES[name]
    for given in (False, True):
        for where, shown in backgrounds(theme, given):
            assert contrast(colour(theme.ink), shown) >= 4.5, where
            if not given:
                assert contrast(colour(theme.faint), shown) >= 4.5, where
                # Large text.
                assert contrast(colour(theme.placed), shown) >= 3, where


@pytest.mark.parametrize("name", THEMES)
def test_digits_can_be_read_on_their_shapes(name: str) -> None:
    theme = THEMES[name]
    for role, body in theme.marks.items():
        if body.fill != "none":
            assert contrast(colour(theme.on_mark), colour(body.fill)) >= 4.5, role


@pytest.mark.parametrize("name", THEMES)
def test_what_falls_is_the_loudest_mark(name: str) -> None:
    """Its tile stands out from all that lies behind it, and on paper from all other marks, without its colour."""
    theme = THEMES[name]
    tile = colour(theme.strike.fill)
    assert contrast(tile, colour(theme.paper)) >= 6.5
    least = min(contrast(tile, shown) for _, shown in backgrounds(theme, given=False))
    assert least >= 3
    if luminance(colour(theme.paper)) > 0.5:
        marks = [colour(body.fill) for body in theme.marks.values() if body.fill != "none"]
        assert all(luminance(tile) < luminance(mark) / 3 for mark in marks)


@pytest.mark.parametrize("name", THEMES)
def test_lines_stand_out_from_the_paper(name: str) -> None:
    theme = THEMES[name]
    paper = colour(theme.paper)
    lines = {"ink": theme.ink, "thick": theme.thick, "strike": theme.strike.stroke}
    lines |= {f"area {role}": fill.stroke for role, fill in theme.areas.items() if fill.stroke}
    for role, body in theme.marks.items():
        # A shape shows by its inside or by its line.
        inside = 0.0 if body.fill == "none" else contrast(colour(body.fill), paper)
        assert max(inside, contrast(colour(body.stroke), paper)) >= 3, role
    for what, line in lines.items():
        assert contrast(colour(line), paper) >= 3, what


@pytest.mark.parametrize("name", THEMES)
def test_every_role_has_a_look(name: str) -> None:
    theme = THEMES[name]
    assert {*theme.areas} == {*get_args(AreaRole)} | {"set B", "set C"}
    assert {*theme.marks} | {"note", "eliminated"} == {*get_args(NoteRole)}


# Machado, Oliveira, Fernandes, "A physiologically-based model for simulation of color vision deficiency" (2009), the
# matrices of full strength, for linear red, green and blue; typed from memory, each row adds up to 1.
SIGHTS = {
    "all colours": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "no long waves": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "no middle waves": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.01182, 0.04294, 0.968881)),
    "no short waves": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.3039)),
}


def seen(code: str, sight: str) -> Colour:
    """Return a colour in CIE L*a*b* (white D65) as it is seen."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in colour(code)]
    red, green, blue = (min(1, max(0, sum(a * b for a, b in zip(row, linear, strict=True)))) for row in SIGHTS[sight])
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883
    f, g, h = (v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in (x, y, z))
    return 116 * g - 16, 500 * (f - g), 200 * (g - h)


def test_the_sights() -> None:
    assert seen("#fff", "all colours") == pytest.approx((100, 0, 0), abs=0.1)
    for rows in SIGHTS.values():
        assert [sum(row) for row in rows] == pytest.approx([1, 1, 1], abs=1e-4)
    # Red and green of one lightness run together for those who lack the middle waves.
    assert dist(seen("#b35900", "no middle waves"), seen("#808000", "no middle waves")) < 20


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("name", ["light", "dark", "stage"])
def test_roles_can_be_told_apart_by_any_sight(name: str, sight: str) -> None:
    """A colour distance of 2.3 is just noticed; that of roles that can stand side by side is several times as large."""
    theme = THEMES[name]
    fills = {role: theme.marks[role].fill for role in ("even", "odd", "pattern", "fin", "exit")}
    fills |= {"eliminated": theme.strike.fill}
    for one, other in combinations(fills, 2):
        assert dist(seen(fills[one], sight), seen(fills[other], sight)) >= LEAST, (one, other)


LEAST = 15.0


def test_the_stage_has_more_contrast() -> None:
    light, stage = THEMES["light"], THEMES["stage"]
    paper = colour(stage.paper)
    for one, other in ((light.faint, stage.faint), (light.thin, stage.thin), (light.strike.fill, stage.strike.fill)):
        assert contrast(colour(other), paper) > contrast(colour(one), paper)
    for role, fill in stage.areas.items():
        assert not fill.stroke or contrast(colour(fill.stroke), paper) >= 7, role


def test_print_has_no_colours() -> None:
    codes = re.findall(r"#[0-9A-Fa-f]{3,6}", repr(THEMES["print"]))
    assert codes
    for code in codes:
        assert len({*colour(code)}) == 1
