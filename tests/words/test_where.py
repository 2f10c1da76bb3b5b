"""Where to look, and the name: what a teacher says before the reason."""

import re

import pytest
from pictures.positions import GRIDS, proof

import deduce
from deduce import Grid, Layout, Proof
from deduce.claims.text import parse_claim
from deduce.kernel import Counting
from deduce.patterns import UNIQUE
from deduce.words.en.explain import explain

EXPECTED = {
    "skyscraper": "Look at rows 2 and 7.",
    "two-string kite": "Look at row 4 and column 6.",
    "naked pair": "Look at row 1.",
    "naked quad": "Look at box 1.",
    "hidden single": "Look at box 2.",
    "ALS-XZ": "Look at column 1.",
    "W-wing": "Look at rows 1 and 8 and column 5.",
    "sum bound": "Look at row 1.",
    "swap of 8 cells": "Look at columns 1, 2, 3 and 8.",
}


@pytest.mark.parametrize("name", EXPECTED)
def test_where_to_look(name: str) -> None:
    assert proof(name).words(level="where") == EXPECTED[name]


def houses_named(proof: Proof) -> set[str]:
    """Return the houses that the sentence names, read back from it."""
    found = set()
    for kind, numbers in re.findall(r"(row|column|box)e?s? ((?:\d+(?:, | and (?=\d))?)+)", proof.words(level="where")):
        found |= {f"{kind} {number}" for number in re.findall(r"\d+", numbers)}
    return found


@pytest.mark.parametrize("name", GRIDS)
def test_where_to_look_gives_nothing_away_and_leaves_nothing_out(name: str) -> None:
    found = proof(name)
    told = found.words(level="where")
    assert re.fullmatch(r"Look at ((rows?|columns?|box(es)?) \d(, \d)*( and \d)?(, | and )?)+\.", told), told
    layout = found.grid.layout
    seen = {cell for house in layout.houses if house.name in houses_named(found) for cell in house.cells}
    for inference in found.inferences:
        if isinstance(inference.argument, Counting):
            for number, _ in inference.argument.bases:
                cells = {c % layout.cells for c, _ in layout.model.constraints[number].terms}
                house = layout.house_of(number)
                assert (layout.houses[house[0]].name in houses_named(found)) if house else cells & seen


@pytest.mark.parametrize("name", GRIDS)
def test_the_name_alone(name: str) -> None:
    told = explain(proof(name), "name")
    assert told == name[0].upper() + name[1:]
    assert explain(proof(name), "line").startswith(f"{told}: ")


def test_where_a_supposition_is_made_and_what_no_house_holds() -> None:
    found = deduce.walk(Grid.parse("8..........36......7..9.2...5...7.......457.....1...3...1....68..85...1..9....4.."))
    made = next(step.proof for step in found.steps if step.proof.depth)
    assert len(houses_named(made)) == 1
    problem = Layout.parse("grid 9\ngrid 9 at r1c13\n")
    last = Grid.empty(problem).without([f"{digit}r1c13" for digit in range(2, 10)])
    single = next(deduce.find(last, ["naked single"]))
    assert single.words(level="where") == "Look at row 1 of grid 2."


@pytest.mark.parametrize("name", [name for name in GRIDS if name not in UNIQUE and name != "contradiction"])
def test_the_longest_level_is_fuller_and_does_not_repeat_the_paragraph(name: str) -> None:
    found = proof(name)
    full, paragraph = found.words(level="full"), found.words()
    assert len(full.split()) >= min(len(paragraph.split()), 60)
    assert not any(line.split(". ", 1)[-1] in paragraph for line in full.splitlines()[:-1])
    assert paragraph not in full.replace("\n", " ")
    assert not re.search(r" [.,;:]|  |, and nothing else has room there: $", full)
    for candidate in (*found.eliminates, *found.places):
        assert candidate.cell in full


def test_a_written_chain_is_a_claim_that_is_read_and_proved() -> None:
    found = proof("skyscraper")
    assert found.notation().endswith(", so 5r1c9, 5r3c9, 5r8c8 and 5r9c8 are false")
    claim = parse_claim(found.grid.layout, found.notation())
    assert claim.eliminates == tuple(map(found.grid.number, found.eliminates))
    placed = proof("chain that returns to its start")
    assert parse_claim(placed.grid.layout, placed.notation()).places == tuple(map(placed.grid.number, placed.places))
