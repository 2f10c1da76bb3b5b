"""Pages: self-contained, complete without scripts, and a player with them."""

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from base64 import b64decode
from functools import cache
from html.parser import HTMLParser

from pictures.positions import GRIDS, PI, proof, thinned

import deduce
from deduce import Grid, Walk
from deduce.pages.player import MOST_OTHERS
from deduce.pictures import grid_bundle, page, proof_bundle, walk_bundle
from deduce.words.en.explain import explain, headline, notation, outcome
from deduce.words.en.shows import ALSO


class Reader(HTMLParser):
    """Collect elements, attributes and text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in {"meta", "link", "img", "br"}:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in {"script", "style"}:
            self.text += data

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


@cache
def walk() -> Walk:
    return deduce.walk(Grid.parse(PI))


@cache
def reader() -> Reader:
    return Reader(page(walk()))


def test_a_page_is_balanced_and_tells_every_step() -> None:
    read = reader()
    assert read.open == []
    said = " ".join(read.text.split())
    assert outcome(walk()) in said
    for number, step in enumerate(walk().steps, 1):
        assert f"{number}. {headline(step.proof)} (effort {step.proof.effort}) {explain(step.proof)}" in said
        for line in explain(step.proof, "full").split("\n"):
            assert line.partition(". ")[2] in said
    assert len(read.all("img")) == len(walk()) + 2
    assert len(read.all("details")) == 2 * len(walk()) + 2 + read.text.count(ALSO)


def test_a_page_tells_what_else_the_pattern_finds_at_a_step() -> None:
    step = walk().steps[0]
    found = dict.fromkeys(map(headline, deduce.find(step.before, [step.proof.pattern.name])))
    others = [other for other in found if other != headline(step.proof)]
    assert len(others) > 1
    assert f"{ALSO}{''.join(others[:MOST_OTHERS])}" in reader().text


def test_a_page_tells_what_other_patterns_find_at_a_step() -> None:
    used = {step.proof.pattern.name for step in walk().steps}
    told = 0
    for step, listed in zip(walk().steps, reader().text.split("(effort ")[1:], strict=True):
        own, _, also = listed.partition(ALSO)
        found = deduce.find(step.before, used - {step.proof.pattern.name})
        others = {headline(other) for other in found if other.pattern.name != step.proof.pattern.name}
        said = {other for other in others if other in also}
        assert bool(said) == bool(others), own
        told += bool(said)
    assert told > 5


def test_a_page_shows_written_chains() -> None:
    grid = GRIDS["XY-chain"]
    one = deduce.walk(grid, ["XY-chain"], budget=1)
    assert notation(one.steps[0].proof) in Reader(page(one)).text


def test_a_page_needs_nothing_from_outside() -> None:
    text = page(walk())
    read = reader()
    links = [value for _, attributes in read.elements for name, value in attributes.items() if name in {"src", "href"}]
    assert links
    assert all((link or "").startswith("data:") for link in links)
    assert not re.search(r"url\(|@import|fetch\(|XMLHttp|import\(", text)
    assert re.findall(r"https?:[^\s\"']*", text) == []
    assert not any("id" in attributes for _, attributes in read.elements)


def test_pictures_of_a_page_have_alternatives_and_are_svg() -> None:
    for image in reader().all("img"):
        alternative, source = image["alt"] or "", image["src"] or ""
        root = ET.fromstring(b64decode(source.removeprefix("data:image/svg+xml;base64,")))
        assert alternative == f"{root[0].text}. {root[1].text}"


def test_sixty_steps_fit_into_a_megabyte() -> None:
    size = len(page(walk()))
    assert len(walk()) > 40
    assert size / len(walk()) * 60 < 1_000_000


def test_steps_are_open_on_a_page_and_closed_in_a_notebook() -> None:
    assert sum("open" in details for details in reader().all("details")) == len(walk()) + 2
    shown = Reader(walk_bundle(walk())["text/html"])
    assert ["open" in details for details in shown.all("details")] == [True] + [False] * (2 * len(walk()) + 1)
    assert shown.all("section")[0]["data-lm-suppress-shortcuts"] == "true"


def test_a_page_of_a_dead_end() -> None:
    read = Reader(page(deduce.walk(thinned({"r4c7": ""}))))
    assert "The position has no solution: r4c7 has no candidate left." in read.text


def test_bundles() -> None:
    grid = Grid.parse(PI)
    assert set(grid_bundle(grid)) == {"image/svg+xml", "text/plain"}
    assert grid_bundle(grid)["text/plain"] == str(grid)
    made = proof_bundle(proof("XY-wing"))
    assert made["text/plain"] == f"{headline(proof('XY-wing'))}\n{explain(proof('XY-wing'))}"
    assert notation(proof("XY-wing")) in Reader(made["text/html"]).text
    assert made["image/svg+xml"].startswith("<svg ")
    assert grid._repr_mimebundle_() == grid_bundle(grid)
    assert proof("XY-wing")._repr_mimebundle_() == made
    assert walk()._repr_mimebundle_() == walk_bundle(walk())
    assert walk().page() == page(walk())


def test_pictures_are_loaded_only_when_asked_for() -> None:
    code = "import sys, deduce, deduce.pictures; print([m for m in sys.modules if m.startswith('deduce.pictures.')])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
