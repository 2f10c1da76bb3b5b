"""The errors: builtin beside, fields first, and a whole sentence that survives a pipe between processes."""

from __future__ import annotations

import pickle
import sys

import pytest

from deduce import errors
from deduce.errors import (
    BudgetSpent,
    ClaimError,
    DeduceError,
    ExchangeError,
    ExportError,
    GridError,
    LayoutError,
    LayoutTextError,
    MissingExtra,
    OutOfTime,
    PatternError,
    ProblemError,
    ProofError,
    SeveralSolutionsError,
    SurveyError,
    UniquenessError,
    needed,
)

EACH = {
    LayoutError("the box is empty", "give it cells"): "the box is empty; give it cells",
    ProblemError("x has no values", "give it some"): "x has no values; give it some",
    SurveyError("the store is locked", "wait"): "the store is locked; wait",
    GridError("found q", "write 1", text="12\n3q", line=2, column=2): (
        "line 2, column 2: found q; write 1\n  3q\n   ^"
    ),
    LayoutTextError("no cells", "write some", line=3): "line 3: no cells; write some",
    ClaimError("no digit", "write one"): "no digit; write one",
    PatternError("wing", ["XY-wing", "W-wing"]): "no pattern is called 'wing'; the names are: XY-wing; W-wing",
    PatternError("wing", ["XY-wing"], ["XY-wing"]): "no pattern is called 'wing'; did you mean 'XY-wing'?",
    UniquenessError(["bivalue grid"]): (
        "'bivalue grid' holds only in a puzzle with one solution; "
        "say assume_unique=True (--assume-unique on the command line), or leave that out"
    ),
    SeveralSolutionsError("12", "21", ("r1c1", "r1c2")): (
        "the puzzle has more than one solution, so nothing can be deduced from there being only one; "
        "two of them, which differ in r1c1, r1c2, are\n  12\n  21"
    ),
    ProofError((2, 1), "a base", "none"): "inference 2.1 is refused: needed a base, got none",
    ExchangeError("steps[0]", "a text", "a list"): "steps[0]: a text; expected a list",
    ExportError("LRAT", "a swap", "write OPB"): "LRAT cannot carry this: a swap; write OPB",
    BudgetSpent("the walk", 3, "steps"): "the walk stopped after 3 steps; raise the budget to search further",
    OutOfTime("the search", 2, "seconds"): "the search stopped after 2 seconds; give it more time to search further",
    OutOfTime("the search", 0, "cancelled"): "the search was cancelled",
    MissingExtra("polars", "writing Parquet"): (
        "writing Parquet needs the package polars, which is not installed; pip install polars"
    ),
    MissingExtra("Pillow", "A PNG picture", "pictures"): (
        "A PNG picture needs Pillow; install it with: pip install 'deduce-proofs[pictures]'"
    ),
}


def test_every_error_is_here() -> None:
    bases = {DeduceError, errors.TextError}
    named = {getattr(errors, name) for name in errors.__all__} - {needed}
    assert {type(error) for error in EACH} | bases == named | bases | {ClaimError}


@pytest.mark.parametrize("error", EACH, ids=lambda error: type(error).__name__)
def test_the_sentence_and_the_fields_survive_a_pipe(error: DeduceError) -> None:
    assert isinstance(error, (ValueError, RuntimeError, ModuleNotFoundError))
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert (str(again), vars(again), again.args) == (EACH[error], vars(error), error.args)
    assert error.args == tuple(vars(error).values())
    assert again != error, "errors compare as exceptions do"


def test_a_module_that_is_missing_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    assert needed("json.decoder", "json", "reading").JSONDecoder
    monkeypatch.setitem(sys.modules, "json.decoder", None)
    with pytest.raises(MissingExtra) as caught:
        needed("json.decoder", "json-package", "reading")
    assert (caught.value.name, caught.value.package, caught.value.purpose) == (
        "json.decoder",
        "json-package",
        "reading",
    )
    assert isinstance(caught.value.__cause__, ImportError)
