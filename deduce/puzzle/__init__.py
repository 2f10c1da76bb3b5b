"""What is given: layouts, grids, text in and out, status and solutions."""

from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.status import Finding
from deduce.solutions.search import solutions

__all__ = ["Finding", "Grid", "House", "Layout", "solutions"]


def __getattr__(name: str) -> object:
    # Both are rarely needed, but named in full where they are told of.
    if name not in ("canvas", "problem"):
        raise AttributeError(f"module 'deduce.puzzle' has no attribute {name!r}")
    from importlib import import_module

    return import_module(f"deduce.puzzle.{name}")
