"""Draw a picture of every pattern name, on one sheet and as files.

    python benchmarks/gallery.py FOLDER [--theme NAME] [--size WIDTHxHEIGHT] [--only WORD]

Writes `NAME.svg` and `NAME.png` for each pattern that has a position in `tests/pictures`, for a supposition and a
counting argument, and `sheet-1.png` and so on with twelve to a sheet. Needs the extra `pictures`.
"""

import sys
from pathlib import Path

from tables import reader

from deduce.pages.raster import png, sheet
from deduce.pictures import scene_of
from deduce.pictures.svg import svg
from deduce.pictures.themes import THEMES

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from pictures.positions import shown


def main() -> None:
    """Draw them all."""
    asked = reader(__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--theme", choices=THEMES, default="light")
    asked.add_argument("--size", default="1920x1080", help="the room that a picture has (default 1920x1080)")
    asked.add_argument("--only", default="", help="only the patterns with this in their names")
    given = asked.parse_args()
    room = tuple(map(int, given.size.split("x")))
    given.folder.mkdir(parents=True, exist_ok=True)
    drawn = []
    for name, proof in shown():
        if given.only not in name:
            continue
        text = svg(scene_of(proof), theme=given.theme)
        high, wide = (float(text.split(f'{side}="', 1)[1].split('"', 1)[0]) for side in ("height", "width"))
        made = png(text, int(min(room[0], room[1] * wide / high)))
        file = given.folder / name.replace(" ", "-").replace(",", "")
        file.with_suffix(".svg").write_text(text, encoding="utf-8")
        file.with_suffix(".png").write_bytes(made)
        drawn.append(made)
    for start in range(0, len(drawn), 12):
        part = drawn[start : start + 12]
        (given.folder / f"sheet-{start // 12 + 1}.png").write_bytes(sheet(part, 4, min(room[0] // 4, 480)))
    print(f"{len(drawn)} pictures in {given.folder}")


if __name__ == "__main__":
    main()
