"""The command line: parse arguments, call the library, print."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module

from deduce import __version__
from deduce.commands.command import run
from deduce.envelope import enveloped, error_fields
from deduce.errors import DeduceError

__all__ = ["COMMANDS", "main"]

_MODULES = {
    "walking": ("walk", "simplest"),
    "claims": ("judge", "audit", "notes", "status"),
    "planning": ("plan", "prune", "stuck", "themes", "compare"),
    "documents": ("check", "export", "schema"),
    "recording": ("storyboard",),
    "survey": ("survey",),
}
COMMANDS = {command: module for module, commands in _MODULES.items() for command in commands}
"""The module of each command, loaded when it is asked for; what is no command is a puzzle to be walked."""

BROKEN_PIPE, BAD_INPUT, INTERRUPTED = 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code.

    Parameters
    ----------
    arguments : sequence of str, optional
        By default those of the process.

    Returns
    -------
    int
        0 if the command did what it is for (each command's ``--help`` says what that means), 1 if not, 2 for bad
        input.
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given == ["--version"]:
        print(f"deduce {__version__}")
        return 0
    name = given.pop(0) if given and given[0] in COMMANDS else "walk"
    if name == "walk" and "--list-patterns" in given:
        from deduce.patterns import NAMES

        print("\n".join(NAMES))
        return 0
    try:
        code = run(name, import_module(f"deduce.commands.{COMMANDS[name]}").COMMANDS[name], given)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has gone; say nothing more, not even when Python flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except DeduceError as error:
        print(f"deduce: {error}", file=sys.stderr)
        if "--json" in given:
            print(enveloped("error", {**error_fields(error), "exit_code": BAD_INPUT}))
        return BAD_INPUT
    except KeyboardInterrupt:
        print("deduce: interrupted", file=sys.stderr)
        return INTERRUPTED
    return code


if __name__ == "__main__":
    sys.exit(main())
