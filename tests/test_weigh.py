"""What is believed of vehicles, how it stands and why; field reports count among the sources."""

import pytest

from proclint.analysis.facts import in_words
from proclint.analysis.facts.alone import alone
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.gaps import holes
from proclint.analysis.facts.kinds import shared_year
from proclint.analysis.facts.names import near_names
from proclint.analysis.facts.weigh import Fact, Grade
from proclint.catalogue import standard
from proclint.model import kinds_of_source, read_sources
from proclint.source import Limits, SourceText, read_csv, read_yaml

HEAD = "make,model,years,markets,key-cap"
REGISTER = """\
sources:
  - {id: service, kind: service-information, title: S, date: 2012-01-01}
  - {id: handbook, kind: handbook-or-bulletin, title: H, date: 2012-01-01}
  - {id: log, kind: bench-or-field-log, title: L, date: 2014-01-01, observers: [m-01]}
  - {id: other-log, kind: bench-or-field-log, title: L, date: 2015-01-01, observers: [m-02]}
  - {id: two-saw, kind: bench-or-field-log, title: L, date: 2015-01-01, observers: [m-03, m-04]}
  - {id: note, kind: supplier-note, title: N, date: 2014-01-01}
  - {id: video, kind: training-sheet, title: V, date: 2015-01-01}
  - {id: hand-out, kind: training-sheet, title: O, date: 2016-01-01, copied-from: [video]}
  - {id: old, kind: supplier-note, title: X, date: 2009-01-01}
  - {id: old-service, kind: service-information, title: X, date: 2009-01-01}
  - {id: vague, kind: supplier-note, title: Y, date: 2014-01-01, covers: [{make: unknown}, {make: Corvane, model: Halyard}]}
"""


def evidence(tables: dict[str, str], *, trust: tuple[str, ...] | None = None) -> Evidence:
    """Put tables by the name of their source together; a text of one line gets the usual header."""
    texts = {name: text if text.startswith("make") else f"{HEAD}\n{text}" for name, text in tables.items()}
    read = tuple(read_csv(SourceText(f"facts/{name}.csv", text), Limits()) for name, text in texts.items())
    register = read_sources(read_yaml(SourceText("sources.yaml", REGISTER), Limits()))
    return Evidence(read, register, trust or kinds_of_source(), standard().attributes)


def told(tables: dict[str, str], attribute: str = "key-cap", *, trust: tuple[str, ...] | None = None) -> list[tuple[str, str]]:
    """Give value and standing of each fact about an attribute."""
    found = evidence(tables, trust=trust)
    return [(in_words.value(fact, found.attributes[attribute]), fact.standing.value) for fact in facts(found, attribute)]


def facts(found: Evidence, attribute: str = "key-cap") -> list[Fact]:
    """Give the facts about an attribute."""
    return [fact for fact in found.facts if fact.attribute == attribute]


ROW = "Corvane,Halyard,2013-2017,region-1,"


def test_one_source_is_one_report() -> None:
    """What one source says is believed, as one report."""
    assert [("4", "one report")] == told({"handbook": f"{ROW}4"})


def test_two_independent_sources_confirm() -> None:
    """What two sources say, neither of them a copy of the other, is confirmed; a copy does not count."""
    assert [("4", "confirmed")] == told({"handbook": f"{ROW}4", "note": f"{ROW}4"})
    assert [("4", "one report")] == told({"video": f"{ROW}4", "hand-out": f"{ROW}4"})


def test_two_members_confirm() -> None:
    """What two members saw at a vehicle is confirmed by one log."""
    assert [("4", "confirmed")] == told({"two-saw": f"{ROW}4"})


def test_a_contradiction_is_contested() -> None:
    """Where sources contradict one another the most trusted is believed, and the fact is contested."""
    assert [("4", "contested")] == told({"handbook": f"{ROW}4", "note": f"{ROW}8"})


def test_observation_beats_statement() -> None:
    """What one member saw is believed against the maker's word, and contested; what two saw apart settles it."""
    assert [("5", "contested")] == told({"service": f"{ROW}4", "log": f"{ROW}5"})
    assert [("5", "confirmed")] == told({"service": f"{ROW}4", "log": f"{ROW}5", "other-log": f"{ROW}5"})


def test_observations_against_one_another_settle_nothing() -> None:
    """Two logs against a third are contested all the same."""
    assert [("5", "contested")] == told({"log": f"{ROW}5", "two-saw": f"{ROW}5", "other-log": f"{ROW}4"})


def test_equal_trust_decides_nothing() -> None:
    """Where nothing tells which source is right both values stay open; the day of a source is no reason."""
    assert [("4|8", "contested")] == told({"video": f"{ROW}4", "hand-out": f"{ROW}8"})


def test_order_of_trust_is_a_setting() -> None:
    """A library that trusts its suppliers more than handbooks believes them."""
    assert [("8", "contested")] == told(
        {"handbook": f"{ROW}4", "note": f"{ROW}8"}, trust=("supplier-note", "handbook-or-bulletin")
    )


def test_what_sources_leave_open_is_narrowed() -> None:
    """A range and a number in it agree: the number is believed."""
    assert [("5", "confirmed")] == told({"handbook": f"{ROW}4-6", "note": f"{ROW}5"})
    assert [("5-6", "confirmed")] == told({"handbook": f"{ROW}4-6", "note": f"{ROW}5-8"})


def test_an_old_source_does_not_count() -> None:
    """What a source says of vehicles that came after it is unknown, unless another one says it."""
    assert [("unknown", "unknown")] == told({"old": f"{ROW}4"})
    found = evidence({"old": f"{ROW}4", "note": f"{ROW}4"})
    assert ["'note' says 4. 'old' is older than these vehicles and does not count for 4."] == [
        in_words.reasons(fact) for fact in facts(found)
    ]


def test_an_old_source_beats_nobody() -> None:
    """What the maker wrote before there were such vehicles is not believed against a note that came after them."""
    found = evidence({"old-service": f"{ROW}4", "note": f"{ROW}8"})
    (fact,) = facts(found)
    assert "8 keys, one report" == in_words.standing_of(fact, found.attributes["key-cap"])
    assert "'note' says 8. 'old-service' is older than these vehicles and does not count for 4." == in_words.reasons(fact)
    assert 1 == len(found.conflicts)


def test_an_old_source_lends_no_trust() -> None:
    """A note that an old source agrees with weighs no more than by itself: the handbook is believed."""
    assert [("8", "contested")] == told({"old-service": f"{ROW}4", "note": f"{ROW}4", "handbook": f"{ROW}8"})


def test_a_claim_is_taken_as_true_of_its_own_vehicles_only() -> None:
    """To believe one cell decides nothing about another model of which the same is said."""
    rows = {
        "handbook": f"{ROW}4\nCorvane,Binnacle,2013-2017,region-1,4",
        "note": f"{ROW}8\nCorvane,Binnacle,2013-2017,region-1,8",
    }
    found = evidence(rows)
    assert ["4", "4"] == [in_words.value(each, found.attributes["key-cap"]) for each in facts(found)]
    claim = next(each for each in found.claims if each.source == "note" and each.text == "8")
    other = found.believing(claim)
    assert [("Halyard", "8"), ("Binnacle", "4")] == [
        (found.space.words(each.boxes[0])["model"], in_words.value(each, found.attributes["key-cap"])) for each in facts(other)
    ]


def test_a_claim_taken_as_true_does_not_make_all_others_wrong() -> None:
    """Of three that cannot all be true, to believe one says of no other which is wrong."""
    table = "make,model,years,head-kind,key-cap,minimum-keys-to-close\nCorvane,Halyard,2013-2017,plain,1,2"
    found = evidence({"handbook": table})
    cap = next(claim for claim in found.claims if claim.statement.attribute == "key-cap")
    shown = [in_words.standing_of(each, found.attributes[each.attribute]) for each in found.believing(cap).facts]
    assert ["plain, contested", "1 keys, contested", "2 keys, contested"] == shown


def test_an_old_claim_can_be_taken_as_true() -> None:
    """A claim that is too old to count counts when it is taken as true."""
    found = evidence({"old": f"{ROW}4"})
    (fact,) = facts(found.believing(found.claims[0]))
    assert "4 keys, one report" == in_words.standing_of(fact, found.attributes["key-cap"])


def test_not_known_is_a_fact_where_nobody_else_knows() -> None:
    """`unknown` in a cell is told as unknown, and is nothing where somebody else says a value."""
    assert [("unknown", "unknown")] == told({"handbook": f"{ROW}unknown"})
    assert [("4", "one report")] == told({"handbook": f"{ROW}unknown", "note": f"{ROW}4"})
    assert "'handbook' says that nobody knows." == in_words.reasons(evidence({"handbook": f"{ROW}unknown"}).facts[0])
    both = evidence({"handbook": f"{ROW}unknown", "note": f"{ROW}unknown"})
    assert ["'handbook' and 'note' say that nobody knows."] == [in_words.reasons(fact) for fact in both.facts]
    partly = evidence({"handbook": f"{ROW}unknown", "note": "Corvane,Halyard,2015,region-1,4"})
    assert ["Corvane Halyard 2015, region-1", "Corvane Halyard 2013-2014, 2016-2017, region-1"] == [
        in_words.all_vehicles(fact.boxes, partly.space) for fact in partly.facts
    ]


def test_a_count_that_is_not_known_is_no_fact() -> None:
    """A report that says that it did not count is no fact about the vehicle."""
    report = "make,model,years,markets,by,on,keys-counted\nCorvane,Halyard,2015,region-1,m-09,2026-04-01,unknown"
    assert () == evidence({"field-reports": report}).facts


def test_what_nobody_knows_is_held_against_nobody() -> None:
    """A fact without a value is told as unknown, and is no claim that a procedure could go against."""
    found = evidence({"old": f"{ROW}4", "note": "Corvane,Halyard,2011-2012,region-1,8"})
    unknown, known = facts(found)
    attribute = found.attributes["key-cap"]
    assert ("unknown", "8 keys, one report") == (in_words.standing_of(unknown, attribute), in_words.standing_of(known, attribute))
    assert [known] == list(found.facts_as_claims((found.space.everything,)).values())


def test_what_a_source_covers_without_a_meaning_is_left_out() -> None:
    """A source that says of which vehicles it speaks in words without a meaning speaks of the others that it names."""
    found = evidence({})
    assert [{"make": "Corvane", "model": "Halyard"}] == [found.space.words(box) for box in found.register["vague"].covers]


def test_each_vehicle_has_its_own_fact() -> None:
    """Where boxes meet only in part, what is said of each part is believed there."""
    found = evidence({"handbook": f"{ROW}4", "note": "Corvane,Halyard,2015-2019,region-1,8"})
    shown = [(in_words.all_vehicles(fact.boxes, found.space), fact.standing) for fact in facts(found)]
    assert [
        ("Corvane Halyard 2013-2014, region-1", Grade.ONE_REPORT),
        ("Corvane Halyard 2015-2017, region-1", Grade.CONTESTED),
        ("Corvane Halyard 2018-2019, region-1", Grade.ONE_REPORT),
    ] == sorted(shown)


def test_what_is_said_of_many_models_counts_for_each() -> None:
    """A row for a whole make confirms the row of a model, and stands by itself for all others."""
    found = evidence({"handbook": f"{ROW}4", "note": "Corvane,,2013-2017,,4"})
    shown = {in_words.all_vehicles(fact.boxes, found.space): fact.standing.value for fact in facts(found)}
    assert "confirmed" == shown["Corvane Halyard 2013-2017, region-1"]
    assert {"confirmed", "one report"} == set(shown.values())


def test_reasons_are_sentences() -> None:
    """The reasons name who says it, what is a copy, who saw it and who says otherwise."""
    found = evidence({"video": f"{ROW}8", "hand-out": f"{ROW}8", "log": f"{ROW}4", "handbook": f"{ROW}4"})
    told_of_it = "'log' (members who saw it: 1) and 'handbook' say 4, each by itself. "
    told_of_it += "Against it 'video' and 'hand-out' say 8, trusted less."
    assert [told_of_it] == [in_words.reasons(fact) for fact in facts(found)]
    repeated = evidence({"video": f"{ROW}8", "hand-out": f"{ROW}8"})
    assert "'video' says 8. 'video' and 'hand-out' repeat one another and count once." == in_words.reasons(facts(repeated)[0])
    tied = evidence({"video": f"{ROW}4", "hand-out": f"{ROW}8"})
    assert "nothing tells which is right." in in_words.reasons(facts(tied)[0])


REPORTS = "make,model,years,markets,by,on,note,keys-counted,key-cap"


def test_a_count_beats_a_cap() -> None:
    """'Count read 5' in a field report refutes a cap of 4: at least 5 is believed, and contested."""
    tables = {"handbook": f"{ROW}4", "field-reports": f"{REPORTS}\nCorvane,Halyard,2015,region-1,m-21,2026-03-02,worked,5,"}
    found = evidence(tables)
    [conflict] = found.conflicts
    assert ("keys-within-cap",) == found.reconciler.relations_behind(conflict)
    shown = {(in_words.value(fact, found.attributes["key-cap"]), fact.standing.value) for fact in facts(found)}
    assert {("4", "one report"), ("5-16", "contested")} == shown


def test_counts_of_two_reports_are_two_jobs() -> None:
    """Two members who counted other numbers of keys contradict neither each other nor a cap that holds both."""
    lines = "Corvane,Halyard,2015,,m-21,2026-03-02,,3,\nCorvane,Halyard,2015,,m-22,2026-03-03,,4,"
    assert () == evidence({"handbook": f"{ROW}4", "field-reports": f"{REPORTS}\n{lines}"}).conflicts


def test_a_field_report_confirms() -> None:
    """What one source says and one member saw is confirmed; two lines of one member are one voice."""
    line = "Corvane,Halyard,2013-2017,region-1,{by},2026-03-0{day},,,4"
    one = line.format(by="m-21", day=1)
    assert [("4", "confirmed")] == told({"handbook": f"{ROW}4", "field-reports": f"{REPORTS}\n{one}"})
    two = f"{one}\n{line.format(by='m-21', day=2)}"
    assert [("4", "one report")] == told({"field-reports": f"{REPORTS}\n{two}"})
    three = f"{one}\n{line.format(by='m-22', day=2)}"
    assert [("4", "confirmed")] == told({"field-reports": f"{REPORTS}\n{three}"})


def test_a_field_report_is_signed() -> None:
    """A line without a member or a day that exists says nothing, and is told; so is a column that no report has."""
    lines = "Corvane,Halyard,2015,,,2026-03-02,,5,\nCorvane,Halyard,2015,,m-21,spring,,5,"
    lines += "\nCorvane,Halyard,2015,,m-21,2026-02-30,,5,\nCorvane,Halyard,2015,,m-21,20260301,,5,"
    found = evidence({"field-reports": f"{REPORTS}\n{lines}"})
    assert [("by", "not-signed"), *[("on", "not-signed")] * 3] == [(bad.column, bad.why.kind) for bad in found.bad]
    assert () == found.claims
    bare = evidence({"field-reports": "make,model,seen\nCorvane,Halyard,x"})
    assert {"unknown-column", "not-signed"} == {bad.why.kind for bad in bare.bad}


def test_a_claim_can_be_taken_as_true() -> None:
    """A claim that is taken as true is believed, though it is trusted less; what clashes with it is not."""
    found = evidence({"handbook": f"{ROW}4", "note": f"{ROW}8"})
    assert [4] == [fact.domain.spans[0][0] for fact in found.facts if fact.domain]
    note = next(claim for claim in found.claims if claim.source == "note")
    believed = found.believing(note)
    assert [8] == [fact.domain.spans[0][0] for fact in believed.facts if fact.domain]
    assert found.reconciled is believed.reconciled


def test_far_sources_alone_are_not_told_where_a_cell_is_lost() -> None:
    """What a supplier alone says of a cap is told as that; where some cell cannot be read, it may have said the same."""
    found = evidence({"note": f"{ROW}4"})
    assert ["4"] == [claim.text for claim in alone(found, [found.space.everything])]
    lost = evidence({"note": f"{ROW}4", "handbook": f"{ROW}four"})
    assert [] == list(alone(lost, [lost.space.everything]))


def test_years_that_no_row_speaks_of() -> None:
    """Between rows of one model a year is missing; rows of a whole make leave none out."""
    rows = "{make},{model},2013-2014,,4\n{make},{model},2016-2017,,4"
    one = evidence({"handbook": rows.format(make="Corvane", model="Halyard")})
    assert ["Corvane Halyard 2015"] == [hole.vehicles for hole in holes(one)]
    assert [] == list(holes(evidence({"handbook": rows.format(make="Corvane", model="")})))


@pytest.mark.parametrize(
    ("years", "other", "shared"),
    [
        ("2013-2015", "2015-2017", "2015"),
        ("2015-2017", "2013-2015", "2015"),
        ("2013-2017", "2015", ""),
        ("2015", "2015", ""),
        ("2013-2016", "2015-2017", ""),
    ],
)
def test_year_in_which_one_ends_and_another_begins(years: str, other: str, shared: str) -> None:
    """Two rows that meet in the last year of one and the first of the other share it; where one lies inside the other none is."""
    row = "Corvane,Halyard,{years},region-1,{cap}"
    found = evidence({"handbook": row.format(years=years, cap=4), "note": row.format(years=other, cap=8)})
    (conflict,) = found.conflicts
    assert shared == shared_year(conflict, found.space)


def test_names_that_are_nearly_the_same() -> None:
    """Two long names a letter apart are told; short ones have too many neighbours, and a table without models names none."""
    row = "{name},2013-2017,region-1,4"
    told_of = evidence({"handbook": row.format(name="Ostrel,Tarn"), "note": row.format(name="Ostrel,Tarm")})
    assert [("Ostrel Tarm", "Ostrel Tarn")] == [(each.name, each.other) for each in near_names(told_of, ())]
    short = evidence({"handbook": row.format(name="Os,Ta"), "note": row.format(name="Os,To"), "log": "make,key-cap\nOs,4"})
    assert [] == list(near_names(short, ()))
