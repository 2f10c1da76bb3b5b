"""How far each level goes on lists that others published, by survey.

The figures were recomputed by an independent program to the fixpoint of each level.  Sources of the lists: the 50
puzzles of Project Euler problem 96; 95 hard puzzles popularised by an essay of P. Norvig; every third of 375 puzzles
that players collected as the hardest known in June 2011; every third of 1,465 hard puzzles used as a benchmark since
2005; every tenth of the 49,151 puzzles with 17 clues of G. Royle's list.
"""

import json
from math import sqrt

import pytest
from surveys import reference_levels
from surveys.lists import usual

from deduce.surveys import REFUTATION_LEVEL, cumulative, export, survey

DOTS = str.maketrans("0_*", "...")
LEVELS = (*cumulative()[:-2], REFUTATION_LEVEL)
WHOLE = {
    "euler96_50": (50, (12, 40, 44, 46, 49, 50, 50)),
    "hard_95": (95, (0, 0, 10, 15, 29, 29, 95)),
    "hardest_375_part": (125, (0, 0, 0, 0, 0, 0, 0)),
}
PARTS = {
    "hard_1465_part": (489, 1465, (0, 0, 60, 143, 308, 310, 1459)),
    "seventeen_clues": (4916, 49151, (0, 21905, 37373, 34464, 41646, 41665, 49151)),
}


def same_as_plain(lines):
    """Assert that survey and a plain program on sets agree on each puzzle and level; return what levels tell apart."""
    made = survey(lines, levels=LEVELS, workers=0)
    names = {json.dumps(level.patterns, separators=(",", ":")): level.name for level in LEVELS}
    ours = {}
    for row in export.rows(made):
        record = dict(zip(export.COLUMNS, row, strict=True))
        if record["patterns"] in names:
            ours.setdefault(record["puzzle"], {})[names[record["patterns"]]] = record["outcome"] == "solved"
    told = set()
    for line in lines:
        plain = reference_levels.solved(line)
        assert [ours[line][level.name] for level in LEVELS] == plain, line
        told.add(tuple(plain))
    return told


def test_levels_solve_what_a_plain_program_solves():
    assert len(same_as_plain(usual(24))) >= 4


@pytest.mark.thorough
@pytest.mark.parametrize(("name", "every"), [("hard_1465_part", 4), ("seventeen_clues", 16)])
def test_levels_solve_what_a_plain_program_solves_of_public_lists(collections, name, every):
    lines = [line.split()[0] for line in (collections / f"{name}.txt").read_text().splitlines() if line[:1] not in "#"]
    assert len(same_as_plain([line.translate(DOTS) for line in lines[::every]])) >= 5


@pytest.mark.parametrize("name", [*list(WHOLE)[:2], pytest.param("hardest_375_part", marks=pytest.mark.thorough)])
def test_whole_lists(collections, name):
    count, figures = WHOLE[name]
    coverage = survey(collections / f"{name}.txt", levels=LEVELS, workers=0).coverage()
    assert coverage.counts[name].records == coverage.counts[name].valid == count
    assert tuple(coverage.solved[name].values()) == figures


@pytest.mark.parametrize("name", PARTS)
@pytest.mark.thorough
def test_parts(collections, name):
    """Nothing, or everything, in the whole is the same in a part; other shares agree within chance."""
    count, whole, figures = PARTS[name]
    coverage = survey(collections / f"{name}.txt", levels=LEVELS).coverage()
    assert coverage.counts[name].valid == count
    for (level, solved), figure in zip(coverage.solved[name].items(), figures, strict=True):
        share = figure / whole
        print(f"{name}, {level}: {solved} of {count}, {solved / count:.4f}; whole list {share:.4f}")
        assert abs(solved / count - share) <= 4 * sqrt(share * (1 - share) / count) + 1e-12
