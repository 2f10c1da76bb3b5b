"""The README's programs run, and what their comments promise is so."""

import re
from pathlib import Path

import deduce

README = (Path(__file__).parent.parent / "README.md").read_text()
LAYOUTS = re.findall(
    r"^```[a-z]*\n(.*?)^```$", README.split("### Layouts")[1].split("\n### ")[0], re.MULTILINE | re.DOTALL
)
PROGRAMS = re.findall(r"^```python\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_the_programs_run_one_after_the_other(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert len(PROGRAMS) == 4
    names = {}
    for program in PROGRAMS:
        # The frames of a whole walk take a minute; those of two steps show as much.
        exec(program.replace("walk.storyboard", "deduce.walk(grid, budget=2).storyboard"), names)
    walk, step = names["walk"], names["step"]
    said = dict(re.findall(r"^(.*?)\s{2,}# (.*)$", PROGRAMS[0], re.MULTILINE))
    assert len(list(deduce.solutions(names["grid"], limit=2))) == 1
    assert said["walk.outcome, len(walk)"] == f"{walk.outcome}, {len(walk)} steps"
    assert said["step.proof.pattern.name"] == repr(step.proof.pattern.name)
    assert said["print(step.proof.notation())"] == step.proof.notation()
    assert "the candidates 8r4c3 and 8r5c8" in said["step.proof.eliminates"]
    assert [str(candidate) for candidate in step.proof.eliminates] == ["8r4c3", "8r5c8"]
    assert names["verdict"].kind == "proved"
    assert (tmp_path / "walk.html").stat().st_size > 10_000
    assert len(list((tmp_path / "frames").glob("*.png"))) > 3
    assert step.proof.notation() in capsys.readouterr().out


def test_the_layouts_that_are_shown_are_read():
    assert len(LAYOUTS) == 3
    for text in LAYOUTS:
        layout = deduce.Layout.parse(text)
        assert deduce.Layout.parse(layout.text()) == layout
    assert len(re.findall("^grid", LAYOUTS[2], re.MULTILINE)) == 2
    assert layout.cells == 2 * 81 - 9
    assert len(list(deduce.solutions(deduce.Grid.empty(deduce.Layout.parse(LAYOUTS[1])), limit=1))) == 1
