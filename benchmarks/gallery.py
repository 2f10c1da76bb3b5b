"""Draw a picture of every pattern name, on one sheet and as files.

    python benchmarks/gallery.py FOLDER [--theme NAME] [--size WIDTHxHEIGHT] [--only WORD]

Writes `NAME.svg` and `NAME.png` for each pattern that has a position in `tests/pictures`, for a supposition and a
counting argument, and `sheet-1.png` and so on with twelve to a sheet. Needs the extra `pictures`.
"""

import sys
from pathlib import Path

from PIL import Image
from tables import reader

from deduce.pages.raster import pixels, png
from deduce.pictures import scene_of
from deduce.pictures.svg import svg
from deduce.pictures.themes import THEMES

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from pictures.positions import shown

PER_SHEET = 12


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
        # Whole pixels: paper all the way to the edge.
        width = int(min(room[0], room[1] * wide / high))
        image = pixels(svg(scene_of(proof), theme=given.theme, size=(width, int(width * high / wide))))
        file = given.folder / name.replace(" ", "-").replace(",", "")
        file.with_suffix(".svg").write_text(text, encoding="utf-8")
        file.with_suffix(".png").write_bytes(png(image, given.theme))
        drawn.append(image)
    for start in range(0, len(drawn), PER_SHEET):
        part = drawn[start : start + PER_SHEET]
        sheet = Image.new("RGB", room, THEMES[given.theme].paper)
        across, down = room[0] // 4, room[1] // 3
        for at, image in enumerate(part):
            small = image.copy()
            small.thumbnail((across - 8, down - 8))
            sheet.paste(small, (at % 4 * across + 4, at // 4 * down + 4))
        (given.folder / f"sheet-{start // PER_SHEET + 1}.png").write_bytes(png(sheet, given.theme))
    print(f"{len(drawn)} pictures in {given.folder}")


if __name__ == "__main__":
    main()
