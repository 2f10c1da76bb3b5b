"""Hitting sets against every choice of a few items."""

from itertools import combinations

from hypothesis import given, strategies as st

from deduce.solving import hitting
from deduce.solving.hitting import hitting_also, hitting_of_size, smallest_hitting

ITEMS = 6
FAMILIES = st.lists(st.integers(0, (1 << ITEMS) - 1), max_size=5)


def hits(family: list[int]) -> list[int]:
    """Every choice that has an item in common with each set, by size, then by its first items."""
    chosen = [sum(1 << i for i in items) for size in range(ITEMS + 1) for items in combinations(range(ITEMS), size)]
    return [choice for choice in chosen if all(choice & one for one in family)]


@given(FAMILIES)
def test_choices_of_a_size_come_in_order_and_none_is_missing(family):
    found = [choice for size in range(ITEMS + 1) for choice in hitting_of_size(ITEMS, family, size)]
    assert found == hits(family)


@given(FAMILIES, st.integers(0, ITEMS + 1))
def test_the_smallest_is_as_small_as_any_and_hits(family, below):
    every = hits(family)
    fewest = min((choice.bit_count() for choice in every), default=ITEMS + 1)
    found = smallest_hitting(ITEMS, family, below)
    if fewest < below:
        assert found in every
        assert found.bit_count() == fewest
    else:
        assert found is None


@given(FAMILIES)
def test_one_set_after_the_other_leaves_all_that_hold_no_smaller_one(family):
    held = [0]
    for wanted in family:
        held = hitting_also(held, wanted)
    every = hits(family)
    minimal = [choice for choice in every if not any(other != choice and not other & ~choice for other in every)]
    assert sorted(held) == sorted(minimal)


def test_too_many_to_hold(monkeypatch):
    monkeypatch.setattr(hitting, "MOST", 3)
    assert hitting_also([0], 0b111) == [1, 2, 4]
    assert hitting_also([0], 0b1111) is None
