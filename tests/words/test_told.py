"""Sentences that are told alike for grids and problems, and patterns that are broken before the reader's eyes."""

from __future__ import annotations

import re
from functools import cache

import pytest
from pictures.positions import proof
from puzzle.problems import worked

import deduce
from deduce import Grid, Layout, Proof
from deduce.patterns.unique_names import AVOIDABLE, EXTENDED, STRONG, SWAPS
from deduce.proof import Pattern
from deduce.puzzle.grid import grid_of
from deduce.solving.generate import minimal_puzzle
from deduce.words.en.explain import headline
from deduce.words.en.names import Names, alternatives, article, concluded, excluded, many
from deduce.words.en.speech import Spoken, fill

CELL = r"r\d+c\d+"


@cache
def market() -> dict[str, Proof]:
    """Return the first step of each name of a walk over a problem."""
    found: dict[str, Proof] = {}
    for step in deduce.walk(Grid.from_problem(worked.market())).steps:
        found.setdefault(step.proof.pattern.name, step.proof)
    return found


# Problems


def test_a_chain_of_a_problem_is_told_link_by_link() -> None:
    assert market()["chain with linked ends on different digits"].words() == (
        "Look at both ends of this alternating inference chain, Ada = 2 and kites = 3. Suppose that Ada is not 2. Then "
        "Ada is 1; at most one of Ada = 1 or 3 and tea = 3 holds, since Ada stands directly left of the tea stall, so "
        "tea is not 3, and of lamps, maps, kites and tea only kites can be 3. So Ada is 2 or kites is 3, if not both. "
        "If Ada is 2, Cyr must differ and is not 2; if kites is 3, Cyr is not 2, since at most one of Cyr = 1, 2 or 4 "
        "and kites = 3 holds, since Cyr sells kites: Cyr cannot be 2."
    )


def test_a_set_of_a_problem_is_told_by_its_values() -> None:
    told = market()["chain through almost locked sets"].words()
    assert told.startswith(
        "kites and tea hold the three values 1, 2 and 3, of which only one can be missing there, so kites is 1 or one "
        "of kites and tea is 3, if not both. If kites is 1, maps is not 3, since "
    )


def test_a_supposition_of_a_problem_is_told_as_any_other() -> None:
    assert market()["supposition"].words().splitlines() == [
        "Suppose that Dot is 4.",
        "1. Then dun can only be 4; Bo can only be 1, so Ada, Bo, Cyr and Dot have their 2 in Cyr; coral can only be "
        "3, so blue has no candidate left.",
        "So Dot cannot be 4.",
    ]
    assert headline(market()["supposition"]) == "Supposition: Dot cannot be 4"


def test_the_longest_level_of_a_problem_reads_its_values() -> None:
    assert market()["one rule alone"].words(level="full").splitlines()[0] == (
        "1. Read the values of Cyr: it holds nothing but 1 to 3."
    )
    links = market()["chain with linked ends on different digits"].words(level="full").splitlines()
    assert links[0] == "1. [Ada = 2] = [Ada = 1]: Ada can only be 1 or 2, so if it is not 2, it is 1."
    assert links[2] == (
        "3. [tea = 3] = [kites = 3]: of lamps, maps, kites and tea only kites or tea can be 3, so if tea is not 3, "
        "then kites is 3."
    )


def test_sums_of_a_problem_spell_its_variables() -> None:
    steps = deduce.walk(Grid.from_problem(worked.square())).steps
    bound = next(step.proof for step in steps if step.proof.pattern.name == "sum bound")
    assert bound.words() == (
        "a1 + a2 + a3 = 15. If a2 were 1, the other variables would come to 13 at most, 14 in all, which is too "
        "little. So a2 cannot be 1."
    )
    counted = next(step.proof for step in steps if step.proof.pattern.name == "counting argument")
    assert "counted three times, a value for b2" in counted.words()


def test_pointing_on_a_problem_speaks_of_no_place() -> None:
    problem = worked.queens(5)
    layout = Grid.from_problem(problem).layout
    (base,) = (house for house, _ in enumerate(layout.houses))
    pattern = next(
        one.pattern
        for one in deduce.find(Grid.parse(minimal_puzzle(4).line()), ["pointing pair"])
        if one.pattern.role("digit")
    )
    roles = tuple(
        role.__class__(role.name, role.kind, {"houses": (base,), "digits": (2,)}.get(role.kind, (layout.number(2, 0),)))
        for role in pattern.roles
    )
    told = Proof(Grid.from_problem(problem), (), Pattern("pointing pair", roles)).words()
    assert told.startswith(
        "Every value is taken once by column 1, column 2, column 3, column 4 and column 5, and only "
    )
    assert "One of them is, and what clashes with each of them falls" in told


# Templates


def test_gaps_are_filled_by_kind() -> None:
    found = proof("ALS-XY-wing")
    names = Names(grid_of(found).layout)
    assert fill(found, names, "{pivot set} {pivot set:is|are} {pivot set:notes or}") == "r6c7 is 3 or 4"
    assert fill(found, names, "{second set:count}, {second set:holds}") == (
        "three, r4c5, r4c6 and r6c6, three cells of box 5, hold the four digits 1, 2, 4 and 5"
    )
    assert fill(found, names, "{first set+second set:with digit}") == "r4c5, r4c6, r5c9 and r6c6"
    assert fill(found, names, "{node 0}, {digit:a}, {common digits:1}, {common digits:or}") == "r5c9, a 1, 4, 3 or 4"
    kite = proof("two-string kite")
    assert fill(kite, names, "{Lines}; {lines:0}; {lines:kind}s; {digit}s") == "Row 4 and column 6; row 4; rows; 5s"
    with pytest.raises(KeyError, match="stem"):
        fill(kite, names, "{stem}")


def test_nouns_of_a_template_follow_the_layout() -> None:
    layout = Grid.from_problem(worked.market()).layout
    template = "Two cells and a digit; {cells} of the digits, and {digit:a} that sees both falls"
    assert Names(layout).worded(template) == (
        "Two variables and a value; {cells} of the values, and whatever clashes with both falls"
    )
    assert Names(Layout.standard()).worded(template) == template


def test_what_is_concluded_of_one_cell_is_told_together() -> None:
    layout = Layout.standard()
    some = [layout.candidate(layout.parse_candidate(name)) for name in ("2r9c8", "3r9c8", "5r1c1", "5r4c2")]
    assert concluded(some, some[:1]) == ("r1c1 and r4c2 are 5, r9c8 would have to be 2 and 3 at once and r9c8 loses 2")


def test_counts_articles_and_alternatives() -> None:
    assert (many(1, "cell"), many(4, "cell"), many(12, "step"), many(2, "step", str)) == (
        *("one cell", "four cells", "12 steps", "2 steps"),
    )
    assert [article(symbol) for symbol in ("8", "11", "18", "80", "7", "A", "x", "B")] == [
        *("an 8", "an 11", "an 18", "an 80", "a 7", "an A", "an x", "a B")
    ]
    assert alternatives(["3", "4", "5", "9"]) == "3 to 5 or 9"
    layout = Grid.from_problem(worked.market()).layout
    lost = [layout.candidate(layout.number(digit, cell)) for cell in (0, 1) for digit in (1, 2)]
    assert excluded(lost) == "neither Ada nor Bo can be 1 or 2"
    part = Spoken(proof("naked pair"), Names(Layout.standard()), "cells", (4,))
    assert f"{part} {part:has|have} {part:count}" == "r1c5 has one"


# Chains


@cache
def told_on(rules: str) -> tuple[Proof, ...]:
    """Return chains that a few puzzles of a layout offer."""
    names = ["grouped chain", "chain with linked ends on different digits"]
    grids = [minimal_puzzle(seed, Layout.parse(rules)) for seed in range(3, 7)]
    return tuple(one for grid in grids for one in deduce.find(grid, names))


THERMOMETERS = "grid 6\nr1c1 < r1c2 < r2c2 < r3c2\nr6c6 < r6c5 < r5c5\n"


def test_a_chain_that_comes_back_to_a_group_is_told_to_its_end() -> None:
    found = [one for one in told_on(THERMOMETERS) if len(one.pattern.chain.nodes[0]) > 1]
    found = [one for one in found if one.pattern.chain.nodes[0] == one.pattern.chain.nodes[-1]]
    assert found
    for one in found:
        told = one.words()
        digit = one.eliminates[0].written
        assert "Suppose that neither r" in told or "Suppose that none of" in told
        assert "against the supposition. The denial of this digit brings it back, so " in told
        assert re.search(rf"is {digit}, and an? {digit} that sees (both|all of these) falls: ", told)


def test_ends_in_one_cell_are_told_by_both_cases_where_something_falls_elsewhere() -> None:
    seen = 0
    for one in told_on(THERMOMETERS):
        if not one.eliminates or one.pattern.chain.nodes[0] == one.pattern.chain.nodes[-1]:
            continue
        ends = {c % 36 for node in (one.pattern.chain.nodes[0], one.pattern.chain.nodes[-1]) for c in node}
        inside = {c.cell for c in one.eliminates} == {grid_of(one).layout.cell_name(cell) for cell in ends}
        if len(ends) == 1:
            seen += not inside
            assert (" and nothing else: " in one.words()) == inside
            assert inside or re.search(rf"{CELL} is \d or \d\. If {CELL} is \d, .*; if {CELL} is \d, ", one.words())
    assert seen


# Rectangles


@cache
def exchanges() -> tuple[Proof, ...]:
    """Return proofs with strong links inside what could change places, from positions of twenty puzzles."""
    grids = [deduce.walk(minimal_puzzle(seed), ["singles", "locked candidates"]).grid for seed in range(20)]
    names = [STRONG, EXTENDED, AVOIDABLE, *SWAPS]
    return tuple(one for grid in grids for one in deduce.find(grid, names, assume_unique=True))


def test_what_a_victim_would_force_is_forced() -> None:
    """Every digit that is said to go somewhere has no other place left in its house, and then no exit is left."""
    found = [one for one in exchanges() if one.pattern.role("strong links")]
    assert len(found) > 5
    for one in found:
        grid, words = grid_of(one), one.words()
        layout = grid.layout
        told = re.search(rf"Put (\d) in ({CELL}): (.*)no exit is left, and the (?:rectangle|pattern) stands", words)
        assert told
        true = {layout.parse_candidate(told[1] + told[2])}
        assert true <= {*map(grid.number, one.eliminates)}
        for house, digit, cell in re.findall(rf"(\w+ \d)'s (\d) goes to ({CELL}), ", told[3]):
            (cells,) = (found.cells for found in layout.houses if found.name == house)
            places = {layout.number(int(digit), place) for place in cells}
            free = {c for c in places if grid.live >> c & 1 and not any(layout.peers[t] >> c & 1 for t in true)}
            assert free == {layout.parse_candidate(digit + cell)}, words
            true |= free
        assert all(any(layout.peers[t] >> c & 1 for t in true) for c in one.pattern.role("exits")), words


def test_rectangles_say_which_houses_would_keep_both_digits() -> None:
    told = proof("unique rectangle, one corner open").words()
    assert (
        "these could change places there: rows 4 and 6, columns 6 and 9 and boxes 5 and 6 would keep both, so" in told
    )
    several = proof("unique rectangle with strong links").words()
    assert "; the same goes for 2 in r8c5. So r8c4 and r8c5 lose 2." in several
