"""Which engine answered: the version, and a digest of every source file that an answer depends on."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

import deduce

__all__ = ["engine"]

_HERE = ("choice", "examine", "needs", "questions", "ranks", "refutation", "sweep")

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
    root = Path(deduce.__file__).parent
    for room in ROOMS:
        for path in sorted((root / room).rglob("*.py")) or [root / room]:
            digest.update(f"{path.relative_to(root).as_posix()}\n".encode())
            digest.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return f"{deduce.__version__}+{digest.hexdigest()[:12]}"
