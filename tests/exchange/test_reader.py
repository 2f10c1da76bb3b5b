"""Readers under fire: whatever comes in, only the documented errors come out, in bounded work."""

import json
import os
import sys
from copy import deepcopy

import pytest
from exchange.made_up import proofs
from exchange.material import course, swaps
from hypothesis import given, settings, strategies as st

import deduce
from deduce.errors import ExchangeError
from deduce.exchange import Document, proof_from_line, proof_to_line, verify
from deduce.exchange.decode import MAX_SWAPS
from deduce.exchange.reader import MAX_DEPTH, MAX_NUMBER, MAX_TEXT, MAX_VALUES, parse

MANY = settings(max_examples=5000 if os.environ.get("DEDUCE_THOROUGH") else 80)

SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)
JSON = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


def refused(text):
    with pytest.raises(ExchangeError) as caught:
        parse(text)
    assert str(caught.value)
    return caught.value


def attempt(read, *arguments, error=ExchangeError):
    """Return what was read, and the documented error if there was one; any other error is a failure."""
    try:
        return read(*arguments), None
    except error as refusal:
        return None, refusal


def document(**changes):
    return json.loads(course("4x4", 1).to_json()) | changes


@MANY
@given(JSON)
def test_plain_values_are_read_as_json_reads_them(value):
    text = json.dumps(value, ensure_ascii=False)
    found, error = attempt(parse, text)
    if error is None:
        assert found.value == json.loads(text)
    else:
        assert any(word in str(error) for word in ("no number", "not finite", "at most", "surrogate")), error


@MANY
@given(st.text(max_size=60) | st.text('{}[]",:\\ \n0123456789eE+-.truefalsnNaIy', max_size=60))
def test_any_text_is_read_or_refused(text):
    found, error = attempt(parse, text)
    if error is None:
        assert json.dumps(found.value) == json.dumps(json.loads(text))


NAMES = ["standard 4", "standard 9", "5r4c7", "1r1c1", "row 1", "cell r1c1", "1 in box 1", "", "\x00", "\ud800", ".."]
WORDS = [
    *NAMES,
    "1" * 16,
    "x" * 300,
    0,
    1,
    -1,
    2**31,
    2**53,
    1.5,
    True,
    None,
    [],
    {},
    [[]],
    {"name": "x"},
    ["row 1", 1],
]


@st.composite
def spoiled(draw):
    """A good document in which a few places hold something else, are gone, or stand twice."""
    value = json.loads(draw(st.sampled_from(GOOD)))
    for _ in range(draw(st.integers(1, 3))):
        node, path = value, []
        while isinstance(node, dict | list) and node and (not path or draw(st.integers(0, 4))):
            key = draw(st.sampled_from(sorted(node) if isinstance(node, dict) else range(len(node))))
            path.append((node, key))
            node = node[key]
        if not path:
            break
        holder, key = path[-1]
        action = draw(st.integers(0, 3))
        if action == 0:
            del holder[key]
        elif action == 1 and isinstance(holder, list):
            holder.insert(key, holder[key])
        else:
            holder[key] = deepcopy(draw(st.sampled_from(WORDS) | JSON))
    return value


GOOD = [
    Document(course("4x4", 1).start, course("4x4", 1).proofs[:2]).to_json(),
    Document.of_proof(course("9x9", 10).proofs[12]).to_json(),
    Document.of_proof(course("5x5", 3).proofs[1]).to_json(),
    Document.of_proof(swaps()[0]).to_json(),
]


@MANY
@given(spoiled())
def test_a_spoiled_document_is_read_or_refused_with_a_path(value):
    from deduce.patterns import fault

    found, error = attempt(Document.from_json, json.dumps(value))
    if error is not None:
        assert error.path or not isinstance(value, dict) or "missing" in error.problem
        return
    for verdict in verify(found, fault):
        assert verdict.judgement


@MANY
@given(st.text(max_size=80), st.data())
def test_any_line_is_read_or_refused(text, data):
    good = proof_to_line(data.draw(st.sampled_from([*course("9x9", 10).proofs[:12], *swaps()])))
    cut = data.draw(st.integers(0, len(good)))
    length = data.draw(st.integers(0, 12))
    piece = data.draw(
        st.sampled_from(["", "|", ";", ",", "{", "}", '"', "bases", "covers", "false", "suppose", "[", "\\", " 7 "])
    )
    for line in (text, good[:cut] + piece + good[cut + length :], good[:cut] + text + good[cut:], good[:cut]):
        proof, error = attempt(proof_from_line, line)
        if error is None:
            assert proof_from_line(proof_to_line(proof)) == proof


@pytest.mark.thorough
@settings(max_examples=2_000)
@given(proofs())
def test_checking_what_a_stranger_made_up_ends_in_a_verdict(proof):
    from deduce.patterns import fault

    for verdict in verify(Document.of_proof(proof), fault):
        assert verdict.judgement


@given(proofs())
def test_the_kernel_answers_made_up_proofs_with_a_verdict_or_its_error(proof):
    checked, error = attempt(deduce.check, proof.grid, proof, error=deduce.ProofError)
    assert (checked is None) == (error is not None)


def test_depth_is_bounded_before_anything_recurses():
    assert parse("[" * MAX_DEPTH + "]" * MAX_DEPTH).value is not None
    error = refused("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1))
    assert "nest deeper at line 1, column 101" in error.problem
    for unit in ("[", '{"a":', '[{"":'):
        assert "nest deeper" in refused(unit * 200_000).problem
    assert parse('"' + "[" * 5000 + '"').value == "[" * 5000


def test_a_string_that_never_ends_is_not_looked_at_twice():
    assert "no JSON" in refused('"' + '\\"' * 2_000_000).problem
    assert "no JSON" in refused('["\\').problem


def test_size_and_counts_are_bounded():
    assert f"at most {MAX_TEXT:,}" in refused(" " * (MAX_TEXT + 1)).expected
    assert "one value too many" in refused("[" + "0," * MAX_VALUES + "0]").problem
    with pytest.raises(ExchangeError, match="at most 16,000,000"):
        proof_from_line("x" * (MAX_TEXT + 1))


def test_numbers_are_bounded():
    assert parse(str(MAX_NUMBER)).whole(0, MAX_NUMBER) == MAX_NUMBER
    assert parse(str(-MAX_NUMBER)).whole(-MAX_NUMBER, 0) == -MAX_NUMBER
    for digits in (str(MAX_NUMBER + 1), "9" * 17, "9" * 5000, "-" + "9" * 100_000):
        assert "the number" in refused(digits).problem
    assert sys.get_int_max_str_digits() < 5000
    assert "not finite" in refused("1e999").problem


def test_ambiguous_and_broken_text_is_refused_with_its_path():
    error = refused('{"a": [0, {"b": 1, "b": 2}]}')
    assert (error.path, error.problem) == ("a[1]", "the member 'b' twice")
    assert refused('{"puzzle": {"so what": "\\ud800"}}').path == "puzzle['so what']"
    assert refused('{"\\udfff": 1}').problem.startswith("a lone surrogate")
    for name in ("NaN", "Infinity", "-Infinity"):
        assert refused(f"[1, {name}]").problem == f"{name} is no number"
    assert refused('{"x": NaN, "x": 1}').path == ""
    for text in ("", "{", "[1,]", "{'a': 1}", "01", "[1] []", "\ufeff{}", "nul", '"\t"'):
        assert "no JSON at line 1" in refused(text).problem


def test_swaps_are_rationed():
    value = json.loads(Document.of_proof(swaps()[0]).to_json())
    value["steps"][0]["argument"] *= MAX_SWAPS
    assert len(Document.from_json(json.dumps(value)).proofs[0].inferences) == MAX_SWAPS
    value["steps"][0]["argument"] *= 2
    with pytest.raises(ExchangeError, match="at most 50 swaps"):
        Document.from_json(json.dumps(value))


def test_deep_suppositions_are_read_and_refused_by_the_kernel():
    inner = {"bases": ["cell r1c1"]}
    for _ in range(45):
        inner = {"suppose": "1r1c1", "inferences": [inner], "false": ["1r1c1"]}
    steps = [{"eliminates": ["1r1c1"], "argument": [inner], "pattern": {"name": "deep"}}]
    puzzle = {"layout": "standard 4", "givens": "." * 16}
    found = Document.from_json(json.dumps(document(puzzle=puzzle, steps=steps)))
    (verdict,) = verify(found)
    assert verdict.judgement == "refused"
    line = proof_to_line(found.proofs[0])
    assert proof_from_line(line) == found.proofs[0]


def test_a_line_holds_one_step():
    text = course("4x4", 1).to_json()
    with pytest.raises(ExchangeError, match=r"steps: .* expected one step"):
        proof_from_line(text.replace("\n", ""))


def test_readers_want_text():
    for value in (None, b"x", 5):
        with pytest.raises(TypeError):
            proof_from_line(value)
        with pytest.raises(TypeError):
            parse(value)
