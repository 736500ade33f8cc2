"""A chassis number is found wherever it stands, and what only looks like one is not.

ISO 3779: 17 characters, capital letters without I, O and Q and digits, the last four of them digits; from memory.
"""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.testing import check, completed

NUMBER = "ZZ9PL4CEX8A000042"


def found_in(title: str) -> list[str]:
    """Check a procedure of a title; give what stands where a customer's data was found, as it is written."""
    text = completed("example.yaml", f"title: {title}\n")
    results = check({"example.yaml": text}, known_rules()).results
    return [text[each.result.at.start : each.result.at.end] for each in results if each.rule.id == "customer-data-in-file"]


@pytest.mark.parametrize("title", [NUMBER, f"ä {NUMBER}", f"Tür ({NUMBER})", f"{NUMBER}: a key", f"no-{NUMBER}", f"I-{NUMBER}"])
def test_a_chassis_number_is_found(title: str) -> None:
    """At the beginning, at the end, in brackets, and beside letters that no chassis number has."""
    assert [NUMBER] == found_in(f"'{title}'")


@pytest.mark.parametrize(
    "title",
    [
        NUMBER[1:],
        f"A{NUMBER}",
        f"ä{NUMBER}",
        f"{NUMBER}7",
        f"{NUMBER}x",
        NUMBER.lower(),
        NUMBER.replace("L", "O"),
        "1" * 17,
        NUMBER[:-1] + "A",
    ],
)
def test_what_only_looks_like_one_is_not(title: str) -> None:
    """One sign less or more, small letters, the letter O, digits alone, or a letter among the last four."""
    assert [] == found_in(f"'{title}'")
