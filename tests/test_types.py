"""A typed program that uses the library passes strict checkers, and does what it says."""

import json
import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
import typed_client

import deduce

ROOT = Path(__file__).parent.parent
CLIENT = ROOT / "tests" / "typed_client.py"
EASY = "...2....3.....3..4.3....61..5..7.1.....5..3.6.93....42...7...8.812..........14..."
WRONG = """
import deduce

number: int = deduce.walk(deduce.Grid.parse("x")).page()
"""


@pytest.fixture
def programs(tmp_path):
    """Copies of the client and of a program with one error, which a checker must see and no other."""
    shutil.copy(CLIENT, tmp_path)
    (tmp_path / "wrong.py").write_text(WRONG)
    return tmp_path


def errors(command, folder):
    """Return the lines in which a checker complains."""
    environment = {**os.environ, "MYPYPATH": str(ROOT)}
    ran = subprocess.run(command, capture_output=True, text=True, check=False, env=environment, cwd=folder)
    assert ran.returncode == 1, ran.stdout + ran.stderr
    return [line for line in ran.stdout.splitlines() if " error: " in line]


def test_mypy_accepts_the_client(programs):
    (programs / "mypy.ini").write_text("[mypy]\nstrict = true\n")
    (seen,) = errors([sys.executable, "-m", "mypy", "typed_client.py", "wrong.py"], programs)
    assert seen.startswith("wrong.py:4: error: Incompatible types in assignment")


def test_pyright_accepts_the_client(programs):
    if find_spec("pyright") is None:
        pytest.skip("pyright is not installed")
    if not shutil.which("node"):
        pytest.skip("pyright needs node")
    settings = {"typeCheckingMode": "strict", "include": ["*.py"], "extraPaths": [str(ROOT)]}
    (programs / "pyrightconfig.json").write_text(json.dumps(settings))
    (seen,) = errors([sys.executable, "-m", "pyright", "--pythonpath", sys.executable], programs)
    assert "wrong.py:4:" in seen
    assert '"str" is not assignable to declared type "int"' in seen


def test_the_client_runs(tmp_path):
    small = typed_client.entered()
    assert (small.line()[0], small.line()[5]) == ("1", ".")
    grid = deduce.Grid.parse(typed_client.LINE)
    walk = typed_client.walked(grid)
    assert walk.solved
    assert typed_client.proved(grid).belongs_to(grid, next(iter(deduce.find(grid))))
    here = walk[16].before
    assert "8 falls in r4c3" in typed_client.answered(here)
    assert typed_client.counted(here) > 5
    assert typed_client.next_turn(grid).startswith("Look at")
    assert typed_client.planned(deduce.Grid.parse(EASY)).walk.solved
    assert set(typed_client.exchanged(walk)) == {"verified"}
    assert typed_client.surveyed([typed_client.LINE, grid], tmp_path) == {"mine": 0}
    assert "line 1" in str(typed_client.refused())
