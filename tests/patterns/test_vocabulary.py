"""The vocabulary of patterns: families and levels mean the same wherever patterns are named."""

from __future__ import annotations

import pytest
from strategies import minimal

import deduce
from deduce.errors import PatternError, UniquenessError
from deduce.patterns import NAMES, PLAIN, UNIQUE, VOCABULARY, find
from deduce.patterns.vocabulary import FAMILIES, meant
from deduce.planning.plan import plan
from deduce.surveys.levels import LADDER, Level, cumulative, levels_of


def test_every_pattern_is_in_one_family() -> None:
    assert sorted(name for names in FAMILIES.values() for name in names) == sorted(NAMES)
    assert set(FAMILIES["unique"]) == UNIQUE
    wings = ("XY-wing", "XYZ-wing", "W-wing", "WXYZ-wing")
    assert FAMILIES["wings"] == wings
    assert FAMILIES["fish"][:1] == ("X-wing",)
    assert all("wing" in name or "fish" in name for name in FAMILIES["fish"])
    assert "Sue de Coq" in FAMILIES["sets"]


def test_no_chains_is_everything_plain_without_them() -> None:
    left = meant(["no chains"])
    assert {"X-wing", "W-wing", "ALS-XZ", "skyscraper"} <= set(left) <= set(PLAIN)
    assert not [name for name in meant(["no chains"], assume_unique=True) if "chain" in name or "loop" in name]
    assert "unique rectangle, one corner open" in meant(["no chains"], assume_unique=True)
    assert {"X-wing", "finned X-wing"} <= set(meant(["no wings"]))


def test_walks_finds_plans_and_levels_take_the_same_words() -> None:
    grid = minimal("9x9", 10)
    words = ["singles", "locked candidates", "subsets"]
    names = [*FAMILIES["singles"], *FAMILIES["locked candidates"], *FAMILIES["subsets"]]
    assert deduce.walk(grid, words).to_json() == deduce.walk(grid, names).to_json()
    assert [*find(grid, words)] == [*find(grid, names)]
    assert plan(grid, words, budget=50).walk == plan(grid, names, budget=50).walk
    assert Level.of("some", words) == Level.of("some", names)
    assert [level.name for level in levels_of(["singles", "no chains"])] == ["singles", "no chains"]
    assert levels_of(LADDER) == cumulative()
    beyond = deduce.walk(grid, ["everything"])
    assert beyond.patterns == deduce.walk(grid).patterns


def test_what_assumes_one_solution_has_to_be_allowed() -> None:
    grid = minimal("9x9", 10)
    with pytest.raises(UniquenessError):
        deduce.walk(grid, ["singles", "unique"])
    assert deduce.walk(grid, ["singles", "unique"], assume_unique=True).patterns == (
        *FAMILIES["singles"],
        *FAMILIES["unique"],
    )
    assert not UNIQUE & set(deduce.walk(grid, ["every pattern"]).patterns)


def test_a_word_that_is_nearly_right_is_named() -> None:
    with pytest.raises(PatternError, match=r"did you mean .*'no chains'"):
        deduce.walk(minimal("9x9", 10), ["no chain"])
    with pytest.raises(TypeError, match="give a list of names"):
        meant("singles")
    assert set(VOCABULARY) >= {"singles", "locked candidates", "subsets", "fish", "wings", "chains", "sets", "unique"}
