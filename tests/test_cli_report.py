"""Where the reports of `proclint examine` go."""

import json
import os
import resource
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from proclint.apps.cli import group
from proclint.apps.rule_set import known_rules
from proclint.render.text import CLOSING
from proclint.testing import examples_of

BAD = next(
    example.files["example.yaml"] for rule in known_rules() if rule.id == "way-to-nowhere" for example in examples_of(rule, ())
)


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Work in a folder that holds one bad procedure."""
    monkeypatch.chdir(tmp_path)
    Path("bad.yaml").write_text(BAD, encoding="utf-8")


def examined(*arguments: str) -> Result:
    """Call the command on the bad procedure."""
    return CliRunner().invoke(group, ["examine", "bad.yaml", "--on", "2026-06-01", *arguments], prog_name="proclint")


def names() -> list[str]:
    """List what is in the folder."""
    return sorted(path.name for path in Path().iterdir())


def rules_of(log: str) -> list[str]:
    """Give the rules of the results in a SARIF text."""
    return [each["ruleId"] for each in json.loads(log)["runs"][0]["results"]]


def test_reports_go_to_files_and_text_to_the_terminal() -> None:
    """Each report goes to its file and the text to standard output; the exit status is that of the check."""
    result = examined("--report", "sarif=a.sarif", "--report", "lines=a.jsonl")
    lines = [json.loads(line) for line in Path("a.jsonl").read_text(encoding="utf-8").splitlines()]
    assert 1 == result.exit_code
    assert CLOSING in result.stdout
    assert "way-to-nowhere" in rules_of(Path("a.sarif").read_text(encoding="utf-8"))
    assert [each["rule"] for each in lines] == rules_of(Path("a.sarif").read_text(encoding="utf-8"))
    assert {"a.jsonl", "a.sarif", "bad.yaml"} == set(names())


@pytest.mark.parametrize("kind", ["sarif", "lines"])
def test_dash_is_standard_output(kind: str) -> None:
    """With a dash the report is all that standard output gets, and the bytes are those of the file."""
    result = examined("--report", f"{kind}=-")
    examined("--report", f"{kind}=file")
    assert 1 == result.exit_code
    assert Path("file").read_bytes() == result.stdout_bytes
    assert CLOSING not in result.stdout
    assert ["bad.yaml", "file"] == names()


def test_report_names_no_folder_of_the_machine(tmp_path: Path) -> None:
    """Files named from the root are named in SARIF from the folder in which the check was run."""
    absolute = CliRunner().invoke(group, ["examine", str(tmp_path / "bad.yaml"), "--on", "2026-06-01", "--report", "sarif=-"])
    assert examined("--report", "sarif=-").stdout == absolute.stdout
    assert str(tmp_path) not in absolute.stdout


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (["sarif"], "--report: 'sarif' names no file."),
        (["sarif="], "--report: 'sarif=' names no file."),
        (["sarf=a"], "--report: there is no kind 'sarf'.\nDid you mean 'sarif'?"),
        (["=a"], "--report: there is no kind ''.\nWrite KIND=FILE, where KIND is sarif, junit,"),
        (["sarif=-", "lines=-"], "--report: two reports would go to standard output."),
        (["sarif=a", "lines=./a"], "--report: two reports would go to ./a."),
        (["sarif=gone/a"], "--report: gone/a: no such file or directory."),
        (["sarif=."], "--report: .: is a directory."),
        (["lines=bad.yaml"], "--report: bad.yaml is one of the files checked."),
    ],
)
def test_wrong_report_is_a_wrong_call(arguments: list[str], expected: str) -> None:
    """What cannot be written is a wrong call that says what to do; nothing is left behind or overwritten."""
    result = examined(*(part for argument in arguments for part in ("--report", argument)))
    assert 2 == result.exit_code
    assert result.output.startswith(f"proclint: {expected}")
    assert 2 == len(result.output.splitlines())
    assert ["bad.yaml"] == names()
    assert BAD == Path("bad.yaml").read_text(encoding="utf-8")


def test_file_that_is_there_is_replaced_whole() -> None:
    """An older report is replaced by the new one, its rights stay, and a link stays a link to it."""
    Path("old").write_text("x" * 1_000_000, encoding="utf-8")
    Path("old").chmod(0o640)
    Path("link").symlink_to("old")
    examined("--report", "sarif=link")
    assert Path("link").is_symlink()
    assert 0o640 == stat.S_IMODE(Path("old").stat().st_mode)
    assert "way-to-nowhere" in rules_of(Path("old").read_text(encoding="utf-8"))
    assert ["bad.yaml", "link", "old"] == names()


def test_report_that_breaks_off_is_not_there() -> None:
    """Where a report cannot be written to its end, the older one stays as it was and no part of the new is left."""
    Path("old").write_text("older", encoding="utf-8")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, limits[1]))
    try:
        result = examined("--report", "sarif=old")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert 2 == result.exit_code
    assert result.output.startswith("proclint: --report: old: file too large.\n")
    assert "older" == Path("old").read_text(encoding="utf-8")
    assert ["bad.yaml", "old"] == names()


def test_new_file_has_the_usual_rights() -> None:
    """A new report can be read by whoever can read a file made in the usual way."""
    Path("usual").touch()
    examined("--report", "lines=new")
    assert Path("usual").stat().st_mode == Path("new").stat().st_mode


def test_pipe_is_written_to() -> None:
    """A pipe gets the report and stays a pipe."""
    os.mkfifo("pipe")
    reader = os.open("pipe", os.O_RDONLY | os.O_NONBLOCK)
    try:
        examined("--report", "lines=pipe")
        assert "way-to-nowhere" in os.read(reader, 65536).decode()
        assert stat.S_ISFIFO(Path("pipe").stat().st_mode)
    finally:
        os.close(reader)


@pytest.mark.parametrize("day", ["2026-13-01", "tomorrow"])
def test_day_is_a_day(day: str) -> None:
    """A day that is none is a wrong call."""
    result = examined("--on", day)
    assert 2 == result.exit_code
    assert f"proclint: --on: '{day}' is not a day.\nWrite it as 2026-03-01.\n" == result.output
