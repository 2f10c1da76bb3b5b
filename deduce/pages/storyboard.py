"""A walk made ready for recording: numbered frames, a script, chapter marks, thumbnails; and one step animated."""

from __future__ import annotations

from pathlib import Path

from deduce.claims.notes import premises_of
from deduce.pages.raster import animation, png, sheet
from deduce.pictures.scene import stages
from deduce.pictures.svg import frames as alike
from deduce.walks.walk import Step, Walk
from deduce.words.en.shows import chapter, script_opening, script_step

__all__ = ["animate", "storyboard"]

STAGES = ("before", "pattern", "result")


def storyboard(
    walk: Walk, folder: str | Path, *, theme: str = "light", notes: str = "all", size: int = 900
) -> tuple[Path, ...]:
    """Write the storyboard of a walk into a folder.

    Parameters
    ----------
    walk : Walk
        The walk.
    folder : str or Path
        Made if it does not exist; files of the same names are overwritten.
    theme : str
        ``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for projection.
    notes : str
        ``"all"``, ``"needed"`` (those that each step rests on) or ``"none"``.
    size : int
        Width of the frames in pixels.

    Returns
    -------
    tuple of Path
        The files: three frames a step (``007-before.png``, ``007-pattern.png``, ``007-result.png``), ``script.md``
        (what to fill in, point at, say and write), ``chapters.txt`` (a place for the time, then the step), and
        ``thumbnails.png`` if there is a step.

    Raises
    ------
    MissingExtra
        If resvg-py or Pillow is not installed, with the command that installs them; nothing is written then.
    """
    frames: dict[str, bytes] = {}
    script = [script_opening(walk)]
    known: set[int] = set()
    for number, step in enumerate(walk.steps, 1):
        names = tuple(f"{number:03}-{stage}.png" for stage in STAGES)
        scenes = stages(step)
        drawn = alike([scene.with_notes(notes) for scene in scenes], theme=theme)
        frames |= {name: png(text, size) for name, text in zip(names, drawn, strict=True)}
        fresh = tuple(number for number in _read(step) if number not in known)
        known.update(fresh)
        script.append(script_step(number, step, scenes[1], (names[0], names[1], names[2]), fresh))
    if frames:
        frames["thumbnails.png"] = sheet(list(frames.values()), 3 * min(3, len(walk.steps)), 240)
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    marks = "".join(chapter(number, step) + "\n" for number, step in enumerate(walk.steps, 1))
    texts = {"script.md": "\n".join(script), "chapters.txt": marks}
    for name, content in frames.items():
        (target / name).write_bytes(content)
    for name, text in texts.items():
        (target / name).write_text(text, encoding="utf-8")
    return tuple(target / name for name in (*frames, *texts))


def _read(step: Step) -> tuple[int, ...]:
    """Return what has to be read for a step: its bases, and the cells of its swaps, whose notes show the exits."""
    proof = step.proof
    swapped = premises_of(proof).cells if proof.swaps else ()
    return tuple(dict.fromkeys([*proof.bases, *swapped]))


def animate(step: Step, file: str | Path, *, theme: str = "light", size: int = 700, seconds: float = 2.5) -> Path:
    """Write one step as an animation: the position before it, its pattern, and what it leads to.

    Parameters
    ----------
    step : Step
        A step of a walk.
    file : str or Path
        A name that ends in ``.gif`` or ``.webp``.
    theme : str
        ``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for projection.
    size : int
        Width in pixels.
    seconds : float
        For which each picture stands.

    Raises
    ------
    MissingExtra
        If resvg-py or Pillow is not installed.
    ValueError
        For another kind of file.
    """
    target = Path(file)
    pictures = [png(text, size) for text in alike(stages(step), theme=theme)]
    target.write_bytes(animation(pictures, target.suffix.removeprefix(".").lower(), seconds))
    return target
