"""Short and long lines are read by the forms of their verb, and a line that fits none is explained."""

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proclint.catalogue import Catalogue, Kind, MatchedLine, Mismatch, standard
from proclint.catalogue.patterns import parameter_of

ROOT = Path(__file__).parents[1]
NAMES = frozenset({"rest", "which", "many"})


def words_of(found: MatchedLine | Mismatch) -> dict[str, str]:
    """Give the words of a line that was read."""
    assert isinstance(found, MatchedLine), found
    return dict(found.words)


def misfit(text: str, names: frozenset[str] = frozenset()) -> Mismatch:
    """Give why a line was not read."""
    found = standard().match(text, names=names)
    assert isinstance(found, Mismatch), found
    return found


READ: list[tuple[str, dict[str, str]]] = [
    ("turn O1 on", {"key": "O1", "position": "on"}),
    ("turn O1 off", {"key": "O1", "position": "off"}),
    ("insert N.missing", {"key": "N.missing"}),
    ("keep X LOCK 2-4 s", {"key": "X", "button": "LOCK", "for": "2-4 s"}),
    ("press START", {"switch": "START"}),
    ("press hazard 3 times", {"switch": "hazard", "times": "3"}),
    ("press hazard 3 times each 1-2 s", {"switch": "hazard", "times": "3", "each": "1-2 s"}),
    ("press R1 LOCK 2 times", {"key": "R1", "button": "LOCK", "times": "2"}),
    ("read remote as n", {"counter": "remote", "name": "n"}),
    ("learn N1", {"key": "N1"}),
    ("learn N1 remote", {"key": "N1", "kind": "remote"}),
    ("erase keys", {"kinds": "keys"}),
    ("erase O2", {"key": "O2"}),
    ("wait-access", {}),
    ("wait-access N1", {"key": "N1"}),
    ("put X aside", {"key": "X", "place": "aside"}),
    ("put X aside 5 s", {"key": "X", "place": "aside", "for": "5 s"}),
    ("measure-battery 12.3 V", {"least": "12.3 V"}),
    ("enter-code 6 digits", {"digits": "6"}),
    ("plug tool", {}),
    ("look hood", {"variable": "hood"}),
    ("make-sure ignition off", {"variable": "ignition", "value": "off"}),
    ("select same", {"system": "same"}),
    ("act rock the wheel, 2 s on, 3 s off", {"text": "rock the wheel, 2 s on, 3 s off"}),
    ("  turn   O1  on ", {"key": "O1", "position": "on"}),
]


@pytest.mark.parametrize(("text", "words"), READ, ids=lambda part: str(part)[:30])
def test_short_lines_are_read(text: str, words: dict[str, str]) -> None:
    """The first word is the verb, and the other words fill one of its forms."""
    found = standard().match(text)
    assert words == words_of(found)
    assert text.split(maxsplit=1)[0] == found.action.verb  # type: ignore[union-attr]


@pytest.mark.parametrize(("text", "words"), READ, ids=lambda part: str(part)[:30])
def test_the_long_form_says_the_same(text: str, words: dict[str, str]) -> None:
    """Parameters by name say what the short line says."""
    short, long = standard().match(text), standard().match_long(text.split(maxsplit=1)[0], words)
    assert words_of(short) == words_of(long)
    assert short.action is long.action  # type: ignore[union-attr]


REACHABLE = "a variable that 'make-sure' can reach, such as ignition"
# The line; kind; the part it is about, as it stands in the line; what may stand there; what was meant.
MISFITS = [
    ("turn O1 onn", "wrong-word", "onn", "off, accessory, on or crank", "on"),
    ("turn O1 ON", "wrong-word", "ON", "off, accessory, on or crank", "on"),
    ("turn O1 run", "wrong-word", "run", "off, accessory, on or crank", ""),
    ("turn o1 on", "wrong-word", "o1", "a key such as O1", "O1"),
    ("turn O1", "missing-parameter", "", "off, accessory, on or crank", ""),
    ("turn", "missing-parameter", "", "a key such as O1", ""),
    ("turn O1 on slowly now", "extra-words", "slowly now", "nothing more", ""),
    ("insret O1", "unknown-verb", "insret", "an action of the catalogue", "insert"),
    ("Turn O1 on", "unknown-verb", "Turn", "an action of the catalogue", "turn"),
    ("program it", "unknown-verb", "program", "an action of the catalogue", "learn"),
    ("zzz", "unknown-verb", "zzz", "an action of the catalogue", ""),
    ("", "unknown-verb", "", "an action of the catalogue", ""),
    ("   ", "unknown-verb", "", "an action of the catalogue", ""),
    ("press START 3", "missing-parameter", "", "'times'", ""),
    ("press START 3 tims", "wrong-word", "tims", "'times'", "times"),
    ("press START twice", "extra-words", "twice", "nothing more, or a whole number such as 3", ""),
    ("press hazard 3 times each", "missing-parameter", "", "a time such as 2-4 s", ""),
    ("plug tol", "wrong-word", "tol", "'tool'", "tool"),
    ("wait 10", "missing-parameter", "", "a time such as 2-4 s", ""),
    ("wait 4s", "wrong-word", "4s", "a time such as 2-4 s", "4 s"),
    ("wait 4sec", "wrong-word", "4sec", "a time such as 2-4 s", "4 s"),
    ("wait 10 sec", "wrong-word", "sec", "a time such as 2-4 s", "s"),
    ("wait 2 minutes", "wrong-word", "minutes", "a time such as 2-4 s", "min"),
    ("wait 2 m", "wrong-word", "m", "a time such as 2-4 s", "min"),
    ("wait 0,5 s", "wrong-word", "0,5", "a time such as 2-4 s", "0.5"),
    ("wait 2\N{EN DASH}4 s", "wrong-word", "2\N{EN DASH}4", "a time such as 2-4 s", "2-4"),
    ("wait 4-2 s", "wrong-word", "4-2 s", "a time such as 2-4 s, the least first", ""),
    ("wait a while", "wrong-word", "a", "a time such as 2-4 s", ""),
    ("leave O1 on 9-1 s", "wrong-word", "9-1 s", "a time such as 2-4 s, the least first", ""),
    ("measure-battery 12.3V", "wrong-word", "12.3V", "a voltage such as 12.3 V", "12.3 V"),
    ("measure-battery 12.3 volts", "wrong-word", "volts", "a voltage such as 12.3 V", "V"),
    ("look hod", "wrong-word", "hod", "a variable such as hood", "hood"),
    ("make-sure hood clsoed", "wrong-word", "clsoed", "closed or open", "closed"),
    ("make-sure doors open", "wrong-word", "open", "closed", ""),
    ("make-sure authority proven", "wrong-word", "authority", REACHABLE, ""),
    ("learn N1 fobb", "wrong-word", "fobb", "key, valet, remote or fob", "fob"),
    ("count O1", "wrong-word", "O1", "a group of keys such as O", ""),
    ("act", "missing-parameter", "", "words", ""),
    ("read remote n", "wrong-word", "n", "'as'", ""),
    ("  turn  O1  onn", "wrong-word", "onn", "off, accessory, on or crank", "on"),
    ("\N{KEY} turn O1 on", "unknown-verb", "\N{KEY}", "an action of the catalogue", ""),
]


@pytest.mark.parametrize(("text", "kind", "part", "expected", "suggestion"), MISFITS, ids=lambda part: str(part)[:20])
def test_a_line_that_does_not_fit_is_explained(text: str, kind: str, part: str, expected: str, suggestion: str) -> None:
    """What is wrong, where in the line, what may stand there, and what was meant."""
    found = misfit(text)
    assert (kind, part) == (found.kind, text[found.offset : found.offset + found.length])
    assert (expected, suggestion) == (found.expected, found.suggestion)


def test_what_is_missing_is_missing_at_the_end() -> None:
    """The place of a word that is not there is the end of the line."""
    found = misfit("turn O1")
    assert (7, 0, "position", "turn {key} {position}") == (
        found.offset, found.length, found.parameter, found.pattern,
    )  # fmt: skip


LONG_MISFITS: list[tuple[str, dict[str, str], tuple[str, str, str, str]]] = [
    ("insret", {"key": "O1"}, ("unknown-verb", "", "an action of the catalogue", "insert")),
    ("turn", {"key": "O1"}, ("missing-parameter", "position", "off, accessory, on or crank", "")),
    ("turn", {}, ("missing-parameter", "key", "a key such as O1", "")),
    ("turn", {"key": "O1", "to": "on"}, ("extra-words", "to", "key or position", "")),
    ("turn", {"key": "O1", "positon": "on"}, ("extra-words", "positon", "key or position", "position")),
    ("turn", {"key": "O1", "position": "onn"}, ("wrong-word", "position", "off, accessory, on or crank", "on")),
    ("plug", {"tool": "x"}, ("extra-words", "tool", "nothing more", "")),
    ("press", {"switch": "hazard", "each": "1 s"}, ("missing-parameter", "times", "a whole number such as 3", "")),
    ("press", {"switch": "hazard", "key": "O1"}, ("extra-words", "key", "switch", "")),
    ("wait", {"for": "4-2 s"}, ("wrong-word", "for", "a time such as 2-4 s, the least first", "")),
    ("wait", {"for": "4s"}, ("wrong-word", "for", "a time such as 2-4 s", "4 s")),
    ("make-sure", {"variable": "doors", "value": "open"}, ("wrong-word", "value", "closed", "")),
]


@pytest.mark.parametrize(("verb", "words", "expected"), LONG_MISFITS, ids=lambda part: str(part)[:30])
def test_a_long_form_that_does_not_fit_is_explained(
    verb: str, words: dict[str, str], expected: tuple[str, str, str, str]
) -> None:
    """Which parameter it is about, what may stand there, and what was meant."""
    found = standard().match_long(verb, words)
    assert isinstance(found, Mismatch)
    assert expected == (found.kind, found.parameter, found.expected, found.suggestion)
    assert 0 == found.offset


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wait rest", {"for": "rest"}),
        ("read which as n", {"counter": "which", "name": "n"}),
        ("press hazard many times", {"switch": "hazard", "times": "many"}),
        ("press hazard many times each rest", {"switch": "hazard", "times": "many", "each": "rest"}),
        ("learn N1 which", {"key": "N1", "kind": "which"}),
    ],
)
def test_the_parameters_of_a_block_stand_for_values(text: str, words: Mapping[str, str]) -> None:
    """In a block a time, a count or a kind may be one of its own parameters, and nowhere else."""
    assert words == words_of(standard().match(text, names=NAMES))
    assert words == words_of(standard().match_long(text.split(maxsplit=1)[0], words, names=NAMES))
    assert isinstance(standard().match(text), Mismatch)


@pytest.mark.parametrize("text", ["turn O1 rest", "count rest", "look rest", "measure-battery rest"])
def test_a_position_is_no_parameter_of_a_block(text: str) -> None:
    """Where a block can have no parameter of that kind, its names do not stand for a word."""
    assert "wrong-word" == misfit(text, NAMES).kind


def test_a_misfit_behind_a_parameter_of_a_block_is_explained() -> None:
    """One name stands for number and unit together."""
    found = misfit("leave O1 on rest s", NAMES)
    assert ("extra-words", 17, 1) == (found.kind, found.offset, found.length)


def samples(kind: Kind) -> st.SearchStrategy[str]:
    """Draw texts that fit a kind."""
    if kind.words:
        return st.sampled_from(kind.words)
    if kind.name == "text":
        return st.text(st.characters(codec="ascii", categories=["L", "N"]), min_size=1)
    return st.from_regex(re.compile(kind.matches, re.ASCII), fullmatch=True)


@st.composite
def lines(draw: st.DrawFn) -> tuple[str, dict[str, str], str]:
    """Draw a line, its words and the form it was made from."""
    catalogue = standard()
    action = draw(st.sampled_from([each for each in catalogue.actions.values() if each.verb != "make-sure"]))
    pattern = draw(st.sampled_from(action.patterns))
    choice = draw(st.sampled_from(pattern.choices))
    wanted = [name for name in map(parameter_of, choice) if name]
    words = {name: draw(samples(catalogue.kinds[action.parameters[name].kind])) for name in wanted}
    said = " ".join(words[parameter_of(token)] if parameter_of(token) else token for token in choice)
    return said, words, pattern.text


def is_ordered(words: Mapping[str, str]) -> bool:
    """Whether every time among words can be one: its least first, and of whole milliseconds."""
    times = [word for word in words.values() if re.search(r"[0-9] (s|min|h|d)$", word)]
    return all(standard().duration(word) is not None for word in times)


@given(lines())
def test_every_line_that_can_be_written_is_read(line: tuple[str, dict[str, str], str]) -> None:
    """A line made from a form is read as the words it was made of, and by no other form of its verb."""
    text, words, _ = line
    found = standard().match(text)
    assert isinstance(found, MatchedLine) == is_ordered(words)
    if isinstance(found, MatchedLine):
        kinds = {name: standard().kinds[parameter.kind] for name, parameter in found.action.parameters.items()}
        fitting = [each for each in found.action.patterns if each.expression(kinds, frozenset()).fullmatch(text)]
        assert (words, 1) == (dict(found.words), len(fitting))


@given(lines(), st.data())
def test_every_misfit_lies_in_its_line(line: tuple[str, dict[str, str], str], data: st.DataObject) -> None:
    """Whatever is done to a line, it is read, or what is wrong with it lies inside it."""
    text = line[0]
    at = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(at, len(text)))
    spoilt = text[:at] + data.draw(st.text(max_size=4)) + text[end:]
    found = standard().match(spoilt)
    if isinstance(found, Mismatch):
        assert 0 <= found.offset <= found.offset + found.length <= len(spoilt)
        assert (0 == found.length) == (found.kind == "missing-parameter" or not spoilt.strip())
        assert found.kind in {"unknown-verb", "missing-parameter", "wrong-word", "extra-words"}


@given(st.sampled_from([text for text, _ in READ if not text.startswith(("act", "select", " "))]), st.data())
def test_what_is_suggested_is_right(text: str, data: st.DataObject) -> None:
    """A word in capital letters, or with a letter twice, is told apart: the line as suggested can be read."""
    words = text.split()
    at = data.draw(st.integers(0, len(words) - 1))
    slip = data.draw(st.sampled_from([str.upper, str.lower, lambda word: word + word[-1]]))
    spoilt = " ".join((*words[:at], slip(words[at]), *words[at + 1 :]))
    found = standard().match(spoilt)
    if isinstance(found, Mismatch) and found.suggestion:
        mended = spoilt[: found.offset] + found.suggestion + spoilt[found.offset + found.length :]
        assert isinstance(standard().match(mended), MatchedLine)


def test_every_unclear_phrase_leads_to_its_verb() -> None:
    """What people write for one verb alone is answered with that verb."""
    said: dict[str, list[str]] = {}
    for action in standard().actions.values():
        for phrase in action.unclear:
            said.setdefault(phrase, []).append(action.verb)
    alone = {phrase: verbs[0] for phrase, verbs in said.items() if len(verbs) == 1}
    strange = {phrase: verb for phrase, verb in alone.items() if phrase.split()[0] not in standard().actions}
    assert 40 < len(strange)
    assert strange == {phrase: misfit(phrase).suggestion for phrase in strange}


def test_no_unclear_phrase_is_a_line() -> None:
    """What is unclear to a person is not clear to the catalogue."""
    phrases = [phrase for action in standard().actions.values() for phrase in action.unclear]
    assert [] == [phrase for phrase in phrases if isinstance(standard().match(phrase), MatchedLine)]


def test_equal_lines_are_read_once() -> None:
    """A line that comes again is not read again, and two catalogues share nothing."""
    assert standard().match("turn O1 on") is standard().match("turn O1 on")
    assert Catalogue().match("turn O1 on") is not standard().match("turn O1 on")


def test_the_librarys_own_lines_are_read() -> None:
    """Every line that stands alone in a list of the co-operative's blocks is one of an action."""
    texts = [path.read_text("utf-8") for path in sorted((ROOT / "procedures" / "blocks").glob("*.yaml"))]
    found = re.findall(r"^ +- ([a-z][a-zA-Z0-9. -]*)$", "\n".join(texts), re.MULTILINE)
    assert found
    names = frozenset(re.findall(r"[a-z]+(?=: (?:count|kind|duration))", "".join(texts)))
    assert [] == [line for line in found if isinstance(standard().match(line, names=names), Mismatch)]
