"""How many proofs the kernel checks in a second.

python benchmarks/kernel_rate.py [FILE ...]
"""

from tables import asked_for, milliseconds, table

from deduce.kernel import check
from deduce.walks import walk


def main() -> None:
    """Print rates for all steps of walks, and for those that are no singles."""
    steps = [step for _, grids in asked_for(__doc__, 200) for grid in grids for step in walk(grid).steps]
    longer = [step for step in steps if "single" not in step.proof.pattern.name]
    rows = []
    for name, chosen in (("all steps of walks", steps), ("without singles", longer)):
        arguments = sum(len(step.proof.inferences) for step in chosen)
        spent = milliseconds(lambda chosen=chosen: [check(step.before, step.proof) for step in chosen], repeat=3)
        rows.append((name, len(chosen), arguments, arguments / spent * 1000))
    table("Kernel checks", ("proofs", "proofs", "counting arguments", "arguments a second"), rows)


if __name__ == "__main__":
    main()
