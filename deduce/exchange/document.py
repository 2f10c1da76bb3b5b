"""Proof documents: a puzzle and the steps made on it, as one JSON text."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from deduce.errors import ExchangeError
from deduce.exchange.decode import decode_puzzle, decode_step, follow
from deduce.exchange.encode import encode_notes, encode_puzzle, encode_step, starting_grid
from deduce.exchange.reader import Node, parse
from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid

if TYPE_CHECKING:
    from deduce.walks.walk import Walk

__all__ = ["FORMAT", "FORMS", "VERSION", "Document", "format_text", "proof_from_json", "proof_from_line"]
__all__ += ["proof_to_json", "proof_to_line", "schema"]

FORMAT = "deduce-proof"
FORMS = {FORMAT: 2, "deduce-story": 1}
"""The forms of documents of which there is a schema, each with its newest major version."""

VERSION = "2.0"
"""What documents are written in; those of version 1 are read as well."""

MAX_STEPS = 50_000

Words = Callable[[Proof], Mapping[str, Any]]
Chapters = Sequence[tuple[str, int, int]]


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
    def of_walk(cls, walk: Walk) -> Document:
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

    def value(self, words: Words | None = None, chapters: Chapters = ()) -> dict[str, Any]:
        """Return the document as plain values, ready for any JSON writer.

        Parameters
        ----------
        words : callable, optional
            Tells a step; then each step carries its words and the notes before it.
        chapters : sequence of (str, int, int), optional
            Titles, each with its first and its last step, counted from 1.

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
            step = encode_step(proof)
            if words is not None:
                step.update(words=dict(words(proof)), notes=encode_notes(position))
            steps.append(step)
            position = follow(position, proof)
        document: dict[str, Any] = {"format": FORMAT, "version": VERSION, "puzzle": encode_puzzle(self.start)}
        if self.outcome:
            document["outcome"] = self.outcome
        if chapters:
            document["chapters"] = [{"title": title, "first": first, "last": last} for title, first, last in chapters]
        return {**document, "steps": steps}

    def to_json(self, words: Words | None = None, chapters: Chapters = ()) -> str:
        """Return the document as JSON text: one line for the puzzle and one for each step; see `value`."""
        value = self.value(words, chapters)
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
            JSON in the form ``deduce-proof`` of version 1 or 2.

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
        version = _known_version(root.member("version"))
        start, names = decode_puzzle(root.member("puzzle"), version)
        grid = start
        proofs = []
        for step in root.member("steps").items(0, MAX_STEPS, "steps"):
            proof = decode_step(step, grid, names)
            proofs.append(proof)
            grid = follow(grid, proof)
        return cls(start, tuple(proofs), root.member("outcome", "").text(100))


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


def proof_to_line(proof: Proof) -> str:
    """Return one proof as a document on one line, for chat and comments: what it concludes first, for the reader.

    Examples
    --------
    >>> from deduce.patterns import find
    >>> line = proof_to_line(next(find(Grid.parse("..24......1..2.."))))
    >>> line[:59]
    '{"proof":"hidden single: +2r2c1","format":"deduce-proof","v'
    >>> print(proof_from_line(line))
    hidden single: +2r2c1
    """
    return _compact({"proof": str(proof), **Document.of_proof(proof).value()}, ascii_only=True)


def proof_from_line(text: str) -> Proof:
    """Read a proof from the line that `proof_to_line` prints, or from any other document that holds one step.

    Raises
    ------
    ExchangeError
        If it is no such document.
    """
    return proof_from_json(text)


def schema(form: str = FORMAT, version: int | None = None) -> str:
    """Return the JSON Schema (2020-12) of documents, as text.

    Parameters
    ----------
    form : str
        ``"deduce-proof"``, or ``"deduce-story"``, which `Story.to_json` writes.
    version : int, optional
        The major version; by default the newest.

    Raises
    ------
    ValueError
        For any other form or version.
    """
    if form not in FORMS:
        raise ValueError(f"form is {form!r}; give one of {', '.join(map(repr, FORMS))}")
    wanted = FORMS[form] if version is None else version
    if not 1 <= wanted <= FORMS[form]:
        raise ValueError(f"version is {version}; give one from 1 to {FORMS[form]}")
    return files("deduce.exchange").joinpath(f"{form}-{wanted}.schema.json").read_text(encoding="utf-8")


def format_text() -> str:
    """Return the description of the format, as Markdown: what documents mean, and when a step holds."""
    return files("deduce.exchange").joinpath("FORMAT.md").read_text(encoding="utf-8")


def _compact(value: object, *, ascii_only: bool = False) -> str:
    return json.dumps(value, ensure_ascii=ascii_only, separators=(",", ":"))


def _known_version(node: Node) -> int:
    """Return the major version; every minor version of those that this reader knows is accepted."""
    major, dot, minor = node.text(20).partition(".")
    if not (dot and all(part.isascii() and part.isdigit() for part in (major, minor))):
        raise node.wrong(f"two numbers, such as {VERSION!r}")
    if major not in ("1", "2"):
        raise node.wrong(f"a document of version 1 or 2; version {major} is not known here")
    return int(major)
