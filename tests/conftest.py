"""Shared fixtures, and the closing line of the published checks."""

import os
import sys

import pytest
from hypothesis import settings

# The same examples every time, so that green stays green; SHIVELIGHT_SEARCH=1 looks for new ones.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, max_examples=400)
settings.load_profile("search" if "SHIVELIGHT_SEARCH" in os.environ else "steady")

_TALLY = pytest.StashKey[dict[str, int]]()


def pytest_configure(config: pytest.Config) -> None:
    config.stash[_TALLY] = {"checked": 0, "failed": 0}


@pytest.fixture
def published_tally(request: pytest.FixtureRequest) -> dict[str, int]:
    return request.config.stash[_TALLY]


def pytest_unconfigure(config: pytest.Config) -> None:
    """Close the run with one line on the published checks, after everything else."""
    tally = config.stash.get(_TALLY, {"checked": 0, "failed": 0})
    if not tally["checked"]:
        return
    from tests.published.test_checks import COVERED, ROWS

    left = sum((row.section, row.topic) not in COVERED for row in ROWS)
    sys.stdout.write(
        f"published checks: {tally['checked']} checked, {tally['failed']} failed, "
        f"{left} not covered\n"
    )
