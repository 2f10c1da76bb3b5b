"""When each part of a recording is said: durations from words, captions as SRT and WebVTT, marks of chapters."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from html import escape
from textwrap import wrap
from typing import NamedTuple

from deduce.words.en.kit import too_long, too_short

__all__ = ["FPS", "Caption", "Pace", "captions", "clock", "durations", "srt", "vtt", "words_in"]

FPS = 25
"""Frames a second of the video; all times are whole frames."""

FASTEST, SLOWEST = 190.0, 110.0
"""Words a minute that still are a calm voice, for a target length."""

SHORTEST_PAUSE, LONGEST_PAUSE = 0.3, 4.0
LEAST = 1.0
"""Seconds for which a frame or a caption stands at least."""

MOST, LINE, LINES = 7.0, 42, 2
"""Seconds for which a caption stands at most, letters in a line of it, and its lines."""


class Pace(NamedTuple):
    """How fast somebody speaks: words a minute, and the seconds of silence after each frame."""

    rate: float = 140.0
    pause: float = 0.8


class Caption(NamedTuple):
    """Words on the screen from one time to another, in seconds."""

    start: float
    end: float
    text: str


def words_in(said: str) -> int:
    """Count words as they are spoken; the name of a cell is two.

    Examples
    --------
    >>> words_in("Look at r1c2 and box 5.")
    7
    """
    return len(said.split()) + len(re.findall(r"\br\d+c\d+", said))


def durations(said: Sequence[str], pace: Pace, minutes: float | None = None) -> tuple[list[float], Pace, str]:
    """Return how long each of some sayings takes.

    Parameters
    ----------
    said : sequence of str
        What is said while each frame stands.
    pace : Pace
        Words a minute and pauses; where there is a target length, the pauses change first, then the rate.
    minutes : float, optional
        The target.

    Returns
    -------
    list of float
        Seconds, whole frames of the video.
    Pace
        What came of the pace.
    str
        Why the target is missed by more than a fiftieth; empty if it is not.
    """
    spoken = [words_in(words) for words in said]

    def lasting(at: Pace) -> list[float]:
        return [max(LEAST, count * 60 / at.rate + at.pause) for count in spoken]

    note = ""
    if minutes is not None:
        target = minutes * 60

        def meets(made: Callable[[float], Pace], low: float, high: float) -> Pace:
            """Return the pace between two extremes, the shorter first, that comes to the target."""
            for _ in range(40):
                middle = (low + high) / 2
                low, high = (middle, high) if sum(lasting(made(middle))) < target else (low, middle)
            return made(high)

        pace = meets(lambda pause: Pace(pace.rate, pause), SHORTEST_PAUSE, LONGEST_PAUSE)
        total = sum(lasting(pace))
        if abs(total - target) > 0.001 * target:
            rates = (FASTEST, pace.rate) if total > target else (pace.rate, SLOWEST)
            pace = meets(lambda word: Pace(60 / word, pace.pause), 60 / max(rates), 60 / min(rates))
            total = sum(lasting(pace))
        if abs(total - target) > 0.02 * target:
            told = too_long if total > target else too_short
            note = told(len(said), clock(total), clock(target), pace.rate, pace.pause)
    exact, whole, found = 0.0, 0, []
    for seconds in lasting(pace):
        exact += seconds
        found.append((round(exact * FPS) - whole) / FPS)
        whole = round(exact * FPS)
    return found, pace, note


def captions(said: Sequence[str], lengths: Sequence[float], rate: float) -> list[Caption]:
    """Return the captions for sayings that follow one another, broken at the ends of sentences and phrases."""
    found: list[Caption] = []
    start = 0.0
    for words, seconds in zip(said, lengths, strict=True):
        letters = len(words) / max(0.1, words_in(words) * 60 / rate)
        pieces = [*_pieces(words, min(LINE, int(MOST * letters / LINES)))]
        spare = max(0.0, seconds - LEAST * len(pieces)) / max(1, sum(map(len, pieces)))
        least = min(LEAST, seconds / max(1, len(pieces)))
        at = start
        for piece in pieces:
            length = least + spare * len(piece)
            found.append(Caption(at, at + min(length, MOST), piece))
            at += length
        start += seconds
    return found


def _pieces(words: str, width: int) -> Iterator[str]:
    """Part words into captions of lines of a width, at the ends of sentences first, then of phrases, then anywhere."""
    held: list[str] = []
    for phrase in re.split(r"(?<=[.:;,?])\s+|\n", words):
        lines = wrap(" ".join([*held, phrase]), width)
        over = held and (len(lines) > LINES or (held[-1].endswith((".", "?")) and len(held) > 1))
        if over:
            yield "\n".join(held)
            lines = wrap(phrase, width)
        while len(lines) > LINES:
            yield "\n".join(lines[:LINES])
            lines = lines[LINES:]
        held = lines
    if held:
        yield "\n".join(held)


def clock(seconds: float) -> str:
    """Return a time as a list of chapters has it.

    Examples
    --------
    >>> clock(5.2), clock(754), clock(3725)
    ('0:05', '12:34', '1:02:05')
    """
    whole = int(seconds)
    hours, minutes = divmod(whole // 60, 60)
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"


def _stamp(seconds: float, point: str) -> str:
    milliseconds = round(seconds * 1000)
    minutes, rest = divmod(milliseconds // 1000, 60)
    return f"{minutes // 60:02}:{minutes % 60:02}:{rest:02}{point}{milliseconds % 1000:03}"


def srt(told: Sequence[Caption]) -> str:
    """Return captions as an SRT file."""
    return "\n".join(
        f"{number}\n{_stamp(one.start, ',')} --> {_stamp(one.end, ',')}\n{one.text}\n"
        for number, one in enumerate(told, 1)
    )


def vtt(told: Sequence[Caption]) -> str:
    """Return captions as a WebVTT file."""
    cues = (f"{_stamp(one.start, '.')} --> {_stamp(one.end, '.')}\n{escape(one.text, quote=False)}\n" for one in told)
    return "\n".join(["WEBVTT\n", *cues])
