"""A variable, an action and a hazard that a library adds in its YAML alone are run as those of the trade are."""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.testing import WHOLE_JOB, check, completed

RULES = tuple(rule for rule in known_rules() if rule.group in WHOLE_JOB)
LIBRARY = """\
name: Ours
vocabulary:
  variables:
    sunroof: {values: [open, closed], start: closed, observed-by: technician}
  actions:
    slide-sunroof:
      patterns: [slide-sunroof]
      takes: 2-4-8 s
      needs: [sunroof = closed]
      makes: [sunroof = open]
      hazards: [falling-water]
      say: Slide the sunroof open.
    glance:
      patterns: ["glance [{variable}]"]
      parameters: {variable: variable}
      takes: 1-2-4 s
      shows: ["{variable}"]
      say: "Glance: {variable}."
  hazards:
    falling-water:
      raised-by: [action = slide-sunroof and ventilation = outdoors]
      discharged-by: [inside = nobody]
      harm: damage
      severity: no-injury
      likelihood: could
      hazard: Water that stands on the roof runs into the cabin.
      consequence: It could spoil the radio.
      avoid: Wipe the roof first.
      placing: directly-before
      again: no
      never-accepted: no
"""
ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}\n"
OUTDOORS = "start: {ventilation: outdoors, inside: technician"
UNWARNED = ("hazard-without-caution", "Nobody is warned that water that stands on the roof runs into the cabin.")
CANNOT = ("precondition-not-met", "'slide-sunroof' cannot be done: 'sunroof' is open.")
MAY_NOT = ("precondition-not-met", "'slide-sunroof' may be impossible: 'sunroof' may not be closed.")


def told(text: str) -> set[tuple[str, str]]:
    """Give rule and message of what is said of the library's own words in a procedure."""
    report = check({"library.yaml": LIBRARY, "example.yaml": completed("example.yaml", text + ENDINGS)}, RULES)
    assert () == report.own_faults + report.not_checked
    return {(each.rule.id, each.result.message) for each in report.results}


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        ("slide-sunroof", set()),
        ("[slide-sunroof, slide-sunroof]", {CANNOT}),
        ("[glance, slide-sunroof]", set()),
        ("[glance sunroof, slide-sunroof]", {MAY_NOT}),
    ],
)
def test_needs_and_makes(do: str, expected: set[tuple[str, str]]) -> None:
    """What the action needs is asked, what it makes holds after it, and what is looked at may be anything."""
    assert expected == told(f"{OUTDOORS}}}\nsteps: {{a: {{caution: [falling-water], do: {do}, then: all-right}}}}\n")


def test_what_the_file_says_of_the_variable() -> None:
    """How the variable stands at the start is what the procedure says."""
    assert {CANNOT} == told(
        f"{OUTDOORS}, sunroof: open}}\nsteps: {{a: {{caution: [falling-water], do: slide-sunroof, then: all-right}}}}\n"
    )


@pytest.mark.parametrize(("way", "expected"), [("open", {CANNOT}), ("closed", set())])
def test_a_look_narrows_the_variable(way: str, expected: set[tuple[str, str]]) -> None:
    """Whoever looks at the variable knows how it stands on each way."""
    other = "closed" if way == "open" else "open"
    look = f"a: {{do: look sunroof, ways: {{{way}: b, {other}: all-right, fails: gone}}}}"
    line = "b: {caution: [falling-water], do: slide-sunroof, then: all-right}"
    assert expected == told(f"{OUTDOORS}}}\nsteps:\n  {look}\n  {line}\n")


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        (f"{OUTDOORS}}}", {UNWARNED}),
        ("start: {ventilation: enclosed, inside: technician}", set()),
        ("start: {ventilation: outdoors, inside: nobody}", set()),
    ],
)
def test_the_hazard_calls_for_its_caution(start: str, expected: set[tuple[str, str]]) -> None:
    """A caution is missing where the hazard is raised and nothing ends it; where it is shown nothing is missing."""
    assert expected == told(f"{start}\nsteps: {{a: {{do: slide-sunroof, then: all-right}}}}\n")
