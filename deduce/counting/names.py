"""What the deductions beyond the catalogue are called; apart, so that HiGHS is not loaded for a name."""

__all__ = ["COUNTING", "NAMES", "SUPPOSITION"]

COUNTING = "counting argument"
SUPPOSITION = "supposition"
NAMES = (COUNTING, SUPPOSITION)
"""The pattern names that a walk may list to allow what this package finds."""
