"""A handful of pictures that are kept as files; run this module to write them anew after a change on purpose."""

from __future__ import annotations

from pathlib import Path

from pictures.positions import proof

from deduce.pictures import picture

FOLDER = Path(__file__).parent / "golden"

GOLDEN = {
    "hidden-single": ("hidden single", "light", "needed"),
    "X-wing": ("X-wing", "light", "needed"),
    "XY-wing": ("XY-wing", "dark", "needed"),
    "loop": ("continuous loop", "light", "needed"),
    "kite": ("two-string kite", "print", "none"),
    "subset": ("hidden pair", "print", "all"),
}


def golden_file(name: str) -> Path:
    """Return where a picture is kept."""
    return FOLDER / f"{name}.svg"


def golden_text(name: str) -> str:
    """Draw the picture as it is drawn now."""
    pattern, theme, notes = GOLDEN[name]
    return picture(proof(pattern), theme=theme, notes=notes) + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for each in GOLDEN:
        golden_file(each).write_text(golden_text(each), encoding="utf-8")
