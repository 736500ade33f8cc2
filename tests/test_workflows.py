"""The workflows, the action and the hooks: valid by published schemas, without rights or secrets, and run for once.

The schemas for GitHub workflows and actions and GitLab CI are those that PyPI's check-jsonschema 0.39 carries from SchemaStore
(json.schemastore.org); that a pinned action is named by its full commit id is GitHub's own advice ("Security hardening for GitHub
Actions").
"""

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema.validators import validator_for

from proclint.apps.rule_set import known_rules
from proclint.testing import Example
from tests.repository import Repository

Json = dict[str, Any]
ROOT = Path(__file__).parents[1]
GITHUB = ROOT / ".github"
WORKFLOWS = sorted((GITHUB / "workflows").glob("*.yaml"))
ACTION = GITHUB / "actions" / "gate" / "action.yaml"
EXAMPLES = re.findall(r"^```yaml\n(.*?)^```", (GITHUB / "gate.md").read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
PINNED = re.compile(r"[\w.-]+/[\w./-]+@[0-9a-f]{40} # v\d+\.\d+\.\d+")


def read(text: str) -> Json:
    """Read YAML with every name as it is written: `on` is one, and no truth value."""
    found: Json = yaml.load(text, Loader=yaml.BaseLoader)
    return found


def faults(schema: str, tree: Json) -> list[str]:
    """List what a published schema has against a tree."""
    spec = find_spec("check_jsonschema")
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent / "builtin_schemas" / "vendor" / f"{schema}.json"
    known = json.loads(path.read_text(encoding="utf-8"))
    return [f"{error.json_path}: {error.message}" for error in validator_for(known)(known).iter_errors(tree)]


def typed(text: str) -> Json:
    """Read YAML with numbers and truth values, and `on` as a name."""
    found: Json = yaml.safe_load(re.sub(r"^on:", '"on":', text, flags=re.MULTILINE))
    return found


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.stem)
def test_workflows_are_valid(path: Path) -> None:
    """The schema has nothing against a workflow."""
    assert [] == faults("github-workflows", typed(path.read_text(encoding="utf-8")))


def test_action_is_valid() -> None:
    """The schema has nothing against the action."""
    assert [] == faults("github-actions", typed(ACTION.read_text(encoding="utf-8")))


@pytest.mark.parametrize(("schema", "number"), [("github-workflows", 0), ("gitlab-ci", 1)])
def test_examples_are_valid(schema: str, number: int) -> None:
    """The schemas have nothing against the examples for other libraries."""
    assert [] == faults(schema, typed(EXAMPLES[number]))


def test_schema_refuses_what_is_wrong() -> None:
    """As they are used here, the schemas see a job that runs nowhere and a step without a shell."""
    tree = typed(WORKFLOWS[0].read_text(encoding="utf-8").replace("runs-on:", "runs-at:"))
    assert faults("github-workflows", tree)
    assert faults("github-actions", typed(ACTION.read_text(encoding="utf-8").replace("shell: bash", "shall: bash")))


@pytest.mark.parametrize("text", [*(path.read_text(encoding="utf-8") for path in WORKFLOWS), EXAMPLES[0]])
def test_least_rights(text: str) -> None:
    """A workflow may only read, and no job more; it knows no secret and no event that runs with the rights of the library."""
    tree = read(text)
    assert {"contents": "read"} == tree["permissions"]
    assert not any("permissions" in job or "secrets" in job for job in tree["jobs"].values())
    assert {"pull_request", "push", "workflow_call"}.issuperset(tree["on"])
    assert not re.search(r"secrets\.|github\.token|GITHUB_TOKEN", text)


def steps(path: Path) -> Iterator[Json]:
    """Give the steps of a workflow or of the action."""
    tree = read(path.read_text(encoding="utf-8"))
    jobs = tree["jobs"].values() if "jobs" in tree else [tree["runs"]]
    return (step for job in jobs for step in job["steps"])


@pytest.mark.parametrize("path", [*WORKFLOWS, ACTION], ids=lambda path: path.stem)
def test_steps(path: Path) -> None:
    """Every action is pinned, no key stays behind in a checkout, and no text of a contribution gets into a command."""
    lines = [line.strip() for line in path.read_text(encoding="utf-8").splitlines()]
    used = [line.removeprefix("uses: ") for line in lines if line.startswith("uses: ")]
    assert [] == [each for each in used if not PINNED.fullmatch(each) and each != "./program/.github/actions/gate"]
    for step in steps(path):
        assert "${{" not in step.get("run", "")
        if "checkout" in step.get("uses", ""):
            assert "false" == step["with"]["persist-credentials"]


def test_program_is_not_that_of_the_contribution() -> None:
    """The project's own gate is the program of the base branch; the contribution is looked at beside it."""
    fetched, contribution, asked = steps(GITHUB / "workflows" / "procedures.yaml")
    assert "${{ github.event.pull_request.base.sha }}" == fetched["with"]["ref"]
    assert ("program", "contribution") == (fetched["with"]["path"], contribution["with"]["path"])
    assert ("./program/.github/actions/gate", "contribution") == (asked["uses"], asked["with"]["folder"])


@pytest.mark.parametrize(
    "hook", yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")), ids=lambda hook: hook["id"]
)
def test_hooks(hook: Json) -> None:
    """A hook calls a command that is there, on the library as a whole."""
    program, command, *_ = hook["entry"].split()
    assert ("proclint", False, "python") == (program, hook["pass_filenames"], hook["language"])
    assert (ROOT / "proclint" / "apps" / "cli" / f"{command}.py").exists()


def whole(text: str) -> str:
    """Fill in what a procedure leaves out, as on a rule's page."""
    return next(iter(Example(known_rules()[0], "bad", 1, text, known_rules()).files.values()))


@pytest.mark.parametrize(
    ("target", "since", "status"), [("all-right", "HEAD^1", 0), ("nowhere", "HEAD^1", 1), ("all-right", "gone", 2)]
)
def test_action_runs(tmp_path: Path, target: str, since: str, status: int) -> None:
    """The step of the action, run by bash in a real repository, shows annotations, writes reports and ends as the gate does."""
    book = Repository(tmp_path / "book")
    book.put("procedures/library.yaml", "name: A book\n")
    book.commit("A library")
    book.put("procedures/a.yaml", whole(f"steps:\n  a: {{do: look on-lamp, ways: {{lit: all-right, dark: {target}}}}}\n"))
    book.commit("A contribution")
    program = tmp_path / "environment" / "bin" / "proclint"
    program.parent.mkdir(parents=True)
    program.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m proclint "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    *_, step = steps(ACTION)
    surroundings = {name: str(tmp_path / name.lower()) for name in ("GITHUB_STEP_SUMMARY", "GITHUB_OUTPUT")}
    surroundings |= {"RUNNER_TEMP": str(tmp_path), "LIBRARY": "procedures", "SINCE": since, "PATH": os.environ["PATH"]}
    command = ["bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", step["run"]]
    done = subprocess.run(command, cwd=book.folder, env=surroundings, capture_output=True, text=True, check=False)
    assert status == done.returncode, done.stderr
    shown = done.stdout.splitlines()
    assert shown[0].startswith("::stop-commands::")
    assert f"::{shown[0].rpartition('::')[2]}::" in shown
    assert (status == 1) == any(line.startswith("::error file=procedures/a.yaml,") for line in shown)
    assert (status == 2) == (not Path(surroundings["GITHUB_OUTPUT"]).exists())
    if status != 2:
        outputs = dict(
            line.split("=", 1) for line in Path(surroundings["GITHUB_OUTPUT"]).read_text(encoding="utf-8").splitlines()
        )
        assert {"sarif", "junit", "markdown"} == outputs.keys()
        assert all(Path(file).stat().st_size for file in outputs.values())
        assert Path(surroundings["GITHUB_STEP_SUMMARY"]).read_text(encoding="utf-8").startswith("### proclint: The gate ")


def test_nothing_of_a_contribution_runs(tmp_path: Path) -> None:
    """What a contribution puts where programs look for code, and into its settings, is not run by the step of the action."""
    owned = tmp_path / "owned"
    book = Repository(tmp_path / "book")
    book.put("procedures/library.yaml", "name: A book\n")
    book.put("procedures/a.yaml", whole("steps:\n  a: {do: look on-lamp, ways: {lit: all-right, dark: all-right}}\n"))
    book.commit("A library")
    code = f"open({str(owned)!r}, 'a').write(__name__)\n"
    for name in ("sitecustomize", "usercustomize", "proclint", "yaml", "click", "conftest", "procedures/rules/__init__"):
        book.put(f"{name}.py", code)
    for name in ("git", "python3", ".git/hooks/post-checkout", ".git/hooks/reference-transaction"):
        book.put(name, f"#!/bin/sh\ntouch '{owned}'\n")
        (book.folder / name).chmod(0o755)
    book.put(".gitattributes", "* filter=x textconv=x\n")
    book.put("procedures/library.yaml", f"name: A book\ntrust: !!python/object/apply:os.system ['touch {owned}']\n")
    book.git("-c", "core.hooksPath=/dev/null", "add", "--all")
    book.git("-c", "core.hooksPath=/dev/null", "commit", "--quiet", "--message", "A contribution")
    # As pip writes it: the folder of the script is looked into for code, and not the folder that it is called in.
    program = tmp_path / "environment" / "bin" / "proclint"
    program.parent.mkdir(parents=True)
    start = f"import sys\nsys.path.append({str(ROOT)!r})\nfrom proclint.apps.cli import main\nmain()\n"
    program.write_text(f"#!{sys.executable}\n{start}", encoding="utf-8")
    program.chmod(0o755)
    *_, step = steps(ACTION)
    surroundings = {name: str(tmp_path / name.lower()) for name in ("GITHUB_STEP_SUMMARY", "GITHUB_OUTPUT")}
    surroundings |= {"RUNNER_TEMP": str(tmp_path), "LIBRARY": "procedures", "SINCE": "HEAD^1", "PATH": os.environ["PATH"]}
    command = ["bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", step["run"]]
    done = subprocess.run(command, cwd=book.folder, env=surroundings, capture_output=True, text=True, check=False)
    assert 1 == done.returncode, done.stderr
    assert "::error file=procedures/library.yaml," in done.stdout
    assert not owned.exists()
