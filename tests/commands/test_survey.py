"""The command `survey`: what it prints, writes and returns, and what an interrupt from the keyboard does."""

import csv
import gzip
import io
import os
import signal
import sqlite3
import subprocess
import sys
import time

import pytest
from surveys.lists import small, usual

from deduce.commands import command
from deduce.commands.survey import COMMANDS
from deduce.errors import DeduceError, MissingExtra
from deduce.surveys.progress import Progress
from deduce.surveys.reading import Source, source


def run(*arguments):
    return command.run("survey", COMMANDS["survey"], [*map(str, arguments)])


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shelf.txt"
    path.write_text("\n".join(small(12)))
    return path


def test_tables_are_printed_and_written(file, tmp_path, capsys):
    other = tmp_path / "other.csv"
    other.write_text("n,start\n" + "".join(f"{n},{line}\n" for n, line in enumerate(usual(3))))
    page, folder, rows = tmp_path / "page.html", tmp_path / "tables", tmp_path / "rows.csv"
    arguments = ["--workers", 0, "--html", page, "--csv", folder, "--rows", rows, "--refutation"]
    assert run(file, other, *arguments, "--allow", "naked single; hidden single; X-wing") == 0
    printed = capsys.readouterr()
    assert "Puzzles solved by each level" in printed.out
    assert "refutation of one candidate by singles" in printed.out
    assert "shelf" in printed.out
    assert "other" in printed.out
    assert printed.err == ""
    assert page.read_text().startswith("<!DOCTYPE html>")
    assert (folder / "lists.csv").exists()
    with rows.open(newline="") as found:
        assert len(list(csv.reader(found))) == 1 + 15 * 4


def test_quiet_says_nothing_when_all_is_well(file, capsys):
    assert run(file, "--workers", 0, "--quiet", "--marginal", "--needs") == 0
    assert capsys.readouterr() == ("", "")


def test_a_store_is_used_again(file, tmp_path, capsys):
    store = tmp_path / "kept.db"
    for _ in range(2):
        assert run(file, "--workers", 0, "--store", store) == 0
    first, second = capsys.readouterr().out.split("Lists")[1:]
    assert first == second
    with sqlite3.connect(store) as db:
        assert db.execute("SELECT count(*) FROM took").fetchone() == (12,)
    db.close()


def test_stores_are_merged(file, tmp_path, capsys):
    other, parts = tmp_path / "other.txt", [tmp_path / "a.db", tmp_path / "b.db"]
    other.write_text("\n".join(usual(2)))
    for path, part in zip((file, other), parts, strict=True):
        assert run(path, "--workers", 0, "--store", part, "--quiet") == 0
    assert run(file, other, "--workers", 0) == 0
    together = capsys.readouterr()
    assert run("--merge", *parts, "--store", tmp_path / "all.db") == 0
    assert capsys.readouterr() == together
    with pytest.raises(DeduceError, match="--merge needs a place"):
        run("--merge", *parts)


def test_an_interrupt_while_tables_are_made_keeps_its_word(file, tmp_path, monkeypatch, capsys):
    def interrupted(_):
        raise KeyboardInterrupt

    monkeypatch.setattr("deduce.surveys.coverage.Coverage.text", interrupted)
    assert run(file, "--workers", 0, "--store", tmp_path / "kept.db") == 130
    assert capsys.readouterr().err == f"deduce: interrupted; what was answered is in {tmp_path / 'kept.db'}\n"


@pytest.mark.parametrize("output", ["--html", "--rows"])
def test_a_place_for_output_that_is_not_there_is_seen_before_the_work(file, tmp_path, output):
    with pytest.raises(DeduceError, match="there is no folder"):
        run(file, "--workers", 0, "--store", tmp_path / "kept.db", output, tmp_path / "nowhere" / "x.csv")
    assert not (tmp_path / "kept.db").exists()


def test_a_file_without_a_puzzle_is_mentioned(tmp_path, capsys):
    path = tmp_path / "empty.txt"
    path.write_text("# nothing yet\n")
    assert run(path, "--workers", 0, "--quiet") == 1
    assert capsys.readouterr().err == f"deduce: {path}: there is no puzzle in it\n"


def test_a_folder_that_cannot_be_made(file, capsys):
    with pytest.raises(DeduceError, match="cannot be written"):
        run(file, "--workers", 0, "--csv", file, "--quiet")


def test_files_of_one_name_are_two_lists(tmp_path, capsys):
    files = [tmp_path / folder / "set.1.txt" for folder in ("old", "new")] + [tmp_path / "set.2.txt"]
    for count, file in enumerate(files, 1):
        file.parent.mkdir(exist_ok=True)
        file.write_text("\n".join(small(6)[count:]))
    assert run(*files, "--workers", 0) == 0
    out = capsys.readouterr().out
    assert all(out.count(f"\n{name} ") > 1 for name in (*files[:2], "set.2"))


def test_bad_records(file, capsys):
    file.write_text(file.read_text() + "\nnot a puzzle\n")
    with pytest.raises(DeduceError, match=r"line 13.*--bad skip"):
        run(file, "--workers", 0)
    assert run(file, "--workers", 0, "--bad", "collect") == 0
    printed = capsys.readouterr()
    assert "1 bad record\n" in printed.err
    assert "record 13: " in printed.err


def test_troubles_show_in_the_exit_code(tmp_path, capsys):
    path = tmp_path / "hard.txt"
    path.write_text(usual(1, 11)[0])
    store = tmp_path / "kept.db"
    assert run(path, "--workers", 1, "--seconds", 1e-6, "--store", store) == 1
    assert "1 puzzle met trouble" in capsys.readouterr().err
    assert run(path, "--workers", 1, "--store", store, "--quiet") == 1
    assert run(path, "--workers", 1, "--store", store, "--retry") == 0


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--budget", "-1"], "--budget: -1 is below 0"),
        (["--workers", "-1"], "--workers: -1 is below 0"),
        (["--seconds", "0"], "--seconds 0"),
        (["--rows", "x.xls"], "end the name in .csv or .parquet"),
        (["--allow", "y-wing"], "no pattern is called 'y-wing'"),
        (["--column", "x"], "there is no file"),
        (["--html", "/nowhere/page.html"], "cannot be written"),
        (["--rows", "/nowhere/x.csv"], "cannot be written"),
        (["--allow", " ; "], "--allow names nothing"),
        (["--store", "/nowhere/x.db"], "no folder /nowhere"),
    ],
)
def test_complaints(file, arguments, sentence):
    name = "nowhere.txt" if "--column" in arguments else file
    with pytest.raises(DeduceError) as raised:
        run(name, *arguments, *(["--workers", "0"] if "--workers" not in arguments else []))
    assert sentence in str(raised.value)


PROGRAM = """
import signal, sys
from deduce.__main__ import main
if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell that starts tests with & has it ignored
    sys.exit(main())
"""


def test_an_interrupt_from_the_keyboard(tmp_path):
    """It reaches the whole group, as a terminal sends it; the command says what is kept, and leaves no process."""
    lines, store, program = tmp_path / "list.txt", tmp_path / "kept.db", tmp_path / "run.py"
    lines.write_text("\n".join(usual(600)))
    program.write_text(PROGRAM)
    command = [sys.executable, program, "survey", lines, "--store", store, "--workers", "2", "--quiet"]
    process = subprocess.Popen(command, start_new_session=True, stderr=subprocess.PIPE, text=True)
    counted = 0
    while not counted:
        assert process.poll() is None, process.stderr.read()
        time.sleep(0.02)
        if store.exists():
            with sqlite3.connect(store, timeout=30) as db:
                try:
                    counted = db.execute("SELECT count(*) FROM took").fetchone()[0]
                except sqlite3.OperationalError:
                    counted = 0  # the tables are not there yet
            db.close()
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert process.returncode == 130
    assert said == f"deduce: interrupted; what was answered is in {store}\n"
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)
    with sqlite3.connect(store) as db:
        kept = db.execute("SELECT count(*) FROM took").fetchone()[0]
        assert counted <= kept < 600
        assert db.execute("SELECT count(*) FROM walk").fetchone()[0] == 8 * kept
    db.close()


# Progress


def test_a_bar(monkeypatch):
    out = io.StringIO()
    monkeypatch.setattr(sys, "stderr", out)
    progress = Progress(Source("shelf", [], total=10), True)
    progress.more(10)
    progress.close()
    assert "shelf: 100%" in out.getvalue()
    assert "10/10" in out.getvalue()


def test_without_tqdm_a_bar_is_missed_only_by_who_asks_for_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "tqdm", None)
    assert Progress(Source("shelf", []), False).bar is None
    with pytest.raises(MissingExtra, match="showing progress needs the package tqdm"):
        Progress(Source("shelf", []), True)


@pytest.mark.parametrize("count", [30, 40_000])
@pytest.mark.parametrize(("ending", "end"), [(".txt", "\n"), (".txt", "\r\n"), (".csv.gz", "\n"), (".txt.zst", "\n")])
def test_the_size_of_a_file_is_guessed_from_what_was_read(tmp_path, count, ending, end):
    """Right from the first puzzles, however much of a plain file a buffer swallows; of short packed ones at the end."""
    path = tmp_path / f"list{ending}"
    pack = {".gz": gzip.compress, ".zst": lambda data: pytest.importorskip("zstandard").compress(data)}
    data = "".join(line + end for line in small(10) * (count // 10)).encode()
    path.write_bytes(pack.get(path.suffix, bytes)(data))
    found = source(path)
    assert found.expected() is None
    for read, _ in enumerate(found, 1):
        if read in (1, 20, count // 2):
            assert found.expected() is None if path.suffix in pack else count * 0.95 < found.expected() < count * 1.05
    assert found.expected() == count
    found.close()


def test_rate_and_time_left_count_from_the_first_puzzle_that_needs_work(monkeypatch):
    """A survey that goes on where it was stopped passes thousands of puzzles in a second; that is not its rate."""
    clock = [1000.0]
    monkeypatch.setattr("time.time", lambda: clock[0])
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    progress = Progress(Source("shelf", [], total=2000), True)
    progress.bar._time = time.time
    for _ in range(1000):
        progress.more(1, known=True)
        clock[0] += 0.001
    for _ in range(10):
        clock[0] += 1
        progress.more(10)
    shown = progress.bar.format_dict
    assert (shown["n"], shown["total"]) == (1100, 2000)
    assert shown["elapsed"] == pytest.approx(10, abs=0.01)
    assert "01:30" in str(progress.bar)
    progress.close()
