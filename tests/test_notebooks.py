"""Every notebook runs from top to bottom; each cell shows what a reader should see, and what is shown happens."""

import ast
import importlib
import re
import shutil
from html import unescape
from pathlib import Path

import pytest

import deduce

FOLDER = Path(__file__).parent.parent / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))

SHOWS = {
    "first_steps": "picture text player text text text picture text+value",
    "walk_and_present": (
        "text+picture text+player picture text text+picture text text text picture picture text text text"
    ),
    "claims": "picture text picture text text text text text text picture text text text text",
    "counting": "picture text text+picture text text text text+picture text",
    "coverage": "nothing text table text text text",
    "layouts": "picture player text+picture picture text+picture text+picture",
    "planning": "player text text text text+picture text text picture text text+picture",
    "problems": "nothing text+player text picture text text player text text text text text text",
    "proofs_from_another_tool": "nothing text picture text text+value text",
}
"""For each notebook what its cells of code show, in order."""

SAYS = {
    ("walk_and_present", 1): r"74 steps, of which the solution needs 66",
    ("walk_and_present", 6): r"(?s)Yes: 7 falls in r3c4, by an XY-chain.*No: .* can stand in r3c4",
    ("claims", 4): r"not a strong link: 8 can also go in r5c8 of box 6",
    ("claims", 8): r"'lamp' is no word that claims know",
    ("claims", 13): r"Seven clues conflict, and no fewer do",
    ("counting", 5): r"-3r3c1 +118 +109 +35\n",
    ("coverage", 1): r"everything +60 +54 +90.0%",
    ("coverage", 3): r"skyscraper +40 +5\n",
    ("coverage", 4): r"[1-9]\d* puzzles use it in [1-9]\d* steps; \d+ are lost without it; [1-9]\d* are won",
    ("coverage", 5): r"examined: 60 puzzles, and when asked again 0",
    ("layouts", 2): r"(?s)sum bound: .*leftover sum: ",
    ("planning", 1): r"steps: 66 -> 60; beyond singles: 8 -> 2",
    ("planning", 2): r"in 23 of 66 steps",
    ("planning", 4): r"proved best: 2 advanced steps",
    ("planning", 8): r"(?s)the only way.*or ",
    ("proofs_from_another_tool", 1): r"(?s)1 verified.*2 verified.*3 refused",
}
"""What must come out where a notebook shows that something happens."""

DAMAGED = re.compile(r"<[A-Za-z_.]+ (?:object )?at 0x|<Figure size|Traceback")


def kind(cell):
    """Return what a reader sees of the output of a cell."""
    seen = []
    for output in cell.outputs:
        assert output.output_type != "error"
        if output.output_type == "stream":
            assert output.name == "stdout", output.text
            assert not DAMAGED.search(output.text), output.text
            seen += ["text"]
            continue
        data = output.data
        page = data.get("text/html", "")
        if "<script" in page:
            seen.append("player")
        elif "<table" in page:
            seen.append("table")
        elif any(media.startswith("image/") for media in data) or "<svg" in page or "data:image/" in page:
            seen.append("picture")
        else:
            assert not page
            assert not DAMAGED.search(data["text/plain"]), data["text/plain"]
            seen.append("value")
    return "+".join(dict.fromkeys(seen)) or "nothing"


def printed(cell):
    return "".join(output.text for output in cell.outputs if output.output_type == "stream")


@pytest.fixture(scope="module")
def executed(tmp_path_factory):
    """Return a function that runs a notebook, once, beside the shelf that notebooks read."""
    import nbformat
    from nbclient import NotebookClient

    done = {}

    def run(path):
        if path not in done:
            folder = tmp_path_factory.mktemp(path.stem)
            shutil.copy(FOLDER / "shelf.txt", folder)
            notebook = nbformat.read(path, as_version=4)
            resources = {"metadata": {"path": folder}}
            NotebookClient(notebook, timeout=300, kernel_name="python3", resources=resources).execute()
            done[path] = [cell for cell in notebook.cells if cell.cell_type == "code"]
        return done[path]

    return run


@pytest.mark.filterwarnings("ignore")  # the kernel client's own warnings are not ours
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_each_cell_shows_what_a_reader_should_see(path, executed):
    cells = executed(path)
    assert [kind(cell) for cell in cells] == SHOWS[path.stem].split()
    for (name, number), said in SAYS.items():
        if name == path.stem:
            assert re.search(said, printed(cells[number])), printed(cells[number])


def sources():
    """Yield name and code of every cell of every notebook, as Python alone."""
    import nbformat

    for path in NOTEBOOKS:
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "code":
                assert cell.outputs == [], "outputs are stripped before a notebook is committed"
                yield path.stem, re.sub(r"^%.*$", "", cell.source, flags=re.MULTILINE)


def test_the_kept_page_is_the_notebook_and_needs_nothing_else():
    import rendered

    page = (FOLDER / f"{rendered.KEPT}.html").read_text(encoding="utf-8")
    shown = unescape(re.sub("<[^>]+>", "", page))
    for name, source in sources():
        if name == rendered.KEPT:
            assert "".join(source.split()) in "".join(shown.split()), "run: python tests/rendered.py"
    assert page.count("data:image/") >= 5
    assert not re.search(r"(src|href)=.?(https?:)?//|import\(|url\(", page)


def test_first_steps_shows_a_picture_at_once():
    assert SHOWS["first_steps"].split()[0] == "picture"


def test_notebooks_import_public_names_only():
    for name, source in sources():
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Import):
                assert not any(alias.name.startswith("deduce.") for alias in node.names), name
            elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "deduce":
                assert node.module.count(".") <= 1, (name, node.module)
                home = importlib.import_module(node.module)
                public = {*home.__all__, *(("counting",) if home is deduce else ())}
                assert {alias.name for alias in node.names} <= public | {"errors"}, (name, node.module)


def test_the_layouts_that_are_shown_are_read():
    cells = [source for name, source in sources() if name == "layouts"]
    texts = [text for source in cells for text in re.findall(r'"""(.*?)"""', source, re.DOTALL)]
    assert len(texts) == 3
    for text in texts:
        layout = deduce.Layout.parse(text)
        assert deduce.Layout.parse(layout.text()) == layout
    assert len(list(deduce.solutions(deduce.Grid.empty(deduce.Layout.parse(texts[1])), limit=2))) == 1


def test_the_shelf_is_of_the_project_s_own_making():
    from deduce.solving.generate import minimal_puzzle

    shelf = (FOLDER / "shelf.txt").read_text().splitlines()[1:]
    assert len(shelf) == 60
    for seed in (1, 30, 60):
        assert shelf[seed - 1] == minimal_puzzle(seed).line()
    shown = "\n".join(source for _, source in sources())
    for seed in (275, 97):
        assert minimal_puzzle(seed).line() in shown
