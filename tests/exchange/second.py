"""The second checker, run by node, and what the library says of the same documents."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import deduce
from deduce.errors import ExchangeError
from deduce.exchange import Document, Judgement, verify

__all__ = ["NODE", "library", "second"]

NODE = shutil.which("node")

CHECKER = Path(deduce.__file__).parent / "pages" / "checker.mjs"

DRIVER = """
import { check } from %s;
let text = "";
for await (const piece of process.stdin) text += piece;
console.log(JSON.stringify(JSON.parse(text).map(one => {
  const { verified, steps, problem } = check(one);
  return steps.length || problem.startsWith("there is no step") ? steps.map(step => step.verdict) : problem;
})));
"""


def second(texts: Sequence[str]) -> list[list[str] | str]:
    """Return for each document the verdicts of its steps, or what makes it malformed, as the second checker has it."""
    program = DRIVER % json.dumps(CHECKER.as_uri())
    command = [NODE or "node", "--input-type=module", "-e", program]
    run = subprocess.run(
        command, input=json.dumps(texts), capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert run.returncode == 0, run.stderr
    found: list[list[str] | str] = json.loads(run.stdout)
    return found


def library(text: str) -> list[str] | str:
    """Return the same as this library has it; names of patterns and the one solution are not looked at."""
    try:
        document = Document.from_json(text)
    except ExchangeError as error:
        return str(error)
    told = []
    for step in verify(document):
        refused = step.judgement is Judgement.REFUSED
        told.append("refused" if refused else "conditional" if "refused" in told else "verified")
    return told


def differences(texts: Sequence[str]) -> list[tuple[str, object, object]]:
    """Return the documents of which the two checkers think differently."""
    pairs = zip(texts, map(library, texts), second(texts), strict=True)
    return [
        (text, one, two)
        for text, one, two in pairs
        if one != two and not (isinstance(one, str) and isinstance(two, str))
    ]
