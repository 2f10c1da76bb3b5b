"""How large pictures and pages are, and how long they take to draw.

    python benchmarks/pictures_size.py [FILE ...]

Without a file: the first 60 puzzles of `benchmarks/collection.txt`.
"""

from collections import defaultdict

from tables import asked_for, milliseconds, summary, table

from deduce.pictures import page, picture
from deduce.pictures.themes import THEMES
from deduce.walks import walk


def main() -> None:
    """Print frames by theme, the largest by pattern, and pages scaled to 60 steps."""
    walks = [walk(grid) for _, grids in asked_for(__doc__, 60) for grid in grids]
    steps = [step for walked in walks for step in walked.steps]
    picture(steps[0].proof)  # loads what is loaded on first use
    rows, largest = [], defaultdict(int)
    for theme in THEMES:
        sizes, times = [], []
        for step in steps:
            drawn = []
            times.append(milliseconds(lambda p=step.proof, d=drawn, t=theme: d.append(picture(p, theme=t)), repeat=1))
            sizes.append(len(drawn[0].encode()))
            name = step.proof.pattern.name
            largest[name] = max(largest[name], sizes[-1])
        rows.append((theme, len(steps), *summary(sizes), *summary(times)))
    heads = ("theme", "frames", "mean bytes", "median", "largest", "mean ms", "median ms", "largest ms")
    table("Frames", heads, rows)
    table("Largest frame by pattern", ("pattern", "bytes"), sorted(largest.items(), key=lambda item: -item[1]))
    pages = [len(page(walked).encode()) / max(len(walked), 1) * 60 for walked in walks]
    mean, median, most = summary(pages)
    table("Pages, scaled to 60 steps", ("walks", "mean bytes", "median", "largest"), [(len(walks), mean, median, most)])


if __name__ == "__main__":
    main()
