"""Documents: writing and reading are inverse, the schema agrees, and old files stay readable."""

import json
import os
import subprocess
import sys
from functools import lru_cache
from pathlib import Path

import jsonschema
import pytest
from exchange.made_up import ODD, grids, proofs
from exchange.material import course, suppositions, swaps
from hypothesis import given, strategies as st
from strategies import minimal

import deduce
from deduce.errors import ExchangeError
from deduce.exchange import Document, proof_from_json, proof_from_line, proof_to_json, proof_to_line, schema, verify
from deduce.exchange.document import VERSION
from deduce.exchange.layouts import decode_layout, encode_layout
from deduce.exchange.reader import Node
from deduce.kernel import Counting, Inference
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role

GOLDEN = sorted((Path(__file__).parent / "golden").glob("*.json"))


@lru_cache(maxsize=2)
def validator(version=2):
    value = json.loads(schema(version=version))
    jsonschema.Draft202012Validator.check_schema(value)
    return jsonschema.Draft202012Validator(value)


def same(one, two):
    """Whether two proofs are equal, positions and the origin of their eliminations included."""
    return one == two and one.grid.assumed == two.grid.assumed and one.grid.layout is two.grid.layout


@given(proofs())
def test_any_proof_survives_both_forms(proof):
    text = proof_to_json(proof)
    validator().validate(json.loads(text))
    again = proof_from_json(text)
    assert again == proof
    assert again.grid.assumed == proof.grid.assumed
    assert proof_to_json(again) == text
    line = proof_to_line(proof)
    assert "\n" not in line
    from_line = proof_from_line(line)
    assert from_line == proof
    assert from_line.grid.assumed == proof.grid.assumed
    assert proof_to_line(from_line) == line


@given(grids())
def test_any_position_survives(grid):
    document = Document(grid, (), "stuck")
    again = Document.from_json(document.to_json())
    assert again == document
    assert (again.start.live, again.start.true, again.start.givens) == (grid.live, grid.true, grid.givens)
    assert again.start.assumed == grid.assumed


@pytest.mark.parametrize("shape", ["4x4", "5x5", "6x6", "9x9"])
def test_walks_survive_and_their_positions_are_rebuilt(shape):
    for seed in range(4):
        document = course(shape, seed)
        text = document.to_json()
        validator().validate(json.loads(text))
        again = Document.from_json(text)
        assert again == document
        assert [proof.grid for proof in again.proofs] == [proof.grid for proof in document.proofs]
        assert again.to_json() == text


def test_a_proof_from_the_middle_of_a_walk_stands_in_its_exact_position():
    for proof in (*course("9x9", 7).proofs, *suppositions("6x6", 1), *swaps()):
        again = deduce.Proof.from_json(proof.to_json())
        assert again == proof
        assert deduce.check(again.grid, again) == deduce.check(proof.grid, proof)
        line = proof_from_line(proof_to_line(proof))
        assert line == proof


def test_notes_stay_marked_as_assumptions():
    puzzle = minimal("9x9", 4)
    solved = next(deduce.solutions(puzzle))
    wrong = [c for c in puzzle.candidates() if not solved.true >> puzzle.number(c) & 1][:40]
    start = puzzle.without(wrong)
    document = Document.of_walk(deduce.walk(start))
    again = Document.from_json(document.to_json())
    assert again.start.assumed == start.assumed
    assert [proof.assumes for proof in again.proofs] == [proof.assumes for proof in document.proofs]
    assert any(proof.assumes for proof in again.proofs)
    stated = json.loads(document.to_json())
    assert stated["puzzle"]["assumed"] == [str(start.candidate(n)) for n in sorted(map(start.number, wrong))]
    assert [step.get("rests on notes", []) for step in stated["steps"]] == [
        [str(c) for c in proof.assumes] for proof in document.proofs
    ]
    pencil = deduce.Grid.parse(start.pencil())
    assert proof_from_json(next(deduce.find(pencil)).to_json()).grid.assumed == pencil.assumed


def test_a_step_is_small():
    """A step takes a few hundred bytes; only long chains through sets of cells take more than a thousand."""
    sizes = []
    for seed in (*range(6), 10, 31, 33):
        lines = course("9x9", seed).to_json().splitlines()
        sizes += [len(line.encode()) for line in lines if line.startswith(('{"places"', '{"eliminates"'))]
    assert len(sizes) > 500
    assert sum(sizes) / len(sizes) < 350
    assert sum(size < 1000 for size in sizes) > 0.98 * len(sizes)


@pytest.mark.parametrize("layout", ODD, ids=repr)
def test_layouts_survive(layout):
    value = encode_layout(layout)
    assert decode_layout(Node(json.loads(json.dumps(value)), ())) == layout


def test_layouts_by_name():
    assert encode_layout(deduce.Layout.standard(9)) == "standard 9"
    assert encode_layout(deduce.Layout.standard(12, (2, 6))) == "standard 12, boxes 2x6"
    assert decode_layout(Node("standard 6, boxes 2x3", ())) is deduce.Layout.standard(6)


def test_what_later_minor_versions_add_is_ignored():
    value = json.loads(course("4x4", 1).to_json())
    value["version"] = "2.7"
    value["author"] = {"name": ["somebody"]}
    value["puzzle"]["title"] = None
    for step in value["steps"]:
        step["seconds"] = 1.5
        step["pattern"]["roles"][0]["colour"] = "blue"
        step["argument"][0]["comment"] = "see above"
    validator().validate(value)
    assert Document.from_json(json.dumps(value)) == course("4x4", 1)


def test_what_a_pattern_holds_besides_is_read():
    value = json.loads(course("4x4", 1).proofs[0].to_json())
    value["steps"][0]["proved smallest"] = True
    value["steps"][0]["pattern"]["also"] = ["full house"]
    value["steps"][0]["pattern"]["inner"] = [{"name": "part", "roles": [{"role": "one", "cells": ["r1c2"]}]}]
    validator().validate(value)
    proof = proof_from_json(json.dumps(value))
    assert proof.pattern.also == ("full house",)
    assert proof.pattern.inner == (Pattern("part", (Role("one", "cells", (1,)),)),)
    assert proof.proved_smallest is True
    assert proof_from_line(proof_to_line(proof)) == proof
    value["steps"][0]["proved smallest"] = "perhaps"
    with pytest.raises(ExchangeError, match="true or false"):
        proof_from_json(json.dumps(value))


def test_documents_refuse_what_they_have_no_words_for():
    proof = course("4x4", 1).proofs[0]
    with pytest.raises(ExchangeError, match="a proof from another position"):
        Document(proof.grid, (proof, proof)).to_json()
    with pytest.raises(ExchangeError, match="items of the kind 'colours'"):
        Proof(proof.grid, proof.inferences, Pattern("p", (Role("r", "colours", ()),))).to_json()
    with pytest.raises(ExchangeError, match="expected a Grid"):
        Proof(object(), proof.inferences, proof.pattern).to_json()
    with pytest.raises(ExchangeError, match="expected a counting argument"):
        Proof(proof.grid, (Inference("because"),), proof.pattern).to_json()
    with pytest.raises(ExchangeError, match="a whole grid"):
        Document(deduce.Grid(proof.grid.layout, 1, 1, 2), ()).to_json()
    with pytest.raises(ExchangeError, match="one step"):
        proof_from_json(course("4x4", 1).to_json())
    with pytest.raises(TypeError, match="str, not bytes"):
        proof_from_json(b"{}")


def test_a_layout_with_rules_of_its_own_is_refused():
    class Strange(deduce.Layout):
        pass

    layout = Strange(4)
    layout.__dict__["model"] = deduce.Layout.standard(4).model
    with pytest.raises(ExchangeError, match="no words for"):
        encode_layout(layout)


OLD = [path for path in GOLDEN if "-1." in path.name]
NEW = [path for path in GOLDEN if "-2." in path.name]


@pytest.mark.parametrize("path", NEW, ids=lambda path: path.name)
def test_golden_files_are_read_and_written_as_ever(path):
    text = path.read_text(encoding="utf-8")
    validator().validate(json.loads(text))
    document = Document.from_json(text)
    written = json.loads(document.to_json())
    assert written == {name: value for name, value in _untold(json.loads(text)).items() if name != "chapters"}
    if '"words"' not in text:
        assert document.to_json() == text


def _untold(value):
    for step in value["steps"]:
        step.pop("words", None)
        step.pop("notes", None)
    return value


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.name)
def test_old_golden_files_mean_what_they_always_meant(path):
    text = path.read_text(encoding="utf-8")
    validator(1).validate(json.loads(text))
    document = Document.from_json(text)
    newer = path.with_name(path.name.replace("-1.0", "-2.0").replace("-1.1", "-2.0"))
    assert document == Document.from_json(newer.read_text(encoding="utf-8"))
    assert document.start.resting == Document.from_json(newer.read_text(encoding="utf-8")).start.resting


def test_there_are_golden_files_for_each_version():
    assert {json.loads(path.read_text(encoding="utf-8"))["version"] for path in GOLDEN} == {"1.0", "1.1", VERSION}
    walk = Document.from_json((GOLDEN[0].parent / "walk-1.0.json").read_text(encoding="utf-8"))
    assert walk.outcome == "solved"
    position = walk.start
    for proof in walk.proofs:
        position = position.moved(deduce.check(position, proof).after)
    assert position.solved


RULED = Document.from_json((GOLDEN[0].parent / "rules-2.0.json").read_text(encoding="utf-8"))


def test_each_constraint_of_a_rule_is_listed_with_terms_and_bounds():
    value = RULED.value()
    layout = RULED.start.layout
    listed = [item for rule in value["puzzle"]["constraints"] for item in rule["linear"]]
    for item, rule in zip(listed, layout.model.constraints[layout.exact :], strict=True):
        assert {layout.parse_candidate(token): a for token, a in item["terms"].items()} == dict(rule.terms)
        assert (item.get("at least"), item.get("at most")) == (rule.lower, rule.upper)
        assert len(item["id"]) <= 100
        assert item["id"].startswith("rule ")
    assert len({item["id"] for item in listed}) == len(listed) > 20
    kinds = {rule["origin"]["kind"] for rule in value["puzzle"]["constraints"]}
    assert kinds == {"cage", "total", "equal sums", "pair", "restricted cells", "cells apart"}
    assert [rule["title"] for rule in value["puzzle"]["constraints"]] == [rule.name(layout) for rule in layout.rules]


def test_a_document_may_call_its_constraints_otherwise():
    """Ids are the writer's own: what counts is what they stand for."""
    text = RULED.to_json()
    assert Document.from_json(text.replace('"rule ', '"line ')) == RULED
    assert '"line 1: cage' in text.replace('"rule ', '"line ')


def test_problems_list_what_they_say_as_well():
    text = (GOLDEN[0].parent / "problem-2.0.json").read_text(encoding="utf-8")
    puzzle = json.loads(text)["puzzle"]
    assert {*puzzle["layout"]["problem"]} == {"variables", "values", "groups"}
    assert any("already said" in item for rule in puzzle["constraints"] for item in rule["linear"])
    document = Document.from_json(text)
    assert all(step.verified for step in verify(document))

    assert proof_from_line(proof_to_line(document.proofs[0])) == document.proofs[0]


def test_told_documents_carry_words_chapters_and_notes():
    walk = deduce.walk(minimal("9x9", 3))
    value = json.loads(walk.to_json(told=True, chapters=[("All of it", 1, len(walk))]))
    validator().validate(value)
    assert value["chapters"] == [{"title": "All of it", "first": 1, "last": len(walk)}]
    for told, step in zip(value["steps"], walk.steps, strict=True):
        assert told["words"]["paragraph"] == step.proof.words()
        assert told["words"]["line"] == step.proof.words(level="line")
        cells = step.before.layout.cells
        live = [f"{digit}{step.before.layout.cell_name(n)}" for n in range(cells) for digit in told["notes"][n]]
        assert {*live} == {*map(str, map(step.before.candidate, bits(step.before.live)))}
    assert _untold(value)["steps"] == json.loads(walk.to_json())["steps"]


def test_the_text_does_not_depend_on_the_hash_seed():
    program = "import deduce; from deduce.exchange import *; from deduce.solving.generate import minimal_puzzle as m\n"
    program += "d = Document.of_walk(deduce.walk(m(3)))\n"
    program += "print(d.to_json(), to_pseudo_boolean(d), to_clausal(d), proof_to_line(d.proofs[9]))"
    outputs = [
        subprocess.run(
            [sys.executable, "-c", program], env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "77")
    ]
    assert outputs[0] == outputs[1]
    assert len(outputs[0]) > 10_000


@given(st.data())
def test_the_schema_and_the_reader_refuse_the_same_missing_members(data):
    value = json.loads(proof_to_json(data.draw(st.sampled_from(course("9x9", 5).proofs))))
    places = []

    def visit(node, path):
        if isinstance(node, dict):
            places.extend((path, name) for name in node)
            for name, item in node.items():
                visit(item, (*path, name))
        elif isinstance(node, list):
            for i, item in enumerate(node):
                visit(item, (*path, i))

    visit(value, ())
    path, name = data.draw(st.sampled_from(places))
    target = value
    for part in path:
        target = target[part]
    del target[name]
    if not validator().is_valid(value):
        with pytest.raises(ExchangeError):
            proof_from_json(json.dumps(value))


def test_a_sum_that_nobody_can_follow_is_still_written():
    grid = minimal("4x4", 1)
    proof = Proof(grid, (Inference(Counting((), ())),), Pattern("nothing"))
    assert proof_from_json(proof.to_json()) == proof
