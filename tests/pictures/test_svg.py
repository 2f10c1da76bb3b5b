"""SVG: well formed, self-contained, small, and drawn from every mark of the scene."""

import re
import xml.etree.ElementTree as ET

import pytest
from pictures.positions import GRIDS, PI, proof

import deduce
from deduce import Grid, Layout
from deduce.pictures import picture, scene_of
from deduce.pictures.geometry import Geometry
from deduce.pictures.svg import svg

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", GRIDS)
def test_a_picture_is_well_formed_described_and_small(name: str) -> None:
    text = picture(proof(name))
    root = ET.fromstring(text)
    scene = scene_of(proof(name))
    assert [child.text for child in root[:2]] == [scene.title, scene.description]
    assert [child.tag for child in root[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert root.get("role") == "img"
    # The made-up positions hold up to 700 notes, twice those of any puzzle.
    assert len(text) < 16_000


def test_frames_of_a_puzzle_stay_below_ten_kilobytes() -> None:
    walk = deduce.walk(Grid.parse(PI))
    assert max(len(picture(step.proof)) for step in walk.steps) < 10_000


@pytest.mark.parametrize("name", GRIDS)
def test_only_plain_attributes_are_used(name: str) -> None:
    root = ET.fromstring(picture(proof(name)))
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "path", "g", "text", "circle"}
        assert {*element.attrib}.isdisjoint({"style", "class", "id", "href"})
        assert not any("var(" in value or "url(" in value for value in element.attrib.values())


@pytest.mark.parametrize("name", GRIDS)
def test_everything_is_drawn_inside_the_frame(name: str) -> None:
    root = ET.fromstring(picture(proof(name)))
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    for text in root.iter(f"{SVG}text"):
        assert all(0 < float(x) < width for x in text.attrib["x"].split())
        assert 0 < float(text.attrib["y"]) < height
    for path in root.iter(f"{SVG}path"):
        for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)", path.attrib["d"]):
            assert 0 <= float(x) <= width
            assert 0 <= float(y) <= height


def test_each_character_has_its_own_place() -> None:
    for text in ET.fromstring(picture(Grid.parse(PI))).iter(f"{SVG}text"):
        places = text.attrib["x"].split()
        assert len(places) == 1 or len(places) == len(text.text or "")
        assert places == sorted(places, key=float)


def test_marks_differ_in_shape_and_not_only_in_colour() -> None:
    root = ET.fromstring(picture(proof("XY-wing")))
    marked = next(group for group in root.iter(f"{SVG}g") if group.get("font-weight") == "700")
    assert len(list(marked.iter(f"{SVG}circle"))) == 3
    assert len(list(marked.iter(f"{SVG}path"))) == 3 + 1
    dashed = [p for p in root.iter(f"{SVG}path") if p.get("stroke-dasharray") == "5 3"]
    assert len(dashed) == 2, "the weak links and their sample in the key"
    assert dashed[0].attrib["d"].count("M") == 2


def test_a_key_names_only_the_marks_that_occur() -> None:
    with_key, without = picture(proof("X-wing")), svg(scene_of(proof("X-wing")), key=False)
    words = [text.text or "" for text in ET.fromstring(with_key).iter(f"{SVG}text")]
    assert [word for word in words if " " in word or (word.islower() and word.isalpha() and len(word) > 1)] == [
        "needs one",
        "has room for one",
        "pattern",
        "falls",
    ]
    assert "needs one" not in without


def test_links_avoid_a_note_that_stands_in_the_way() -> None:
    place = Geometry(Layout.standard())
    near, between, far = (place.note(cell, 5) for cell in (0, 4, 8))
    free, _ = place.curve(near, far, taken={near: 1.0, far: 1.0})
    bent, points = place.curve(near, far, taken={near: 1.0, between: 1.0, far: 1.0})
    again, _ = place.curve(near, far, taken={near: 1.0, between: 1.0, far: 1.0}, drawn=points)
    level = near[1]
    assert abs(float(free.split("Q")[1].split()[1]) - level) < 1
    assert abs(float(bent.split("Q")[1].split()[1]) - level) > 14
    assert again not in {free, bent}


def test_regions_of_any_shape_have_borders() -> None:
    regions = [(0, 1, 2, 4), (3, 6, 7, 11), (5, 8, 9, 12), (10, 13, 14, 15)]
    layout = Layout(4, regions, region_kind="region")
    place = Geometry(layout)
    edges = place.borders(regions)
    assert sum(float(run) for run in re.findall(r"[hv]([\d.]+)", edges)) == pytest.approx(place.cell * _edges(regions))
    assert picture(Grid.empty(layout)).count(edges) == 1


def _edges(regions: list[tuple[int, ...]]) -> int:
    owner = {cell: n for n, region in enumerate(regions) for cell in region}
    across = sum(owner[r * 4 + c] != owner[r * 4 + c + 1] for r in range(4) for c in range(3))
    return across + sum(owner[r * 4 + c] != owner[r * 4 + 4 + c] for r in range(3) for c in range(4))


def test_an_outline_turns_corners_without_gaps() -> None:
    place = Geometry(Layout.standard(4))
    path = place.outline((0, 4, 5), 3)
    ends = []
    for x, y, kind, to in re.findall(r"M([\d.]+) ([\d.]+)([HV])([\d.]+)", path):
        ends += [(x, y), (to, y) if kind == "H" else (x, to)]
    outer = [end for end in ends if ends.count(end) % 2]
    # Only where one side runs over two cells do pieces meet in a straight line; every end has its partner.
    assert not outer


@pytest.mark.parametrize("order", [4, 6, 9, 12, 16, 25])
def test_all_orders_are_drawn(order: int) -> None:
    layout = Layout.standard(order)
    root = ET.fromstring(picture(Grid.of([f"{layout.symbols[-1]}r1c1"], layout)))
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert layout.symbols[-1] in texts
    assert {f"r{order}", f"c{order}"} <= {*texts}


def test_extra_regions_are_shaded() -> None:
    boxes = [house.cells for house in Layout.standard().houses[18:]]
    extra = [tuple(r * 9 + c for r in range(1, 4) for c in range(1, 4))]
    plain = picture(Grid.empty(Layout(9, boxes)))
    shaded = picture(Grid.empty(Layout(9, boxes + extra)))
    assert (plain.count('fill-opacity=".06"'), shaded.count('fill-opacity=".06"')) == (0, 1)
    assert Geometry(Layout.standard()).borders(boxes) in shaded


def test_symbols_are_escaped() -> None:
    layout = Layout(4, [house.cells for house in Layout.standard(4).houses[8:]], symbols="<&>A")
    root = ET.fromstring(picture(Grid.of(["<r1c1"], layout)))
    assert "<" in [text.text for text in root.iter(f"{SVG}text")]
