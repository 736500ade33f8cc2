"""Conditions on the ways of a step: what is one, which hold together and what they leave out."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proclint.analysis import Condition, TooManyCases, in_words, left_out, overlap, read_condition
from proclint.analysis.conditions import holds
from proclint.catalogue import standard


def condition(text: str) -> Condition:
    """Read a condition that is one."""
    found = read_condition(text, standard())
    assert found is not None, text
    return found


@pytest.mark.parametrize(
    "text",
    [
        "open",
        "n <",
        "< 4",
        "n 4 < 5",
        "n + < 4",
        "n ! 4",
        "n < 4 and",
        "n < 4 or m < 4",
        "hood < open",
        "hood = ajar",
        "variant = O1",
        "n. = _",
    ],
)
def test_what_is_no_condition(text: str) -> None:
    """An answer, half a comparison, two sums side by side and a word that a variable never has are no conditions."""
    assert read_condition(text, standard()) is None


@pytest.mark.parametrize(
    ("text", "case", "expected"),
    [
        ("n < 8", {"n": 7}, True),
        ("n < 8", {"n": 8}, False),
        ("n <= 8", {"n": 8}, True),
        ("n > 8", {"n": 8}, False),
        ("n >= 8", {"n": 8}, True),
        ("n != 8", {"n": 8}, False),
        ("m = n + 1", {"m": 3, "n": 2}, True),
        ("m = n - 1", {"m": 3, "n": 2}, False),
        ("O.here + N.here <= 4", {"O.here": 3, "N.here": 1}, True),
        ("O.here + N.here <= 4", {"O.here": 3, "N.here": 2}, False),
        ("n > 1 and n < 4", {"n": 4}, False),
        ("n > 1 and n < 4", {"n": 3}, True),
        ("hood = open", {"hood": "open"}, True),
        ("hood = open", {"hood": "closed"}, False),
        ("hood != open", {"hood": "closed"}, True),
        ("K.kind = remote", {"K.kind": "remote"}, True),
    ],
)
def test_holding(text: str, case: dict[str, int | str], *, expected: bool) -> None:
    """A condition holds where its comparisons all do."""
    assert expected == holds(condition(text), case)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("n < 5", "n >= 5", None),
        ("n < 5", "n >= 4", {"n": 4}),
        ("n < 5", "m = n", {"m": 0, "n": 0}),
        ("hood = open", "hood = closed", None),
        ("hood = open", "hood != closed", {"hood": "open"}),
        ("cylinder = O1", "cylinder = N1", None),
        ("cylinder = O1", "cylinder != empty", {"cylinder": "O1"}),
        ("variant = A and n = 3", "variant = A", {"n": 3, "variant": "A"}),
    ],
)
def test_overlap(one: str, other: str, expected: dict[str, int | str] | None) -> None:
    """Two conditions overlap in the first case, by name and number, in which both hold."""
    assert expected == overlap(condition(one), condition(other), standard())


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["n < 5", "n >= 5"], None),
        (["n < 5", "n > 5"], {"n": 5}),
        (["hood = open", "hood = closed"], None),
        (["hood = open"], {"hood": "closed"}),
        ([f"n = {number}" for number in range(17)], None),
        ([f"n = {number}" for number in range(16)], {"n": 16}),
    ],
)
def test_left_out(texts: list[str], expected: dict[str, int | str] | None) -> None:
    """Conditions leave out the first case in which none of them holds; counts run from 0 to 16."""
    assert expected == left_out(tuple(condition(text) for text in texts), standard())


def test_three_counts_are_tried_and_four_are_too_many() -> None:
    """Up to 20,000 cases are tried; beyond, the number of cases is told and nothing is decided."""
    assert {"a": 0, "b": 0, "c": 0} == overlap(condition("a = b"), condition("b = c"), standard())
    with pytest.raises(TooManyCases) as of_two:
        overlap(condition("a = b"), condition("c = d"), standard())
    with pytest.raises(TooManyCases) as of_one:
        left_out((condition("a + b + c = d"),), standard())
    assert (17**4,) == of_two.value.args == of_one.value.args


def test_cases_in_words() -> None:
    """A case is said as a person would."""
    assert "m is 0 and variant is A" == in_words({"m": 0, "variant": "A"})


SIDES = st.sampled_from(["n", "m", "-n", "0", "3", "16", "20", "-2", "n + 1", "n + m", "m - 4", "2 - n"])
COMPARISONS = st.builds("{} {} {}".format, SIDES, st.sampled_from(["=", "!=", "<", "<=", ">", ">="]), SIDES)
CONDITIONS = st.lists(COMPARISONS, min_size=1, max_size=2).map(" and ".join).map(condition)


@given(st.lists(CONDITIONS, min_size=2, max_size=4))
def test_every_case_counts(conditions: list[Condition]) -> None:
    """What is left out, and what overlaps, is found exactly where trying every pair of counts from 0 to 16 finds it."""
    every = [{"n": n, "m": m} for n, m in product(range(17), repeat=2)]
    missed = left_out(tuple(conditions), standard())
    assert any(not any(holds(each, case) for each in conditions) for case in every) == (missed is not None)
    assert missed is None or not any(holds(each, missed) for each in conditions)
    shared = overlap(conditions[0], conditions[1], standard())
    assert any(holds(conditions[0], case) and holds(conditions[1], case) for case in every) == (shared is not None)
    assert shared is None or (holds(conditions[0], shared) and holds(conditions[1], shared))
