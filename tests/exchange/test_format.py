"""The description of the format: its examples are run, and it is what the command prints."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

import deduce
from deduce.__main__ import main
from deduce.errors import ExchangeError
from deduce.exchange import Document, schema, verify
from deduce.exchange.document import format_text
from deduce.patterns import fault

EXAMPLES = re.findall(r"```json (accepted|refused)\n(.*?)\n```", format_text(), re.DOTALL)


@pytest.mark.parametrize("text", [text for kind, text in EXAMPLES if kind == "accepted"])
def test_an_accepted_example_is_verified_and_as_written(text):
    jsonschema.Draft202012Validator(json.loads(schema())).validate(json.loads(text))
    document = Document.from_json(text)
    assert json.loads(text) == document.value()
    assert all(step.verified or "roles" not in text for step in verify(document, fault))
    for proof in document.proofs:
        deduce.check(proof.grid, proof)


@pytest.mark.parametrize("text", [text for kind, text in EXAMPLES if kind == "refused"])
def test_a_refused_example_is_refused(text):
    try:
        verified = [step.verified for step in verify(Document.from_json(text))]
    except ExchangeError:
        verified = [False]
    assert verified
    assert not any(verified)


def test_there_is_an_example_of_each_argument_and_of_rules_and_problems():
    accepted = "".join(text for kind, text in EXAMPLES if kind == "accepted")
    for part in ('"bases"', '"covers"', '"swaps"', '"suppose"', '"assumed"', '"origin"', '"problem"', '"already said"'):
        assert part in accepted
    assert [kind for kind, _ in EXAMPLES].count("refused") >= 4


def test_each_limit_that_the_text_states_is_the_one_in_the_code():
    from deduce import kernel
    from deduce.exchange import constraints, decode, reader

    text = format_text()
    for number in (reader.MAX_TEXT, reader.MAX_VALUES, decode.MAX_INFERENCES, decode.MAX_PARTS, kernel.MAX_TRIALS):
        assert f"{number:,}" in text
    for number in (reader.MAX_NUMBER, kernel.MAX_WEIGHT):
        assert str(number) in text
    assert f"nested at most {reader.MAX_DEPTH} deep" in text
    assert f"up to {kernel.MAX_DEPTH} deep" in text
    assert f"at most {kernel.MAX_PATTERN} candidates" in text
    assert f"at most {decode.MAX_SWAPS} swaps" in text
    assert f"{constraints.MAX_CONSTRAINTS:,}" in text


def test_the_command_prints_text_and_schemas(capsys):
    assert main(["schema", "--text"]) == 0
    assert capsys.readouterr().out == format_text()
    for version in (1, 2):
        assert main(["schema", "--of", str(version)]) == 0
        assert capsys.readouterr().out == schema(version=version)
    assert (Path(deduce.__file__).parent / "exchange" / "FORMAT.md").read_text(encoding="utf-8") == format_text()


def test_a_schema_that_there_is_not_is_refused():
    with pytest.raises(ValueError, match="form is 'deduce-poem'; give one of 'deduce-proof', 'deduce-story'"):
        schema("deduce-poem")
    with pytest.raises(ValueError, match="version is 3; give one from 1 to 2"):
        schema(version=3)
