"""SVG: well formed, self-contained, small, and drawn from every mark of the scene."""

import re
import xml.etree.ElementTree as ET
from math import hypot
from typing import get_args

import pytest
from pictures.golden import GOLDEN, golden_file, golden_text
from pictures.paths import flattened, points_of
from pictures.positions import GRIDS, LAYOUTS, NINE, PI, grouped, proof, steps_on, with_sets

import deduce
from deduce import Grid, Layout
from deduce.pictures import picture, scene_of
from deduce.pictures.geometry import LANES, NODE, Geometry
from deduce.pictures.routes import Router
from deduce.pictures.scene import NoteRole, stages
from deduce.pictures.shapes import REACH, shape
from deduce.pictures.svg import frames, svg
from deduce.pictures.themes import THEMES
from deduce.positions import bits
from deduce.solving.generate import minimal_puzzle

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", GRIDS)
def test_a_picture_is_well_formed_described_and_small(name: str) -> None:
    text = picture(proof(name))
    root = ET.fromstring(text)
    scene = scene_of(proof(name))
    assert [child.text for child in root[:2]] == [scene.title, scene.description]
    assert [child.tag for child in root[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert root.get("role") == "img"
    # Most of the made-up positions hold up to 700 notes, twice those of any puzzle, and the largest thousands.
    assert len(text) < max(16_000, 8 * len(scene.notes))


@pytest.mark.parametrize("theme", THEMES)
def test_frames_of_puzzles_stay_below_eight_kilobytes(theme: str) -> None:
    walks = [deduce.walk(grid) for grid in (*map(minimal_puzzle, (6, 13, 19)), Grid.parse(PI))]
    proofs = [step.proof for walk in walks for step in walk.steps]
    sums = [deduce.simplest(proof.grid) for proof in proofs if proof.pattern.name == "supposition"]
    sizes = [(len(picture(proof, theme=theme).encode()), scene_of(proof).tally) for proof in (*proofs, *sums)]
    assert max(size for size, tally in sizes if tally is None) < 8_000
    # The table of a sum adds a row for each need.
    assert max(size - 100 * len(tally.needs) for size, tally in sizes if tally is not None) < 8_000


@pytest.mark.parametrize("name", GRIDS)
def test_only_plain_attributes_are_used(name: str) -> None:
    root = ET.fromstring(picture(proof(name)))
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "path", "g", "text", "circle"}
        assert {*element.attrib}.isdisjoint({"style", "class", "id", "href"})
        assert not any("var(" in value or "url(" in value for value in element.attrib.values())


@pytest.mark.parametrize("name", GRIDS)
@pytest.mark.parametrize("theme", THEMES)
def test_everything_is_drawn_inside_the_frame(name: str, theme: str) -> None:
    assert_inside(picture(proof(name), theme=theme))


@pytest.mark.parametrize("layout", LAYOUTS)
def test_all_layouts_are_drawn_inside_the_frame(layout: str) -> None:
    found = steps_on(LAYOUTS[layout])
    for theme in THEMES:
        assert_inside(picture(found[-1], theme=theme))
    for step in found[:-1]:
        assert_inside(picture(step))


def assert_inside(text: str) -> None:
    root = ET.fromstring(text)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    for element in root.iter(f"{SVG}text"):
        assert all(0 < float(x) < width for x in element.attrib["x"].split())
        assert all(0 < float(y) < height for y in element.attrib["y"].split())
    for path in root.iter(f"{SVG}path"):
        for x, y in points_of(path.attrib["d"]):
            assert 0 <= x <= width
            assert 0 <= y <= height


@pytest.mark.parametrize("name", GRIDS)
def test_no_mark_hides_another(name: str) -> None:
    scene = scene_of(proof(name))
    place = Geometry(scene.layout)
    held = {digit.cell for digit in scene.digits}
    marked = [place.note(note.cell, note.digit) for note in scene.notes if note.role != "note"]
    assert held.isdisjoint(note.cell for note in scene.notes)
    assert len(set(marked)) == len(marked)
    for i, (x, y) in enumerate(marked):
        assert all(max(abs(x - u), abs(y - v)) > 2 * REACH for u, v in marked[:i])
    outlined = [area for area in scene.areas if area.role != "lost"]
    lanes = place.lanes([(0, area.cells) for area in outlined])
    paths = [place.outline(area.cells, lane) for area, lane in zip(outlined, lanes, strict=True)]
    assert len(set(paths)) == len(paths)


def test_outlines_that_share_a_side_run_beside_one_another() -> None:
    place = Geometry(Layout.standard())
    row, box, cell = range(9), [0, 1, 2, 9, 10, 11, 18, 19, 20], [0]
    assert {*place.lanes([(0, row), (0, box), (0, cell)])} == {*LANES}
    assert place.lanes([(1, [0]), (1, [40])]) == [LANES[1]] * 2
    # The innermost outline with half its width keeps clear of the shapes around the outermost notes.
    left = place.corner(0)[0]
    assert left + LANES[-1] + 1.2 <= place.note(0, 1)[0] - REACH


def test_links_lie_below_notes_and_marks() -> None:
    text = picture(proof("XY-chain"))
    assert text.index("<!--/links-->") < text.index("<!--other notes-->") < text.index('font-weight="700"')


@pytest.mark.parametrize("seed", [6, 10, 19, 21])
def test_links_keep_off_the_digits_and_end_at_their_marks(seed: int) -> None:
    seen = 0
    for step in deduce.walk(minimal_puzzle(seed)).steps:
        scene = scene_of(step.proof)
        if not scene.ties:
            continue
        place = Geometry(scene.layout)
        centres = [place.centre(digit.cell) for digit in scene.digits]
        notes = [place.note(note.cell, note.digit) for note in scene.notes if note.role in ("even", "odd", "placed")]
        text = picture(step.proof)
        curves = re.search(r"stroke-opacity=\".85\" [^>]* d=\"([^\"]*)\"", text)
        assert curves
        for points in flattened(curves[1]):
            seen += 1
            for x, y in (points[0], points[-1]):
                # Under the shape, so that line and mark touch.
                assert any(hypot(x - u, y - v) < NODE for u, v in notes)
            for x, y in points:
                assert not any(abs(x - u) < 13 and abs(y - v) < 16 for u, v in centres), step.proof
    assert seen > 2


def test_a_group_is_tied_together_and_a_set_is_shaded() -> None:
    scene = scene_of(grouped())
    (node,) = (node for node in scene.order if len(node) > 1)
    place = Geometry(scene.layout)
    band = re.search(r'stroke-opacity=".35" [^>]* d="([^"]*)"', picture(grouped()))
    assert band
    (points,) = flattened(band[1])
    for (x, y), member in zip((points[0], points[-1]), node, strict=True):
        assert hypot(x - place.note(*member)[0], y - place.note(*member)[1]) < NODE
    sets = scene_of(with_sets()).area("set")
    assert [area.name for area in sets] == ["r1c1 and r1c3", "r4c1 and r4c2"]


def test_parts_of_a_picture_can_be_taken_out() -> None:
    found = proof("XY-wing")
    whole, needed, none = (picture(found, notes=notes) for notes in ("all", "needed", "none"))
    assert len(whole) > len(needed) > 0
    assert "<!--other notes-->" in whole
    assert "<!--other notes-->" not in needed
    assert "notes-->" not in none
    drawn = {(note.cell, note.digit) for note in scene_of(found).with_notes("needed").notes}
    live = {(n % 81, n // 81 + 1) for n in bits(GRIDS["XY-wing"].live)}
    roles = {cell for role in found.pattern.roles if role.kind == "cells" for cell in role.items}
    assert {pair for pair in live if pair[0] in roles} <= drawn
    assert len(drawn) == 6 + 1
    with pytest.raises(ValueError, match="notes is 'some'; give one of 'all', 'needed', 'none'"):
        picture(found, notes="some")


def test_needed_notes_are_those_of_the_premises() -> None:
    step = deduce.walk(Grid.parse(PI)).steps[0]
    scene = scene_of(step.proof).with_notes("needed")
    named = {f"{scene.layout.symbols[n.digit - 1]}{scene.layout.cell_name(n.cell)}" for n in scene.notes}
    numbers = {c.name: c for c in step.before.model.constraints}
    held = {c for name in step.proof.premises for c, _ in numbers[name].terms if step.before.live >> c & 1}
    assert named == {str(step.before.candidate(c)) for c in held}


def test_size_and_theme() -> None:
    root = ET.fromstring(picture(proof("X-wing"), size=333, theme="dark"))
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    assert float(root.attrib["width"]) == 333
    assert float(root.attrib["height"]) == pytest.approx(333 * height / width, abs=0.1)
    assert THEMES["dark"].paper in ET.tostring(root, encoding="unicode")
    with pytest.raises(ValueError, match="theme is 'neon'; give one of 'light', 'dark', 'print', 'stage'"):
        picture(proof("X-wing"), theme="neon")
    with pytest.raises(ValueError, match="size is 0"):
        picture(proof("X-wing"), size=0)
    grid = Grid.parse(PI)
    assert grid.picture(theme="print", size=100) == picture(grid, theme="print", size=100)
    assert proof("X-wing").picture(notes="none") == picture(proof("X-wing"), notes="none")
    looks = {"key": False, "numbers": False, "labels": False, "transparent": True, "size": (640, 360), "theme": "stage"}
    assert proof("X-chain").picture(**looks) == svg(scene_of(proof("X-chain")), **looks)
    for name, plain in (("key", True), ("numbers", True), ("labels", True), ("transparent", False)):
        assert proof("X-chain").picture(**looks) != proof("X-chain").picture(**(looks | {name: plain})), name


def test_frames_of_one_step_have_one_size_and_the_grid_at_one_place() -> None:
    step = next(step for step in deduce.walk(minimal_puzzle(6)).steps if step.proof.pattern.chain)
    texts = frames(stages(step), size=900)
    heads = [ET.fromstring(text).attrib for text in texts]
    assert len({(head["viewBox"], head["width"], head["height"]) for head in heads}) == 1
    plain = svg(stages(step)[1], key=False)
    border = Geometry(NINE).borders(house.cells for house in NINE.houses[18:])
    assert all(f"{border}" in text for text in (*texts, plain))
    assert ET.fromstring(plain).attrib["viewBox"].split()[2] == heads[0]["viewBox"].split()[2]


def test_a_picture_without_ground_or_labels_at_any_size() -> None:
    scene = scene_of(proof("X-wing"))
    root = ET.fromstring(svg(scene, transparent=True, labels=False, size=(1920, 1080)))
    assert (root.attrib["width"], root.attrib["height"]) == ("1920", "1080")
    texts = {text.text for text in root.iter(f"{SVG}text")}
    assert texts.isdisjoint({"r1", "c9"})
    sheet = "M0 0h716"
    assert sheet in svg(scene)
    assert sheet not in svg(scene, transparent=True)
    with pytest.raises(ValueError, match="size is"):
        svg(scene, size=(0, 5))


@pytest.mark.parametrize("name", GOLDEN)
def test_golden_pictures(name: str) -> None:
    # After a change on purpose: look at the new pictures, then run `PYTHONPATH=tests python tests/pictures/golden.py`.
    assert golden_text(name) == golden_file(name).read_text(encoding="utf-8")


def test_each_character_has_its_own_place() -> None:
    for text in ET.fromstring(picture(Grid.parse(PI))).iter(f"{SVG}text"):
        places = text.attrib["x"].split()
        assert len(places) == 1 or len(places) == len(text.text or "")
        assert places == sorted(places, key=float)
    for text in ET.fromstring(picture(proof("X-wing"))).iter(f"{SVG}text"):
        if "fill" in text.attrib:
            assert len(text.attrib["x"].split()) == len(text.attrib["y"].split()) == len(text.text or "")


def test_marks_differ_in_shape_and_not_only_in_colour() -> None:
    roles = [role for role in get_args(NoteRole) if role != "note"]
    assert len({shape(role, (50.0, 50.0)) for role in roles}) == len(roles)
    root = ET.fromstring(picture(proof("XY-wing"), theme="print"))
    drawn = {path.attrib["d"] for path in root.iter(f"{SVG}path")}
    place = Geometry(NINE)
    scene = scene_of(proof("XY-wing"))
    for role in ("even", "odd", "eliminated"):
        shapes = "".join(shape(role, place.note(note.cell, note.digit)) for note in scene.noted(role))
        # The last shape is the sample in the key.
        assert any(path.startswith(shapes) and path != shapes for path in drawn), role
    dashed = [path for path in root.iter(f"{SVG}path") if path.get("stroke-dasharray") == "5 3"]
    assert len(dashed) == 2, "the weak links and their sample in the key"
    assert dashed[0].attrib["d"].count("M") == 2
    areas = THEMES["print"].areas
    looks = [(areas[role].stroke, areas[role].width, areas[role].dashes) for role in areas if areas[role].stroke]
    assert len(set(looks)) == len(looks), "outlines of areas differ without their colours"


def test_nodes_are_numbered_once_unless_that_is_turned_off() -> None:
    scene = scene_of(proof("chain that returns to its start"))
    plain, numbered = svg(scene, numbers=False), svg(scene)
    texts = [text for text in ET.fromstring(numbered).iter(f"{SVG}text") if text.get("paint-order")]
    assert [text.text for text in texts] == ["1234567"]
    assert "paint-order" not in plain
    place = Geometry(scene.layout)
    xs, ys = (texts[0].attrib[axis].split() for axis in "xy")
    for x, y, node in zip(xs, ys, scene.order, strict=False):
        u, v = place.note(*node[0])
        assert (abs(float(x) - u), abs(float(y) - 3 - v)) == (10, 10)


def test_sets_are_told_apart_and_hang_together() -> None:
    scene = scene_of(proof("ALS-XY-wing"))
    assert len(scene.area("set")) == 3
    root = ET.fromstring(picture(proof("ALS-XY-wing"), theme="print"))
    assert {"A", "B", "C"} <= {text.text for text in root.iter(f"{SVG}text")}
    print_looks = THEMES["print"].areas
    kinds = ("set", "set B", "set C")
    assert len({(print_looks[kind].width, print_looks[kind].dashes) for kind in kinds}) == 3
    dashes = [path.get("stroke-dasharray") for path in root.iter(f"{SVG}path")]
    assert all(print_looks[kind].dashes in dashes for kind in kinds if print_looks[kind].dashes)
    place = Geometry(NINE)
    assert place.brackets((0, 1, 9), 3) == ""
    # In one row, in one column, and around a corner; never further into a cell than the inset.
    assert place.brackets((0, 2), 3) == "M97 27H179"
    assert place.brackets((0, 18), 3) == "M27 97V179"
    assert place.brackets((0, 20), 3) == "M97 27H179V179"


def test_the_smaller_of_two_areas_leads() -> None:
    text = picture(proof("unique rectangle with strong links"))
    place = Geometry(NINE)
    base = next(p for p in ET.fromstring(text).iter(f"{SVG}path") if p.get("fill-opacity") == "0.25")
    corners = {
        cell for area in scene_of(proof("unique rectangle with strong links")).area("swappable") for cell in area.cells
    }
    starts = {tuple(map(float, piece.split("h")[0].split())) for piece in base.attrib["d"].split("M")[1:]}
    assert starts.isdisjoint({place.corner(cell) for cell in corners})


def test_a_key_names_only_the_marks_that_occur() -> None:
    with_key, without = picture(proof("X-wing")), svg(scene_of(proof("X-wing")), key=False)
    words = [text.text or "" for text in ET.fromstring(with_key).iter(f"{SVG}text")]
    assert [word for word in words if " " in word or (word.islower() and word.isalpha() and len(word) > 1)] == [
        "needs a 5",
        "has room for one 5",
        "pattern",
        "falls",
    ]
    assert "needs a 5" not in without


def test_links_avoid_a_note_that_stands_in_the_way() -> None:
    place = Geometry(NINE)
    near, between, far = (place.note(cell, 5) for cell in (0, 4, 8))
    free = Router(place, (), {near: 1.0, far: 1.0}).route(near, far)
    router = Router(place, (), {near: 1.0, between: 1.0, far: 1.0})
    bent, again = router.route(near, far), router.route(near, far)
    level = near[1]
    assert all(y == pytest.approx(level) for _, y in flattened(free)[0])
    assert min(hypot(x - between[0], y - between[1]) for x, y in flattened(bent)[0]) > NODE
    assert len({free, bent, again}) == 3
    blocked = Router(place, range(1, 8), {}).route(near, far)
    middle = place.centre(4)
    assert all(abs(x - middle[0]) > 13 or abs(y - middle[1]) > 16 for x, y in flattened(blocked)[0])


def test_regions_of_any_shape_have_borders() -> None:
    regions = [(0, 1, 2, 4), (3, 6, 7, 11), (5, 8, 9, 12), (10, 13, 14, 15)]
    layout = Layout(4, regions, region_kind="region")
    place = Geometry(layout)
    edges = place.borders(regions)
    assert sum(float(run) for run in re.findall(r"[hv]([\d.]+)", edges)) == pytest.approx(
        place.cell * (_edges(regions) + 16)
    )
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
    root = ET.fromstring(picture(Grid.of([f"{layout.symbols[-1]}r1c1"], layout=layout)))
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert layout.symbols[-1] in texts
    assert {f"r{order}", f"c{order}"} <= {*texts}


def test_extra_regions_are_shaded() -> None:
    boxes = [house.cells for house in Layout.standard().houses[18:]]
    extra = [tuple(r * 9 + c for r in range(1, 4) for c in range(1, 4))]
    plain = picture(Grid.empty(Layout(9, boxes)))
    shaded = picture(Grid.empty(Layout(9, boxes + extra)))
    mark = f'<path fill="{THEMES["light"].region}"'
    assert (plain.count(mark), shaded.count(mark)) == (0, 1)
    assert Geometry(Layout.standard()).borders(boxes) in shaded


def test_symbols_are_escaped() -> None:
    layout = Layout(4, [house.cells for house in Layout.standard(4).houses[8:]], symbols="<&>A")
    root = ET.fromstring(picture(Grid.of(["<r1c1"], layout=layout)))
    assert "<" in [text.text for text in root.iter(f"{SVG}text")]
