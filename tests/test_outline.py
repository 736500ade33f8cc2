"""What an outline calls well is well in the step graph too, and it calls well nearly everything that is."""

import random
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from proclint.analysis import Limits, Shelf, Study, loops, unbounded
from proclint.analysis.dead_ends import cut_off, traps
from proclint.analysis.entries import may_be_silent, may_enter, silences, window_entries
from proclint.analysis.file_study import study_file
from proclint.analysis.old_counts import may_reckon, old_counts
from proclint.analysis.retries import endless_retries, false_successes
from proclint.apps.files import gather
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.model.misfit import misfits
from proclint.model.shape import typed
from proclint.model.verdict import without_what_fits
from proclint.source import Limits as SourceLimits
from proclint.source import SourceText, read_yaml
from proclint.testing import ON

LIBRARY = Path(__file__).resolve().parent.parent / "procedures"
SIZES = [200, pytest.param(20_000, marks=pytest.mark.long)]


@cache
def library() -> tuple[Shelf, tuple[str, ...]]:
    """Give the shelf of the library's blocks, and the texts of its procedures and blocks."""
    files = [each for each in gather((LIBRARY,)) if each.kind == "steps"]
    studies = [study_file(each.name, each.content, "steps", standard(), on=ON) for each in files]
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    return Shelf(blocks, standard()), tuple(study.text.text for study in studies)


def variants(number: int) -> Iterator[str]:
    """Give texts of the library with one to three ways led elsewhere, and now and then a line lost."""
    chance = random.Random(20261125)
    for _ in range(number):
        text = chance.choice(library()[1])
        names = [*re.findall(r"^  ([a-z-]+):", text, re.MULTILINE)]
        for _ in range(chance.randint(1, 3)):
            way = chance.choice([*re.finditer(r"\b(?:fails|then|spent|done|otherwise|late|pass|stop): ([a-z-]+)", text)])
            text = text[: way.start(1)] + chance.choice(names) + text[way.end(1) :]
        lines = text.split("\n")
        if chance.random() < 0.2:
            del lines[chance.randrange(len(lines))]
        yield "\n".join(lines)


def flows(number: int) -> Iterator[Flow]:
    """Give the variants that can be read."""
    for text in variants(number):
        study = study_file("a.yaml", text.encode(), "steps", standard(), on=ON)
        if study.flow is not None and study.is_sound:
            yield study.flow


@pytest.mark.parametrize("number", SIZES)
def test_outline_and_graph(number: int) -> None:
    """On library files with ways led astray, the outline finds nothing amiss exactly where, or only where, the graph does not."""
    counts = dict.fromkeys(("read", "cut off", "trapped", "endless", "false"), 0)
    for flow in flows(number):
        study = Study(flow, library()[0], ON, Limits())
        outline, graph = study.outline, study.graph
        if outline is None:
            continue
        counts["read"] += 1
        counts["cut off"] += not outline.reaches_all
        counts["trapped"] += not outline.always_ends
        counts["endless"] += not outline.never_turns
        assert outline.reaches_all == (not cut_off(graph))
        assert not outline.always_ends or not [trap for trap in traps(graph) if trap.entry.is_own]
        assert not outline.never_turns or not list(endless_retries(graph, loops(unbounded(graph))))
        last = study.last_words
        ends_well = outline.ends_well(name for name, is_last in last.items() if is_last)
        counts["false"] += ends_well
        assert ends_well or not list(false_successes(graph, last))
        assert may_be_silent(study.written, outline.following) or not list(silences(graph))
        assert may_reckon(outline) or not list(old_counts(graph, study.catalogue))
        assert may_enter(study.written) or not list(window_entries(graph, study.written))
    print(counts)
    assert all(counts.values())


@pytest.mark.parametrize("number", SIZES)
def test_what_fits_is_left_out(number: int) -> None:
    """Going through only the steps, endings and fields that do not fit gives the same faults as going through all of them."""
    found = 0
    for text in variants(number):
        document = read_yaml(SourceText("a.yaml", text), SourceLimits())
        if document.root is None:
            continue
        kind = "block" if "\nexits" in text else "procedure"
        whole = typed(document.root)
        faults = misfits(document.at, whole, kind)
        found += bool(faults)
        left = without_what_fits(whole, kind)
        assert faults == misfits(document.at, left.value, kind, left.fitting)
    assert found
