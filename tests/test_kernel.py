"""The kernel: what it accepts, and every refusal seen to fire.

The positions are small enough to verify by hand; `entailed` is brute force over all 0-1 assignments.
"""

import copy
import pickle
from dataclasses import replace
from hashlib import sha256
from itertools import product
from types import SimpleNamespace

import pytest
from hypothesis import given, strategies as st

import deduce
from deduce.kernel import (
    MAX_DEPTH,
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
    place,
)
from deduce.positions import conclusions


def at_least(name, *candidates, bound=1):
    return Constraint(name, tuple((c, 1) for c in candidates), bound, None)


def at_most(name, *candidates, bound=1):
    return Constraint(name, tuple((c, 1) for c in candidates), None, bound)


def exactly(name, *candidates, bound=1):
    return Constraint(name, tuple((c, 1) for c in candidates), bound, bound)


# a = b - c = d, and z conflicts with a and d: the worked example of the counting rule.
A, B, C, D, Z = range(5)
WORKED = Model(
    "abcdz", [at_least("ab", A, B), at_least("cd", C, D), at_most("bc", B, C), at_most("za", Z, A), at_most("zd", Z, D)]
)
CHAIN = Counting(((0, 1), (1, 1)), ((2, 1), (3, 1), (4, 1)))


def judge(model, inferences, live=None, true=0, givens=0):
    every = (1 << len(model.names)) - 1
    grid = SimpleNamespace(model=model, live=every if live is None else live, true=true, givens=givens)
    return check(grid, SimpleNamespace(inferences=tuple(inferences)))


def refusal(model, inferences, live=None, true=0):
    with pytest.raises(deduce.ProofError) as caught:
        judge(model, inferences, live, true)
    assert str(caught.value)
    return caught.value


def models(model, live, true):
    """Every assignment that meets the rules, as bitsets."""
    for values in product((0, 1), repeat=len(model.names)):
        chosen = sum(1 << c for c, value in enumerate(values) if value)
        if chosen & ~live or true & ~chosen:
            continue
        totals = [sum(a for c, a in rule.terms if values[c]) for rule in model.constraints]
        if all(
            (rule.lower is None or rule.lower <= total) and (rule.upper is None or total <= rule.upper)
            for rule, total in zip(model.constraints, totals, strict=True)
        ):
            yield chosen


def test_the_worked_example_holds():
    checked = judge(WORKED, [Inference(CHAIN, (Z,))])
    assert checked.after == Position(0b01111, 0)
    assert not checked.contradiction
    assert "1 eliminated" in repr(checked)


def test_each_part_of_the_worked_example_is_needed():
    for side in ("bases", "covers"):
        full = getattr(CHAIN, side)
        for i in range(len(full)):
            parts = {"bases": CHAIN.bases, "covers": CHAIN.covers, side: full[:i] + full[i + 1 :]}
            assert refusal(WORKED, [Inference(Counting(**parts), (Z,))]).step == (1,)


def test_an_end_of_the_chain_is_not_concluded():
    assert "no room for a" in str(refusal(WORKED, [Inference(CHAIN, (A,))]))


def test_a_forced_candidate_is_true_and_clears_its_peers():
    model = Model("abc", [exactly("one", 0, 1), at_most("bc", 1, 2)])
    checked = judge(model, [Inference(Counting(((0, 1),), ()), (), (1,))], live=0b110)
    assert checked.after == Position(0b010, 0b010)
    assert "no way without b" in str(refusal(model, [Inference(Counting(((0, 1),), ()), (), (1,))]))


def test_a_broken_rule_is_a_contradiction():
    model = Model("ab", [exactly("one", 0, 1)])
    checked = judge(model, [Inference(Counting(((0, 1),), ()))], live=0)
    assert checked.contradiction
    assert "no solution" in repr(checked)
    assert "cannot stay within -1" in str(refusal(model, [Inference(Counting(((0, 1),), ()))]))


def test_two_true_candidates_break_a_rule():
    model = Model("ab", [exactly("one", 0, 1)])
    assert judge(model, [Inference(Counting((), ((0, 1),)))], true=0b11).contradiction


def test_weights_and_general_coefficients():
    # 2a + 3b + 4c <= 5 and a + b + c >= 2: only a + b fits, so c is false, and then a and b are true.
    model = Model("abc", [Constraint("load", ((0, 2), (1, 3), (2, 4)), None, 5), at_least("two", 0, 1, 2, bound=2)])
    two_of_three = Counting(((1, 2),), ((0, 1),))
    checked = judge(model, [Inference(two_of_three, (2,)), Inference(Counting(((1, 1),), ()), (), (0, 1))])
    assert checked.after == Position(0b011, 0b011)
    assert list(models(model, 0b111, 0)) == [0b011]


def test_placing_clears_what_a_weighted_rule_has_no_room_for():
    model = Model("abc", [Constraint("load", ((0, 3), (1, 2), (2, 1)), None, 4)])
    assert place(model, Position(0b111, 0), 0) == Position(0b101, 0b001)
    negative = Model("abc", [Constraint("load", ((0, 3), (1, 2), (2, -1)), None, 4)])
    assert place(negative, Position(0b111, 0), 0) == Position(0b111, 0b001)
    assert place(negative, Position(0b011, 0), 0) == Position(0b001, 0b001)
    floor = Model("ab", [at_least("ab", 0, 1)])
    assert place(floor, Position(0b11, 0), 0) == Position(0b11, 0b01)


def test_a_true_candidate_counts_as_one():
    model = Model("abc", [at_most("two", 0, 1, 2, bound=2)])
    two_placed = Inference(Counting((), ((0, 1),)), (2,))
    assert judge(model, [two_placed], true=0b011).after == Position(0b011, 0b011)
    refusal(model, [two_placed], true=0b001)


def test_a_supposition_refutes_its_candidate():
    model = Model("abc", [at_least("bc", 1, 2), at_most("ab", 0, 1), at_most("ac", 0, 2)])
    nothing_left = Inference(Counting(((0, 1),), ()))
    assert judge(model, [Inference(Supposition(0, (nothing_left,)), (0,))]).after == Position(0b110, 0)


def test_suppositions_nest_and_the_inner_scope_ends():
    # One of a and b is true and so is one of c and d, but every pair of them clashes.
    pairs = [at_most(f"{x}{y}", x, y) for x in (0, 1) for y in (2, 3)]
    model = Model("abcd", [exactly("ab", 0, 1), exactly("cd", 2, 3), *pairs])
    inner = Inference(Supposition(2, (Inference(Counting(((0, 1),), ())),)), (2,))
    outer = Inference(Supposition(0, (Inference(Counting(((1, 1),), ())),)), (0,))
    assert judge(model, [outer]).after == Position(0b1110, 0)
    nested = Inference(Supposition(1, (Inference(Counting(((1, 1),), ())),)), (1,))
    assert judge(model, [inner]).after == Position(0b1011, 0)
    assert judge(model, [outer, nested, Inference(Counting(((0, 1),), ()))]).contradiction
    leak = [Inference(Supposition(0, (Inference(Counting(((1, 1),), ())),)), (0,)), Inference(Counting(((1, 1),), ()))]
    assert refusal(model, leak).step == (2,)


@pytest.mark.parametrize(
    ("inference", "needed"),
    [
        (Inference(CHAIN, (9,)), "a candidate of the model"),
        (Inference(CHAIN, (-1,)), "a candidate of the model"),
        (Inference(CHAIN, (True,)), "a candidate of the model"),
        (Inference(CHAIN, (Z, Z)), "each candidate concluded once"),
        (Inference(CHAIN, (Z,), (Z,)), "each candidate concluded once"),
        (Inference(Counting((), ()), (Z,)), "at least one base or cover"),
        (Inference(Counting(((7, 1),), ()), (Z,)), "a base among the constraints"),
        (Inference(Counting((), ((-1, 1),)), (Z,)), "a cover among the constraints"),
        (Inference(Counting(((0, 1), (0, 1)), ()), (Z,)), "each base listed once"),
        (Inference(Counting(((2, 1),), ()), (Z,)), "a base with a bound on that side"),
        (Inference(Counting((), ((0, 1),)), (Z,)), "a cover with a bound on that side"),
        (Inference(Counting(((0, 0),), ()), (Z,)), "a whole weight from 1"),
        (Inference(Counting(((0, -1),), ()), (Z,)), "a whole weight from 1"),
        (Inference(Counting(((0, 1.0),), ()), (Z,)), "a whole weight from 1"),
        (Inference(Counting(((0, True),), ()), (Z,)), "a whole weight from 1"),
        (Inference(Counting(((0, MAX_WEIGHT + 1),), ()), (Z,)), "a whole weight from 1"),
        (Inference(CHAIN), "a sum that cannot stay within 1"),
        (Inference(Counting((), (), ((Swap((A,), (Z,)), 0),)), (Z,)), "a whole weight from 1"),
        (Inference(Swap((A, B), (9,)), (), (Z,)), "a candidate of the model"),
        (Inference(Swap((A, B), (A,)), (), (Z,)), "each candidate of a swap named once"),
        (Inference(Swap((A, B), (Z,)), (), (Z,)), "another filling for each one without an exit"),
        (Inference("because", (Z,)), "a counting argument, a supposition or a swap"),
        (Inference(Supposition(Z, ()), (Z,)), "a contradiction from z"),
        (Inference(Supposition(Z, (Inference(CHAIN, (Z,)),)), (Z,)), "z still open"),
        (Inference(Supposition(Z, (Inference(Counting((), ((3, 1),)), (A,)),)), (Z,)), "a still live"),
        (Inference(Supposition(Z, (Inference(CHAIN),)), (A,)), "the conclusion that z is false"),
        (Inference(Supposition(Z, (Inference(CHAIN),)), (), (Z,)), "the conclusion that z is false"),
        (Inference(Supposition(Z, (Inference(CHAIN),))), "the conclusion that z is false"),
        (Inference(Supposition(11, (Inference(CHAIN),)), (Z,)), "a candidate of the model"),
    ],
)
def test_what_is_refused(inference, needed):
    assert needed in refusal(WORKED, [inference]).missing


def test_conclusions_must_be_news():
    assert "z still live" in refusal(WORKED, [Inference(CHAIN, (Z,))], live=0b01111).missing
    assert "z still open" in refusal(WORKED, [Inference(CHAIN, (Z,))], true=1 << Z).missing
    assert "z still live" in refusal(WORKED, [Inference(Supposition(Z, ()), (Z,))], live=0b01111).missing


def test_a_contradiction_ends_the_list():
    model = Model("ab", [exactly("one", 0, 1), at_most("b", 1)])
    broken = Inference(Counting(((0, 1),), ()))
    assert "last inference" in refusal(model, [broken, broken], live=0).missing


def test_a_proof_needs_an_inference_and_a_position():
    assert "at least one inference" in refusal(WORKED, []).missing
    for live, true in ((1 << 5, 0), (0b1, 0b10), (-1, 0), (True, 0), (1.0, 0)):
        assert "live candidates of the model" in refusal(WORKED, [Inference(CHAIN, (Z,))], live, true).missing


def test_nesting_is_bounded():
    model = Model([f"x{i}" for i in range(MAX_DEPTH + 4)], [exactly("x", 0, 1)])
    inference = Inference(Counting(((0, 1),), ()))
    for candidate in range(2, MAX_DEPTH + 4):
        inference = Inference(Supposition(candidate, (inference,)), (candidate,))
    assert f"at most {MAX_DEPTH} deep" in refusal(model, [inference], live=(1 << MAX_DEPTH + 4) - 4).missing


def test_only_check_makes_checked():
    with pytest.raises(TypeError, match=r"only deduce\.check"):
        Checked(object(), Position(1, 0), Position(1, 0), contradiction=False)


@pytest.mark.parametrize(
    ("names", "rules", "said"),
    [
        ("aa", [], "same name"),
        ("ab", [at_most("x", 0), at_most("x", 1)], "same name"),
        ("ab", [at_most("x", 2)], "lacks"),
        ("ab", [at_most("x", True)], "lacks"),
        ("ab", [at_most("x", 0, 0)], "bad term for a"),
        ("ab", [Constraint("x", ((0, 0),), 0, 1)], "bad term for a"),
        ("ab", [Constraint("x", ((0, 1.5),), 0, 1)], "bad term for a"),
        ("ab", [Constraint("x", ((0, 1),), 0.5, 1)], "no whole number"),
        ("ab", [Constraint("x", ((0, 1),), 2, 1)], "at least 2 and at most 1"),
    ],
)
def test_a_model_must_make_sense(names, rules, said):
    with pytest.raises(ValueError, match=said):
        Model(names, rules)


@st.composite
def sums(draw):
    """A small random model, a position of it, and a random counting argument."""
    size = draw(st.integers(2, 6))
    rules = []
    for number in range(draw(st.integers(1, 4))):
        chosen = draw(st.lists(st.integers(0, size - 1), min_size=1, max_size=size, unique=True))
        terms = tuple((c, draw(st.sampled_from([-2, -1, 1, 1, 1, 2, 3]))) for c in chosen)
        lower = draw(st.none() | st.integers(-2, 3))
        upper = draw(st.none() | st.integers(-1 if lower is None else lower, 5))
        rules.append(Constraint(f"rule {number}", terms, lower, upper))
    live = draw(st.integers(0, (1 << size) - 1))
    true = live & draw(st.integers(0, (1 << size) - 1)) & draw(st.integers(0, (1 << size) - 1))
    sides = []
    for side in ("lower", "upper"):
        usable = [n for n, rule in enumerate(rules) if getattr(rule, side) is not None]
        sides.append(tuple((n, draw(st.integers(1, 3))) for n in usable if draw(st.booleans())))
    return Model([f"x{i}" for i in range(size)], rules), Position(live, true), Counting(*sides)


@given(sums())
def test_whatever_the_counting_rule_concludes_is_entailed(case):
    model, position, argument = case
    if not argument.bases and not argument.covers:
        return
    inference = conclusions(model, position, argument)
    found = list(models(model, *position))
    if inference is None:
        return
    checked = judge(model, [inference], *position)
    assert checked.contradiction == inference.contradiction
    if inference.contradiction:
        assert not found
    for chosen in found:
        assert not any(chosen >> c & 1 for c in inference.false)
        assert all(chosen >> c & 1 for c in inference.true)
        assert not chosen & ~checked.after.live, "clearing took away part of a solution"


@given(sums(), st.integers(0, 5))
def test_placing_never_loses_a_solution_that_holds_the_candidate(case, candidate):
    model, position, _ = case
    if candidate >= len(model.names) or not position.live >> candidate & 1:
        return
    after = place(model, position, candidate)
    for chosen in models(model, *position):
        if chosen >> candidate & 1:
            assert not chosen & ~after.live


ONE = exactly("one", 0, 1)
SAYS = Inference(Counting(((0, 1),), ()), (), (1,))
HERE = SimpleNamespace(model=Model("ab", [ONE]), live=0b10, true=0, givens=0)
GIVEN = SimpleNamespace(inferences=(SAYS,))


class TestAModelIsReadOnce:
    """What was validated is what is believed, whatever becomes of the arguments."""

    def test_a_generator_is_read_and_validated(self):
        model = Model(iter("ab"), (rule for rule in [ONE]))
        assert model.names == ("a", "b")
        assert model.constraints == (ONE,)
        assert model.touching == ((0,), (0,))
        for bad in (Constraint("x", ((0, 1), (0, 1)), None, 1), Constraint("x", ((0, 1),), 5, 1)):
            with pytest.raises(ValueError, match=r"bad term|at least 5 and at most 1"):
                Model("ab", (rule for rule in [bad]))

    def test_generated_terms_are_read(self):
        model = Model("ab", [Constraint("x", (term for term in ((0, 1), (1, -1))), None, 1)])
        assert model.constraints[0].terms == ((0, 1), (1, -1))
        assert model.exclusive == (False,)
        assert model.masks == (0b11,)

    def test_lists_may_be_changed_afterwards(self):
        names, terms = ["a", "b"], [[0, 1], [1, 1]]
        rules = [Constraint("one", terms, 1, 1)]
        model = Model(names, rules)
        names.clear()
        terms[0][1] = 5
        terms.append([0, 1])
        rules.clear()
        assert model.names == ("a", "b")
        assert model.constraints == (ONE,)
        assert model.rules == (("one", ((0, 1), (1, 1)), 1, 1),)

    def test_a_constraint_that_changes_is_asked_once(self):
        class Moody(Constraint):
            asked = 0

            @property
            def upper(self):
                Moody.asked += 1
                return 1 if Moody.asked == 1 else 5

        moody = object.__new__(Moody)
        for name in ("name", "terms", "lower"):
            object.__setattr__(moody, name, getattr(ONE, name))
        model = Model("ab", [moody])
        assert type(model.constraints[0]) is Constraint
        assert model.constraints == (ONE,)
        assert Moody.asked == 1

    def test_what_a_constraint_becomes_is_not_believed(self):
        model = Model("ab", [ONE])
        object.__setattr__(model.constraints[0], "lower", None)
        assert judge(model, [SAYS], live=0b10).after.true == 0b10

    @pytest.mark.parametrize("name", ["names", "constraints", "rules", "masks", "touching", "exclusive"])
    def test_nothing_can_be_set(self, name):
        model = Model("ab", [ONE])
        before = getattr(model, name)
        for put in (setattr, object.__setattr__, lambda *args: vars(Model)[name].__set__(*args[::2])):
            with pytest.raises(AttributeError):
                put(model, name, ())
        with pytest.raises(AttributeError):
            object.__setattr__(model, "further", 1)
        assert getattr(model, name) is before

    def test_it_has_no_subclass_and_is_itself_only(self):
        with pytest.raises(TypeError, match="no subclasses"):
            type("Other", (Model,), {})
        model = Model("ab", [ONE])
        assert model != Model("ab", [ONE])
        assert not model != model  # noqa: SIM202 - a tuple would compare its items here
        assert len({model, model, Model("ab", [ONE])}) == 2

    def test_it_travels(self):
        for copied in (pickle.loads(pickle.dumps(HERE.model)), copy.deepcopy(HERE.model)):
            assert copied.rules == HERE.model.rules
            assert copied.names == HERE.model.names

    @pytest.mark.parametrize(
        ("names", "rules", "said"),
        [
            ((1, 2), [], "no string"),
            ("ab", [Constraint(7, ((0, 1),), 0, 1)], "no string"),
            ("ab", [Constraint("x", ((0, 1, 1),), 0, 1)], "two numbers each"),
            ("ab", [Constraint("x", 3, 0, 1)], "two numbers each"),
            ("ab", ["x"], "two numbers each"),
            ("ab", [Constraint("x", (([], 1),), 0, 1)], "lacks"),
        ],
    )
    def test_wrong_shapes(self, names, rules, said):
        with pytest.raises(ValueError, match=said):
            Model(names, rules)


class TestAProofIsReadOnce:
    """Look-alikes, generators and lists: what was read is what is verified."""

    def test_an_inference_that_changes_its_mind(self):
        class Moody(Inference):
            asked = 0

            @property
            def true(self):
                Moody.asked += 1
                return (1,) if Moody.asked % 2 else (0,)

        moody = object.__new__(Moody)
        object.__setattr__(moody, "argument", SAYS.argument)
        object.__setattr__(moody, "false", ())
        after = judge(HERE.model, [moody], live=0b10).after
        assert Moody.asked == 1
        assert after == Position(0b10, 0b10)

    def test_an_argument_that_changes_its_mind(self):
        class Moody(Supposition):
            @property
            def inferences(self):
                return iter([Inference(Counting(((0, 1),), ()))])

        moody = object.__new__(Moody)
        object.__setattr__(moody, "candidate", 2)
        model = Model("abc", [ONE])
        assert judge(model, [Inference(moody, (2,))], live=0b100).after.live == 0
        assert refusal(model, [Inference(moody, (2,))]).step == (1, 1)

    def test_a_tuple_that_changes_its_mind(self):
        class Moody(tuple):
            __slots__ = ()

            def __len__(self):
                return 1

            def __iter__(self):
                return iter([(1)] if self else [])

        checked = judge(HERE.model, [Inference(SAYS.argument, (), Moody((0, 1)))], live=0b10)
        assert checked.after == Position(0b10, 0b10)

    def test_generators_and_lists(self):
        def proof(inferences):
            return SimpleNamespace(inferences=inferences)

        assert deduce.check(HERE, proof(one for one in [SAYS])) == check(HERE, GIVEN)
        with pytest.raises(deduce.ProofError, match="at least one inference"):
            check(HERE, proof(one for one in []))
        listed = [Inference(Counting([[0, 1]], []), [], [1])]
        checked = check(HERE, proof(listed))
        digest = checked.digest
        assert checked == check(HERE, GIVEN)
        listed[0].argument.bases.clear()
        listed.clear()
        assert checked.digest == digest
        assert checked == check(HERE, GIVEN)

    @pytest.mark.parametrize(
        "place", ["bases", "covers", "swaps", "false", "true", "pair of a base", "pair of a cover"]
    )
    def test_one_list_among_plain_tuples_is_copied(self, place):
        model = Model("ab", [ONE])
        parts = {"bases": ((0, 1),), "covers": ((0, 2),), "swaps": (), "false": (0,), "true": ()}
        changed = [*parts.get(place, ([0, 1 if "base" in place else 2],))]
        if place in parts:
            parts[place] = changed
        else:
            parts["bases" if "base" in place else "covers"] = tuple(changed)
        argument = Counting(parts["bases"], parts["covers"], parts["swaps"])
        listed = Inference(argument, parts["false"], parts["true"])
        grid = SimpleNamespace(model=model, live=0b11, true=0b10, givens=0)
        checked = check(grid, SimpleNamespace(inferences=(listed,)))
        digest = checked.digest
        (changed[0] if place not in parts else changed).append((1, 1))
        assert checked.digest == digest
        assert checked.after == Position(0b10, 0b10)

    def test_a_grid_is_asked_once(self):
        class Moody:
            model, true, givens, asked = HERE.model, 0, 0, 0

            @property
            def live(self):
                Moody.asked += 1
                return 0b10 if Moody.asked == 1 else 0b11

        assert check(Moody(), GIVEN).before == Position(0b10, 0)
        assert Moody.asked == 1

    def test_a_model_that_is_none(self):
        other = SimpleNamespace(**{name: getattr(HERE.model, name) for name in ("names", "constraints", "touching")})
        with pytest.raises(deduce.ProofError, match="a model of the kernel, got SimpleNamespace"):
            check(SimpleNamespace(model=other, live=0b10, true=0, givens=0), GIVEN)

    @pytest.mark.parametrize("givens", [-1, 4, True, None, 1.0])
    def test_givens_of_the_model(self, givens):
        with pytest.raises(deduce.ProofError, match="givens that are candidates"):
            check(SimpleNamespace(model=HERE.model, live=0b10, true=0, givens=givens), GIVEN)

    @pytest.mark.parametrize(
        "inference",
        [
            None,
            "because",
            Inference(SAYS.argument, 1),
            Inference(SAYS.argument, ([],)),
            Inference(SAYS.argument, (), (None,)),
            Inference(Counting(((0,),), ()), (), (1,)),
            Inference(Counting((([], 1),), ()), (), (1,)),
            Inference(Counting(((0, []),), ()), (), (1,)),
            Inference(Counting((0, 1), ()), (), (1,)),
            Inference(Counting(None, ()), (), (1,)),
            Inference(Counting((), (), ((Swap((0,), ([],)), 1),)), (), (1,)),
            Inference(Counting((), (), ((Swap(([],), (1,)), 1),)), (), (1,)),
            Inference(Counting((), (), ((1, 1),)), (), (1,)),
            Inference(Swap((0,), (True,)), (), (1,)),
            Inference(Swap(0, 1), (), (1,)),
            Inference(Supposition([], ()), (1,)),
            Inference(Supposition(1, None), (1,)),
            Inference(Supposition(1, (3,)), (1,)),
        ],
    )
    def test_wrong_shapes(self, inference):
        refusal(HERE.model, [inference], live=0b10)
        refusal(HERE.model, [Inference(Supposition(1, (inference,)), (1,))], live=0b10)

    def test_a_proof_within_itself(self):
        endless = Supposition(1, [])
        endless.inferences.append(Inference(endless, (1,)))
        refusal(HERE.model, [Inference(endless, (1,))])


class TestChecked:
    """The kernel's word: what it says of what, and how far it can be trusted."""

    def test_it_belongs_to_what_was_checked(self):
        checked = check(HERE, GIVEN)
        assert checked.belongs_to(HERE, GIVEN)
        apart = Model("ab", [exactly("other", 0, 1)])
        wider = SimpleNamespace(model=Model("ab", [ONE, at_most("a", 0)]), live=0b10, true=0, givens=0)
        again = SimpleNamespace(inferences=(Inference(Counting(((0, 2),), ()), (), (1,)),))
        others = [
            (SimpleNamespace(model=apart, live=0b10, true=0, givens=0), GIVEN),
            (wider, GIVEN),
            (SimpleNamespace(model=HERE.model, live=0b10, true=0, givens=1), GIVEN),
            (HERE, again),
        ]
        for grid, proof in others:
            other = check(grid, proof)
            assert other.after == checked.after
            assert other != checked
            assert other.digest != checked.digest
            assert not checked.belongs_to(grid, proof)
        assert not checked.belongs_to(HERE, SimpleNamespace(inferences=()))

    def test_the_digest_is_that_of_an_equal_model(self):
        same = SimpleNamespace(model=Model("ab", [ONE]), live=0b10, true=0, givens=0)
        assert check(same, GIVEN) == check(HERE, GIVEN)
        rules = [("one", [(0, "0x1"), (1, "0x1")], "0x1", "0x1")]
        model = sha256(repr((("a", "b"), rules)).encode()).hexdigest()
        proof = "(Inference(argument=Counting(bases=((0, 1),), covers=(), swaps=()), false=(), true=(1,)),)"
        assert check(HERE, GIVEN).digest == sha256(f"{model} 2 0 0 {proof}".encode()).hexdigest()
        long = Model("ab", [Constraint("x", ((0, 10**5000), (1, 1)), None, 10**5000)])
        checked = judge(long, [Inference(Counting((), ((0, 1),)), (1,))], true=1)
        assert len(checked.digest) == 64

    @pytest.mark.parametrize("name", ["before", "after", "contradiction", "digest"])
    def test_nothing_can_be_set(self, name):
        checked = check(HERE, GIVEN)
        for put in (setattr, object.__setattr__):
            with pytest.raises(AttributeError):
                put(checked, name, True)
        with pytest.raises(AttributeError):
            object.__setattr__(checked, "further", 1)

    def test_it_is_not_made_otherwise(self):
        with pytest.raises(TypeError, match="no subclasses"):
            type("Mine", (Checked,), {})
        with pytest.raises(TypeError):
            object.__new__(Checked)
        with pytest.raises(TypeError, match="only deduce"):
            Checked.__new__(Checked, Position(1, 0), Position(0, 0), True, None)
        assert not hasattr(deduce.kernel, "_KEY")

    def test_who_makes_one_all_the_same_is_found_out(self):
        checked = check(HERE, GIVEN)
        forged = tuple.__new__(Checked, (checked.before, Position(0b01, 0b01), False, tuple(checked)[3]))
        assert forged.digest == checked.digest
        assert not forged.belongs_to(HERE, GIVEN)
        assert copy.copy(forged) == checked

    def test_copies_are_checked_again(self, monkeypatch):
        checked = check(HERE, GIVEN)
        written = pickle.dumps(checked)
        for copied in (pickle.loads(written), copy.copy(checked), copy.deepcopy(checked)):
            assert copied == checked
            assert hash(copied) == hash(checked)
            assert not copied != checked  # noqa: SIM202 - a tuple would compare its items here
        false = written.replace(b"K\x02K\x00K\x00", b"K\x03K\x00K\x00")
        assert false != written
        with pytest.raises(deduce.ProofError):
            pickle.loads(false)

    def test_a_walk_travels_and_is_checked_again(self):
        walk = deduce.walk(deduce.Grid.parse("1.3..4..........", deduce.Layout.standard(4)))
        assert walk.steps
        for copied in (pickle.loads(pickle.dumps(walk)), copy.deepcopy(walk)):
            assert copied == walk
        step = walk.steps[0]
        spoiled = replace(step, before=step.after)
        with pytest.raises(deduce.ProofError):
            pickle.loads(pickle.dumps(spoiled))
