"""Coverage against plain walks, orders of lessons against all orders, and the forms in which both are printed."""

import csv
import io
import itertools
import json
import random
import sys
import xml.etree.ElementTree as ET
from collections import Counter
from decimal import Decimal
from html.parser import HTMLParser

import pytest
from surveys.lists import small, usual

import deduce
from deduce.counting.milp import Rows, maximum
from deduce.pages.survey import tables, write_csv
from deduce.patterns import PLAIN
from deduce.surveys import MissingExtra, Store, survey, with_each
from deduce.surveys.choice import BEYOND
from deduce.surveys.export import COLUMNS, rows, to_csv, to_pandas, to_parquet, to_polars
from deduce.surveys.levels import LOCKED, SINGLES, SUBSETS, cumulative
from deduce.surveys.order import exact_order, gain, greedy_order
from deduce.surveys.tables import Table

PATTERNS = (*SINGLES, *LOCKED, *SUBSETS, "X-wing", "skyscraper", "X-chain", "XY-chain")
COLUMNS_AT = {name: place for place, name in enumerate(COLUMNS)}
LISTS = {"first": [*usual(25), "11" + "." * 79, "." * 81, usual(1)[0]], "second": usual(25, 30)}


@pytest.fixture(scope="module")
def made():
    with Store() as store:
        for name, lines in LISTS.items():
            last = survey(lines, workers=0, store=store, name=name, patterns=PATTERNS, marginal=True, needs=True)
        yield last


@pytest.fixture(scope="module")
def coverage(made):
    return made.coverage()


def valid(name):
    return [grid for grid in map(deduce.Grid.parse, LISTS[name]) if len(list(deduce.solutions(grid, 2))) == 1]


def solved(name, patterns):
    return [deduce.walk(grid, patterns).solved for grid in valid(name)]


def test_what_the_lists_hold(coverage):
    assert coverage.lists == ("first", "second")
    first, second = coverage.counts["first"], coverage.counts["second"]
    assert (first.records, first.puzzles, first.valid, first.none, first.several) == (28, 27, 26, 1, 1)
    assert (second.records, second.valid, second.bad, second.troubles) == (25, 25, 0, 0)


@pytest.mark.parametrize("name", LISTS)
def test_solved_by_each_level(coverage, name):
    levels = cumulative(PATTERNS)
    assert len(levels) == 7
    for level in levels:
        assert coverage.solved[name][level.name] == sum(solved(name, level.patterns)), level
        assert coverage.answered[name][level.name] == len(valid(name))


def test_where_levels_are_stuck(coverage):
    assert list(coverage.stuck["second"]) == [level.name for level in cumulative(PATTERNS)[:-1]]
    for level in cumulative(PATTERNS)[:-1]:
        expected = Counter()
        for grid in valid("second"):
            walk = deduce.walk(grid, level.patterns)
            if not walk.solved:
                proof = next(deduce.find(walk.grid, PATTERNS), None)
                expected["" if proof is None else proof.pattern.name] += 1
        assert coverage.stuck["second"][level.name] == expected


def test_how_often_patterns_are_used(coverage):
    walks, steps, hardest = Counter(), Counter(), Counter()
    for grid in valid("first"):
        names = [step.proof.pattern.name for step in deduce.walk(grid, PATTERNS, order="catalogue").steps]
        hardest[max(names, key=PLAIN.index)] += 1
        steps.update(names)
        walks.update(set(names))
    assert coverage.uses["first"] == {name: (walks[name], steps[name]) for name in walks}
    assert coverage.hardest["first"] == hardest


def test_effort(coverage):
    walked = [deduce.walk(grid, SINGLES, order="catalogue") for grid in valid("second")]
    steps, effort, depth = coverage.effort["second"]["singles"]
    assert steps == pytest.approx(sum(map(len, walked)) / 25)
    assert effort == pytest.approx(sum(step.proof.effort for walk in walked for step in walk.steps) / 25)
    assert depth == 0


def test_what_each_pattern_adds(coverage):
    everything = [*solved("first", PATTERNS), *solved("second", PATTERNS)]
    base = [*solved("first", SINGLES), *solved("second", SINGLES)]
    assert list(coverage.marginal) == [name for name in deduce.patterns.PLAIN if name in PATTERNS[len(SINGLES) :]]
    for name in ("pointing pair", "hidden pair", "X-chain"):
        less = [n for n in PATTERNS if n != name]
        without = [*solved("first", less), *solved("second", less)]
        added = [*solved("first", (*SINGLES, name)), *solved("second", (*SINGLES, name))]
        lost = sum(a and not b for a, b in zip(everything, without, strict=True))
        won = sum(a and not b for a, b in zip(added, base, strict=True))
        assert coverage.marginal[name] == (lost, won), name
    assert any(lost for lost, _ in coverage.marginal.values())


def test_families_tell_what_every_set_of_patterns_solves(coverage):
    """The count that the smallest sets give is the count of plain walks, for sets of patterns picked at random."""
    assert coverage.incomplete == 0
    assert sum(coverage.families.values()) == 51
    rng = random.Random(8)
    for size in (0, 1, 2, 4, 6, 9):
        chosen = rng.sample(PATTERNS[2:], size)
        assert gain(coverage.families, chosen) == sum(sum(solved(name, (*SINGLES, *chosen))) for name in LISTS), chosen


def test_patterns_that_replace_each_other(coverage):
    """For every pair: the puzzles where a solving set with the one solves with the other instead, both ways."""

    def stands_for(sets, one, other):
        return any(
            one in names and other not in names and any({*more} <= {*names} - {one} | {other} for more in sets)
            for names in sets
        )

    assert coverage.replaces
    for (one, other), (both, either) in coverage.replaces.items():
        counted = [0, 0]
        for sets, weight in coverage.families.items():
            counted[1] += weight * any(one in names or other in names for names in sets)
            counted[0] += weight * (stands_for(sets, one, other) and stands_for(sets, other, one))
        assert (both, either) == tuple(counted)
        assert 0 < both <= either


def random_families(seed, names="abcdef"):
    rng = random.Random(seed)
    families = Counter()
    for _ in range(10):
        sets = {tuple(sorted(rng.sample(names, rng.randint(0 if rng.random() < 0.1 else 1, 3)))) for _ in range(3)}
        sets = [names for names in sets if not any({*other} < {*names} for other in sets)]
        families[tuple(sorted(sets[: rng.randint(0, 3)]))] += rng.randint(1, 5)
    return families


@pytest.mark.parametrize("seed", range(12))
def test_the_exact_order_is_the_best_of_all(seed):
    families = random_families(seed)
    best = exact_order(families, "abcdef")
    everyone = max(
        sum(gain(families, order[:lesson]) for lesson in range(1, len(order) + 1))
        for order in itertools.permutations(best.patterns)
    )
    assert (best.gain, best.bound, best.exact) == (everyone, everyone, True)
    assert best.solved == tuple(gain(families, best.patterns[:n]) for n in range(len(best.patterns) + 1))
    greedy = greedy_order(families, "abcdef")
    assert sorted(greedy.patterns) == sorted(best.patterns)
    assert greedy.gain <= best.gain <= greedy.bound


def test_greedy_is_not_always_best():
    families = {(("a", "b"),): 5, (("c",),): 1, (("d",),): 1}
    assert greedy_order(families, "abcd").gain < exact_order(families, "abcd").gain
    assert {*exact_order(families, "abcd").patterns[:2]} == {"a", "b"}


def test_nothing_to_teach():
    assert exact_order({((),): 4, (): 2}, "ab").solved == (4,)
    assert greedy_order({}, "ab").patterns == ()


def test_the_solver():
    """A knapsack of values 5, 4, 3 and weights 4, 3, 2 that holds 5; the best is 4 + 3, though 5 has the most."""
    rows = Rows()
    rows.add([(0, 4.0), (1, 3.0), (2, 2.0)], None, 5)
    found = maximum([5.0, 4.0, 3.0], rows, whole=3, seconds=10)
    assert [round(value) for value in found.values] == [0, 1, 1]
    assert found.bound == pytest.approx(7)
    relaxed = maximum([5.0, 4.0, 3.0], rows, whole=0, seconds=10)
    assert sum(v * w for v, w in zip(relaxed.values, (5, 4, 3), strict=True)) == pytest.approx(7)


def test_a_family_with_too_many_hitting_sets_gets_the_greedy_order():
    """Thirteen pairs without a pattern in common are hit by 8,192 smallest sets; a survey of them still has tables."""
    names = [chr(97 + i) for i in range(26)]
    families = {tuple((names[i], names[i + 1]) for i in range(0, 26, 2)): 1}
    order = exact_order(families, names)
    assert (order.patterns, order.gain) == (greedy_order(families, names).patterns, 25)
    assert order.method.startswith("greedy")
    assert not order.exact or order.bound == 25


# Printing


def test_tables_as_text_csv_and_html(coverage, tmp_path):
    found = tables(coverage)
    titles = [table.title for table in found]
    assert titles == [
        "Lists",
        "Puzzles solved by each level",
        "Walks by level",
        "Patterns used in walks of everything",
        "Where levels are stuck",
        "What each pattern adds",
        "Patterns that replace each other",
        "Order of lessons, greedy",
        "Order of lessons, exact",
    ]
    assert coverage.text().count("\n\n") == len(found) - 1
    paths = write_csv(coverage, tmp_path / "new" / "folder")
    assert len({path.name for path in paths}) == len(found)
    for path, table in zip(paths, found, strict=True):
        heads, *body = csv.reader(io.StringIO(path.read_text()))
        assert tuple(heads) == table.heads
        assert len(body) == len(table.rows)
    solved_rows = dict(zip(titles, found, strict=True))["Puzzles solved by each level"].rows
    solved = coverage.solved["first"]["naked singles"]
    assert solved_rows[0] == ("first", "naked singles", 26, solved, solved / 26)
    stuck = {row[:3]: 0 for row in dict(zip(titles, found, strict=True))["Where levels are stuck"].rows}
    for *where, _, count in dict(zip(titles, found, strict=True))["Where levels are stuck"].rows:
        stuck[tuple(where)] += count
    assert stuck
    assert all(count == total for (_, _, total), count in stuck.items())
    assert max(map(len, coverage.text().splitlines())) <= 100


def test_cells():
    table = Table.of("T <1>", ("a & b", "n"), [("x < y", 1234), ("", Decimal("2.50"))], "note > all")
    assert "x < y  1,234\n        2.50\nnote > all" in table.text()
    assert table.csv() == "a & b,n\nx < y,1234\n,2.50\n"
    assert "<caption>T &lt;1&gt;</caption>" in table.html()
    assert '<td class="n">1,234</td>' in table.html()
    assert Table.of("empty", ("a", "b"), []).text() == "empty\na  b\n-  -"


class Balanced(HTMLParser):
    """Sees that every element is closed, and collects what a page would load."""

    def __init__(self):
        super().__init__()
        self.open, self.loads = [], []

    def handle_starttag(self, tag, attrs):
        if tag not in ("meta", "br", "link"):
            self.open.append(tag)
        # "data:" is what carries its content in itself.
        outside = [value for name, value in attrs if name in ("src", "href") and not value.startswith(("#", "data:"))]
        self.loads += outside

    def handle_startendtag(self, tag, attrs):
        self.loads += [
            value for name, value in attrs if name in ("src", "href", "xlink:href") and not value.startswith("#")
        ]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_the_page_is_whole_and_loads_nothing(coverage):
    page = coverage.page()
    parser = Balanced()
    parser.feed(page)
    assert parser.open == []
    assert parser.loads == []
    assert page == coverage.page()
    charts = page.split("<figure>")[1:]
    assert len(charts) == 3
    for chart in charts:
        caption, svg = ET.fromstring(f"<figure>{chart.split('</figure>')[0]}</figure>")
        assert svg.get("role") == "img"
        assert svg.get("aria-label") == caption.text


def test_a_page_without_matplotlib_says_so(coverage, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    page = coverage.page()
    assert "drawing charts needs the package matplotlib" in page
    assert "<figure>" not in page
    assert page.count("<table>") == 9


# Beyond the catalogue


def test_everything_solves_what_patterns_do_not():
    """With few patterns allowed, counting arguments do the rest, and tables tell them apart from patterns."""
    lines = [*usual(3, 5), "." * 81, "11" + "." * 79]
    made = survey(lines, workers=0, patterns=[*SINGLES, *LOCKED, *BEYOND], marginal=True, needs=True)
    assert [*made.store.db.execute("SELECT kind, detail FROM troubles")] == []
    coverage = made.coverage()
    grids = [grid for grid in map(deduce.Grid.parse, lines) if len(list(deduce.solutions(grid, 2))) == 1]
    assert len(grids) == 3
    stuck = [walk.grid for walk in (deduce.walk(grid, [*SINGLES, *LOCKED]) for grid in grids) if not walk.solved]
    assert coverage.solved["puzzles"] == {
        "naked singles": sum(deduce.walk(grid, SINGLES[-1:]).solved for grid in grids),
        "singles": sum(deduce.walk(grid, SINGLES).solved for grid in grids),
        "singles and locked": 3 - len(stuck),
        "everything": 3,
    }
    assert 0 < len(stuck) < 3
    assert {*coverage.uses["puzzles"]} & {*BEYOND}
    assert coverage.stuck["puzzles"]["singles and locked"].total() == len(stuck)
    # What patterns add is measured without counting arguments, with which every puzzle comes out.
    assert {*coverage.marginal} == {*LOCKED}
    assert sum(not sets for sets in coverage.families.elements()) == len(stuck)
    outcomes = {(row[COLUMNS_AT["puzzle"]], row[COLUMNS_AT["level"]]): row[COLUMNS_AT["outcome"]] for row in rows(made)}
    assert outcomes["." * 81, "everything"] == "stuck"
    assert outcomes["." * 81, "singles and locked"] == "stuck"
    assert outcomes["11" + "." * 79, "everything"] == "impossible"


# Export


def test_rows_agree_with_the_coverage(made, coverage):
    found = [dict(zip(COLUMNS, row, strict=True)) for row in rows(made)]
    questions = 7 + len(PATTERNS[2:]) * 2
    assert len(found) == (28 + 25) * len({row["patterns"] for row in found})
    assert len({row["patterns"] for row in found}) <= questions
    for name in LISTS:
        here = [row for row in found if row["list"] == name and row["solutions"] == "one"]
        for level, count in coverage.solved[name].items():
            assert count == sum(row["outcome"] == "solved" for row in here if row["level"] == level)
    assert {row["layout"] for row in found} == {"9x9"}
    names = {row["level"]: json.loads(row["patterns"]) for row in found}
    for level in with_each(SINGLES, PATTERNS)[1:]:
        assert names.get(level.name, list(level.patterns)) == list(level.patterns)


def test_frames_and_files_hold_the_same_rows(made, tmp_path):
    import polars as pl

    expected = list(rows(made))
    frame = to_polars(made)
    assert frame.columns == list(COLUMNS)
    assert frame.rows() == expected
    assert [tuple(row) for row in to_pandas(made).itertuples(index=False)] == expected
    assert {str(kind) for name, kind in to_pandas(made).dtypes.items() if COLUMNS[name] is int} == {"int64"}
    to_parquet(made, tmp_path / "rows 'a'.parquet")
    assert pl.read_parquet(tmp_path / "rows 'a'.parquet").equals(frame)
    assert {row[-1] for row in expected} == {made.asked.engine}
    to_csv(made, tmp_path / "rows.csv")
    with (tmp_path / "rows.csv").open(newline="") as file:
        heads, *body = csv.reader(file)
    assert heads == list(COLUMNS)
    assert body == [[str(cell) for cell in row] for row in expected]


def test_jigsaws_are_told_by_their_regions():
    from strategies import minimal

    made = survey([minimal("5x5", 1)], workers=0)
    ((layout, *_),) = {row[2:] for row in rows(made) if row[5] == "everything"}
    assert deduce.Layout.from_json(layout).order == 5


@pytest.mark.parametrize(
    ("call", "package"), [(to_pandas, "pandas"), (to_polars, "polars"), (lambda made: to_parquet(made, "x"), "polars")]
)
def test_missing_packages_are_named(made, monkeypatch, call, package):
    for name in ("pandas", "polars"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(MissingExtra, match=f"pip install {package}"):
        call(made)


def test_zst_without_its_package(monkeypatch, tmp_path):
    path = tmp_path / "x.zst"
    path.write_bytes(b"")
    monkeypatch.setitem(sys.modules, "zstandard", None)
    with pytest.raises(MissingExtra, match=r"reading \.zst files needs the package zstandard"):
        survey(path)


def test_a_survey_of_small_puzzles_has_tables_too():
    made = survey(small(10), workers=0)
    assert made.coverage().solved["puzzles"]["everything"] == 10
    assert "Order of lessons" not in made.coverage().text()
