"""What every command is made of: its options from one table, its answer, and the one way in which all are run."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from threading import Event, Thread
from typing import Any, NoReturn

from deduce.commands.inputs import Complaint, note, say, write
from deduce.envelope import enveloped

__all__ = ["ANSWER", "GRID", "LAYOUT", "Answer", "Command", "at_least", "nothing", "run", "waiting"]

Options = Mapping[str, Mapping[str, Any]]

PATIENCE = 2.0
"""After how many seconds a terminal shows that an answer is on its way."""

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
            raise argparse.ArgumentTypeError(f"{text} is below {least}; give a number from {least} on")
        return found

    return read


LAYOUT = "--order --layout"
GRID = f"puzzle --number {LAYOUT}"
ANSWER = "--json --out"

_OPTIONS: Options = {
    "puzzle": {"help": "a grid, a file that holds one or more, or - for standard input"},
    "--number": {"type": int, "metavar": "N", "help": "which puzzle of a file that holds several (from 1)"},
    "--order": {"type": int, "metavar": "N", "help": "the order of the grid, where its size does not tell"},
    "--layout": {"metavar": "FILE", "help": "a file that describes the layout (PUZZLE may then be: empty)"},
    "--json": {"action": "store_true", "help": "print JSON instead of sentences; errors too"},
    "--out": {"metavar": "FILE", "help": "write the answer into this file instead of printing it"},
    "--allow": {"metavar": "NAMES", "help": "what may be used: patterns or families, separated by semicolons"},
    "--forbid": {"metavar": "NAMES", "help": "what may not be used"},
    "--assume-unique": {
        "action": "store_true",
        "help": "allow patterns that hold only in a puzzle with one solution",
    },
    "--page": {"metavar": "FILE", "help": "write it as one self-contained HTML page"},
    "--svg": {"metavar": "FILE", "help": "write its picture"},
}
"""What several commands take."""


@dataclass(frozen=True, slots=True)
class Answer:
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


def nothing(sentence: str) -> Answer:
    """Return the answer that there is nothing of what was asked for: exit code 1, and no error."""
    told = {"kind": "nothing", "exit_code": 1, "message": sentence}
    return Answer(1, lambda: sentence, lambda: enveloped("error", told))


@dataclass(frozen=True, slots=True)
class Command:
    """A command.

    Parameters
    ----------
    run : callable
        Gets the options and returns the answer, or the exit code where everything is said already.
    what : str
        What it does, in one line.
    codes : str
        What its exit codes mean.
    shared : str
        Options of the common table.
    own : mapping
        Further ones, or what is different about those.
    more : str
        What else its help says.
    waits : bool
        Whether nothing is printed before the answer, so that a terminal may be shown that it is on its way.
    """

    run: Callable[[argparse.Namespace], Answer | int]
    what: str
    codes: str
    shared: str
    own: Options = field(default_factory=dict)
    more: str = ""
    waits: bool = True

    def options(self) -> Options:
        """Return all that it takes, by name."""
        shared = {name: _OPTIONS[name] for name in self.shared.split()}
        return shared | {name: {**shared.get(name, {}), **told} for name, told in self.own.items()}

    def parser(self, name: str) -> argparse.ArgumentParser:
        """Return what parses its arguments."""
        what = f"{self.what[0].upper()}{self.what[1:]}. {self.more}"
        parser = _Parser(prog=f"python -m deduce {name}", description=what, epilog=f"Exit code: {self.codes}.")
        for option, told in self.options().items():
            parser.add_argument(option, **told)
        return parser


class _Parser(argparse.ArgumentParser):
    """A parser that refuses in one sentence, as everything here does."""

    def error(self, message: str) -> NoReturn:
        raise Complaint(f"{message.removeprefix('argument ')}; {self.prog} --help says what it takes")


def run(name: str, command: Command, arguments: Sequence[str]) -> int:
    """Run a command: read its arguments, wait for its answer, print or write it; return the exit code.

    Raises
    ------
    DeduceError
        With a sentence about what is wrong with the input.
    """
    options = command.parser(name).parse_args(arguments)
    _distinct(options)
    with waiting(name, shown=command.waits):
        found = command.run(options)
        if isinstance(found, int):
            return found
        text = found.json() if getattr(options, "json", False) else found.words()
        files = {path: content() for path, content in found.files.items() if path is not None}
    if getattr(options, "out", None) is not None:
        files = {options.out: f"{text}\n"} | files
    elif text:
        say(text.removesuffix("\n"))
    for path, content in files.items():
        write(path, content)
        if path != getattr(options, "out", None):
            note(f"Wrote {path}.")
    return found.code


def _distinct(options: argparse.Namespace) -> None:
    """Complain about standard input asked for twice, and about a file that two options name."""
    named = [(name, one) for name in (*_READ, *_WRITTEN) for one in _listed(getattr(options, name, None))]
    piped = [name for name, one in named if one == "-"]
    if len(piped) > 1:
        raise Complaint(f"{' and '.join(piped)} cannot both come from standard input; give one of them as a file")
    seen: dict[Path, str] = {}
    for name, one in named:
        path = Path(one).absolute()
        if path in seen and (name in _WRITTEN or name == seen[path] == "files"):
            raise Complaint(f"{one} is named twice, as {seen[path]} and as {name}; name each file once")
        seen[path] = name


def _listed(value: object) -> list[str]:
    """Return the paths that an option gave; words of a claim are none, unless they are to be read."""
    if isinstance(value, list):
        return [one for one in value if isinstance(one, str)]
    return [value] if isinstance(value, str) else []


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
    if done.wait(PATIENCE):
        return
    try:
        tqdm: Any = import_module("tqdm")
    except ImportError:
        return
    with tqdm.tqdm(desc=what, bar_format="{desc}: at work for {elapsed}", leave=False, file=sys.stderr) as bar:
        while not done.wait(0.2):
            bar.refresh()
