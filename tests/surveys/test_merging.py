"""Stores brought together: eight parts are one run, engines stay apart, and what does not agree is told."""

import pytest
from surveys.lists import small, usual

from deduce.pages.survey import tables
from deduce.surveys import Level, Store, SurveyError, merge, survey
from deduce.surveys.levels import LOCKED, SINGLES
from deduce.surveys.store import ANSWERS

LADDER = [Level.of("naked", SINGLES[-1:]), Level.of("singles", SINGLES), Level.of("locked", [*SINGLES, *LOCKED])]
OPTIONS = {"workers": 0, "levels": LADDER, "needs": True, "marginal": True, "bad": "collect"}


def everything(store):
    return {kind: list(store.rows(kind)) for kind in ANSWERS}


@pytest.fixture
def lines():
    return [*usual(20), *small(19), "not a puzzle", *usual(8)]


@pytest.mark.parametrize("order", [1, -1])
def test_eight_parts_are_one_run(tmp_path, lines, order):
    parts = [lines[6 * i : 6 * i + 6] for i in range(8)]
    for i, part in [*enumerate(parts)][::order]:
        survey(part, store=tmp_path / f"{i}.db", name="list", **OPTIONS)
    whole = survey(lines, store=tmp_path / "whole.db", name="list", **OPTIONS)
    paths = [tmp_path / f"{i}.db" for i in range(8)]
    merged = merge(paths, tmp_path / "all.db", name="list")
    assert merged.conflicts == ()
    assert len(merged.engines) == 1
    assert everything(merged.store) == everything(whole.store)
    bad = "SELECT number, reason, text FROM rejects ORDER BY number"
    found = [made.store.db.execute(bad).fetchall() for made in (merged, whole)]
    assert found[0] == found[1]
    assert [number for number, *_ in found[0]] == [40]
    assert merged.puzzles == len({line for line in lines if line[0] != "n"})
    assert merged.answers == sum(map(len, everything(whole.store).values()))
    again = survey(lines, store=merged.store, name="list", **OPTIONS)
    assert (again.tally.examined, again.tally.reused, again.bad()) == (0, 47, whole.bad())
    # Tables hold no times, so they are equal too.
    assert tables(again.coverage()) == tables(whole.coverage())


def test_merging_twice_changes_nothing(tmp_path):
    survey(small(10), store=tmp_path / "a.db", name="a", **OPTIONS)
    survey(small(14)[8:], store=tmp_path / "b.db", name="b", **OPTIONS)
    first = merge([tmp_path / "a.db", tmp_path / "b.db"], tmp_path / "all.db")
    held = everything(first.store)
    assert first.store.lists() == ("a", "b")
    second = merge([tmp_path / "b.db", tmp_path / "a.db"], first.store)
    assert (second.puzzles, second.answers, second.conflicts) == (0, 0, ())
    assert everything(first.store) == held
    assert [first.store.length(name) for name in "ab"] == [10, 6]


def test_what_does_not_agree_is_told_and_the_first_is_kept(tmp_path):
    line, other = small(2)
    one = survey([line], store=tmp_path / "a.db", **OPTIONS).store
    two = survey([other, line], store=tmp_path / "b.db", **OPTIONS).store
    puzzle = two.db.execute("SELECT id FROM puzzles WHERE text = ?", (line,)).fetchone()[0]
    two.db.execute("UPDATE validity SET solutions = 'several' WHERE puzzle = ?", (puzzle,))
    merged = merge([one, two], tmp_path / "all.db")
    assert [conflict[1:] for conflict in merged.conflicts] == [
        ("record", "record 1 of puzzles", line, other),
        ("validity", line, '["one"]', '["several"]'),
    ]
    assert {row[1]: row[-1] for row in merged.store.rows("validity")} == {line: "one", other: "one"}
    assert {conflict.store for conflict in merged.conflicts} == {str(tmp_path / "b.db")}


def test_engines_are_told_apart(tmp_path):
    survey(small(3), store=tmp_path / "a.db", **OPTIONS)
    with Store(tmp_path / "a.db") as old:
        old.db.execute("UPDATE questions SET engine = '0.0.9+older'")
        old.db.execute("UPDATE validity SET solutions = 'none'")
        old.commit()
    made = survey(small(3), store=tmp_path / "b.db", **OPTIONS)
    merged = merge([tmp_path / "a.db"], made.store)
    assert merged.conflicts == ()
    assert merged.engines == ("0.0.9+older", made.asked.engine)
    assert made.coverage().counts["puzzles"].valid == 3
    assert {row[2]: row[-1] for row in merged.store.rows("validity")} == {
        "0.0.9+older": "none",
        made.asked.engine: "one",
    }


def test_trouble_in_one_store_is_settled_by_another(tmp_path):
    line = usual(1, 11)[0]
    survey([line], store=tmp_path / "a.db", seconds=1e-9, **OPTIONS)
    survey([line], store=tmp_path / "b.db", **OPTIONS)
    merged = merge([tmp_path / "a.db", tmp_path / "b.db"], tmp_path / "all.db")
    assert merged.store.db.execute("SELECT count(*) FROM troubles").fetchone() == (0,)
    only = merge([tmp_path / "a.db"], tmp_path / "other.db")
    assert only.store.db.execute("SELECT count(*) FROM troubles").fetchone()[0] > 0


def test_what_is_no_store(tmp_path):
    (tmp_path / "text.db").write_text("no store")
    with pytest.raises(SurveyError, match="cannot be used as a store"):
        merge([tmp_path / "text.db"], tmp_path / "all.db")
    with pytest.raises(SurveyError, match="there is no file of the store"):
        merge([tmp_path / "nowhere.db"], tmp_path / "all.db")
    with Store() as unwritten, pytest.raises(SurveyError, match="there is no file"):
        merge([unwritten], tmp_path / "all.db")


def test_skipped_records_are_counted(tmp_path):
    made = survey([*small(2), "x"], workers=0, levels=LADDER, bad="skip")
    assert made.coverage().counts["puzzles"].bad == made.tally.bad == 1
    assert made.bad() == ()
