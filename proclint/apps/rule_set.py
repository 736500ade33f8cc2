"""Which rules there are here: the house's own and those of installed packages."""

from functools import cache

from proclint.rule import Rule, rules_in


@cache
def known_rules() -> tuple[Rule, ...]:
    """Give all rules, by group and id."""
    from proclint import rules

    return rules_in(rules)
