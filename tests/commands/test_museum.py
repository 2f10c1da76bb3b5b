"""A museum of malformed command lines: each ends in its exit code and one sentence, and with --json in an envelope."""

import io
import json
import re
import sys

import jsonschema
import pytest

import deduce
from deduce.__main__ import COMMANDS, main
from deduce.commands.command import parser_of
from deduce.commands.documents import ENDINGS
from deduce.commands.planning import OBJECTIVES
from deduce.counting.costs import COSTS
from deduce.envelope import schema_of
from deduce.exchange.pseudo_boolean import PROOF_VERSIONS
from deduce.pictures.themes import THEMES
from deduce.solving.generate import SYMMETRIES
from deduce.words.en.explain import LEVELS

SMALL = "..24......1..2.."

# Arguments, exit code, and what standard error begins with. What stands in curly brackets is a file of the fixture.
MUSEUM = [
    (("",), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("walk",), 2, "the following arguments are required: puzzle"),
    (("walk", ""), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("12",), 2, "line 1, column 3: 2 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell"),
    (
        ("nofile",),
        2,
        "line 1, column 7: 6 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell",
    ),
    (("x" * 81,), 2, "line 1, column 1: 'x' is no digit; write one of 123456789 or '.' for an empty cell"),
    (("no_such_file.txt",), 2, "there is no file no_such_file.txt; give the text itself, a file or -"),
    (("./nowhere",), 2, "there is no file ./nowhere; give the text itself, a file or -"),
    (("/nowhere/at/all",), 2, "there is no file /nowhere/at/all; give the text itself, a file or -"),
    (("puzzle.json",), 2, "there is no file puzzle.json; give the text itself, a file or -"),
    (
        ("1" * 82,),
        2,
        "line 1, column 83: 82 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty",
    ),
    (
        ("." * 80,),
        2,
        "line 1, column 81: 80 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty",
    ),
    (("{folder}",), 2, "there is no file {folder}; give the text itself, a file or -"),
    (
        ("{binary}",),
        2,
        "{binary} cannot be read as UTF-8 text ('utf-8' codec can't decode byte 0xff in position 0: invalid",
    ),
    (("{empty}",), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("{comment}",), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("walk", SMALL, SMALL), 2, "unrecognized arguments: ..24......1..2.."),
    (("wlak", SMALL), 2, "unrecognized arguments: ..24......1..2.."),
    (("--walk", SMALL), 2, "unrecognized arguments: --walk"),
    (("-x",), 2, "the following arguments are required: puzzle"),
    (("walk", "--"), 2, "the following arguments are required: puzzle"),
    ((SMALL, "--number", "0"), 2, "--number 0 is not there; the input holds 1, numbered from 1"),
    ((SMALL, "--number", "2"), 2, "--number 2 is not there; the input holds 1, numbered from 1"),
    ((SMALL, "--number", "-1"), 2, "--number -1 is not there; the input holds 1, numbered from 1"),
    ((SMALL, "--number", "one"), 2, "--number: 'one' is no whole number"),
    ((SMALL, "--number", ""), 2, "--number: '' is no whole number"),
    ((SMALL, "--number"), 2, "--number: expected one argument"),
    (("{two}", "--number", "3"), 2, "--number 3 is not there; the input holds 2, numbered from 1"),
    ((SMALL, "--budget", "-1"), 2, "--budget: -1 is below 0; give a number from 0 on"),
    ((SMALL, "--budget", "x"), 2, "--budget: 'x' is no whole number"),
    ((SMALL, "--budget", "1.5"), 2, "--budget: '1.5' is no whole number"),
    ((SMALL, "--budget"), 2, "--budget: expected one argument"),
    ((SMALL, "--trials", "-2"), 2, "--trials: -2 is below 0; give a number from 0 on"),
    ((SMALL, "--trials", "many"), 2, "--trials: 'many' is no whole number"),
    ((SMALL, "--seconds", "-1"), 2, "--seconds: -1 is below 0; give a number from 0 on"),
    ((SMALL, "--seconds", "nan"), 2, "--seconds: nan is below 0; give a number from 0 on"),
    ((SMALL, "--seconds", "soon"), 2, "--seconds: 'soon' is no number"),
    ((SMALL, "--step", "2"), 2, "--step says what --svg draws; give --svg FILE as well"),
    ((SMALL, "--svg", "{out}", "--step", "99"), 2, "--step 99 is not there; the walk has 12 steps, numbered from 1"),
    ((SMALL, "--svg", "{out}", "--step", "0"), 2, "--step 0 is not there; the walk has 12 steps, numbered from 1"),
    (("." * 81, "--order", "7"), 2, "order 7 has no rectangular boxes; give an order that is no prime, or regions"),
    (("." * 81, "--order", "0"), 2, "order 0 is not possible; give a whole number from 4 to 25"),
    (("." * 81, "--order", "-9"), 2, "order -9 is not possible; give a whole number from 4 to 25"),
    (("." * 81, "--order", "x"), 2, "--order: 'x' is no whole number"),
    (("." * 81, "--order", "16"), 2, "line 1, column 82: 81 cells found; a grid has 256, with '.' for an empty cell"),
    ((SMALL, "--layout", "nofile"), 2, "there is no file nofile; give a file with a layout, or - for standard input"),
    ((SMALL, "--layout", "grid 4"), 2, "there is no file grid 4; give a file with a layout, or - for standard input"),
    (
        (SMALL, "--layout", "{layout}", "--order", "4"),
        2,
        "--order and --layout both say what the grid looks like; give one of them",
    ),
    ((SMALL, "--layout", "{bad_layout}"), 2, "line 2, column 6: there is no cell r9c9; the cells are r1c1 to r4c4"),
    (
        ("empty",),
        2,
        "line 1, column 6: 5 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell",
    ),
    (("empty", "--order", "5x"), 2, "--order: '5x' is no whole number"),
    ((SMALL, "--allow", ""), 2, "--allow names nothing; give names separated by semicolons, or leave it out"),
    ((SMALL, "--allow", " ; "), 2, "--allow names nothing; give names separated by semicolons, or leave it out"),
    ((SMALL, "--forbid", ""), 2, "--forbid names nothing; give names separated by semicolons, or leave it out"),
    (
        (SMALL, "--allow", "x-wings"),
        2,
        "no pattern is called 'x-wings'; did you mean 'X-wing' or 'XY-wing' or 'XYZ-wing' or 'wings'?",
    ),
    (
        (SMALL, "--allow", "naked pairs"),
        2,
        "no pattern is called 'naked pairs'; did you mean 'naked pair' or 'remote pairs' or 'naked quad'?",
    ),
    ((SMALL, "--forbid", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (
        (SMALL, "--allow", "naked single", "--forbid", "naked single"),
        2,
        "--forbid leaves nothing that may be used; forbid less",
    ),
    (
        (SMALL, "--allow", "bivalue grid"),
        2,
        "'bivalue grid' holds only in a puzzle with one solution; say assume_unique=True (--assume-unique on",
    ),
    ((SMALL, "--allow"), 2, "--allow: expected one argument"),
    (
        ("1...", "--assume-unique"),
        2,
        "line 1, column 5: 4 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell",
    ),
    (
        ("12..34..........", "--assume-unique"),
        2,
        "the puzzle has more than one solution, so nothing can be deduced from there being only one; two of",
    ),
    ((SMALL, "--page", "/nowhere/page.html"), 2, "/nowhere/page.html cannot be written (No such file or directory)"),
    ((SMALL, "--svg", "/nowhere/step.svg"), 2, "/nowhere/step.svg cannot be written (No such file or directory)"),
    ((SMALL, "--out", "/nowhere/out.txt"), 2, "/nowhere/out.txt cannot be written (No such file or directory)"),
    ((SMALL, "--out", ""), 2, "--out names no file; give its name, or leave it out"),
    ((SMALL, "--json", "--out", "{folder}"), 2, "{folder} cannot be written (Is a directory)"),
    (
        (SMALL, "--page", "{out}", "--svg", "{out}"),
        2,
        "{out} is named twice, as --page and as --svg; name each file once",
    ),
    (
        (SMALL, "--page", "{out}", "--out", "{out}"),
        2,
        "{out} is named twice, as --out and as --page; name each file once",
    ),
    (
        (SMALL, "--page", "{out}", "--story-json", "{out}"),
        2,
        "{out} is named twice, as --page and as --story-json; name each file once",
    ),
    (
        ("{two}", "--number", "1", "--out", "{two}"),
        2,
        "{two} is named twice, as puzzle and as --out; name each file once",
    ),
    (
        ("{two}", "--number", "1", "--page", "{two}"),
        2,
        "{two} is named twice, as puzzle and as --page; name each file once",
    ),
    (
        ("empty", "--layout", "{layout}", "--svg", "{layout}"),
        2,
        "{layout} is named twice, as layout and as --svg; name each file once",
    ),
    ((SMALL, "--stage"), 2, "--title, --author and --stage are about --page; give --page FILE as well"),
    ((SMALL, "--title", "T"), 2, "--title, --author and --stage are about --page; give --page FILE as well"),
    ((SMALL, "--author", "A"), 2, "--title, --author and --stage are about --page; give --page FILE as well"),
    (
        (SMALL, "--theme", "loud"),
        2,
        "--theme: invalid choice: 'loud' (choose from 'auto', 'light', 'dark', 'print', 'stage')",
    ),
    ((SMALL, "--story", "long"), 2, "--story: invalid choice: 'long' (choose from 'line', 'paragraph', 'full')"),
    ((SMALL, "--hurry"), 2, "unrecognized arguments: --hurry"),
    ((SMALL, "--json=yes"), 2, "--json: ignored explicit argument 'yes'"),
    (("judge",), 2, "the following arguments are required: puzzle, claim"),
    (("judge", SMALL), 2, "there is no claim; give one such as 'r8c3 <> 6'"),
    (
        ("judge", SMALL, ""),
        2,
        "line 1, column 1: the end of the text where a claim should be; write what falls or is placed, such",
    ),
    (("judge", SMALL, "r1c1 <> 0"), 2, "line 1, column 9: '0' where a digit should be; write one of 1234"),
    (("judge", SMALL, "r9c9 = 1"), 2, "line 1, column 2: there is no row 9; write a number from 1 to 4"),
    (("judge", SMALL, "nonsense"), 2, "line 1, column 1: 'nonsense' is no word that claims know; did you mean loses?"),
    (
        ("judge", SMALL, "skyclamber on 3"),
        2,
        "line 1, column 1: 'skyclamber' is no word that claims know; did you mean skyscraper?",
    ),
    (
        ("judge", SMALL, "r1c1"),
        2,
        "line 1, column 5: the end of the text where <> or = should be; say what the cell is or is not, such",
    ),
    (
        ("judge", SMALL, "r1c1 = 3 or 1"),
        2,
        "line 1, column 8: a cell holds only one digit; write one digit, or <> for what it is not",
    ),
    (("judge", "-", "-"), 2, "puzzle and claim cannot both come from standard input; give one of them as a file"),
    (
        ("judge", SMALL, "is this the easiest?"),
        2,
        "line 1, column 1: it is not clear which step is meant; give the step with its reason",
    ),
    (
        ("judge", SMALL, "is this the easiest?", "--about", "nonsense"),
        2,
        "line 1, column 1: 'nonsense' is no word that claims know; did you mean loses?",
    ),
    (
        ("judge", SMALL, "where does 3 go?"),
        2,
        "line 1, column 17: a digit can go into many houses, and it is not clear which house is meant; add",
    ),
    (
        ("judge", SMALL, "what can go in r1c1?", "--svg", "{out}"),
        2,
        "--page and --svg show claims; for a question leave them out",
    ),
    (("judge", SMALL, "r1c1 = 3", "--about"), 2, "--about: expected one argument"),
    (
        ("judge", SMALL, "r1c1 = 3", "--numb", "2"),
        2,
        "line 1, column 12: 'numb' is no word that claims know; did you mean number or numbers?",
    ),
    (
        ("judge", SMALL, "r1c1 = 3", "--page", "{out}", "--svg", "{out}"),
        2,
        "{out} is named twice, as --page and as --svg; name each file once",
    ),
    (("judge", SMALL, "--json"), 2, "there is no claim; give one such as 'r8c3 <> 6'"),
    (
        ("judge", "12", "r1c1 = 1"),
        2,
        "line 1, column 3: 2 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell",
    ),
    (("audit", SMALL), 2, "the following arguments are required: log"),
    (
        ("audit", SMALL, "nofile"),
        2,
        "there is no file nofile; give a file with one move a line, or - for standard input",
    ),
    (
        ("audit", SMALL, "r1c1 = 3"),
        2,
        "there is no file r1c1 = 3; give a file with one move a line, or - for standard input",
    ),
    (("audit", "-", "-"), 2, "puzzle and log cannot both come from standard input; give one of them as a file"),
    (
        ("audit", SMALL, "{folder}"),
        2,
        "there is no file {folder}; give a file with one move a line, or - for standard input",
    ),
    (
        ("audit", SMALL, "{binary}"),
        2,
        "{binary} cannot be read as UTF-8 text ('utf-8' codec can't decode byte 0xff in position 0: invalid",
    ),
    (
        ("audit", SMALL, "{log}", "--page", "{log}"),
        2,
        "{log} is named twice, as log and as --page; name each file once",
    ),
    (
        ("audit", SMALL, "{log}", "--page", "/nowhere/a.html"),
        2,
        "/nowhere/a.html cannot be written (No such file or directory)",
    ),
    (("audit", SMALL, "{log}", "{log}"), 2, "unrecognized arguments: {log}"),
    (("notes", "-", "-"), 2, "puzzle and notes cannot both come from standard input; give one of them as a file"),
    (("notes", SMALL, "nofile.txt"), 2, "there is no file nofile.txt; give the text itself, a file or -"),
    (("notes", SMALL, "12"), 2, "line 1, column 3: 2 cells found; a grid has 16, with '.' for an empty cell"),
    (("notes", SMALL, "1", "2"), 2, "unrecognized arguments: 2"),
    (("status",), 2, "the following arguments are required: puzzle"),
    (("status", ""), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("status", SMALL, "--allow", "singles"), 2, "unrecognized arguments: --allow singles"),
    (("status", "{comment}"), 2, "there is no puzzle in the input; give one character a cell, '.' for an empty one"),
    (("status", "--number", "2", SMALL), 2, "--number 2 is not there; the input holds 1, numbered from 1"),
    (("plan", SMALL, "--budget", "0"), 2, "--budget: 0 is below 1; give a number from 1 on"),
    (("plan", SMALL, "--budget", "-1"), 2, "--budget: -1 is below 1; give a number from 1 on"),
    (
        ("plan", SMALL, "--objective", "best"),
        2,
        "--objective: invalid choice: 'best' (choose from 'steps', 'effort', 'peak', 'patterns', 'alike')",
    ),
    (
        ("plan", SMALL, "--allow", "naked pairs"),
        2,
        "no pattern is called 'naked pairs'; did you mean 'naked pair' or 'remote pairs' or 'naked quad'?",
    ),
    (("plan", SMALL, "--prefer", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (("plan", SMALL, "--require", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (("plan", SMALL, "--simple", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (("plan", SMALL, "--forbid", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (("plan", "missing.txt"), 2, "there is no file missing.txt; give the text itself, a file or -"),
    (("plan", SMALL, "--page", "/nowhere/p.html"), 2, "/nowhere/p.html cannot be written (No such file or directory)"),
    (("prune", SMALL, "--goal", ";"), 2, "--goal names nothing; give names separated by semicolons, or leave it out"),
    (("prune", SMALL, "--goal", "xr1c1"), 2, "'xr1c1' does not start with a digit; write one of 1234, then the cell"),
    (("prune", SMALL, "--goal", "9r1c1"), 2, "'9r1c1' does not start with a digit; write one of 1234, then the cell"),
    (("prune", SMALL, "--goal", "3r9c9"), 2, "'r9c9' is no cell here; write r1c1 to r4c4"),
    (("stuck", SMALL, "--simple", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (("stuck", SMALL, "--page", "{out}"), 2, "unrecognized arguments: --page {out}"),
    (("themes", "--show", "naked pair"), 2, "give either a collection to search, or --make with a seed"),
    (("themes", SMALL), 2, "the following arguments are required: --show"),
    (("themes", SMALL, "--show", ""), 2, "--show names nothing; give names separated by semicolons, or leave it out"),
    (("themes", SMALL, "--show", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (
        ("themes", SMALL, "--show", "naked pair", "--make", "1"),
        2,
        "give either a collection to search, or --make with a seed",
    ),
    (
        ("themes", "# nothing", "--show", "naked pair"),
        2,
        "there is no puzzle in the input; give one character a cell, '.' for an empty one",
    ),
    (("themes", "--make", "x", "--show", "naked pair"), 2, "--make: 'x' is no whole number"),
    (
        ("themes", "--make", "1", "--show", "naked pair", "--budget", "0"),
        2,
        "--budget: 0 is below 1; give a number from 1 on",
    ),
    (
        ("themes", "--make", "1", "--show", "naked pair", "--symmetry", "odd"),
        2,
        "--symmetry: invalid choice: 'odd' (choose from 'half turn', 'quarter turn', 'left-right',",
    ),
    (
        ("compare", SMALL, "--claims", "nofile"),
        2,
        "there is no file nofile; give a file with one claim a line, or - for standard input",
    ),
    (
        ("compare", SMALL, "--claims", "{log}", "--allow", "singles"),
        2,
        "--allow and --claims both give the first walk; use one of them",
    ),
    (
        ("compare", SMALL, "--against", ""),
        2,
        "--against names nothing; give names separated by semicolons, or leave it out",
    ),
    (("compare", SMALL, "--against", "nonsense"), 2, "no pattern is called 'nonsense'; the names are: "),
    (
        ("compare", SMALL, "--svg", "{out}", "--page", "{out}"),
        2,
        "{out} is named twice, as --page and as --svg; name each file once",
    ),
    (
        ("simplest", SMALL, "--candidate", "5r0c1"),
        2,
        "'5r0c1' does not start with a digit; write one of 1234, then the cell",
    ),
    (
        ("simplest", SMALL, "--candidate", "xr1c1"),
        2,
        "'xr1c1' does not start with a digit; write one of 1234, then the cell",
    ),
    (
        ("simplest", SMALL, "--candidate", "2r1c3"),
        2,
        "2r1c3 is placed already; ask about a candidate that is still open",
    ),
    (("simplest", SMALL, "--cost", "time"), 2, "--cost: invalid choice: 'time' (choose from 'constraints', 'people')"),
    (("simplest", SMALL, "--budget", "-1"), 2, "--budget: -1 is below 0; give a number from 0 on"),
    (
        ("simplest", SMALL, "--level", "loud"),
        2,
        "--level: invalid choice: 'loud' (choose from 'where', 'name', 'line', 'paragraph', 'full')",
    ),
    (("simplest", SMALL, "--allow", "no such thing"), 2, "no pattern is called 'no such thing'; the names are: "),
    (("check",), 2, "the following arguments are required: file"),
    (
        ("check", "nofile"),
        2,
        "the document: nofile cannot be read (No such file or directory); expected a file of UTF-8 text",
    ),
    (("check", "{folder}"), 2, "the document: {folder} cannot be read (Is a directory); expected a file of UTF-8 text"),
    (
        ("check", "{binary}"),
        2,
        "the document: {binary} cannot be read ('utf-8' codec can't decode byte 0xff in position 0: invalid",
    ),
    (("check", "{log}"), 2, "the document: no JSON at line 1, column 1 (Expecting value); expected one JSON value"),
    (("check", "{proofs}", "--step", "0"), 2, "steps: --step 0; expected a step from 1 to 12"),
    (("check", "{proofs}", "--step", "99"), 2, "steps: --step 99; expected a step from 1 to 12"),
    (
        ("check", "{proofs}", "--number", "1"),
        2,
        "--number, --layout and --order say which puzzle is expected; name it with --puzzle",
    ),
    (
        ("check", "{proofs}", "--puzzle", "12"),
        2,
        "line 1, column 3: 2 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an empty cell",
    ),
    (
        ("check", "-", "--puzzle", "-"),
        2,
        "puzzle and file cannot both come from standard input; give one of them as a file",
    ),
    (
        ("check", "{proofs}", "--out", "{proofs}"),
        2,
        "{proofs} is named twice, as file and as --out; name each file once",
    ),
    (("check", "{empty}"), 2, "the document: no JSON at line 1, column 1 (Expecting value); expected one JSON value"),
    (("export", "{proofs}"), 2, "the following arguments are required: --to"),
    (
        ("export", "{proofs}", "--to", "pdf"),
        2,
        "--to: invalid choice: 'pdf' (choose from 'opb', 'lrat', 'drat', 'json', 'line')",
    ),
    (
        ("export", "nofile", "--to", "json"),
        2,
        "the document: nofile cannot be read (No such file or directory); expected a file of UTF-8 text",
    ),
    (
        ("export", "{proofs}", "--to", "opb", "--proof-version", "9"),
        2,
        "--proof-version: invalid choice: '9' (choose from '3.0', '1.2')",
    ),
    (
        ("export", "{proofs}", "--to", "opb", "--output", "/nowhere/x"),
        2,
        "/nowhere/x.opb cannot be written (No such file or directory)",
    ),
    (("schema", "nothing"), 2, "there is no schema nothing; the names are: "),
    (("schema", "proof", "--of", "9"), 2, "--of: version is 9; give one from 1 to 2"),
    (("schema", "proof", "--of", "x"), 2, "--of: 'x' is no whole number"),
    (("storyboard", SMALL), 2, "the following arguments are required: folder"),
    (
        ("storyboard", SMALL, "{kit}", "--size", "big"),
        2,
        "--size big is not there; give width and height in pixels, such as 1080x1920",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--size", "0x0"),
        2,
        "size 0x0, rate 140, pause 0.8, minutes None: give more than 0",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--steps", "0"),
        2,
        "--steps 0 is not there; give numbers from 1 to 12, such as 1,17-24",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--chapters", "99"),
        2,
        "--chapters 99 is not there; give numbers from 1 to 1, such as 1,17-24",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--skip", "x"),
        2,
        "--skip x is not there; give numbers from 1 to 12, such as 1,17-24",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--singles", "some"),
        2,
        "singles is 'some'; give one of 'series', 'runs', 'turns'",
    ),
    (
        ("storyboard", SMALL, "{kit}", "--theme", "loud"),
        2,
        "theme is 'loud'; give one of 'light', 'dark', 'print', 'stage'",
    ),
    (("storyboard", SMALL, "{kit}", "--notes", "few"), 2, "notes is 'few'; give one of 'all', 'needed', 'none'"),
    (("storyboard", SMALL, "{kit}", "--minutes", "-1"), 2, "--minutes: -1 is below 0; give a number from 0 on"),
    (("storyboard", SMALL, "{kit}", "--rate", "fast"), 2, "--rate: 'fast' is no number"),
    (("storyboard", SMALL, "{kit}", "--workers", "-1"), 2, "--workers: -1 is below 0; give a number from 0 on"),
    (
        ("storyboard", SMALL, "{kit}", "--log", "nofile"),
        2,
        "there is no file nofile; give a file with one move a line, or - for standard input",
    ),
    (("survey",), 2, "the following arguments are required: files"),
    (("survey", "nofile.txt"), 2, "there is no file 'nofile.txt'; give a path, or a list of puzzles"),
    (("survey", "{two}", "{two}"), 2, "{two} is named twice, as files and as files; name each file once"),
    (("survey", "{empty}", "--workers", "0"), 1, "{empty}: there is no puzzle in it"),
    (("survey", "{comment}", "{two}", "--workers", "0", "--quiet"), 1, "{comment}: there is no puzzle in it"),
    (
        ("survey", "{columns}", "--column", "nothing", "--workers", "0"),
        2,
        "no column is called 'nothing'; the columns are puzzle, puzzle",
    ),
    (
        ("survey", "{columns}", "--column", "puzzle", "--workers", "0"),
        2,
        "2 columns are called 'puzzle'; give each a name of its own",
    ),
    (
        ("survey", "{two}", "--html", "/nowhere/x.html"),
        2,
        "--html /nowhere/x.html cannot be written, since there is no folder /nowhere",
    ),
    (
        ("survey", "{two}", "--rows", "x.xls"),
        2,
        "--rows x.xls does not say in what form; end the name in .csv or .parquet",
    ),
    (
        ("survey", "{two}", "--html", "{csv}", "--rows", "{csv}"),
        2,
        "{csv} is named twice, as --html and as --rows; name each file once",
    ),
    (("survey", "{two}", "--html", "{two}"), 2, "{two} is named twice, as files and as --html; name each file once"),
    (("survey", "{two}", "--seconds", "0"), 2, "--seconds 0 leaves no time; give more than 0"),
    (("survey", "{two}", "--workers", "-1"), 2, "--workers: -1 is below 0; give a number from 0 on"),
    (("survey", "{two}", "--budget", "x"), 2, "--budget: 'x' is no whole number"),
    (
        ("survey", "{two}", "--allow", ";"),
        2,
        "--allow names nothing; give names separated by semicolons, or leave it out",
    ),
    (
        ("survey", "{two}", "--allow", "y-wing"),
        2,
        "no pattern is called 'y-wing'; did you mean 'X-wing' or 'XY-wing' or 'XYZ-wing'?",
    ),
    (
        ("survey", "{two}", "--catalogue", "--allow", "singles"),
        2,
        "--catalogue and --allow both say what the survey is about; give one of them",
    ),
    (
        ("survey", "{two}", "--bad", "ignore"),
        2,
        "--bad: invalid choice: 'ignore' (choose from 'raise', 'skip', 'collect')",
    ),
    (
        ("survey", "{bad}", "--workers", "0"),
        2,
        "line 2, column 4: in bad, 3 cells found; a grid has 16, 36, 81, 144, 256 or 625, with '.' for an",
    ),
    (
        ("survey", "{two}", "--store", "/nowhere/x.db"),
        2,
        "there is no folder /nowhere; make it, or give another path for the store",
    ),
    (("survey", "{two}", "--store", "{two}"), 2, "{two} is named twice, as files and as --store; name each file once"),
]


@pytest.fixture
def named(tmp_path, monkeypatch):
    """Files to go wrong with, and an empty standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    texts = {
        "empty": "",
        "comment": "# nothing yet\n",
        "two": f"{SMALL}\n{SMALL}\n",
        "layout": "grid 4\n",
        "bad_layout": "grid 4\ncage r9c9\n",
        "log": "r2c1 = 2\n",
        "proofs": deduce.walk(deduce.Grid.parse(SMALL)).to_json(),
        "columns": f"puzzle,puzzle\n{SMALL},{SMALL}\n",
        "bad": f"{SMALL}\nnot a puzzle\n",
    }
    endings = {"layout": ".layout", "log": ".log", "proofs": ".json", "columns": ".csv"}
    files = {name: tmp_path / f"{name}{endings.get(name, '.txt')}" for name in texts}
    for name, path in files.items():
        path.write_text(texts[name])
    files["binary"] = tmp_path / "binary.txt"
    files["binary"].write_bytes(b"\xff\xfe{")
    files |= {"folder": tmp_path, "out": tmp_path / "out.x", "kit": tmp_path / "kit", "csv": tmp_path / "rows.csv"}
    return lambda text: re.sub(r"\{(\w+)\}", lambda found: str(files[found[1]]), text)


def test_the_museum_is_large():
    assert len(MUSEUM) >= 130
    assert len({arguments for arguments, _, _ in MUSEUM}) == len(MUSEUM)
    assert {arguments[0] for arguments, _, _ in MUSEUM} >= {*COMMANDS} - {"check"}


@pytest.mark.parametrize(("arguments", "code", "sentence"), MUSEUM, ids=lambda one: str(one)[:60])
def test_a_malformed_command_line(named, capsys, arguments, code, sentence):
    given = [*map(named, arguments)]
    assert main(given) == code
    said = capsys.readouterr().err
    assert said.startswith(f"deduce: {named(sentence)}"), said
    if code != 2:
        return
    command = given[:1] if given[0] in COMMANDS else []
    sys.stdin.seek(0)
    assert main([*command, "--json", *given[len(command) :]]) == code
    told = json.loads(capsys.readouterr().out)
    jsonschema.validate(told, json.loads(schema_of("error")))
    assert (told["format"], told["exit_code"]) == ("deduce-error", code)


def choices(command, option):
    (action,) = (one for one in parser_of(command)._actions if option in one.option_strings)
    return tuple(action.choices)


def test_the_table_of_options_offers_what_there_is():
    assert choices("walk", "--theme") == ("auto", *THEMES)
    assert choices("walk", "--story") == LEVELS[-3:]
    assert choices("simplest", "--level") == tuple(LEVELS)
    assert choices("simplest", "--cost") == COSTS
    assert choices("plan", "--objective") == tuple(OBJECTIVES)
    assert choices("themes", "--symmetry") == tuple(SYMMETRIES)
    assert choices("export", "--to") == (*ENDINGS, "json", "line")
    assert choices("export", "--proof-version") == PROOF_VERSIONS


class Screen(io.StringIO):
    """A standard error that says it is a terminal."""

    def isatty(self):
        return True


def test_a_terminal_is_shown_that_an_answer_takes_long(monkeypatch, capsys):
    """Nothing is left of it on the line once the answer is there, and nothing is shown where nobody looks."""
    monkeypatch.setattr("deduce.commands.command.PATIENCE", 0.0)
    assert main(["status", SMALL]) == 0
    assert capsys.readouterr().err == ""
    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    assert main(["judge", SMALL, "r1c1 <> 4"]) == 0
    shown = screen.getvalue()
    assert "judge: at work for 00:00" in shown
    assert shown.rsplit("\r", 1)[-1] == ""
    monkeypatch.setattr("deduce.commands.command.PATIENCE", 60.0)
    monkeypatch.setattr(sys, "stderr", still := Screen())
    assert main(["status", SMALL]) == 0
    assert still.getvalue() == ""
