"""How the rules are listed, and how one rule's page is laid out."""

from collections.abc import Iterator

from proclint.render.page import page_of, prose, rule_list, rule_page
from proclint.results import Harm, Level, Result
from proclint.rule import Rule, Scope


def no_results(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


PAGE = """Someone waits at the end.

Whoever stands at the vehicle does not know how long. A rule says so, and it says so in
a paragraph that is laid out anew.

```yaml bad
# file a.yaml
steps:
  wait: {do: wait}  # <- Nobody knows how long 'wait' lasts.
```

Write how long:

```yaml good
steps:
  wait: {do: wait 5 s}
```

This stands behind.
"""


def rule_with(page: str, name: str = "no-end", group: str = "time") -> Rule:
    """Make a rule with a page."""
    return Rule(name, Scope.FLOW, (Level.ERROR, Level.NOTE), Harm.TIME, group, page, no_results)


def test_page_for_the_terminal() -> None:
    """A page shows name, title, levels, text and examples, in which the marks are what the rule says."""
    assert """\
no-end
Someone waits at the end.

level   error or note
guards  against time lost at the vehicle
group   time

Whoever stands at the vehicle does not know how long. A rule says so, and it says so in a paragraph
that is laid out anew.

This stands behind.

To avoid:

    # file a.yaml
    steps:
      wait: {do: wait}
      => Nobody knows how long 'wait' lasts.

Write how long:

    steps:
      wait: {do: wait 5 s}
""" == rule_page(rule_with(PAGE))


def test_page_without_a_text() -> None:
    """A page that is a title alone says its title and has no examples."""
    rule = rule_with("Someone waits at the end.\n")
    assert ((), ()) == (page_of(rule).paragraphs, page_of(rule).examples)
    assert "Someone waits at the end." == prose(rule)


def test_list_goes_by_group() -> None:
    """The list has a heading a group, and a line a rule with its name, highest level and title."""
    rules = [rule_with(PAGE), rule_with(PAGE, "a-longer-name"), rule_with(PAGE, "c", "words")]
    assert """\
time
  no-end         error    Someone waits at the end
  a-longer-name  error    Someone waits at the end

words
  c              error    Someone waits at the end

3 rules. `proclint rules RULE` shows the page of one.
""" == rule_list(rules)


def test_list_of_one() -> None:
    """One rule is a rule, and none are rules."""
    assert "1 rule. " in rule_list([rule_with(PAGE)])
    assert rule_list([]).startswith("0 rules. ")
