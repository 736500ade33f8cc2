"""What could not be decided within a limit is told as open, by the limit's name, in `examine` and in `reconcile`."""

import json
from dataclasses import replace
from math import prod

import pytest

from proclint.analysis.facts.against import held, stating
from proclint.analysis.facts.conflicts import Limits, Open
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Reconciler
from proclint.analysis.facts.repairs import Repairs
from proclint.analysis.facts.stated import Stated, job_of
from proclint.analysis.library import LibraryStudy, extract_of
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, examine
from proclint.engine.reconcile import reconcile_files
from proclint.model import Procedure, kinds_of_source, read_flow
from proclint.render.reconciled import reconciled_text
from proclint.render.weighed import reconciled_lines, reconciled_markdown
from proclint.results import Kind
from proclint.rules.facts.sources_contradict import sources_contradict
from proclint.source import Limits as FileLimits
from proclint.source import SourceText, read_csv, read_yaml
from proclint.testing import completed

ON = "2026-11-25"
RULES = tuple(rule for rule in known_rules() if rule.group == "facts")
HEADS = ("plain", "integrated", "separate-remote", "plain|integrated", "plain|separate-remote", "integrated|separate-remote")
PARTS = "head-kind,key-cap,minimum-keys-to-close,valet-cap,valet-counts-in-key-cap"


def quarrel(narrowing: str = "Corvane,Halyard") -> str:
    """Give rows of one vehicle that contradict one another in so many ways that the search gives up."""
    caps, closing, valets = ("1", "2", "1-2", "1-3", "3"), ("3", "2-3", "2", "1-3"), ("2", "3", "4", "2-3", "3-4", "2-4")
    rows = (f"{narrowing},{HEADS[at]},{caps[at % 5]},{closing[at % 4]},{valets[at]},true" for at in range(6))
    return "\n".join(rows) + "\n"


def searched_too_long() -> dict[str, str]:
    """Give a table that meets the limit of nodes."""
    return {"facts/note.csv": f"make,model,{PARTS}\n{quarrel()}"}


def too_many_sets() -> dict[str, str]:
    """Give 60 caps that agree in pairs, and a report that goes against each of them in a set of three."""
    caps = [f"1-{most}" for most in range(2, 17)] + [f"1|{one}|{other}" for one in range(2, 12) for other in range(12, 17)]
    table = "".join(f"Corvane,Halyard,{cap}\n" for cap in caps[:60])
    report = "make,model,by,on,keys-before,keys-added\nCorvane,Halyard,m-07,2026-04-01,12,12\n"
    return {"facts/note.csv": f"make,model,key-cap\n{table}", "facts/field-reports.csv": report}


def too_many_meetings() -> dict[str, str]:
    """Give rows that each narrow one thing only, so that the vehicles they have in common are of more than 2,000 kinds."""
    values = {
        "years": [str(year) for year in range(2000, 2014)],
        "markets": ["region-1", "region-2", "region-3"],
        "gearbox": ["manual", "automatic"],
        "method": ["tool", "on-board"],
        "variant": ["A", "B", "C", "D", "E"],
        "high-voltage": ["none", "mild", "hybrid", "electric"],
    }
    assert 2_000 < prod(map(len, values.values()))
    columns = "".join(f",{name}" for name in values)
    narrowed = ((name, value) for name, some in values.items() for value in some)
    cells = (",".join(value if each == name else "" for each in values) for name, value in narrowed)
    table = "".join(f"Corvane,Halyard,{each},45,,,,,\n" for each in cells)
    return {"facts/note.csv": f"make,model{columns},rearm,{PARTS}\n{table}{quarrel('Corvane,Halyard' + ',' * 7)}"}


ALL = "head-kind, key-cap, minimum-keys-to-close, valet-cap, valet-counts-in-key-cap"
CASES = {
    "nodes": (searched_too_long, Open("nodes", 4_000), ALL, "4000 steps of the search"),
    "sets": (
        too_many_sets,
        Open("sets", 50),
        "key-cap, keys-added, keys-before",
        "50 contradictions between three claims and more",
    ),
    "meetings": (too_many_meetings, Open("meetings", 2_000), ALL, "2000 ways in which rows speak of one vehicle"),
}


def inputs(files: dict[str, str]) -> list[Input]:
    """Give tables, with a procedure beside them."""
    job = Input("job.yaml", "steps", completed("job.yaml", "steps: {a: {do: look hood, then: all-right}}\n").encode())
    return [job, *(Input(name, "facts", text.encode()) for name, text in files.items())]


@pytest.mark.parametrize("limit", CASES)
def test_a_limit_is_told_by_its_name(limit: str) -> None:
    """Each limit of the search, met by a real table: open in the one command, not decided in each form of the other."""
    make, why, names, words = CASES[limit]
    given = inputs(make())
    report = examine(given, standard(), RULES, on=ON)
    assert () == report.own_faults
    (result,) = (each for each in report.results if each.result.kind is Kind.OPEN)
    assert ("sources-contradict", names) == (result.rule.id, ", ".join(sorted(result.result.subject.split(", "))))
    assert f"The limit '{limit}' was met: {words}." in result.result.why
    assert report.is_failing(result)

    found = reconcile_files(given, standard(), RULES, on=ON)
    (undecided,) = found.undecided
    assert (why, names) == (undecided.why, ", ".join(sorted(undecided.attributes)))
    assert found.fails
    shown = " ".join(reconciled_text(found).split())
    assert "not decided: whether all that is said of " in shown
    assert f"because The limit '{limit}' was met: {words}." in shown
    (told,) = (each for each in map(json.loads, reconciled_lines(found).splitlines()) if each["kind"] == "not-decided")
    assert (limit, why.most, False) == (told["limit"], told["most"], told["accepted"])
    assert f"The limit '{limit}' was met: {words}." in reconciled_markdown(found)


def test_one_limit_of_one_model_is_told_once() -> None:
    """Vehicles of a model that meet the same limit are told together; a count that has nothing to do with it adds nothing."""
    table = f"make,model,years,{PARTS}\n{quarrel('Corvane,Halyard,2010')}{quarrel('Corvane,Halyard,2012')}"
    report = "make,model,years,by,on,fobs-counted,remotes-counted\nCorvane,Halyard,2010,m-07,2026-04-01,1,2\n"
    given = inputs({"facts/note.csv": table, "facts/field-reports.csv": report})
    found = reconcile_files(given, standard(), RULES, on=ON)
    assert 1 == len([each for each in found.undecided if "fobs-counted" not in each.attributes])
    assert "  of         Corvane Halyard 2010, 2012\n" in reconciled_text(found)


def test_what_is_not_decided_can_be_accepted() -> None:
    """A person may take it as it is; then it is told as that, and counts no more."""
    accepted = "- {rule: sources-contradict, in: note, because: B., by: m-02, on: 2026-10-01, until: 2026-12-31}\n"
    accepted += accepted.replace("sources-contradict", "overlapping-rows-conflict")
    given = [*inputs(searched_too_long()), Input("accepted.yaml", "accepted", accepted.encode())]
    found = reconcile_files(given, standard(), RULES, on=ON)
    assert ((), False) == (found.undecided, found.fails)
    assert "accepted: not decided: whether all that is said of " in reconciled_text(found)


def test_what_mends_many_together_has_a_limit_too() -> None:
    """Where contradictions hang together in too many ways, that no common mend was found is said with the limit."""
    found = reconcile_files(inputs(searched_too_long()), standard(), RULES, on=ON)
    shown = reconciled_text(found)
    assert "these 53 share claims\n" in shown
    assert "None is left without minimum-keys-to-close 3 and head-kind plain" in " ".join(shown.split())
    clusters = tuple(each._replace(repairs=Repairs((), Open("nodes", 4_000))) for each in found.clusters)
    shown = " ".join(reconciled_text(replace(found, clusters=clusters)).split())
    assert "these 53 share claims mend What mends all of them was not found. The limit 'nodes' was met: 4000 steps" in shown


def test_a_procedure_that_could_not_be_held_against_the_facts_is_told() -> None:
    """Where a limit keeps what a procedure states from being held against the facts, that is told at its own words."""
    document = read_yaml(
        SourceText("job.yaml", completed("job.yaml", "steps: {a: {do: look hood, then: all-right}}\n")), FileLimits()
    )
    flow = read_flow(document, standard()).flow
    assert isinstance(flow, Procedure)
    table = "make,model,years,key-cap\n" + "".join(f"Corvane,Halyard,{2013 + at},{4 + at}\n" for at in range(5))
    tables = (read_csv(SourceText("facts/log.csv", table), FileLimits()),)
    evidence = Evidence(tables, (), kinds_of_source(), standard().attributes)
    job = job_of(flow, {})._replace(stated=(Stated("key-cap", "12", flow.at),))
    stands = stating(job, evidence)
    assert evidence.facts
    assert ((), 5) == (held(stands, evidence).undecided, len(held(stands, evidence).disagreements))
    vars(evidence)["reconciler"] = Reconciler(evidence.relations, evidence.space, Limits(nodes=1, meetings=1))
    assert [("key-cap",)] == [each.attributes for each in held(stands, evidence).undecided]
    extract = extract_of(flow)._replace(job=job)
    library = LibraryStudy((extract,), None, (), (), frozenset(), ON, evidence)
    (told,) = (each for each in sources_contradict(library) if each.at.file == "job.yaml")
    assert (Kind.OPEN, "key-cap", flow.at) == (told.kind, told.subject, told.at)
