"""The two benchmark commands of surveys, on little input."""

import csv
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from surveys.lists import usual

ROOT = Path(__file__).parents[2]


def run(script, *arguments):
    return subprocess.run(
        [sys.executable, ROOT / "benchmarks" / script, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
    )


def cells(output, *start):
    """The cells of the printed rows that begin like this."""
    rows = [line.split("  ") for line in output.splitlines()]
    rows = [[cell.strip() for cell in row if cell.strip()] for row in rows]
    return [row for row in rows if row[: len(start)] == [*start]]


def test_a_list_is_set_beside_its_published_figures(tmp_path):
    """Fifty times one puzzle that singles do not solve is not the list of fifty whose name the file bears."""
    path = tmp_path / "euler96_50.txt"
    path.write_text("\n".join(usual(1, 11) * 50))
    page = tmp_path / "page.html"
    done = run("coverage.py", path, "--workers", 0, "--html", page)
    assert done.returncode == 1, done.stderr
    (singles,) = cells(done.stdout, "euler96_50", "singles", "0/50")
    assert singles == ["euler96_50", "singles", "0/50", "40/50", "0.00%", "80.00%", "DIFFERENT"]
    (refuted,) = cells(done.stdout, "euler96_50", "refutation of one candidate by singles", "50/50")
    assert refuted[-1] == "equal"
    assert page.read_text().startswith("<!DOCTYPE html>")


def test_a_list_that_nobody_published(tmp_path):
    path = tmp_path / "mine.txt"
    path.write_text("\n".join(usual(2)))
    done = run("coverage.py", path, "--workers", 0)
    assert done.returncode == 0, done.stderr
    assert "Puzzles solved by each level" in done.stdout
    assert "Beside the published figures" not in done.stdout


def test_whole_public_lists_match(collections):
    done = run("coverage.py", collections / "euler96_50.txt", "--workers", 0)
    assert done.returncode == 0, done.stdout
    beside = done.stdout.split("Beside the published figures")[1]
    assert [row[2:4] for row in cells(beside, "euler96_50")] == [
        [f"{n}/50", f"{n}/50"] for n in (12, 40, 44, 46, 49, 50, 50)
    ]


@pytest.fixture
def older(tmp_path):
    """A copy of the package."""
    tree = tmp_path / "older"
    shutil.copytree(ROOT / "deduce", tree / "deduce", ignore=shutil.ignore_patterns("__pycache__"))
    return tree


def test_equal_versions_are_told_to_be_equal(older, tmp_path):
    path = tmp_path / "mine.txt"
    path.write_text("\n".join(usual(12)))
    done = run("compare_versions.py", older, "--files", path, "--limit", 11)
    assert done.returncode == 0, done.stdout + done.stderr
    for row in cells(done.stdout.split("Results")[1], "mine"):
        assert row[2] == "11"
        assert row[3] == row[4]
        assert row[5:] == ["0", "0"]
    assert "Puzzles whose result changed" not in done.stdout


def test_what_a_version_changes_is_listed(older, tmp_path):
    """The older version has no naked pairs."""
    catalogue = older / "deduce" / "patterns" / "families.py"
    text = catalogue.read_text()
    assert '("naked pair", ' in text
    catalogue.write_text(text.replace('("naked pair", ', "("))
    path = tmp_path / "mine.txt"
    path.write_text("\n".join([*usual(10), "not a puzzle"]))
    changes = tmp_path / "changes.csv"
    done = run("compare_versions.py", older, "--files", path, "--csv", changes)
    assert done.returncode == 1, done.stdout + done.stderr
    assert "only in the new version: naked pair\n" in done.stdout
    with changes.open(newline="") as file:
        heads, *rows = csv.reader(file)
    assert heads == ["list", "puzzle", "level", "old", "new"]
    assert rows
    # The older version knows no naked pairs, so nothing differs but where everything includes them.
    assert {row[2] for row in rows} == {"everything"}
    for _, line, _, old, new in rows:
        assert line in usual(10)
        assert "naked pair" in old + new
    (summary,) = cells(done.stdout.split("Results")[1], "mine", "everything", "11")
    assert int(summary[5]) + int(summary[6]) == len(rows)


def test_what_is_no_version(tmp_path):
    done = run("compare_versions.py", tmp_path)
    assert done.returncode == 1
    assert "neither a folder with a checkout nor a revision" in done.stderr
