"""The envelope of every JSON answer: format and version in front, and the schema that goes with each format."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

__all__ = ["VERSION", "enveloped", "error_fields", "filled", "head", "schema_of", "schemas"]

VERSION = "1.0"


def head(name: str) -> dict[str, str]:
    """Return what stands in front of an answer, such as ``{"format": "deduce-verdict", "version": "1.0"}``."""
    return {"format": f"deduce-{name}", "version": VERSION}


def enveloped(name: str, told: Mapping[str, Any]) -> str:
    """Return an answer as JSON text in its envelope.

    Examples
    --------
    >>> print(enveloped("status", {"solutions": "one"}))
    {
     "format": "deduce-status",
     "version": "1.0",
     "solutions": "one"
    }
    """
    return json.dumps({**head(name), **told}, ensure_ascii=False, indent=1)


def filled(**members: Any) -> dict[str, Any]:
    """Return those members of an answer that say something: nothing empty, and nothing that is false."""
    return {name: value for name, value in members.items() if value}


def error_fields(error: Exception) -> dict[str, Any]:
    """Return what answers say of an error: its kind, the sentence, and for malformed text what is wrong where.

    Examples
    --------
    >>> from deduce.errors import GridError
    >>> error_fields(GridError("3 cells found", "give 81", line=1, column=3))
    {'kind': 'GridError', 'message': 'line 1, column 3: 3 cells found; give 81', 'line': 1, 'column': 3}
    """
    place = filled(line=getattr(error, "line", 0), column=getattr(error, "column", 0))
    return {"kind": type(error).__name__, "message": str(error), **place}


def schemas() -> tuple[str, ...]:
    """Return the names of the formats that have a schema."""
    found = (file.name.removesuffix(".json") for file in files("deduce").joinpath("schemas").iterdir())
    return tuple(sorted(found))


def schema_of(name: str) -> str:
    """Return the JSON Schema (2020-12) of a format, as text."""
    return files("deduce").joinpath("schemas", f"{name}.json").read_text(encoding="utf-8")
