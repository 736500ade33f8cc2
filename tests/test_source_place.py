"""A place leads to what stands in a file, and to where something is missing."""

import pytest

from proclint.source import Limits, Mapping, Place, Scalar, SourceText, decode, plain, read_yaml

WRITTEN = """\
steps:
  open: {do: [turn O1 on, press]}
  shut:
  - do: 'say ''no'''
    by: "tech"
  # a note

  - wait 3 s
tell: |
  One.

none:
list: []
"""
ROOT = read_yaml(SourceText("x.yaml", WRITTEN), Limits()).at


def cut(place: Place) -> str:
    """Give the stretch of text that a place shows."""
    return WRITTEN[place.start : place.end]


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        ((), "steps"),
        (("steps",), "steps"),
        (("steps", "open", "do"), "do"),
        (("steps", "open", "do", 0), "turn O1 on"),
        (("steps", "open", "do", 1), "press"),
        (("steps", "shut", 0), "do: 'say ''no'''\n    by: \"tech\""),
        (("steps", "shut", 0, "do"), "'say ''no'''"),
        (("steps", "shut", 1), "wait 3 s"),
        (("tell",), "|\n  One."),
        (("none",), "none"),
        (("list",), "list"),
    ],
)
def test_a_path_leads_to_what_stands_there(path: tuple[str | int, ...], shown: str) -> None:
    """Of a scalar the text is shown, of a longer or an empty value its key, of an item all of it."""
    place = ROOT
    for step in path:
        place /= step
    assert path == place.path
    assert shown == cut(place)


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        (("ends",), "steps"),
        (("steps", "open", "then"), "open"),
        (("steps", "open", "do", 2), "do"),
        (("steps", "open", "do", -1), "do"),
        (("steps", "open", "do", "first"), "do"),
        (("steps", 0), "steps"),
        (("tell", "x", 1), "|\n  One."),
    ],
)
def test_what_is_missing_stands_at_its_parent(path: tuple[str | int, ...], shown: str) -> None:
    """Where a step of the path is missing the span stays that of the nearest parent there is."""
    place = ROOT
    for step in path:
        place /= step
    assert (path, shown, None) == (place.path, cut(place), place.node)


def test_a_key_has_a_place_of_its_own() -> None:
    """The place of a key shows the key and leads on to the value; of a missing key it is the parent's."""
    step = ROOT / "steps" / "shut" / 0
    assert ("by", "tech") == (cut(step.key("by")), plain_of(step.key("by")))
    assert ("do", "do") == (cut(ROOT.key("steps").key("open").key("do")), cut(ROOT / "steps" / "open" / "do"))
    assert (("ends",), "steps") == (ROOT.key("ends").path, cut(ROOT.key("ends")))
    assert (ROOT / "tell" / "x").path == (ROOT / "tell").key("x").path


def plain_of(place: Place) -> object:
    """Give the value at a place."""
    assert place.node is not None
    return plain(place.node)


@pytest.mark.parametrize(
    ("written", "offset", "length", "shown"),
    [
        ("turn O1 on", 5, 2, "O1"),
        ("'turn O1 on'", 5, 2, "O1"),
        ('"turn O1 on"', 8, 2, "on"),
        ("turn 🔑 on", 7, 2, "on"),
        ("turn O1 on", 5, 0, "O"),
        ("turn O1 on", 10, 0, ""),
        ("'turn O1 on'", 10, 0, ""),
        # A line end that is folded to one space takes no more room than it.
        ("turn\nO1", 5, 2, "O1"),
    ],
)
def test_a_part_shows_the_words_meant(written: str, offset: int, length: int, shown: str) -> None:
    """Where text and file have one length a part of a scalar shows that part, at least one character."""
    part = read_yaml(SourceText("x", written), Limits()).at.part(offset, length)
    assert shown == written[part.start : part.end]


@pytest.mark.parametrize(
    ("written", "offset", "length"),
    [
        ("'it''s on'", 5, 2),
        ('"\\u0041 on"', 2, 2),
        ("turn  \n  O1", 5, 2),
        ("|+\n\n\n", 0, 1),
        (">-\n  turn O1", 5, 2),
        ("&x turn", 1, 2),
        ("turn O1 on", 9, 2),
        ("turn O1 on", 11, 0),
        ("turn O1 on", -1, 2),
        ("turn O1 on", 3, -2),
        ("[turn]", 1, 2),
    ],
)
def test_a_part_that_does_not_fit_is_the_whole(written: str, offset: int, length: int) -> None:
    """Escapes, folds and blocks have no part, nor has what lies beyond the text."""
    whole = read_yaml(SourceText("x", written), Limits()).at
    assert whole is whole.part(offset, length)


def test_no_part_of_a_key() -> None:
    """A place that shows a key has no part, as offsets are those of the value."""
    key, empty = (ROOT / "steps" / "shut" / 0).key("by"), ROOT / "none"
    assert (key, empty) == (key.part(0, 1), empty.part(0, 0))


def test_places_are_values() -> None:
    """Places are equal where file, path and span are, and can be looked up."""
    one, other = ROOT / "steps" / "open", ROOT / "steps" / "open"
    assert {one: 1} == {other: 1}
    assert one != ROOT / "steps"
    assert one != ("x.yaml", ("steps", "open"), one.start, one.end)


def test_a_place_and_a_node_can_be_printed() -> None:
    """For whoever looks for a fault, a place and a scalar show what they are."""
    assert "Place(x.yaml:9-13 steps/open)" == repr(ROOT / "steps" / "open")
    assert "Scalar('tech')" == repr((ROOT / "steps" / "shut" / 0 / "by").node)


def test_the_top_of_a_file_without_names() -> None:
    """Of a list or an empty mapping at the top all is shown, of a file that cannot be read its very start."""
    assert (0, 3) == span(read_yaml(SourceText("x", "[a]"), Limits()).at)
    assert (0, 2) == span(read_yaml(SourceText("x", "{}"), Limits()).at)
    assert (0, 0) == span(read_yaml(SourceText("x", "{"), Limits()).at)
    assert Place.of_file("x") == read_yaml(SourceText("x", ""), Limits()).at


def span(place: Place) -> tuple[int, int]:
    """Give the span of a place."""
    return place.start, place.end


def test_trees_without_places() -> None:
    """A tree can be had as texts, lists and dicts."""
    root = ROOT.node
    assert isinstance(root, Mapping)
    assert isinstance(root.pairs["tell"][1], Scalar)
    text = decode("x", b"a: [b, {c: ''}]", Limits())
    assert isinstance(text, SourceText)
    assert {"a": ["b", {"c": ""}]} == plain_of(read_yaml(text, Limits()).at)
