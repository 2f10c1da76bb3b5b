"""What the project promises about itself: rooms, sizes, names, and the same output on every run."""

import ast
import io
import os
import re
import subprocess
import sys
import tokenize
from pathlib import Path

import file_map

import deduce
import deduce.patterns

ROOT = Path(__file__).parent.parent


def code_lines(source):
    """Return how many lines hold code: no comment, no docstring, no blank."""
    documented = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
            documented.update(range(node.body[0].lineno, node.body[0].end_lineno + 1))
    skipped = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER}
    code = set()
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type not in skipped:
            code.update(range(token.start[0], token.end[0] + 1))
    return len(code - documented)


def python(program, **environment):
    """Run a program in a fresh interpreter and return what it printed."""
    finished = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, env={**os.environ, **environment}
    )
    return finished.stdout


def test_the_trusted_file_stays_small():
    assert code_lines("x = 1  # one\n\n\ndef f():\n    '''Two\n    lines.'''\n    return (\n        1\n    )\n") == 5
    assert code_lines((ROOT / "deduce" / "kernel.py").read_text()) <= 400


def test_a_public_class_name_has_one_home():
    homes = {}
    for file in sorted((ROOT / "deduce").rglob("*.py")):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes.setdefault(node.name, []).append(str(file.relative_to(ROOT)))
    assert len(homes) > 100
    assert {name: files for name, files in homes.items() if len(files) > 1} == {}


def test_the_kernel_loads_nothing_but_its_errors():
    program = "import deduce.kernel, sys; print(*sorted(m for m in sys.modules if m.startswith('deduce')))"
    assert python(program).split() == ["deduce", "deduce.errors", "deduce.kernel"]


def test_importing_the_package_is_light():
    program = "import deduce, sys; print('networkx' in sys.modules, 'constraint' in sys.modules)"
    assert python(program).split() == ["False", "False"]


def test_imports_point_down():
    finished = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert finished.returncode == 0, finished.stdout
    assert "4 kept, 0 broken" in finished.stdout


def test_public_names_exist_are_few_and_documented():
    assert len(deduce.__all__) <= 24
    for name in deduce.__all__:
        value = getattr(deduce, name)
        assert value.__doc__, name
        assert name in dir(deduce)
    # Nothing else shows: no helper, no import of the package's own.
    program = "import deduce; print(*(name for name in dir(deduce) if not name.startswith('__')))"
    shown = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout.split()
    rooms = {path.parent.name for path in (ROOT / "deduce").glob("*/__init__.py")}
    assert {*shown} == {*deduce.__all__, *rooms, "errors"} - {"commands"}


def test_every_name_of_the_readme_is_there_after_one_import():
    names = sorted(set(re.findall(r"`(deduce(?:\.[a-zA-Z_]+){2,})\b", (ROOT / "README.md").read_text())))
    assert {"deduce.walks.validity", "deduce.errors.OutOfTime"} <= {*names}
    program = f"import deduce; print(*[{', '.join(names)}], sep='\\n')"
    finished = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert finished.returncode == 0, finished.stderr


def test_every_public_name_is_used_in_a_test():
    tests = "\n".join(path.read_text() for path in (ROOT / "tests").rglob("*.py"))
    missing = [name for name in deduce.__all__ if not re.search(rf"\b{name}\b", tests)]
    assert not missing


def test_output_does_not_depend_on_the_hash_seed():
    program = (
        "import deduce\n"
        "from deduce.solving.generate import minimal_puzzle\n"
        "for grid in (minimal_puzzle(33),):\n"
        "    print(grid.pencil())\n"
        "    walk = deduce.walk(grid)\n"
        "    print(walk.words(), walk.steps[30].proof.picture(), sep='\\n')\n"
        "    for proof in deduce.find(walk.steps[len(walk.steps) // 4].before): print(proof, proof.inferences)\n"
        "    graph = deduce.link_graph(grid)\n"
        "    print(list(graph.edges(data=True, keys=True)))\n"
    )
    first, second = (python(program, PYTHONHASHSEED=seed) for seed in ("1", "4321"))
    assert first == second
    assert "skyscraper" in first.lower() or "chain" in first.lower()


def test_the_readme_and_ci_name_the_same_commands():
    readme = (ROOT / "README.md").read_text()
    commands = re.findall(r"^python3 -m venv .*$", readme, re.MULTILINE)
    assert len(commands) == 2
    assert "-m deduce " in commands[0]
    assert "-m pytest" in commands[1]


def test_every_pattern_is_in_the_developers_guide():
    guide = " ".join((ROOT / "DEVELOPERS.md").read_text().split())
    assert [name for name in deduce.patterns.NAMES if name not in guide] == []


def test_the_file_map_is_true():
    assert file_map.written() == file_map.GUIDE.read_text(encoding="utf-8"), "run: python tests/file_map.py"
    assert all(row.split("|")[2].strip() for row in file_map.rows())
