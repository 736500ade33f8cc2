"""What a review would say twice is a test: budgets, names, and the rule that a needed test is not skipped."""

import ast
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles
from typing import TypeAlias

import pytest

ROOT = Path(__file__).parents[1]
MODULES = sorted((ROOT / "proclint").rglob("*.py"))
RULES = sorted(path for path in (ROOT / "proclint" / "rules").glob("*/*.py") if path.name != "__init__.py")
TESTS = sorted((ROOT / "tests").rglob("*.py"))

Definition: TypeAlias = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True, order=True)
class Measure:
    """A number and the thing it was measured on."""

    number: int
    of: str


def functions(path: Path) -> Iterator[Definition]:
    """Find all functions of a file, methods and inner ones too."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def docstring_lines(node: Definition | ast.Module) -> int:
    """Count the lines of a docstring, quotation marks included; 0 without one."""
    first = node.body[0] if node.body else None
    if first is None or ast.get_docstring(node, clean=False) is None:
        return 0
    return (first.end_lineno or first.lineno) - first.lineno + 1


def body_lines(function: Definition) -> int:
    """Count the lines of a function from `def` to its end, without its docstring."""
    return (function.end_lineno or function.lineno) - function.lineno + 1 - docstring_lines(function)


def parameters(function: Definition) -> int:
    """Count the parameters of a function; `self` and `cls` are not counted."""
    given = function.args
    names = [each.arg for each in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    return len([name for name in names if name not in {"self", "cls"}])


def named(path: Path, function: Definition) -> str:
    """Name a function by file and line."""
    return f"{path.relative_to(ROOT)}:{function.lineno} {function.name}"


def line_count(path: Path) -> int:
    """Count the lines of a file."""
    return len(path.read_text(encoding="utf-8").splitlines())


def files(paths: list[Path]) -> list[Measure]:
    """Measure files by their lines."""
    return [Measure(line_count(path), str(path.relative_to(ROOT))) for path in paths]


def pages() -> list[Measure]:
    """Measure the pages of rules."""
    trees = ((path, ast.parse(path.read_text(encoding="utf-8"))) for path in RULES)
    return [Measure(docstring_lines(tree), str(path.relative_to(ROOT))) for path, tree in trees]


BODIES = [Measure(body_lines(each), named(path, each)) for path in MODULES for each in functions(path)]
PARAMETERS = [Measure(parameters(each), named(path, each)) for path in MODULES for each in functions(path)]


@pytest.mark.parametrize(
    ("thing", "measures", "never_above"),
    [
        ("module", files(MODULES), 400),
        ("rule file", files(RULES), 150),
        ("rule page", pages(), 60),
        ("function", BODIES, 40),
        ("parameters", PARAMETERS, 5),
    ],
    ids=["module", "rule file", "rule page", "function", "parameters"],
)
def test_budgets(thing: str, measures: list[Measure], never_above: int) -> None:
    """Nothing is above its budget; `pytest -rP` shows the median, the nine tenths and the worst five."""
    worst = sorted(measures, reverse=True)[:5]
    numbers = [each.number for each in measures]
    tenths = quantiles(numbers, n=10)
    print(f"{thing}: median {median(numbers):g}, 90 % up to {tenths[-1]:g}, never above {never_above}")
    print("\n".join(f"  {each.number:4} {each.of}" for each in worst))
    assert [] == [each for each in measures if each.number > never_above]


def test_few_dependencies() -> None:
    """At run time the project names at most five others."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert len(project["dependencies"]) <= 5


def rules_defined(path: Path) -> list[str]:
    """Name the functions of a file that are marked as rules."""
    return [each.name for each in functions(path) if any("_rule" in ast.unparse(mark) for mark in each.decorator_list)]


@pytest.mark.parametrize("path", RULES, ids=lambda path: path.stem)
def test_rule_is_named_as_its_file(path: Path) -> None:
    """A rule file holds one rule, which bears the file's name."""
    assert [path.stem] == rules_defined(path)


def test_rule_names_are_single() -> None:
    """No two groups hold a rule of one name, as results and settings name a rule without its group."""
    names = [path.stem for path in RULES]
    assert len(set(names)) == len(names)


VAGUE = {"utils", "util", "helpers", "helper", "common", "base", "manager", "misc"}


def test_module_names_say_what_is_in_them() -> None:
    """No module or folder is called by a word that would fit any."""
    names = {part for path in MODULES for part in path.relative_to(ROOT).with_suffix("").parts}
    assert set() == names & VAGUE


def test_nothing_is_taken_out_of_the_count() -> None:
    """No comment takes a line out of the coverage or a file out of the checks."""
    # Written in two halves, as this file is looked at too.
    words = ("pragma: " + "no", "# ruff: " + "noqa", "# mypy: " + "ignore-errors")
    found = [(path, word) for path in (*MODULES, *TESTS) for word in words if word in path.read_text(encoding="utf-8")]
    assert [] == found


def defined_tests(path: Path) -> Iterator[Definition]:
    """Find the test functions of a file."""
    return (each for each in functions(path) if each.name.startswith("test_"))


def is_sentence(text: str | None) -> bool:
    """Say whether a docstring is one paragraph that ends with a full stop."""
    return text is not None and "\n\n" not in text and text.endswith(".")


def test_every_test_says_what_is_true() -> None:
    """Each test has a docstring of one paragraph that ends with a full stop."""
    silent = [named(path, each) for path in TESTS for each in defined_tests(path) if not is_sentence(ast.get_docstring(each))]
    assert [] == silent


@pytest.mark.parametrize("marker", ["needs_browser", "needs_build", "needs_node"])
@pytest.mark.parametrize(("strict", "status"), [("1", pytest.ExitCode.TESTS_FAILED), ("0", pytest.ExitCode.OK)])
def test_needed_test_fails_where_nothing_may_be_missing(
    pytester: pytest.Pytester,
    monkeypatch: pytest.MonkeyPatch,
    marker: str,
    strict: str,
    status: pytest.ExitCode,
) -> None:
    """The skip of a test that needs a tool is a failure with PROCLINT_NO_SKIP=1, and a skip without."""
    monkeypatch.setenv("PROCLINT_NO_SKIP", strict)
    pytester.makeini(f"[pytest]\nmarkers =\n    {marker}: ...\n")
    pytester.makeconftest((ROOT / "tests" / "conftest.py").read_text(encoding="utf-8"))
    pytester.makepyfile(f"import pytest\n@pytest.mark.{marker}\ndef test_it(): pytest.skip('not here')\n")
    result = pytester.runpytest_inprocess("-p", "no:cacheprovider")
    assert status == result.ret


def test_missing_tool_is_named(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    """A test whose tool is missing is skipped with a reason that names the tool; others run."""
    monkeypatch.setenv("PROCLINT_NO_SKIP", "0")
    monkeypatch.setenv("PATH", str(pytester.path))
    pytester.makeini("[pytest]\nmarkers =\n    needs_node: ...\n")
    pytester.makeconftest((ROOT / "tests" / "conftest.py").read_text(encoding="utf-8"))
    pytester.makepyfile("import pytest\ndef test_other(): pass\n@pytest.mark.needs_" + "node\ndef test_it(): assert False\n")
    result = pytester.runpytest_inprocess("-p", "no:cacheprovider", "-rs")
    result.assert_outcomes(passed=1, skipped=1)
    result.stdout.fnmatch_lines(["*there is no 'node' on the PATH*"])
