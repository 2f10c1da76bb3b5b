"""Two checkers, one of them in another language and from the text of the format alone, give the same verdicts."""

import json
import os
import random
import re
from pathlib import Path

import pytest
import test_rejects as museum
from exchange.material import course, suppositions, swaps
from exchange.second import CHECKER, NODE, differences, library, second
from exchange.test_format import EXAMPLES
from exchange.test_perturbed import damaged, pool
from hypothesis import given, settings
from puzzle.at_random import at_random
from puzzle.problems import worked
from strategies import LAYOUTS, minimal

import deduce
from deduce.errors import ExchangeError
from deduce.exchange import Document, proof_to_json

THOROUGH = bool(os.environ.get("DEDUCE_THOROUGH"))
GOLDEN = sorted((Path(__file__).parent / "golden").glob("*.json"))

pytestmark = pytest.mark.skipif(NODE is None, reason="the second checker is run by node, which is not installed")


def agree(texts):
    """Hold both checkers against each other; return how many documents each kind of verdict was given to."""
    assert differences(texts) == []
    found = [*map(library, texts)]
    refused = sum(isinstance(one, list) and "refused" in one for one in found)
    malformed = sum(isinstance(one, str) for one in found)
    return len(found) - refused - malformed, refused, malformed


def test_on_the_museum_and_on_golden_documents():
    told = [museum.text_of(museum.load(path)) for path in museum.LIES if "candidates" not in museum.load(path)]
    good = [path.read_text(encoding="utf-8") for path in (*museum.GOOD, *GOLDEN)]
    accepted, refused, malformed = agree([*told, *good])
    assert accepted > 20
    assert refused > 40
    assert malformed > 90


def test_on_the_examples_of_the_format():
    verdicts = second([text for _, text in EXAMPLES])
    for (kind, _), verdict in zip(EXAMPLES, verdicts, strict=True):
        assert (set(verdict) == {"verified"}) == (kind == "accepted"), verdict


def gathered(proofs, count):
    """Return documents of damaged proofs, as many as there are different ones among so many."""
    found = {}

    @settings(max_examples=count, database=None)
    @given(damaged(proofs))
    def gather(proof):
        try:
            found[proof_to_json(proof)] = None
        except ExchangeError:  # a position that documents have no words for
            return

    gather()
    return [*found]


def test_on_perturbed_documents():
    texts = gathered(pool, 20_000 if THOROUGH else 300)
    accepted, refused, _ = agree(texts)
    assert accepted > len(texts) // 50
    assert refused > len(texts) // 4


def test_on_perturbed_swaps():
    _, refused, _ = agree(gathered(swaps, 2_000 if THOROUGH else 60))
    assert refused


def ruled(seed):
    """Return the walk through a small grid with rules of every kind, whether they can be met or not."""
    text, givens, _ = at_random(seed)
    grid = deduce.Grid.of(givens, layout=deduce.Layout.parse(text))
    return Document.of_walk(deduce.walk(grid, trials=40)).to_json()


def test_on_layouts_with_rules():
    accepted, _, _ = agree([ruled(seed) for seed in range(600 if THOROUGH else 40)])
    assert accepted > 20


def test_on_rules_that_are_listed_wrongly():
    """A bound, a coefficient, a candidate or a whole constraint of a list is changed: neither checker believes it."""
    texts = []
    for seed in range(400 if THOROUGH else 40):
        value, dice = json.loads(ruled(seed)), random.Random(seed)
        items = [(rule, item) for rule in value["puzzle"].get("constraints", ()) for item in rule["linear"]]
        if not items:
            continue
        rule, item = dice.choice(items)
        token = dice.choice([*item["terms"]])
        # Pairs are listed with some overlap, so that a list may say the same with a term less.
        loose = rule["origin"]["kind"] in ("pair", "cells apart")
        change = dice.choice((1, 3) if loose else (0, 1, 2, 3))
        if change == 0:
            rule["linear"].remove(item)
        elif change == 1:
            item["terms"][token] += 1
        elif change == 2:
            del item["terms"][token]
        else:
            side = dice.choice([name for name in ("at least", "at most") if name in item])
            item[side] += 1 if side == "at least" else -1
        texts.append(json.dumps(value))
    assert agree(texts)[2] > len(texts) * 0.9


def test_on_problems():
    grids = [deduce.Grid.from_problem(made()) for made in (worked.market, worked.square, worked.timetable)]
    accepted, _, _ = agree([deduce.walk(grid).to_json() for grid in grids])
    assert accepted == len(grids)


def test_on_walks():
    shapes = {"9x9": 900, "6x6": 400, "5x5": 300, "4x4": 400} if THOROUGH else dict.fromkeys(LAYOUTS, 6)
    walks = [
        Document.of_walk(deduce.walk(minimal(shape, seed))).to_json()
        for shape, n in shapes.items()
        for seed in range(n)
    ]
    told = [deduce.walk(minimal("9x9", 3)).to_json(told=True)]
    further = [proof_to_json(proof) for proof in (*suppositions("6x6", 1), *swaps())]
    accepted, refused, malformed = agree([*walks, *told, *further])
    assert (refused, malformed) == (0, 0)
    assert accepted > 50


def test_on_members_taken_away_or_made_null():
    """Every member of a document with rules, one after the other."""
    text = (GOLDEN[0].parent.parent.parent / "rejects" / "good" / "rules.json").read_text(encoding="utf-8")
    places, texts = [], []

    def visit(node, path):
        if isinstance(node, (dict, list)):
            for key, item in node.items() if isinstance(node, dict) else enumerate(node):
                places.append((path, key))
                visit(item, (*path, key))

    visit(json.loads(text), ())
    for number, (path, key) in enumerate(places):
        if not THOROUGH and number % 5:
            continue
        # What is listed of rules is compared with their lines by the library alone.
        for change in (None, "away") if path[:2] != ("puzzle", "constraints") else (None,):
            value = holder = json.loads(text)
            for part in path:
                holder = holder[part]
            if change is None:
                holder[key] = None
            else:
                del holder[key]
            texts.append(json.dumps(value))
    assert agree(texts)[2] > len(texts) // 2


def test_a_step_that_was_touched_is_found():
    value = json.loads(course("9x9", 5).to_json())
    number = next(n for n, step in enumerate(value["steps"]) if "places" in step)
    token = value["steps"][number]["places"][0]
    text = json.dumps(value).replace(f'"{token}"', f'"{int(token[0]) % 9 + 1}{token[1:]}"')
    verdict = second([text])[0]
    assert isinstance(verdict, str) or "refused" in verdict


def test_the_second_checker_is_short_and_stands_alone():
    text = CHECKER.read_text(encoding="utf-8")
    lines = [line.strip() for line in re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL).splitlines()]
    assert sum(bool(line) and not line.startswith("//") for line in lines) <= 400
    assert "import " not in text
    assert max(map(len, lines)) <= 170
