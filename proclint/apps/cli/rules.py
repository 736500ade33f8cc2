"""`proclint rules`: the rules, and one rule's page."""

import sys
from difflib import get_close_matches

import click

from proclint.apps.rule_set import known_rules


@click.command("rules")
@click.argument("name", metavar="[RULE]", required=False)
def command(name: str | None) -> None:
    """Show the rules, or the page of one RULE."""
    rules = {rule.id: rule for rule in known_rules()}
    if name is None:
        for rule in rules.values():
            click.echo(f"{rule.group:<8} {rule.id:<28} {rule.level:<8} {rule.title}")
        return
    if name not in rules:
        near = get_close_matches(name, rules, 1)
        change = f"Did you mean '{near[0]}'?" if near else "Run `proclint rules` for their names."
        click.echo(f"proclint: There is no rule '{name}'.\n{change}", err=True)
        sys.exit(2)
    rule = rules[name]
    click.echo(f"{rule.id} ({', '.join(rule.levels)}; guards: {rule.harm})\n\n{rule.page.strip()}")
