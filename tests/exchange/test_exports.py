"""Exports in standard proof formats, followed by checkers that share nothing with the library.

`checkers.py` holds an LRAT loop and a reader of pseudo-Boolean proofs, written from the formats; ``dratify`` (pure
Python) and ``drup`` (its core verified in Why3) come from the package index.  They see each derived clause with nothing
but the clauses that it names, so that no other reason can help it; the chain of reasons itself is followed by the loop.
"""

import re
from itertools import combinations
from random import Random

import dratify
import drup
import pytest
from exchange.checkers import Refused, dimacs, lrat, pseudo_boolean
from exchange.material import course, suppositions, swaps
from hypothesis import given, strategies as st
from strategies import LAYOUTS, minimal

import deduce
from deduce.errors import ExportError
from deduce.exchange import Document, to_clausal, to_pseudo_boolean
from deduce.kernel import Constraint, Counting, Inference, Model, Position, Supposition, Swap
from deduce.positions import bits
from deduce.proof import Pattern, Proof
from deduce.puzzle.text import puzzles

SHAPES = ("4x4", "5x5", "6x6", "9x9")
XY_WING_CNF = "p cnf 729 7\n523 525 0\n694 697 0\n444 445 0\n-523 -694 0\n-525 -444 0\n-697 -454 0\n-445 -454 0\n"


def rules(layout):
    """The rules of a layout as sets of candidates, worked out from its houses."""
    cells = range(layout.cells)
    yield from ({d * layout.cells + v + 1 for d in range(layout.order)} for v in cells)
    for house in layout.houses:
        yield from ({d * layout.cells + v + 1 for v in house.cells} for d in range(layout.order))


def stated(document):
    """The literals that a formula may state besides the rules: what stands at the start."""
    start = document.start
    gone = start.layout.every & ~start.live
    return {c + 1 for c in bits(start.true)} | {-c - 1 for c in bits(gone)}


def concluded(document):
    """The literals that the steps conclude, step by step."""
    for proof in document.proofs:
        for inference in proof.inferences:
            yield from (-c - 1 for c in inference.false)
            yield from (c + 1 for c in inference.true)


def follow_clauses(document, **options):
    """Follow the LRAT export, and return each derived clause with its reasons."""
    files = to_clausal(document, **options)
    variables, clauses = dimacs(files.formula)
    layout = document.start.layout
    assert variables == layout.order * layout.cells
    allowed = {frozenset(rule) for rule in rules(layout)}
    allowed |= {frozenset((-a, -b)) for rule in rules(layout) for a, b in combinations(rule, 2)}
    units = {frozenset((literal,)) for literal in stated(document)}
    found = {frozenset(clause) for clause in clauses}
    assert found <= allowed | units
    if not options.get("premises_only"):
        assert allowed <= found
        assert {frozenset((c + 1,)) for c in bits(document.start.true)} <= found
    derived = lrat(files.formula, files.proof)
    shown = {clause[0] for clause, _ in derived if len(clause) == 1}
    assert {*concluded(document)} <= shown | {literal for (literal,) in found & units}
    return derived


def follow_sums(document, version):
    """Follow the pseudo-Boolean export."""
    files = to_pseudo_boolean(document, version=version)
    formula, shown, unsatisfiable = pseudo_boolean(files.formula, files.proof)
    layout = document.start.layout
    expected = []
    for rule in rules(layout):
        expected += [(dict.fromkeys(rule, 1), 1), ({-c: 1 for c in rule}, len(rule) - 1)]
    assert formula[: len(expected)] == expected
    units = [next(iter(weights)) for weights, degree in formula[len(expected) :] if degree == 1]
    assert len(units) == len(formula) - len(expected)
    assert {*units} <= stated(document)
    assert {c + 1 for c in bits(document.start.true)} <= {*units}
    literals = [literal for (literal,) in (weights for weights, _ in shown)]
    assert {*concluded(document)} <= {*literals}
    assert unsatisfiable == any(proof.contradiction for proof in document.proofs)


def alone(premises, clause, *, variables=20_000):
    """Whether dratify accepts one clause by unit propagation from these premises alone."""
    formula = dratify.CNF(variables)
    for premise in premises:
        formula.add_dimacs(premise)
    result = dratify.check_proof(formula, "".join(f"{c} " for c in clause) + "0\n", check_rat=False)
    return result.failed_step == -1 and result.rup_steps == 1 and (not clause or not result.reached_empty)


def alone_too(premises, clause):
    """Ask drup the same, as a refutation: with a conclusion to derive it might accept a clause as RAT."""
    denied = [*premises, *([-literal] for literal in clause)]
    return drup.check_proof(denied, [[]]).outcome is drup.Outcome.VALID


@pytest.mark.parametrize("version", ["3.0", "1.2"])
@pytest.mark.parametrize("shape", SHAPES)
def test_walks_as_pseudo_boolean_proofs(shape, version):
    for seed in range(3):
        follow_sums(course(shape, seed), version)


@pytest.mark.parametrize("shape", SHAPES)
def test_walks_as_clausal_proofs(shape):
    for seed in range(2):
        document = course(shape, seed)
        whole = follow_clauses(document)
        short = follow_clauses(document, premises_only=True)
        assert whole == short


@pytest.mark.parametrize("shape", SHAPES)
def test_each_clause_follows_from_its_reasons_alone_for_two_other_checkers(shape):
    for clause, reasons in follow_clauses(course(shape, 1), premises_only=True):
        assert alone(reasons, clause)
        assert alone_too(reasons, clause)


def test_no_reason_can_be_left_out():
    tried = 0
    for clause, reasons in follow_clauses(course("9x9", 1), premises_only=True)[::7]:
        for i in range(len(reasons)):
            fewer = reasons[:i] + reasons[i + 1 :]
            assert not alone(fewer, clause)
            assert not alone_too(fewer, clause)
            tried += 1
    assert tried > 100


def test_a_whole_drat_proof_is_accepted_and_a_changed_one_is_not():
    files = to_clausal(course("9x9", 2), form="DRAT", premises_only=True)
    formula = dratify.parse_dimacs(files.formula)
    lines = files.proof.splitlines()
    result = dratify.check_proof(formula, files.proof, check_rat=False)
    assert (result.failed_step, result.rup_steps, result.reached_empty) == (-1, len(lines), False)
    refused = 0
    for at in range(0, len(lines), 11):
        literal = int(lines[at].split()[0])
        changed = "\n".join([*lines[:at], f"{-literal} 0"]) + "\n"
        result = dratify.check_proof(formula, changed, check_rat=False)
        refused += result.failed_step != -1
    assert refused == len(range(0, len(lines), 11))


@pytest.mark.parametrize("shape", ["4x4", "6x6", "9x9"])
def test_suppositions(shape):
    some = suppositions(shape, 2)[:4]
    assert some
    for proof in some:
        document = Document.of_proof(proof)
        follow_sums(document, "3.0")
        follow_sums(document, "1.2")
        for clause, reasons in follow_clauses(document, premises_only=True):
            assert alone(reasons, clause)
    assert shape == "4x4" or some[0].depth == 2


def test_a_contradiction_ends_both_proofs():
    grid = deduce.Grid.parse("12.. .... ...3 ..4.")
    start = grid.without(grid.candidate(c) for c in bits(grid.live & grid.layout.masks[grid.layout.parse_cell("r2c1")]))
    document = Document.of_walk(deduce.walk(start))
    assert document.outcome == "impossible"
    follow_sums(document, "3.0")
    follow_sums(document, "1.2")
    assert follow_clauses(document)[-1][0] == []
    assert "conclusion UNSAT : " in to_pseudo_boolean(document).proof
    clashing = Document.of_walk(deduce.walk(deduce.Grid.of(["1r1c1", "1r1c2"], layout=LAYOUTS["4x4"])))
    follow_sums(clashing, "3.0")
    assert follow_clauses(clashing)[-1][0] == []


def test_sets_take_helper_clauses_but_one_sum():
    """A naked triple with three candidates in each cell does not follow by unit propagation alone."""
    layout = LAYOUTS["9x9"]
    others = [layout.candidate(layout.number(d, v)) for d in range(4, 10) for v in (0, 1, 2)]
    grid = deduce.Grid.empty().without(others)
    argument = Counting(((0, 1), (1, 1), (2, 1)), tuple((layout.house_constraint(0, d), 1) for d in (1, 2, 3)))
    proof = Proof(grid, (Inference(argument, (layout.number(1, 8),)),), Pattern("naked triple"))
    derived = follow_clauses(Document.of_proof(proof), premises_only=True)
    assert len(derived) > 1
    lines = to_pseudo_boolean(Document.of_proof(proof)).proof.splitlines()
    assert sum(line.startswith("pol") for line in lines) == 1


def naked_set(size, *cells):
    """A document of one step: so many cells of the first row hold as many digits, which are gone from other cells."""
    layout = LAYOUTS["9x9"]
    grid = deduce.Grid.empty().without(
        layout.candidate(layout.number(d, v)) for d in range(size + 1, 10) for v in range(size)
    )
    covers = tuple((layout.house_constraint(0, d), 1) for d in range(1, size + 1))
    false = tuple(layout.number(d, cell) for d, cell in enumerate(cells, 1))
    inference = Inference(Counting(tuple((v, 1) for v in range(size)), covers), false)
    return Document.of_proof(Proof(grid, (inference,), Pattern("naked set")))


@pytest.mark.parametrize(("size", "most"), [(4, 20), (5, 50), (8, 350)])
def test_larger_sets(size, most):
    """What a branch has taught serves in the next one: eight cells would otherwise take thousands of clauses."""
    derived = follow_clauses(naked_set(size, 8), premises_only=True)
    assert len(derived) < most
    used = {frozenset(reason) for _, reasons in derived for reason in reasons}
    assert all(frozenset(clause) in used for clause, _ in derived[:-1])
    if size < 6:
        follow_clauses(naked_set(size, 8, 7), premises_only=True)
        assert all(alone(reasons, clause) for clause, reasons in derived)


def test_a_set_too_large_for_clauses_says_so(monkeypatch):
    monkeypatch.setattr("deduce.exchange.clausal.MAX_HELPERS", 100)
    document = naked_set(8, 8)
    with pytest.raises(ExportError, match=r"LRAT.*more than 100 helper clauses.*pseudo-Boolean"):
        to_clausal(document)
    follow_sums(document, "3.0")


def test_comments_number_the_candidates_as_the_rules_do():
    document = Document.of_walk(deduce.walk(deduce.Grid.parse("..24......1..2..")))
    files = to_pseudo_boolean(document)
    named = dict(re.findall(r"^\* x(\d+) is (\S+)$", files.proof + files.formula, re.MULTILINE))
    names = document.start.model.names
    assert named == {str(number): name for number, name in enumerate(names, 1)}


def test_a_swap_is_refused_or_stated_as_an_axiom():
    for proof in swaps():
        document = Document.of_proof(proof)
        for write in (to_clausal, to_pseudo_boolean):
            with pytest.raises(ExportError, match="assumes a unique solution"):
                write(document)
        files = to_pseudo_boolean(document, assume_unique=True)
        assert files.formula.count("true only if the puzzle has exactly one solution") == 1
        _, shown, _ = pseudo_boolean(files.formula, files.proof)
        clausal = to_clausal(document, assume_unique=True)
        assert clausal.formula.count("true only if there is one solution") == 1
        derived = [clause for clause, _ in lrat(clausal.formula, clausal.proof)]
        for literal in concluded(document):
            assert ({literal: 1}, 1) in shown
            assert [literal] in derived


def test_a_swap_under_a_supposition_is_an_axiom_only_there():
    """Suppose a candidate; the swap then leaves an exit that clashes with it."""
    proof = next(p for p in swaps() if isinstance(p.inferences[0].argument, Swap))
    grid, swap = proof.grid, proof.inferences[0].argument
    (exit_,) = swap.exits
    supposed = next(c for c in bits(grid.live & ~grid.true & grid.layout.peers[exit_]) if c not in swap.pattern)
    inner = Inference(Counting((), (), ((swap, 1),)))
    document = Document.of_proof(Proof(grid, (Inference(Supposition(supposed, (inner,)), (supposed,)),), proof.pattern))
    files = to_pseudo_boolean(document, assume_unique=True)
    assert f"1 x{exit_ + 1} 1 ~x{supposed + 1} >= 1 ;" in files.formula
    assert pseudo_boolean(files.formula, files.proof)[1][-1] == ({-supposed - 1: 1}, 1)
    clausal = to_clausal(document, assume_unique=True)
    assert f"\n{exit_ + 1} {-supposed - 1} 0\n" in clausal.formula
    assert lrat(clausal.formula, clausal.proof)[-1][0] == [-supposed - 1]


def test_a_constraint_that_is_no_clause_is_spelled_out():
    """A cage of two cells with a sum, on a layout's grid."""
    grid = deduce.Grid.empty(LAYOUTS["4x4"])
    cage = Constraint("cage A", tuple((16 * d + v, d + 1) for d in range(4) for v in (0, 1)), 3, 3)
    model = Model(grid.layout.model.names, (*grid.layout.model.constraints, cage))

    class Caged(type(grid.layout)):
        pass

    layout = Caged(4, [house.cells for house in grid.layout.houses[8:]])
    layout.__dict__["model"] = model
    caged = deduce.Grid(layout, grid.live, 0, 0)
    number = len(model.constraints) - 1
    inference = Inference(Counting(((0, 1), (1, 1)), ((number, 1),)), (32, 33, 48, 49))
    assert not deduce.check(caged, Proof(caged, (inference,), Pattern("cage"))).contradiction
    document = Document(caged, (Proof(caged, (inference,), Pattern("cage")),))
    clausal = to_clausal(document)
    derived = [clause for clause, _ in lrat(clausal.formula, clausal.proof)]
    assert all([literal] in derived for literal in (-33, -34, -49, -50))
    files = to_pseudo_boolean(document)
    _, shown, _ = pseudo_boolean(files.formula, files.proof)
    assert [next(iter(weights)) for weights, _ in shown] == [-33, -34, -49, -50]


def test_a_wrong_proof_is_not_exported():
    proof = course("9x9", 1).proofs[0]
    grid = proof.grid
    other = next(c for c in bits(grid.live & ~grid.true) if c not in proof.inferences[0].true)
    wrong = Document.of_proof(Proof(grid, (Inference(proof.inferences[0].argument, (other,)),), proof.pattern))
    for write in (to_clausal, to_pseudo_boolean):
        with pytest.raises(deduce.ProofError):
            write(wrong)


def test_unknown_forms_are_refused():
    document = course("4x4", 1)
    with pytest.raises(ExportError, match="LRAT or DRAT"):
        to_clausal(document, form="DRUP")
    with pytest.raises(ExportError, match=r"version 2\.0"):
        to_pseudo_boolean(document, version="2.0")


def damaged(lines, choose):
    """Return a proof of one changed line: a number more or less, a word gone, or the line gone."""
    places = [i for i, line in enumerate(lines) if line.startswith(("pol", "e "))]
    at = places[choose.randrange(len(places))]
    words = lines[at].split()
    spot = choose.randrange(1, len(words) - 1)
    if choose.random() < 0.2:
        return [*lines[:at], *lines[at + 1 :]]
    if choose.random() < 0.3:
        words.pop(spot)
    elif words[spot].isdigit():
        words[spot] = str(int(words[spot]) + choose.choice((-1, 1)))
    elif words[spot] in "+*dw":
        words[spot] = choose.choice([op for op in "+*dw" if op != words[spot]])
    elif words[spot].startswith("~"):
        words[spot] = words[spot][1:]
    else:
        words.pop(spot)
    return [*lines[:at], " ".join(words), *lines[at + 1 :]]


def test_damaged_pseudo_boolean_proofs_conclude_nothing_false():
    """Either the checker refuses, or whatever is still concluded is true in the solution."""
    document = course("6x6", 3)
    files = to_pseudo_boolean(document)
    solved = next(deduce.solutions(document.start))
    refused = 0
    for seed in range(150):
        text = "\n".join(damaged(files.proof.splitlines(), Random(seed))) + "\n"
        try:
            _, shown, unsatisfiable = pseudo_boolean(files.formula, text)
        except (Refused, IndexError, KeyError, ValueError, TypeError):
            refused += 1
            continue
        assert not unsatisfiable
        for weights, degree in shown:
            met = sum(w for c, w in weights.items() if (solved.true >> abs(c) - 1 & 1) == (c > 0))
            assert met >= degree
    assert refused > 100


@given(st.integers(0, 10**6))
def test_damaged_lrat_proofs_conclude_nothing_false(seed):
    document = course("6x6", 3)
    files = to_clausal(document, premises_only=True)
    choose = Random(seed)
    lines = files.proof.splitlines()
    at = choose.randrange(len(lines))
    words = lines[at].split()
    spot = choose.randrange(1, len(words) - 1)
    number = int(words[spot])
    words[spot : spot + 1] = choose.choice(([], [str(-number)], [str(number + 1)]))
    solved = next(deduce.solutions(document.start))
    try:
        derived = lrat(files.formula, "\n".join([*lines[:at], " ".join(words), *lines[at + 1 :]]))
    except (Refused, ValueError):
        return
    for clause, _ in derived:
        assert any((solved.true >> abs(c) - 1 & 1) == (c > 0) for c in clause)


def test_the_checkers_know_the_worked_examples_of_the_formats():
    """The XY-wing, naked pair and naked triple that other checkers accepted (see the formats' descriptions)."""
    assert lrat(XY_WING_CNF, "8 -454 0 6 7 2 3 4 5 1 0\n")[0][0] == [-454]
    pair = "p cnf 729 5\n580 584 0\n661 665 0\n-580 -13 0\n-661 -13 0\n-584 -665 0\n"
    assert lrat(pair, "6 -13 0 3 4 1 2 5 0\n")
    for bad in ("8 -454 0 6 7 2 3 4 5 0\n", "8 -454 0 1 6 7 2 3 4 5 0\n", "8 454 0 6 7 2 3 4 5 1 0\n", "8 -454 0 0\n"):
        with pytest.raises(Refused):
            lrat(XY_WING_CNF, bad)
    opb = (
        "* #variable= 7 #constraint= 7\n1 x1 1 x2 >= 1 ;\n1 x3 1 x4 >= 1 ;\n1 x5 1 x6 >= 1 ;\n1 ~x1 1 ~x3 >= 1 ;\n"
        "1 ~x2 1 ~x5 >= 1 ;\n1 ~x4 1 ~x7 >= 1 ;\n1 ~x6 1 ~x7 >= 1 ;\n"
    )
    proof = (
        "pseudo-Boolean proof version 3.0\nf 7 ;\npol 1 2 + 3 + 4 + 5 + 6 + 7 + 2 d ;\ne 1 ~x7 >= 1 : 8 ;\n"
        "output NONE ;\nconclusion NONE ;\nend pseudo-Boolean proof ;\n"
    )
    assert pseudo_boolean(opb, proof)[1] == [({-7: 1}, 1)]
    with pytest.raises(Refused):
        pseudo_boolean(opb, proof.replace(" 2 d", ""))


LISTS = ("euler96_50.txt", "hard_95.txt", "hard_1465_part.txt", "seventeen_clues.txt", "hardest_375_part.txt",
         "gecode_9x9.txt")  # fmt: skip


@pytest.mark.thorough
@pytest.mark.parametrize("name", LISTS)
def test_walks_of_a_list(collections, name):
    lines = puzzles((collections / name).read_text())
    for line in lines[:: max(1, len(lines) // 25)]:
        document = Document.of_walk(deduce.walk(deduce.Grid.parse(line)))
        follow_sums(document, "3.0")
        for clause, reasons in follow_clauses(document, premises_only=True):
            assert alone(reasons, clause)
            assert alone_too(reasons, clause)


@pytest.mark.thorough
def test_suppositions_of_many_puzzles():
    for shape in SHAPES:
        for seed in range(8):
            for proof in suppositions(shape, seed):
                document = Document.of_proof(proof)
                follow_sums(document, "3.0")
                follow_clauses(document, premises_only=True)


@pytest.mark.thorough
def test_a_walk_of_16x16(collections):
    line = puzzles((collections / "gecode_16x16.txt").read_text())[1]
    document = Document.of_walk(deduce.walk(deduce.Grid.parse(line)))
    assert document.proofs
    follow_sums(document, "3.0")
    follow_clauses(document, premises_only=True)


def test_a_position_with_notes_marks_them():
    puzzle = minimal("9x9", 3)
    solved = next(deduce.solutions(puzzle))
    wrong = [puzzle.candidate(c) for c in bits(puzzle.live & ~solved.true)][::3]
    document = Document.of_walk(deduce.walk(puzzle.without(wrong)))
    follow_sums(document, "3.0")
    follow_clauses(document)
    assert to_pseudo_boolean(document).formula.count("assumed note") == len(wrong)
    assert to_clausal(document).formula.count("assumed note") == len(wrong)
    later = document.proofs[len(document.proofs) // 2]
    assert "entered" in to_clausal(Document.of_proof(later)).formula
    assert Position(later.grid.live, later.grid.true) != Position(puzzle.live, puzzle.true)
