"""Two versions of the engine on the same collection: rates as ratios, and every puzzle whose result has changed.

    python benchmarks/compare_versions.py OLD [NEW] [--files FILE ...] [--limit N] [--csv FILE]

OLD and NEW are folders that hold a checkout, or revisions of this repository; NEW is by default the working tree.
Each version runs in an interpreter of its own, through `deduce.walk` alone, and the two take turns on the same few
puzzles, so that a busy machine slows both alike.  Levels are cut down to the patterns that both versions have, but for
`everything`, which is each version's own, with counting arguments and suppositions where it has them.  Puzzles that do
not have exactly one solution are left out and counted.  Exit code: 0 nothing changed, 1 something did.
"""

from __future__ import annotations

import argparse
import csv
import io
import json
import os
import subprocess
import sys
import tarfile
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from tables import COLLECTION, reader, table

from deduce import BudgetSpent, Grid, GridError, solutions
from deduce.surveys import cumulative
from deduce.surveys.levels import EVERY_PATTERN, EVERYTHING
from deduce.surveys.reading import called, source

ROOT = Path(__file__).parents[1]
TURN = 10
"""How many puzzles one version does before the other has its turn."""

NODES = 20_000
"""How many branchings counting the solutions of a puzzle may take."""

PROBE = """
import json, sys, time
import deduce
from deduce import patterns as known

names = getattr(known, "PLAIN", known.NAMES)
print(json.dumps({"names": names, "version": deduce.__version__}), flush=True)
for request in sys.stdin:
    request = json.loads(request)
    patterns = request["patterns"]
    answers = []
    start = time.perf_counter()
    for line in request["puzzles"]:
        try:
            walk = deduce.walk(deduce.Grid.parse(line), patterns)
        except Exception as error:
            said = type(error).__name__ + ": " + str(error).splitlines()[0]
            answers.append({"outcome": said, "steps": 0, "effort": 0, "uses": {}})
            continue
        proofs = [step.proof for step in walk.steps]
        uses = {}
        for proof in proofs:
            uses[proof.pattern.name] = uses.get(proof.pattern.name, 0) + 1
        effort = sum(proof.effort for proof in proofs)
        answers.append({"outcome": walk.outcome.value, "steps": len(proofs), "effort": effort, "uses": uses})
    print(json.dumps({"seconds": time.perf_counter() - start, "answers": answers}), flush=True)
"""


class Engine:
    """One version at work.

    Parameters
    ----------
    tree : Path
        The folder that holds the package.
    """

    def __init__(self, tree: Path) -> None:
        environment = {**os.environ, "PYTHONPATH": str(tree), "PYTHONHASHSEED": "0"}
        # Not isolated: the tree must come before an installed deduce, and the folder that we stand in must not.
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-c", PROBE],
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=tree,
        )
        said = self._read()
        # What is loaded on first use is loaded now.
        self.walk(["..24......1..2.."], None)
        self.names: list[str] = said["names"]
        self.version: str = said["version"]

    def walk(self, puzzles: list[str], patterns: list[str] | None) -> dict[str, Any]:
        """Return the answers for some puzzles and the seconds they took."""
        assert self._process.stdin is not None
        print(json.dumps({"puzzles": puzzles, "patterns": patterns}), file=self._process.stdin, flush=True)
        return self._read()

    def _read(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        if not line:
            raise SystemExit("a version has died; what it said stands above")
        found: dict[str, Any] = json.loads(line)
        return found

    def close(self) -> None:
        """Let it end."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait()
        self._process.stdout.close()


def main() -> int:
    """Compare and print."""
    parser = reader(__doc__)
    parser.add_argument("old")
    parser.add_argument("new", nargs="?", default=str(ROOT))
    parser.add_argument("--files", nargs="+", metavar="FILE", default=[str(COLLECTION)])
    parser.add_argument("--limit", type=int, metavar="N", help="only the first puzzles of each file")
    parser.add_argument("--csv", metavar="FILE", help="write every change")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        engines = [
            Engine(tree(name, Path(folder, side))) for side, name in (("old", options.old), ("new", options.new))
        ]
        try:
            changes = compare(engines, options)
        finally:
            for engine in engines:
                engine.close()
    if options.csv:
        with Path(options.csv).open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(("list", "puzzle", "level", "old", "new"))
            writer.writerows(changes)
    return 1 if changes else 0


def tree(name: str, folder: Path) -> Path:
    """Return the folder of a version, unpacked from the repository if it is named by a revision."""
    if Path(name, "deduce").is_dir():
        return Path(name).resolve()
    packed = subprocess.run(["git", "archive", name, "deduce"], cwd=ROOT, capture_output=True, check=False)
    if packed.returncode:
        raise SystemExit(f"{name} is neither a folder with a checkout nor a revision: {packed.stderr.decode().strip()}")
    with tarfile.open(fileobj=io.BytesIO(packed.stdout)) as archive:
        archive.extractall(folder, filter="data")
    return folder


def compare(engines: list[Engine], options: argparse.Namespace) -> list[tuple[str, str, str, str, str]]:
    """Walk every puzzle with both versions; print the tables and return the changes."""
    old, new = engines
    shared = [name for name in new.names if name in old.names]
    only = {"old": [n for n in old.names if n not in new.names], "new": [n for n in new.names if n not in old.names]}
    print(f"old {old.version}: {len(old.names)} patterns; new {new.version}: {len(new.names)}")
    for side, names in only.items():
        if names:
            print(f"only in the {side} version: {', '.join(names)}")
    levels: dict[str, list[str] | None] = {}
    for level in cumulative():
        kept = [name for name in level.patterns if name in shared]
        if level.name == EVERY_PATTERN:
            levels["every pattern that both have"] = shared
        elif level.name == EVERYTHING:
            levels[EVERYTHING] = None
        elif kept:
            levels[level.name] = kept
    changes = []
    rates, results = [], []
    for file in options.files:
        name = called(file)
        lines, left_out = read(file, options.limit)
        if left_out:
            print(f"{name}: {left_out} puzzles do not have exactly one solution and are left out")
        for level, patterns in levels.items():
            spent = [0.0, 0.0]
            solved = [0, 0]
            counted: Counter[str] = Counter()
            count = 0
            for turn, some in enumerate(lines[i : i + TURN] for i in range(0, len(lines), TURN)):
                answers: list[Any] = [None, None]
                for side in (0, 1) if turn % 2 else (1, 0):
                    said = engines[side].walk(some, patterns)
                    spent[side] += said["seconds"]
                    answers[side] = said["answers"]
                count += len(some)
                for line, before, after in zip(some, *answers, strict=True):
                    solved[0] += before["outcome"] == "solved"
                    solved[1] += after["outcome"] == "solved"
                    if before != after:
                        counted["outcome" if before["outcome"] != after["outcome"] else "course"] += 1
                        changes.append((name, line, level, brief(before, after), brief(after, before)))
            if count:
                milliseconds = [1e3 * seconds / count for seconds in spent]
                rates.append((name, level, *milliseconds, spent[0] / spent[1]))
                results.append((name, level, count, *solved, counted["outcome"], counted["course"]))
    table("Rates", ("list", "level", "old ms a puzzle", "new ms a puzzle", "new is faster by"), rates)
    heads = ("list", "level", "puzzles", "solved by old", "by new", "outcome changed", "only the course")
    table("Results", heads, results)
    if changes:
        table("Puzzles whose result changed", ("list", "puzzle", "level", "old", "new"), changes)
    return changes


def read(file: str, limit: int | None) -> tuple[list[str], int]:
    """Return the first puzzles of a file, and how many of them were left out."""
    found = source(file)
    kept: list[str] = []
    left_out = 0
    try:
        for count, (_, item) in enumerate(found):
            if count == limit:
                break
            if isinstance(item, str) and worth_walking(item):
                kept.append(item)
            else:
                left_out += 1
    finally:
        found.close()
    return kept, left_out


def worth_walking(line: str) -> bool:
    """Whether a line is a puzzle with one solution, or none at all: then both versions are to say what is wrong."""
    try:
        return len([*solutions(Grid.parse(line), 2, budget=NODES)]) == 1
    except GridError:
        return True
    except BudgetSpent:
        return False


def brief(answer: dict[str, Any], other: dict[str, Any]) -> str:
    """Return an answer in a few words, with the counts of the patterns that the other one uses more or less often."""
    uses = {**dict.fromkeys(other["uses"], 0), **answer["uses"]}
    counts = [f"{count} {name}" for name, count in uses.items() if count != other["uses"].get(name, 0)]
    return ", ".join([answer["outcome"], f"{answer['steps']} steps", f"effort {answer['effort']}", *counts])


if __name__ == "__main__":
    sys.exit(main())
