"""What the trade knows, as frozen, typed values: variables, actions, hazards, attributes, unclear words.

Conditions and effects are kept as written; `deeds.py` reads them when they are asked for.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from proclint.catalogue.patterns import Pattern
from proclint.catalogue.units import Duration

# The one answer of an action whose answers are the values of the variable that it looks at.
EACH_VALUE = "each value of the variable"


class Variable(NamedTuple):
    """Something that can be known.

    `values` are its words, none for a number, whose `numbers` are the least and the most, in `unit` if it is
    no count. `owner` is
    `vehicle`, `key`, `kind` or `group`: one variable for each. With `or_key` a key is a value too.
    `stands_for` names variables of which it is the sum.
    """

    name: str
    values: tuple[str, ...]
    numbers: tuple[int, int] | None
    start: str
    owner: str
    or_key: bool
    stands_for: tuple[str, ...]
    derived: str
    observed_by: str
    settled_by: str
    note: str
    unit: str = ""


class Parameter(NamedTuple):
    """What an action must be told; `kind` says what fits, `default` stands where it is left out."""

    kind: str
    default: str


class Action(NamedTuple):
    """One verb: how it is written, who does it, how long it takes, what it needs and makes.

    `takes` is a time, or the name of the parameter that gives it, or `make-sure`: the time of what that
    does. `may_fail` is nothing where it hangs on who does it. `answers` are the answers that can be told
    apart, the wished one first, and `answer_makes` what holds after each; an action that looks has the one
    answer EACH_VALUE. `proves` holds where a key can be seen to work. `unclear` are phrases that people write for it.
    """

    verb: str
    patterns: tuple[Pattern, ...]
    parameters: Mapping[str, Parameter]
    actor: str
    paced_by: str
    takes: Duration | str
    needs: tuple[str, ...]
    makes: tuple[str, ...]
    shows: tuple[str, ...]
    answers: tuple[str, ...]
    answer_makes: Mapping[str, tuple[str, ...]]
    may_fail: bool | None
    on_failure: str
    failure_makes: tuple[str, ...]
    writes: bool
    proves: bool
    hazards: tuple[str, ...]
    say: str
    unclear: tuple[str, ...]

    def may_fail_by(self, actor: str) -> bool:
        """Whether it can fail when `actor` does it; without a word of the catalogue a technician does not."""
        return actor != "technician" if self.may_fail is None else self.may_fail


class MakeSure(NamedTuple):
    """One way to reach that a variable has a value: lines to do one after the other, where `when` holds."""

    variable: str
    value: str
    when: str
    do: tuple[str, ...]


class NeedOf(NamedTuple):
    """Which broken needs belong to a rule: those of `verbs` that fail `about` one of these variables; empty = any."""

    rule: str
    verbs: tuple[str, ...]
    about: tuple[str, ...]

    def fits(self, verb: str, about: str) -> bool:
        """Whether it has the need of a verb that fails about a variable, with whose it is before it or not."""
        names = (about, about.rpartition(".")[2])
        return (not self.verbs or verb in self.verbs) and (not self.about or any(name in self.about for name in names))


class DemandRow(NamedTuple):
    """What must hold under `rule`, as written: before the actions `at`, or before any `but` some, or at endings of `kinds`.

    `subject` is what the result is about, where one rule has several.
    """

    rule: str
    subject: str
    at: tuple[str, ...]
    but: tuple[str, ...]
    kinds: tuple[str, ...]
    must: tuple[str, ...]

    def is_at(self, verb: str) -> bool:
        """Whether it must hold before the action of a verb."""
        if self.at or self.kinds:
            return verb in self.at
        return verb not in self.but


class Hazard(NamedTuple):
    """What calls for a caution: the caution's text in three parts and its signal word (ANSI Z535.6).

    `again`: asked at each retry. `never_accepted`: no accepted result silences it.
    """

    name: str
    signal: str
    harm: str
    severity: str
    likelihood: str
    hazard: str
    consequence: str
    avoid: str
    placing: str
    again: bool
    never_accepted: bool
    raised_by: tuple[str, ...]
    discharged_by: tuple[str, ...]


class Attribute(NamedTuple):
    """What a facts table can say of vehicles: a column of it.

    `least` and `most` bound a number in `unit`. `several` says what `a|b` in a cell means: `one-of`, or
    `all` of them; nothing where a cell holds one value. `danger` is its class: A, B or C.
    """

    name: str
    type: str
    unit: str
    least: Decimal | None
    most: Decimal | None
    words: tuple[str, ...]
    danger: str
    narrows: bool
    several: str
    note: str


class UnclearWord(NamedTuple):
    """Phrases that are read in more than one way, and what to write instead.

    `group` says what is wrong with them. With one of `clear_with` in the same text nothing is.
    """

    name: str
    group: str
    phrases: tuple[str, ...]
    readings: tuple[str, ...]
    write: str
    clear_with: tuple[str, ...]

    @property
    def vague(self) -> bool:
        """Whether it is a quantity that is none."""
        return self.group == "vague"
