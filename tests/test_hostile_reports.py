"""Whatever a contribution says, no report of it does anything: every text of a report is hostile, and every kind is looked at.

That a CI system takes a line that begins, after blanks, with two colons, and anything behind `##[` or `##name[`, for a command is
common practice, no source.
"""

import json
import re

import pytest
from markdown_it import MarkdownIt
from markdown_it.token import Token

from proclint.render.annotations import annotations
from proclint.render.junit import junit
from proclint.render.lines import json_lines
from proclint.render.markdown import MOST_BYTES, markdown
from proclint.render.plain import without_commands
from proclint.render.sarif import sarif_report
from proclint.render.text import text_report
from tests.hostile import EVIL, hostile_report

REPORT = hostile_report()
TEXTS = {
    "text": text_report(REPORT, in_colour=False, is_whole=True),
    "short": text_report(REPORT, in_colour=False, is_whole=False),
    "sarif": sarif_report(REPORT, version="0.1.0"),
    "lines": json_lines(REPORT),
    "junit": junit(REPORT),
    "annotations": annotations(REPORT),
    "markdown": markdown(REPORT),
}
COMMAND = re.compile(r"^\s*::|##[A-Za-z]*\[")
CONTROL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


@pytest.mark.parametrize("kind", TEXTS)
def test_no_terminal_obeys(kind: str) -> None:
    """No report holds a control character but the line ends of its own, or a mark that turns the direction of writing."""
    assert [] == CONTROL.findall(TEXTS[kind])


@pytest.mark.parametrize("kind", [kind for kind in TEXTS if kind != "annotations"])
def test_no_log_obeys(kind: str) -> None:
    """Shown as a log, no line of a report is a command."""
    assert [] == [line for line in re.split(r"[\n\r\x85\u2028\u2029]", TEXTS[kind]) if COMMAND.search(line)]


@pytest.mark.parametrize("evil", EVIL)
def test_every_trick_is_in_the_report(evil: str) -> None:
    """What is not a trick to the eye is in the texts still, so that the checks above have seen it."""
    word = re.sub(r"[^A-Za-z0-9]+", " ", evil).split()
    assert all(part in TEXTS["text"] for part in word)


def test_annotations_are_the_only_commands() -> None:
    """There is one command for each result that counts, and each is well formed: no text ends one or begins another."""
    lines = TEXTS["annotations"].split("\n")[:-1]
    assert len(lines) == sum(each.counts for each in REPORT.results)
    shape = re.compile(r"::error file=[^:,]*,line=\d+,endLine=\d+(,col=\d+,endColumn=\d+)?,title=no-such-way::[^\r\n]+")
    assert all(shape.fullmatch(line) for line in lines)
    # A `%` of a text is written out, so the reader gets no line end that we did not mean.
    assert all(re.findall("%..", line) == re.findall("%25|%3A|%2C", line) for line in lines)


def tokens(text: str) -> list[Token]:
    """Parse Markdown by an independent renderer (markdown-it-py, CommonMark preset), inline parts included."""
    found = []
    for token in MarkdownIt("commonmark").parse(text):
        found += [token, *(token.children or [])]
    return found


def test_markdown_holds_nothing_live() -> None:
    """In Markdown there is no link, picture or HTML but our own, and what comes from files stands in fenced code only."""
    found = tokens(TEXTS["markdown"])
    assert {"link_open", "image", "html_inline", "autolink"}.isdisjoint(token.type for token in found)
    html = {line for token in found if token.type == "html_block" for line in token.content.splitlines()}
    assert html == {
        "<details>",
        "<summary>error: no-such-way (13 times)</summary>",
        "<summary>open: no-such-way</summary>",
        "</details>",
    }
    outside = " ".join(token.content for token in found if token.type in ("inline", "text", "html_block"))
    assert not any(word in outside for word in ("owned", "example", "alert", "script", "everybody", "@"))
    inside = " ".join(token.content for token in found if token.type == "fence")
    assert "owned" in inside
    assert "alert" in inside


def test_markdown_is_short_enough() -> None:
    """However much there is to say, a comment keeps within its bound, and tells how many are left out."""
    assert len(TEXTS["markdown"].encode()) <= MOST_BYTES


def test_json_says_the_same() -> None:
    """What JSON escapes it says still."""
    results = json.loads(TEXTS["sarif"])["runs"][0]["results"]
    assert any("##[error]owned" in each["properties"]["why"] for each in results if "properties" in each)
    assert all(isinstance(json.loads(line), dict) for line in TEXTS["lines"].splitlines())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("::error::x", ": :error::x"),
        ("a\n \t::x", "a\n \t: :x"),
        ("see a::b", "see a::b"),
        ("a ##[x] ##vso[y] ## z", "a # #[x] # #vso[y] ## z"),
        (":::x", ": ::x"),
    ],
)
def test_commands_are_broken_up(text: str, expected: str) -> None:
    """Only what would be obeyed is changed, and a person can still read it."""
    assert expected == without_commands(text)
