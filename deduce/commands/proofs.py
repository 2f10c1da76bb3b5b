"""The commands ``check``, ``export`` and ``schema``, with the catalogue to look at the patterns' names."""

from __future__ import annotations

import argparse

from deduce.commands import documents as commands
from deduce.patterns.catalogue import fault

__all__ = ["add_parsers"]


def add_parsers(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands of `deduce.exchange`."""
    commands.add_parsers(subparsers, fault)
