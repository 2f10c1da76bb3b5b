"""A proof as one line of text, for chat and comments; read back exactly.

::

    deduce-proof 2.0 | standard 4: 12..34........41 | hidden single; placed: candidates 3r1c4; house: houses row 1
    | count 3 in row 1 so +3r1c4

(on one line).  The parts are the puzzle, the pattern and the argument, separated by ``|``; the fields of a part are
separated by ``;`` and the items of a list by ``,``.

``standard 9: 9...8..42``
    layout and givens, then ``entered``, ``eliminated``, ``assumed``, ``kept`` and ``presumed`` with their candidates,
    and ``resting`` with a list in square brackets for each assumed note: the note and what rests on it.
``chain: 8r5c2 = 8r7c2 [8 in column 2] - 8r7c7 [8 in row 7] = start [...]``
    nodes with ``=`` for a strong and ``-`` for a weak link, each link's constraints behind the node it leads to
    (``[a; b]``: further covers behind a semicolon); a group stands in braces, ``start`` closes a loop.
``count A, 2 * B against C so -5r4c7 +3r1c1``
    bases A and B (twice), cover C, and what follows from them; ``swap 1r1c1 ... exits 5r4c7 ...`` may stand behind the
    bases, or alone.
``suppose 5r4c7 { ...; ... } so -5r4c7``
    inferences under a supposition; the last ends in ``so contradiction``.

Constraints go by the same names and ids as in documents; what the rules say is not listed, since the layout tells.

A name that would be taken apart by this grammar stands in double quotes, as a JSON string.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

from deduce.exchange.document import FORMAT, Document
from deduce.exchange.encode import starting_grid
from deduce.exchange.layouts import encode_layout
from deduce.exchange.line_reader import read_line
from deduce.exchange.reader import Node
from deduce.proof import Proof

__all__ = ["proof_from_line", "proof_to_line"]

WORDS = {"against", "also", "chain", "contradiction", "count", "exits", "inner", "so", "start", "suppose", "swap"}
"""What the grammar uses itself; a name that holds one of these words is quoted."""

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9.'/-]*(?: [A-Za-z0-9.'/-]+)*")


def proof_to_line(proof: Proof) -> str:
    """Return a proof, with the exact position that it stands in, as one line of text.

    Raises
    ------
    ExchangeError
        If documents have no words for something about it.
    """
    value = Document.of_proof(proof).value()
    step = value["steps"][0]
    puzzle = {**value["puzzle"], "layout": encode_layout(starting_grid(proof).layout)}
    parts = [f"{FORMAT} {value['version']}", _puzzle(puzzle), _pattern(step["pattern"])]
    parts.append("; ".join(map(_inference, step["argument"])))
    if "proved smallest" in step:
        parts.append("proved smallest")
    return " | ".join(parts)


def proof_from_line(text: str) -> Proof:
    """Read a proof from the line that `proof_to_line` prints.

    Raises
    ------
    ExchangeError
        If the line is not in that form, with the column, or says something that no proof of this layout can.
    """
    return Document.from_node(Node(read_line(text), ()), listed=False).proofs[0]


def _name(name: str, *, extra: str = "") -> str:
    """Print a name, in quotes if the grammar would take it apart; `extra` characters are harmless where it stands."""
    plain = name
    for char in extra:
        plain = plain.replace(char, "")
    if _PLAIN.fullmatch(plain) and not WORDS & {*name.split(" ")}:
        return name
    return json.dumps(name, ensure_ascii=True)


def _names(names: Iterable[str]) -> str:
    return ", ".join(map(_name, names))


def _tokens(names: Iterable[str]) -> str:
    return " ".join(map(_name, names))


def _puzzle(puzzle: dict[str, Any]) -> str:
    layout = puzzle["layout"]
    named = layout if isinstance(layout, str) else json.dumps(layout, ensure_ascii=True, separators=(",", ":"))
    parts = [f"{named}: {_digits(puzzle['givens'])}"]
    if "entered" in puzzle:
        parts.append(f"entered {_digits(puzzle['entered'])}")
    parts += [f"{key} {_tokens(puzzle[key])}" for key in ("eliminated", "assumed", "kept", "presumed") if key in puzzle]
    if "resting" in puzzle:
        parts.append(" ".join(["resting", *(f"[{_tokens(names)}]" for names in puzzle["resting"])]))
    return "; ".join(parts)


def _digits(placed: str | list[str]) -> str:
    if isinstance(placed, list):
        return f"[{_tokens(placed)}]"
    return placed if re.fullmatch(r"[A-Za-z0-9.]+", placed) else json.dumps(placed, ensure_ascii=True)


def _pattern(pattern: dict[str, Any]) -> str:
    parts = [_name(pattern["name"], extra=",")]
    for role in pattern.get("roles", ()):
        (kind,) = (key for key in role if key != "role")
        parts.append(f"{_name(role['role'])}: {kind} {_names(role[kind])}".rstrip())
    if "chain" in pattern:
        parts.append(f"chain: {_chain(pattern['chain'])}")
    if "also" in pattern:
        parts.append(f"also: {_names(pattern['also'])}")
    if "inner" in pattern:
        parts.append("inner: " + ", ".join(f"{{ {_pattern(part)} }}" for part in pattern["inner"]))
    return "; ".join(parts)


def _chain(chain: dict[str, Any]) -> str:
    shown = [_name(node) if isinstance(node, str) else f"{{{_tokens(node)}}}" for node in chain["nodes"]]
    if chain.get("loop"):
        shown.append("start")
    printed = shown[0]
    for link, node in zip(chain["links"], shown[1:], strict=True):
        mark, kind = ("=", "strong") if "strong" in link else ("-", "weak")
        covers = f"; {_names(link['covers'])}" if "covers" in link else ""
        printed += f" {mark} {node} [{_names(link[kind])}{covers}]"
    return printed


def _inference(item: dict[str, Any]) -> str:
    if "suppose" in item:
        body = f"suppose {_name(item['suppose'])} {{ {'; '.join(map(_inference, item['inferences']))} }}"
    elif "swap" in item:
        body = _swap(item["swap"])
    else:
        body = f"count {', '.join(map(_weighted, item.get('bases', ())))}".rstrip()
        body = " ".join([body, *map(_swap, item.get("swaps", ()))])
        if "covers" in item:
            body += f" against {', '.join(map(_weighted, item['covers']))}"
    concluded = [f"-{_name(c)}" for c in item.get("false", ())] + [f"+{_name(c)}" for c in item.get("true", ())]
    return f"{body} so {' '.join(concluded) or 'contradiction'}"


def _swap(swap: dict[str, Any]) -> str:
    times = f"{swap['weight']} * " if "weight" in swap else ""
    return " ".join(f"swap {times}{_tokens(swap['pattern'])} exits {_tokens(swap['exits'])}".split())


def _weighted(item: str | list[Any]) -> str:
    return _name(item) if isinstance(item, str) else f"{item[1]} * {_name(item[0])}"
