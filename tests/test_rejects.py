"""The museum of bad proofs: one file a lie, each refused for the reason that it was made for.

A file of ``rejects/lies`` holds the lie in words, what is to be refused, and one of

``from`` and ``change``
    a good document of ``rejects/good`` and what is changed in it (``set``, ``insert``, ``remove``, ``copy``, ``swap``);
``text``
    a text for the reader, in pieces; a piece ``[unit, times]`` is repeated;
``candidates``, ``constraints``, ``inferences``
    a model for the kernel and inferences by number; ``mended`` is what would make them hold; with ``stand-in`` the
    kernel is handed something that only looks like that model.
"""

import ast
import json
import re
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest

import deduce
import deduce.exchange.constraints
import deduce.exchange.decode
import deduce.exchange.document
import deduce.exchange.layouts
import deduce.exchange.reader
import deduce.kernel
from deduce.errors import ExchangeError
from deduce.exchange import Document, proof_from_line, proof_to_line, verify
from deduce.kernel import Constraint, Counting, Inference, Model, Supposition, Swap, check
from deduce.patterns import fault
from deduce.positions import bits

ROOM = Path(__file__).parent / "rejects"
LIES = sorted((ROOM / "lies").glob("*.json"))
GOOD = sorted((ROOM / "good").glob("*.json"))
PARTS = re.compile(r"\[(\d+)\]|([^.\[\]]+)")


@cache
def load(path):
    return json.loads(path.read_text(encoding="utf-8"))


def parts(path):
    """Split ``steps[0].argument`` into member names and list positions."""
    return [int(number) if number else name for number, name in PARTS.findall(path)]


def reach(value, path):
    """Return what holds the place that a path names, and its key there."""
    *way, last = parts(path)
    for part in way:
        value = value[part]
    return value, last


def change(value, action, path, *rest):
    """Make one change in a document."""
    holder, key = reach(value, path)
    if action == "set":
        if isinstance(holder, list) and key == len(holder):
            holder.append(rest[0])
        else:
            holder[key] = rest[0]
    elif action == "insert":
        assert isinstance(holder, list) or key in holder
        holder.insert(key, rest[0]) if isinstance(holder, list) else holder[key].insert(0, rest[0])
    elif action == "remove":
        del holder[key]
    elif action == "copy":
        target, at = reach(value, rest[0])
        target.insert(at, json.loads(json.dumps(holder[key])))
    elif action == "swap":
        target, at = reach(value, rest[0])
        holder[key], target[at] = target[at], holder[key]
    else:
        raise AssertionError(f"unknown change {action!r}")


def text_of(lie):
    """Return the text of a lie told to the reader."""
    if "text" in lie:
        return "".join(piece if isinstance(piece, str) else piece[0] * piece[1] for piece in lie["text"])
    good = ROOM / "good" / f"{lie['from']}.json"
    value = json.loads(good.read_text(encoding="utf-8"))
    for one in lie["change"]:
        change(value, *one)
    assert value != load(good)
    return json.dumps(value)


def inference_of(item):
    """Build an inference from numbers."""
    if "because" in item:
        argument = item["because"]
    elif "suppose" in item:
        argument = Supposition(item["suppose"], tuple(map(inference_of, item["inferences"])))
    else:
        sides = (tuple(map(tuple, item.get(side, ()))) for side in ("bases", "covers"))
        swaps = ((Swap(tuple(pattern), tuple(exits)), weight) for pattern, exits, weight in item.get("swaps", ()))
        argument = Counting(*sides, tuple(swaps))
    return Inference(argument, tuple(item.get("false", ())), tuple(item.get("true", ())))


def ask_kernel(lie):
    """Build the model of a lie, let the kernel check its inferences, and return the inferences."""
    rules = [
        Constraint(rule["name"], tuple(map(tuple, rule["terms"])), rule["lower"], rule["upper"])
        for rule in lie["constraints"]
    ]
    model = Model(lie["candidates"], rules)
    live = sum(1 << c for c in lie.get("live", range(len(model.names))))
    true, givens = (sum(1 << c for c in lie.get(name, ())) for name in ("true", "givens"))
    if lie.get("stand-in"):
        model = SimpleNamespace(names=model.names, rules=model.rules, touching=model.touching)
    grid = SimpleNamespace(model=model, live=live, true=true, givens=givens)
    told = tuple(map(inference_of, lie.get("inferences", ())))
    if "inferences" in lie:
        check(grid, SimpleNamespace(inferences=told))
    return told


ERRORS = {}
"""What each lie was refused with."""


def refuse(path):
    """Tell the lie of a file, compare how it is refused with what the file says, and return the error."""
    lie = load(path)
    refused = lie["refused"]
    if "candidates" in lie:
        with pytest.raises(deduce.ProofError if refused["by"] == "kernel" else ValueError) as caught:
            ask_kernel(lie)
        if refused["by"] == "model":
            assert refused["says"] in str(caught.value)
            return caught.value
        error = caught.value
    elif refused["by"] == "reader":
        with pytest.raises(ExchangeError) as caught:
            Document.from_json(text_of(lie))
        assert caught.value.path == refused["path"]
        assert refused["says"] in str(caught.value)
        return caught.value
    else:
        document = Document.from_json(text_of(lie))
        number = refused["document step"]
        verdicts = verify(document, fault)
        assert all(verdict.verified for verdict in verdicts[: number - 1])
        verdict = verdicts[number - 1]
        if refused["by"] == "verdict":
            assert verdict.judgement == refused["judgement"]
            assert refused["problem"] in verdict.problem
            return None
        error = verdict.error
        assert error is not None, verdict
        again = document.proofs[number - 1]
        assert proof_from_line(proof_to_line(again)) == again
    assert list(error.step) == refused["inference"], error
    assert refused["needed"] in error.missing, error
    assert refused["got"] in error.got, error
    return error


@pytest.mark.parametrize("path", LIES, ids=lambda path: path.stem)
def test_a_lie_is_refused_for_its_reason(path):
    ERRORS[path] = refuse(path)


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_what_the_lies_were_made_from_is_true(path):
    document = Document.from_json(path.read_text(encoding="utf-8"))
    assert document.proofs
    for verdict in verify(document, fault):
        assert verdict.verified, verdict
    solved = next(deduce.solutions(deduce.Grid.from_numbers(document.start.layout, bits(document.start.givens))))
    for proof in document.proofs:
        assert not {solved.number(c) for c in proof.eliminates} & {*bits(solved.true)}
        assert {solved.number(c) for c in proof.places} <= {*bits(solved.true)}


@pytest.mark.parametrize("path", [path for path in LIES if load(path).get("mended")], ids=lambda path: path.stem)
def test_the_kernel_accepts_the_mended_form(path):
    mended = {**load(path), **load(path)["mended"]}
    assert len(ask_kernel(mended)) == len(mended.get("inferences", ()))


def test_there_are_enough_lies_and_no_two_are_alike():
    told = [load(path) for path in LIES]
    assert len(told) >= 150
    assert len({lie["lie"] for lie in told}) == len(told)
    assert len({json.dumps({**lie, "lie": ""}, sort_keys=True) for lie in told}) == len(told)
    assert {lie["refused"]["by"] for lie in told} == {"kernel", "model", "reader", "verdict"}
    assert {path.name for path in (ROOM / "good").iterdir()} == {f"{lie['from']}.json" for lie in told if "from" in lie}


def refusals(module):
    """Return the lines of each statement of a module that raises, but for those that guard its callers' types."""
    tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
    raised = (node for node in ast.walk(tree) if isinstance(node, ast.Raise))
    return {range(node.lineno, node.end_lineno + 1) for node in raised if "TypeError" not in ast.unparse(node)}


def origin(error):
    """Return the file and the line that raised an error."""
    trace = error.__traceback__
    while trace.tb_next is not None:
        trace = trace.tb_next
    return trace.tb_frame.f_code.co_filename, trace.tb_lineno


MODULES = {
    deduce.kernel: (),
    deduce.exchange.reader: (),
    deduce.exchange.constraints: (),
    deduce.exchange.decode: (),
    # What refuses to write, or to take several steps for one, is tested with the writing.
    deduce.exchange.document: ("a proof from another position", "one step", "form is", "version is"),
    deduce.exchange.layouts: ("raise ExchangeError(",),
}


def test_every_refusal_of_kernel_and_reader_is_seen_to_fire():
    errors = [ERRORS[path] if path in ERRORS else refuse(path) for path in LIES]
    fired = {origin(error) for error in errors if error is not None}
    for module, elsewhere in MODULES.items():
        source = Path(module.__file__).read_text(encoding="utf-8").splitlines()
        silent = [
            source[lines[0] - 1].strip()
            for lines in refusals(module)
            if not fired & {(module.__file__, line) for line in lines}
        ]
        assert [code for code in silent if not any(text in code for text in elsewhere)] == [], module
        assert len(silent) == len(elsewhere)
