"""Hypothesis profiles, the folder of puzzle collections that the project does not ship, tests that assert nothing."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

for _module in ("file_map", "reference", "reference_sets", "reference_sums", "reference_unique", "sat", "sweeps"):
    pytest.register_assert_rewrite(_module)

CI = bool(os.environ.get("CI"))
THOROUGH = bool(os.environ.get("DEDUCE_THOROUGH"))

# A position of 9x9 takes a while to make, and how long depends on what was made before it: no deadlines.
_SLOW = (HealthCheck.too_slow,)
settings.register_profile("quick", max_examples=30, deadline=None, derandomize=CI, suppress_health_check=_SLOW)
settings.register_profile("thorough", max_examples=400, deadline=None, derandomize=CI, suppress_health_check=_SLOW)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("thorough" if THOROUGH else "quick"))


@pytest.fixture(scope="session")
def collections() -> Path:
    """Return the folder of puzzle collections that the environment names; skip where it names none."""
    named = os.environ.get("DEDUCE_COLLECTIONS")
    if not named:
        pytest.skip("DEDUCE_COLLECTIONS does not name a folder of puzzle collections")
    folder = Path(named)
    if not folder.is_dir():
        pytest.fail(f"DEDUCE_COLLECTIONS names {named!r}, which is no folder")
    return folder


LONGEST = """stage in_a_browser notebooks plan symmetry browser kit groups coverage hardest step overlaps least shortest
svg reach als solutions patterns story types names second_checker viewer themes crew benchmarks frame readme"""
"""The files that take longest come first, so that no process is left alone with one of them at the end."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put long files first, and skip what is marked thorough unless the long checks were asked for."""
    ranks = {f"test_{name}": rank for rank, name in enumerate(LONGEST.split())}
    items.sort(key=lambda item: ranks.get(item.path.stem, len(ranks)))
    if settings.get_current_profile_name() == "thorough":
        return
    skip = pytest.mark.skip(reason="a long check: set DEDUCE_THOROUGH=1 or HYPOTHESIS_PROFILE=thorough")
    for item in items:
        if "thorough" in item.keywords:
            item.add_marker(skip)


# With `-o enable_assertion_pass_hook=true` a test that passes without having asserted anything fails: its loop was
# empty, or its condition never held.

_asserted: dict[str, int] = {}
_running: list[str] = []


def _count() -> None:
    if _running:
        _asserted[_running[-1]] += 1


def pytest_assertion_pass() -> None:
    """Count an assertion that held."""
    _count()


def _counting(method: Callable[..., bool]) -> Callable[..., bool]:
    def wrapped(*args: object) -> bool:
        held = method(*args)
        if held:
            _count()
        return held

    return wrapped


def pytest_configure(config: pytest.Config) -> None:
    """Count what `pytest.raises` and `pytest.warns` expect as assertions, where they are counted."""
    if config.getini("enable_assertion_pass_hook"):
        pytest.RaisesExc.__exit__ = _counting(pytest.RaisesExc.__exit__)  # type: ignore[method-assign]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Fail a test that passed without an assertion, where they are counted."""
    counted = item.config.getini("enable_assertion_pass_hook") and isinstance(item, pytest.Function)
    _running.append(item.nodeid)
    _asserted[item.nodeid] = 0
    try:
        result = yield
    finally:
        _running.pop()
        made = _asserted.pop(item.nodeid)
    if counted and not made:
        pytest.fail("passed without a single assertion: a loop was empty, or a condition never held")
    return result


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """Keep the tests of a file together where several run at once: what the first has made, the others use."""
    from xdist.scheduler import LoadFileScheduling

    config.option.loadscopereorder = False
    return LoadFileScheduling(config, log)
