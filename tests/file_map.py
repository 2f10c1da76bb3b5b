"""The file map of DEVELOPERS.md: one line a file, each the first line of the file's own docstring.

``python tests/file_map.py`` writes it anew; a test holds that it is true.
"""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
START, END = "<!-- file map: written by tests/file_map.py -->\n", "<!-- end of the file map -->\n"
ORDER = (
    *(
        "errors",
        "kernel",
        "deadline",
        "positions",
        "effort",
        "window",
        "proof",
        "puzzle",
        "links",
        "solving",
        "exchange",
    ),
    *("patterns", "counting", "suppositions", "walks", "claims", "planning", "surveys", "words", "pictures", "pages"),
    *("commands", "__main__", "__init__"),
)
"""The rooms from the ground up."""

OTHER = {
    "deduce/exchange/FORMAT.md": "What proof documents mean and when a step holds; normative, its examples are run.",
    "deduce/exchange/deduce-proof-1.schema.json": "The JSON Schema of proof documents of version 1.",
    "deduce/exchange/deduce-proof-2.schema.json": "The JSON Schema of proof documents of version 2.",
    "deduce/puzzle/lantern_room.txt": "The demo puzzles, made by the project's own generator.",
    "deduce/pages/audit.css": "The style of an audit.",
    "deduce/pages/checked.js": "What tells on a page whether its own document is checked.",
    "deduce/pages/checker.mjs": "A second checker of proof documents, from FORMAT.md; runs in node and in pages.",
    "deduce/pages/compare.css": "The style of a comparison.",
    "deduce/pages/coverage.css": "The style of the tables and charts of a survey.",
    "deduce/pages/page.css": "The style that all pages have.",
    "deduce/pages/player.css": "The style of the step player.",
    "deduce/pages/stage.css": "The style of a walk's page of its own, of its stage and of the speaker's window.",
    "deduce/pages/stage.js": "The script of the stage and of the speaker's window.",
    "deduce/words/en/shows.json": "Labels of the step player, the stage and the charts.",
    "deduce/pages/player.js": "The script of the step player.",
    "benchmarks/collection.txt": "1,000 generated puzzles; `make_collection.py` makes them again.",
    "benchmarks/FIGURES.md": "What the benchmarks printed, each figure with its command.",
    "notebooks/first_steps.ipynb": "One step at once, then a walk, a story, and the next step.",
    "notebooks/walk_and_present.ipynb": "An evening, from puzzle to recording kit.",
    "notebooks/walk_and_present.html": "The same with its pictures, made by `jupyter nbconvert`.",
    "notebooks/layouts.ipynb": "Other boards and rules, and the text that describes them.",
    "notebooks/in_a_browser.html": "The library in a page, by Pyodide: a puzzle, a claim, picture and words.",
    "notebooks/shelf.txt": "Sixty puzzles of the project's own collection, which notebooks read.",
    "notebooks/skyscraper.svg": "The picture of the README, made by the library.",
    "notebooks/claims.ipynb": "Claims judged, a log audited, notes compared.",
    "notebooks/counting.ipynb": "Counting arguments: the least, all of them, and suppositions.",
    "notebooks/planning.ipynb": "Lines of deduction, stuck points, themes, comparisons.",
    "notebooks/coverage.ipynb": "How far patterns go, from a shelf of puzzles to a lesson plan.",
    "notebooks/problems.ipynb": "Problems of python-constraint.",
    "notebooks/proofs_from_another_tool.ipynb": "Proof documents written and read by other tools.",
    "notebooks/proof_viewer.html": "Another tool, which reads only the JSON, and checks what is dropped onto it.",
}
"""Files without a docstring."""


def first_line(path: Path) -> str:
    """Return what a Python file says that it is."""
    return (ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "").split("\n")[0]


def rows() -> list[str]:
    """Return one row for each file."""
    files = [path for path in (ROOT / "deduce").rglob("*") if path.is_file() and "__pycache__" not in path.parts]

    def place(path: Path) -> tuple[int, str]:
        room = path.relative_to(ROOT / "deduce").parts[0].removesuffix(".py")
        return ORDER.index(room) if room in ORDER else len(ORDER), str(
            path.with_name(path.name.replace("__init__", ""))
        )

    found = [path for path in sorted(files, key=place) if path.suffix == ".py" or str(path.relative_to(ROOT)) in OTHER]
    for folder, kinds in (("benchmarks", (".md", ".py", ".txt")), ("notebooks", (".html", ".ipynb", ".svg", ".txt"))):
        found += sorted(path for path in (ROOT / folder).iterdir() if path.suffix in kinds)
    told = []
    for path in found:
        name = str(path.relative_to(ROOT))
        said = first_line(path) if path.suffix == ".py" else OTHER.get(name, "")
        told.append(f"| `{name.replace('/__init__.py', '/')}` | {said.replace('|', '/')} |\n")
    return told


def written() -> str:
    """Return the guide with its map made anew."""
    guide = GUIDE.read_text(encoding="utf-8")
    before, rest = guide.split(START)
    after = rest.split(END)[1]
    return f"{before}{START}| file | what |\n|---|---|\n{''.join(rows())}{END}{after}"


if __name__ == "__main__":
    GUIDE.write_text(written(), encoding="utf-8")
