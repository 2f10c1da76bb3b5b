"""The library in Pyodide: in node, and in the page that a presenter or another tool opens."""

import contextlib
import functools
import http.server
import json
import os
import re
import shutil
import subprocess
import threading
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

import deduce

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "notebooks" / "in_a_browser.html"
SESSION = re.search(r'<script type="text/x-python" id="session">(.*?)</script>', PAGE.read_text(), re.DOTALL)[1]
PUZZLE = "9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32.."
STUCK = "..38............822...5...45..678....4...5.......4.3.7..65..7....9.6....72...98.."
"""A puzzle beyond the named patterns: seed 6 of the project's generator."""

CLAIM = "r4c3 can't be 8 bc of the skyscraper in columns 2 and 7"
CHROMIUM = Path("/usr/bin/chromium")

NODE_PROGRAM = """
import { readFileSync } from "node:fs";
import { loadPyodide } from "FOLDER/pyodide.mjs";

const [program, asked] = JSON.parse(readFileSync(0, "utf-8"));
const python = await loadPyodide();
python.unpackArchive(new Uint8Array(readFileSync("FOLDER/deduce.zip")), "zip");
python.runPython(program);
const answer = python.globals.get("answer");
console.log(JSON.stringify(asked.map((values) => JSON.parse(answer(...values)))));
"""


@pytest.fixture(scope="module")
def web(tmp_path_factory):
    """Return a folder to serve, made as the README says from a Pyodide that is at hand; skip where there is none."""
    named = os.environ.get("DEDUCE_PYODIDE")
    there = Path(named) if named else ROOT / "web" / "node_modules" / "pyodide"
    if not (there / "pyodide.mjs").is_file():
        pytest.skip("no Pyodide: npm install --prefix web pyodide, or let DEDUCE_PYODIDE name its folder")
    folder = tmp_path_factory.mktemp("web")
    pyodide = folder / "node_modules" / "pyodide"
    shutil.copytree(there, pyodide)
    shutil.copy(PAGE, folder)
    with zipfile.ZipFile(pyodide / "deduce.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for package in (ROOT / "deduce", Path(find_spec("networkx").origin).parent):
            for path in sorted(package.rglob("*")):
                if path.is_file() and path.suffix != ".pyc":
                    archive.write(path, path.relative_to(package.parent))
    return folder


def test_the_readme_makes_that_folder():
    readme = (ROOT / "README.md").read_text()
    assert "npm install --prefix web pyodide && cp notebooks/in_a_browser.html web/" in readme
    assert "-m zipfile -c ../node_modules/pyodide/deduce.zip deduce networkx" in readme
    assert 'value="node_modules/pyodide/"' in PAGE.read_text()


def test_the_page_s_own_python_answers_here_too():
    names = {}
    exec(SESSION, names)
    told = json.loads(names["answer"]("claim", PUZZLE, 16, CLAIM))
    assert "Yes: 8 falls in r4c3, and your skyscraper shows it." in told["words"]
    assert told["picture"] == deduce.walk(deduce.Grid.parse(PUZZLE))[16].proof.picture()
    assert json.loads(names["answer"]("claim", PUZZLE, 0, "what can go in r4c3?"))["words"].endswith("4 by r4c2.")
    assert json.loads(names["answer"]("claim", "12345", 0, CLAIM))["words"].startswith("line 1")


def test_in_node(web):
    """Claims, steps and walks come out as they do here; without HiGHS a walk says what it could not try."""
    if not shutil.which("node"):
        pytest.skip("node is not installed")
    asked = [
        ("claim", PUZZLE, 16, CLAIM),
        ("claim", PUZZLE, 16, "r4c3 = 8"),
        ("claim", PUZZLE, 16, "what can go in r4c3?"),
        ("step", PUZZLE, 16, ""),
        ("story", PUZZLE, 0, ""),
    ]
    beyond = f"\nwalk = deduce.walk(deduce.Grid.parse({STUCK!r}))\n"
    beyond += "unlike = json.dumps([str(walk.outcome), walk.untried, walk.words()[-300:]])\n"
    beyond += "first, answer = answer, lambda *asked: unlike if asked[0] == 'beyond' else first(*asked)\n"
    finished = subprocess.run(
        ["node", "--input-type=module", "-e", NODE_PROGRAM.replace("FOLDER", str(web / "node_modules" / "pyodide"))],
        input=json.dumps([SESSION + beyond, [*asked, ("beyond",)]]),
        capture_output=True,
        text=True,
        check=False,
    )
    assert finished.returncode == 0, finished.stderr[-2000:]
    *told, (outcome, untried, words) = json.loads(finished.stdout)
    names = {}
    exec(SESSION, names)
    assert told == [json.loads(names["answer"](*values)) for values in asked]
    assert outcome in ("solved", "stuck")
    assert untried
    assert "HiGHS" in words or "highspy" in words


@contextlib.contextmanager
def served(folder):
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


@pytest.mark.filterwarnings("ignore")  # the driver's own warnings are not ours
def test_in_chromium(web):
    """The page as a person uses it: a claim judged, then a folder that is not there."""
    driver = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip("chromium is not installed")
    with driver.sync_playwright() as play, served(web) as address:
        browser = play.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1200, "height": 900})
        page.goto(f"{address}/in_a_browser.html")
        page.click("text=Judge the claim")
        page.wait_for_function("document.getElementById('status').textContent.startsWith('Answered')", timeout=120_000)
        assert "your skyscraper shows it" in page.inner_text("#words")
        assert page.get_attribute("#picture", "alt") == "Skyscraper: r4c3 and r5c8 lose 8"
        assert page.evaluate("document.getElementById('picture').naturalWidth") > 300
        shot = os.environ.get("DEDUCE_SHOT")
        if shot:
            page.screenshot(path=shot)
        page.fill("#folder", "elsewhere")
        page.click("text=Show the next step")
        page.wait_for_function("document.getElementById('status').textContent.startsWith('The folder')")
        browser.close()
