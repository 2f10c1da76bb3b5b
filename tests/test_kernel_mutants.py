"""The kernel's exact limits and words: tests that random changes of the trusted file were seen to need.

Each stands for changes that mutation testing made and that nothing else noticed: a bound one too far, a shift in the
wrong direction, a field of an error left out.  How to run it is in DEVELOPERS.md.
"""

from types import SimpleNamespace

import pytest

import deduce.kernel
from deduce.errors import ProofError
from deduce.kernel import (
    MAX_DEPTH,
    MAX_PATTERN,
    MAX_WEIGHT,
    Checked,
    Constraint,
    Counting,
    Inference,
    Model,
    Position,
    Supposition,
    Swap,
    check,
    coefficients,
    place,
)
from deduce.positions import conclusions


def rule(name, *terms, lower=None, upper=None):
    """A constraint from candidates, or from (candidate, coefficient)."""
    return Constraint(name, tuple(t if isinstance(t, tuple) else (t, 1) for t in terms), lower, upper)


def one(name, *terms):
    return rule(name, *terms, lower=1, upper=1)


def judge(model, *inferences, live=None, true=(), givens=()):
    every = range(len(model.names))
    masks = [sum(1 << c for c in chosen) for chosen in (every if live is None else live, true, givens)]
    grid = SimpleNamespace(model=model, live=masks[0], true=masks[1], givens=masks[2])
    return check(grid, SimpleNamespace(inferences=inferences))


def refused(model, *inferences, **position):
    with pytest.raises(ProofError) as caught:
        judge(model, *inferences, **position)
    return caught.value.step, caught.value.missing, caught.value.got


A, B, C, D, Z = range(5)
WORKED = Model(
    "abcdz",
    [
        rule("ab", A, B, lower=1),
        rule("cd", C, D, lower=1),
        rule("bc", B, C, upper=1),
        rule("za", Z, A, upper=1),
        rule("zd", Z, D, upper=1),
    ],
)
CHAIN = Counting(((0, 1), (1, 1)), ((2, 1), (3, 1), (4, 1)))
PAIR = Model("ab", [one("one", 0, 1)])
BROKEN = Inference(Counting(((0, 1),), ()))
SWAP = Swap((0, 1), (2,))
TRIO = Model("abc", [one("ab", 0, 1)])


@pytest.mark.parametrize(
    ("inferences", "position", "expected"),
    [
        ([], {}, ((), "at least one inference", "none")),
        (
            [Inference(CHAIN, (Z,))],
            {"live": [9]},
            ((), "live candidates of the model, the true ones among them", "a position that is neither"),
        ),
        ([Inference(CHAIN, (9,))], {}, ((1,), "a candidate of the model", "9")),
        ([Inference(CHAIN, (5,))], {}, ((1,), "a candidate of the model", "5")),
        ([Inference(CHAIN, (Z, Z))], {}, ((1,), "each candidate concluded once", "one concluded twice")),
        ([Inference(CHAIN, (Z,))], {"live": [0, 1, 2, 3]}, ((1,), "z still live", "a candidate that is already gone")),
        ([Inference(CHAIN, (Z,))], {"true": [Z]}, ((1,), "z still open", "a candidate that is already placed")),
        ([Inference(7, (Z,))], {}, ((1,), "a counting argument, a supposition or a swap", "int")),
        ([Inference(Counting((), ()), (Z,))], {}, ((1,), "at least one base or cover", "an empty sum")),
        (
            [Inference(Counting(((5, 1),), ()), (Z,))],
            {},
            ((1,), "a base among the constraints of the model", "constraint 5"),
        ),
        (
            [Inference(Counting((), ((5, 1),)), (Z,))],
            {},
            ((1,), "a cover among the constraints of the model", "constraint 5"),
        ),
        ([Inference(Counting(((0, 1), (0, 1)), ()), (Z,))], {}, ((1,), "each base listed once", "'ab' twice")),
        ([Inference(Counting((), ((2, 1), (2, 1))), (Z,))], {}, ((1,), "each cover listed once", "'bc' twice")),
        (
            [Inference(Counting(((0, 0),), ()), (Z,))],
            {},
            ((1,), f"a whole weight from 1 to {MAX_WEIGHT} for 'ab'", "0"),
        ),
        (
            [Inference(Counting((), (), ((Swap((A,), (Z,)), 0),)), (), (Z,))],
            {},
            ((1,), f"a whole weight from 1 to {MAX_WEIGHT} for a swap", "0"),
        ),
        (
            [Inference(Counting(((2, 1),), ()), (Z,))],
            {},
            ((1,), "a base with a bound on that side", "'bc', which has none"),
        ),
        (
            [Inference(Counting((), ((0, 1),)), (Z,))],
            {},
            ((1,), "a cover with a bound on that side", "'ab', which has none"),
        ),
        ([Inference(CHAIN)], {}, ((1,), "a sum that cannot stay within 1", "a sum that can be 0")),
        (
            [Inference(CHAIN, (A,))],
            {},
            ((1,), "no room for a", "a sum of at least 0, in which it weighs 0, with room for 1"),
        ),
        (
            [Inference(CHAIN, (), (Z,))],
            {},
            ((1,), "no way without z", "a sum of at least 0, in which it weighs 2, with room for 1"),
        ),
        ([Inference(Supposition(7, (BROKEN,)), (Z,))], {}, ((1,), "a candidate of the model", "7")),
        (
            [Inference(Supposition(Z, (BROKEN,)), (A,))],
            {},
            ((1,), "the conclusion that z is false", "another conclusion"),
        ),
        (
            [Inference(Supposition(A, (Inference(Counting((), ((3, 1),)), ()),)), (A,))],
            {"live": [A, B]},
            ((1, 1), "a sum that cannot stay within 1", "a sum that can be 1"),
        ),
        (
            [Inference(Supposition(D, (Inference(Counting((), ((4, 1),)), (Z,)),)), (D,))],
            {},
            ((1, 1), "z still live", "a candidate that is already gone"),
        ),
        (
            [Inference(Swap((A, A), (Z,)), (), (Z,))],
            {},
            ((1,), "each candidate of a swap named once", "one named twice"),
        ),
        ([Inference(Swap((A, 9), (Z,)), (), (Z,))], {}, ((1,), "a candidate of the model", "9")),
        (
            [Inference(Swap((A, B), (Z,)), (), (Z,))],
            {"true": [B], "givens": [B]},
            ((1,), "a swap over candidates that are not given", "b"),
        ),
        (
            [Inference(Swap((A,), (Z,)), (), (Z,))],
            {},
            ((1,), "another filling for each one without an exit", "none alone"),
        ),
    ],
)
def test_a_refusal_says_where_and_what(inferences, position, expected):
    assert refused(WORKED, *inferences, **position) == expected


def test_a_contradiction_is_the_last_inference():
    said = "the contradiction to be the last inference"
    assert refused(PAIR, BROKEN, BROKEN, BROKEN, live=[]) == ((1,), said, "3 inferences")


def test_a_supposition_without_a_contradiction():
    model = Model("abc", [rule("ab", 0, 1, upper=1)])
    empty = Inference(Supposition(0, ()), (0,))
    assert refused(model, empty) == ((1,), "a contradiction from a", "inferences that end without one")


def test_a_swap_alone_is_refused_with_its_own_numbers():
    expected = ((1,), "no way without a", "a sum of at least -1, in which it weighs 0, with room for -1")
    assert refused(TRIO, Inference(SWAP, (), (0,))) == expected


def test_the_names_of_a_swap_stand_as_its_rules_do():
    """The filling that cannot be exchanged is told in the order of the constraints, not of the numbers."""
    model = Model("abz", [rule("b", (1, 1), lower=1), rule("a", (0, 1), lower=1)])
    expected = ((1,), "another filling for each one without an exit", "b a alone")
    assert refused(model, Inference(SWAP, (), (2,))) == expected


@pytest.mark.parametrize(
    ("names", "rules", "said"),
    [
        ("aa", [], "two candidates of a model have the same name"),
        ("ab", [one("x", 0), one("x", 1)], "two constraints of a model have the same name"),
        ("ab", [one("x", 2)], "constraint 'x' names candidate 2, which the model lacks"),
        ("ab", [one("x", (1, 1), (1, 1))], "constraint 'x' has a bad term for b"),
        ("ab", [rule("x", 0, lower=0.5)], "constraint 'x' has a bound that is no whole number"),
        ("ab", [rule("x", 0, lower=2, upper=1)], "constraint 'x' asks for at least 2 and at most 1"),
    ],
)
def test_what_a_model_says_when_it_makes_no_sense(names, rules, said):
    with pytest.raises(ValueError) as caught:
        Model(names, rules)
    assert str(caught.value) == said


def test_which_constraints_allow_one_at_most():
    rules = [
        one("one", 0, 1),
        rule("most", 0, 1, upper=1),
        rule("least", 0, 1, lower=1),
        rule("two", 0, 1, upper=2),
        rule("heavy", (0, 2), (1, 2), upper=1),
        rule("mixed", 0, (1, -1), upper=1),
    ]
    assert Model("ab", rules).exclusive == (True, True, False, False, False, False)


def test_checked_tells_what_happened():
    model = Model("abcd", [one("cell", 0, 1, 2), rule("cd", 2, 3, upper=1)])
    placed = judge(model, Inference(Counting(((0, 1),), ()), (), (2,)), live=[2, 3])
    assert repr(placed) == "<Checked: 1 placed, 1 eliminated or cleared>"
    assert repr(judge(PAIR, BROKEN, live=[])) == "<Checked: the position has no solution>"
    again = judge(model, Inference(Counting(((0, 1),), ()), (), (2,)), live=[2, 3])
    assert placed == again
    assert hash(placed) == hash(again)
    other = judge(PAIR, BROKEN, live=[])
    assert placed != other
    assert hash(placed) != hash(other)
    assert placed != "<Checked>"
    assert placed.__eq__("<Checked>") is NotImplemented
    with pytest.raises(TypeError) as caught:
        Checked(object(), Position(1, 0), Position(1, 0), contradiction=False)
    assert str(caught.value) == "only deduce.check makes Checked objects"


def test_several_are_placed_and_counted():
    model = Model("abcd", [rule("two", 0, 1, lower=2), one("cd", 2, 3)])
    checked = judge(model, Inference(Counting(((0, 1),), ()), (), (0, 1)), live=[0, 1, 2, 3], true=[2])
    assert repr(checked) == "<Checked: 2 placed, 0 eliminated or cleared>"


def test_a_sum_that_just_stays_within_is_no_contradiction():
    model = Model("ab", [rule("none", 0, 1, lower=0, upper=0)])
    said = ((1,), "a sum that cannot stay within 0", "a sum that can be 0")
    assert refused(model, Inference(Counting((), ((0, 1),)))) == said


def test_a_candidate_outside_the_sum_is_not_concluded():
    model = Model("abc", [rule("none", 0, upper=0), rule("all", 1, lower=1)])
    got = "a sum of at least 0, in which it weighs 0, with room for 0"
    assert refused(model, Inference(Counting((), ((0, 1),)), (2,))) == ((1,), "no room for c", got)
    got = "a sum of at least -1, in which it weighs 0, with room for -1"
    assert refused(model, Inference(Counting(((1, 1),), ()), (), (2,))) == ((1,), "no way without c", got)


def test_even_an_impossible_sum_concludes_only_what_it_weighs():
    model = Model("abc", [one("ab", 0, 1), rule("ca", 2, 0, upper=1), rule("b", 1, lower=0)])
    impossible = Counting(((0, 1),), ((0, 1),))
    both = Counting(((0, 1),), ())
    got = "a sum of at least 0, in which it weighs 0, with room for -1"
    assert refused(model, Inference(both, (2,)), live=[2]) == ((1,), "no room for c", got)
    assert refused(model, Inference(both, (), (2,)), live=[2]) == ((1,), "no way without c", got)
    assert refused(model, Inference(impossible, (0,)))[1] == "no room for a"


def test_a_weight_of_one_does_not_place_its_candidate():
    """In an impossible sum a candidate of positive weight may fall, but does not become true."""
    model = Model("abcd", [rule("none", 0, 1, 2, upper=1), rule("d", 3, lower=1)])
    position = {"live": [0, 1, 2], "true": [0, 1]}
    inference = Inference(Counting(((1, 1),), ((0, 1),)), (), (2,))
    got = "a sum of at least 2, in which it weighs 1, with room for 0"
    assert refused(model, inference, **position) == ((1,), "no way without c", got)
    negative = Inference(Counting(((1, 1),), ()), (3,))
    assert refused(model, negative)[1] == "no room for d"


def nest(depth, model):
    """A proof in which suppositions stand as deep as this."""
    inferences = (BROKEN,)
    for candidate in range(2, 2 + depth):
        inferences = (Inference(Supposition(candidate, inferences), (candidate,)), *([BROKEN] if candidate > 1 else []))
    return inferences[0]


def test_suppositions_may_nest_up_to_the_limit():
    model = Model([f"x{i}" for i in range(MAX_DEPTH + 3)], [one("x", 0, 1)])
    live = range(2, MAX_DEPTH + 3)
    assert judge(model, nest(MAX_DEPTH, model), live=live).after.live.bit_count() == MAX_DEPTH
    step, missing, got = refused(model, nest(MAX_DEPTH + 1, model), live=live)
    assert (step, missing, got) == (
        (1,) * (MAX_DEPTH + 1),
        f"suppositions nested at most {MAX_DEPTH} deep",
        "a deeper one",
    )


def test_a_pattern_may_be_as_large_as_the_limit():
    size = MAX_PATTERN + 1
    model = Model([f"x{i}" for i in range(size + 1)], [one("x", *range(size))])
    exit_ = size
    largest = Inference(Swap(tuple(range(MAX_PATTERN)), (exit_,)), (), (exit_,))
    assert judge(model, largest, live=[*range(MAX_PATTERN), exit_]).after.true == 1 << exit_
    larger = Inference(Swap(tuple(range(size)), (exit_,)), (), (exit_,))
    assert refused(model, larger) == ((1,), f"a swap over at most {MAX_PATTERN} candidates", str(size))


def test_trials_are_counted_one_by_one(monkeypatch):
    """Of a and b one is true: 7 trials find the two fillings, 6 and 4 an exchange for each."""
    inference = Inference(SWAP, (), (2,))
    monkeypatch.setattr(deduce.kernel, "MAX_TRIALS", 17)
    assert judge(TRIO, inference).after.true == 0b100
    monkeypatch.setattr(deduce.kernel, "MAX_TRIALS", 16)
    assert refused(TRIO, inference) == ((1,), "a swap that 16 trials settle", "a larger one")


def test_weights_may_be_as_large_as_the_limit():
    inference = Inference(Counting(((0, MAX_WEIGHT),), ()), (), (1,))
    assert judge(PAIR, inference, live=[1]).after.true == 0b10
    swap = Inference(Counting((), (), ((SWAP, MAX_WEIGHT),)), (), (2,))
    assert judge(TRIO, swap).after.true == 0b100
    assert coefficients(PAIR, Counting(((0, 2),), ((0, 3),))) == ({0: 1, 1: 1}, 1)


class TestSwapsUnderRules:
    """What stands outside a pattern leaves its rules more or less room; each case is worked out by hand."""

    @staticmethod
    def holds(model, swap, **position):
        (exit_,) = swap.exits
        return judge(model, Inference(swap, (), (exit_,)), **position).after.true >> exit_ & 1

    @staticmethod
    def alone(model, swap, **position):
        """The filling that cannot be exchanged."""
        step, missing, got = refused(model, Inference(swap, (), swap.exits), **position)
        assert (step, missing) == ((1,), "another filling for each one without an exit")
        return got

    def test_a_placed_candidate_outside_takes_its_room(self):
        # a + b + c <= 2 and a + b >= 1 with c true: just one of a and b, and they can be exchanged.
        rules = [rule("load", 0, 1, 2, upper=2), rule("some", 0, 1, lower=1)]
        model = Model("abcz", rules)
        assert self.holds(model, Swap((0, 1), (3,)), true=[2])
        assert self.alone(model, Swap((0, 1), (3,))) == "a b alone"

    def test_a_placed_candidate_outside_meets_its_rule(self):
        # a + b + c >= 2 with c true: a or b or both; both cannot be exchanged for anything.
        model = Model("abcz", [rule("two", 0, 1, 2, lower=2, upper=2)])
        assert self.holds(model, Swap((0, 1), (3,)), true=[2])
        # c open: both of a and b would do without it.
        assert self.alone(model, Swap((0, 1), (3,))) == "a b alone"
        # c dead: only both.
        assert self.alone(model, Swap((0, 1), (3,)), live=[0, 1, 3]) == "a b alone"

    def test_an_open_candidate_outside_may_meet_a_rule_by_itself(self):
        # a + b + c >= 1 with c open: nothing at all is a filling, and it cannot be exchanged.
        model = Model("abcz", [rule("some", 0, 1, 2, lower=1, upper=1)])
        assert self.alone(model, Swap((0, 1), (3,))) == "none alone"
        assert self.holds(model, Swap((0, 1), (3,)), live=[0, 1, 3])

    def test_weights_outside_count_as_they_are(self):
        # a + b + 2c = 3 with c true leaves one of a and b; with c open a + b = 1 still, as 2c is needed.
        rules = [rule("sum", 0, 1, (2, 2), lower=3, upper=3)]
        model = Model("abcz", rules)
        assert self.holds(model, Swap((0, 1), (3,)), true=[2])
        assert (
            self.alone(Model("abcz", [rule("sum", 0, 1, (2, 2), lower=2, upper=3)]), Swap((0, 1), (3,))) == "none alone"
        )

    def test_negative_weights_outside_loosen_the_upper_bound(self):
        # a + b - c <= 1 and a + b >= 1: with c open both of a and b may be true, with c dead only one.
        rules = [rule("level", 0, 1, (2, -1), upper=1), rule("some", 0, 1, lower=1)]
        model = Model("abcz", rules)
        assert self.alone(model, Swap((0, 1), (3,))) == "a b alone"
        assert self.holds(model, Swap((0, 1), (3,)), live=[0, 1, 3])
        assert self.alone(model, Swap((0, 1), (3,)), true=[2]) == "a b alone"

    def test_negative_weights_outside_do_not_help_the_lower_bound(self):
        # a + b - c >= 1 and a + b <= 1: one of a and b whatever c is.
        rules = [rule("level", 0, 1, (2, -1), lower=1), rule("most", 0, 1, upper=1)]
        model = Model("abcz", rules)
        assert self.holds(model, Swap((0, 1), (3,)))
        assert self.holds(model, Swap((0, 1), (3,)), live=[0, 1, 3])

    def test_negative_weights_inside_may_still_balance_a_sum(self):
        # a - b = 0: none or both, each for the other; a alone is no dead end, since b follows.
        level = rule("level", 0, (1, -1), lower=0, upper=0)
        assert self.holds(Model("abz", [level]), Swap((0, 1), (2,)))
        assert self.alone(Model("abz", [level, rule("sum", 0, 1, lower=0)]), Swap((0, 1), (2,))) == "none alone"

    def test_small_positive_weights_outside_do_not_loosen_the_upper_bound(self):
        # a + b + c <= 1 and a + b >= 1: c open takes room only if it is true.
        rules = [rule("load", 0, 1, 2, upper=1), rule("some", 0, 1, lower=1)]
        assert self.holds(Model("abcz", rules), Swap((0, 1), (3,)))

    def test_what_is_placed_in_the_pattern_stays(self):
        # Of a, b, c two are true; a is. Then b or c, and each can be exchanged.
        model = Model("abcz", [rule("two", 0, 1, 2, lower=2, upper=2)])
        assert self.holds(model, Swap((0, 1, 2), (3,)), true=[0])
        # b placed, and b + c <= 1, a free of rules: without b true nothing at all would be a filling.
        model = Model("abcz", [one("bc", 1, 2)])
        assert self.holds(model, Swap((1, 2), (3,)), true=[1])
        loose = Model("abz", [rule("most", 0, 1, upper=1)])
        assert self.holds(loose, Swap((0, 1), (2,)), true=[1])
        assert self.alone(loose, Swap((0, 1), (2,))) == "none alone"

    def test_what_is_dead_in_the_pattern_stays_dead(self):
        # a + b <= 2 and a + b >= 1: with b dead a alone is the filling, and b could replace it.
        model = Model("abz", [rule("some", 0, 1, lower=1)])
        assert self.holds(model, Swap((0, 1), (2,)), live=[0, 2])
        assert self.alone(model, Swap((0, 1), (2,))) == "a b alone"

    def test_a_given_is_found_wherever_it_stands(self):
        model = Model("abcz", [one("abc", 0, 1, 2)])
        for given in (0, 1, 2):
            said = ((1,), "a swap over candidates that are not given", "abc"[given])
            assert refused(model, Inference(Swap((0, 1, 2), (3,)), (), (3,)), true=[given], givens=[given]) == said
        assert self.holds(model, Swap((0, 1), (3,)), live=[0, 1, 3], givens=[3])


def test_the_strongest_conclusion_of_a_sum():
    """2a + b - 2c - d <= -2: c is true; with c true and a dead nothing more is known."""
    model = Model("abcd", [rule("s", (0, 2), 1, (2, -2), (3, -1), upper=-2), rule("free", 0, 1)])
    argument = Counting((), ((0, 1),))
    assert conclusions(model, Position(0b1111, 0), argument) == Inference(argument, (0,), (2,))
    assert conclusions(model, Position(0b1111, 0b0100), argument) == Inference(argument, (0,), ())
    assert conclusions(model, Position(0b1110, 0), argument) == Inference(argument, (), (2,))
    assert conclusions(model, Position(0b1110, 0b0100), argument) is None
    assert conclusions(model, Position(0b1011, 0), argument) == Inference(argument)
    # What is placed or gone is no news, whichever number it has.
    pair = Model("ab", [one("one", 0, 1)])
    base = Counting(((0, 1),), ())
    assert conclusions(pair, Position(0b10, 0), base) == Inference(base, (), (1,))
    assert conclusions(pair, Position(0b10, 0b10), base) is None
    assert conclusions(pair, Position(0b11, 0), base) is None
    cover = Counting((), ((0, 1),))
    assert conclusions(pair, Position(0b11, 0b01), cover) == Inference(cover, (1,), ())
    assert conclusions(pair, Position(0b01, 0b01), cover) is None


def test_conclusions_are_sorted():
    model = Model("abcd", [rule("s", 3, 1, 0, upper=0), rule("t", 2, 0, 3, lower=3)])
    assert conclusions(model, Position(0b1111, 0), Counting((), ((0, 1),))).false == (0, 1, 3)
    assert conclusions(model, Position(0b1111, 0), Counting(((1, 1),), ())).true == (0, 2, 3)


def test_placing_clears_under_every_rule():
    loads = [rule("one load", (0, 3), (1, 2), upper=4), rule("other load", (0, 3), (2, 2), upper=4)]
    model = Model("abcd", [*loads, rule("least", 0, 3, lower=1), one("most", 0, 3)])
    assert place(model, Position(0b1111, 0), 0) == Position(0b0001, 0b0001)
    full = Model("abcd", [rule("two of four", 0, 1, 2, 3, upper=2)])
    assert place(full, Position(0b1111, 0b0100), 0) == Position(0b0101, 0b0101)
    assert place(full, Position(0b1111, 0b1000), 1) == Position(0b1010, 0b1010)
    floor = Model("ab", [rule("least", 0, 1, lower=1)])
    assert place(floor, Position(0b11, 0), 1) == Position(0b11, 0b10)
    assert place(floor, Position(0b11, 0b10), 0) == Position(0b11, 0b11)
