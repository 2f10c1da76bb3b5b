"""Proof documents: a puzzle and the steps made on it, as one JSON text."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, Protocol

from deduce.errors import ExchangeError
from deduce.exchange.decode import Names, decode_puzzle, decode_step, follow
from deduce.exchange.encode import encode_puzzle, encode_step, starting_grid
from deduce.exchange.reader import Node, parse
from deduce.kernel import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

__all__ = ["FORMAT", "FORMS", "VERSION", "Document", "proof_from_json", "proof_to_json", "schema"]

FORMAT = "deduce-proof"
FORMS = (FORMAT, "deduce-story")
"""The forms of documents of which there is a schema."""

VERSION = "1.0"
"""What documents are written in; one that has a member of a later minor version says so."""

RESTING_VERSION = "1.1"
"""The first version that tells what rests on a person's notes."""

MAX_STEPS = 50_000


class _Step(Protocol):
    @property
    def proof(self) -> Proof: ...


class Course(Protocol):
    """What a document needs of a walk."""

    @property
    def start(self) -> Grid:
        """Where it begins."""

    @property
    def steps(self) -> Iterable[_Step]:
        """Its steps, each with a proof."""

    @property
    def outcome(self) -> str:
        """How it ended."""


@dataclass(frozen=True, slots=True)
class Document:
    """A puzzle and the steps made on it.

    Parameters
    ----------
    start : Grid
        The position before the first step.
    proofs : tuple of Proof
        The steps; each stands in the position that the ones before it claim to lead to.
    outcome : str
        How the walk ended, in its own words; empty where nothing is said.

    Notes
    -----
    Reading a document verifies nothing: :func:`deduce.exchange.verify` does.
    """

    start: Grid
    proofs: tuple[Proof, ...]
    outcome: str = ""

    @classmethod
    def of_walk(cls, walk: Course) -> Document:
        """Return the document of a walk."""
        return cls(walk.start, tuple(step.proof for step in walk.steps), str(walk.outcome))

    @classmethod
    def of_proof(cls, proof: Proof) -> Document:
        """Return the document of a single proof, with the exact position that it stands in."""
        return cls(starting_grid(proof), (proof,))

    @property
    def cleared(self) -> int:
        """The candidates that would be live at the start if only placed digits had ruled any out."""
        entered = self.start.true & ~self.start.givens
        return Grid.from_numbers(self.start.layout, bits(self.start.givens), bits(entered)).live

    def value(self) -> dict[str, Any]:
        """Return the document as plain values, ready for any JSON writer.

        Raises
        ------
        ExchangeError
            If a proof does not start where the one before it ends, or has something that documents have no words for.
        """
        position = self.start
        steps = []
        for number, proof in enumerate(self.proofs):
            if starting_grid(proof) != position:
                raise ExchangeError(f"steps[{number}]", "a proof from another position", "the one the last step left")
            steps.append(encode_step(proof))
            position = follow(position, proof)
        document: dict[str, Any] = {"format": FORMAT, "version": VERSION, "puzzle": encode_puzzle(self.start)}
        if "resting" in document["puzzle"]:
            document["version"] = RESTING_VERSION
        if self.outcome:
            document["outcome"] = self.outcome
        return {**document, "steps": steps}

    def to_json(self) -> str:
        """Return the document as JSON text: one line for the puzzle and one for each step."""
        value = self.value()
        steps = value.pop("steps")
        head = [f"{_compact(name)}: {_compact(item)}" for name, item in value.items()]
        body = ",\n".join(map(_compact, steps))
        return "{" + ",\n".join([*head, f'"steps": [\n{body}\n]']) + "}\n"

    @classmethod
    def from_json(cls, text: str) -> Document:
        """Read a document.

        Parameters
        ----------
        text : str
            JSON in the form ``deduce-proof`` version 1.

        Raises
        ------
        ExchangeError
            For anything else, with the path of what is wrong.
        """
        return cls.from_node(parse(text))

    @classmethod
    def from_node(cls, root: Node) -> Document:
        """Build a document from values that have been read already."""
        named = root.member("format")
        if named.value != FORMAT:
            raise named.wrong(repr(FORMAT))
        _known_version(root.member("version"))
        grid = start = decode_puzzle(root.member("puzzle"))
        outcome = root.maybe("outcome")
        names = Names(start.layout)
        proofs = []
        for step in root.member("steps").items(0, MAX_STEPS, "steps"):
            proof = decode_step(step, grid, names)
            proofs.append(proof)
            grid = follow(grid, proof)
        return cls(start, tuple(proofs), "" if outcome is None else outcome.text(100))


def proof_to_json(proof: Proof) -> str:
    """Return one proof, with the exact position that it stands in, as JSON text."""
    return Document.of_proof(proof).to_json()


def proof_from_json(text: str) -> Proof:
    """Read a document that holds one step.

    Raises
    ------
    ExchangeError
        If it is no proof document, or holds another number of steps.
    """
    root = parse(text)
    document = Document.from_node(root)
    if len(document.proofs) != 1:
        raise root.member("steps").wrong("one step (Document.from_json reads more)", f"{len(document.proofs)} steps")
    return document.proofs[0]


def schema(form: str = FORMAT) -> str:
    """Return the JSON Schema (2020-12) of version 1 documents, as text.

    Parameters
    ----------
    form : str
        ``"deduce-proof"`` or ``"deduce-story"``, which `Story.to_json` writes.

    Raises
    ------
    ValueError
        For any other form.
    """
    if form not in FORMS:
        raise ValueError(f"form is {form!r}; give one of {', '.join(map(repr, FORMS))}")
    return files("deduce.exchange").joinpath(f"{form}-1.schema.json").read_text(encoding="utf-8")


def _compact(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _known_version(node: Node) -> None:
    """Accept every minor version of the major version that this reader knows."""
    major, dot, minor = node.text(20).partition(".")
    if not (dot and all(part.isascii() and part.isdigit() for part in (major, minor))):
        raise node.wrong(f"two numbers, such as {VERSION!r}")
    if major != VERSION.partition(".")[0]:
        raise node.wrong(f"a version 1 document; version {major} is not known here")
