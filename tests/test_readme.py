"""The README is true: its programs run, its calls and commands are there, its links lead somewhere."""

import importlib
import re
import subprocess
import sys
from pathlib import Path

import pytest

import deduce
from deduce.__main__ import COMMANDS

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
PROGRAMS = re.findall(r"^```python\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
DEMO = ROOT / "deduce" / "puzzle" / "lantern_room.txt"
TABLE = [
    [cell.strip() for cell in line.strip("|").split("|")]
    for line in README.split("## What do you want to do?")[1].split("\n## ")[0].splitlines()
    if line.startswith("|") and not line.startswith(("|---", "| you want"))
]


def test_it_opens_with_the_job_and_a_picture_and_stays_short():
    assert README.index("You present hard") < README.index("notebooks/skyscraper.svg") < README.index("## Two commands")
    assert len(README.splitlines()) <= 171, "half of what it once was; figures and theory have places of their own"


def test_the_programs_run_one_after_the_other(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert len(PROGRAMS) == 2
    names = {}
    for program in PROGRAMS:
        # The frames of a whole walk take a minute; those of two steps show as much.
        exec(program.replace("walk.storyboard", "deduce.walk(grid, budget=2).storyboard"), names)
    walk, step = names["walk"], names["step"]
    said = dict(re.findall(r"^(.*?)\s{2,}# (.*)$", PROGRAMS[0], re.MULTILINE))
    assert len(list(deduce.solutions(names["grid"], limit=2))) == 1
    assert said["walk.outcome, len(walk)"] == f"{walk.outcome}, {len(walk)} steps"
    assert said["step = walk[16]"] == f"step {walk.steps.index(step) + 1}"
    assert said["step.proof.pattern.name"] == repr(step.proof.pattern.name)
    assert said["print(step.proof.notation())"] == step.proof.notation()
    assert said["step.proof.eliminates"] == "the candidates " + " and ".join(map(str, step.proof.eliminates))
    assert said['deduce.walk(grid, patterns=["singles", "X-wing"]).outcome'] == "stuck"
    assert (tmp_path / "walk.html").stat().st_size > 10_000
    assert len(list((tmp_path / "kit").glob("*.png"))) > 3
    printed = capsys.readouterr().out
    assert step.proof.notation() in printed
    assert "Yes: 8 falls in r4c3, and your skyscraper shows it." in printed


def test_the_picture_and_its_words_are_the_library_s_own():
    step = deduce.walk(deduce.Grid.parse(DEMO.read_text().splitlines()[9]))[16]
    kept = (ROOT / "notebooks" / "skyscraper.svg").read_text(encoding="utf-8")
    assert kept == step.proof.picture(), "draw it again with the command that the README names"
    assert f"*{step.proof.words()}*" in " ".join(README.split())


def test_every_call_of_the_table_is_there():
    calls = [row[1] for row in TABLE if row[1].startswith("`")]
    assert len(calls) >= 15
    walk = deduce.walk(deduce.Grid.parse(DEMO.read_text().splitlines()[9]), budget=1)
    homes = {"deduce": deduce, "walk": walk}
    for call in calls:
        home, *path = re.match(r"`([a-zA-Z_.]+)\(", call)[1].split(".")
        found = homes[home]
        for name in path:
            found = getattr(found, name) if hasattr(found, name) else importlib.import_module(f"deduce.{name}")
        assert callable(found), call


def test_every_command_of_the_table_is_one_and_knows_its_options(capsys):
    from deduce.__main__ import main

    commands = [command for row in TABLE for command in re.findall(r"`([^`]+)`", row[2])]
    assert {command.split()[0] for command in commands} >= COMMANDS.keys() - {"walk", "notes", "compare", "schema"}
    for command in commands:
        name = command.split()[0] if command.split()[0] in COMMANDS else "walk"
        with pytest.raises(SystemExit):
            main([name, "--help"])
        told = capsys.readouterr().out
        for option in re.findall(r"--[a-z-]+", command):
            assert option in told, command


def test_every_notebook_is_in_the_index():
    named = set(re.findall(r"notebooks/([a-z_]+\.(?:ipynb|html))", README))
    there = {path.name for path in (ROOT / "notebooks").iterdir() if path.suffix in (".ipynb", ".html")}
    assert there - {"proof_viewer.html"} <= named


def links(text):
    """Return where the links and pictures of a Markdown text lead."""
    return re.findall(r"\]\(([^)]+)\)", text) + re.findall(r'src="([^"]+)"', text)


def test_links_lead_somewhere():
    found = []
    for name in ("README.md", "DEVELOPERS.md", "benchmarks/FIGURES.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        titles = re.findall(r"^#+ (.*)$", text, re.M)
        headings = {re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-") for title in titles}
        found += [(name, link, headings) for link in links(text)]
    assert len(found) > 20
    for name, link, headings in found:
        assert link[1:] in headings if link[0] == "#" else (ROOT / name).parent.joinpath(link).exists(), (name, link)


@pytest.mark.filterwarnings("ignore")  # of the tools, not ours
@pytest.mark.parametrize("home", ["https://deduce.test/files", ""])
def test_an_index_can_show_it(home, tmp_path, monkeypatch):
    """The README in the metadata passes `twine check` and renders, with absolute links or none."""
    pytest.importorskip("twine", reason="twine is not installed")
    markdown = pytest.importorskip("readme_renderer.markdown", reason="readme-renderer[md] is not installed")
    pytest.importorskip("hatchling", reason="hatchling is not installed")
    monkeypatch.setenv("DEDUCE_HOME", home)
    built = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(built, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    checked = subprocess.run(
        [sys.executable, "-m", "twine", "check", "--strict", str(wheel)], capture_output=True, text=True, check=False
    )
    assert checked.returncode == 0, checked.stdout
    import zipfile

    with zipfile.ZipFile(wheel) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith("METADATA"))
        head, text = archive.read(name).decode().split("\n\n", 1)
    assert ("Project-URL: Source, " + home in head) == bool(home)
    page = markdown.render(text)
    assert page is not None
    assert "<table>" in page
    leads = [link for link in re.findall(r'(?:href|src)="([^"]+)"', page) if link[0] != "#"]
    assert bool(leads) == bool(home)
    assert all(link.startswith(f"{home}/") and (ROOT / link[len(home) + 1 :]).exists() for link in leads)
