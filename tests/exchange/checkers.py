"""Two small checkers, written from the descriptions of the formats and from nothing in the library."""

from __future__ import annotations

import re

__all__ = ["Refused", "dimacs", "lrat", "pseudo_boolean"]


class Refused(Exception):  # noqa: N818 - a verdict
    """The checker does not accept the file."""


def dimacs(text: str) -> tuple[int, list[list[int]]]:
    """Read a formula: the number of variables and the clauses."""
    lines = [line for line in text.splitlines() if not line.startswith("c")]
    _, form, variables, count = lines[0].split()
    clauses = [[int(word) for word in line.split()] for line in lines[1:]]
    if form != "cnf" or len(clauses) != int(count) or any(clause.pop() for clause in clauses):
        raise Refused("the header or the end of a clause is wrong")
    for clause in clauses:
        if len({abs(literal) for literal in clause}) != len(clause) or not all(
            0 < abs(c) <= int(variables) for c in clause
        ):
            raise Refused(f"clause {clause} repeats a variable or has one too many")
    return int(variables), clauses


def lrat(formula: str, proof: str) -> list[tuple[list[int], list[list[int]]]]:
    """Follow an LRAT proof; return each derived clause with the clauses that it was derived from."""
    _, stated = dimacs(formula)
    clauses = dict(enumerate(stated, 1))
    derived = []
    for line in proof.splitlines():
        number, *rest = [int(word) for word in line.split()]
        end = rest.index(0)
        literals, hints = rest[:end], rest[end + 1 : -1]
        if rest[-1] != 0 or number <= max(clauses, default=0):
            raise Refused(f"line {number} does not end in 0 or its number is not new")
        false = set(literals)
        for place, hint in enumerate(hints, 1):
            if hint not in clauses:
                raise Refused(f"line {number} rests on clause {hint}, which is not there yet")
            left = [literal for literal in clauses[hint] if literal not in false]
            if len(left) > 1 or (not left) != (place == len(hints)):
                raise Refused(f"line {number}: clause {hint} leaves {left}")
            false.update(-literal for literal in left)
        if not hints:
            raise Refused(f"line {number} has no reason")
        clauses[number] = literals
        derived.append((literals, [clauses[hint] for hint in hints]))
    return derived


Sum = tuple[dict[int, int], int]


def _normal(words: list[str]) -> Sum:
    """Read ``1 x1 -2 ~x3 >= 1``: positive weights of literals, and the degree."""
    at = words.index(">=")
    degree = int(words[at + 1])
    weights: dict[int, int] = {}
    for weight, name in zip(words[0:at:2], words[1:at:2], strict=True):
        literal = -int(name[2:]) if name.startswith("~x") else int(name[1:])
        number = int(weight)
        if number < 0:
            literal, number, degree = -literal, -number, degree - number
        weights[literal] = weights.get(literal, 0) + number
    return weights, degree


def _add(one: Sum, two: Sum) -> Sum:
    weights, degree = dict(one[0]), one[1] + two[1]
    for literal, weight in two[0].items():
        total = weights.get(literal, 0) + weight - weights.pop(-literal, 0)
        degree -= min(two[0][literal], one[0].get(-literal, 0))
        weights.pop(literal, None)
        if total:
            weights[literal if total > 0 else -literal] = abs(total)
    return weights, degree


def _literal(word: str) -> int:
    return -int(word[2:]) if word.startswith("~x") else int(word[1:])


def _pol(words: list[str], known: list[Sum]) -> Sum:
    """Evaluate one line in reverse Polish."""
    stack: list[Sum | int] = []
    for place, word in enumerate(words):
        ahead = words[place + 1] if place + 1 < len(words) else ""
        if word == "+":
            stack.append(_add(stack.pop(), stack.pop()))
        elif word in ("*", "d"):
            factor, (weights, degree) = stack.pop(), stack.pop()
            if factor < 1:
                raise Refused(f"{factor} is no factor")
            if word == "*":
                stack.append(({c: w * factor for c, w in weights.items()}, degree * factor))
            else:
                stack.append(({c: -(-w // factor) for c, w in weights.items()}, -(-degree // factor)))
        elif word == "s":
            weights, degree = stack.pop()
            stack.append(({c: min(w, degree) for c, w in weights.items()}, degree))
        elif word == "w":
            variable, (weights, degree) = stack.pop(), stack.pop()
            for literal in (variable, -variable):
                degree -= weights.get(literal, 0)
            stack.append(({c: w for c, w in weights.items() if abs(c) != variable}, degree))
        elif "x" in word:
            stack.append(_literal(word) if ahead == "w" else ({_literal(word): 1}, 0))
        elif ahead in ("*", "d"):
            stack.append(int(word))
        elif 1 <= int(word) <= len(known):
            stack.append(known[int(word) - 1])
        else:
            raise Refused(f"constraint {word} is not there yet")
    if len(stack) != 1:
        raise Refused("the line does not add up to one constraint")
    return stack[0]


def pseudo_boolean(formula: str, proof: str) -> tuple[list[Sum], list[Sum], bool]:
    """Follow a pseudo-Boolean proof of version 3.0 or 1.2.

    Returns the constraints of the formula, those that the proof compares with a line (``e``), and whether it ends in
    a contradiction.
    """
    head, *rest = formula.splitlines()
    rules = [line for line in rest if not line.startswith("*")]
    if not all(line.endswith(" ;") for line in rules):
        raise Refused("a constraint does not end in a semicolon")
    known = [_normal(line[:-2].split()) for line in rules]
    if head.split() != ["*", "#variable=", head.split()[2], "#constraint=", str(len(known))]:
        raise Refused("the header of the formula is wrong")
    stated = list(known)
    first, *lines = proof.splitlines()
    modern = first == "pseudo-Boolean proof version 3.0"
    if not modern and first != "pseudo-Boolean proof version 1.2":
        raise Refused(f"the first line is {first!r}")
    shown, unsatisfiable, ended = [], False, False
    for line in lines:
        if line.startswith("%" if modern else "*"):
            continue
        if modern and not line.endswith(" ;"):
            raise Refused(f"{line!r} does not end in a semicolon")
        rule, *words = (line[:-2] if modern else line).split()
        if rule == "f" and int(words[0]) != len(stated):
            raise Refused("the proof is about a formula of another size")
        if rule == "pol":
            known.append(_pol(words, known))
        elif rule == "e":
            number = int(words[-1] if modern else words[0])
            compared = _normal(words[: words.index(":")] if modern else words[1 : words.index(";")])
            if known[number - 1] != compared:
                raise Refused(f"line {number} is {known[number - 1]}, not {compared}")
            shown.append(compared)
        elif rule == "conclusion" and words[0] == "UNSAT":
            unsatisfiable = _refuted(known[int(words[-1]) - 1])
        elif rule == "c":
            unsatisfiable = _refuted(known[int(words[0]) - 1])
        elif rule == "end":
            ended = True
        elif rule not in ("f", "output", "conclusion"):
            raise Refused(f"unknown rule {rule!r}")
    if modern and not (ended and re.search(r"^output NONE ;$", proof, re.MULTILINE)):
        raise Refused("the proof has no end")
    return stated, shown, unsatisfiable


def _refuted(constraint: Sum) -> bool:
    weights, degree = constraint
    if sum(weights.values()) >= degree:
        raise Refused("the constraint of the conclusion can be met")
    return True
