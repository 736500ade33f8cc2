"""What `proclint rules` shows, and how the command line helps."""

import pytest
from click.shell_completion import ShellComplete
from click.testing import CliRunner, Result

from proclint.apps.cli import group
from proclint.apps.rule_set import known_rules


def called(*arguments: str, **environment: str) -> Result:
    """Call the command line."""
    return CliRunner().invoke(group, arguments, prog_name="proclint", env=environment)


def test_all_rules_are_listed() -> None:
    """Without a name every rule stands there with its title."""
    result = called("rules")
    assert 0 == result.exit_code
    assert all(f"  {rule.id} " in result.output and rule.title in result.output for rule in known_rules())


@pytest.mark.parametrize("name", [rule.id for rule in known_rules()])
def test_every_rule_has_a_page(name: str) -> None:
    """A page shows the rule's name, an example to avoid with what the rule says of it, and no raw mark."""
    result = called("rules", name)
    assert 0 == result.exit_code
    assert result.output.startswith(f"{name}\n")
    assert "\nTo avoid:\n" in result.output
    assert "=> " in result.output
    assert "# <-" not in result.output
    assert "```" not in result.output


def test_near_name_is_suggested() -> None:
    """A name that is none is a wrong call, and the nearest one is suggested."""
    result = called("rules", "way-to-nowere")
    assert 2 == result.exit_code
    assert "proclint: There is no rule 'way-to-nowere'.\nDid you mean 'way-to-nowhere'?\n" == result.output


def test_strange_name_leads_to_the_list() -> None:
    """A name that is like none leads to the list of them."""
    result = called("rules", "qqqqqq")
    assert 2 == result.exit_code
    assert "Run `proclint rules` for their names.\n" in result.output


def test_wrong_call_moves_no_cursor() -> None:
    """What was typed wrong comes back without control characters."""
    assert "There is no rule 'qq?[2Jqq'.\n" in called("rules", "qq\x1b[2Jqq").output


@pytest.mark.parametrize(
    "arguments", [["--help"], *([each, "--help"] for each in ("examine", "gate", "reconcile", "rehearse", "review", "rules"))]
)
def test_help_is_there(arguments: list[str]) -> None:
    """Each command explains itself in sentences, within 80 columns, with its options."""
    result = called(*arguments)
    assert 0 == result.exit_code
    assert result.output.startswith("Usage: proclint ")
    assert "  -h, --help " in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert "\\b" not in result.output


def test_help_tells_of_completion() -> None:
    """What the help says of completion works: the line that it names gives a script for the shell."""
    assert 'eval "$(_PROCLINT_COMPLETE=zsh_source proclint)"' in called("--help").output
    result = called(_PROCLINT_COMPLETE="zsh_source")
    assert 0 == result.exit_code
    assert "compdef" in result.output


def test_rule_names_are_completed() -> None:
    """A shell completes the names of rules."""
    shell = ShellComplete(group, {}, "proclint", "_PROCLINT_COMPLETE")
    expected = [rule.id for rule in known_rules() if rule.id.startswith("way")]
    assert expected
    assert expected == [each.value for each in shell.get_completions(["rules"], "way")]
