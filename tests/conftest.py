"""Hypothesis profiles, and the folder of puzzle collections that the project does not ship."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

CI = bool(os.environ.get("CI"))
THOROUGH = bool(os.environ.get("DEDUCE_THOROUGH"))

# A position of 9x9 takes a while to make, and how long depends on what was made before it: no deadlines.
_SLOW = (HealthCheck.too_slow,)
settings.register_profile("quick", max_examples=40, deadline=None, derandomize=CI, suppress_health_check=_SLOW)
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


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what is marked thorough unless the long checks were asked for."""
    if settings.get_current_profile_name() == "thorough":
        return
    skip = pytest.mark.skip(reason="a long check: set DEDUCE_THOROUGH=1 or HYPOTHESIS_PROFILE=thorough")
    for item in items:
        if "thorough" in item.keywords:
            item.add_marker(skip)
