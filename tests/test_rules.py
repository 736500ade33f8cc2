"""Every rule does what its own page says."""

import pytest

from proclint import rules
from proclint.rule import Rule, rules_in
from proclint.testing import Example, examples_of

RULES = rules_in(rules)
EXAMPLES = [example for rule in RULES for example in examples_of(rule, RULES)]


@pytest.mark.parametrize("example", EXAMPLES, ids=str)
def test_examples(example: Example) -> None:
    """What a rule finds in an example is what the example says it finds."""
    assert example.expected == example.found


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_pages(rule: Rule) -> None:
    """A page has a one-line title, an example to avoid and one to follow."""
    assert len(rule.title) <= 100
    assert {"bad", "good"} == {example.kind for example in examples_of(rule, RULES)}


@pytest.mark.parametrize("example", EXAMPLES, ids=str)
def test_only_bad_examples_expect_results(example: Example) -> None:
    """A bad example names a result; a good one names none."""
    assert (example.kind == "bad") == bool(example.expected)


@pytest.mark.parametrize("example", EXAMPLES, ids=str)
def test_results_speak_to_a_person(example: Example) -> None:
    """A message is a sentence of at most 14 words, and an error says what to change."""
    for each in example.report.results:
        assert each.result.message.endswith(".")
        assert len(each.result.message.split()) <= 14
        assert each.result.change or each.result.kind == "open"
