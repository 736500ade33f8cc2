"""`proclint rules`: the rules, and one rule's page."""

import click

from proclint.apps.cli.refusal import refuse
from proclint.apps.rule_set import known_rules
from proclint.catalogue.nearest import nearest
from proclint.render.page import rule_list, rule_page
from proclint.settings import UsageProblem


def _names(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    return [rule.id for rule in known_rules() if rule.id.startswith(begun)]


_EXAMPLES = """\
\b
Examples:
  proclint rules
  proclint rules way-to-nowhere
"""


@click.command("rules", epilog=_EXAMPLES)
@click.argument("name", metavar="[RULE]", required=False, shell_complete=_names)
def command(name: str | None) -> None:
    """Show the rules, or the page of one RULE.

    Without a name, every rule stands in one line: its name, the level of what it finds, and what it holds to.
    With a name comes the page of that rule: why it is there, what it guards against, an example to avoid with
    what the rule says of it, and one to follow.
    """
    rules = {rule.id: rule for rule in known_rules()}
    if name is None:
        click.echo(rule_list(rules.values()), nl=False)
        return
    if name not in rules:
        near = nearest(name, rules)
        change = f"Did you mean '{near}'?" if near else "Run `proclint rules` for their names."
        refuse(UsageProblem(f"There is no rule '{name}'.", change))
    click.echo(rule_page(rules[name]), nl=False)
