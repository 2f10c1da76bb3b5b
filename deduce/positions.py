"""Bitsets from numbers, and the position that an inference leaves: what every room needs beside the kernel."""

from __future__ import annotations

from collections.abc import Iterable

from deduce.kernel import Counting, Inference, Model, Position, place

__all__ = ["after", "apart", "bitset", "clearing", "counting", "united"]


def bitset(numbers: Iterable[int]) -> int:
    """Return the bitset of these numbers; the inverse of :func:`deduce.kernel.bits`.

    Examples
    --------
    >>> bitset([0, 3, 3])
    9
    """
    mask = 0
    for number in numbers:
        mask |= 1 << number
    return mask


def united(masks: Iterable[int]) -> int:
    """Return the union of bitsets, which may overlap.

    Examples
    --------
    >>> united([0b0011, 0b0110])
    7
    """
    union = 0
    for mask in masks:
        union |= mask
    return union


def apart(masks: Iterable[int]) -> bool:
    """Whether no two of these bitsets have a bit in common.

    Examples
    --------
    >>> apart([0b0011, 0b0100]), apart([0b0011, 0b0110])
    (True, False)
    """
    union = 0
    for mask in masks:
        if mask & union:
            return False
        union |= mask
    return True


def clearing(model: Model, position: Position, candidate: int, fell: int = -1) -> tuple[int, int]:
    """Return what the clearing of a placed candidate uses beside that candidate; nothing where rules are exclusive.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        Where it is placed.
    candidate : int
        What is placed.
    fell : int, optional
        Bitset of what is to have been cleared by it; by default anything may have been.

    Returns
    -------
    gone, true : int
        Bitsets of what has to be ruled out and what has to be true; they may be more than is needed.
    """
    gone = true = 0
    for number in model.touching[candidate]:
        if not model.exclusive[number] and model.masks[number] & fell:
            gone |= model.masks[number] & ~position.live
            true |= model.masks[number] & position.true
    return gone, true


def after(model: Model, position: Position, inference: Inference) -> Position:
    """Return the position that an inference leaves; what :func:`deduce.check` does once it has verified it.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        Where the inference is made.
    inference : Inference
        Taken at its word: nothing is verified here.
    """
    position = Position(position.live & ~bitset(inference.false), position.true)
    for candidate in inference.true:
        position = place(model, position, candidate)
    return position


def counting(bases: Iterable[tuple[int, int]], covers: Iterable[tuple[int, int]]) -> Counting:
    """Return a counting argument with constraints in order and zeros left out."""
    return Counting(
        tuple(sorted((number, weight) for number, weight in bases if weight)),
        tuple(sorted((number, weight) for number, weight in covers if weight)),
    )
