"""Sentences are read back into cells, houses, digits and counts, and compared with the proof that they tell.

What a sentence names must be of the proof, and what its level promises must be there; a sentence with one wrong cell,
house, digit or count is noticed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import cache
from itertools import islice, pairwise

import pytest
from pictures.positions import GRIDS, proof
from puzzle.problems import worked
from strategies import JIGSAW

import deduce
from deduce import Grid, Layout, Proof
from deduce.kernel import Counting, Inference, Supposition
from deduce.patterns import NAMES, PLAIN
from deduce.proof import Candidate
from deduce.puzzle.grid import grid_of
from deduce.solving.generate import minimal_puzzle

KINDS = {"row": "rows", "column": "columns", "box": "boxes", "region": "regions", "diagonal": "diagonals"}
WORDS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9}
CELL = r"r\d+c\d+"
LIST = r"\d+(?:, \d+)*(?: (?:and|or) \d+)?"


class Read:
    """What a sentence names.

    Parameters
    ----------
    told : str
        The sentence, with the names of rules taken out.
    """

    def __init__(self, told: str) -> None:
        self.lost = {
            f"{digit}{cell}"
            for cells, digits in re.findall(rf"((?:{CELL}(?:, | and )?)+) loses? ({LIST})", told)
            for cell in re.findall(CELL, cells)
            for digit in re.findall(r"\d+", digits)
        }
        self.houses: set[str] = set()
        for kind, plural in KINDS.items():
            for number in re.findall(rf"\b{kind} (\d+)", told, re.I):
                self.houses.add(f"{kind} {number}")
            for numbers in re.findall(rf"\b{plural} ({LIST})", told, re.I):
                self.houses |= {f"{kind} {number}" for number in re.findall(r"\d+", numbers)}
            told = re.sub(rf"\b{plural} {LIST}", " ", told, flags=re.I)
            told = re.sub(rf"\b{kind} \d+", " ", told, flags=re.I)
        # Sums draw cells together, such as r1c56 for two of one row.
        crossings = re.findall(r"r(\d+)c(\d+)", told)
        self.cells = {f"r{row}c{column}" for rows, columns in crossings for row in rows for column in columns}
        # Written chains draw cells together, such as (5)r1c56.
        told = re.sub(rf"\(\d+\)[\w/]+|{CELL}", " ", told)
        self.digits = set(re.findall(r"\b\d+(?=s?\b)", told))
        self.counts = {count for word, count in WORDS.items() if re.search(rf"\b{word}\b", told, re.I)}


class Parts:
    """What a proof is made of: what its sentences may name, and what they have to."""

    def __init__(self, proof: Proof) -> None:
        grid, pattern = grid_of(proof), proof.pattern
        layout = grid.layout
        self.grid, self.layout, self.name = grid, layout, pattern.name
        roles: dict[str, set[int]] = {"cells": set(), "candidates": set(), "houses": set(), "digits": set()}
        for role in pattern.roles:
            roles.setdefault(role.kind, set()).update(role.items)
        self.roles = roles
        chain = pattern.chain
        nodes = {c for node in chain.nodes for c in node} if chain else set()
        concluded = {grid.number(c) for c in (*proof.eliminates, *proof.places)}
        self.told = roles["candidates"] | nodes | concluded
        # The corners of a fish, and the places of a region along two lines, are told by these houses.
        corners = {*pattern.role("corners"), *(c for node in chain.nodes[:2] for c in node)} if chain else set()
        told_by_houses = {*pattern.role("corners")} | (corners if pattern.name == "empty rectangle" else set())
        if pattern.name == "bivalue grid":
            told_by_houses = self.told
        self.promised = {c % layout.cells for c in self.told - told_by_houses}
        # Of a grid full of pairs only the cell that stands out is told.
        self.promised |= {c % layout.cells for c in concluded} if pattern.name == "bivalue grid" else roles["cells"]
        cells = roles["cells"] | {c % layout.cells for c in self.told}
        used = {number for inference in proof.inferences for number in of_sums(inference)}
        used |= {number for link in (chain.links if chain else ()) for number in (*link.constraints, *link.covers)}
        used |= roles.get("constraints", set())
        # By which rule an end of a chain bars what falls.
        used |= {n for c in concluded for n in layout.at_most_one[c]} if chain else set()
        self.rules = {layout.model.constraints[n].name for n in used if n >= layout.exact}
        places = [layout.house_of(n) for n in used if n < layout.exact]
        # A house may be named by which named cells see one another.
        seen = {h for h, house in enumerate(layout.houses) if len(cells & {*house.cells}) > 1}
        self.cells = cells | {n for n in used if n < layout.cells}
        self.cells |= {c % layout.cells for n in used if n < layout.exact for c in bits_of(grid.live & layout.masks[n])}
        self.houses = roles["houses"] | {place[0] for place in places if place} | seen
        self.digits = roles["digits"] | {c // layout.cells + 1 for c in self.told} | {p[1] for p in places if p}
        self.digits |= {d for cell in self.cells for d in notes(grid, cell)}
        if pattern.name == "one rule alone":
            # Comparisons are told by their line; a test below counts its cells.
            self.cells |= {cell for rule in layout.rules if rule.kind == "pair" for cell in rule.cells}
        if pattern.name == "hidden single":
            # Why the digit has no other place: who holds it, and where it has been ruled out.
            (digit,) = {c // layout.cells + 1 for c in concluded}
            self.cells |= {cell for cell in range(layout.cells) if grid.true >> layout.number(digit, cell) & 1}
            self.cells |= {*layout.houses[pattern.role("house")[0]].cells}
        if pattern.name == "naked single" or "exits" in {role.name for role in pattern.roles}:
            self.houses |= {h for cell in cells for h in layout.houses_of[cell]}

    def spelled(self, told: str) -> str:
        """Return a sentence without its line numbers and the rules that the proof uses, which the layout spells."""
        told = re.sub(r"^\d+\. ", "", told, flags=re.M)
        for rule in sorted(self.rules, key=len, reverse=True):
            told = told.replace(rule, "that").replace(rule[0].upper() + rule[1:], "That")
        return re.sub(r" This rests on.*", "", told)


def of_sums(inference: Inference) -> Iterable[int]:
    """Return the constraints that an inference adds up."""
    argument = inference.argument
    if isinstance(argument, Counting):
        return [number for number, _ in (*argument.bases, *argument.covers)]
    return []


def bits_of(mask: int) -> list[int]:
    return [number for number in range(mask.bit_length()) if mask >> number & 1]


def notes(grid: Grid, cell: int) -> set[int]:
    return {c // grid.layout.cells + 1 for c in bits_of(grid.live & grid.layout.masks[cell])}


def counts_of(proof: Proof) -> set[int]:
    """Return the numbers beyond one that the paragraph of a pattern has to tell as words."""
    grid, pattern = grid_of(proof), proof.pattern
    name, chain = pattern.name, pattern.chain
    roles = {role.name: role.items for role in pattern.roles}
    held = {r.name: {d for c in r.items for d in notes(grid, c)} for r in pattern.roles if r.kind == "cells"}
    for size, end in ((2, "pair"), (3, "triple"), (4, "quad")):
        if name in (f"naked {end}", f"hidden {end}"):
            return {size}
    if "base lines" in roles:
        return {len(roles["base lines"])}
    if name in ("skyscraper", "two-string kite"):
        return {2}
    if name == "remote pairs":
        return {2, len(roles["cells"])}
    if name == "XYZ-wing":
        return {3}
    if name in ("ALS-XZ", "doubly linked ALS-XZ", "ALS-XY-wing"):
        sets = [key for key in roles if key.endswith(" set") and len(roles[key]) > 1]
        told = {n for key in sets for n in (len(roles[key]), len(held[key]))}
        return told | ({2} if name.startswith("doubly") else set())
    if name == "Sue de Coq":
        return {sum(len(roles[key]) for key in ("crossing", "line set", "region set"))}
    if "exits" in roles:
        return {2, 3} if name == "bivalue grid" else {2} | ({len(roles["digits"])} if name.startswith("ext") else set())
    if name == "loop through almost locked sets" and chain and len(chain.nodes) == 2:
        cells = [n for link in chain.links if link.strong for n in link.constraints]
        return {2, len(cells), len({d for cell in cells for d in notes(grid, cell)})}
    told = set()
    if chain is not None:
        told = {2} if chain.loop and len(chain.nodes) > 2 else set()
        for link in chain.links:
            cells = [n for n in link.constraints if n < grid.layout.cells]
            if link.strong and len(cells) > 1:
                told.add(len({d for cell in cells for d in notes(grid, cell)}))
    return told


def faults(proof: Proof, told: str, level: str = "paragraph") -> list[str]:
    """Return what is wrong with a sentence: what it names though it is not of the proof, and what is missing."""
    parts = Parts(proof)
    layout, spelled = parts.layout, parts.spelled(told)
    read = Read(spelled)
    name = parts.layout.cell_name
    found = [f"{cell} is not of it" for cell in sorted(read.cells - {*map(name, parts.cells)})]
    found += [f"{house} is not of it" for house in read.houses - {layout.houses[h].name for h in parts.houses}]
    if not parts.name.endswith(" sum") and parts.name not in ("sum bound", "one rule alone"):
        found += [f"{digit} is not of it" for digit in read.digits - {layout.symbols[d - 1] for d in parts.digits}]
    lost = {str(c) for c in proof.eliminates if c.cell not in {p.cell for p in proof.places}}
    if level != "full" or proof.pattern.chain is None or not proof.pattern.chain.loop:
        found += [f"{one} is said to fall" for one in read.lost - lost]
        found += [f"{one} is not said to fall" for one in lost - read.lost if lost <= {*map(str, proof.eliminates)}]
    if level == "paragraph":
        wanted = {*map(name, parts.promised)}
        if parts.name != "one rule alone":
            found += [f"{cell} is missing" for cell in wanted - {*re.findall(CELL, told)}]
        houses = {layout.houses[h].name for h in parts.roles["houses"]}
        if parts.name.startswith("naked"):
            hit = {grid_of(proof).number(c) % layout.cells for c in proof.eliminates}
            houses = {h.name for h in layout.houses if h.name in houses and hit & {*h.cells}}
        found += [f"{house} is missing" for house in houses - read.houses]
        digits = {layout.symbols[d - 1] for d in parts.roles["digits"]}
        found += [f"{digit} is missing" for digit in digits - read.digits]
        if not parts.rules and parts.name != "contradiction" and read.counts != counts_of(proof):
            found.append(f"counts are {read.counts}, not {counts_of(proof)}")
    for count, total, sets in re.findall(r"In (\w+) cells (\d+) is ([\d, or]+):", told):
        for held in re.findall(r"\d+", sets):
            if len(held) != WORDS[count] or sum(map(int, held)) != int(total):
                found.append(f"{held} does not make {total} in {count} cells")
    for placed in proof.places:
        if placed.cell not in read.cells or placed.written not in read.digits:
            found.append(f"{placed} is not placed")
    return found


READABLE = [name for name in GRIDS if grid_of(proof(name)).layout.order == 9 and name != "contradiction"]


def test_every_name_of_the_catalogue_is_read() -> None:
    groups = {"pointing group", "claiming group"}  # these need more than nine digits: told as pairs are
    assert {*NAMES} - groups <= {*READABLE}


@pytest.mark.parametrize("name", READABLE)
def test_a_paragraph_says_what_is_of_the_proof_and_all_of_it(name: str) -> None:
    found = proof(name)
    assert faults(found, found.words()) == []


@pytest.mark.parametrize("level", ["line", "full"])
@pytest.mark.parametrize("name", READABLE)
def test_other_levels_name_nothing_foreign(name: str, level: str) -> None:
    found = proof(name)
    told = found.words(level=level)
    counted = re.search(r": (\d+) cells lose (\d+)$", told)
    if counted:
        # A line counts the cells that lose the same where they are many.
        assert {c.written for c in found.eliminates} == {counted[2]}
        assert len({c.cell for c in found.eliminates}) == int(counted[1])
    elif not re.search(r"\d+ cells lose", told):
        assert faults(found, told, level) == []


# That it notices: one word of a sentence is made wrong


def another(found: re.Match[str]) -> str:
    """Return a cell, house or number other than the one that was found."""
    if found[0] in WORDS:
        return "seven" if found[0] != "seven" else "six"
    return re.sub(r"\d+$", lambda number: str(int(number[0]) % 9 + 1), found[0])


SLIPS: dict[str, tuple[str, Callable[[re.Match[str]], str]]] = {
    "a cell that loses": (rf"{CELL}(?=(?:,| and {CELL})? loses? )", another),
    "the digit that is lost": (r"(?<=lose )\d|(?<=loses )\d", another),
    "a count": (r"\b(?:two|three|four|five)\b(?= (?:cells|digits|places|of them))", another),
    "a cell left out": (rf"{CELL}(?:, | and )(?={CELL}(?:, | and ).*loses? )", lambda _: ""),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_noticed(slip: str) -> None:
    pattern, change = SLIPS[slip]
    tried = 0
    for name in READABLE:
        found = proof(name)
        told = re.sub(r" This rests on.*", "", found.words())
        for at in re.finditer(pattern, told):
            wrong = told[: at.start()] + change(at) + told[at.end() :]
            # Where the sentence happens to be right again, as when another cell loses the same, there is no slip.
            if wrong != told and Read(wrong).lost | Read(wrong).counts != Read(told).lost | Read(told).counts:
                tried += 1
                assert faults(found, wrong), f"{name}: {wrong}"
    assert tried > 10


@pytest.mark.parametrize("name", READABLE)
def test_a_foreign_cell_or_house_is_noticed(name: str) -> None:
    found = proof(name)
    told, parts = found.words(), Parts(found)
    foreign = [cell for cell in range(81) if cell not in parts.cells]
    strange = [house for house in range(27) if house not in parts.houses]
    first = re.search(CELL, told)
    assert first
    if foreign:
        wrong = told.replace(first[0], parts.layout.cell_name(foreign[-1]))
        assert faults(found, wrong)
    house = re.search(r"\b(row|column|box) \d\b", told)
    if house and strange and found.pattern.name != "bivalue grid":
        assert faults(found, told.replace(house[0], parts.layout.houses[strange[0]].name, 1))


# Variants

LAYOUTS = {
    "plain": Layout.standard(6),
    "diagonals": Layout.parse("grid 6\ndiagonals\n"),
    "irregular": JIGSAW,
    "king": Layout.parse("grid 6\nking\n"),
    "knight": Layout.parse("grid 6\nknight\n"),
    "cages": Layout.parse("grid 6\ncage r1c1 r1c2 r2c2 = 9\ncage r4c4 r4c5 r5c4 = 8\n"),
    "thermometers": Layout.parse("grid 6\nr1c1 < r1c2 < r2c2 < r3c2\nr6c6 < r6c5 < r5c5\n"),
}


@cache
def found_on(kind: str) -> tuple[Proof, ...]:
    """Return proofs of every pattern that a few puzzles of a layout offer, and the steps of their walks."""
    found: list[Proof] = []
    for seed in range(3, 7):
        grid = minimal_puzzle(seed, LAYOUTS[kind])
        for name in PLAIN:
            found += islice(deduce.find(grid, [name]), 3)
        found += [step.proof for step in deduce.walk(grid).steps]
    return tuple(found)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_paragraphs_on_variants_name_nothing_foreign_and_leave_nothing_out(kind: str) -> None:
    told = [one for one in found_on(kind) if one.pattern.name in PLAIN]
    assert len({one.pattern.name for one in told}) > 5
    for one in told:
        assert faults(one, one.words()) == [], one.words()


@pytest.mark.parametrize("kind", LAYOUTS)
def test_what_falls_is_what_the_line_says(kind: str) -> None:
    told = [one for one in found_on(kind) if not one.contradiction]
    assert told
    for one in told:
        line, lost = one.words(level="line"), {str(c) for c in one.eliminates}
        places = {f"{digit}{cell}" for digit, cell in re.findall(rf"(\d) in ({CELL})", line.partition(": ")[2])}
        if "cells lose" not in line and "notes fall" not in line:
            filled = {c.cell for c in one.places}
            assert Read(line).lost == {c for c in lost if c[1:] not in filled}
        assert {*map(str, one.places)} <= places


def test_a_comparison_is_told_by_what_rises_above() -> None:
    """What is said of a bound is counted anew from the comparisons, and holds of what is left."""
    seen = 0
    for one in found_on("thermometers"):
        told = re.match(
            rf"({CELL}) is (at most|at least) (\d), since (\w+) (rise above|stand below) it, (.*):", one.words()
        )
        if told is None:
            continue
        seen += 1
        line, up = re.findall(CELL, told[6]), told[2] == "at most"
        assert WORDS[told[4]] == len(line)
        assert int(told[3]) == (6 - len(line) if up else len(line) + 1)
        chain = [told[1], *line] if up else [*reversed(line), told[1]]
        statements = {rule.line(grid_of(one).layout) for rule in grid_of(one).layout.rules}
        assert {f"{a} < {b}" for a, b in pairwise(chain)} <= statements
        assert all((c.digit > int(told[3])) == up for c in one.eliminates)
    assert seen


def test_a_total_is_added_up_right() -> None:
    """Of a sum: the digit and what the others would come to make the whole, which is too much or too little."""
    seen = 0
    for one in found_on("cages"):
        told = one.words()
        for digit, others, bound, whole, wrong in re.findall(
            r"were (\d), the other cells? would come to (\d+) at (most|least), (\d+) in all, which is too (\w+)", told
        ):
            seen += 1
            total = int(re.findall(r"(?:totals?|is) (\d+)(?:, the rest|\. If)", told)[0])
            assert int(digit) + int(others) == int(whole)
            assert (bound, int(whole) < total) == (("most", True) if wrong == "little" else ("least", False))
            assert int(whole) != total
    assert seen > 5


# Problems


def cannot(told: str, variables: Iterable[str]) -> set[tuple[str, str]]:
    """Read what variables cannot be: pairs of variable and value."""
    who = "|".join(sorted(map(re.escape, variables), key=len, reverse=True))
    found = set()
    for named, values in re.findall(rf"(?:neither )?((?:(?:{who})(?:, | nor )?)+) can(?:not)? be ([^;.]+)", told):
        for value in re.split(r", | or ", values):
            ends = value.split(" to ")
            run = map(str, range(int(ends[0]), int(ends[1]) + 1)) if len(ends) == 2 else ends
            found |= {(name, one) for one in run for name in re.findall(who, named)}
    return found


@pytest.mark.parametrize("make", [worked.market, worked.timetable, worked.square, lambda: worked.queens(6, {1: 2})])
def test_problems_say_of_each_variable_what_it_cannot_be(make: Callable[[], object]) -> None:
    walk = deduce.walk(Grid.from_problem(make()))
    seen = 0
    for step in walk.steps:
        one = step.proof
        lost = {(c.variable, c.written) for c in one.eliminates if c.cell not in {p.cell for p in one.places}}
        if one.contradiction or not lost:
            continue
        seen += 1
        names = grid_of(one).layout.variable_names
        for level in ("line", "paragraph"):
            told = one.words(level=level)
            assert cannot(told.splitlines()[-1].split(": ")[-1], names) >= lost, told
            assert cannot(told.splitlines()[-1].split(": ")[-1].split(", so ")[-1], names) == lost, told
    assert seen


def test_suppositions_tell_who_is_supposed_and_what_follows() -> None:
    seen = 0
    for kind in ("diagonals", "king", "knight"):
        for one in found_on(kind):
            argument = one.inferences[0].argument
            if not isinstance(argument, Supposition):
                continue
            seen += 1
            supposed: Candidate = grid_of(one).candidate(argument.candidate)
            first, *inner, last = one.words().splitlines()
            assert first == f"Suppose that {supposed.cell} is {supposed.written}."
            assert inner
            assert [line.partition(". ")[0] for line in inner] == [str(n) for n in range(1, len(inner) + 1)]
            assert last == f"So {supposed.cell} loses {supposed.written}."
    assert seen
