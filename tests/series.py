"""A recorded series of contributions to a part of the library, one on the other: what each does is known beforehand.

What the gate and the review say of each stands in `test_gate_series.py` and beside the review's tests.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

LIBRARY = Path(__file__).parents[1] / "procedures"
MARROW = "brindlow/marrow-add-key.yaml"
MOVED = "brindlow/marrow-add-key-with-buttons.yaml"
HALYARD = "corvane/halyard-relearn-remotes.yaml"
ALMANAC = "mirrado/almanac-verify-fobs.yaml"
CLOSE_OUT = "blocks/close-out.yaml"
ACCEPTED = """\
- rule: steps-do-not-fit-window
  in: brindlow-marrow-add-key
  because: The author is quick.
  by: m-15
  on: 2026-06-01
  until: 2027-05-31
"""

Files = dict[str, str]


class Contribution(NamedTuple):
    """One commit: what it is called, the file that it changes, the texts that it puts in place of others, and a new file name."""

    name: str
    file: str
    changes: tuple[tuple[str, str], ...] = ()
    moved_to: str = ""

    def made_in(self, files: Files) -> Files:
        """Give the files with the change made; a text must stand there exactly once, and none stands for a new file."""
        text = files.get(self.file, "")
        for old, new in self.changes:
            assert (not old and not text) or text.count(old) == 1, f"{self.name}: '{old}' stands {text.count(old)} times"
            text = text.replace(old, new, 1) if old else new
        kept = {name: each for name, each in files.items() if name != self.file}
        return {**kept, self.moved_to or self.file: text}


SERIES = (
    Contribution(
        "good change", MARROW, (("version: 2", "version: 3"), ("[close-session, wait 5-10 s]", "[close-session, wait 10-15 s]"))
    ),
    Contribution("cap raised", MARROW, (("n < 5: before-buttons", "n < 6: before-buttons"),)),
    Contribution("caution dropped", HALYARD, (("    caution: [coin-cell]\n", ""),)),
    Contribution(
        "fallback loop made",
        ALMANAC,
        (("  flat-fob:\n    tries: 1\n", "  flat-fob:\n"), ("done: wake, spent: not-counted", "done: wake")),
    ),
    Contribution("window tightened", MARROW, (("at-most: 15 s, late: were-they-taken", "at-most: 5 s, late: were-they-taken"),)),
    Contribution(
        "block changed", CLOSE_OUT, (("make-sure ignition off, make-sure cylinder empty, ", "make-sure cylinder empty, "),)
    ),
    Contribution("file renamed", MARROW, moved_to=MOVED),
    Contribution("vehicles widened", ALMANAC, (("years: 2018-2023", "years: 2016-2025"),)),
    Contribution(
        "formatting only",
        HALYARD,
        (
            ("written: {by: m-07, date: 2025-03-02}", "written:\n  by: m-07\n  date: 2025-03-02"),
            ("slots: {remote: 4}\n", "# The list of the vehicle.\nslots: { remote: 4 }\n"),
        ),
    ),
    Contribution("accepted by itself", "accepted.yaml", (("", ACCEPTED),)),
    Contribution("level lowered", "library.yaml", (("trust:\n", "levels: {hazard-without-caution: off}\ntrust:\n"),)),
    Contribution("file broken", ALMANAC, (("markets: [region-1, region-2]", "markets: [region-1, region-2"),)),
)


def base() -> Files:
    """Give the files that the series begins with: three procedures, and all blocks, facts, settings and registers."""
    kept = [LIBRARY / name for name in (MARROW, HALYARD, ALMANAC, "library.yaml", "sources.yaml")]
    kept += [*sorted((LIBRARY / "blocks").iterdir()), *sorted((LIBRARY / "facts").iterdir())]
    files = {path.relative_to(LIBRARY).as_posix(): path.read_text(encoding="utf-8") for path in kept}
    # Fewer fobs than the book allows for, so that a test does not count them all through.
    return {**files, ALMANAC: files[ALMANAC].replace("here: 1-7, away: 0-6", "here: 1-2, away: 0-1")}


def states() -> Iterator[tuple[Contribution, Files, Files]]:
    """Give each contribution with the files before and after it."""
    files = base()
    for each in SERIES:
        before, files = files, each.made_in(files)
        yield each, before, files
