"""The recorded series of contributions, each held to the bar of the one before it, in a real repository."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from click.testing import CliRunner

from proclint.apps.cli import group
from tests.repository import Repository
from tests.series import SERIES, base, states


class Said(NamedTuple):
    """What the gate says of a contribution: its exit status, and the rule and file of what counts."""

    status: int
    brought: list[tuple[str, str]]


# Worked out by hand from what each contribution does; that a result of an earlier one is not told again is part of it.
EXPECTED = {
    "good change": Said(0, []),
    "cap raised": Said(1, [("add-when-full", "brindlow/marrow-add-key.yaml")]),
    "caution dropped": Said(1, [("hazard-without-caution", "corvane/halyard-relearn-remotes.yaml")]),
    "fallback loop made": Said(1, [("retry-without-limit", "mirrado/almanac-verify-fobs.yaml")]),
    "window tightened": Said(1, [("steps-do-not-fit-window", "brindlow/marrow-add-key.yaml")]),
    # Only a block differs; what it left undone is told in the procedure that ends so.
    "block changed": Said(1, [("left-open-at-end", "mirrado/almanac-verify-fobs.yaml")] * 2),
    "file renamed": Said(0, []),
    "vehicles widened": Said(0, []),
    "formatting only": Said(0, []),
    "accepted by itself": Said(1, [("bar-lowered", "accepted.yaml")]),
    "level lowered": Said(1, [("bar-lowered", "library.yaml")]),
    "file broken": Said(1, [("unreadable-form", "mirrado/almanac-verify-fobs.yaml")]),
}


def lay(repository: Repository, files: dict[str, str]) -> None:
    """Make the files of the library those given, and no others."""
    shutil.rmtree(repository.folder / "procedures", ignore_errors=True)
    for name, text in files.items():
        repository.put(f"procedures/{name}", text)


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Said]:
    """Commit the series, and ask the gate after each commit."""
    repository = Repository(tmp_path_factory.mktemp("series"))
    lay(repository, base())
    repository.commit("The library")
    return dict(_said(repository))


def _said(repository: Repository) -> Iterator[tuple[str, Said]]:
    runner = CliRunner()
    for each, _, files in states():
        lay(repository, files)
        repository.commit(each.name)
        with pytest.MonkeyPatch.context() as patch:
            patch.chdir(repository.folder)
            call = ["gate", "--since", "HEAD~1", "--on", "2026-06-01", "--report", "lines=-"]
            result = runner.invoke(group, call, prog_name="proclint")
        lines = [json.loads(line) for line in result.stdout.splitlines()]
        found = [(line["rule"], Path(line["file"]).relative_to("procedures").as_posix()) for line in lines if line["counts"]]
        yield each.name, Said(result.exit_code, found)


@pytest.mark.parametrize("name", [each.name for each in SERIES])
def test_verdict(said: dict[str, Said], name: str) -> None:
    """The gate says of each contribution what was worked out beforehand."""
    assert EXPECTED[name] == said[name]


def test_series_is_whole() -> None:
    """Twelve contributions, each with a verdict."""
    assert 12 == len(SERIES) == len(EXPECTED)
