"""Which engine answered: the version, and a digest of every source file that an answer depends on."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

import deduce

__all__ = ["engine"]

_HERE = ("choice", "examine", "needs", "questions", "ranks", "refutation", "smallest", "sweep")

ROOMS = (
    *("kernel.py", "positions.py", "proof.py", "effort.py", "puzzle", "links", "solving", "patterns", "counting"),
    *("suppositions", "walks/walk.py"),
    *(f"surveys/{name}.py" for name in _HERE),
)
"""What answers depend on: not words, pictures, tables or the command line."""


@cache
def engine() -> str:
    """Return the engine's name, such as ``0.1.0+5f2c9a0b1d3e``; it changes with any change of the code that answers.

    Notes
    -----
    Kept answers are reused only under the same name, and workers must run an engine of the same name.
    """
    digest = hashlib.sha256()
    root = files("deduce")
    for room in ROOMS:
        for name, source in _sources(root.joinpath(room), room):
            digest.update(f"{name}\n".encode())
            digest.update(source.replace(b"\r\n", b"\n"))
    return f"{deduce.__version__}+{digest.hexdigest()[:12]}"


def _sources(node: Traversable, name: str) -> list[tuple[str, bytes]]:
    """List the Python files of a room, by name."""
    if node.is_file():
        return [(name, node.read_bytes())] if name.endswith(".py") else []
    if not node.is_dir():
        return []
    found = []
    for inner in sorted(node.iterdir(), key=lambda inner: inner.name):
        found += _sources(inner, f"{name}/{inner.name}")
    return found
