"""Random attacks on the kernel, judged by brute force over every solution of the model that is attacked.

An attack is a position and a proof: sums with large, small and negative weights, suppositions within suppositions,
swaps alone and in sums; most are made to look right and some of them are then spoiled.  Whatever the kernel accepts has
to hold in every solution that the position allows; where a swap takes part, and so one solution is assumed, the
givens have to leave exactly one.  What counts as a solution is worked out here from the constraints as they were
written, not by the kernel.
"""

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import permutations, product
from random import Random
from types import SimpleNamespace

import pytest

import deduce
from deduce.kernel import Constraint, Counting, Inference, Model, Position, Supposition, Swap, place
from deduce.positions import after, bits, bitset, conclusions

LARGE = [sign * 2**power for sign in (1, -1) for power in (31, 62, 63, 64, 65)]
LINES = [
    "cage {a} {b} = {n}",
    "cage {a} {b} {c}",
    "total {a} {a} {b} = {n}",
    "total {a} {b} {c} >= {n}",
    "total {a} {b} <= {n}",
    "equal {a} = {b} {c}",
    "equal {a} {b} = {c} {d}",
    "{a} < {b}",
    "{a} < {b} > {c}",
    "difference {a} {b} = {k}",
    "difference {a} {b} >= {k}",
    "difference {a} {b} <= {k}",
    "ratio {a} {b} = {k}",
    "even {a} {b}",
    "odd {a} {c}",
    "only 12 {a}",
    "only 234 {b}",
    "knight",
    "king",
    "knight {a} {b} {c} {d}",
    "neighbours differ by 2 {a} {b} {c} {d}",
    "diagonals",
    "house window {a} {b} {c} {d}",
]


def meets(chosen, constraints):
    """Whether a filling meets constraints, straight from what they say."""
    for rule in constraints:
        total = sum(a for c, a in rule.terms if chosen >> c & 1)
        if (rule.lower is not None and total < rule.lower) or (rule.upper is not None and total > rule.upper):
            return False
    return True


def small(random):
    """A random model of a few candidates, built around one solution; with all its solutions."""
    size = random.randint(3, 8)
    answer = random.getrandbits(size)
    pool = [1] * random.choice((6, 30)) + [-1, -1, 2, 2, 3, -2, *LARGE]
    rules = []
    for number in range(random.randint(2, 6)):
        chosen = random.sample(range(size), random.randint(1, min(size, 4)))
        inside = [c for c in chosen if answer >> c & 1]
        if random.random() < 0.5 and len(inside) == 1:
            rules.append(Constraint(f"rule {number}", tuple((c, 1) for c in chosen), 1, 1))
            continue
        terms = tuple((c, random.choice(pool)) for c in chosen)
        total = sum(a for c, a in terms if answer >> c & 1)
        slack = (0, 0, 0, 1, random.choice((2, 2**63, 2**64)))
        lower = None if random.random() < 0.3 else total - random.choice(slack)
        upper = None if random.random() < 0.3 else total + random.choice(slack)
        rules.append(Constraint(f"rule {number}", terms, lower, upper))
    return Model([f"x{c}" for c in range(size)], rules), [s for s in range(1 << size) if meets(s, rules)]


@cache
def squares():
    """All Latin squares of order 4 as bitsets of candidates, digit by digit."""
    rows = list(permutations(range(4)))
    return [
        bitset(square[r][c] * 16 + 4 * r + c for r in range(4) for c in range(4))
        for square in product(rows, repeat=4)
        if all(len({row[column] for row in square}) == 4 for column in range(4))
    ]


def layout(random):
    """A random layout of order 4 with rules of every kind that one of its squares obeys; with all its solutions."""
    lines = [random.choice(("grid 4", "grid 4", "grid 4 without boxes"))]
    model = deduce.Layout.parse(lines[0]).model
    solutions = [s for s in squares() if meets(s, model.constraints)]
    answer = random.choice(solutions)
    for _ in range(random.randint(1, 6)):
        cells = [f"r{n // 4 + 1}c{n % 4 + 1}" for n in random.sample(range(16), 4)]
        numbers = {"n": random.randint(2, 9), "k": random.randint(1, 3)}
        line = random.choice(LINES).format(**dict(zip("abcd", cells, strict=True)), **numbers)
        try:
            found = deduce.Layout.parse("\n".join([*lines, line])).model
        except deduce.DeduceError:
            continue
        if meets(answer, found.constraints):
            lines.append(line)
            model = found
    return model, [s for s in solutions if meets(s, model.constraints)]


class Attacker:
    """Makes up positions and proofs in one model."""

    def __init__(self, random, model, solutions):
        self.random = random
        self.model = model
        self.solutions = solutions
        self.size = len(model.names)
        self.answer = random.choice(solutions)

    def some(self, mask, odds):
        return bitset(c for c in bits(mask) if self.random.random() < odds)

    def position(self):
        """A position that one solution obeys, mostly."""
        random = self.random
        every = (1 << self.size) - 1
        self.answer = random.choice(self.solutions)
        self.givens = self.some(self.answer, random.choice((0.2, 0.5, 0.8)))
        true = self.givens if random.random() < 0.8 else 0
        true |= self.some(self.answer, random.choice((0, 0, 0.3)))
        live = self.answer | self.some(every, random.choice((0.1, 0.3, 0.6, 1)))
        if random.random() < 0.05:
            live = self.some(live, 0.9) | true
        self.plan = None
        if random.random() < 0.5:
            # A swap by itself says something where all its exits but one are gone.
            swap = self.swap(Position(live, true))
            inside = [c for c in swap.exits if self.answer >> c & 1]
            if len(inside) <= 1:
                self.plan = swap
                live &= ~(bitset(swap.exits) & ~bitset(inside or swap.exits[:1]))
                if random.random() < 0.9:
                    self.givens &= ~bitset(swap.pattern)
                true &= self.answer & live
        self.start = Position(live, true)

    def weight(self):
        return self.random.choice((1, 1, 1, 1, 2, 3, 2**31 - 1))

    def near(self):
        """Constraints that meet in one candidate or in its neighbours."""
        random, model = self.random, self.model
        here = random.choice(model.touching[random.randrange(self.size)] or (0,))
        near = {n for c, _ in model.constraints[here].terms for n in model.touching[c]} or {here}
        return sorted(random.sample(sorted(near), min(len(near), random.randint(1, 4))))

    def sum(self, position):
        random, model = self.random, self.model
        sides = ([], [])
        for number in self.near():
            rule = model.constraints[number]
            side = random.choice([i for i, bound in enumerate((rule.lower, rule.upper)) if bound is not None] or [0])
            sides[side].append((number, self.weight() if random.random() < 0.3 else 1))
        swaps = ((self.swap(position), self.weight()),) if random.random() < 0.1 else ()
        return Counting(tuple(sides[0]), tuple(sides[1]), swaps)

    def swap(self, position):
        random = self.random
        if self.size == 64 and random.random() < 0.9:
            rows, columns = [random.sample(range(4), 2) for _ in "rc"]
            cells = [4 * r + c for r in rows for c in columns]
            digits = random.sample(range(4), 2)
            pattern = {16 * d + cell for d in digits for cell in cells}
            near = {16 * d + cell for d in range(4) for cell in cells} - pattern
        else:
            pattern = set(random.sample(range(self.size), random.randint(1, min(self.size, 5))))
            near = set(range(self.size)) - pattern
        exits = [c for c in sorted(near) if position.live >> c & 1 or random.random() < 0.1]
        if random.random() < 0.1 and exits:
            exits.remove(random.choice(exits))
        return Swap(tuple(sorted(pattern)), tuple(exits))

    def inference(self, position, depth=0):
        """An inference that mostly looks right."""
        random = self.random
        kind = random.random()
        if not self.plan and kind < 0.25 and depth < 3 and position.live & ~position.true:
            candidate = random.choice(bits(position.live & ~position.true))
            inner = self.run(place(self.model, position, candidate), depth + 1, ends=True)
            return Inference(Supposition(candidate, inner), (candidate,))
        found = None
        for _ in range(12):
            plan, self.plan = self.plan, None
            argument = plan or (self.swap(position) if kind > 0.9 else self.sum(position))
            as_sum = Counting((), (), ((argument, 1),)) if isinstance(argument, Swap) else argument
            try:
                found = conclusions(self.model, position, as_sum)
            except deduce.ProofError:
                continue
            if found is not None or plan:
                break
        if found is not None and random.random() < 0.95:
            return replace(found, argument=argument)
        chosen = tuple(random.sample(range(self.size), random.randint(0, 2)))
        return Inference(argument, *random.choice(((chosen, ()), ((), chosen))))

    def run(self, position, depth, ends):
        """A few inferences, each where the one before leads; where they have to end, a broken rule is looked for."""
        random, model = self.random, self.model
        found = []
        for _ in range(random.randint(1, 3)):
            if ends:
                for number in random.sample(range(len(model.constraints)), min(len(model.constraints), 20)):
                    rule = model.constraints[number]
                    sides = [((number, 1),) if bound is not None else () for bound in (rule.lower, rule.upper)]
                    for argument in (Counting(sides[0], ()), Counting((), sides[1])):
                        if argument != Counting((), ()):
                            told = conclusions(model, position, argument)
                            if told is not None and told.contradiction:
                                return (*found, told)
            found.append(self.inference(position, depth))
            if found[-1].contradiction:
                break
            position = after(model, position, found[-1])
        return tuple(found)

    def spoil(self, inferences):
        """Change one thing."""
        random = self.random
        index = random.randrange(len(inferences))
        one = inferences[index]
        other = random.randrange(self.size)
        number = random.randrange(len(self.model.constraints))
        if random.random() < 0.5:
            one = random.choice(
                [
                    replace(one, false=(*one.false, other)),
                    replace(one, true=(*one.true, other)),
                    replace(one, false=one.true, true=one.false),
                    replace(one, false=(), true=()),
                    replace(one, false=one.false[1:]),
                ]
            )
        elif isinstance(one.argument, Counting):
            bases, covers, swaps = one.argument.bases, one.argument.covers, one.argument.swaps
            changed = random.choice(
                [
                    Counting(bases[1:], covers, swaps),
                    Counting(bases, covers[1:], swaps),
                    Counting((*bases, (number, 1)), covers, swaps),
                    Counting(bases, (*covers, (number, self.weight())), swaps),
                    Counting(covers, bases, swaps),
                ]
            )
            one = replace(one, argument=changed)
        elif isinstance(one.argument, Supposition):
            one = replace(one, argument=replace(one.argument, inferences=one.argument.inferences[1:]))
        else:
            one = replace(one, argument=Swap(one.argument.pattern, one.argument.exits[1:]))
        return (*inferences[:index], one, *inferences[index + 1 :])


def swaps_in(inferences):
    for inference in inferences:
        argument = inference.argument
        if isinstance(argument, Supposition):
            yield from swaps_in(argument.inferences)
        elif isinstance(argument, Swap):
            yield argument
        else:
            yield from (swap for swap, _ in argument.swaps)


def attack(seed, attempts, source, each):
    """Attack so often, so many times in each model, and count what was accepted and what it was."""
    random = Random(seed)
    counts = Counter()
    while counts["attempts"] < attempts:
        model, solutions = source(random)
        attacker = Attacker(random, model, solutions)
        for _ in range(each):
            attacker.position()
            inferences = attacker.run(attacker.start, 0, ends=False)
            if random.random() < 0.15:
                inferences = attacker.spoil(inferences)
            counts["attempts"] += 1
            live, true = attacker.start
            grid = SimpleNamespace(model=model, live=live, true=true, givens=attacker.givens)
            try:
                checked = deduce.check(grid, SimpleNamespace(inferences=inferences))
            except deduce.ProofError:
                continue
            counts["accepted"] += 1
            allowed = [s for s in solutions if not s & ~live and not true & ~s]
            assumed = any(swaps_in(inferences))
            if assumed and sum(1 for s in solutions if not attacker.givens & ~s) != 1:
                continue
            if assumed:
                allowed = [s for s in allowed if not attacker.givens & ~s]
            if allowed:
                counts["nontrivial"] += 1
                counts["with swaps"] += assumed
                counts["with suppositions"] += any(isinstance(i.argument, Supposition) for i in inferences)
            for chosen in allowed:
                told = (seed, model.constraints, grid, inferences, chosen)
                assert not checked.contradiction, told
                assert not chosen & ~checked.after.live, told
                assert not checked.after.true & ~chosen, told
    return counts


SOURCES = {"small models": (small, 40), "layouts": (layout, 200)}


def enough(counts, attempts):
    """Fail if too little was accepted for the attacks to mean much."""
    assert counts["attempts"] >= attempts
    assert counts["accepted"] > attempts // 8, counts
    assert counts["nontrivial"] > attempts // 10, counts
    assert counts["with suppositions"] > attempts // 100, counts
    assert counts["with swaps"] > attempts // 500, counts


@pytest.mark.parametrize("name", SOURCES)
def test_nothing_false_is_accepted(name):
    enough(attack(1, 2000, *SOURCES[name]), 2000)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(100, 125))
@pytest.mark.parametrize("name", SOURCES)
def test_nothing_false_is_accepted_in_a_million_attacks(name, seed):
    """50 times 20,000 attacks, half of them on models made by hand and half on layouts."""
    enough(attack(seed, 20_000, *SOURCES[name]), 20_000)
