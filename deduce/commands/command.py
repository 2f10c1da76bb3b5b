"""How every command is run: its options from the table in ``commands.txt``, its answer printed or written."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from threading import Event, Thread
from typing import Any, NoReturn

from deduce.commands.inputs import Complaint, note, say, write
from deduce.envelope import enveloped

__all__ = ["CommandResult", "bar", "distinct", "nothing", "parser_of", "run", "waiting"]

PATIENCE = 2.0
"""After how many seconds a terminal shows that an answer is on its way."""

_SHOWING = ("themes", "storyboard", "survey")
"""Commands that print before they are done, and show by themselves how far they have come."""

_READ = ("puzzle", "collection", "file", "files", "claim", "log", "notes", "claims", "layout")
_WRITTEN = ("out", "page", "svg", "story_json", "html", "rows", "store", "output")


def at_least(least: float, kind: Callable[[str], float] = int) -> Callable[[str], float]:
    """Return what reads a number that is not smaller, for the table of options."""

    def read(text: str) -> float:
        try:
            found = kind(text)
        except ValueError:
            raise argparse.ArgumentTypeError(f"{text!r} is no {'whole ' * (kind is int)}number") from None
        if not found >= least:
            raise argparse.ArgumentTypeError(f"{text} is below {least:g}; give a number from {least:g} on")
        return found

    return read


@dataclass(frozen=True, slots=True)
class CommandResult:
    """What a command has to say; made up only when it is needed.

    Parameters
    ----------
    code : int
        The exit code.
    words, json : callable
        The answer as sentences, and as JSON.
    files : mapping of str or None to callable
        What to write beside it, by the path that an option gave; None if it was not given.
    """

    code: int
    words: Callable[[], str]
    json: Callable[[], str] = str
    files: Mapping[str | None, Callable[[], str]] = field(default_factory=dict)


def nothing(sentence: str) -> CommandResult:
    """Return the answer that there is nothing of what was asked for: exit code 1, and no error."""
    told = {"kind": "nothing", "exit_code": 1, "message": sentence}
    return CommandResult(1, lambda: sentence, lambda: enveloped("error", told))


_OPTION = re.compile(
    r"(?P<name>[-\w]+)(?P<required>!)?(?: (?P<takes>[^=>:]+?))?(?P<whole>:int)?(?:>=(?P<least>[\d.]+))?"
    r"(?:=(?P<default>.*))?"
)
_HOW_MANY = {"?": "?", "+": "+", "*": argparse.REMAINDER}


def _option(line: str) -> tuple[str, dict[str, Any]]:
    """Read one line of the table: the name of an option, and what argparse is told of it."""
    told, _, help_ = line.partition("  ")
    found = _OPTION.fullmatch(told)
    if found is None:
        raise ValueError(f"no option: {line}")
    name, takes, least = found["name"], found["takes"], found["least"]
    option: dict[str, Any] = {"help": help_.replace("%", "%%")}
    if found["required"]:
        option["required"] = True
    if found["default"] is not None:
        option["default"] = found["default"]
    if takes is None:
        if name.startswith("--no-"):
            option |= {"dest": name.removeprefix("--no-"), "action": "store_false"}
        elif name.startswith("-"):
            option["action"] = "store_true"
        return name, option
    if takes in _HOW_MANY:
        return name, option | {"nargs": _HOW_MANY[takes]}
    if takes.startswith("["):
        option |= {"nargs": "?", "const": ""}
        takes = takes.strip("[]")
    option |= {"choices": takes.split("|")} if "|" in takes else {"metavar": takes}
    if found["whole"] or least:
        fraction = bool(least) and "." in least
        option["type"] = at_least(float(least) if fraction else int(least or -(10**9)), float if fraction else int)
    return name, option


@cache
def _table() -> dict[str, dict[str, str]]:
    """Return for each command what it does, its exit codes and the like, and its lines of options under ``own``."""
    text = files("deduce.commands").joinpath("commands.txt").read_text(encoding="utf-8")
    table = {}
    for block in re.split(r"\n\n(?=\w)", text)[1:]:
        head, *rows = block.strip().splitlines()
        name, _, what = head.partition(": ")
        told = dict(row.strip().split(": ", 1) for row in rows if re.match(r" +(exit|more|with): ", row))
        own = "\n".join(row.strip() for row in rows if not re.match(r" +(exit|more|with):", row))
        table[name] = {"what": what, "exit": "", "more": "", "with": "", **told, "own": own}
    return table


class _Parser(argparse.ArgumentParser):
    """A parser that refuses in one sentence, as everything here does."""

    def error(self, message: str) -> NoReturn:
        raise Complaint(f"{message.removeprefix('argument ')}; {self.prog} --help says what it takes")


def parser_of(name: str, *, dashed: bool = False) -> argparse.ArgumentParser:
    """Return what reads the arguments of a command; its options alone, written out in full, if it is `dashed`."""
    told, shared = _table()[name], dict(map(_option, _table()["shared"]["own"].splitlines()))
    what = f"{told['what'][0].upper()}{told['what'][1:]}. {told['more']}"
    called, codes = f"python -m deduce {name}", f"Exit code: {told['exit']}."
    parser = _Parser(called, description=what, epilog=codes, add_help=not dashed, allow_abbrev=not dashed)
    options = {one: shared[one] for one in told["with"].split()} | dict(map(_option, told["own"].splitlines()))
    for option, how in options.items():
        if option.startswith("-") or not dashed:
            parser.add_argument(option, **how)
    return parser


def run(name: str, command: Callable[[argparse.Namespace], CommandResult | int], arguments: Sequence[str]) -> int:
    """Run a command: read its arguments, wait for its answer, print or write it; return the exit code.

    Raises
    ------
    DeduceError
        With a sentence about what is wrong with the input.
    """
    options = parser_of(name).parse_args(arguments)
    distinct(options)
    with waiting(name, shown=name not in _SHOWING):
        found = command(options)
        if isinstance(found, int):
            return found
        text = found.json() if getattr(options, "json", False) else found.words()
        beside = {path: content() for path, content in found.files.items() if path is not None}
    out = getattr(options, "out", None)
    # What can go wrong is written first: whoever reads the answer has all of it, or none.
    for path, content in beside.items():
        write(path, content)
        note(f"Wrote {path}.")
    if out is not None:
        write(out, f"{text}\n")
    elif text:
        say(text.removesuffix("\n"))
    return found.code


def distinct(options: argparse.Namespace) -> None:
    """Complain about standard input asked for twice, and about a file that two options name."""
    given = {name: getattr(options, name, None) for name in (*_READ, *_WRITTEN)}
    listed = {name: value if isinstance(value, list) else [value] for name, value in given.items()}
    if listed["claim"] != ["-"]:
        del listed["claim"]  # words, and no path
    named = [(name, one) for name, values in listed.items() for one in values if one is not None]
    piped = [name for name, one in named if one == "-"]
    if len(piped) > 1:
        raise Complaint(f"{' and '.join(piped)} cannot both come from standard input; give one of them as a file")
    seen: dict[Path, str] = {}
    for name, one in named:
        option = f"--{name.replace('_', '-')}" if name in _WRITTEN else name
        if not one and name in _WRITTEN:
            raise Complaint(f"{option} names no file; give its name, or leave it out")
        path = Path(one).absolute()
        if path in seen and (name in _WRITTEN or name == seen[path] == "files"):
            raise Complaint(f"{one} is named twice, as {seen[path]} and as {option}; name each file once")
        seen[path] = option


@contextmanager
def waiting(what: str, *, shown: bool = True) -> Iterator[None]:
    """Show on a terminal, where tqdm is installed, how long an answer has taken so far; gone when it is there."""
    done = Event()
    thread = Thread(target=_count, args=(what, done), daemon=True)
    if shown and sys.stderr.isatty():
        thread.start()
    try:
        yield
    finally:
        done.set()
        if thread.ident is not None:
            thread.join()


def _count(what: str, done: Event) -> None:
    shown = None if done.wait(PATIENCE) else bar(desc=what, bar_format="{desc}: at work for {elapsed}", leave=False)
    if shown is not None:
        while not done.wait(0.2):
            shown.refresh()
        shown.close()


def bar(**told: Any) -> Any:
    """Return a bar of tqdm on standard error; None where that is no terminal, or tqdm is not installed."""
    if not sys.stderr.isatty() or find_spec("tqdm") is None:
        return None
    return import_module("tqdm").tqdm(file=sys.stderr, **told)
