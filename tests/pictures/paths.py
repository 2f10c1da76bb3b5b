"""Read the paths of pictures: every point that they touch with a straight end or a handle."""

from __future__ import annotations

import re
from itertools import pairwise


def points_of(path: str) -> list[tuple[float, float]]:
    """Return the ends, and the handles of curves, of a path of the commands M m L l H h V v C Q a z."""
    found: list[tuple[float, float]] = []
    x = y = x0 = y0 = 0.0
    for command, given in re.findall(r"([MmLlHhVvCQaz])([^MmLlHhVvCQaz]*)", path):
        numbers = [float(number) for number in re.findall(r"-?\d+\.?\d*", given)]
        if command == "z":
            x, y = x0, y0
        elif command in "Hh":
            x = numbers[0] if command == "H" else x + numbers[0]
        elif command in "Vv":
            y = numbers[0] if command == "V" else y + numbers[0]
        elif command == "a":
            assert len(numbers) == 7, given
            radius = numbers[0]
            # Both arcs of a circle are half of it.
            found += [(x + numbers[5] / 2, y - radius), (x + numbers[5] / 2, y + radius)]
            x, y = x + numbers[5], y + numbers[6]
        else:
            assert numbers, given
            assert len(numbers) % 2 == 0, given
            for across, down in zip(numbers[::2], numbers[1::2], strict=True):
                x, y = (across, down) if command.isupper() else (x + across, y + down)
                found.append((x, y))
            if command in "Mm":
                x0, y0 = x, y
        found.append((x, y))
    return found


def flattened(path: str) -> list[list[tuple[float, float]]]:
    """Return for each piece of a path of the commands M L Q C points along it, no more than about a unit apart."""
    pieces: list[list[tuple[float, float]]] = []
    for command, given in re.findall(r"([MLQC])([^MLQC]*)", path):
        numbers = [float(number) for number in re.findall(r"-?\d+\.?\d*", given)]
        ends = list(zip(numbers[::2], numbers[1::2], strict=True))
        if command == "M":
            pieces.append(ends)
            continue
        hull = [pieces[-1][-1], *ends]
        count = 1 + int(sum(abs(x - u) + abs(y - v) for (x, y), (u, v) in pairwise(hull)))
        for step in range(1, count + 1):
            points = hull
            while len(points) > 1:
                points = [
                    (x + (u - x) * step / count, y + (v - y) * step / count) for (x, y), (u, v) in pairwise(points)
                ]
            pieces[-1] += points
    return pieces
