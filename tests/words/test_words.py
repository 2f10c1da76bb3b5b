"""Words: exact sentences for every pattern family, and rules that all sentences keep."""

import ast
import re
from pathlib import Path

import pytest
from pictures.positions import GRIDS, NINE, PI, proof, thinned

import deduce
import deduce.pictures
from deduce import Candidate, Grid, Layout, Proof
from deduce.claims.printing import conclusions_text
from deduce.claims.verdict import Fault, FaultKind, Mend, Remedy
from deduce.kernel import Counting, Inference
from deduce.patterns import NAMES
from deduce.proof import Chain, Link, Pattern
from deduce.walks import premises_of
from deduce.words.en.chains import false, true
from deduce.words.en.explain import LEVELS, explain, headline, notation, outcome, puzzle_line, tell
from deduce.words.en.names import Names, losses, series
from deduce.words.en.notation import written_chain
from deduce.words.en.tallies import tell_argument
from deduce.words.en.verdicts import _remedy, an, explain_fault

LINES = (Path(__file__).parent / "sentences.txt").read_text(encoding="utf-8").splitlines()
SENTENCES = {name: told for line in LINES for name, _, told in [line.partition(": ")]}


def test_every_pattern_of_the_catalogue_has_a_position() -> None:
    assert {*NAMES} <= {*GRIDS}


def test_every_pattern_has_its_sentence() -> None:
    assert [*SENTENCES] == [*NAMES, "contradiction"]


@pytest.mark.parametrize("name", SENTENCES)
def test_words_of_a_pattern(name: str) -> None:
    assert explain(proof(name)) == SENTENCES[name]


@pytest.mark.parametrize("name", GRIDS)
def test_words_name_every_conclusion_and_read_as_sentences(name: str) -> None:
    found = proof(name)
    told = explain(found)
    for candidate in (*found.eliminates, *found.places):
        assert f"r{candidate.row}c{candidate.column}" in told
    assert told.endswith(".")
    assert "  " not in told
    assert not re.search(r"R\d|\bC\d|\. [a-qs-z]|[;,:]{2}| [.,;:]", told), "a name in capitals or a broken sentence"
    assert len(re.findall(r"\.(?: |$)", told)) <= 5


@pytest.mark.parametrize("name", GRIDS)
def test_words_are_the_same_through_the_proof(name: str) -> None:
    found = proof(name)
    assert found.words() == explain(found)
    assert found.notation() == notation(found)


def test_headlines() -> None:
    assert headline(proof("XY-wing")) == "XY-wing: r2c8 loses 3"
    assert headline(proof("hidden single")) == "Hidden single: 7 in r3c4"
    linked = proof("chain with linked ends on different digits")
    assert headline(linked) == "Chain with linked ends on different digits: r1c1 loses 6; r2c2 loses 5"
    assert headline(proof("X-wing")) == "X-wing: 14 cells lose 5"
    assert headline(proof("contradiction")) == "Contradiction: 7 has no place left in box 2"


def test_a_cell_without_candidates_is_named() -> None:
    found = deduce.walk(thinned({"r4c7": ""})).steps[0].proof
    assert headline(found) == "Contradiction: r4c7 has no candidate left"


def test_written_chains() -> None:
    assert notation(proof("two-string kite")) == "(5)r4c1 = (5)r4c5 - (5)r5c6 = (5)r9c6, so 5r9c1 is false"
    returns = notation(proof("chain that returns to its start"))
    assert returns.startswith("(5)r1c1 = (5)r1c5 - (5)r2c4 = (6)r2c4 - ")
    assert returns.endswith(" = (5)r1c1, so 5r1c1 is true")
    loop = proof("continuous loop")
    assert written_chain(loop) == "(5)r1c1 = (5)r1c5 - (6)r1c5 = (6)r9c5 - (6)r9c1 = (5)r9c1 - (5)r1c1"
    assert conclusions_text(loop).startswith("r1c5 <> 1, r1c5 <> 2, ")
    assert notation(proof("naked pair")) == ""


def test_a_chain_through_groups_is_told_and_written() -> None:
    # Built by hand, since words must not depend on which chains the search knows: 5 in row 1 is r1c1 or the pair
    # r1c5, r1c6; these bar r2c4, and column 4 puts its 5 in r8c4.
    grid = thinned(houses={"5 in row 1": "r1c1 r1c5 r1c6", "5 in column 4": "r2c4 r8c4"})
    number, layout = grid.number, grid.layout
    nodes = ((number("5r1c1"),), (number("5r1c5"), number("5r1c6")), (number("5r2c4"),), (number("5r8c4"),))
    row, box, column = (layout.house_constraint(house, 5) for house in (0, 19, 12))
    chain = Chain(nodes, (Link(True, (row,)), Link(False, (box,)), Link(True, (column,))))
    inference = Inference(Counting(((row, 1),), ()), (number("5r8c1"),))
    made = Proof(grid, (inference,), Pattern("grouped chain", (), chain))
    assert notation(made) == "(5)r1c1 = (5)r1c56 - (5)r2c4 = (5)r8c4, so 5r8c1 is false"
    assert explain(made) == (
        "Look at both ends of the chain, 5 in r1c1 and 5 in r8c4. "
        "Suppose that r1c1 is not 5. Then row 1 has its 5 in r1c5 or r1c6; r2c4 sees r1c5 and r1c6 in box 2, so it is "
        "not 5, and column 4 has its 5 in r8c4. So at least one of r1c1 and r8c4 is 5, and a 5 that sees both r1c1 and "
        "r8c4 falls: r8c1 loses 5."
    )


def test_groups_true_and_false() -> None:
    names = Names(NINE)
    pair, three = [0, 1], [0, 1, 2]
    assert (true(names, pair), false(names, pair)) == ("r1c1 or r1c2 is 1", "neither r1c1 nor r1c2 is 1")
    assert (true(names, three), false(names, three)) == (
        "one of r1c1, r1c2 and r1c3 is 1",
        "none of r1c1, r1c2 and r1c3 is 1",
    )


def test_symbols_of_the_layout_are_used() -> None:
    layout = Layout.standard(16)
    found = next(deduce.find(thinned({"r1c2": "CG", "r1c12": "CG"}, layout=layout), ["naked pair"]))
    assert explain(found).startswith("Between them r1c2 and r1c12 hold no digits but C and G, and they share row 1.")
    assert Names(layout).node([11 * 256 + 9 * 16, 11 * 256 + 10 * 16]) == "(C)r10/11c1"
    assert Names(layout).a(8) == "an 8"
    assert Names(layout).a(12) == "a C"


def test_notes_of_a_person_are_owned_up_to() -> None:
    grid = Grid.parse("1... .... .... ....").without(["2r1c2", "3r1c2"])
    found = next(deduce.find(grid, ["naked single"]))
    assert explain(found).endswith(" This rests on your notes that 2 is not in r1c2 and that 3 is not in r1c2.")
    one = next(deduce.find(Grid.parse("12.. .... .... ....").without(["3r1c3"]), ["naked single"]))
    assert explain(one).endswith(" This rests on your note that 3 is not in r1c3.")


def test_the_last_open_cell_of_a_house() -> None:
    found = next(deduce.find(Grid.parse("123. .... .... ...."), ["hidden single"]))
    assert explain(found) == "r1c4 is the last open cell of row 1, and 4 is the digit that row 1 still lacks."


def test_a_hidden_single_after_eliminations_says_so() -> None:
    found = next(deduce.find(thinned(houses={"5 in row 4": "r4c7"}), ["hidden single"]))
    assert "5 has been ruled out in r4c1, r4c2, r4c3, r4c4, r4c5, r4c6, r4c8 and r4c9" in explain(found)


def test_a_pattern_without_sentences_of_its_own_tells_its_premises() -> None:
    grid = GRIDS["X-wing"]
    found = proof("X-wing")
    made = Proof(grid, found.inferences, Pattern("unnamed"))
    assert explain(made).startswith(
        "The places for 5 in row 2 and the places for 5 in row 7 leave no other way: r1c3, r1c8,"
    )


def test_outcomes() -> None:
    grid = Grid.parse(PI)
    assert outcome(deduce.walk(grid)) == f"Solved in {len(deduce.walk(grid))} steps."
    assert outcome(deduce.walk(grid, budget=1)) == (
        "The search stopped after 1 step because its budget was spent; 48 cells are still open."
    )
    assert outcome(deduce.walk(Grid.empty())) == (
        "No pattern that was tried finds anything after 0 steps; 81 cells are still open."
    )
    dead = deduce.walk(thinned({"r4c7": ""}))
    assert outcome(dead) == "The position has no solution: r4c7 has no candidate left."


def test_a_walk_as_text_numbers_its_steps() -> None:
    walk = deduce.walk(Grid.parse("12.. 34.. .... ..41"), budget=2)
    assert tell(walk).splitlines() == [
        "A 4 by 4 grid with 6 givens and 10 open cells.",
        "",
        "1. Hidden single: 4 in r1c4",
        f"   {walk.steps[0].proof.words()}",
        "",
        f"2. {headline(walk.steps[1].proof)}",
        f"   {walk.steps[1].proof.words()}",
        "",
        "The search stopped after 2 steps because its budget was spent; 8 cells are still open.",
    ]
    assert walk.words() == tell(walk)


def test_lists_and_losses() -> None:
    assert series([]) == ""
    assert losses([Candidate(4, 1, 2), Candidate(12, 1, 2, "C")]) == "r1c2 loses 4 and C"
    assert losses([Candidate(4, 1, c) for c in range(1, 5)], 3) == "4 cells lose 4"
    assert puzzle_line(Grid.parse("1... .... .... ....")) == "A 4 by 4 grid with 1 given and 15 open cells."


def test_words_need_a_grid() -> None:
    found = proof("X-wing")
    bare = Proof(GRIDS["X-wing"].model, found.inferences, Pattern("unnamed"))  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="need a proof on a Grid, not on a Model"):
        explain(bare)


@pytest.mark.parametrize("name", GRIDS)
def test_three_levels_say_the_same_at_different_lengths(name: str) -> None:
    found = proof(name)
    assert explain(found, "line") == headline(found)
    assert explain(found, "paragraph") == explain(found) == found.words()
    lines = found.words(level="full").split("\n")
    assert [line.partition(". ")[0] for line in lines] == [str(n) for n in range(1, len(lines) + 1)]
    assert all(line.endswith(".") for line in lines)
    for candidate in (*found.eliminates, *found.places):
        assert candidate.cell in " ".join(lines)
    chain = found.pattern.chain
    if chain is None:
        read = [premise.removeprefix("cell ").partition(" in ") for premise in found.premises]
        assert all(where in line and digit in line for (digit, _, where), line in zip(read, lines, strict=False))
        # Of a swap the notes of all open cells are read, those that are premises anyway only once.
        told = premises_of(found)
        # What they come to is told sum by sum; of a swap in one.
        read_of = len(told.cells) + len(told.scans) if found.swaps else len(found.premises)
        assert len(lines) == read_of + (1 if found.swaps or found.contradiction else len(found.inferences))
    else:
        assert len(lines) >= len(chain.links) + 1


def test_a_chain_is_read_link_by_link() -> None:
    assert explain(proof("chain with both ends on one digit"), "full").split("\n") == [
        "1. (5)r1c1 = (5)r1c5: row 1 has its 5 in r1c1 or r1c5, so if r1c1 is not 5, then r1c5 is 5.",
        "2. (5)r1c5 - (6)r1c5: r1c5 holds one digit, so if r1c5 is 5, then r1c5 is not 6.",
        "3. (6)r1c5 = (6)r9c5: column 5 has its 6 in r1c5 or r9c5, so if r1c5 is not 6, then r9c5 is 6.",
        "4. (6)r9c5 - (6)r9c2: row 9 has room for one 6, so if r9c5 is 6, then r9c2 is not 6.",
        "5. (6)r9c2 = (5)r9c2: r9c2 can only be 5 or 6, so if it is not 6, it is 5.",
        "6. The links hold in both directions: if r9c2 is not 5, then r1c1 is 5. So at least one end is true: r1c1 is"
        " 5, or r9c2 is 5.",
        "7. What clashes with both ends of the chain is false: r2c2, r3c2, r7c1, r8c1 and r9c1 lose 5.",
    ]


def test_an_unknown_level_is_refused() -> None:
    with pytest.raises(ValueError, match="level is 'long'; give one of 'where', 'name', 'line', 'paragraph', 'full'"):
        explain(proof("X-wing"), "long")


def test_articles_follow_the_sound_of_a_symbol() -> None:
    names = Names(Layout.standard(25))
    spoken = {names.digit(digit): names.a(digit).split()[0] for digit in range(1, 26)}
    assert {symbol for symbol, article in spoken.items() if article == "an"} == {*"8AEFHILMNO"}
    eight = next(deduce.find(thinned(houses={"8 in row 2": "r2c3 r2c8", "8 in row 7": "r7c3 r7c9"}), ["skyscraper"]))
    assert " and an 8 that sees both ends falls" in explain(eight)
    assert not any(re.search(r"\ba 8\b|\ba 1[18]\b", explain(eight, level)) for level in LEVELS)


def test_a_digit_that_stands_twice_is_named() -> None:
    found = [explain(each) for each in deduce.find(Grid.parse("11.. .... .... ...."))]
    assert found[0] == "1 stands twice in row 1: r1c1 and r1c2, so this position has no solution."


def test_prose_lives_in_the_words_modules_only() -> None:
    folder = Path(deduce.pictures.__file__).parent
    for module in sorted(folder.glob("*.py")):
        # Pages of audits and comparisons are documents of their own, each with its prose beside its form.
        if module.stem.endswith(("words", "_page")):
            continue
        tree = ast.parse(module.read_text(encoding="utf-8"))
        spared = set()
        for node in ast.walk(tree):
            # Docstrings, remarks on names, and the texts of errors are not shown to those who read a solve.
            if isinstance(node, ast.Expr | ast.Raise) or (isinstance(node, ast.ClassDef) and node.name == "_Reader"):
                spared.update(map(id, ast.walk(node)))
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in spared:
                assert not re.search(r"[a-z]{2,} [a-z]{2,} [a-z]{2,}", node.value), (module.name, node.value)


def test_faults_and_remedies_do_not_read_as_their_opposite() -> None:
    grid = Grid.parse(PI)
    kite = Fault(FaultKind.WRONG_SIZE, pattern="two-string kite", needed=2, houses=(1, 6))
    assert explain_fault(grid, kite) == "a two-string kite has a row and a column, not rows 2 and 7"
    absent = Fault(FaultKind.NOT_THERE, pattern="locked candidates")
    assert explain_fault(grid, absent) == "there are no locked candidates on the board"
    assert explain_fault(grid, Fault(FaultKind.NOT_THERE, pattern="X-wing")) == "there is no X-wing on the board"
    assert (an("remote pairs"), an("X-wing"), an("naked pair")) == ("remote pairs", "an X-wing", "a naked pair")
    never = Mend(grid.number("8r6c8"), Remedy.NEVER)
    assert _remedy(grid, never) == "no proof against 8 in r6c8 was found"


def test_one_need_is_told_in_the_singular() -> None:
    found = proof("claiming pair")
    told = tell_argument(found, Names(NINE), found.inferences[0].argument)
    assert told.startswith("There is one need: a 7 in row 3. Whatever meets it takes the one place with room for one: ")
    assert "one needs" not in told
