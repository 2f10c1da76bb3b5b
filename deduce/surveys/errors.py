"""What stops a survey."""

from __future__ import annotations

from deduce.errors import DeduceError

__all__ = ["MissingExtra", "SurveyError", "needed"]


class SurveyError(DeduceError, RuntimeError):
    """A survey that cannot go on.

    Parameters
    ----------
    problem : str
        What happened.
    advice : str
        What to do about it.
    """

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(problem, advice)
        self.problem = problem
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}"


class MissingExtra(DeduceError, ImportError):  # noqa: N818 - it names what is missing, as ImportError does
    """An optional package that is not installed.

    Parameters
    ----------
    package : str
        As `pip` knows it.
    purpose : str
        What it is needed for.
    """

    def __init__(self, package: str, purpose: str) -> None:
        super().__init__(package, purpose)
        self.package = package
        self.purpose = purpose

    def __str__(self) -> str:
        return f"{self.purpose} needs the package {self.package}, which is not installed; pip install {self.package}"


def needed(module: str, package: str, purpose: str) -> object:
    """Import an optional package.

    Raises
    ------
    MissingExtra
        If it is not installed.
    """
    from importlib import import_module

    try:
        return import_module(module)
    except ImportError as error:
        raise MissingExtra(package, purpose) from error
