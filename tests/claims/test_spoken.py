"""Claims as people speak them: each is read as it was meant or refused with a sentence that helps, never read wrong."""

import json
import random
import re
from pathlib import Path

import pytest

from deduce import Grid
from deduce.claims.claim import Named, Question, WrittenChain
from deduce.claims.hearing import names_meant
from deduce.claims.printing import node_text, reading
from deduce.claims.text import parse_speech
from deduce.errors import ClaimError

SPOKEN = json.loads(Path(__file__).with_name("spoken.json").read_text(encoding="utf-8"))
GRID = Grid.parse(SPOKEN["puzzle"])
NINE = GRID.layout
QUESTIONS = {"what can stand": "cell", "where can": "house", "is this the easiest": "easiest", "what did": "needs"}


def heard(text):
    try:
        return parse_speech(NINE, text)
    except ClaimError as error:
        return error


def cells_in(text):
    return tuple(sorted({NINE.cell_at[int(r) - 1, int(c) - 1] for r, c in re.findall(r"r(\d)c(\d)", text)}))


def houses_in(text):
    """Houses such as "rows 3 and 7"; a reader of its own, so that what is tested does not vouch for itself."""
    found = set()
    for kind, numbers in re.findall(r"(row|column|box)(?:e?s)? ([\d, and]+)", text):
        found |= {h for h, house in enumerate(NINE.houses) if house.kind == kind and str(house.number) in numbers}
    return tuple(sorted(found))


def conclusions(text, sign):
    found = re.findall(rf"r(\d)c(\d) {sign} (\d)", text)
    return tuple(sorted(NINE.number(int(d), NINE.cell_at[int(r) - 1, int(c) - 1]) for r, c, d in found))


def meant(text):
    """What a reading of the corpus stands for."""
    for begin, kind in QUESTIONS.items():
        if text.startswith(begin):
            digits = re.search(r"can (\d) go", text)
            return kind, cells_in(text), (int(digits[1]),) if digits else (), houses_in(text)
    said, joint, reason = text.partition(" because ")
    if not joint and not re.match(r"r\dc\d (<>|=)", said):
        said, reason = "", text
    return conclusions(said, "<>"), conclusions(said, "="), reason_meant(reason)


def reason_meant(text):
    if not text:
        return None
    name, _, chain = text.rpartition(": ") if "(" in text else (text, "", "")
    if chain:
        return (re.sub(r"\s", "", chain), reason_meant(name))
    name, _, place = name.partition(" in ")
    told = re.fullmatch(r"(.*?)(?: (\d+))?((?: (?:pivot )?r\dc\d)*)", name)
    label = (("pivot", cells_in(told[3])),) if "pivot" in told[3] else ()
    digits = tuple(sorted(map(int, told[2] or "")))
    return Named(names_meant(told[1]), digits, cells_in(told[3]), houses_in(place), label)


def understood(found):
    if isinstance(found, Question):
        return found.kind, found.cells, found.digits if found.kind == "house" else (), found.houses
    reason = found.reason
    if isinstance(reason, WrittenChain):
        links = ["=" if strong else "-" for strong in reason.strong] + [""]
        nodes = [node_text(NINE, node) for node in reason.nodes]
        reason = ("".join(node + link for node, link in zip(nodes, links, strict=True)), reason.named)
    return found.eliminates, found.places, reason


@pytest.mark.parametrize("entry", SPOKEN["said"], ids=lambda entry: entry["text"])
def test_it_is_read_as_it_was_meant_or_refused(entry):
    found = heard(entry["text"])
    if "refused" in entry:
        assert isinstance(found, ClaimError), reading(NINE, found)
        assert entry["refused"] in str(found)
        assert found.expected
        return
    assert not isinstance(found, ClaimError), str(found)
    assert understood(found) == meant(entry["reads"])


def test_advice_names_the_cell_that_was_spoken_of():
    assert "such as r4c3 <> 6 or r4c3 = 9" in str(heard("r4c3 8"))


def test_every_reading_reads_as_itself():
    told = [found for found in (heard(entry["text"]) for entry in SPOKEN["said"]) if not isinstance(found, ClaimError)]
    assert len(told) > 220
    for found in told:
        again = heard(reading(NINE, found))
        assert not isinstance(again, ClaimError), (found.text, reading(NINE, found), str(again))
        assert understood(again) == understood(found)


FALSE = (
    "{c} can't be {d}",
    "remove {d} from {c}",
    "{d} falls in {c}",
    "{c} <> {d}",
    "no {d} in {c}",
    "{d} isn't in {c}",
)
TRUE = ("{c} is {d}", "{d} goes in {c}", "put {d} in {c}", "{c} has to be {d}", "{c} = {d}", "{d} in {c}")


@pytest.mark.parametrize("seed", range(40))
def test_sentences_put_together_at_random_are_read_as_they_were_made(seed):
    chance = random.Random(seed)
    read = 0
    for _ in range(25):
        parts, wanted = [], (set(), set())
        for _ in range(chance.randint(1, 4)):
            number = chance.randrange(NINE.order * NINE.cells)
            digit, cell = divmod(number, NINE.cells)
            true = chance.random() < 0.5
            parts.append(chance.choice(TRUE if true else FALSE).format(c=NINE.cell_name(cell), d=digit + 1))
            wanted[true].add(number)
        text = chance.choice((" and ", ", ", "; ")).join(parts)
        found = heard(text)
        if isinstance(found, ClaimError):
            assert "two ways" in str(found), text
            continue
        read += 1
        assert ({*found.eliminates}, {*found.places}) == wanted, text
    assert read > 15


@pytest.mark.parametrize("way", ["couldn't you just", "Couldn\u2019t we just", "cant u just", "can't I just"])
def test_a_way_that_somebody_would_rather_take_is_a_claim(way):
    assert reading(NINE, heard(f"{way} put 8 in r4c3?")) == "r4c3 = 8"
    assert reading(NINE, heard(f"{way} eliminate 8 from r4c3?")) == "r4c3 <> 8"
