"""What pictures show of the rules: everything once, nothing on top of something else, nothing that means two things."""

from __future__ import annotations

import re

import pytest

from deduce import Grid, Layout
from deduce.pictures.rule_marks import rule_marks
from deduce.words.en.rules import DOTS


def marks(text: str, role: str) -> list[tuple[tuple[int, ...], str]]:
    layout = Layout.parse(f"grid 9\n{text}")
    return [(mark.cells, mark.text) for mark in rule_marks(layout) if mark.role == role]


def test_labels_of_one_cell_stand_side_by_side() -> None:
    assert marks("cage r1c1 r1c2 = 10\neven r1c1", "label") == [((0,), "10 even")]
    assert marks("difference r1c1 r1c2 >= 2\nr1c1 < r1c2", "sign") == [((0, 1), "\u22652 <")]


@pytest.mark.parametrize(
    ("text", "sign"), [("r1c1 < r1c2", "<"), ("r1c2 < r1c1", ">"), ("r1c1 < r2c1", "\u2227"), ("r2c1 < r1c1", "\u2228")]
)
def test_the_point_of_a_sign_is_towards_the_smaller_cell(text: str, sign: str) -> None:
    ((cells, drawn),) = marks(text, "sign")
    assert ({*cells} in ({0, 1}, {0, 9}), drawn) == (True, sign)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("r1c1 < r3c3", "r1c1 is less than r3c3"),
        ("difference r1c1 r2c2 = 3", "r1c1 differs from r2c2 by 3"),
        ("cage r1c1 r5c5 = 12", "the cage of r1c1, r5c5 totals 12"),
        ("total r1c1 r1c1 r1c2 = 12", "r1c1, r1c1, r1c2 total 12"),
        ("equal r1c1 = r1c2 r5c5", "r1c1 is the total of r1c2, r5c5"),
        ("equal r1c1 r1c3 = r2c1 r2c2", "r1c1, r1c3 total as much as r2c1, r2c2"),
        ("knight r1c1-r2c3", "no digit stands twice a knight's move apart, among r1c1, r1c2, r1c3, r2c1, r2c2, r2c3"),
        ("neighbours differ by 2", "neighbours differ by 2 or more"),
    ],
)
def test_what_marks_would_not_say_clearly_is_told_below(text: str, told: str) -> None:
    layout = Layout.parse(f"grid 9\n{text}")
    assert [(mark.role, mark.text) for mark in rule_marks(layout)] == [("caption", told)]


def test_two_pairs_of_equal_sums_are_told_apart() -> None:
    one = "equal r1c1 r1c2 = r3c1 r3c2"
    assert [text for _, text in marks(one, "label")] == ["=", "="]
    both = f"{one}\nequal r5c1 r5c2 = r7c1 r7c2"
    assert not marks(both, "label")
    assert len(marks(both, "caption")) == 2


def test_sentences_below_the_grid_are_no_wider_than_it_and_keep_the_names_of_cells() -> None:
    drawn = Grid.empty(Layout.parse("grid 4\nr1c1 < r3c3\nknight r1c1-r3c4")).picture()
    said = re.findall(r">([^<]+)</text>", drawn.split('font-size="12" text-anchor="start">')[1])
    assert said[0] == "r1c1 is less than r3c3."
    assert said[1].startswith("No digit stands twice")
    assert len(said) > 2
    assert max(map(len, said)) < 60


def test_a_sum_whose_digits_may_be_alike_does_not_look_like_a_cage() -> None:
    layout = Layout.parse("grid 4\ncage r1c1 r1c2 = 3\ntotal r3c3 r4c3 = 5\nequal r1c3 r2c3 = r1c4 r2c4")
    marks = rule_marks(layout)
    assert [mark.cells for mark in marks if mark.role == "fence"] == [(0, 1)]
    assert [mark.cells for mark in marks if mark.role == "dots"] == [(10, 14), (2, 6), (3, 7)]
    assert [mark.text for mark in marks if mark.role == "caption"] == [DOTS]
    drawn = Grid.empty(layout).picture()
    assert drawn.count('stroke-dasharray="0 4.5"') == drawn.count('stroke-dasharray="4 2.5"') == 1
    assert drawn.count("may come twice") == 1
    cages = Layout.parse("grid 4\ncage r1c1 r1c2 = 3")
    assert "dots" not in {mark.role for mark in rule_marks(cages)}
    assert "may come twice" not in Grid.empty(cages).picture()
