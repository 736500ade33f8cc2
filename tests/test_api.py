"""The Python API, a library's own words, rules of one file, and what is loaded when."""

import os
import re
import shutil
import subprocess
import sys
from importlib import invalidate_caches
from pathlib import Path

import pytest

import proclint
from proclint.apps.rule_set import known_rules
from proclint.rule import rules_in
from proclint.settings import UsageProblem
from proclint.testing import check, completed, examples_of

ROOT = Path(__file__).resolve().parent.parent
HALYARD = ROOT / "procedures" / "corvane" / "halyard-relearn-remotes.yaml"
ON = "2026-11-25"

OWN_RULE = '''"""Nobody whistles at a vehicle.

It wakes the neighbours.

```yaml bad
steps: {call: {do: {do: act whistle, by: technician}, then: all-right}}  # <- 'call' wakes the neighbours.
```

```yaml good
steps: {call: {do: look hood, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.READER)
def no_whistling(flow: Flow, study: Study) -> Iterator[Result]:
    """Find whistling."""
    for step in flow.steps.values():
        if "whistle" in step.words:
            yield Result(f"'{step.name}' wakes the neighbours.", at=step.at, change="Delete it.")
'''


def test_examine_gives_a_report() -> None:
    """The function says of the library what the command says: all files, and nothing that fails."""
    report = proclint.examine(ROOT / "procedures", on=ON)
    assert not report.fails
    assert len(report.files) > 40


def test_examine_of_one_file_takes_its_library_along() -> None:
    """A single file is checked with its library's blocks, and only its own results are told."""
    report = proclint.examine(HALYARD, on=ON)
    assert 1 == len(report.files)
    assert [] == [each.rule.id for each in report.results]


def test_examine_refuses_a_day_that_does_not_exist() -> None:
    """A wrong call is one clear error."""
    with pytest.raises(UsageProblem, match="2026-02-30"):
        proclint.examine(HALYARD, on="2026-02-30")


def test_library_adds_words_of_its_own() -> None:
    """A verb that the library's own vocabulary has is read like any other."""
    words = (
        "vocabulary:\n  actions:\n    hum: {patterns: ['hum {for}'], parameters: {for: duration}, takes: from for, say: Hum.}\n"
    )
    steps = completed("example.yaml", "steps: {call: {do: hum 5-10 s, then: all-right}}\n")
    rules = known_rules()
    assert "value-not-in-vocabulary" in {each.rule.id for each in check({"example.yaml": steps}, rules).results}
    library = f"name: Ours\n{words}"
    assert [] == [each.result.message for each in check({"library.yaml": library, "example.yaml": steps}, rules).results]


def test_library_word_that_clashes_is_a_wrong_setting() -> None:
    """A word that the catalogue has already is refused by name."""
    library = "name: Ours\nvocabulary:\n  actions:\n    turn: {patterns: [turn], takes: 1-2-3 s, say: Turn.}\n"
    with pytest.raises(UsageProblem, match=r"library\.yaml: vocabulary: .*turn"):
        check({"library.yaml": library, "example.yaml": "title: An example\n"}, ())


def test_new_rule_is_one_new_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A rule put down as one file in a package is found, has a page, and does what the page says; nothing else is edited."""
    folder = tmp_path / "house_rules" / "manners"
    folder.mkdir(parents=True)
    for package in (folder.parent, folder):
        (package / "__init__.py").write_text('"""House rules."""\n')
    (folder / "no_whistling.py").write_text(OWN_RULE)
    monkeypatch.syspath_prepend(str(tmp_path))
    invalidate_caches()
    (rule,) = rules_in(__import__("house_rules"))
    assert "no-whistling" == rule.id
    assert ("Nobody whistles at a vehicle", "manners") == (rule.title, rule.group)
    for example in examples_of(rule, (rule,)):
        assert example.expected == example.found


def loaded_by(*arguments: str, before: Path | None = None) -> set[str]:
    """Run the command, with a folder that modules are looked for in first, and give the top-level modules it loaded."""
    command = [sys.executable, "-X", "importtime", "-m", "proclint", *arguments]
    surroundings = {**os.environ, "PYTHONPATH": str(before)} if before else None
    said = subprocess.run(command, cwd=ROOT, env=surroundings, capture_output=True, text=True, check=False).stderr
    return {name.split(".")[0] for name in re.findall(r"\|\s+(\S+)$", said, re.MULTILINE)}


HEAVY = {"networkx", "jsonschema", "jsonschema_rs", "ruamel", "numpy", "yaml", "rich"}


def test_version_loads_nothing_heavy() -> None:
    """Asking for the version loads click and nothing that takes longer than it."""
    assert set() == loaded_by("--version") & HEAVY


def test_clean_file_needs_no_graph_library() -> None:
    """A clean file is examined without networkx, and without what only rewriting, drawing or a result needs."""
    seldom = {"networkx", "ruamel", "numpy", "rich", "difflib", "hashlib", "traceback"}
    assert set() == loaded_by("examine", str(HALYARD), "--on", ON) & seldom


def test_only_what_does_not_fit_loads_jsonschema(tmp_path: Path) -> None:
    """Without jsonschema-rs, too, a file that fits its schema is taken without jsonschema; one that does not is told by it."""
    (tmp_path / "jsonschema_rs.py").write_text("raise ImportError\n")
    (tmp_path / "odd.yaml").write_text("title: []\n")
    assert "jsonschema" not in loaded_by("examine", str(HALYARD), "--on", ON, before=tmp_path)
    assert "jsonschema" in loaded_by("examine", str(tmp_path / "odd.yaml"), "--on", ON, before=tmp_path)


def test_readme_shows_what_its_bad_procedure_gets(tmp_path: Path) -> None:
    """The procedure in README gets, word for word, the result printed below it."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    procedure, printed = re.findall(r"```(?:yaml|text)\n(.*?)```", readme, re.DOTALL)[:2]
    shutil.copytree(ROOT / "procedures" / "blocks", tmp_path / "blocks")
    (tmp_path / "library.yaml").write_text("name: Ours\n")
    head = HALYARD.read_text(encoding="utf-8").partition("\nwindows:")[0].replace("halyard-relearn-remotes", "halyard-hello")
    (tmp_path / "hello.yaml").write_text(procedure + head)
    command = [sys.executable, "-m", "proclint", "examine", "hello.yaml", "--on", ON]
    said = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert printed.strip() in said.stdout
    assert 1 == said.returncode


def test_block_counts_have_no_bounds_of_its_own() -> None:
    """In a block, where nobody says how many keys there are, two ways that overlap at any count are found."""
    steps = "steps:\n  lay-out:\n    do: count L\n    ways: {L.here < 9: ready, L.here > 7: ready}\n"
    block = completed("tally.yaml", f"block: tally\ngiven: {{L: keys}}\nexits: [ready]\n{steps}")
    results = check({"tally.yaml": block}, known_rules()).results
    assert ["Two ways fit at once: when L.here is 8."] == [each.result.message for each in results]


def test_what_nobody_may_silence_is_said_to_be_so() -> None:
    """An acceptance of a customer's data in a file silences nothing and is an error itself."""
    accepted = "- {rule: customer-data-in-file, in: example, because: Old., by: m-02, on: 2026-03-01, until: 2026-12-31}\n"
    example = completed("example.yaml", "title: Add a key, as done on ZZ9PL4CEX8A000042\n")
    report = check({"accepted.yaml": accepted, "example.yaml": example}, known_rules())
    said = {each.rule.id: (each.level.value, each.result.message) for each in report.results}
    assert {"customer-data-in-file", "accepted-in-vain"} <= said.keys()
    assert ("error", "'customer-data-in-file' can be accepted by nobody.") == said["accepted-in-vain"]
