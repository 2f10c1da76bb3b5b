"""How many small slips in each room its tests notice: a sample of mutmut's mutants, tried with the tests of their line.

    python benchmarks/mutants.py [--rooms ROOM ...] [--each 30] [--seed 0] [--jobs 2] [--map FILE]

Needs mutmut and coverage (the extra `bench`).  The suite runs once with coverage, which tells what runs each line and
how long each test takes (``--map`` keeps this from one run to the next); then each mutant is written into a copy of the
repository and the tests of its line run, those of its room and the quick ones first, until one fails.  A mutant of
which a test times out counts as noticed.  Those that live are listed, to be named as equivalent or given a test.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from random import Random

from tables import table

ROOT = Path(__file__).parent.parent
KEPT = (".ci", "deduce", "tests", "benchmarks", "notebooks", "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE")
SECONDS = 240
"""How long the tests of one mutant may take."""
MOST = 600
"""How many tests are tried on one mutant."""
ENOUGH = 60.0
"""How many seconds the tests of one mutant take together, as they were measured without it."""

RECORD = """
import json, os, sys, time
import coverage, pytest

class Contexts:
    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item):
        coverage.Coverage.current().switch_context(item.nodeid)
        start = time.perf_counter()
        try:
            return (yield)
        finally:
            took[item.nodeid] = time.perf_counter() - start

    def pytest_runtest_logreport(self, report):
        if report.failed:
            failed.append(report.nodeid)

    def pytest_sessionfinish(self):
        coverage.Coverage.current().switch_context("")

took, failed = {}, []
measured = coverage.Coverage(data_file=None, source=["deduce"], config_file=False)
measured.start()
pytest.main(sys.argv[2:], plugins=[Contexts()])
measured.stop()
data = measured.get_data()
files = {os.path.relpath(file): data.contexts_by_lineno(file) for file in data.measured_files()}
json.dump([files, took, failed], open(sys.argv[1], "w"))
"""


@dataclass(frozen=True)
class Tests:
    """What runs each line of each file, and the seconds that each test takes."""

    lines: dict[str, dict[int, list[str]]]
    took: dict[str, float]


@dataclass(frozen=True)
class Mutant:
    """A file of the package with one slip in it."""

    file: str
    line: int
    before: str
    after: str
    source: str


def main() -> None:
    """Print a table of rooms, then every mutant that lived."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rooms", nargs="*", help="by default every room")
    parser.add_argument("--each", type=int, default=30, help="mutants a room")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--map", type=Path, help="where what runs each line is kept; read where it exists")
    asked = parser.parse_args()
    every = sorted(f.name for f in (ROOT / "deduce").iterdir() if (f / "__init__.py").exists())
    tests = mapped(asked.map, asked.jobs)
    rows, lived = [], []
    for room in asked.rooms or every:
        mutants = sampled(room, asked.each, Random(f"{asked.seed} {room}"))
        with tempfile.TemporaryDirectory() as folder:
            noticed = tried(Path(folder), mutants, [chosen(mutant, room, tests) for mutant in mutants], asked.jobs)
        lived += [mutant for mutant, seen in zip(mutants, noticed, strict=True) if not seen]
        rows.append((room, len(mutants), sum(noticed), f"{sum(noticed) / len(mutants):.0%}"))
        print(*rows[-1], flush=True)
    table("Slips that tests notice", ("room", "mutants", "noticed", "share"), rows)
    for mutant in lived:
        print(f"\n{mutant.file}:{mutant.line}\n- {mutant.before.strip()}\n+ {mutant.after.strip()}")


def sampled(room: str, count: int, rng: Random) -> list[Mutant]:
    """Return mutants of a room, drawn evenly from all that there are."""
    from mutmut.mutation.file_mutation import create_mutations, deep_replace

    drawn = []
    for file in sorted((ROOT / "deduce" / room).rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        name = str(file.relative_to(ROOT))
        tree, mutations, _, _ = create_mutations(name, text)
        drawn += [(name, text, tree, mutation) for mutation in mutations]
    mutants = []
    for name, text, tree, mutation in rng.sample(drawn, min(count, len(drawn))):
        source = deep_replace(tree, mutation.original_node, mutation.mutated_node).code
        line, before, after = next(changes(text, source))
        mutants.append(Mutant(name, line, before, after, source))
    return mutants


def changes(text: str, other: str) -> Iterator[tuple[int, str, str]]:
    """Yield the lines that differ, by number."""
    pairs = zip(text.splitlines(), other.splitlines(), strict=False)
    for number, (before, after) in enumerate(pairs, 1):
        if before != after:
            yield number, before, after


def copied(folder: Path, name: str) -> Path:
    """Copy the repository, without what is made by running it."""
    copy = folder / name
    copy.mkdir()
    for part in KEPT:
        if (ROOT / part).is_dir():
            shutil.copytree(ROOT / part, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / part, copy / part)
    return copy


def run(copy: Path, *arguments: str, seconds: float | None = None) -> int | None:
    """Run Python in a copy and return its exit code; None once it takes too long."""
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "CI": "1"}
    try:
        return subprocess.run(
            [sys.executable, *arguments], cwd=copy, env=environment, capture_output=True, check=False, timeout=seconds
        ).returncode
    except subprocess.TimeoutExpired:
        return None


def mapped(kept: Path | None, jobs: int) -> Tests:
    """Return what runs each line: as it was kept, or measured now."""
    if kept is not None and kept.exists():
        lines, took = json.loads(kept.read_text(encoding="utf-8"))
        return Tests({file: {int(line): names for line, names in of.items()} for file, of in lines.items()}, took)
    with tempfile.TemporaryDirectory() as folder:
        tests = measured(Path(folder), jobs)
    if kept is not None:
        kept.write_text(json.dumps([tests.lines, tests.took]), encoding="utf-8")
    return tests


def measured(folder: Path, jobs: int) -> Tests:
    """Run the whole suite with coverage, part by part."""
    parts = sorted(f"tests/{f.name}" for f in (ROOT / "tests").iterdir() if f.is_dir() or f.name.startswith("test_"))
    found = Tests({}, {})

    def recorded(number: int) -> Path:
        copy, lines = copied(folder, f"measured {number}"), folder / f"lines {number}"
        run(copy, "-c", RECORD, str(lines), "-q", ([*parts, "deduce"])[number])
        shutil.rmtree(copy)
        return lines

    with ThreadPoolExecutor(jobs) as pool:
        for number, part in enumerate(pool.map(recorded, range(len(parts) + 1))):
            lines, took, failed = json.loads(part.read_text(encoding="utf-8"))
            print(
                f"{number + 1} of {len(parts) + 1}: {len(took)} tests, {sum(took.values()):.0f} s", *failed, flush=True
            )
            found.took.update(took)
            for file, tests in lines.items():
                of = found.lines.setdefault(file, {})
                for line, names in tests.items():
                    # A test that fails before anything was changed notices nothing.
                    of.setdefault(int(line), []).extend(name for name in names if name and name not in failed)
    return found


def chosen(mutant: Mutant, room: str, tests: Tests) -> list[str]:
    """Return tests of the line, those of the room and then the quickest first; of the file, if it runs on import."""
    of = tests.lines.get(mutant.file, {})
    names = of.get(mutant.line) or sorted({test for names in of.values() for test in names})
    total, best = 0.0, []
    for test in sorted(names, key=lambda test: (f"/{room}/" not in test, tests.took.get(test, 0.0), test))[:MOST]:
        total += tests.took.get(test, 0.0)
        if best and total > ENOUGH:
            break
        best.append(test)
    return best


def tried(folder: Path, mutants: list[Mutant], tests: list[list[str]], jobs: int) -> list[bool]:
    """Return for each mutant whether one of its tests failed on it."""
    copies: SimpleQueue[Path] = SimpleQueue()
    for number in range(jobs):
        copies.put(copied(folder, f"copy {number}"))

    def noticed(mutant: Mutant, names: list[str]) -> bool:
        if not names:
            return False
        copy = copies.get()
        place = copy / mutant.file
        text = place.read_text(encoding="utf-8")
        try:
            place.write_text(mutant.source, encoding="utf-8")
            return run(copy, "-m", "pytest", "-x", "-q", *names, seconds=SECONDS) != 0
        finally:
            place.write_text(text, encoding="utf-8")
            copies.put(copy)

    with ThreadPoolExecutor(jobs) as pool:
        return list(pool.map(noticed, mutants, tests))


if __name__ == "__main__":
    main()
