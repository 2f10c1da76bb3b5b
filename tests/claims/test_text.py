"""Reading claims: every form that people write, and every complaint with its place."""

import pytest
from hypothesis import given, strategies as st

from deduce import Layout
from deduce.claims.claim import Named, WrittenChain
from deduce.errors import ClaimError
from deduce.patterns import NAMES
from deduce.patterns.locked import CLAIMING, LOCKED, POINTING
from deduce.walks import parse_claim, read_log

NINE = Layout.standard()
SIXTEEN = Layout.standard(16)


def numbers(layout, tokens):
    return tuple(sorted(map(layout.parse_candidate, tokens.split())))


@pytest.mark.parametrize(
    ("text", "eliminates", "places"),
    [
        ("r8c3 <> 6", "6r8c3", ""),
        ("r8c3<>6", "6r8c3", ""),
        ("R8C3 != 6", "6r8c3", ""),
        ("r8c3 \u2260 6", "6r8c3", ""),
        ("r8c3 is not 6", "6r8c3", ""),
        ("r8c3 isn't 6.", "6r8c3", ""),
        ("r8c3 can\u2019t be 6", "6r8c3", ""),
        ("-6r8c3", "6r8c3", ""),
        ("\u22126r8c3", "6r8c3", ""),
        ("no 6 in r8c3", "6r8c3", ""),
        ("not 6r8c3", "6r8c3", ""),
        ("eliminate 6 from r8c3 and r9c3", "6r8c3 6r9c3", ""),
        ("remove 6/7 from r8c3", "6r8c3 7r8c3", ""),
        ("r8c3 loses 6 and 7", "6r8c3 7r8c3", ""),
        ("r78c3 <> 6", "6r7c3 6r8c3", ""),
        ("r8c39 <> 6", "6r8c3 6r8c9", ""),
        ("r12c34 <> 5", "5r1c3 5r1c4 5r2c3 5r2c4", ""),
        ("r1c1/r2c2 <> 4", "4r1c1 4r2c2", ""),
        ("r1c1, r2c2 and r3c3 <> 4", "4r1c1 4r2c2 4r3c3", ""),
        ("r8c39<>67", "6r8c3 6r8c9 7r8c3 7r8c9", ""),
        ("-6r8c3, -6r9c3 -4r1c1", "6r8c3 6r9c3 4r1c1", ""),
        ("-4r1c1, r2c2 <> 5", "4r1c1 5r2c2", ""),
        ("r1c1 <> 4, r2c2 <> 5, r3c3 = 6", "4r1c1 5r2c2", "6r3c3"),
        ("r8c3 = 9", "", "9r8c3"),
        ("r8c3:=9", "", "9r8c3"),
        ("+9r8c3", "", "9r8c3"),
        ("9 in r8c3", "", "9r8c3"),
        ("4 in r1c1, 7 in r2c2", "", "4r1c1 7r2c2"),
        ("place 9 in r8c3", "", "9r8c3"),
        ("r8c3 must be 9", "", "9r8c3"),
        ("+4r12c3", "", "4r1c3 4r2c3"),
    ],
)
def test_conclusions(text, eliminates, places):
    claim = parse_claim(NINE, text)
    assert claim.eliminates == numbers(NINE, eliminates)
    assert claim.places == numbers(NINE, places)
    assert claim.reason is None
    assert claim.text == text


@pytest.mark.parametrize(
    ("text", "names", "digits", "cells", "houses"),
    [
        ("naked pair 47 r2c8 r9c8", ("naked pair",), (4, 7), (16, 79), ()),
        ("Naked Pair 4 and 7 in r29c8", ("naked pair",), (4, 7), (16, 79), ()),
        ("naked-pair 4/7, r2c8, r9c8", ("naked pair",), (4, 7), (16, 79), ()),
        ("skyscraper on 8 in rows 3 and 7", ("skyscraper",), (8,), (), (2, 6)),
        ("x wing 8 rows 37 columns 2,5", ("X-wing",), (8,), (), (2, 6, 10, 13)),
        ("xwing on 8 in r37", ("X-wing",), (8,), (), (2, 6)),
        ("pointing 8 in box 2", POINTING, (8,), (), (19,)),
        ("locked candidates, claiming 8 in row 2", CLAIMING, (8,), (), (1,)),
        ("locked candidates 8 in box 2", LOCKED, (8,), (), (19,)),
        ("claiming triple 8 in row 2", ("claiming triple",), (8,), (), (1,)),
        ("kite on 8", ("two-string kite",), (8,), (), ()),
        ("hidden single", ("hidden single",), (), (), ()),
    ],
)
def test_named_reasons(text, names, digits, cells, houses):
    reason = parse_claim(NINE, text).reason
    assert reason == Named(names, digits, cells, houses)


def test_parts_of_a_named_pattern():
    reason = parse_claim(NINE, "XY-wing, pivot 47r1c1, pincers 4r1c5 and 7r3c2 so r3c5 loses 4").reason
    assert reason.labels == (("pincer", (4, 19)), ("pivot", (0,)))
    assert reason.digits == (4, 7)


@pytest.mark.parametrize("name", NAMES)
def test_every_name_of_the_catalogue_is_known(name):
    for spelling in (name, name.upper(), name.replace("-", " ").replace(",", "")):
        assert parse_claim(NINE, f"{spelling} => -1r1c1").reason.names == (name,)


@pytest.mark.parametrize("joint", [" => ", "=>", " so ", ": ", " -> ", ", "])
def test_a_reason_in_front(joint):
    claim = parse_claim(NINE, f"naked pair 47 r2c8 r9c8{joint}r5c8 <> 4")
    assert (claim.eliminates, claim.reason.cells) == (numbers(NINE, "4r5c8"), (16, 79))


@pytest.mark.parametrize("joint", [" because ", ": ", " by the ", " because of the ", " ("])
def test_a_reason_behind(joint):
    claim = parse_claim(NINE, f"r5c8 <> 4{joint}naked pair 47 r2c8 r9c8{')' * ('(' in joint)}")
    assert (claim.eliminates, claim.reason.cells) == (numbers(NINE, "4r5c8"), (16, 79))


@pytest.mark.parametrize(
    "text",
    [
        "(8)r3c1 = (8)r3c9 - (8)r12c9 = (8)r7c2 - (7)r7c2",
        "(8)r3c1=(8)r3c9-(8)r12c9=(8)r7c2-(7)r7c2",
        "(8)r3c1==(8)r3c9--(8)r12c9==(8)r7c2--(7)r7c2",
        "(8)r3c1 = (8)r3c9 \u2013 (8)r12c9 = (8-7)r7c2",
        "8r3c1 = 8r3c9 - 8r12c9 = 8r7c2 - 7r7c2",
    ],
)
def test_written_chains(text):
    for written in (text, f"{text} => -1r1c1", f"r1c1 <> 1: {text}", f"r1c1<>1 {text}"):
        reason = parse_claim(NINE, written).reason
        assert isinstance(reason, WrittenChain)
        assert reason.nodes == tuple(
            numbers(NINE, node) for node in ("8r3c1", "8r3c9", "8r1c9 8r2c9", "8r7c2", "7r7c2")
        )
        assert reason.strong == (True, False, True, False)
        first, last = reason.spans[0], reason.spans[-1]
        assert written[slice(*first)].replace(" ", "").startswith(("(8)r3c1=", "8r3c1="))
        assert written[slice(*last)].endswith("r7c2")


def test_a_chain_with_its_name():
    reason = parse_claim(NINE, "X-chain on 8: (8)r3c1 = (8)r3c9").reason
    assert (reason.named.names, reason.named.digits) == (("X-chain",), (8,))


def test_large_grids_number_their_lines():
    claim = parse_claim(SIXTEEN, "r10/11c3 <> G, -Ar1c16: naked pair AG r10c4 r11c4 in column 4")
    assert claim.eliminates == numbers(SIXTEEN, "Gr10c3 Gr11c3 Ar1c16")
    assert claim.reason.digits == (10, 16)
    assert [SIXTEEN.houses[h].name for h in claim.reason.houses] == ["column 4"]
    with pytest.raises(ClaimError, match="there is no row 17"):
        parse_claim(SIXTEEN, "r17c3 <> 1")


def test_a_claim_error_tells_what_was_expected_and_points():
    with pytest.raises(ClaimError) as caught:
        parse_claim(NINE, "r8c3 <> 0")
    assert str(caught.value) == (
        "line 1, column 9: '0' where a digit should be; write one of 123456789\n  r8c3 <> 0\n          ^"
    )
    with pytest.raises(ClaimError, match="did you mean skyscraper"):
        parse_claim(NINE, "skyclamber on 8")
    assert parse_claim(NINE, "skyscrapper on 8").heard == (("skyscrapper", "skyscraper"),)
    assert isinstance(caught.value, ValueError)


ALPHABET = st.sampled_from(
    [*"rc123456789(),:;=-<>+/ ", "naked pair ", "=>", " because ", "r1c1", "(4)r2c2", " is not "]
)


def read(text):
    """The claim, or the error that it is refused with."""
    try:
        return parse_claim(NINE, text)
    except ClaimError as error:
        return error


@given(st.lists(ALPHABET, max_size=14).map("".join))
def test_any_text_is_read_or_refused(text):
    found = read(text)
    if isinstance(found, ClaimError):
        assert 1 <= found.column <= len(text) + 1
        assert found.problem
        assert found.expected
    else:
        assert found.candidates or found.reason


@given(st.text(max_size=40))
def test_no_text_is_a_surprise(text):
    found = read(text)
    assert found.text == text


def test_logs_keep_comments_blanks_and_grids():
    grid = "\n".join(["{1} 234 {3} {4}"] * 4)
    log = f"# begun\n1. r1c1 = 3 ; a slip\n\nstep 2: -4r2c2\n{grid}\n----\nr2c2 <> 5 # none\n"
    lines = read_log(Layout.standard(4), log)
    assert [line.number for line in lines] == [1, 2, 3, 4, 5, 10]
    assert [line.comment for line in lines if line.comment] == ["# begun", "; a slip", "# none"]
    assert [bool(line.claim) for line in lines] == [False, True, False, True, False, False]
    assert lines[4].notes.startswith(grid)
    assert (lines[5].error.line, lines[5].error.column) == (10, 9)
    assert lines[5].error.text == log.rstrip("\n")


def test_a_bad_grid_in_a_log_is_told_with_its_line():
    (line,) = read_log(Layout.standard(4), "1 2 3 4\n1 2 3\n")
    assert line.error is not None
    assert line.error.line == 2
