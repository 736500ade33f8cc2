"""Rows of the catalogue's files as typed values. A row that does not fit raises CatalogueProblem."""

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from proclint.catalogue.entries import (
    EACH_VALUE,
    Action,
    Attribute,
    DemandRow,
    Hazard,
    MakeSure,
    NeedOf,
    Parameter,
    UnclearWord,
    Variable,
)
from proclint.catalogue.patterns import Kind, Pattern
from proclint.catalogue.row import Row
from proclint.catalogue.units import Duration

ACTORS = ("technician", "equipment", "vehicle")
PLACINGS = ("job-start", "directly-before", "within-3-steps", "ask-first")
HARMS = ("life", "injury", "no-key", "damage", "time")
KINDS_OF_ENDING = ("success", "as-found", "not-as-found", "referred")
TYPES = ("name", "text", "years", "months", "words", "truth", "count", "quantity", "conditions")

# The value of a key's variables that says that something of it was tried and works.
_WORKS = re.compile(r" = works\b")


def _fields(names: str) -> frozenset[str]:
    return frozenset(names.split())


# What a variable's `values` may say in place of words: a count of seconds, up to a day.
_SECONDS = ("seconds", (0, 86_400))

_VARIABLE = _fields("values start owner or stands-for derived observed-by settled-by note")
_KIND = _fields("words matches words-from says of-a-block note")
_ACTION = _fields(
    "patterns parameters actor paced-by takes needs makes shows answers may-fail"
    " on-failure failure-makes writes hazards say unclear"
)
_HAZARD = _fields("raised-by discharged-by harm severity likelihood hazard consequence avoid placing again never-accepted")
_ATTRIBUTE = _fields("type unit range words class narrows several note")
_WORD = _fields("phrases readings write clear-with")
_DEMAND = _fields("rule subject at but kinds must")
_WORD_GROUPS = _fields("ambiguous vague sides pronouns terms lamps paraphrases retold hidden numbered")


def variable(row: Row, name: str) -> Variable:
    """Read what can be known."""
    row.only(_VARIABLE)
    words, numbers = _values(row)
    return Variable(
        name=name,
        values=words,
        numbers=numbers,
        start=row.text("start", "unknown"),
        owner=row.one_of("owner", ("vehicle", "key", "kind", "group"), "vehicle"),
        or_key=row.one_of("or", ("", "a key")) == "a key",
        stands_for=row.texts("stands-for"),
        derived=row.text("derived"),
        observed_by=row.one_of("observed-by", (*ACTORS, "nobody"), "technician"),
        settled_by=row.one_of("settled-by", ("", "applicability")),
        note=row.text("note"),
        unit="s" if row.fields.get("values") == _SECONDS[0] else "",
    )


def _values(row: Row) -> tuple[tuple[str, ...], tuple[int, int] | None]:
    values = row.fields.get("values")
    if not isinstance(values, str):
        words = row.texts("values")
        if not words:
            raise row.problem("values", "At least one value belongs here.")
        return words, None
    if values == _SECONDS[0]:
        return (), _SECONDS[1]
    least, _, most = values.partition("-")
    if least.isascii() and most.isascii() and least.isdigit() and most.isdigit() and int(least) < int(most):
        return (), (int(least), int(most))
    raise row.problem("values", "A list of words or a range such as 0-16 belongs here.")


def kind(row: Row, name: str, variables: tuple[str, ...]) -> Kind:
    """Read what fits a parameter."""
    row.only(_KIND)
    words = variables if row.text("words-from") == "variables" else row.texts("words")
    if bool(words) == bool(row.text("matches")):
        raise row.problem("words", "Either words or an expression belongs here.")
    return Kind(name, words, row.text("matches"), row.text("says"), row.flag("of-a-block"))


def action(row: Row, verb: str) -> Action:
    """Read one verb."""
    row.only(_ACTION)
    actor = row.one_of("actor", ACTORS, "technician")
    answers = _answers(row)
    effects = (*row.texts("makes"), *(effect for made in answers.values() for effect in made))
    parameters = row.inside("parameters")
    return Action(
        verb=verb,
        patterns=tuple(Pattern(text) for text in row.texts("patterns")),
        parameters=MappingProxyType({name: _parameter(parameters, name) for name in parameters.fields}),
        actor=actor,
        paced_by=row.one_of("paced-by", ACTORS, actor),
        takes=_takes(row),
        needs=row.texts("needs"),
        makes=row.texts("makes"),
        shows=row.texts("shows"),
        answers=tuple(answers),
        answer_makes=MappingProxyType(answers),
        may_fail=row.flag("may-fail") if "may-fail" in row.fields else None,
        on_failure=row.one_of("on-failure", ("", "may-have-happened")),
        failure_makes=row.texts("failure-makes"),
        writes=row.flag("writes"),
        proves=any(_WORKS.search(effect) for effect in effects),
        hazards=row.texts("hazards"),
        say=row.needed("say"),
        unclear=row.texts("unclear"),
    )


def _takes(row: Row) -> Duration | str:
    written = row.needed("takes")
    return written.removeprefix("from ") if written.startswith("from ") else row.duration("takes")


def _answers(row: Row) -> dict[str, tuple[str, ...]]:
    if row.fields.get("answers") == EACH_VALUE:
        return {EACH_VALUE: ()}
    part = row.inside("answers")
    return {answer: part.texts(answer) for answer in part.fields}


def _parameter(parameters: Row, name: str) -> Parameter:
    if isinstance(parameters.fields[name], str):
        return Parameter(parameters.text(name), "")
    part = parameters.inside(name)
    part.only(frozenset({"kind", "default"}))
    return Parameter(part.needed("kind"), part.text("default"))


def make_sure(row: Row) -> MakeSure:
    """Read one way to reach a value."""
    row.only(frozenset({"reach", "when", "do"}))
    name, _, value = row.needed("reach").partition(" = ")
    return MakeSure(name, value, row.text("when"), row.texts("do"))


def need_of(row: Row) -> NeedOf:
    """Read which broken needs belong to a rule."""
    row.only(frozenset({"rule", "actions", "about"}))
    return NeedOf(row.needed("rule"), row.texts("actions"), row.texts("about"))


def demand(row: Row) -> DemandRow:
    """Read what must hold at some actions or endings."""
    row.only(_DEMAND)
    place = row.one_of("at", ("any action", "ending")) if isinstance(row.fields.get("at"), str) else ""
    if "but" in row.fields and place != "any action":
        raise row.problem("but", "This belongs only to 'any action'.")
    return DemandRow(
        rule=row.needed("rule"),
        subject=row.text("subject"),
        at=() if place else _filled(row, "at"),
        but=row.texts("but"),
        kinds=_kinds_of_ending(row, place),
        must=_filled(row, "must"),
    )


def _filled(row: Row, field: str) -> tuple[str, ...]:
    if not row.texts(field):
        raise row.problem(field, "At least one belongs here.")
    return row.texts(field)


def _kinds_of_ending(row: Row, place: str) -> tuple[str, ...]:
    kinds = row.texts("kinds")
    if kinds and place != "ending":
        raise row.problem("kinds", "This belongs only to 'ending'.")
    for kind in kinds:
        if kind not in KINDS_OF_ENDING:
            raise row.problem("kinds", f"'{kind}' is none of {', '.join(KINDS_OF_ENDING)}.")
    return kinds or (KINDS_OF_ENDING if place == "ending" else ())


def signal_word(row: Row) -> tuple[tuple[str, str], str]:
    """Read which word stands for a severity and a likelihood."""
    row.only(frozenset({"severity", "likelihood", "word"}))
    return (row.needed("severity"), row.needed("likelihood")), row.needed("word")


def hazard(row: Row, name: str, signals: Mapping[tuple[str, str], str]) -> Hazard:
    """Read one hazard; its signal word follows from severity and likelihood."""
    row.only(_HAZARD)
    severity, likelihood = row.needed("severity"), row.needed("likelihood")
    if (severity, likelihood) not in signals:
        raise row.problem("severity", f"There is no signal word for '{severity}' that '{likelihood}' happen.")
    return Hazard(
        name=name,
        signal=signals[severity, likelihood],
        harm=row.one_of("harm", HARMS),
        severity=severity,
        likelihood=likelihood,
        hazard=row.needed("hazard"),
        consequence=row.needed("consequence"),
        avoid=row.needed("avoid"),
        placing=row.one_of("placing", PLACINGS),
        again=row.flag("again"),
        never_accepted=row.flag("never-accepted"),
        raised_by=row.texts("raised-by"),
        discharged_by=row.texts("discharged-by"),
    )


def attribute(row: Row, name: str) -> Attribute:
    """Read one column of the facts tables."""
    row.only(_ATTRIBUTE)
    least, _, most = row.text("range").partition("-")
    return Attribute(
        name=name,
        type=row.one_of("type", TYPES),
        unit=row.text("unit"),
        least=_number(row, least),
        most=_number(row, most),
        words=row.texts("words"),
        danger=row.one_of("class", ("A", "B", "C")),
        narrows=row.flag("narrows"),
        several=row.one_of("several", ("", "one-of", "all")),
        note=row.text("note"),
    )


def _number(row: Row, text: str) -> Decimal | None:
    if "range" not in row.fields:
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        raise row.problem("range", "A range such as 0-16 belongs here.") from None


def unclear_words(rows: Row) -> dict[str, UnclearWord]:
    """Read the phrases that are read in more than one way, by what is wrong with them."""
    rows.only(_WORD_GROUPS)
    return {name: _unclear_word(row, name, group) for group in rows.fields for name, row in rows.inside(group).rows()}


def _unclear_word(row: Row, name: str, group: str) -> UnclearWord:
    row.only(_WORD)
    return UnclearWord(name, group, row.texts("phrases"), row.texts("readings"), row.needed("write"), row.texts("clear-with"))
