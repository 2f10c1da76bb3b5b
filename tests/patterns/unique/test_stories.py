"""What is told of a pattern that assumes a unique solution is what its name says: roles, pictures and words."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from pictures.positions import GRIDS, proof

import deduce
from deduce.patterns import PLAIN, UNIQUE, fault
from deduce.patterns.catalogue import find_unasked
from deduce.patterns.unique_names import CHAINS, ways_of
from deduce.pictures.scene import of_proof
from deduce.positions import bits
from deduce.proof import Pattern, Role
from deduce.solving.generate import minimal_puzzle
from deduce.suppositions.shrink import shrunk
from deduce.words.en.explain import cell_list, explain
from deduce.words.en.kit import preparation

NAMES = sorted(UNIQUE)


@pytest.mark.parametrize("name", NAMES)
def test_damaged_roles_are_faulted(name):
    good = proof(name)
    grid, pattern = good.grid, good.pattern
    assert fault(good) is None
    assert fault(replace(good, pattern=Pattern(name))) is not None
    for i, role in enumerate(pattern.roles):
        others = (*pattern.roles[:i], *pattern.roles[i + 1 :])
        damaged = [
            others,
            (*others, Role(role.name, role.kind, role.items[1:])),
            (*others, Role(role.name, role.kind, tuple(10**6 for _ in role.items))),
            (*others, Role(role.name, role.kind, (*role.items, role.items[0]))),
        ]
        if role.name == "strong links" and len(role.items) > 1:
            # Fewer links of the right kind may still tell a part of the story.
            del damaged[1]
        for roles in damaged:
            assert fault(replace(good, pattern=replace(pattern, roles=roles))) is not None, (role, roles)
    extra = Role("locked set" if not pattern.role("locked set") else "strong links", "cells", (0,))
    assert fault(replace(good, pattern=replace(pattern, roles=(*pattern.roles, extra)))) is not None
    assert fault(good, deduce.Grid.empty()) is not None
    # With a corner turned into a given, or an exit gone, it is another story.
    cells = {c % 81 for inference in good.inferences for s, _ in inference.argument.swaps for c in s.pattern}
    answer = next(deduce.solutions(deduce.Grid.from_numbers(grid.layout, bits(grid.givens)), 1))
    corner = next(c for c in bits(answer.true) if c % 81 in cells)
    shown = deduce.Grid(grid.layout, grid.live, grid.true | 1 << corner, grid.givens | 1 << corner)
    assert fault(good, shown) is not None
    gone = deduce.Grid(grid.layout, grid.live & ~(1 << pattern.role("exits")[0]), grid.true, grid.givens)
    assert fault(good, gone) is not None


@pytest.mark.parametrize("name", NAMES)
def test_one_name_is_not_another(name):
    """A story under another name of the family is faulted, unless it is that as well."""
    good = proof(name)
    roles = {role.name for role in good.pattern.roles}
    for other in NAMES:
        if other != name:
            told = fault(replace(good, pattern=replace(good.pattern, name=other)))
            plain = roles == {"cells", "digits", "exits"}
            assert told is not None or plain, other


@pytest.mark.parametrize("name", NAMES)
def test_the_picture_marks_exits_and_the_words_name_what_falls(name):
    good = proof(name)
    scene = of_proof(good)
    exits = {(c % 81, c // 81 + 1) for c in good.pattern.role("exits")}
    drawn = {(note.cell, note.digit): note.role for note in scene.notes}
    for exit_ in exits:
        assert drawn[exit_] in ("exit", "placed", "eliminated")
    assert any(note.role == "pattern" for note in scene.notes)
    told = good.words()
    assert "two solutions" in told or (name == "bivalue grid" and "every digit would have two places" in told)
    for candidate in (*good.eliminates, *good.places):
        assert f"r{candidate.row}c{candidate.column}" in told
    for cell in good.pattern.role("cells"):
        assert good.grid.layout.cell_name(cell) in told
    assert good.words(level="line").startswith(name[0].upper())
    assert good.words(level="full").startswith("1. ")
    assert good.effort > 0


@pytest.mark.parametrize("name", NAMES)
def test_the_kernel_needs_every_exit_and_shrinking_keeps_the_swap(name):
    good = proof(name)
    first = good.inferences[0]
    ((swap, weight),) = first.argument.swaps
    assert weight == 1
    if len(swap.exits) > 1:
        less = replace(swap, exits=swap.exits[1:])
        damaged = replace(first, argument=replace(first.argument, swaps=((less, 1),)))
        with pytest.raises(deduce.ProofError):
            deduce.check(good.grid, replace(good, inferences=(damaged, *good.inferences[1:])))
    bare = replace(first, argument=replace(first.argument, swaps=()))
    with pytest.raises(deduce.ProofError):
        deduce.check(good.grid, replace(good, inferences=(bare,)))
    small = shrunk(good)
    assert small.conclusion() == good.conclusion()
    deduce.check(good.grid, small)


def test_what_a_swap_rests_on_is_needed_and_enough():
    for name in NAMES:
        good = proof(name)
        if len(good.inferences[0].argument.swaps[0][0].pattern) > 16:
            continue
        grid = good.grid
        rests = sum(1 << grid.number(c) for c in good.rests_on)
        loose = deduce.Grid(grid.layout, grid.layout.every & ~rests | grid.true, grid.true, grid.givens)
        assert deduce.check(loose, good).after.live != loose.live, name


def test_the_same_on_every_run():
    for name in NAMES:
        assert [str(one) for one in find_unasked(GRIDS[name], [name])] == [
            str(one) for one in find_unasked(GRIDS[name], [name])
        ]


def test_where_a_layout_has_rules_no_rule_notices():
    notes = "1234 12 1234 12 1234 12 1234 123 1234 1234 1234 1234 1234 1234 1234 1234"
    for rules, watcher in (("", "house"), ("cage r3c1 r4c1 = 5", "rule")):
        layout = deduce.Layout.parse(f"grid 4\n{rules}")
        (told,) = {
            one.words() for one in find_unasked(deduce.Grid.parse(notes, layout), ["unique rectangle, one corner open"])
        }
        assert f"would keep both, so no {watcher} would notice" in told


@pytest.mark.parametrize("seed", [10, 55, 63])
def test_ways_from_the_exits_are_drawn_told_and_pointed_at(seed):
    """Each drawn link is one; a way that joins one that was told is not told twice."""
    grid = minimal_puzzle(seed)
    layout, masks = grid.layout, grid.layout.masks
    names = [name for name in PLAIN if "chain" not in name.lower()][:25]
    walked = deduce.walk(grid, [*names, CHAINS], assume_unique=True)
    steps = [step for step in walked.steps if step.proof.pattern.name == CHAINS]
    assert steps
    joined = 0
    for step in steps:
        scene, ways = of_proof(step.proof), ways_of(step.proof.pattern)
        drawn = set()
        for tie in scene.ties:
            (near,), (far,) = ([layout.number(digit, cell) for cell, digit in node] for node in (tie.near, tie.far))
            shared = [mask for mask in masks if mask >> near & 1 and mask >> far & 1]
            assert shared
            if tie.strong:
                assert any(mask & step.before.live == 1 << near | 1 << far for mask in shared)
            drawn.add((near, far))
        assert drawn == {pair for way in ways for pair in pairwise(way)}
        ends = {near for near, _ in drawn}, {far for _, far in drawn}
        assert ends[0] - ends[1] <= {*step.proof.pattern.role("exits")} <= ends[0]
        assert len(ends[1] - ends[0]) == 1

        tails = [*dict.fromkeys(way[1:] for way in ways)]
        ends_alike = [
            any(tail[at:] == other[-len(tail[at:]) :] for other in tails[:number] for at in range(0, len(tail) - 1, 2))
            for number, tail in enumerate(tails)
        ]
        assert explain(step.proof).count("and so on as before") == sum(ends_alike)
        joined += sum(ends_alike)
        rows = "\n".join(preparation(step, of_proof(step.proof), ()))
        for way in ways:
            if len(way) > 2:
                assert f"the way {', then '.join(dict.fromkeys(layout.cell_name(c % 81) for c in way))};" in rows
        assert f"cells {cell_list(layout, step.proof.pattern.role('cells'))}" in rows
    assert bool(joined) == (seed == 55)
