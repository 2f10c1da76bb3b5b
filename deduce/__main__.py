"""The command line: parse arguments, call the library, print."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from deduce import __version__
from deduce.commands.inputs import Complaint
from deduce.errors import DeduceError

__all__ = ["COMMANDS", "main"]

COMMANDS = {
    "walk": "deduce.commands.walking",
    "judge": "deduce.commands.claims",
    "audit": "deduce.commands.claims",
    "notes": "deduce.commands.claims",
    "status": "deduce.commands.claims",
    "plan": "deduce.commands.planning",
    "prune": "deduce.commands.planning",
    "stuck": "deduce.commands.planning",
    "themes": "deduce.commands.planning",
    "compare": "deduce.commands.planning",
    "simplest": "deduce.commands.counting",
    "check": "deduce.commands.documents",
    "export": "deduce.commands.documents",
    "schema": "deduce.commands.documents",
    "storyboard": "deduce.commands.recording",
    "survey": "deduce.commands.survey",
}
"""The module behind each command, loaded when it is asked for; what is no command is a puzzle to be walked."""

BROKEN_PIPE, BAD_INPUT = 1, 2


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
    command = given[0] if given and given[0] in COMMANDS else "walk"
    if command == "walk" and given[:1] != ["walk"]:
        given.insert(0, "walk")
    parsers = argparse.ArgumentParser(prog="python -m deduce").add_subparsers(required=True)
    import_module(COMMANDS[command]).add_parsers(parsers)
    # Asked directly, so that a refusal shows the usage of this command and not that of its module.
    options = parsers.choices[command].parse_args(given[1:])
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has gone; say nothing more, not even when Python flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except (Complaint, DeduceError) as error:
        print(f"deduce: {error}", file=sys.stderr)
        return BAD_INPUT
    return code


if __name__ == "__main__":
    sys.exit(main())
