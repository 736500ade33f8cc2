"""Runs the examples on a rule's page. House rules use it too.

An example is a fenced block of YAML headed `bad` or `good`. In a bad one, `# <- message` at the end of a line is the result that
the rule must give there, and no other; a good one must be clean under all rules but those that ask whether a whole job is done
(`WHOLE_JOB`), of which only the page's own is asked: ten lines are no whole job. A line `# file NAME` begins another file of the
same example; without one the example is `example.yaml`. A line `# before NAME` begins a file as it was before a change, and the
example is then that change. What a procedure needs and an example leaves out is added behind it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue import standard
from proclint.engine import Input, Report, Reported, examine, place_of
from proclint.engine.since import Versions, examine_since
from proclint.rule import Rule

ON = "2026-06-01"
# The groups of rules that run a job from its beginning to its end.
WHOLE_JOB = frozenset({"states", "cautions", "proof"})
_FENCE = re.compile(r"^```yaml (bad|good)\n(.*?)^```", re.MULTILINE | re.DOTALL)
_EXPECTED = re.compile(r"#\s*<-\s*(.+?)\s*$")
_MARK = re.compile(r" *#\s*<-.*$", re.MULTILINE)
_FILE = re.compile(r"^# (file|before) (\S+)\n", re.MULTILINE)
_ROLES = {"library.yaml": "library", "sources.yaml": "sources", "accepted.yaml": "accepted"}

_PROCEDURE = """\
format: 1
id: example
title: An example
task: add-key
method: tool
learning: add
version: 1
stage: bench-proven
written: {by: m-07, date: 2026-03-02}
reviewed: {by: m-02, date: 2026-03-11}
sources: [example-handbook]
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed}]
keys: {O: {kind: key, registered: true, here: 1}}
start: {ignition: off, cylinder: O1}
steps: {look-on: {do: look hood, then: all-right}}
endings:
  all-right: {kind: success, tell: It works.}
"""
_BLOCK = """\
version: 1
title: An example
exits: [ready]
steps: {look-on: {do: look hood, then: ready}}
"""
_SHELF = {
    "blocks/authority.yaml": """\
block: authority
version: 3
title: Prove the right to the vehicle
exits: [proven, refused]
steps:
  person: {do: check-id, fails: refused}
  papers: {do: check-authorisation, then: proven, fails: refused}
""",
    "blocks/close-out.yaml": """\
block: close-out
version: 2
title: Leave the vehicle as it should be left
exits: [closed]
steps:
  finish: {do: [make-sure session none, make-sure ignition off, close-log], then: closed}
""",
}


class Found(NamedTuple):
    """A result as an example names it: file, line from 1, and message."""

    file: str
    line: int
    message: str


@dataclass(frozen=True, slots=True)
class Example:
    """One example of a rule's page."""

    rule: Rule
    kind: str
    number: int
    text: str
    rules: tuple[Rule, ...]

    def __str__(self) -> str:
        return f"{self.rule.id}-{self.kind}-{self.number}"

    @property
    def files(self) -> dict[str, str]:
        """The files of the example, completed."""
        return self._headed("file")

    @property
    def before(self) -> dict[str, str]:
        """The files as they were before a change, completed; none where the example is no change."""
        return self._headed("before")

    def _headed(self, word: str) -> dict[str, str]:
        parts = _FILE.split(self.text)
        files = {name: text for kind, name, text in zip(parts[1::3], parts[2::3], parts[3::3], strict=True) if kind == word}
        if parts[0].strip() and word == "file":
            files = {"example.yaml": parts[0], **files}
        return {name: completed(name, text) for name, text in files.items()}

    @property
    def expected(self) -> tuple[Found, ...]:
        """What the example says the rule gives."""
        return tuple(_expected(self.files))

    @property
    def report(self) -> Report:
        """What a check of the example gives."""
        files = {name: _MARK.sub("", text) for name, text in self.files.items()}
        asked = tuple(rule for rule in self.rules if rule is self.rule or rule.group not in WHOLE_JOB)
        return check(files, asked if self.kind == "good" else (self.rule,), before=self.before)

    @property
    def found(self) -> tuple[Found, ...]:
        """What the rule gives, or all rules give on a good example, by file and line."""
        report = self.report
        assert not report.own_faults, report.own_faults
        return tuple(sorted((_found(report, each) for each in report.results), key=lambda each: (each.file, each.line)))


def examples_of(rule: Rule, rules: tuple[Rule, ...]) -> list[Example]:
    """Give the examples on a rule's page; `rules` are all those under which a good one must be clean."""
    found = _FENCE.findall(rule.page)
    return [Example(rule, kind, number, text, rules) for number, (kind, text) in enumerate(found, 1)]


def check(
    files: Mapping[str, str], rules: tuple[Rule, ...], *, on: str = ON, before: Mapping[str, str] = MappingProxyType({})
) -> Report:
    """Check texts by name as a library that also has an authority and a close-out block, or as a change of one."""
    if before:
        return examine_since(Versions(_inputs(files), _inputs(before), "before"), standard(), rules, on=on)
    return examine(_inputs(files), standard(), rules, on=on)


def _inputs(files: Mapping[str, str]) -> tuple[Input, ...]:
    given = [Input(name, _role(name), text.encode()) for name, text in files.items()]
    given += [Input(name, "steps", text.encode(), is_context=True) for name, text in _SHELF.items() if name not in files]
    return tuple(given)


def _role(name: str) -> str:
    if name.endswith(".csv"):
        return "facts"
    return _ROLES.get(name, "steps")


def completed(name: str, text: str) -> str:
    """Add to a procedure or block what it needs and does not say."""
    if _role(name) != "steps" or "format:" in text or re.search(r"^version:", text, re.MULTILINE):
        return text
    rest = _BLOCK if text.startswith("block:") else _PROCEDURE
    if re.search(r"\bN1\b", text):
        rest = rest.replace("here: 1}}", "here: 1}, N: {kind: key, registered: false, here: 1}}")
    lines = re.split(r"^(?=\S)", rest, flags=re.MULTILINE)
    return text + "".join(line for line in lines if line and not _has(text, line.partition(":")[0]))


def _has(text: str, name: str) -> bool:
    return re.search(rf"^{re.escape(name)}:", text, re.MULTILINE) is not None


def _expected(files: dict[str, str]) -> Iterator[Found]:
    for name, text in sorted(files.items()):
        for number, line in enumerate(text.split("\n"), 1):
            for message in _EXPECTED.findall(line):
                yield Found(name, number, message)


def _found(report: Report, each: Reported) -> Found:
    return Found(each.result.at.file, place_of(report, each.result.at)[0], each.result.message)
