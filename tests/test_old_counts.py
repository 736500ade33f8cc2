"""Numbers that were read before an erase are not reckoned with behind it. Common practice, no source."""

import pytest

from proclint import rules
from proclint.engine import place_of
from proclint.rule import rules_in
from proclint.testing import check, completed

RULE = next(rule for rule in rules_in(rules) if rule.id == "erase-count-not-reset")
TEXT = """\
start: {{ignition: on, cylinder: N1, tool: plugged, session: open}}
slots: {{key: 5, remote: 4}}
steps:
  before: {{do: read {counter} as n, ways: {{n >= 4: clear, otherwise: learn-it, fails: not-learned}}}}
  clear: {{do: {erase}, then: {then}, fails: {failing}}}
  learn-it: {{do: learn N1, fails: not-learned}}
  after: {{do: {reading}, ways: {{{asks}: all-right, otherwise: not-learned, fails: not-learned}}}}
  never: {{do: [erase keys, read key as z], then: not-learned, fails: not-learned}}
endings:
  all-right: {{kind: success, tell: It works.}}
  not-learned: {{kind: not-as-found, tell: It may not work.}}
"""
AS_USUAL = {
    "counter": "key",
    "erase": "erase keys",
    "then": "learn-it",
    "failing": "not-learned",
    "reading": "read key as m",
    "asks": "m = n + 1",
}


def found(**parts: str) -> list[tuple[int, str]]:
    """Give the line, from 1, and the message of each result, for a text with some parts changed."""
    report = check({"example.yaml": completed("example.yaml", TEXT.format(**{**AS_USUAL, **parts}))}, (RULE,))
    assert () == report.own_faults
    return [(place_of(report, each.result.at)[0], each.result.message) for each in report.results]


TOLD = (7, "'n' was read before 'erase keys'.")


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({}, [TOLD]),
        ({"asks": "n >= 3"}, [TOLD]),
        ({"asks": "m = 1 and n = 4"}, [TOLD]),
        # Held against one another they show whether the erase was done.
        ({"asks": "m = n"}, []),
        ({"asks": "m = 1"}, []),
        ({"asks": "variant = A"}, []),
        # Read again behind the erase it is a new number.
        ({"reading": "read key as n", "asks": "n = 1"}, []),
        # What is erased is not what was counted, or one key of many.
        ({"erase": "erase remotes"}, []),
        ({"counter": "wrong-codes"}, []),
        ({"erase": "erase O1"}, []),
        # Behind an erase that failed the old number still counts.
        ({"then": "not-learned", "failing": "learn-it"}, []),
    ],
)
def test_numbers_from_before_an_erase(parts: dict[str, str], expected: list[tuple[int, str]]) -> None:
    """A way is told that reckons with a number from before the erase of all that it counts."""
    assert expected == found(**parts)


def test_a_way_is_told_once() -> None:
    """Two erases before one way are one slip."""
    assert [TOLD] == found(erase="[erase keys, erase keys]")
