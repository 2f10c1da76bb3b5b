"""Scenes: every mark has the role that the proof gives it."""

import re

import pytest
from pictures.positions import GRIDS, NINE, PI, counted, proof, thinned

import deduce
from deduce import Grid, Layout, Proof, pictures
from deduce.counting import next_proof
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Counting, Supposition, Swap
from deduce.patterns import PLAIN, UNIQUE
from deduce.patterns.singles import SINGLES
from deduce.pictures import scene_of
from deduce.pictures.geometry import NODE, Geometry
from deduce.pictures.scene import Note, consequences, turning_points
from deduce.pictures.svg import svg
from deduce.positions import bits
from deduce.proof import Pattern, conclude
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.suppositions import inner_proofs


def tokens(notes: tuple[Note, ...], layout: Layout) -> set[str]:
    return {f"{layout.symbols[note.digit - 1]}{layout.cell_name(note.cell)}" for note in notes}


@pytest.mark.parametrize("name", GRIDS)
def test_conclusions_are_marked_and_nothing_else_is(name: str) -> None:
    found = proof(name)
    scene = scene_of(found)
    assert tokens(scene.noted("eliminated"), scene.layout) == {*map(str, found.eliminates)}
    assert tokens(scene.noted("placed"), scene.layout) == {*map(str, found.places)}


@pytest.mark.parametrize("name", GRIDS)
def test_a_scene_shows_every_live_candidate_once(name: str) -> None:
    grid, scene = GRIDS[name], scene_of(proof(name))
    assert sorted(tokens(scene.notes, scene.layout)) == sorted(map(str, grid.candidates()))
    shown = {(digit.cell // 9 + 1, digit.cell % 9 + 1): digit.digit for digit in scene.digits}
    assert shown == {(r, c): grid.digit(r, c) for r in range(1, 10) for c in range(1, 10) if grid.digit(r, c)}


def test_given_and_placed_digits_differ() -> None:
    walk = deduce.walk(Grid.parse(PI), budget=1)
    scene = scene_of(walk.grid)
    placed = walk.steps[0].proof.places[0]
    assert [(d.cell // 9 + 1, d.cell % 9 + 1, d.digit) for d in scene.digits if not d.given] == [
        (placed.row, placed.column, placed.digit)
    ]


def test_the_parts_of_a_wing() -> None:
    scene = scene_of(proof("XY-wing"))
    assert [area.name for area in scene.area("pivot")] == ["r5c5"]
    assert [area.name for area in scene.area("pincer")] == ["r2c5", "r5c8"]
    assert tokens(scene.noted("even"), scene.layout) == {"3r2c5", "2r5c5", "1r5c8"}
    assert tokens(scene.noted("odd"), scene.layout) == {"2r2c5", "1r5c5", "3r5c8"}
    assert [tie.strong for tie in scene.ties] == [True, False, True, False, True]


def test_the_lines_of_a_fish() -> None:
    scene = scene_of(proof("X-wing"))
    assert [area.name for area in scene.area("base")] == ["row 2", "row 7"]
    assert [area.name for area in scene.area("cover")] == ["column 3", "column 8"]
    assert tokens(scene.noted("pattern"), scene.layout) == {"5r2c3", "5r2c8", "5r7c3", "5r7c8"}


def test_a_hidden_single_shows_what_bars_the_digit() -> None:
    scene = scene_of(proof("hidden single"))
    assert [area.name for area in scene.area("base")] == ["box 2"]
    assert [area.name for area in scene.area("bar")] == ["r2c7", "r5c5"]
    assert [area.name for area in scene.area("target")] == ["r3c4"]


def test_a_naked_single_shows_a_witness_for_each_other_digit() -> None:
    grid, scene = GRIDS["naked single"], scene_of(proof("naked single"))
    assert [area.name for area in scene.area("target")] == ["r5c5"]
    assert sorted(grid.digit(int(area.name[1]), int(area.name[3])) or 0 for area in scene.area("bar")) == [
        digit for digit in range(1, 10) if digit != 5
    ]
    assert all(grid.layout.neighbours[4 * 9 + 4] >> area.cells[0] & 1 for area in scene.area("bar"))


def test_a_loop_closes() -> None:
    scene = scene_of(proof("continuous loop"))
    assert len(scene.ties) == 6
    assert scene.ties[-1].far == scene.ties[0].near
    assert not scene.ties[-1].strong


def test_a_chain_has_ends_an_order_and_what_both_ends_bar() -> None:
    scene = scene_of(proof("two-string kite"))
    names = [[f"{digit}{NINE.cell_name(cell)}" for cell, digit in node] for node in scene.order]
    assert names == [["5r4c1"], ["5r4c5"], ["5r5c6"], ["5r9c6"]]
    assert scene.ends == (*scene.order[0], *scene.order[-1])
    assert [tie.near for tie in scene.hits] == [scene.order[0], scene.order[-1]]
    assert {tie.far for tie in scene.hits} == {((NINE.parse_cell("r9c1"), 5),)}
    back = scene_of(proof("chain that returns to its start"))
    assert back.ends == back.order[0] == back.order[-1]
    loop = scene_of(proof("continuous loop"))
    assert loop.order
    assert not loop.ends
    assert not loop.hits
    # The first and the last node hold different digits: what falls is tied to the nodes that bar it.
    pairs = scene_of(proof("remote pairs"))
    assert len(pairs.hits) == 8
    for tie in pairs.hits:
        ((fallen, digit),) = tie.far
        assert any(d == digit and pairs.layout.neighbours[c] >> fallen & 1 for c, d in tie.near)


def test_a_supposition_shows_what_is_supposed_what_follows_in_order_and_what_breaks() -> None:
    found = counted(SUPPOSITION)
    scene = scene_of(found)
    assert scene.ends == tuple((note.cell, note.digit) for note in scene.noted("eliminated"))
    inner = found.inferences[0].argument
    assert isinstance(inner, Supposition)
    placed = [candidate for each in inner.inferences for candidate in each.true]
    layout = scene.layout
    assert [layout.number(digit, cell) for ((cell, digit),) in scene.order] == placed
    assert {role for note in scene.notes for role in [note.role]} >= {"odd", "eliminated"}
    told = dict(scene.told)
    assert told["end"] == "supposed"
    (trouble,) = scene.area("trouble")
    assert told["trouble"].startswith(f"{trouble.name} has no ")
    digit = told["trouble"][-1]
    # It really has none: no cell of it holds the digit, and each place of it is taken by what was placed.
    assert all(layout.symbols[d.digit - 1] != digit for d in scene.digits if d.cell in trouble.cells)


def test_a_key_names_the_digit() -> None:
    assert dict(scene_of(proof("X-wing")).told) == {"base": "needs a 5", "cover": "has room for one 5"}
    assert dict(scene_of(proof("W-wing")).told)["base"] == "needs a 4"
    assert dict(scene_of(proof("hidden pair")).told)["base"] == "needs a 4 and a 7"
    assert dict(scene_of(proof("contradiction")).told) == {"trouble": "box 2 has no place for 7"}


def test_only_houses_that_lose_something_are_marked() -> None:
    # The triple shares row 1 and box 1, but box 1 holds nothing more that could fall.
    cells = {"r1c1": "12", "r1c2": "23", "r1c3": "13"}
    cells |= {f"r{r}c{c}": "456789" for r in (2, 3) for c in (1, 2, 3)}
    scene = scene_of(next(deduce.find(thinned(cells), ["naked triple"])))
    assert [area.name for area in scene.area("cover")] == ["row 1"]


def test_trouble_is_marked() -> None:
    assert [area.name for area in scene_of(proof("contradiction")).area("trouble")] == ["box 2"]
    dead = deduce.walk(thinned({"r4c7": ""})).steps[0].proof
    assert [area.name for area in scene_of(dead).area("trouble")] == ["r4c7"]


@pytest.mark.parametrize("order", [4, 6, 9, 12, 16, 25])
def test_every_mark_lies_inside_its_cell_and_no_two_touch(order: int) -> None:
    layout = Layout.standard(order)
    place = Geometry(layout)
    for cell in (0, order - 1, layout.cells - 1):
        left, top = place.corner(cell)
        points = [place.note(cell, digit) for digit in range(1, order + 1)]
        for x, y in points:
            assert left + NODE < x < left + place.cell - NODE
            assert top + NODE < y < top + place.cell - NODE
        for i, (x, y) in enumerate(points):
            assert all(abs(x - u) > 2 * NODE or abs(y - v) > 2 * NODE for u, v in points[:i])
        assert place.left <= left <= place.width - place.cell
    assert place.top + place.wide <= place.width


def test_a_description_lists_what_is_marked() -> None:
    assert scene_of(proof("XY-wing")).description == (
        "A 9 by 9 grid with 0 digits placed and notes in the open cells. Pivot: r5c5. Pincer: r2c5 and r5c8. "
        "False in turn: 3r2c5, 2r5c5 and 1r5c8. True in turn: 2r2c5, 1r5c5 and 3r5c8. Falls: 3r2c8. "
        "Loses a note: r2c8."
    )


def test_the_exits_of_a_swap_are_marked() -> None:
    # A rectangle of 1 and 2 with one more digit in each of two corners: in a puzzle with one solution one of these
    # is true, so a 3 that sees both falls.
    grid = thinned({"r1c1": "12", "r1c2": "12", "r4c1": "123", "r4c2": "123"})
    corners = ("r1c1", "r1c2", "r4c1", "r4c2")
    swap = Swap(
        tuple(sorted(grid.number(digit + cell) for digit in "12" for cell in corners)),
        (grid.number("3r4c1"), grid.number("3r4c2")),
    )
    row = next(n for n, rule in enumerate(grid.model.constraints) if rule.name == "3 in row 4")
    argument = Counting((), ((row, 1),), ((swap, 1),))
    found = Proof(grid, conclude(grid, [argument]), Pattern("unique rectangle"))
    deduce.check(grid, found)
    assert found.assumes_unique
    scene = scene_of(found)
    assert tokens(scene.noted("exit"), scene.layout) == {"3r4c1", "3r4c2"}
    assert tokens(scene.noted("pattern"), scene.layout) == {digit + cell for digit in "12" for cell in corners}
    shown = scene.with_notes("needed")
    assert {note.role for note in shown.notes} == {"exit", "pattern", "eliminated"}
    assert "Exit, one of these is true: 3r4c1 and 3r4c2" in scene.description


def test_the_parts_of_further_patterns() -> None:
    fish = scene_of(proof("finned X-wing"))
    assert len(fish.area("base")) == 2
    assert fish.noted("fin")
    assert {note.cell for note in fish.noted("fin")} <= {cell for area in fish.area("base") for cell in area.cells}
    blossom = scene_of(proof("death blossom"))
    assert len(blossom.area("pivot")) == 1
    assert len(blossom.area("set")) == len(blossom.area("pivot")[0].cells) + 2
    sets = scene_of(proof("chain through almost locked sets"))
    assert sets.area("set")
    assert not sets.area("subset")
    names = [(area.role, area.name) for area in scene_of(proof("empty rectangle")).areas]
    assert ("base", "box 9") in names


@pytest.mark.parametrize("name", sorted(UNIQUE))
def test_cells_of_an_exchange_are_told_as_such(name: str) -> None:
    found = proof(name)
    scene = scene_of(found)
    between = {cell for area in scene.area("swappable") for cell in area.cells}
    assert between == set(found.pattern.role("cells"))
    # A bivalue grid has no cells of its own: all open ones are in it.
    assert bool(between) == (name != "bivalue grid")
    assert not scene.area("subset")
    assert ("Digits could change places: " in scene.description) == bool(between)


def test_what_sums_leave_is_added_or_taken_away() -> None:
    inside = scene_of(proof("leftover sum"))
    assert [area.name for area in inside.area("added")] == ["r1c8", "r1c9"]
    assert not inside.area("taken")
    layout = Layout.parse("grid 9\ntotal r1c1-r1c5 = 15\ntotal r1c6-r1c9 r2c9 = 36\n")
    proofs = deduce.find(Grid.empty(layout), ["leftover sum"])
    outside = scene_of(next(found for found in proofs if found.pattern.role("outside") == (17,)))
    assert [area.name for area in outside.area("taken")] == ["r2c9"]
    # The row loses nothing, and is part of the sum all the same.
    assert "row 1" in {area.name for area in outside.area("sum")}
    assert "Is taken away: r2c9" in outside.description
    # The cells of one rule are marked once, as its sum.
    bound = scene_of(proof("sum bound"))
    assert {area.role for area in bound.areas} == {"sum", "lost"}


def test_only_subsets_are_called_so() -> None:
    for name in GRIDS:
        words = name.split()
        subset = words[0] in ("naked", "hidden") and words[1] in ("pair", "triple", "quad")
        assert bool(scene_of(proof(name)).area("subset")) == subset, name


def test_a_proof_without_roles_shows_its_bases_and_covers() -> None:
    made = Proof(GRIDS["X-wing"], proof("X-wing").inferences, Pattern("unnamed"))
    scene = scene_of(made)
    assert [area.name for area in scene.area("base")] == ["row 2", "row 7"]
    assert [area.name for area in scene.area("cover")] == ["column 3", "column 8"]
    assert tokens(scene.noted("pattern"), scene.layout) == {"5r2c3", "5r2c8", "5r7c3", "5r7c8"}


def test_a_sum_has_a_table_of_needs_against_places_and_what_is_missing() -> None:
    seen = 0
    for found in sums():
        scene, model = scene_of(found), found.grid.model
        tally = scene.tally
        if tally is None:
            continue
        seen += 1
        # Suppose the opposite: of what is left no need may take a place that the table does not give it.
        numbers = {constraint.name: number for number, constraint in enumerate(model.constraints)}
        inference = found.inferences[0]
        supposed = set() if inference.true else set(inference.false[:1])
        touched = [mask for mask in model.masks if any(mask >> candidate & 1 for candidate in supposed)]
        gone = {candidate for mask in touched for candidate in bits(mask)} | {*inference.true[:1]}
        for row, need in enumerate(tally.needs):
            number = numbers[need.rpartition(" \u00d7 ")[2]]
            assert tally.numbers[row] == number
            for column, place in enumerate(tally.places):
                shared = model.masks[number] & model.masks[numbers[place.rpartition(" \u00d7 ")[2]]] & found.grid.live
                if (row, column) in tally.meets:
                    assert shared
                elif column not in tally.taken:
                    assert gone.issuperset(bits(shared)), (need, place)
        assert tally.missing >= 1
        assert bool(tally.supposed) != found.contradiction
        text = svg(scene)
        assert all(f">{need}</text>" in text for need in tally.needs if len(need) <= 18)
        assert text.count(">missing</text>") == tally.missing
        assert ">missing<" not in svg(scene, key=False)
    assert seen >= 3


def sums() -> list[Proof]:
    """Return counting arguments without a name of the trade, met on the way through some puzzles."""
    found = []
    for seed in (6, 21):
        grid = deduce.walk(minimal_puzzle(seed), PLAIN[:9]).grid
        for _ in range(14):
            proof, _ = next_proof(grid, names=(COUNTING,))
            if proof is None:
                break
            found += [proof] * (proof.pattern.name == COUNTING)
            grid = grid.moved(deduce.check(grid, proof).after, proof)
    return found


def test_the_turning_points_of_a_supposition() -> None:
    found = counted(SUPPOSITION)
    inner = [*inner_proofs(found)]
    whole, *turns = turning_points(found)
    assert whole == scene_of(found)
    assert len(turns) == 1 + sum(each.pattern.name not in SINGLES for each in inner[:-1])
    last = turns[-1]
    assert last.area("trouble")
    held = {(digit.cell, digit.digit) for digit in last.digits} - {(digit.cell, digit.digit) for digit in whole.digits}
    assert {area.cells[0] for area in last.area("follows")} == {cell for cell, _ in held}
    assert whole.ends[0] in held, "what is supposed stands there"
    counts = [len(scene.area("follows")) for scene in consequences(found)]
    assert counts == sorted(counts)
    assert turning_points(proof("X-wing")) == (scene_of(proof("X-wing")),)
    texts = pictures.turning_points(found, theme="dark", size=500)
    assert len(texts) == len(turns) + 1
    assert len({re.search(r'width="\d+" height="[\d.]+"', text)[0] for text in texts}) == 1
