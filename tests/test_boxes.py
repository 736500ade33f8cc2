"""Applicability as boxes: what overlaps, lies inside, is left over, and is found by an index."""

import random
import sqlite3
from collections.abc import Iterable
from decimal import Decimal
from itertools import product

import pytest

from proclint.analysis.facts.boxes import Box, TooManyPieces, contains, gaps, joined, meet, minus, overlaps, pack, uncovered
from proclint.analysis.facts.overlaps import Index, meetings
from proclint.analysis.facts.space import Space
from proclint.catalogue import standard
from proclint.catalogue.domains import Unfit
from proclint.catalogue.entries import Attribute
from proclint.model import Vehicles
from proclint.source import Place

SEED = 20260601
ATTRIBUTES = standard().attributes


def box(space: Space, **said: str) -> Box:
    """Make a box of what is said; a name's underscore stands for a hyphen."""
    found = space.box({name.replace("_", "-"): text for name, text in said.items()})
    assert not isinstance(found, Unfit)
    return found


def in_words(space: Space, boxes: Iterable[Box]) -> list[dict[str, str]]:
    """Say boxes in words."""
    return [space.words(each) for each in boxes]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, {}),
        ({"years": "2013", "make": ""}, {"years": "2013"}),
        ({"years": "2013-2017", "make": "Ostrel"}, {"make": "Ostrel", "years": "2013-2017"}),
        ({"build": "2012-09"}, {"build": "2012-09"}),
        ({"build": "2012-09/2013-01"}, {"build": "2012-09/2013-01"}),
        ({"markets": "region-2| region-1"}, {"markets": "region-1|region-2"}),
        ({"gearbox": "manual", "ignition-kind": "twist-knob|keyed"}, {"ignition-kind": "keyed|twist-knob", "gearbox": "manual"}),
        ({"gearbox": "manual|automatic"}, {}),
        ({"years": "1990-2035"}, {}),
    ],
)
def test_box_says_what_it_was_made_of(said: dict[str, str], words: dict[str, str]) -> None:
    """A box narrows what was said and nothing else; all values of a list are as good as none said."""
    space = Space(ATTRIBUTES)
    found = space.box(said)
    assert not isinstance(found, Unfit)
    assert words == space.words(found)


@pytest.mark.parametrize(
    ("said", "kind", "suggestion"),
    [
        ({"years": "2014 on"}, "no-years", ""),
        ({"years": "12-14"}, "no-years", ""),
        ({"years": "2012-2009"}, "wrong-way-round", "2009-2012"),
        ({"years": "1989-1991"}, "out-of-range", ""),
        ({"years": "2030-2036"}, "out-of-range", ""),
        ({"build": "2012-13"}, "no-months", ""),
        ({"build": "2012-09/2012-08"}, "wrong-way-round", "2012-08/2012-09"),
        ({"build": "1988-12"}, "out-of-range", ""),
        ({"build": "2037-01"}, "out-of-range", ""),
        ({"gearbox": "manul"}, "unknown-word", "manual"),
        ({"markets": "region-1||region-2"}, "unknown-word", ""),
        ({"model": "unknown"}, "unknown-word", ""),
    ],
)
def test_what_narrows_badly_is_told(said: dict[str, str], kind: str, suggestion: str) -> None:
    """A text that says nothing of a dimension is refused with what may stand there, and what was meant where that is plain."""
    found = Space(ATTRIBUTES).box(said)
    assert isinstance(found, Unfit)
    assert (kind, suggestion) == (found.kind, found.suggestion)
    assert found.expected


def test_months_go_a_year_beyond_the_model_years() -> None:
    """A vehicle may be built a year before the first model year there is, and a year after the last."""
    space = Space(ATTRIBUTES)
    assert {} == space.words(box(space, build="1989-01/2036-12"))
    found = space.box({"build": "1800-01"})
    assert isinstance(found, Unfit)
    assert "months from 1989-01 to 2036-12" == found.expected


def test_box_of_a_procedure() -> None:
    """The vehicles and the method of a procedure are a box like a row's."""
    space, nowhere = Space(ATTRIBUTES), Place.of_file("a.yaml")
    vehicles = Vehicles(
        nowhere,
        "Ostrel",
        "Tarn",
        (2015, 2020),
        "2015-02",
        ("region-1",),
        "push-start",
        ("automatic",),
        ("none",),
        {"A": "a ring"},
    )
    said = {
        "make": "Ostrel",
        "model": "Tarn",
        "years": "2015-2020",
        "build": "2015-02",
        "markets": "region-1",
        "ignition-kind": "push-start",
        "gearbox": "automatic",
        "high-voltage": "none",
        "variant": "A",
        "method": "tool",
    }
    found = space.box_of(vehicles, "tool")
    assert not isinstance(found, Unfit)
    assert said == space.words(found)
    everywhere = space.box_of(vehicles._replace(build="", markets=(), variants={}))
    assert not isinstance(everywhere, Unfit)
    assert {"build", "markets", "variant", "method"}.isdisjoint(space.words(everywhere))


def test_what_is_left_is_said_in_words() -> None:
    """A box without another is cut dimension by dimension, and where names have no end it is all but some."""
    space = Space(ATTRIBUTES)
    whole = box(space, model="Tarn", years="2012-2016")
    left = list(minus(whole, box(space, model="Tarn", years="2013-2014", markets="region-1")))
    expected = [
        {"model": "Tarn", "years": "2012, 2015-2016"},
        {"model": "Tarn", "years": "2013-2014", "markets": "all but region-1"},
    ]
    assert expected == in_words(space, left)
    assert [whole] == list(minus(whole, box(space, years="2017")))
    assert [] == list(minus(whole, box(space, model="Tarn")))


def test_month_of_the_first_vehicle() -> None:
    """The first vehicle can be a year older than its model year, unless months of building are said."""
    space = Space(ATTRIBUTES)
    assert "2011-01" == space.first_month(box(space, years="2012-2014"))
    assert "2011-09" == space.first_month(box(space, years="2012-2014", build="2011-09/2012-03"))


def test_years_between_are_gaps() -> None:
    """A gap is what lies between covered years of the same vehicles; before the first and after the last is none."""
    space = Space(ATTRIBUTES)
    axis = space.axis("years")
    early = box(space, model="Tarn", years="2005-2008", markets="region-1|region-2")
    late = box(space, model="Tarn", years="2010-2013", markets="region-2")
    assert [{"model": "Tarn", "years": "2009", "markets": "region-2"}] == in_words(space, gaps([early, late], axis))
    filling = box(space, years="2009", markets="region-2")
    assert () == gaps([early, late, filling], axis)
    assert () == gaps([], axis)


def test_limits_of_pieces_are_told() -> None:
    """Whoever would need more pieces than the limit is told so, and gets no wrong answer."""
    space = Space(ATTRIBUTES)
    rows = [box(space, years=f"{year}", markets=f"region-{year % 3}") for year in range(2000, 2010, 2)]
    assert len(uncovered(space.everything, rows)) > 1
    with pytest.raises(TooManyPieces):
        uncovered(space.everything, rows, most=3)
    with pytest.raises(TooManyPieces):
        gaps(rows, space.axis("years"), most=2)
    with pytest.raises(TooManyPieces):
        meetings([*rows, box(space, gearbox="manual"), box(space, gearbox="automatic")], most=2)


# Few values a dimension, so that every vehicle can be tried: names that are said, and one that nobody says.
NAMES = ("a", "b", "nobody's")
SMALL = {
    "make": Attribute("make", "name", "", None, None, (), "A", narrows=True, several="", note=""),
    "model": Attribute("model", "name", "", None, None, (), "A", narrows=True, several="", note=""),
    "years": Attribute("years", "years", "", Decimal(2000), Decimal(2005), (), "A", narrows=True, several="", note=""),
    "gearbox": Attribute("gearbox", "words", "", None, None, ("manual", "automatic"), "B", narrows=True, several="all", note=""),
}


def small_space() -> tuple[Space, list[Box]]:
    """Give a small space and the boxes of its single vehicles."""
    space = Space(SMALL)
    years, gears = [str(year) for year in range(2000, 2006)], ("manual", "automatic")
    each = product(NAMES, NAMES, years, gears)
    return space, [box(space, make=make, model=model, years=year, gearbox=gear) for make, model, year, gear in each]


def random_box(space: Space, chance: random.Random) -> Box:
    """Draw a box; each dimension is open now and then."""
    first = chance.randint(2000, 2005)
    said = {
        "make": chance.choice(("a", "b", "a|b", "")),
        "model": chance.choice(("a", "b", "a|b", "")),
        "years": chance.choice(("", f"{first}-{chance.randint(first, 2005)}", str(first))),
        "gearbox": chance.choice(("manual", "automatic", "")),
    }
    return box(space, **said)


def inside(vehicles: list[Box], boxes: Iterable[Box]) -> set[Box]:
    """Give the vehicles that are in any of some boxes."""
    told = list(boxes)
    return {each for each in vehicles if any(contains(other, each) for other in told)}


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_boxes_are_sets_of_vehicles(number: int) -> None:
    """Meeting, holding, leaving over, joining, packing and gaps agree with trying every vehicle of a small space."""
    chance = random.Random(SEED)
    space, vehicles = small_space()
    axis = space.axis("years")
    for _ in range(number):
        boxes = [random_box(space, chance) for _ in range(chance.randint(1, 5))]
        one, other = boxes[0], boxes[-1]
        first, second = inside(vehicles, [one]), inside(vehicles, [other])
        both = meet(one, other)
        assert first & second == (inside(vehicles, [both]) if both else set())
        assert overlaps(one, other) == bool(first & second)
        assert contains(one, other) == (first >= second)
        assert first - second == inside(vehicles, minus(one, other))
        left = uncovered(space.everything, boxes)
        assert set(vehicles) - inside(vehicles, boxes) == inside(vehicles, left)
        assert inside(vehicles, boxes) == inside(vehicles, joined(boxes))
        assert len(joined(boxes)) <= len(set(boxes))
        packed = pack(boxes)
        assert [contains(one, each) for each in boxes] == [not each & ~packed[0] for each in packed]
        assert inside(vehicles, gaps(boxes, axis)) == between(vehicles, inside(vehicles, boxes), axis)
        assert set(meetings(boxes, most=100)) == met(vehicles, boxes)


def between(vehicles: list[Box], covered: set[Box], axis: int) -> set[Box]:
    """Give the vehicles not covered that have a covered one, alike but for the year, before and after them."""
    alike = {each: [other for other in covered if rest(other, axis) == rest(each, axis)] for each in vehicles}
    sides = {each: ([o[axis] < each[axis] for o in others]) for each, others in alike.items()}
    return {each for each in vehicles if each not in covered and any(sides[each]) and not all(sides[each])}


def rest(vehicle: Box, axis: int) -> Box:
    """Give a vehicle without one dimension."""
    return (*vehicle[:axis], *vehicle[axis + 1 :])


def met(vehicles: list[Box], boxes: list[Box]) -> set[int]:
    """Give the largest sets of boxes that some vehicle is in."""
    sets = {sum(1 << number for number, each in enumerate(boxes) if contains(each, vehicle)) for vehicle in vehicles} - {0}
    return {each for each in sets if not any(each != other and each & ~other == 0 for other in sets)}


@pytest.mark.parametrize("number", [40, pytest.param(4_000, marks=pytest.mark.long)])
def test_index_finds_what_all_pairs_find(number: int) -> None:
    """The sweep finds each two boxes that overlap, once, as trying all pairs does; so does asking for one box."""
    chance = random.Random(SEED)
    space, _ = small_space()
    for _ in range(number):
        boxes = [random_box(space, chance) for _ in range(chance.randint(0, 30))]
        index = Index(boxes, space)
        pairs = [(a, b) for b in range(len(boxes)) for a in range(b) if overlaps(boxes[a], boxes[b])]
        assert sorted(pairs) == sorted(index.pairs())
        asked = random_box(space, chance)
        assert [each for each, other in enumerate(boxes) if overlaps(asked, other)] == index.meeting(asked)


@pytest.mark.parametrize("number", [1_000, pytest.param(100_000, marks=pytest.mark.long)])
def test_a_database_joins_the_same_boxes(number: int) -> None:
    """SQLite, an outside judge, joins the same boxes by first and last year, model, markets and gearbox."""
    chance = random.Random(SEED)
    space, rows, boxes = Space(ATTRIBUTES), list[tuple[int, ...]](), list[Box]()
    for row in range(number):
        first = chance.randint(1990, 2030)
        model, last = chance.randrange(number // 20), min(2035, first + chance.randint(0, 6))
        markets, gears = chance.choice((1, 2, 3, 4)), chance.choice((1, 2, 3))
        rows.append((row, model, first, last, markets, gears))
        said = {
            "make": "Ostrel",
            "model": f"model-{model}",
            "years": f"{first}-{last}",
            "markets": "|".join(f"region-{bit}" for bit in range(3) if markets >> bit & 1),
            "gearbox": "|".join(word for bit, word in enumerate(("manual", "automatic")) if gears >> bit & 1),
        }
        boxes.append(box(space, **said))
    base = sqlite3.connect(":memory:")
    base.execute("create table box (n integer primary key, model, least, most, markets, gears)")
    base.executemany("insert into box values (?, ?, ?, ?, ?, ?)", rows)
    base.execute("create index by_model on box (model)")
    joined_rows = base.execute(
        "select a.n, b.n from box a join box b on a.model = b.model where a.n < b.n and a.least <= b.most"
        " and b.least <= a.most and a.markets & b.markets and a.gears & b.gears order by 1, 2"
    ).fetchall()
    base.close()
    assert joined_rows == sorted(Index(boxes, space).pairs())
    print(f"{number} boxes, {len(joined_rows)} pairs overlap")
    assert len(joined_rows) > number / 2
