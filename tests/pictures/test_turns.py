"""Turns: a step told bit by bit, with nothing given away before its turn."""

import re
from functools import cache

import pytest
from pictures.positions import GRIDS, counted, proof

import deduce
from deduce import Grid, counting
from deduce.counting.names import COUNTING
from deduce.patterns.catalogue import PLAIN
from deduce.pictures.svg import svg
from deduce.pictures.turns import Turn, turns
from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.solving.generate import minimal_puzzle
from deduce.walks.walk import Step
from deduce.words.en.names import capital
from deduce.words.en.shows import longer

REVEALING = {"target", "lost", "bar", "trouble"}
ORDER = ("position", "where", "name", "link", "consequence", "need", "falls", "result")


def step_of(found: Proof) -> Step:
    grid = grid_of(found)
    checked = deduce.check(grid, found)
    return Step(grid, found, grid.moved(checked.after, found), checked)


def first_step(name: str) -> Step:
    return step_of(proof(name))


@pytest.mark.parametrize("name", sorted(GRIDS))
def test_turns_come_in_order_and_reveal_nothing_early(name: str) -> None:
    step = first_step(name)
    told = turns(step)
    kinds = [turn.kind for turn in told]
    assert kinds == sorted(kinds, key=ORDER.index)
    assert [kinds.count(kind) for kind in ("position", "where", "name", "falls", "result")] == [1] * 5
    for turn in told:
        assert turn.words.strip()
        assert turn.title == turn.scene.title
        if turn.kind in ("position", "where"):
            assert step.proof.pattern.name.lower() not in f"{turn.words} {turn.title} {turn.scene.description}".lower()
        if turn.kind in ("position", "where", "name", "link"):
            assert REVEALING.isdisjoint(area.role for area in turn.scene.areas)
            assert {"eliminated", "placed"}.isdisjoint(note.role for note in turn.scene.notes)
    said = next(turn for turn in told if turn.kind == "name")
    assert capital(step.proof.pattern.name) in f"{said.title} {said.words}"
    falls = next(turn for turn in told if turn.kind == "falls").scene
    assert len(falls.noted("eliminated")) == len(step.proof.eliminates)
    assert len(falls.noted("placed")) == len(step.proof.places)


def links(name: str) -> tuple[Step, list[Turn]]:
    step = first_step(name)
    return step, [turn for turn in turns(step) if turn.kind == "link"]


@pytest.mark.parametrize("name", ["XY-chain", "X-chain", "continuous loop", "skyscraper"])
def test_a_chain_grows_by_one_link(name: str) -> None:
    step, grown = links(name)
    chain = step.proof.pattern.chain
    assert chain is not None
    assert [len(turn.scene.ties) for turn in grown] == list(range(1, len(chain.links) + 1))
    _, lines = longer(step.proof)
    assert [turn.words for turn in grown] == lines[: len(grown)]
    for turn in grown:
        nodes = {(note.cell, note.digit) for role in ("even", "odd") for note in turn.scene.noted(role)}
        assert nodes == {end for tie in turn.scene.ties for end in (*tie.near, *tie.far)}
    # A candidate has one shape from the link in which it comes to the end, and a chain begins with an even one.
    (end,) = (turn.scene for turn in turns(step) if turn.kind == "falls")
    last = {(note.cell, note.digit): note.role for note in end.notes}
    for turn in grown:
        shapes = {(note.cell, note.digit): note.role for note in turn.scene.notes if note.role in ("even", "odd")}
        assert all(last[place] in (role, "eliminated", "placed") for place, role in shapes.items())
        assert {shapes[end] for end in turn.scene.order[0]} == {"even"}
    stays(step)


@cache
def walked() -> deduce.Walk:
    return deduce.walk(Grid.parse("9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32.."))


@pytest.mark.parametrize("number", [26, 30, 46, 47])
def test_links_that_get_in_each_others_way_stay_where_they_are(number: int) -> None:
    # Without the course of the whole chain a link of each of these would move when a later one comes.
    stays(walked().steps[number - 1])


def stays(step: Step) -> None:
    """Hold that no link of a chain moves from the turn in which it comes to the last."""
    seen: set[str] = set()
    for turn in turns(step):
        if turn.kind in ("link", "falls"):
            drawn = _links(svg(turn.scene))
            pieces = {piece for path in re.findall(r' d="([^"]*)"', drawn) for piece in re.findall("M[^M]*", path)}
            assert seen <= pieces, "a link that was there has moved"
            # In the end what ties both ends to the victim comes beside the links.
            assert seen < pieces or turn.kind == "falls"
            seen = pieces


def _links(text: str) -> str:
    """Return the first part of a picture that holds links; running numbers are in another one."""
    return text[text.index("<!--links-->") : text.index("<!--/links-->") + len("<!--/links-->")]


def test_a_supposition_comes_consequence_by_consequence() -> None:
    found, _ = counting.next_proof(deduce.walk(minimal_puzzle(6), PLAIN).grid, names=("supposition",))
    assert found is not None
    step = step_of(found)
    told = turns(step)
    supposed, *followed = [turn for turn in told if turn.kind == "consequence"]
    _, (first, *lines, last) = longer(step.proof)
    assert supposed.words == first
    assert [turn.words for turn in followed] == lines
    assert next(turn for turn in told if turn.kind == "falls").words == last
    assert len(followed[-1].scene.digits) > len(supposed.scene.digits), "the position under the supposition is shown"


def test_a_sum_comes_need_by_need() -> None:
    step = step_of(counted(COUNTING))
    told = turns(step)
    needs = [turn for turn in told if turn.kind == "need"]
    _, (*lines, last) = longer(step.proof)
    assert [turn.words for turn in needs] == lines
    assert len(lines) > 2
    falls = next(turn for turn in told if turn.kind == "falls")
    assert falls.words == last
    assert falls.scene.tally is not None
    assert falls.scene.tally.missing >= 1
    for number, turn in enumerate(needs, 1):
        assert turn.title == turn.scene.title == f"Need {number} of {len(lines)}"
        assert turn.scene.tally is not None
        assert turn.scene.tally.needs == falls.scene.tally.needs[:number]
        assert turn.scene.tally.missing == 0, "what is missing comes last"
        marked = {(note.cell, note.digit) for note in turn.scene.noted("pattern")}
        here = step.before.model.masks[falls.scene.tally.numbers[number - 1]] & step.before.live
        assert {(c % 81, c // 81 + 1) for c in range(729) if here >> c & 1} <= marked
        assert not turn.scene.noted("eliminated")
    assert "missing" not in svg(needs[0].scene)
