"""Each failure story has a file that is caught by the rule it calls for, and nothing else, and a mended twin that is silent."""

import os
from collections import Counter
from pathlib import Path

import pytest

from tests.pairs import FOLDER, Story, catches, stories, table

TABLE = FOLDER / "table.txt"
RENEW = "PROCLINT_RENEW=1 python -m pytest tests/test_stories.py"
STORIES = stories()


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.folder.name)
def test_defective_half_is_caught(story: Story) -> None:
    """The defective half gives the results that the story names, each at its line, and no other."""
    found = list(catches(story.folder, "defective"))
    for rule, words in story.caught:
        fitting = [each for each in found if each.rule == rule and words in each.words]
        assert fitting, f"Nothing of {rule} at a line with {words!r} among {found}"
        found.remove(fitting[0])
    assert [] == found


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.folder.name)
def test_mended_half_is_silent(story: Story) -> None:
    """The mended half gives no result under any rule."""
    assert () == catches(story.folder, "mended")


def test_table_is_current() -> None:
    """The checked-in table says what the pairs give today; with PROCLINT_RENEW=1 it is written anew."""
    now = table()
    if os.environ.get("PROCLINT_RENEW") == "1":
        TABLE.write_text(now, encoding="utf-8", newline="\n")
    assert TABLE.read_text(encoding="utf-8") == now, f"A pair gives something else. Look whether that was meant, then: {RENEW}"


def test_story_is_told_once() -> None:
    """No number is given twice, and each story says what happened and what catches it."""
    assert [] == [number for number, times in Counter(story.number for story in STORIES).items() if times > 1]
    assert [] == [story.folder.name for story in STORIES if not (story.caught and story.told.endswith("."))]


def test_halves_differ() -> None:
    """A pair of whole files is two files; one that is the same twice would prove nothing."""
    pairs: list[tuple[Path, Path]] = [
        (path, path.with_name(f"mended{path.suffix}")) for story in STORIES for path in story.folder.glob("defective.*")
    ]
    assert [] == [path for path, twin in pairs if twin.is_file() and path.read_bytes() == twin.read_bytes()]
