"""The corpus of claims: every one judged as its making calls for, and every truth confirmed by a SAT solver."""

import json
import re
from functools import lru_cache
from pathlib import Path

import pytest
from claims.oracle import entailed, first_fault, is_solution

import deduce
from deduce.claims.claim import WrittenChain
from deduce.claims.verdict import Kind
from deduce.errors import ClaimError
from deduce.puzzle.layout import Layout
from deduce.walks import judge, parse_claim

CORPUS = json.loads(Path(__file__).with_name("corpus.json").read_text())
CLAIMS = [entry for entry in CORPUS if entry["verdict"] != "malformed"]


@lru_cache(maxsize=256)
def position(order, text):
    return deduce.Grid.parse(text, Layout.standard(order))


def of(entry):
    return position(entry["order"], entry["position"])


@lru_cache(maxsize=256)
def judged(number):
    entry = CLAIMS[number]
    # Claims that are to stay unproved were made with a limit, which leaves no room for counting either.
    if "steps" in entry:
        return judge(of(entry), entry["claim"], steps=entry["steps"], trials=0)
    return judge(of(entry), entry["claim"])


def test_the_corpus_is_large_and_mixed():
    kinds = [entry["verdict"] for entry in CORPUS]
    assert len(CORPUS) >= 120
    assert len({(entry["position"], entry["claim"]) for entry in CORPUS}) == len(CORPUS)
    assert all(kinds.count(kind) >= least for kind, least in
               {"proved": 50, "broken": 30, "refuted": 40, "unproved": 5, "malformed": 15}.items())  # fmt: skip
    assert sum(entry.get("link", 0) > 0 for entry in CORPUS) >= 25


@pytest.mark.parametrize(
    "entry", [e for e in CORPUS if e["verdict"] == "malformed"], ids=lambda e: e["claim"] or "empty"
)
def test_what_cannot_be_read_is_pointed_at(entry):
    with pytest.raises(ClaimError) as caught:
        judge(of(entry), entry["claim"])
    assert (caught.value.line, caught.value.column) == (1, entry["column"])
    assert caught.value.expected


@pytest.mark.parametrize("number", range(len(CLAIMS)))
def test_it_is_judged_as_it_was_made(number):
    entry, verdict = CLAIMS[number], judged(number)
    assert verdict.kind.value == entry["verdict"], verdict.words()
    if "link" in entry:
        assert verdict.fault.link == entry["link"], verdict.words()
    if "fault" in entry:
        assert verdict.fault.kind.value == entry["fault"]
    if verdict.fault and verdict.fault.link:
        assert entry["claim"][slice(*verdict.fault.span)].count("r") >= 2
    verdict.check()


LIMITED = [entry for entry in CLAIMS if entry["verdict"] == "unproved"]


@pytest.mark.parametrize("number", range(len(LIMITED)))
def test_without_a_limit_everything_true_is_proved(number):
    entry = LIMITED[number]
    verdict = judge(of(entry), entry["claim"])
    assert verdict.kind is Kind.PROVED, verdict.words()
    verdict.check()


@pytest.mark.parametrize("number", range(len(CLAIMS)))
def test_a_sat_solver_agrees_on_what_is_true(number):
    entry, verdict = CLAIMS[number], judged(number)
    grid, claim = verdict.grid, verdict.claim
    possible, true = entailed(grid, claim.eliminates, claim.places)
    assert possible
    assert claim.candidates
    assert verdict.true is true
    assert (verdict.kind is Kind.REFUTED) == (not true), entry["claim"]
    if verdict.kind is Kind.REFUTED:
        assert is_solution(grid, verdict.counter)
        assert verdict.false
        assert all((verdict.counter.true >> c & 1) == (c in claim.eliminates) for c in verdict.false)


@pytest.mark.parametrize("entry", [e for e in CLAIMS if ")r" in e["claim"]], ids=lambda e: e["claim"])
def test_a_dull_twin_agrees_on_the_link_at_fault(entry):
    grid = of(entry)
    reason = parse_claim(grid.layout, entry["claim"]).reason
    assert isinstance(reason, WrittenChain)
    cells = grid.layout.cells
    nodes = [[(c // cells + 1, c % cells) for c in node] for node in reason.nodes]
    assert first_fault(grid, nodes, reason.strong) == (entry.get("link") or None)


def test_no_verdict_gives_the_solution_away():
    """What is said of the solution is said of what is claimed, and no candidate in the way is said to be in it."""
    spoken = hidden = 0
    for number, entry in enumerate(CLAIMS):
        verdict, told = judged(number), judged(number).to_dict()
        claimed = {verdict.grid.layout.cell_name(c % verdict.grid.layout.cells) for c in verdict.claim.candidates}
        for sentence in re.split(r"(?<=[.;:])\s", verdict.words()):
            if "solution" in sentence and "lost the solution" not in sentence:
                spoken += 1
                assert claimed.issuperset(re.findall(r"r\d+c\d+", sentence)), (entry["claim"], sentence)
        shown = verdict.to_dict(spoil=True).get("fault", {}).get("mends", ())
        hidden += sum(one["provable"] == "never" for one in shown)
        assert "never" not in [one["provable"] for one in told.get("fault", {}).get("mends", ())]
        assert not {"lost", "counter_solution"} & set(told)
    assert spoken > 30
    assert hidden > 3
