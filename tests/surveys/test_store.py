"""What is kept, reused, refused, and what survives when a survey is stopped."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from surveys.lists import SMALL, small, usual

import deduce
from deduce.errors import GridError
from deduce.surveys import Level, Store, SurveyError, export, survey
from deduce.surveys.identity import identify
from deduce.surveys.levels import LOCKED, SINGLES
from deduce.surveys.store import ANSWERS

LADDER = [Level.of("naked", SINGLES[1:]), Level.of("singles", SINGLES)]


def everything(store):
    """All answers of a store, times left out."""
    return {kind: list(store.rows(kind)) for kind in ANSWERS}


def test_a_row_says_what_the_walk_says():
    line = usual(1, 21)[0]
    made = survey([line], workers=0, levels=[Level.of("all", deduce.patterns.PLAIN)])
    walk = deduce.walk(deduce.Grid.parse(line), order="catalogue")
    ((layout, puzzle, engine, question, *columns),) = made.store.rows("walk")
    row = dict(zip(ANSWERS["walk"], columns, strict=True))
    assert puzzle == line
    assert engine.startswith(deduce.__version__ + "+")
    assert layout == '"standard 9"'
    assert '"budget":null' in question
    names = [step.proof.pattern.name for step in walk.steps]
    ranks = [deduce.patterns.PLAIN.index(name) for name in names]
    hardest = names[ranks.index(max(ranks))]
    assert row["outcome"] == walk.outcome == "solved"
    assert row["steps"] == len(walk)
    assert row["effort"] == sum(step.proof.effort for step in walk.steps)
    assert row["hardest"] == hardest
    assert row["hardest_effort"] == max(s.proof.effort for s in walk.steps if s.proof.pattern.name == hardest)
    assert (row["depth"], row["open"]) == (0, 0)
    uses = deduce.surveys.questions.spec(row["uses"])
    assert uses == {name: names.count(name) for name in names}
    assert list(uses) == sorted(uses, key=deduce.patterns.PLAIN.index)


def test_a_stuck_row_says_where_and_what_would_go_on():
    line = usual(1, 11)[0]
    levels = [*LADDER, Level.of("more", [*SINGLES, "X-wing", "X-chain", "hidden pair"])]
    made = survey([line], workers=0, levels=levels)
    expected = []
    for level in levels:
        walk = deduce.walk(deduce.Grid.parse(line), level.patterns)
        row = next(r for r in export.rows(made) if r[5] == level.name)
        columns = dict(zip(export.COLUMNS, row, strict=True))
        assert (columns["outcome"], columns["open"]) == (walk.outcome, len(walk.grid.candidates()))
        proof = next(deduce.find(walk.grid, levels[-1].patterns), None)
        expected.append("" if walk.solved or proof is None else proof.pattern.name)
        assert columns["next"] == expected[-1]
    assert any(expected)


@pytest.mark.parametrize(
    ("text", "nodes", "expected"),
    [
        (small(1)[0], 100, "one"),
        ("1...............", 100, "several"),
        ("11..............", 100, "none"),
        (".................1", 100, None),
        ("................", 0, "unknown"),
    ],
)
def test_validity(text, nodes, expected):
    made = survey([text], workers=0, nodes=nodes, levels=LADDER, bad="skip")
    assert [row[-1] for row in made.store.rows("validity")] == ([] if expected is None else [expected])
    assert made.tally.bad == (expected is None)


def test_more_levels_ask_only_what_is_new(tmp_path):
    path = tmp_path / "kept.db"
    first = survey(small(30), workers=0, store=path, levels=LADDER)
    assert (first.tally.examined, first.tally.reused) == (30, 0)
    before = everything(first.store)
    again = survey(small(30), workers=0, store=path, levels=LADDER)
    assert (again.tally.examined, again.tally.reused) == (0, 30)
    wider = [*LADDER, Level.of("locked", [*SINGLES, *LOCKED])]
    more = survey(small(30), workers=0, store=path, levels=wider)
    asked = {number for _, number in more.asked.levels} - {number for _, number in first.asked.levels}
    assert len(asked) == 1
    new = {row[3] for row in more.store.rows("walk")} - {row[3] for row in before["walk"]}
    assert len(new) == 1
    rows = set(more.store.rows("walk"))
    assert set(before["walk"]) < rows
    assert len(rows) == len(before["walk"]) + 30
    fresh = survey(small(30), workers=0, levels=wider)
    for kind, answers in everything(more.store).items():
        # What would go on from the narrower ladder was another question.
        assert answers == sorted([*everything(fresh.store)[kind], *(before[kind] if kind == "further" else ())])


def test_one_level_under_two_names_is_asked_once():
    twice = [*LADDER, Level.of("again", reversed(SINGLES))]
    made = survey(small(5), workers=0, levels=twice)
    assert len(list(made.store.rows("walk"))) == 10
    solved = made.coverage().solved["puzzles"]
    assert solved["singles"] == solved["again"]


def test_repeated_puzzles_are_examined_once_and_counted_each_time():
    lines = [small(1)[0], small(2)[1], small(1)[0].replace(".", "0"), deduce.Grid.parse(small(1)[0])]
    made = survey(lines, workers=0, levels=LADDER, batch=1)
    assert (made.tally.records, made.tally.examined, made.tally.reused) == (4, 2, 2)
    count = made.coverage().counts["puzzles"]
    assert (count.records, count.puzzles, count.valid) == (4, 2, 4)


def test_rows_do_not_depend_on_order_batches_or_company():
    lines = [*small(40), "1...............", "11.............."]
    plain = survey(lines, workers=0, levels=LADDER)
    shuffled = random.Random(3).sample(lines, len(lines))
    for other in (
        survey(shuffled, workers=0, levels=LADDER, batch=7),
        survey(iter(lines), workers=0, levels=LADDER[::-1], batch=1),
    ):
        assert everything(other.store) == everything(plain.store)


def test_another_engine_is_asked_anew(tmp_path, monkeypatch):
    path = tmp_path / "kept.db"
    survey(small(3), workers=0, store=path, levels=LADDER)
    for module in ("questionnaire", "examine", "crew"):
        monkeypatch.setattr(f"deduce.surveys.{module}.engine", lambda: "another")
    made = survey(small(3), workers=0, store=path, levels=LADDER)
    assert made.tally.examined == 3
    assert {row[2] for row in made.store.rows("validity")} == {deduce.surveys.engine.engine(), "another"}


def test_the_engine_changes_with_its_sources(monkeypatch, tmp_path):
    from deduce.surveys import engine as module

    monkeypatch.setattr(deduce, "__file__", str(tmp_path / "__init__.py"))
    monkeypatch.setattr(module, "ROOMS", ("kernel.py", "links"))
    names = []
    (tmp_path / "kernel.py").write_text("x = 1\n")
    (tmp_path / "links").mkdir()
    for body in ("y = 1\n", "y = 1\r\n", "y = 2\n"):
        (tmp_path / "links" / "graph.py").write_bytes(body.encode())
        (tmp_path / "links" / "notes.txt").write_text(body)
        names.append(module.engine.__wrapped__())
    assert names[0] == names[1] != names[2]


def test_the_sources_of_the_engine_are_there():
    from deduce.surveys.engine import ROOMS

    package = Path(deduce.__file__).parent
    assert [room for room in ROOMS if not (package / room).exists()] == []


def test_a_changed_list_is_refused(tmp_path):
    with Store(tmp_path / "kept.db") as store:
        survey(small(3), workers=0, store=store, levels=LADDER)
        with pytest.raises(SurveyError, match="record 2 of the list 'puzzles' was another puzzle"):
            survey([small(1)[0], small(5)[4]], workers=0, store=store, levels=LADDER)
        made = survey([small(1)[0], small(5)[4]], workers=0, store=store, levels=LADDER, name="other")
        assert store.lists() == ("puzzles", "other")
        assert made.coverage(["other"]).lists == ("other",)
        with pytest.raises(SurveyError, match="no list 'third'"):
            made.coverage(["third"])


def test_a_mended_record_is_no_longer_bad_and_a_puzzle_does_not_become_bad_unnoticed(tmp_path):
    with Store(tmp_path / "kept.db") as store:
        lines = [small(1)[0], "11x"]
        assert [number for number, *_ in survey(lines, workers=0, store=store, levels=LADDER, bad="collect").bad()] == [
            2
        ]
        mended = survey(small(2), workers=0, store=store, levels=LADDER, bad="collect")
        assert mended.bad() == ()
        assert (mended.coverage().counts["puzzles"].records, mended.coverage().counts["puzzles"].bad) == (2, 0)
        with pytest.raises(SurveyError, match="record 2 of the list 'puzzles' was another puzzle"):
            survey(lines, workers=0, store=store, levels=LADDER, bad="collect")


def test_a_retry_leaves_the_troubles_of_other_lists_alone():
    troubles = {}
    with Store() as store:
        for retry in (False, True):
            for name, lines in (("one", usual(3)), ("two", usual(6)[3:])):
                lines = [*lines, lines[0]]
                hurried = {"store": store, "name": name, "seconds": 1e-7, "retry": retry}
                made = survey(lines, workers=0, batch=1, levels=LADDER, **hurried)
                assert (made.tally.examined, made.tally.reused) == (3, 1)
                troubles[name, retry] = {name: count.troubles for name, count in made.coverage().counts.items()}
        assert troubles["one", False] == {"one": 4}
        assert all(found == {"one": 4, "two": 4} for key, found in troubles.items() if key != ("one", False))
        settled = survey(usual(3), workers=0, levels=LADDER, store=store, name="one", retry=True).coverage()
        assert {name: count.troubles for name, count in settled.counts.items()} == {"one": 0, "two": 4}
        assert settled.answered["one"] == {"naked": 4, "singles": 4}


def test_a_store_that_cannot_be_written_or_read_is_named(tmp_path):
    path = tmp_path / "kept.db"
    with Store(path) as store:
        survey(small(40), workers=0, levels=LADDER, store=store)
        store.db.execute("PRAGMA query_only = 1")
        with pytest.raises(SurveyError, match=r"the store .*kept.db cannot be read or written \(attempt to write"):
            survey(small(50), workers=0, levels=LADDER, store=store)
    whole = path.read_bytes()
    path.write_bytes(whole[: 4096 * 3] + bytes(len(whole) - 4096 * 3))
    with pytest.raises(SurveyError, match=r"malformed.*or give the path of a new file"):
        survey(small(50), workers=0, levels=LADDER, store=path)


def test_foreign_files_are_refused(tmp_path):
    text = tmp_path / "text.db"
    text.write_text("not a database, but long enough to be looked at " * 50)
    with pytest.raises(SurveyError, match="cannot be used as a store"):
        Store(text)
    foreign = tmp_path / "foreign.db"
    with sqlite3.connect(foreign) as db:
        db.execute("CREATE TABLE t (x)")
    db.close()
    with pytest.raises(SurveyError, match="is no store"):
        Store(foreign)
    older = tmp_path / "older.db"
    with sqlite3.connect(older) as db:
        db.execute("PRAGMA user_version = 99")
    db.close()
    with pytest.raises(SurveyError, match="form 99"):
        Store(older)
    with pytest.raises(SurveyError, match="no folder"):
        Store(tmp_path / "nowhere" / "x.db")


def test_bad_records_are_raised_skipped_or_collected(tmp_path):
    lines = [small(1)[0], "11x", small(2)[1], "1" * 17]
    with pytest.raises(GridError, match=r"^line 2, column 4: .*3 cells found") as raised:
        survey(lines, workers=0, levels=LADDER)
    assert (raised.value.line, raised.value.column) == (2, 4)
    skipped = survey(lines, workers=0, levels=LADDER, bad="skip")
    assert (skipped.tally.records, skipped.tally.bad, skipped.bad()) == (2, 2, ())
    path = tmp_path / "some.txt"
    path.write_text("# heading\n" + "\n".join(lines) + "\n")
    collected = survey(path, workers=0, levels=LADDER, bad="collect")
    assert [(number, text) for number, _, text in collected.bad()] == [(3, "11x"), (5, "1" * 17)]
    assert all(reason for _, reason, _ in collected.bad())
    assert collected.coverage().counts["some"].bad == 2
    with pytest.raises(ValueError, match="give 'raise', 'skip' or 'collect'"):
        survey(lines, workers=0, bad="ignore")


@pytest.mark.parametrize("item", [None, float("nan"), b"1...", ["1..............."]])
def test_what_is_neither_text_nor_grid_is_a_bad_record(item):
    with pytest.raises(
        GridError, match=rf"line 2: .* of type {type(item).__name__} is no puzzle; give a text or a grid"
    ):
        survey([small(1)[0], item], workers=0, levels=LADDER)
    collected = survey([item, small(1)[0]], workers=0, levels=LADDER, bad="collect")
    assert (collected.tally.records, [number for number, *_ in collected.bad()]) == (1, [1])


def test_what_came_before_a_bad_record_is_kept(tmp_path):
    path = tmp_path / "kept.db"
    with pytest.raises(GridError):
        survey([*small(20), "x"], workers=0, levels=LADDER, store=path, batch=5)
    again = survey(small(20), workers=0, levels=LADDER, store=path)
    assert (again.tally.examined, again.tally.reused) == (0, 20)


def test_an_interrupt_keeps_what_was_answered(tmp_path):
    path = tmp_path / "kept.db"

    def interrupted():
        yield from small(20)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        survey(interrupted(), workers=0, levels=LADDER, store=path, batch=4)
    again = survey(small(20), workers=0, levels=LADDER, store=path)
    assert (again.tally.examined, again.tally.reused) == (0, 20)


PROGRAM = """
import sys
from deduce.surveys import survey
if __name__ == "__main__":
    survey(sys.argv[1], store=sys.argv[2], workers=int(sys.argv[3]), batch=5)
"""


@pytest.mark.parametrize("workers", [0, 2])
def test_a_killed_survey_goes_on_without_loss_or_repetition(tmp_path, workers):
    """The process is killed while it works; what is then in the store is whole batches, and the rest is added.

    Its workers end by themselves.
    """
    lines = tmp_path / "list.txt"
    lines.write_text("\n".join(usual(90)))
    path = tmp_path / "kept.db"
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, lines, path, str(workers)], start_new_session=True, stdout=subprocess.PIPE
    )
    counted = 0
    while counted < 10:
        assert process.poll() is None, "the survey ended before it was killed"
        time.sleep(0.01)
        if path.exists():
            db = sqlite3.connect(path, timeout=30)
            try:
                counted = db.execute("SELECT count(*) FROM took").fetchone()[0]
            except sqlite3.OperationalError:
                counted = 0  # the tables are not there yet
            finally:
                db.close()
    # The workers hold the pipe open; it ends when they have noticed that nobody needs them.
    os.kill(process.pid, signal.SIGKILL)
    process.communicate(timeout=120)
    with Store(path) as store:
        kept = everything(store)
        spent = dict(store.db.execute("SELECT puzzle, microseconds FROM took"))
        assert counted <= len(kept["validity"]) == len(spent) < 90
        made = survey(lines, store=store, workers=0)
        assert made.tally.examined == 90 - len(spent)
        assert made.tally.reused == len(spent)
        after = dict(store.db.execute("SELECT puzzle, microseconds FROM took"))
        assert spent.items() <= after.items(), "something was examined twice"
        fresh = survey(lines, workers=0)
        assert everything(store) == everything(fresh.store)
        assert set(kept["walk"]) < set(everything(store)["walk"])


def test_the_rules_of_a_layout_make_another_puzzle():
    """The same empty grid with and without cages, and with other totals, is three puzzles; only one has an answer."""
    solved = "1234341221434321"
    cages = [(r, c, int(solved[4 * r + c]) + int(solved[4 * r + c + 1])) for r in range(4) for c in (0, 2)]
    lines = [f"cage r{r + 1}c{c + 1} r{r + 1}c{c + 2} = {total}" for r, c, total in cages]
    given = ["1..............."]
    layouts = [deduce.Layout.parse(text) for text in ("grid 4", "\n".join(["grid 4", *lines]), "grid 4\n" + lines[0])]
    grids = [deduce.Grid.parse(line, layout) for layout in layouts for line in given]
    with Store() as store:
        made = survey(grids, store=store, workers=2, levels=LADDER)
        assert made.tally.troubles == 0
        rows = {row[0]: row[-1] for row in store.rows("validity")}
        assert {deduce.Layout.from_json(text): ways for text, ways in rows.items()} == {
            layout: ("none", "one", "several")[min(2, len(list(deduce.solutions(grid, 2))))]
            for layout, grid in zip(layouts, grids, strict=True)
        }
        assert len(rows) == 3


def test_two_layouts_in_one_survey():
    other = deduce.Layout.standard(6, (3, 2))
    grids = [deduce.Grid.parse("." * 35 + "1"), deduce.Grid.parse("." * 35 + "1", other), small(1)[0]]
    made = survey(grids, workers=0, levels=LADDER)
    assert len(list(made.store.rows("validity"))) == 3
    assert survey(small(1), workers=0, levels=LADDER, layout=SMALL).tally.records == 1
    assert survey(small(1), workers=0, levels=LADDER, layout=other, bad="skip").tally.bad == 1


def test_several_processes_may_open_a_new_store_at_once(tmp_path):
    """Threads with connections of their own stand for processes: SQLite treats them alike."""
    said = []

    def work(path, together):
        together.wait()
        try:
            with Store(path) as store:
                said.append(survey(small(5), workers=0, levels=LADDER, store=store).tally.records)
        except SurveyError as error:
            said.append(error)

    for turn in range(5):
        together = threading.Barrier(4)
        threads = [threading.Thread(target=work, args=(tmp_path / f"{turn}.db", together)) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert said == [5] * 20


def test_a_puzzle_that_two_processes_meet_at_once_is_one_puzzle(tmp_path):
    """The second has looked for the puzzle before the first commits, and writes after that."""
    path = tmp_path / "kept.db"
    identity = identify(small(1)[0])
    found = []

    def second():
        with Store(path) as store:
            found.append(store.register(number, 1, *identity))
            store.db.commit()

    with Store(path) as first:
        number = first.list_number("shared")
        puzzle = first.register(number, 1, *identity)
        thread = threading.Thread(target=second)
        thread.start()
        time.sleep(0.3)
        first.db.commit()
        thread.join()
    assert found == [puzzle]
