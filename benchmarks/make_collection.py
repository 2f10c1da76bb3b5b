"""Write the collection of random minimal puzzles that the benchmarks use.

    python benchmarks/make_collection.py [COUNT] > benchmarks/collection.txt

Puzzle number n is `minimal_puzzle(n)`, so the file can be made again.
"""

from concurrent.futures import ProcessPoolExecutor

from tables import reader

from deduce.solving.generate import minimal_puzzle


def one(seed: int) -> str:
    """Return the puzzle of a seed as one line."""
    return minimal_puzzle(seed).line()


def main() -> None:
    """Print a heading and the puzzles."""
    asked = reader(__doc__)
    asked.add_argument("count", type=int, nargs="?", default=1000)
    count = asked.parse_args().count
    print(f"# {count} random minimal 9x9 puzzles: seeds 1 to {count} of deduce.solving.generate.minimal_puzzle")
    with ProcessPoolExecutor() as pool:
        for line in pool.map(one, range(1, count + 1), chunksize=20):
            print(line)


if __name__ == "__main__":
    main()
