"""What does not hang on names, on the order of keys or on where a step is written leaves every verdict as it is.

Files of the library without two of their lines or cautions, chosen with a fixed seed, are checked before and after each change:
so there is something to say of most of them.
"""

import random
import re
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import cache, partial
from pathlib import Path
from typing import Any, TypeAlias

import pytest
import yaml

from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, examine
from proclint.testing import WHOLE_JOB

# YAML as it is read, every scalar a text.
Tree: TypeAlias = dict[str, Any]
Verdict: TypeAlias = tuple[str, str, str]
# The rules that run a job; what a file is to be written like is another thing in a block.
RUN = frozenset(rule.id for rule in known_rules() if rule.group in WHOLE_JOB)
LIBRARY = Path(__file__).parents[1] / "procedures"
ON = "2026-11-25"
FILES = ("brindlow/fenn-add-key", "corvane/binnacle-add-fob")
CASES = [(file, seed) for seed in range(3) for file in FILES]
# Letters for letters, so that names are as like each other as they were.
_SHIFTED = str.maketrans("abcdefghijklmnopqrstuvwxyz", "nopqrstuvwxyzabcdefghijklm")


@cache
def library() -> tuple[Input, ...]:
    """Give the blocks and tables of the library, as what is there to be looked up."""
    kinds = {"blocks/*.yaml": "steps", "facts/*.csv": "facts", "sources.yaml": "sources", "library.yaml": "library"}
    found = ((path, kind) for pattern, kind in kinds.items() for path in sorted(LIBRARY.glob(pattern)))
    return tuple(Input(path.relative_to(LIBRARY).as_posix(), kind, path.read_bytes(), is_context=True) for path, kind in found)


def verdicts(*files: Tree) -> Counter[Verdict]:
    """Give rule, subject and message of all that is said of some files."""
    given = [Input(f"{at}.yaml", "steps", yaml.safe_dump(file, sort_keys=False).encode()) for at, file in enumerate(files)]
    report = examine((*given, *library()), standard(), known_rules(), on=ON)
    assert () == report.own_faults + report.not_checked
    said = ((each.rule.id, result) for each in report.results for result in (each.result, *each.also))
    return Counter((rule, result.subject, result.message) for rule, result in said)


def steps_of(file: Tree) -> Iterator[tuple[str, Tree]]:
    """Give the steps and fallbacks of a file with their names."""
    for part in ("steps", "fallbacks"):
        yield from file.get(part, {}).items()


def with_slips(file: str, seed: int) -> Tree:
    """Give a file of the library without two of its lines or cautions."""
    found: Tree = yaml.load((LIBRARY / f"{file}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    chance = random.Random(seed)
    for _ in range(2):
        steps = [step for _, step in steps_of(found)]
        takes: list[Callable[[], object]] = [partial(step.pop, "caution") for step in steps if "caution" in step]
        for step in steps:
            do = step.get("do")
            if isinstance(do, list) and len(do) > 1:
                takes += [partial(do.pop, at) for at in range(len(do))]
        chance.choice(takes)()
    return found


@cache
def before(file: str, seed: int) -> Counter[Verdict]:
    """Give what is said of a file with slips."""
    return verdicts(with_slips(file, seed))


def renamed(file: Tree, names: dict[str, str]) -> Tree:
    """Give a file with other names for its steps, wherever a way leads to one."""
    found = deepcopy(file)
    for part in ("steps", "fallbacks"):
        found[part] = {names[name]: step for name, step in found[part].items()}
    for _, step in steps_of(found):
        for field in ("then", "fails"):
            if field in step:
                step[field] = names.get(step[field], step[field])
        if "ways" in step:
            step["ways"] = {outcome: names.get(target, target) for outcome, target in step["ways"].items()}
    return found


@pytest.mark.parametrize(("file", "seed"), CASES)
def test_names_of_steps(file: str, seed: int) -> None:
    """Other names for the steps change nothing but these names in what is said."""
    slipped = with_slips(file, seed)
    names = {name: name.translate(_SHIFTED) for name, _ in steps_of(slipped)}
    back = {new: old for old, new in names.items()}
    after = Counter[Verdict]()
    for (rule, subject, message), number in verdicts(renamed(slipped, names)).items():
        as_before = re.sub(r"'([^']*)'", lambda quoted: f"'{back.get(quoted[1], quoted[1])}'", message)
        after[rule, back.get(subject, subject), as_before] += number
    assert before(file, seed) == after


def shuffled(value: Any, chance: random.Random, *, kept: frozenset[str]) -> Any:  # noqa: ANN401 - any YAML
    """Give a value with the keys of all its mappings in another order, but for what stands under some names."""
    if not isinstance(value, dict):
        return value
    names = list(value)
    chance.shuffle(names)
    return {name: value[name] if name in kept else shuffled(value[name], chance, kept=kept) for name in names}


# Steps lead on to the next; which condition, group of keys or choice stands first may be what a person is told first.
_IN_ORDER = frozenset({"ways", "keys", "for-each", "choices"})


@pytest.mark.parametrize(("file", "seed"), CASES)
def test_order_of_keys(file: str, seed: int) -> None:
    """What stands first in a file or in a step changes nothing; of the steps themselves it does."""
    slipped, chance = with_slips(file, seed), random.Random(seed)
    after = shuffled(slipped, chance, kept=_IN_ORDER)
    after["steps"] = {name: shuffled(step, chance, kept=_IN_ORDER) for name, step in slipped["steps"].items()}
    assert list(slipped) != list(after)
    assert before(file, seed) == verdicts(after)


def runs(file: Tree) -> Iterator[tuple[str, ...]]:
    """Give two or three steps in a row that a block can do: nobody comes in between, and no number is read or compared there."""
    names, texts = list(file["steps"]), {name: repr(step) for name, step in file["steps"].items()}
    for first in range(len(names)):
        for behind in range(first + 2, min(first + 4, len(names))):
            run = tuple(names[first:behind])
            steps = {name: step for name, step in steps_of(file) if name not in run}
            is_plain = not any(re.search(r"=| as |for-each", texts[name]) for name in run)
            goes_on = not {"ways", "then"} & file["steps"][run[-1]].keys()
            if is_plain and goes_on and not {name for step in steps.values() for name in targets(step)} & set(run[1:]):
                yield run


def targets(step: Tree) -> list[str]:
    """Give the names to which the ways of a step lead."""
    return [*step.get("ways", {}).values(), *(step[field] for field in ("then", "fails") if field in step)]


def split(file: Tree, run: tuple[str, ...]) -> tuple[Tree, Tree]:
    """Give a file that follows a block in place of some steps, and the block with these steps."""
    found, names = deepcopy(file), list(file["steps"])
    steps = {name: found["steps"].pop(name) for name in run}
    behind = names[names.index(run[-1]) + 1]
    steps[run[-1]]["then"] = behind
    exits = dict.fromkeys([behind, *(target for step in steps.values() for target in targets(step) if target not in run)])
    given = dict.fromkeys(file["keys"], "keys")
    block = {"block": "cut-out", "version": "1", "title": "Some steps", "given": given, "exits": list(exits), "steps": steps}
    follow = {"follow": "cut-out 1", "given": {letter: letter for letter in given}, "ways": {name: name for name in exits}}
    found["steps"] = {name: follow if name == run[0] else found["steps"].get(name) for name in names if name not in run[1:]}
    return found, block


@pytest.mark.parametrize(("file", "seed"), CASES)
def test_steps_in_a_block(file: str, seed: int) -> None:
    """Steps that are written in a block and followed get the verdicts that they get in their place."""
    slipped = with_slips(file, seed)
    names = {name for name, _ in steps_of(slipped)}
    run = random.Random(seed).choice([*runs(slipped)])

    def unnamed(found: Counter[Verdict]) -> Counter[Verdict]:
        plain = Counter[Verdict]()
        for (rule, subject, message), number in found.items():
            shown = re.sub(r"'([^']*)'( \([^)]*\))?", lambda quoted: "a step" if quoted[1] in names else quoted[0], message)
            plain[rule, subject, shown] += number if rule in RUN else 0
        return +plain

    assert unnamed(before(file, seed)) == unnamed(verdicts(*split(slipped, run)))


def test_there_is_something_to_say() -> None:
    """Most of the files with slips get results, of many rules: that they stay the same is something."""
    found = [before(*case) for case in CASES]
    assert 2 * sum(map(bool, found)) > len(CASES)
    assert 3 < len({rule for each in found for rule, _, _ in each})
