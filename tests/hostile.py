"""A report whose every text tries to be obeyed: by a terminal, the log of a CI system, a browser, a Markdown renderer."""

from collections.abc import Iterator

from proclint.engine import NotChecked, OwnFault, Report, Reported
from proclint.model import Acceptance
from proclint.results import Harm, Kind, Level, Note, Passed, Result, State
from proclint.rule import Rule, Scope
from proclint.source import Place, SourceText

EVIL = (
    "\x1b[2J\x1b]0;title\x07",
    "::error file=x::owned",
    "\n::set-output name=a::b",
    "\r\n   ::stop-commands::x",
    "%0A::error::owned",
    "##[error]owned",
    "##vso[task.setvariable variable=a]b",
    "<script>alert(1)</script>",
    "</details><img src=x onerror=alert(1)>",
    "]]></failure><failure>",
    "&amp;&#10;",
    "[link](https://example.org)",
    "![picture](https://example.org/x.png)",
    "@everybody #1 example/example#2 https://example.org www.example.org",
    "```\n# out of the fence\n````",
    "~~~",
    "\"quoted', a,b:c",
    "\u202eleft\u2066",
    "\u2028::error::owned",
    "a\ud800b\ufffec",
)
ALL = " ".join(EVIL)
# A wrapped line may begin anywhere, so that every one of them stands at the start of a line in one text or another.
WORDS = tuple(f"{'x' * width} {ALL}" for width in range(0, 84, 7))


def nothing(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR, Level.NOTE), Harm.NO_KEY, "graph", "A page.", nothing)
# A name of bytes that are no text never gets so far.
FILE = f"procedures/{ALL.replace('/', '.')}.yaml".replace("\ud800", "")
ACCEPTANCE = Acceptance(Place.of_file(FILE), ALL, ALL, ALL, ALL, ALL, ALL, ALL, ALL)


def _results(at: Place) -> Iterator[Result]:
    yield Result(ALL, at, change=ALL, why=ALL, subject=ALL, notes=(Note(at, ALL),), trace=(Passed(at, ALL, ALL), Passed(at, ALL)))
    yield from (Result(text, at, change=text, why=text, subject=text) for text in WORDS)
    yield Result(ALL, at, kind=Kind.OPEN)


def hostile_report() -> Report:
    """Give the report."""
    text = f"{ALL}\n"
    at = Place(FILE, ("a",), None, (0, len(text)))
    reported = [Reported(RULE, Level.ERROR, each, f"f{number}", ALL, reaches=(ALL,)) for number, each in enumerate(_results(at))]
    old = Reported(RULE, Level.NOTE, Result(ALL, at), "old", state=State.UNCHANGED, counts=False)
    accepted = Reported(RULE, Level.ERROR, Result(ALL, at), "taken", acceptance=ACCEPTANCE)
    return Report(
        results=(*reported, old),
        accepted=(accepted,),
        not_checked=(NotChecked(FILE, ALL),),
        own_faults=(OwnFault(RULE.id, FILE, ALL), OwnFault(RULE.id, "", ALL)),
        files=(FILE, "other.yaml"),
        rules=(RULE,),
        texts={FILE: SourceText(FILE, text)},
    )
