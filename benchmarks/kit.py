"""How long a recording kit takes, on one core and on two, and what drawing and packing a frame costs.

    python benchmarks/kit.py [FRAMES]

A kit of the demo puzzle of most patterns, all turns of all steps at 1920 by 1080, up to about so many frames (300).
"""

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from tables import milliseconds, table

from deduce.pages.raster import pixels, png
from deduce.pages.stills import Frame
from deduce.pages.storyboard import shots
from deduce.puzzle.grid import Grid
from deduce.walks import walk

GALE = "1.2..4...47...9..6.367.....5...4.3....9..6..52..........3..27......5..29...4....8"


def saved(image: object, level: int) -> bytes:
    """Pack a frame as a PNG without a palette."""
    written = BytesIO()
    image.save(written, "PNG", compress_level=level)
    return written.getvalue()


def main() -> None:
    """Print what a frame costs, then how long whole kits take."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    walked = walk(Grid.parse(GALE))
    told = [*shots(walked)]
    shot = next(shot for shot in reversed(told) if shot.kind == "link")
    frame = Frame()
    drawn = frame.svg(shot.scene, shot.title, shot.shown)
    image = pixels(drawn)
    rows = [("scene to SVG", milliseconds(lambda: frame.svg(shot.scene, shot.title, shot.shown)), len(drawn))]
    rows.append(("SVG to pixels", milliseconds(lambda: pixels(drawn)), 3 * image.width * image.height))
    rows.append(("PNG in a palette", milliseconds(lambda: png(image, "light")), len(png(image, "light"))))
    rows += [
        (f"PNG in all colours, level {level}", milliseconds(lambda n=level: saved(image, n)), len(saved(image, level)))
        for level in (1, 6)
    ]
    module = sys.modules.get("cairosvg.surface")
    sys.modules["cairosvg.surface"] = None
    rows.append(
        ("SVG to pixels by resvg", milliseconds(lambda: pixels(drawn), repeat=2), 3 * image.width * image.height)
    )
    sys.modules["cairosvg.surface"] = module
    table("A frame of 1920 by 1080", ("what", "ms", "bytes"), rows)
    steps, frames = [], 0
    for number in range(1, len(walked) + 1):
        steps.append(number)
        frames += sum(shot.number == number for shot in told)
        if frames >= most:
            break
    rows = []
    for workers in (1, 2):
        before, cpu = perf_counter(), process_time()
        with TemporaryDirectory() as folder:
            if workers == 1:
                files = walked.storyboard(folder, steps=steps)
            else:
                with ProcessPoolExecutor(workers) as executor:
                    files = walked.storyboard(folder, steps=steps, executor=executor)
        wall, load = perf_counter() - before, os.getloadavg()[0]
        rows.append((workers, len(steps), len(files) - 8, wall, process_time() - cpu, load))
    table("Kits", ("workers", "steps", "frames", "seconds", "of this process's CPU", "load at the end"), rows)


if __name__ == "__main__":
    main()
