"""What has the right shape and no meaning is told: days, ranges and names."""

import pytest

from proclint.catalogue import standard
from proclint.model import Fault
from proclint.model.ranges import in_words, months_put_right, put_right
from proclint.model.sense import senseless, senseless_cells
from proclint.source import Limits, SourceText, read_csv, read_yaml


def found(text: str, kind: str = "procedure") -> list[tuple[str, str, str, str]]:
    """Give path, kind, what is shown and what was meant of each fault in a text."""
    faults = senseless(read_yaml(SourceText("a.yaml", text), Limits()), kind)
    return [("/".join(map(str, each.at.path)), each.kind, each.found, each.suggestion) for each in faults]


def in_cell(column: str, text: str) -> list[tuple[str, str, str]]:
    """Give kind, what is shown and what was meant of each fault in a cell of a table."""
    table = read_csv(SourceText("facts/a.csv", f"make,{column},of-our-own\nCorvane,{text},9-1\n"), Limits())
    faults = senseless_cells(table, standard().attributes)
    assert {(0, column)} >= {each.at.path for each in faults}
    return [(each.kind, each.found, each.suggestion) for each in faults]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2017-2013", "2013-2017"),
        ("4-1", "1-4"),
        ("10-9", "9-10"),
        ("6-4 s", "4-6 s"),
        ("0.5-0.25 s", "0.25-0.5 s"),
        ("3-1-2 min", "1-2-3 min"),
        ("1-3-2 min", "1-2-3 min"),
        ("2013-2017", ""),
        ("2013-2013", ""),
        ("9-10", ""),
        ("1-2-3 s", ""),
        ("1.0-1 s", ""),
        ("4", ""),
        ("4 s", ""),
        ("2025-03-02", ""),
        ("b-a", ""),
        ("6-4 s or so", ""),
        ("", ""),
    ],
)
def test_a_range_the_wrong_way_round(text: str, expected: str) -> None:
    """A range whose numbers fall is given in their order; whatever is no range, or runs as it should, gives nothing."""
    assert expected == put_right(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [("2017-03/2015-09", "2015-09/2017-03"), ("2015-09/2017-03", ""), ("2015-09/2015-09", ""), ("2015-09", ""), ("b/a", "")],
)
def test_months_the_wrong_way_round(text: str, expected: str) -> None:
    """Two months of which the later stands first are given in their order."""
    assert expected == months_put_right(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("6-4 s", "at least 6 s and at most 4 s"),
        ("3-2-1 min", "at least 3 min, usually 2 min and at most 1 min"),
        ("4-1", "at least 4 and at most 1"),
    ],
)
def test_a_range_in_words(text: str, expected: str) -> None:
    """A range is said as a person says it, each number with its unit."""
    assert expected == in_words(text)


DAY = "a day that exists, such as 2026-03-01"


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("written: {date: 2025-02-30}", "procedure", [("written/date", "wrong-shape", "2025-02-30", "")]),
        ("written: {date: 2024-02-29}", "procedure", []),
        ("written: {date: 30 February}", "procedure", []),
        ("sources: [{id: a, date: 2023-02-29}]", "sources", [("sources/0/date", "wrong-shape", "2023-02-29", "")]),
        (
            "- {on: 2026-04-31, until: soon}",
            "accepted",
            [("0/on", "wrong-shape", "2026-04-31", ""), ("0/until", "wrong-shape", "soon", "")],
        ),
        ("- {on: '', until: 20260430}", "accepted", [("0/until", "wrong-shape", "20260430", "")]),
        ("- {on: 2026-04-30, until: 2026-05-31}", "accepted", []),
        ("steps: {a: {ways: {on: 2026-04-31, date: b}}}", "procedure", []),
        ("vehicles: [{years: 2017-2013}]", "procedure", [("vehicles/0/years", "years-inverted", "2017-2013", "2013-2017")]),
        ("vehicles: [{years: 2013-2017, build: 2013-09}]", "procedure", []),
        (
            "sources: [{covers: {build: 2017-03/2015-09}}]",
            "sources",
            [("sources/0/covers/build", "years-inverted", "2017-03/2015-09", "2015-09/2017-03")],
        ),
        ("keys: {O: {here: 4-1, away: 0-2}}", "procedure", [("keys/O/here", "wrong-shape", "4-1", "1-4")]),
        ("takes: 9-5 min", "procedure", [("takes", "time-inverted", "at least 9 min and at most 5 min", "5-9 min")]),
        ("takes: 9-5", "procedure", []),
        (
            "steps: {a: {do: [{do: look hood, takes: 6-4 s}]}}",
            "block",
            [("steps/a/do/0/takes", "time-inverted", "at least 6 s and at most 4 s", "4-6 s")],
        ),
        (
            "windows: {w: {at-least: 20 s, at-most: 12 s}}",
            "block",
            [("windows/w/at-most", "time-inverted", "at least 20 s and at most 12 s", "")],
        ),
        ("windows: {w: {at-least: 12 s, at-most: 12 s}, x: 9 s, y: {at-most: 3 s}, z: {at-least: 1}}", "block", []),
        ("- 4-1", "procedure", []),
        ("4-1", "procedure", []),
    ],
)
def test_fields(text: str, kind: str, expected: list[tuple[str, str, str, str]]) -> None:
    """Days that do not exist and ranges from more to less are told where they stand, by the field they stand in."""
    assert expected == found(text, kind)


def test_a_file_that_cannot_be_read_has_no_meaning_to_miss() -> None:
    """Where the form is broken, only that is told."""
    assert [] == found("a: [")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("steps: {a: {}, b: {}}\nendings: {b: {}}", [("endings/b", "a step or an ending")]),
        ("steps: {a: {}}\nfallbacks: {a: {}}", [("fallbacks/a", "a step or a fallback")]),
        ("steps: {a: {}}\nfallbacks: {b: {}}\nexits: [c, b]", [("exits/1", "a fallback or an exit")]),
        ("steps: {a: {}}\nexits: a", [("exits", "a step or an exit")]),
        ("exits: [a, a]", []),
        ("steps: [a]\nendings: {a: {}}", []),
        ("steps: {a: {}}\nwindows: {a: 3 s}\nfallbacks: {b: {}}\nendings: {c: {}}", []),
    ],
)
def test_names(text: str, expected: list[tuple[str, str]]) -> None:
    """Steps, fallbacks, endings and exits share their names, and the second to bear one is told with the first."""
    faults = senseless(read_yaml(SourceText("a.yaml", text), Limits()), "procedure")
    assert expected == [("/".join(map(str, each.at.path)), each.found) for each in faults]
    assert all(each.kind == "name-of-two" and each.other is not None and each.other.start < each.at.start for each in faults)


@pytest.mark.parametrize(
    ("column", "text", "expected"),
    [
        ("years", "2016-2010", [("years-inverted", "2016-2010", "2010-2016")]),
        ("build", "2016-09/2016-01", [("years-inverted", "2016-09/2016-01", "2016-01/2016-09")]),
        ("session-timeout", "900-840", [("time-inverted", "at least 900 s and at most 840 s", "840-900")]),
        ("key-cap", "8-4", [("wrong-shape", "8-4", "4-8")]),
        ("frequency", "433.92-315", [("wrong-shape", "433.92-315", "315-433.92")]),
        ("key-cap", "4|6-5", [("wrong-shape", "6-5", "5-6")]),
        ("on", "2023-04-31", [("wrong-shape", "2023-04-31", "")]),
        ("on", "spring 2023", []),
        ("session-timeout", "840-900", []),
        ("session-timeout", "unknown", []),
        ("key-cap", "", []),
        ("head-kind", "9-1", []),
    ],
)
def test_cells(column: str, text: str, expected: list[tuple[str, str, str]]) -> None:
    """A cell of a facts table is looked at as its column says; a column that nobody knows is left alone."""
    assert expected == in_cell(column, text)


def test_a_day_is_asked_for_as_one() -> None:
    """What belongs in the place of a day that does not exist is said."""
    (fault,) = senseless(read_yaml(SourceText("a.yaml", "reviewed: {date: 2025-13-01}"), Limits()), "procedure")
    assert Fault("wrong-shape", fault.at, "date", "2025-13-01", DAY) == fault
