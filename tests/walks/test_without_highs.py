"""A walk where HiGHS cannot be had, as in a browser: it goes on by suppositions and says what it could not try."""

import json
import subprocess
import sys

import deduce

HARD = "........8..3...4...9..2..6.....79.......612...6.5.2.7...8...5...1.....2.4.5.....3"

PROGRAM = """
import json, sys
sys.modules["highspy"] = None
import deduce
from deduce.exchange import Document, verify
found = []
for names in (None, ["naked single", "hidden single", "counting argument"], ["naked single", "hidden single"]):
    walk = deduce.walk(deduce.Grid.parse(sys.argv[1]), names, budget=6)
    walk.check()
    assert Document.from_json(walk.to_json()).outcome == walk.outcome.value
    patterns = sorted({step.proof.pattern.name for step in walk.steps})
    found.append([walk.outcome.value, walk.untried, patterns, walk.words().rsplit("\\n", 1)[-1]])
print(json.dumps(found))
"""

SAID = "Counting arguments could not be tried: they need the package highspy, which cannot be loaded here."


def test_a_walk_says_what_it_could_not_try():
    run = subprocess.run([sys.executable, "-c", PROGRAM, HARD], capture_output=True, check=True, text=True)
    all_names, sums, singles = json.loads(run.stdout)
    assert all_names[1] == ["counting argument"]
    assert "supposition" in all_names[2]
    assert "counting argument" not in all_names[2]
    assert all_names[3].endswith(SAID)
    assert (sums[0], sums[1]) == ("stuck, not all tried", ["counting argument"])
    assert sums[3].endswith(SAID)
    assert singles[:2] == ["stuck", []]
    assert "could not be tried" not in singles[3]


def test_with_highs_nothing_is_left_untried():
    walk = deduce.walk(deduce.Grid.parse(HARD), budget=3)
    assert walk.untried == ()
    assert "could not be tried" not in walk.words()
