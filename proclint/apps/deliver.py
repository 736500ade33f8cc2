"""Where reports go: files in other forms than text, or standard output."""

import importlib
import os
import stat
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

from proclint import __version__
from proclint.catalogue.nearest import nearest
from proclint.engine import Report
from proclint.settings import UsageProblem

_MADE_BY = {"junit": "junit", "annotations": "annotations", "markdown": "markdown", "lines": "json_lines"}
KINDS = ("sarif", "junit", "annotations", "markdown", "lines")
REPORT_HELP = (
    "Write a report of another kind too: sarif (SARIF 2.1.0), junit (JUnit XML), annotations (workflow commands), markdown "
    "or lines (JSON Lines). May be given more than once. With - for FILE it goes to standard output instead of the text."
)
_FORM = "Write KIND=FILE, where KIND is {kinds}; FILE may be - for standard output."


class Target(NamedTuple):
    """A report to write: its kind and its file, `-` for standard output."""

    kind: str
    file: str


def read_targets(written: tuple[str, ...], kinds: tuple[str, ...] = KINDS) -> tuple[Target, ...]:
    """Read `KIND=FILE` texts, each of one of some kinds.

    Raises UsageProblem for an unknown kind, and for two reports that would go to one place.
    """
    targets = tuple(_target(text, kinds) for text in written)
    places = [each.file if each.file == "-" else os.path.realpath(each.file) for each in targets]
    for number, place in enumerate(places):
        if place in places[:number]:
            where = "standard output" if place == "-" else targets[number].file
            raise UsageProblem(f"--report: two reports would go to {where}.", "Give each a file of its own.")
    return targets


def _target(text: str, kinds: tuple[str, ...]) -> Target:
    kind, _, file = text.partition("=")
    form = _FORM.format(kinds=" or ".join([", ".join(kinds[:-1]), kinds[-1]]))
    if kind not in kinds:
        near = nearest(kind, kinds)
        raise UsageProblem(f"--report: there is no kind '{kind}'.", f"Did you mean '{near}'?" if near else form)
    if not file:
        raise UsageProblem(f"--report: '{text}' names no file.", form)
    return Target(kind, file)


def deliver(report: Report, targets: tuple[Target, ...]) -> bytes | None:
    """Write the reports that go to files, and give the one for standard output, if there is one.

    A file is there whole or not at all. Raises UsageProblem where one cannot be written or is among those
    checked.
    """
    return put_all(targets, report.texts, lambda kind: _rendered(report, kind))


def put_all(targets: tuple[Target, ...], checked: Iterable[str], rendered: Callable[[str], str]) -> bytes | None:
    """Write what is rendered for each target's kind, and give what is for standard output.

    Raises UsageProblem where one cannot be written or is among those checked.
    """
    shown = None
    kept = {os.path.realpath(file) for file in checked}
    for target in targets:
        data = rendered(target.kind).encode("utf-8", "replace")
        if target.file == "-":
            shown = data
        elif os.path.realpath(target.file) in kept:
            raise UsageProblem(f"--report: {target.file} is one of the files checked.", "Name another file.")
        else:
            _write(Path(os.path.realpath(target.file)), data, target.file)
    return shown


def _rendered(report: Report, kind: str) -> str:
    # Only what is asked for is loaded.
    if kind == "sarif":
        from proclint.render.sarif import sarif_report

        return sarif_report(report, version=__version__, here=Path.cwd().as_posix())
    module = importlib.import_module(f"proclint.render.{kind}")
    return str(getattr(module, _MADE_BY[kind])(report))


def _write(path: Path, data: bytes, named: str) -> None:
    try:
        mode = path.stat().st_mode if path.exists() else None
        if mode is None or stat.S_ISREG(mode):
            _put(path, data, mode)
        else:
            # A device or a pipe is written to; put in its place, a file would take it away.
            path.write_bytes(data)
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        raise UsageProblem(f"--report: {named}: {reason}.", "Name a file that can be written.") from error


def _put(path: Path, data: bytes, mode: int | None) -> None:
    beside = path.with_name(f".proclint-{os.urandom(6).hex()}")
    try:
        with beside.open("xb") as stream:
            stream.write(data)
        if mode is not None:
            beside.chmod(stat.S_IMODE(mode))
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
