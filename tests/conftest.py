"""What all tests share: how random ones are seeded, and what happens where a tool is missing.

A test that needs a tool from outside carries a marker. Where the tool is missing the test is skipped and says
so; with PROCLINT_NO_SKIP=1 in the environment, which `.ci/run` sets, that skip is a failure.
"""

import os
import shutil
from collections.abc import Callable, Generator
from importlib.util import find_spec

import pytest
from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("local", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "local")


def _can_build() -> bool:
    return all(find_spec(module) is not None for module in ("build", "hatchling", "pip"))


def _has(program: str) -> bool:
    return shutil.which(program) is not None


_NEEDS: dict[str, tuple[Callable[[], bool], str]] = {
    "needs_browser": (lambda: _has("chromium"), "there is no 'chromium' on the PATH"),
    "needs_build": (_can_build, "'build', 'hatchling' or 'pip' is not installed"),
    "needs_node": (lambda: _has("node"), "there is no 'node' on the PATH"),
}


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test whose tool is missing."""
    for marker, (is_there, reason) in _NEEDS.items():
        if item.get_closest_marker(marker) is not None and not is_there():
            pytest.skip(f"{marker}: {reason}")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn the skip of a test that needs a tool into a failure where nothing may be missing."""
    report = yield
    is_strict = os.environ.get("PROCLINT_NO_SKIP") == "1"
    if is_strict and report.skipped and any(item.get_closest_marker(marker) is not None for marker in _NEEDS):
        report.outcome = "failed"
        report.longrepr = f"PROCLINT_NO_SKIP: this test must run here. {_reason(report)}"
    return report


def _reason(report: pytest.TestReport) -> str:
    return report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
