"""The words of the trade as frozen, typed values: variables, actions, hazards."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from proclint.catalogue.units import Duration, read_duration

Tree: TypeAlias = "str | list[Tree] | dict[str, Tree]"


@dataclass(frozen=True, slots=True)
class Variable:
    """Something that can be known; `values` are its words, none for a count."""

    name: str
    values: tuple[str, ...]
    start: str


@dataclass(frozen=True, slots=True)
class Parameter:
    """What an action must be told; `kind` names the words or the expression that fit, `default` stands where it is left out."""

    kind: str
    default: str


@dataclass(frozen=True, slots=True)
class Action:
    """One verb: how it is written, who does it, how long it takes, and what it needs and makes.

    `may_fail` is nothing where the actor decides it; `takes` is nothing where a parameter gives the time. `answers` are the
    answers that can be told apart, the wished one first. Conditions and effects are kept as written.
    """

    verb: str
    patterns: tuple[str, ...]
    parameters: Mapping[str, Parameter]
    actor: str
    may_fail: bool | None
    takes: Duration | None
    writes: bool
    answers: tuple[str, ...]
    hazards: tuple[str, ...]
    say: str


@dataclass(frozen=True, slots=True)
class Hazard:
    """What calls for a caution, with the caution's text (hazard, consequence, avoid) and its signal word (ANSI Z535.6)."""

    name: str
    signal: str
    harm: str
    hazard: str
    consequence: str
    avoid: str


def _text(tree: Mapping[str, Tree], name: str) -> str:
    value = tree.get(name, "")
    return value if isinstance(value, str) else ""


def _texts(tree: Mapping[str, Tree], name: str) -> tuple[str, ...]:
    value = tree.get(name, [])
    return tuple(str(item) for item in value)


def variable(name: str, tree: Mapping[str, Tree]) -> Variable:
    """Read one variable."""
    values = tree.get("values", [])
    words = tuple(str(value) for value in values) if isinstance(values, list) else ()
    return Variable(name, words, _text(tree, "start"))


def action(verb: str, tree: Mapping[str, Tree]) -> Action:
    """Read one action."""
    parameters = tree.get("parameters", {})
    assert isinstance(parameters, dict)
    may_fail = {"yes": True, "no": False}.get(_text(tree, "may-fail"))
    return Action(
        verb=verb,
        patterns=_texts(tree, "patterns"),
        parameters={name: _parameter(part) for name, part in parameters.items()},
        actor=_text(tree, "actor") or "technician",
        may_fail=may_fail,
        takes=read_duration(_text(tree, "takes")),
        writes=_text(tree, "writes") == "yes",
        answers=_texts(tree, "answers") if isinstance(tree.get("answers"), dict) else (),
        hazards=_texts(tree, "hazards"),
        say=_text(tree, "say"),
    )


def _parameter(tree: Tree) -> Parameter:
    if isinstance(tree, dict):
        return Parameter(_text(tree, "kind"), _text(tree, "default"))
    return Parameter(str(tree), "")


def hazard(name: str, tree: Mapping[str, Tree], signals: Mapping[tuple[str, str], str]) -> Hazard:
    """Read one hazard; its signal word follows from severity and likelihood."""
    text = _text
    signal = signals[text(tree, "severity"), text(tree, "likelihood")]
    return Hazard(name, signal, text(tree, "harm"), text(tree, "hazard"), text(tree, "consequence"), text(tree, "avoid"))
