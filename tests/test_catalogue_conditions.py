"""What the catalogue says of states: every condition and effect is read into a value, and a bad one is refused."""

import re
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proclint import catalogue
from proclint.apps.publish import main as publish
from proclint.catalogue import (
    Atom,
    Catalogue,
    CatalogueProblem,
    Effect,
    Form,
    Item,
    MakeSure,
    Misread,
    Operand,
    Operator,
    Parameter,
    Shown,
    Sum,
    Tree,
    Whose,
    checked,
    extended,
    standard,
)
from proclint.catalogue.conditions import written
from proclint.catalogue.contradictions import contradictions
from proclint.catalogue.deeds import read_always, read_deed, read_reckoned
from proclint.catalogue.grammar import Reader
from proclint.catalogue.scope import Scope, scope_of

ROOT = Path(__file__).parents[1]
TRADE = standard()


def pairs() -> Iterator[tuple[str, str, str]]:
    """Give every condition and effect of the packaged catalogue: where it stands, as written, and as written back."""
    for verb, action in TRADE.actions.items():
        deed = TRADE.deed(verb)
        yield from both(f"{verb}.needs", action.needs, deed.needs)
        yield from both(f"{verb}.makes", action.makes, deed.makes)
        yield from both(f"{verb}.failure-makes", action.failure_makes, deed.failure_makes)
        yield from both(f"{verb}.shows", action.shows, deed.shows)
        for answer, effects in deed.answers.items():
            yield from both(f"{verb}.answers.{answer}", action.answer_makes[answer], effects)
        defaults = {name: each.default for name, each in action.parameters.items() if each.default}
        yield from both(f"{verb}.defaults", defaults.values(), deed.defaults.values())
    for name, hazard in TRADE.hazards.items():
        peril = TRADE.peril(name)
        yield from both(f"{name}.raised-by", hazard.raised_by, map(written, peril.raised_by))
        yield from both(f"{name}.discharged-by", hazard.discharged_by, map(written, peril.discharged_by))
    for row in TRADE.make_sure:
        whens = [written(reach.when) for reach in TRADE.reaches[row.variable, row.value] if reach.do == row.do]
        yield f"{row.variable} = {row.value}", row.when, row.when if row.when in whens else ""
    yield from both("always", TRADE.always, TRADE.invariants)


def both(at: str, texts: Iterable[str], read: Iterable[object]) -> Iterator[tuple[str, str, str]]:
    """Pair texts with what was read of them, written back."""
    return ((at, text, str(each)) for text, each in zip(texts, read, strict=True))


def test_the_whole_catalogue_is_written_back_as_it_stands() -> None:
    """Every condition and effect of the packaged catalogue is read, and what was read says the same in the same words."""
    found = list(pairs())
    assert len(found) >= 400
    assert [] == [(at, text, back) for at, text, back in found if text != back]


def test_answers_that_are_values_are_told_apart() -> None:
    """An action that looks has the values of its variable as answers and no others; every other action says its own."""
    assert ["look"] == [verb for verb in TRADE.actions if TRADE.deed(verb).sees_value]
    assert {} == TRADE.deed("look").answers
    assert ["runs", "stalls", "does not start"] == list(TRADE.deed("start").answers)


def test_publishing_asks_the_catalogue_first(tmp_path: Path) -> None:
    """The schemas are published from a catalogue that was looked at, and that catalogue stays the one it was."""
    publish(tmp_path / "new")
    assert list((tmp_path / "new").iterdir())
    assert checked(TRADE) is TRADE


def test_reading_waits_until_it_is_asked_for() -> None:
    """A run that follows no states does not even load what reads conditions."""
    modules = ("conditions", "scope", "grammar", "deeds", "contradictions")
    code = (
        "import sys; from proclint.catalogue import standard; standard().match('turn O1 on')\n"
        f"print([each for each in {modules} if f'proclint.catalogue.{{each}}' in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert "[]" == done.stdout.strip()


def test_the_door_has_only_the_names_it_lists() -> None:
    """Asking the catalogue's door for a name that it has not fails as it does for any module."""
    with pytest.raises(AttributeError, match="has no 'bonnet'"):
        _ = catalogue.bonnet


def variable(name: str, whose: Whose = Whose.VEHICLE, owner: str = "") -> Operand:
    """Give a variable."""
    return Operand(Form.VARIABLE, name, whose, owner)


def word(text: str) -> Sum:
    """Give a word that stands for itself."""
    return Sum(Operand(Form.WORD, text))


def number(digits: str, unit: str = "") -> Sum:
    """Give a number."""
    return Sum(Operand(Form.NUMBER, unit, number=Decimal(digits)))


def is_(left: Operand, text: str, operator: Operator = "=") -> Atom:
    """Compare a variable with a word."""
    return Atom(Sum(left), operator, word(text))


KEY_IS = variable("kind", Whose.TOLD, "key")
START_IS = Atom(Sum(Operand(Form.TOLD, "switch")), "=", word("START"))
READ: list[tuple[object, object]] = [
    (
        TRADE.deed("turn").makes[1],
        Effect(
            variable("engine"),
            word("stopped"),
            condition=(Atom(Sum(Operand(Form.TOLD, "position")), "in", words=("off", "accessory")),),
        ),
    ),
    (TRADE.deed("turn").makes[0], Effect(variable("ignition"), Sum(Operand(Form.TOLD, "position")))),
    (TRADE.deed("open").makes[0], Effect(Operand(Form.NAMED, "closure"), word("open"))),
    (TRADE.deed("make-sure").makes[0], Effect(Operand(Form.NAMED, "variable"), Sum(Operand(Form.TOLD, "value")))),
    (
        TRADE.deed("erase").makes[27],
        Effect(
            variable("used", Whose.ITS_KIND, "key"),
            Sum(variable("used", Whose.ITS_KIND, "key"), "-", Operand(Form.NUMBER, "", number=Decimal(1))),
        ),
    ),
    (
        TRADE.deed("start").answers["runs"][1],
        Effect(
            variable("engine"),
            words=("running", "silent-ready"),
            condition=(Atom(Sum(variable("high-voltage")), "in", words=("hybrid", "electric")),),
        ),
    ),
    (TRADE.deed("read").makes[1].value, Sum(variable("wrong-codes"))),
    (TRADE.deed("read").makes[1].target, Operand(Form.NAMED, "name")),
    (TRADE.deed("count").shows[1], Shown(variable("away", Whose.TOLD, "group"))),
    (TRADE.deed("look").shows, (Shown(Operand(Form.NAMED, "variable")),)),
    (TRADE.deed("insert").needs[2], Item((Atom(Sum(KEY_IS), "in", words=("key", "valet")),))),
    (TRADE.deed("learn").needs[7], Item((Atom(Sum(Operand(Form.FACT, "learn-pre")), "holds"),))),
    (TRADE.deed("learn").defaults["kind"], KEY_IS),
    (TRADE.deed("press").defaults, {"times": number("1").first}),
    (
        TRADE.deed("press").needs[1],
        Item(
            (Atom(Sum(variable("place", Whose.SOME)), "in", words=("hand", "pocket", "backup", "button")),),
            (START_IS, is_(variable("ignition"), "off")),
        ),
    ),
    (
        TRADE.deed("measure-battery").makes[2].condition,
        (Atom(Sum(Operand(Form.TOLD, "least")), ">=", number("13.0", "V")),),
    ),
    (
        TRADE.peril("moving-parts-hood").raised_by[3],
        (is_(Operand(Form.LINE, "action"), "start"), is_(variable("hood"), "closed", "!=")),
    ),
    (TRADE.peril("slots-full").discharged_by[0], (Atom(Sum(variable("free", Whose.TOLD, "kind")), ">=", number("1")),)),
    (TRADE.reaches["cylinder", "empty"][0].when, (is_(variable("ignition"), "off"),)),
    (TRADE.reaches["cylinder", "empty"][1].when, ()),
    (
        TRADE.invariants[6],
        Item(
            (Atom(Sum(variable("used", Whose.KIND, "key")), "<=", Sum(variable("cap", Whose.KIND, "key"))),),
            (Atom(Sum(variable("cap", Whose.KIND, "key")), ">=", number("1")),),
        ),
    ),
    (TRADE.reckoned, {"free": Sum(variable("cap", Whose.SAME), "-", variable("used", Whose.SAME))}),
    (TRADE.in_cell("hood  =  closed"), Item((is_(variable("hood"), "closed"),))),
]


@pytest.mark.parametrize(("read", "expected"), READ, ids=[str(expected)[:60] for _, expected in READ])
def test_texts_become_values(read: object, expected: object) -> None:
    """What is read says which variable of whom, which parameter, which fact, and how they are compared."""
    assert expected == read


def test_what_is_read_is_read_once() -> None:
    """A deed and a peril are kept."""
    assert TRADE.deed("turn") is TRADE.deed("turn")
    assert TRADE.peril("pinch") is TRADE.peril("pinch")


def test_an_effect_can_forget() -> None:
    """After `= unknown` nothing is known of a variable any more."""
    assert ["immobiliser", "alarm"] == [each.target.name for each in TRADE.deed("connect-12v").makes if each.forgets]


def test_items_name_the_parameters_they_hang_on() -> None:
    """An item, an effect and what is shown say without which parameters they are skipped."""
    press, learn = TRADE.deed("press"), TRADE.deed("learn")
    assert {"switch", "times"} == press.makes[0].parameters
    assert {"switch"} == press.needs[1].parameters
    assert frozenset() == learn.needs[1].parameters
    assert {"kind", "key"} == learn.makes[4].parameters
    assert {"counter"} == TRADE.deed("read").shows[0].parameters
    assert {"key"} == TRADE.deed("isolate").makes[0].parameters
    assert frozenset() == TRADE.deed("start").answers["runs"][1].parameters


def test_a_sum_knows_whether_it_is_one_operand() -> None:
    """Only a sum of one operand is that operand."""
    one = number("1").first
    assert one == Sum(one).alone
    assert Sum(one, "+", one).alone is None


POLISH: dict[str, Tree] = {
    "patterns": ["polish {key} [{closure}]"],
    "parameters": {"key": "key", "closure": "closure"},
    "takes": "1-2-3 s",
    "say": "Polish {key}.",
}
GLARE: dict[str, Tree] = {
    "raised-by": ["action = polish"],
    "harm": "damage",
    "severity": "no-injury",
    "likelihood": "could",
    "hazard": "Wax glares.",
    "consequence": "It blinds.",
    "avoid": "Dim the light.",
    "placing": "directly-before",
}
BROKEN: list[tuple[str, str, str]] = [
    ("needs", "hod = open", "'hod = open' does not begin with a variable. Did you mean 'hood'?"),
    ("needs", "3 = waits-done", "'3 = waits-done' does not begin with a variable."),
    ("needs", "hood", "'hood' compares nothing; only a fact whose cell holds conditions may stand alone."),
    ("needs", "fact.code", "'fact.code' compares nothing; only a fact whose cell holds conditions may stand alone."),
    ("needs", "waits-done + 1", "'waits-done + 1' compares nothing; only a fact whose cell holds conditions"),
    ("needs", "hood = opne", "'opne' is no value of 'hood'. Did you mean 'open'?"),
    ("needs", "hood = unknown", "'unknown' is no value of 'hood'."),
    ("needs", "hood in [open, shut]", "'shut' is no value of 'hood'."),
    ("needs", "hood in [open, open]", "'open' stands twice in '[open, open]'."),
    ("needs", "hood in []", "'[]' is no list of words such as '[off, on]'."),
    ("needs", "hood in [open,closed]", "'[open,closed]' is no list of words such as '[off, on]'."),
    ("needs", "waits-done in [1, 2]", "'[1, 2]' is no list of words such as '[off, on]'."),
    ("needs", "hood = 3", "'3' is nothing that 'hood' can be."),
    ("needs", "hood = ignition", "'ignition' is nothing that 'hood' can be."),
    ("needs", "hood = a count", "'a count' is no variable, parameter, fact, word or number."),
    ("needs", "waits-done = a count", "'a count' is no variable, parameter, fact, word or number."),
    ("needs", "hood = {key}", "'{key}' is nothing that 'hood' can be."),
    ("needs", "hood < closed", "'hood < closed' asks which is more of what are no numbers, or not of one sort."),
    ("needs", "waits-done = open", "'open' is no value of 'waits-done'."),
    ("needs", "waits-done = 10", "'10' is outside 0-9, the numbers of 'waits-done'."),
    ("needs", "waits-done = 007", "'007' is no variable, parameter, fact, word or number."),
    ("needs", "waits-done >= 3 s", "'waits-done >= 3 s' asks which is more of what are no numbers, or not of one sort."),
    ("needs", "ignition-on-time >= 3 sec", "There is no unit 'sec'."),
    ("needs", "waits-done + hood > 1", "'waits-done + hood' adds up what are no numbers, or not of one sort."),
    ("needs", "waits-done + 1 s > 1", "'waits-done + 1 s' adds up what are no numbers, or not of one sort."),
    ("needs", "waits-done > 1 + 2 + 3", "'2 + 3' is no variable, parameter, fact, word or number."),
    ("needs", "hood = open if", "'open if' is no variable, parameter, fact, word or number."),
    ("needs", "hood = open if locks = locked if hood = open", "'hood = open if locks = locked if hood = open' has more"),
    ("needs", "hood = open and ", "'open and' is no variable, parameter, fact, word or number."),
    ("needs", "", "Something must be written here."),
    ("needs", "place = hand", "'place' does not fit: 'place' belongs to a key."),
    ("needs", "every.hood = open", "'every.hood' does not fit: 'hood' is the vehicle's."),
    ("needs", "{key}.used > 1", "'{key}.used' does not fit: 'used' belongs to a kind."),
    ("needs", "{closure}.place = hand", "'{closure}.place' does not fit: 'place' belongs to a key."),
    ("needs", "{closure}.kind.used > 1", "'{closure}.kind' does not fit: 'kind' belongs to a key."),
    ("needs", "valet.hear = 1", "There is no variable 'hear'. Did you mean 'here'?"),
    ("needs", "evry.place = hand", "There is no owner 'evry'. Did you mean 'every'?"),
    ("needs", "fact.cod = required", "There is no attribute 'cod'. Did you mean 'code'?"),
    ("needs", "fact.code = needed", "'needed' is no value of 'fact.code'."),
    ("needs", "fact.one-time-part = yes", "'yes' is no value of 'fact.one-time-part'."),
    ("needs", "fact.security-wait > 60", "'fact.security-wait > 60' asks which is more of what are no numbers"),
    ("needs", "action = polsh", "There is no action 'polsh'. Did you mean 'polish'?"),
    ("needs", "actor in [technician, robot]", "There is no actor 'robot'."),
    ("needs", "sign = tones", "There is no sign 'tones'. Did you mean 'tone'?"),
    ("needs", "choice = erase-most", "There is no choice 'erase-most'."),
    ("makes", "hood", "'hood' compares nothing; only a fact whose cell holds conditions may stand alone."),
    ("makes", "hood != open", "'hood != open' says what is not so, or not by how much; '=' or 'in [...]' belongs here."),
    ("makes", "hood not in [open]", "'hood not in [open]' says what is not so, or not by how much;"),
    ("makes", "hood in [open, unknown]", "'unknown' is no value of 'hood'."),
    ("makes", "hood = open and locks = locked", "'open and locks = locked' is no variable, parameter, fact, word or number."),
    ("makes", "some.place = hand", "'some.place = hand' does not say of which key; only a condition may say 'some'."),
    ("makes", "{key}.place = some.place", "'{key}.place = some.place' does not say of which key;"),
    ("makes", "fact.code = required", "'fact.code' is nothing that an action makes."),
    ("makes", "waits-done + 1 = 2", "'waits-done + 1' is nothing that an action makes."),
    ("makes", "actor = vehicle", "'actor' is nothing that an action makes."),
    ("failure-makes", "hood = ajar", "'ajar' is no value of 'hood'."),
    ("shows", "fact.code", "'fact.code' is no variable that can be shown."),
    ("shows", "{key}", "'{key}' is no variable that can be shown."),
    ("shows", "some.place", "'some.place' is no variable that can be shown."),
    ("shows", "hod", "There is no variable 'hod'. Did you mean 'hood'?"),
]


def refusal(extra: dict[str, Tree]) -> CatalogueProblem:
    """Give what a library's vocabulary is refused for."""
    with pytest.raises(CatalogueProblem) as raised:
        extended(TRADE, extra, origin="library.yaml")
    return raised.value


@pytest.mark.parametrize(("field", "text", "message"), BROKEN, ids=[f"{field} {text}" for field, text, _ in BROKEN])
def test_what_cannot_be_read_is_refused(field: str, text: str, message: str) -> None:
    """A condition or effect of a library's own action that cannot be read is refused with file, key and what is wrong."""
    problem = refusal({"actions": {"polish": {**POLISH, field: [text]}}})
    assert ("library.yaml", f"vocabulary.actions.polish.{field}") == (problem.file, problem.key)
    assert problem.message.startswith(message)


def hurt(**fields: Tree) -> dict[str, Tree]:
    """Give the vocabulary of a library with the action `polish` and the hazard `glare`, with some of its fields changed."""
    return {"actions": {"polish": POLISH}, "hazards": {"glare": {**GLARE, **fields}}}


ELSEWHERE: list[tuple[dict[str, Tree], str, str]] = [
    (
        {"actions": {"polish": {**POLISH, "answers": {"done": [], "dull": ["hood = dull"]}}}},
        "actions.polish.answers.dull",
        "'dull' is no value of 'hood'.",
    ),
    (
        {"actions": {"polish": {**POLISH, "parameters": {"key": "key", "closure": {"kind": "closure", "default": "{ky}.kind"}}}}},
        "actions.polish.parameters.closure.default",
        "There is no parameter 'ky'. Did you mean 'key'?",
    ),
    (
        {"actions": {"polish": {**POLISH, "needs": ["{ky}.place = hand"]}}},
        "actions.polish",
        "There is no parameter 'ky'. Did you mean 'key'?",
    ),
    (
        {"actions": {"polish": {"patterns": ["polish"], "takes": "1 s", "say": "Polish.", "needs": ["others.place = hand"]}}},
        "actions.polish.needs",
        "'others' are all keys but {key}, and there is no parameter 'key'.",
    ),
    (
        hurt(**{"raised-by": ["action = polish and {button} = LOCK"]}),
        "hazards.glare.raised-by",
        "There is no parameter 'button'.",
    ),
    (
        hurt(**{"raised-by": ["action = polish if hood = open"]}),
        "hazards.glare.raised-by",
        "'action = polish if hood = open' has an 'if', and has no use for one.",
    ),
    (
        hurt(**{"discharged-by": ["{key}.place = here"]}),
        "hazards.glare.discharged-by",
        "'here' does not fit: 'here' belongs to a group.",
    ),
    (
        {"variables": {"wax": {"owner": "kind", "values": "0-16", "derived": "cap - usd"}}},
        "variables.wax.derived",
        "There is no variable 'usd'. Did you mean 'used'?",
    ),
    (
        {"attributes": {"wax": {"type": "quantity", "unit": "mile", "range": "1-2", "class": "A"}}}
        | {"actions": {"polish": {**POLISH, "needs": ["fact.wax > 1 s"]}}},
        "actions.polish.needs",
        "'fact.wax > 1 s' asks which is more",
    ),
]


@pytest.mark.parametrize(("extra", "key", "message"), ELSEWHERE, ids=[key for _, key, _ in ELSEWHERE])
def test_every_field_is_looked_at(extra: dict[str, Tree], key: str, message: str) -> None:
    """Answers, defaults, hazards and what is reckoned are looked at as needs and makes are."""
    problem = refusal(extra)
    assert ("library.yaml", f"vocabulary.{key}", message) == (problem.file, problem.key, problem.message[: len(message)])


def test_all_that_is_wrong_is_found() -> None:
    """Every text of an action that cannot be read is told, and the others are read all the same."""
    found: list[tuple[str, str]] = []
    needs = ("hod = open", "hood = open", "hood = ajar")
    action = extended(TRADE, {"actions": {"polish": POLISH}}, origin="library.yaml").actions["polish"]
    deed = read_deed(action._replace(needs=needs), TRADE, lambda field, message: found.append((field, message)))
    assert ["needs", "needs"] == [field for field, _ in found]
    assert ["hood = open"] == [str(item) for item in deed.needs]


def test_an_unknown_kind_of_parameter_stops_nothing() -> None:
    """Where a parameter's kind does not exist, this is told, and whoever looks further is told of the parameter too."""
    own = {"polish": {**POLISH, "parameters": {"key": "kye", "closure": "closure"}, "needs": ["{key}.place = hand"]}}
    assert "There is no kind 'kye'." == refusal({"actions": own}).message
    trade = Catalogue()
    action = TRADE.actions["keep"]
    spoilt = action._replace(parameters={**action.parameters, "key": Parameter("kye", "")})
    vars(trade)["actions"] = {**TRADE.actions, "keep": spoilt}
    messages = [problem.message for problem in contradictions(trade) if problem.key == "actions.keep.needs"]
    assert ["There is no parameter 'key'."] * 2 == messages


def test_a_parameter_that_there_is_not_is_told_once() -> None:
    """Where texts name a parameter that the action has not, this is told of the action, and not again of each text."""
    trade = Catalogue()
    spoilt = TRADE.actions["fit-cell"]._replace(needs=("{ky}.place = hand", "{ky}.cut = yes"))
    vars(trade)["actions"] = {**TRADE.actions, "fit-cell": spoilt}
    told = [(problem.key, problem.message) for problem in contradictions(trade)]
    assert [("actions.fit-cell", "There is no parameter 'ky'. Did you mean 'key'?")] == told


def test_the_packages_own_words_are_looked_at_too() -> None:
    """What always holds and the rows of make-sure are refused with the package's own file and key."""
    trade = Catalogue()
    vars(trade)["always"] = ("hood = ajar",)
    vars(trade)["make_sure"] = tuple(MakeSure("hood", "open", when, ("open-hood",)) for when in ("locks = locks", "lock = 1"))
    told = {(problem.file, problem.key): problem.message for problem in contradictions(trade)}
    assert "'ajar' is no value of 'hood'." == told["variables.yaml", "variables.always"]
    assert told["make-sure.yaml", "make-sure.1.when"].startswith("'lock = 1' does not begin with a variable.")
    assert ("make-sure.yaml", "make-sure.0.when") not in told
    with pytest.raises(Misread, match="always: 'ajar' is no value of 'hood'"):
        read_always(trade.always, trade)


def test_what_is_told_in_words_is_not_reckoned() -> None:
    """Only `a - b` and `a + b` are reckoned."""
    assert read_reckoned(TRADE.variables["ignition-on-time"], TRADE) is None
    assert read_reckoned(TRADE.variables["hood"], TRADE) is None


CELLS = ["{key}.place = hand", "fact.", "hood = open | locks = locked", "others.place = hand"]


@pytest.mark.parametrize("text", CELLS)
def test_cells_that_hold_no_condition_are_told(text: str) -> None:
    """What stands in a cell of a facts table knows no parameters and no alternatives."""
    with pytest.raises(Misread):
        TRADE.in_cell(text)


def test_facts_of_any_type_can_be_compared() -> None:
    """A cell that holds a name can be any word, and one with a number can hold its words too."""
    for text in ("fact.make = alpha", "fact.originals-needed-on-board = not-possible", "fact.airbag-wait >= 60 s"):
        assert text == str(TRADE.in_cell(text))


READER_OF = {verb: Reader(scope_of(TRADE, (verb,))) for verb in TRADE.actions}
NAMES = re.compile(r"[A-Za-z][A-Za-z0-9-]+")
NOT_NAMES = {"if", "and", "in", "not", "fact", "kind"}


def losses(text: str) -> Iterator[str]:
    """Give a text again and again, each time with one name of it short of its last letter."""
    for found in NAMES.finditer(text):
        if found[0] not in NOT_NAMES:
            yield text[: found.end() - 1] + text[found.end() :]


def test_no_name_can_lose_a_letter() -> None:
    """Whatever name of the packaged actions loses its last letter, the text is refused: no name is taken on trust."""
    slipped = []
    tried = 0
    for verb, action in TRADE.actions.items():
        reader = READER_OF[verb]
        answered = tuple(text for texts in action.answer_makes.values() for text in texts)
        read: list[tuple[Callable[[str], object], tuple[str, ...]]] = [
            (reader.item, action.needs),
            (reader.effect, (*action.makes, *action.failure_makes, *answered)),
            (reader.shown, action.shows),
        ]
        for each, texts in read:
            for lost in (lost for text in texts for lost in losses(text)):
                tried += 1
                try:
                    each(lost)
                except Misread:
                    continue
                slipped.append((verb, lost))
    assert tried > 1000
    assert [] == slipped


SCOPE = scope_of(TRADE, ("learn", "put", "press", "open", "wait", "count"))
WORDS_OF = {name: each for name, each in TRADE.variables.items() if each.values}
COUNTS = [name for name, each in TRADE.variables.items() if each.numbers == (0, 16) and each.owner == "kind"]
KINDS = ("key", "valet", "remote", "fob")
OWNERS: dict[str, st.SearchStrategy[tuple[Whose, str]]] = {
    "vehicle": st.just((Whose.VEHICLE, "")),
    "key": st.sampled_from([(Whose.TOLD, "key"), (Whose.EVERY, ""), (Whose.OTHERS, ""), (Whose.SOME, "")]),
    "kind": st.sampled_from([(Whose.TOLD, "kind"), (Whose.ITS_KIND, "key"), *((Whose.KIND, kind) for kind in KINDS)]),
    "group": st.just((Whose.TOLD, "group")),
}


@st.composite
def named(draw: st.DrawFn, names: list[str]) -> Operand:
    """Draw one of some variables, of any owner that it can have."""
    name = draw(st.sampled_from(names))
    whose, owner = draw(OWNERS[TRADE.variables[name].owner])
    return Operand(Form.VARIABLE, name, whose, owner)


COUNTED = named(COUNTS)
NUMBER = st.decimals(0, 16, places=0).map(lambda value: Operand(Form.NUMBER, "", number=value))
SIGN: st.SearchStrategy[Literal["+", "-"]] = st.sampled_from(("+", "-"))
EQUAL: st.SearchStrategy[Operator] = st.sampled_from(("=", "!="))
AMONG: st.SearchStrategy[Operator] = st.sampled_from(("in", "not in"))
TERMS = COUNTED.map(Sum) | st.builds(Sum, COUNTED, SIGN, COUNTED | NUMBER)


@st.composite
def comparisons(draw: st.DrawFn) -> Atom:
    """Draw a comparison of a variable with its words, or with another that has some of them."""
    left = draw(named(sorted(WORDS_OF)))
    values = WORDS_OF[left.name].values
    if draw(st.booleans()):
        chosen = draw(st.lists(st.sampled_from(values), min_size=1, unique=True))
        return Atom(Sum(left), draw(AMONG), words=tuple(chosen))
    if draw(st.booleans()):
        alike = [name for name, each in WORDS_OF.items() if name not in values and not set(values).isdisjoint(each.values)]
        return Atom(Sum(left), "=", Sum(draw(named(alike)))) if alike else is_(left, values[0])
    return is_(left, draw(st.sampled_from(values)), draw(EQUAL))


ORDERS = st.builds(Atom, TERMS, st.sampled_from(("=", "!=", "<", "<=", ">", ">=")), TERMS | NUMBER.map(Sum))
FACTS = st.sampled_from(
    [
        Atom(Sum(Operand(Form.FACT, "learn-pre")), "holds"),
        Atom(Sum(Operand(Form.FACT, "together")), "=", word("true")),
        Atom(Sum(Operand(Form.FACT, "wait-resets-on")), "not in", words=("door", "hood")),
        Atom(Sum(Operand(Form.FACT, "airbag-wait")), "<=", Sum(Operand(Form.TOLD, "for"))),
        Atom(Sum(Operand(Form.TOLD, "for")), ">", number("0.5", "min")),
        Atom(Sum(Operand(Form.TOLD, "place")), "in", words=("hand", "pocket")),
        Atom(Sum(Operand(Form.NAMED, "closure")), "!=", word("closed")),
        Atom(Sum(Operand(Form.LINE, "action")), "in", words=("learn", "put")),
        Atom(Sum(Operand(Form.LINE, "actor")), "=", word("vehicle")),
        Atom(Sum(Operand(Form.LINE, "choice")), "=", word("nothing")),
        Atom(Sum(variable("cylinder")), "=", Sum(Operand(Form.TOLD, "key"))),
    ]
)
ATOMS = st.lists(comparisons() | ORDERS | FACTS, max_size=4).map(tuple)
ITEMS = st.builds(Item, ATOMS.filter(bool), ATOMS)


def is_made(atom: Atom) -> bool:
    """Tell whether an action can make this."""
    return atom.operator in ("=", "in") and all(operand.whose is not Whose.SOME for operand in atom.operands)


MADE = comparisons().filter(is_made)
EFFECTS = st.builds(
    lambda atom, condition: Effect(atom.left.first, atom.right, atom.words, condition),
    MADE | MADE.map(lambda atom: Atom(atom.left, "=", word("unknown"))),
    ATOMS,
)


@given(ITEMS)
def test_items_are_read_as_they_are_written(item: Item) -> None:
    """Any item that is written is read as the same item."""
    assert item == Reader(SCOPE).item(str(item))


@given(EFFECTS)
def test_effects_are_read_as_they_are_written(effect: Effect) -> None:
    """Any effect that is written is read as the same effect."""
    assert effect == Reader(SCOPE).effect(str(effect))


@given(ATOMS.filter(bool))
def test_conditions_are_read_as_they_are_written(atoms: tuple[Atom, ...]) -> None:
    """Atoms that are written one after the other are read as the same atoms."""
    assert atoms == Reader(SCOPE).condition(written(atoms))


PIECES = [
    "hood", "open", "closed", "{key}", "{kind}", ".kind", ".used", "every.place", "some", "fact.code", "fact.learn-pre",
    "=", "!=", "<", ">=", "in", "not in", "[open]", "[]", "[", "]", "+", "-", "if", "and", "1", "12.3 V", "3 s", "unknown",
    "action", "others.kind", "key.used", "{closure}", "cylinder", "waits-done", " ", "1e3", "{", "}", ".",
]  # fmt: skip


@given(st.text(max_size=30) | st.lists(st.sampled_from(PIECES), max_size=9).map(" ".join))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text raises anything but its refusal, and what is read is written back up to spaces."""
    reader = Reader(SCOPE)
    for read in (reader.item, reader.effect, reader.shown):
        try:
            found = read(text)
        except Misread:
            continue
        assert " ".join(text.split()) == str(found)


def test_a_parameter_of_two_kinds_can_be_either() -> None:
    """Where two actions give one name to parameters of two kinds, a text may say the words of both."""
    scope = Scope(TRADE, {"what": (TRADE.kinds["pedal"], TRADE.kinds["closure"])})
    assert "{what} in [brake, tailgate]" == str(Reader(scope).item("{what} in [brake, tailgate]"))
    with pytest.raises(Misread, match="'open' is no value of"):
        Reader(scope).item("{what} = open")
