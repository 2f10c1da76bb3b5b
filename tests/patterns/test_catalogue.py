"""The catalogue: every family says all that the rooms above ask of it, or why it has nothing to say."""

from __future__ import annotations

import ast
from collections import Counter
from functools import cache
from pathlib import Path
from typing import get_args

import pytest
from pictures.positions import GRIDS, proof

import deduce
from deduce.claims.text import parse_claim
from deduce.counting import name_argument
from deduce.kernel import Counting, Inference
from deduce.patterns import ALIASES, CATALOGUE, NAMES, UNIQUE, fault
from deduce.patterns.families import CONTRADICTION, family_of, mark_of
from deduce.patterns.finder import BY_CHAIN, NO_SWAPS, Family
from deduce.patterns.locked import EARLIER, LOCKED
from deduce.patterns.shape import ShapeReading
from deduce.pictures.scene import AreaRole, NoteRole
from deduce.suppositions.shrink import shrunk
from deduce.words.en.explain import TABLES, TELLERS

FAMILIES = (*CATALOGUE, CONTRADICTION)
EVERY = (*NAMES, *CONTRADICTION.names)

_SINGLE, _SETS, _GROUPS = "patterns/test_twins.py", "patterns/test_als.py", "patterns/test_groups.py"
_UNIQUE, _FINNED, _SUMS = "patterns/unique/test_twins.py", "patterns/test_finned.py", "patterns/test_sum_twins.py"
TWINS = {
    "last open cell": (_SINGLE, "test_last_open_cells"),
    "hidden single": (_SINGLE, "test_hidden_singles"),
    "naked single": (_SINGLE, "test_naked_singles"),
    **dict.fromkeys(LOCKED, (_SINGLE, "test_locked_candidates")),
    "sum bound": (_SUMS, "test_sums"),
    "leftover sum": (_SUMS, "test_sums"),
    "one rule alone": ("puzzle/problems/test_one_rule.py", "test_problems"),
    **{f"naked {size}": (_SINGLE, "test_naked_subsets") for size in ("pair", "triple", "quad")},
    **{f"hidden {size}": (_SINGLE, "test_hidden_subsets") for size in ("pair", "triple", "quad")},
    **dict.fromkeys(("X-wing", "swordfish", "jellyfish"), (_SINGLE, "test_fish")),
    "skyscraper": (_SINGLE, "test_skyscrapers"),
    "two-string kite": (_SINGLE, "test_two_string_kites"),
    "empty rectangle": (_GROUPS, "test_empty_rectangles"),
    "XY-wing": (_SINGLE, "test_wings_with_a_pivot"),
    "XYZ-wing": (_SINGLE, "test_wings_with_a_pivot"),
    "W-wing": (_SINGLE, "test_w_wings"),
    "unique rectangle, one corner open": (_UNIQUE, "test_one_corner_open"),
    "unique rectangle, exits on one digit": (_UNIQUE, "test_exits_on_one_digit"),
    "unique rectangle with strong links": (_UNIQUE, "test_strong_links_between_corners"),
    "unique rectangle with a locked set": (_UNIQUE, "test_locked_sets_and_chains_conclude_all_they_can"),
    "unique rectangle with chains": (_UNIQUE, "test_locked_sets_and_chains_conclude_all_they_can"),
    "avoidable rectangle": (_UNIQUE, "test_avoidable_rectangles"),
    "extended rectangle": (_UNIQUE, "test_every_exchange_keeps_all_totals"),
    "swap of 6 cells": (_UNIQUE, "test_every_exchange_keeps_all_totals"),
    "swap of 8 cells": (_UNIQUE, "test_every_exchange_keeps_all_totals"),
    "bivalue grid": (_UNIQUE, "test_every_exchange_keeps_all_totals"),
    "remote pairs": (_GROUPS, "test_remote_pairs"),
    **{
        f"{kind} {name}": (_FINNED, "test_finned_fish" if name != "jellyfish" else "test_finned_fish_on_a_full_grid")
        for kind in ("finned", "sashimi")
        for name in ("X-wing", "swordfish", "jellyfish")
    },
    "X-chain": (_SINGLE, "test_x_chains"),
    "XY-chain": (_SINGLE, "test_xy_chains"),
    "continuous loop": (_SINGLE, "test_continuous_loops"),
    "chain with both ends on one digit": (_SINGLE, "test_chains"),
    "chain with linked ends on different digits": (_SINGLE, "test_chains"),
    "chain that returns to its start": (_SINGLE, "test_chains"),
    "grouped X-chain": (_GROUPS, "test_grouped_x_chains"),
    "grouped chain": (_GROUPS, "test_chain_finders_are_complete"),
    "chain through almost locked sets": (_GROUPS, "test_chain_finders_are_complete"),
    "grouped loop": (_GROUPS, "test_loops_eliminate_all_that_they_can"),
    "loop through almost locked sets": (_GROUPS, "test_loops_eliminate_all_that_they_can"),
    "WXYZ-wing": (_SETS, "test_wxyz_wings"),
    "ALS-XZ": (_SETS, "test_als_xz"),
    "doubly linked ALS-XZ": (_SETS, "test_als_xz"),
    "ALS-XY-wing": (_SETS, "test_als_xy_wings"),
    "death blossom": (_SETS, "test_death_blossoms"),
    "Sue de Coq": (_SETS, "test_sue_de_coq"),
    "contradiction": (_SINGLE, "test_contradictions"),
}
"""For each pattern the test that compares its finder with a dull twin."""


@cache
def functions_in(path: str) -> set[str]:
    tree = ast.parse((Path(__file__).parents[1] / path).read_text(encoding="utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")}


def test_every_name_belongs_to_one_family() -> None:
    assert all(isinstance(family, Family) for family in FAMILIES)
    assert max(Counter(name for family in FAMILIES for name in family.names).values()) == 1
    assert all(family_of(name) is family for family in FAMILIES for name in family.names)
    assert family_of("no such pattern") is None


@pytest.mark.parametrize("name", EVERY)
def test_every_pattern_has_one_teller_and_one_twin(name: str) -> None:
    assert sum(name in table for table in TABLES) == 1
    assert name in TELLERS
    path, test = TWINS[name]
    assert test in functions_in(path)


def test_nothing_else_has_a_twin_here() -> None:
    assert [*TWINS.keys() - {*EVERY}] == []
    assert {*TELLERS} - {*EVERY} == {"counting argument", "supposition", *EARLIER}


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.names[0])
def test_every_field_says_something(family: Family) -> None:
    for field in (family.reads, family.why_not, family.shrinks):
        # A reason is a sentence; anything else can be called.
        assert len(field.split()) > 5 if isinstance(field, str) else isinstance(field, ShapeReading) or callable(field)
    assert (family.of_chain is not None) == (family.reads == BY_CHAIN)
    assert (family.reads == NO_SWAPS) == (family.names[0] in UNIQUE)
    marks = {"", *get_args(AreaRole), *get_args(NoteRole)}
    assert {*family.roles.values()} <= marks
    assert all(alias == alias.lower() for alias in family.aliases)


@pytest.mark.parametrize("name", EVERY)
def test_the_roles_of_a_pattern_are_those_of_its_family(name: str) -> None:
    found = proof(name)
    assert all(mark_of(name, role.name) is not None for role in found.pattern.roles)
    kinds = {"digits": {""}, "candidates": {"pattern", *get_args(NoteRole)}}
    for role in found.pattern.roles:
        assert mark_of(name, role.name) in kinds.get(role.kind, {"", *get_args(AreaRole)})


@pytest.mark.parametrize("name", [name for name in NAMES if family_of(name).reads != NO_SWAPS])
def test_every_pattern_is_read_from_its_own_sum(name: str) -> None:
    """The reader of the family gives the pattern back, unless a simpler name fits the sum."""
    found = proof(name)
    for inference in found.inferences:
        assert isinstance(inference.argument, Counting)
        again = name_argument(found.grid, inference)
        assert again.name in NAMES
        assert NAMES.index(again.name) <= NAMES.index(name)
        assert fault(deduce.Proof(found.grid, (inference,), again)) is None
        reads = family_of(name).reads
        if again.name == name and isinstance(reads, ShapeReading):
            assert {role.name for role in again.roles} == {role.name for role in found.pattern.roles}


@pytest.mark.parametrize("name", NAMES)
def test_a_story_survives_a_leaner_sum(name: str) -> None:
    found = proof(name)
    spare = tuple(_with_a_spare_rule(found.grid, inference) for inference in found.inferences)
    leaner = shrunk(deduce.Proof(found.grid, spare, found.pattern))
    assert leaner.inferences != spare
    assert leaner.pattern == found.pattern
    assert fault(leaner) is None


def _with_a_spare_rule(grid: deduce.Grid, inference: Inference) -> Inference:
    """Return the inference with a rule counted on both sides, which changes nothing."""
    argument = inference.argument
    if not isinstance(argument, Counting):
        return inference
    number = next(n for n in range(grid.layout.cells) if n not in dict((*argument.bases, *argument.covers)))
    bases, covers = ((*side, (number, 1)) for side in (argument.bases, argument.covers))
    return Inference(
        Counting(tuple(sorted(bases)), tuple(sorted(covers)), argument.swaps), inference.false, inference.true
    )


@pytest.mark.parametrize("alias", ALIASES)
def test_an_alias_names_patterns_in_a_claim(alias: str) -> None:
    assert alias not in {name.lower() for name in NAMES}
    assert [*ALIASES[alias]] == sorted(ALIASES[alias], key=NAMES.index)
    assert parse_claim(GRIDS["naked pair"].layout, f"{alias} on 5 in row 1").reason.names == ALIASES[alias]
