"""The command ``storyboard``: from a puzzle to everything that a recording needs."""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from contextlib import nullcontext

from deduce.commands.command import bar, waiting
from deduce.commands.inputs import Complaint, grid_asked, names_asked, say, text_from
from deduce.walks.walk import Walk, walk

__all__ = ["COMMANDS"]


def _storyboard(options: argparse.Namespace) -> int:
    """Walk one puzzle, or follow a log, and write its kit."""
    from deduce.pages.storyboard import animate, storyboard

    size = re.fullmatch(r"(\d{1,5})x(\d{1,5})", options.size)
    if size is None:
        raise Complaint(f"--size {options.size} is not there; give width and height in pixels, such as 1080x1920")
    shape = (int(size[1]), int(size[2]))
    with waiting("storyboard"):
        walked = _walked(options)
    steps = _steps(options, walked)
    asked = ("theme", "notes", "title", "words", "key", "overlays", "singles", "detail", "rate", "pause", "minutes")
    chosen = {name: getattr(options, name) for name in asked}
    workers = os.cpu_count() or 1 if options.workers is None else options.workers
    try:
        with ProcessPoolExecutor(workers) if workers > 1 else nullcontext() as executor:
            files = storyboard(
                walked, options.folder, size=shape, steps=steps, executor=executor, progress=_bar(), **chosen
            )
        if options.animate is not None:
            animate(walked, options.animate, size=shape, theme=options.theme, steps=steps)
    except (ValueError, OSError) as error:
        raise Complaint(str(error)) from error
    say(f"Wrote {len(files)} files to {options.folder}; script.md says what they are.")
    return 0


def _walked(options: argparse.Namespace) -> Walk:
    """Return the walk to tell."""
    grid = grid_asked(options)
    if options.log is None:
        walked = walk(grid, names_asked(options), assume_unique=options.assume_unique)
        return walked if options.whole else walked.prune()
    from deduce.claims.audit import audit

    return audit(grid, text_from(options.log, "one move a line")).walk()


def _steps(options: argparse.Namespace, walked: Walk) -> list[int] | None:
    """Return which steps to tell, from 1; None for all of them."""
    if options.steps is options.skip is options.chapters is None:
        return None
    parts = walked.story(whole=True).chapters
    wanted = _numbers("--steps", options.steps, len(walked))
    chapters = _numbers("--chapters", options.chapters, len(parts))
    wanted &= {told.number for at in chapters for told in parts[at - 1].steps}
    if options.skip is not None:
        wanted -= _numbers("--skip", options.skip, len(walked))
    return sorted(wanted)


def _numbers(option: str, listed: str | None, count: int) -> set[int]:
    """Read a list of numbers and of ranges; without one all numbers up to a count."""
    if listed is None:
        return {*range(1, count + 1)}
    found: set[int] = set()
    for part in listed.split(","):
        ends = re.fullmatch(r"\s*(\d+)\s*(?:-\s*(\d+)\s*)?", part)
        first, last = (0, 0) if ends is None else (int(ends[1]), int(ends[2] or ends[1]))
        if not 1 <= first <= last <= count:
            raise Complaint(f"{option} {part.strip()} is not there; give numbers from 1 to {count}, such as 1,17-24")
        found.update(range(first, last + 1))
    return found


def _bar() -> Callable[[int, int], None] | None:
    """Return what shows how many frames are drawn, if anybody looks."""
    drawn = bar(unit="frame")
    if drawn is None:
        return None

    def show(done: int, count: int) -> None:
        drawn.total = count
        drawn.update(1)
        if done == count:
            drawn.close()

    return show


COMMANDS = {"storyboard": _storyboard}
