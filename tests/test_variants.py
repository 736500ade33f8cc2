"""Variants that nobody can tell apart, words in the place of counts, and conditions that are none."""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.testing import check, completed

VEHICLE = "make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed"
TOLD = "variants: {A: the lamp is solid, B: the lamp blinks}"
ENDINGS = "endings:\n  all-right: {kind: success, tell: It works.}\n"


def unknown(steps: str, *, more: str = "") -> list[str]:
    """Check the steps of a procedure; give the names that are not known there."""
    vehicles = f"vehicles: [{{{VEHICLE}{', ' + more if more else ''}}}]\n"
    files = {"one.yaml": completed("one.yaml", f"{vehicles}steps:\n{steps}{ENDINGS}")}
    report = check(files, known_rules())
    return [each.result.message for each in report.results if each.rule.id == "unknown-name"]


NONE = "Nobody can see the variant: none is declared."
UNTOLD = "Nothing says how variant '{}' is told from the others."


@pytest.mark.parametrize(
    ("step", "more", "expected"),
    [
        ("{do: look variant, ways: {A: all-right, otherwise: all-right}}", "", [NONE]),
        ("{do: [look variant, look hood], then: all-right}", "", [NONE]),
        ("{do: look variant, ways: {A: all-right, otherwise: all-right}}", TOLD, []),
        ("{do: look variant, ways: {C: all-right, otherwise: all-right}}", TOLD, [UNTOLD.format("C")]),
        ("{ways: {variant = B: all-right, otherwise: all-right}}", TOLD, []),
        ("{ways: {variant = D and gearbox = manual: all-right, otherwise: all-right}}", TOLD, [UNTOLD.format("D")]),
        ("{ways: {variant = A: all-right, otherwise: all-right}}", "", [UNTOLD.format("A")]),
        ("{ways: {gearbox = manual: all-right, otherwise: all-right}}", "", []),
        ("{do: look hood, ways: {variant: all-right, otherwise: all-right}}", "", []),
        ("{ask: Which variant is it?, ways: {variant-c: all-right, other: all-right}}", "", []),
        ("{follow: authority 3, ways: {variant: all-right, otherwise: all-right}}", "", []),
    ],
)
def test_variants(step: str, more: str, expected: list[str]) -> None:
    """A variant is looked for, and chosen by, only where the vehicles say how it is told from the others."""
    assert expected == unknown(f"  which: {step}\n", more=more)


def test_a_block_has_no_vehicles() -> None:
    """What a block looks for is declared by those who follow it."""
    block = "block: see\nexits: [seen]\nsteps: {which: {do: look variant, ways: {A: seen, otherwise: seen}}}\n"
    report = check({"see.yaml": completed("see.yaml", block)}, known_rules())
    assert "unknown-name" not in {each.rule.id for each in report.results}


WORD = "'{}' is a word, and no count ever equals it."


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        ("n = 3", []),
        ("n = hood", [WORD.format("hood")]),
        ("n = open", [WORD.format("open")]),
        ("n >= m", ["Nobody has read 'm' here."]),
        ("hood = open", []),
    ],
)
def test_words_in_the_place_of_counts(condition: str, expected: list[str]) -> None:
    """A count that is compared with a word is told as such, in a way and where a line is done only at times."""
    assert expected == unknown(
        f"  see: {{do: read key as n, ways: {{{condition}: all-right, otherwise: all-right, fails: all-right}}}}\n"
    )
    line = f"{{do: put O1 hand, only-if: {condition}}}"
    assert expected == unknown(f"  see: {{do: [{{do: read key as n}}, {line}], then: all-right, fails: all-right}}\n")


@pytest.mark.parametrize("part", ["do", "meanwhile"])
def test_a_condition_that_is_none(part: str) -> None:
    """Where nobody can tell when a line is done, that is told."""
    line = "{do: put O1 hand, only-if: gearbox manual}"
    steps = f"  see: {{do: wait 5 s, {part}: {line}, then: all-right}}\n".replace("do: wait 5 s, do", "do")
    assert ["Nobody can tell when 'gearbox manual' holds."] == unknown(steps)


@pytest.mark.parametrize(
    ("step", "key"),
    [
        ("for-each: {X: [Z]}, do: insert X", "Z"),
        ("for-each: {X: [O, O2]}, do: insert X", "O2"),
        ("follow: authority 3, given: {K: Z1}", "Z1"),
    ],
)
def test_keys_that_nobody_has(step: str, key: str) -> None:
    """A loop over keys, or a block that is given one, names keys of the file; of O there is one."""
    assert [f"Nobody knows which key '{key}' is."] == unknown(f"  a: {{{step}, then: all-right, fails: all-right}}\n")
