r"""The YAML reader against the YAML specification and against other readers.

The cases are examples of YAML 1.2.2 (chapters 2 and 5 to 8) by number, each with the same structure and contents of
our own; what they must give follows from the section that the example belongs to. `\u2192` stands for a tab.
"""

import subprocess
import sys
import tarfile
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as some
from ruamel.yaml import YAML

from proclint.source import Document, Limits, SourceText, Trouble, decode, plain, read_yaml
from proclint.source.tree import Plain

ROOT = Path(__file__).parents[1]
LIBRARY = sorted((ROOT / "procedures").rglob("*.yaml"))
KINDS = {"bytes", "limit", "syntax", "not-plain", "key-not-text", "duplicate-key"}


def read(text: str) -> Document:
    """Read a text."""
    return read_yaml(SourceText("x.yaml", text), Limits())


def texts(text: str) -> Plain:
    """Read what must be plain as texts, lists and dicts."""
    document = read(text)
    assert () == document.troubles
    assert document.root is not None
    return plain(document.root)


def read_by_ruamel(text: str) -> Plain:
    """Read with ruamel.yaml, a YAML 1.2 reader in Python, whose `base` type leaves every scalar a text."""
    return without_none(YAML(typ="base", pure=True).load(text))


def without_none(tree: Plain | None) -> Plain:
    """Put an empty text where ruamel.yaml gives nothing for an empty value."""
    if isinstance(tree, dict):
        return {key or "": without_none(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [without_none(item) for item in tree]
    return "" if tree is None else tree


READ: list[tuple[str, str, Plain]] = [
    ("2.1 sequence of scalars", "- key\n- fob\n- head\n", ["key", "fob", "head"]),
    ("2.2 mapping of scalars", "slots: 4\nyears: 2017-2021 # both\n", {"slots": "4", "years": "2017-2021"}),
    ("2.3 mapping to sequences", "one:\n  - a\n  - b\ntwo:\n  - c\n", {"one": ["a", "b"], "two": ["c"]}),
    ("2.4 sequence of mappings", "-\n  a: b\n  c: 1\n-\n  a: d\n", [{"a": "b", "c": "1"}, {"a": "d"}]),
    ("2.5 sequence of sequences", "- [a , b ]\n- [c, 0.2]\n", [["a", "b"], ["c", "0.2"]]),
    ("2.6 mapping of mappings", "a: {b: 6, c: 0.2}\nd: {\n    b: 7,\n  }\n", {"a": {"b": "6", "c": "0.2"}, "d": {"b": "7"}}),
    ("2.9 comments", "---\na: # first\n  - b\n  # of c\n  - c\n", {"a": ["b", "c"]}),
    ("2.12 compact mapping", "---\n# steps\n- do : press\n  n : 1\n- do : turn\n", [{"do": "press", "n": "1"}, {"do": "turn"}]),
    ("2.13 literal keeps line ends", "# lamp\n--- |\n  o  o\n   --\n", "o  o\n --\n"),
    ("2.14 folded makes spaces", "--- >\n  Press and\n  hold\n  it.\n", "Press and hold it.\n"),
    (
        "2.15 more indented lines stay",
        "--- >\n Press\n it.\n\n   4 times\n   3 s\n\n Wait.\n",
        "Press it.\n\n  4 times\n  3 s\n\nWait.\n",
    ),
    ("2.16 indent is scope", "a: x\nb: >\n  one\n  two\nc: |\n  1\n  2\n", {"a": "x", "b": "one two\n", "c": "1\n2\n"}),
    (
        "2.17 quoted",
        "a: \"\\u263A.\"\nb: \"\\b1\\t2\\n\"\nc: \"\\x0d\\x0a\"\nd: '# not a ''note''.'\n",
        {"a": "\u263a.", "b": "\b1\t2\n", "c": "\r\n", "d": "# not a 'note'."},
    ),
    (
        "2.18 lines of flow scalars",
        'a:\n  one\n  two\n  three\n\nb: "So does\n  this\\n"\n',
        {"a": "one two three", "b": "So does this\n"},
    ),
    ("2.19 integers", "a: 12\nb: +12\nc: 0o14\nd: 0xC\n", {"a": "12", "b": "+12", "c": "0o14", "d": "0xC"}),
    ("2.20 floats", "a: 1.2e+3\nb: -.inf\nc: .nan\n", {"a": "1.2e+3", "b": "-.inf", "c": ".nan"}),
    ("2.21 others", "null:\nb: [ true, false ]\nc: '012'\n", {"null": "", "b": ["true", "false"], "c": "012"}),
    (
        "2.22 times",
        "a: 2026-03-01T09:30:00.5Z\nb: 2026-03-01 09:30:00 -5\n",
        {"a": "2026-03-01T09:30:00.5Z", "b": "2026-03-01 09:30:00 -5"},
    ),
    ("5.3 block structure", "a:\n- one\n- two\nb:\n  ? c\n  : x\n  d : y\n", {"a": ["one", "two"], "b": {"c": "x", "d": "y"}}),
    ("5.4 flow collections", "a: [ one, two, ]\nb: { c: x, d: y }\n", {"a": ["one", "two"], "b": {"c": "x", "d": "y"}}),
    ("5.7 block scalars", "a: |\n  one\n  two\nb: >\n  one\n  two\n", {"a": "one\ntwo\n", "b": "one two\n"}),
    ("5.8 quoted scalars", "a: 'x'\nb: \"y\"\n", {"a": "x", "b": "y"}),
    ("5.11 line ends", "|\n  one\n  two\n", "one\ntwo\n"),
    ("5.12 tabs and spaces", '# tabs\na: "one \u2192"\nb: |\n  x()\n  \u2192y\n', {"a": "one \t", "b": "x()\n\ty\n"}),
    (
        "5.13 escapes",
        '- "a\n  \\" \\a \\b \\e \\f\n  \\n \\r \\t \\v \\0\n  \\  \\_ \\N \\L \\P\n  \\x41 \\u0041 \\U00000041"\n',
        ['a " \a \b \x1b \f \n \r \t \v \0   \xa0 \x85 \u2028 \u2029 A A A'],
    ),
    (
        "6.1 indent spaces",
        "  # note\n   # note\n\na:\n b: |\n    x\n     y\n c: [    # note\n   d,     # note\n  e ]\n",
        {"a": {"b": "x\n y\n", "c": ["d", "e"]}},
    ),
    ("6.5 empty lines", 'a:\n  "x\n\n  y"\nb: |\n  z\n\n  w\n', {"a": "x\ny", "b": "z\n\nw\n"}),
    ("6.6 line folding", ">-\n  a\n  b\n\n\n\n  c\n  d\n", "a b\n\n\nc d"),
    ("6.7 block folding", ">\n  a \n \n  \tb\n\n  c\n", "a \n\n\tb\n\nc\n"),
    ("6.8 flow folding", '"\n  a \n\n  b\n\n  c\n"\n', " a\nb\nc "),
    ("6.9 separated comment", "a:    # note\n  b\n", {"a": "b"}),
    ("6.11 comment lines", "a:    # one\n        # two\n  b\n\n", {"a": "b"}),
    ("7.4 double quoted keys", '"a b" : [\n  "c d" : e,\n ]\n', {"a b": [{"c d": "e"}]}),
    ("7.5 double quoted lines", '"a \n b \n\n c \u2192\\\n \\ d"\n', "a b\nc \t d"),
    ("7.7 single quotes doubled", "'say ''yes'''\n", "say 'yes'"),
    ("7.8 single quoted keys", "'a b' : [\n  'c d' : e,\n ]\n", {"a b": [{"c d": "e"}]}),
    ("7.9 single quoted lines", "' a\n\n b \n c '\n", " a\nb c "),
    (
        "7.10 plain characters",
        '- ::a\n- ": - ()"\n- Up, on!\n- -12\n- mail:x#y\n- [ b:c, "Up" ]\n',
        ["::a", ": - ()", "Up, on!", "-12", "mail:x#y", ["b:c", "Up"]],
    ),
    ("7.12 plain lines", "a b\n  c\n\n  d\n", "a b c\nd"),
    ("7.13 flow sequences", "- [ a, b, ]\n- [c ,d]\n", [["a", "b"], ["c", "d"]]),
    ("7.14 entries", "[\n\"a\n b\", 'c\n   d',\ne\n f, [ g ],\nh: i,\n]\n", ["a b", "c d", "e f", ["g"], {"h": "i"}]),
    ("7.15 flow mappings", "- { a : b , c: d , }\n- {e: f,g : h}\n", [{"a": "b", "c": "d"}, {"e": "f", "g": "h"}]),
    ("7.16 entries", "{\n? a: b,\nc: d,\n}\n", {"a": "b", "c": "d"}),
    ("7.20 single pair", "[\n? a\n b : c\n]\n", [{"a b": "c"}]),
    ("8.1 headers", "- | # note\n a\n- >1 # note\n  b\n- |+ # note\n c\n\n- >1- # note\n  d\n", ["a\n", " b\n", "c\n\n", " d"]),
    ("8.2 indent found", "- |\n a\n- >\n \n  \n  # b\n- |1\n  c\n", ["a\n", "\n\n# b\n", " c\n"]),
    ("8.4 last line end", "a: |-\n  x\nb: |\n  x\nc: |+\n  x\n", {"a": "x", "b": "x\n", "c": "x\n"}),
    ("8.5 trailing lines", "a: |-\n  # x\n  \n # note\n\nb: |+\n  # y\n\n # note\n", {"a": "# x", "b": "# y\n\n"}),
    ("8.6 empty scalars", "a: >-\n\nb: >\n\nc: |+\n\n", {"a": "", "b": "", "c": "\n"}),
    ("8.7 literal", "|\n a\n \u2192b\n\n\n", "a\n\tb\n"),
    ("8.10 folded", ">\n\n a\n b\n\n c\n d\n\n   * e\n   * f\n\n g\n\n# note\n", "\na b\nc d\n\n  * e\n  * f\n\ng\n"),
    ("8.14 block sequence", "a:\n  - b\n  - c: d\n", {"a": ["b", {"c": "d"}]}),
    ("8.15 entry types", "- # empty\n- |\n a\n- - b\n  - c\n- d: e\n", ["", "a\n", ["b", "c"], {"d": "e"}]),
    ("8.16 block mapping", "a:\n b: c\n", {"a": {"b": "c"}}),
    ("8.17 explicit keys", "? a # empty\n? |\n  b\n: - c\n  - d\n", {"a": "", "b\n": ["c", "d"]}),
    ("8.18 implicit keys", 'a: b\nc: # both\n"quoted":\n- d\n', {"a": "b", "c": "", "quoted": ["d"]}),
]

REFUSED: list[tuple[str, str, str]] = [
    ("2.7 two documents", "# one\n---\n- a\n- b\n\n# two\n---\n- c\n", "syntax"),
    ("2.10 alias", "---\na:\n  - b\n  - &X c\nd:\n  - *X\n", "not-plain"),
    ("2.11 sequence as key", "? - a\n  - b\n:\n  - c\n\n? [ d,\n    e ]\n: [ f,\n    g ]\n", "key-not-text"),
    ("2.23 tags", "---\na: !!str 2026-03-01\n\nb: !own |\n  x\n", "not-plain"),
    ("2.24 global tags", "%TAG ! tag:example.org,2026:\n--- !a\n- b\n", "not-plain"),
    ("2.25 set", "--- !!set\n? a\n? b\n", "not-plain"),
    ("2.26 ordered mapping", "--- !!omap\n- a: b\n- c: d\n", "not-plain"),
    ("5.5 comment only", "# only a note\n", "syntax"),
    ("5.6 node marks", "a: !local &b c\nd: *b\n", "not-plain"),
    ("5.9 directive", "%YAML 1.2\n--- text\n", "not-plain"),
    ("5.10 reserved at sign", "a: @text\n", "syntax"),
    ("5.10 reserved grave", "a: `text\n", "syntax"),
    ("5.14 invalid escapes", 'a:\n  "\\c\n  \\xq-"\n', "syntax"),
    ("6.10 comment lines", "  # note\n   \n\n", "syntax"),
    ("6.12 mapping as key", "{ a: b, c: d }:\n# note\n  e:  f\n", "key-not-text"),
    ("6.15 directive twice", "%YAML 1.2\n%YAML 1.1\na\n", "syntax"),
    ("6.23 properties", '!!str &a "b":\n  !!str c\n&d e : *a\n', "not-plain"),
    ("7.1 alias", "a: &x b\nc: *x\na2: &x d\nc2: *x\n", "not-plain"),
    ("7.2 empty content", "{\n  a : !!str,\n  !!str : b,\n}\n", "not-plain"),
    ("8.19 compact mapping as key", "- a: b\n- ? c: d\n  : e: f\n", "key-not-text"),
    ("9.2 document marks", "%YAML 1.2\n---\na\n... # end\n", "not-plain"),
    ("3.2.1.1 a key twice", "a: 1\na: 2\n", "duplicate-key"),
]


# What YAML 1.2 reads and we refuse: libyaml reads YAML 1.1, and a refusal misleads nobody.
STRICTER: list[tuple[str, str, str]] = [
    ("6.3 tab after a dash", "- a:\u2192 b\n- - c\n  -\u2192d\n", "syntax"),
    ("6.13 reserved directive", "%NEW a b # ignored\n--- c\n", "syntax"),
    ("7.3 empty flow nodes", "{\n  ? a :,\n  : b,\n}\n", "syntax"),
    ("7.10 colons in a flow list", "[ ::a ]\n", "syntax"),
    ("7.17 empty key", "{\na : b,\n: c,\n}\n", "syntax"),
]


@pytest.mark.parametrize(("text", "expected"), [case[1:] for case in READ], ids=[case[0] for case in READ])
def test_examples_that_are_plain(text: str, expected: Plain) -> None:
    """An example of the specification that is plain gives the texts that the specification says."""
    assert expected == texts(text.replace("\u2192", "\t"))


# ruamel.yaml 0.19 refuses blank lines before the first line of a block where they are indented.
ALIKE = [case for case in READ if case[0] != "8.2 indent found"]


@pytest.mark.parametrize(("text", "expected"), [case[1:] for case in ALIKE], ids=[case[0] for case in ALIKE])
def test_the_examples_are_right(text: str, expected: Plain) -> None:
    """Another reader takes the examples for the same, so what is expected of ours is no mistake of ours."""
    assert expected == read_by_ruamel(text.replace("\u2192", "\t"))


NOT_READ = REFUSED + STRICTER


@pytest.mark.parametrize(("text", "kind"), [case[1:] for case in NOT_READ], ids=[case[0] for case in NOT_READ])
def test_examples_that_are_not_plain(text: str, kind: str) -> None:
    """An example that is not plain, or not YAML, is refused for the reason that it shows."""
    assert kind in {trouble.kind for trouble in read(text.replace("\u2192", "\t")).troubles}


@pytest.mark.parametrize("path", LIBRARY, ids=lambda path: path.stem)
def test_the_library_is_read_as_others_read_it(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every file of the library gives the texts that ruamel.yaml gives, with libyaml and without."""
    text = path.read_text(encoding="utf-8")
    expected = read_by_ruamel(text)
    assert expected == texts(text)
    monkeypatch.delattr(yaml, "CBaseLoader")
    assert expected == texts(text)


def test_there_is_a_library() -> None:
    """The test above has something to look at."""
    assert len(LIBRARY) >= 20


LEAVES = some.text(some.characters(max_codepoint=0x1F6FF, exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=8)
NAMES = some.text(some.sampled_from("abcé-_ 0:#'"), min_size=1, max_size=6)
TREES = some.dictionaries(
    NAMES,
    some.recursive(
        LEAVES, lambda inner: some.lists(inner, max_size=3) | some.dictionaries(NAMES, inner, max_size=3), max_leaves=8
    ),
    min_size=1,
    max_size=4,
)


@given(TREES, some.sampled_from([False, True, None]), some.sampled_from(["\n", "\r\n"]))
def test_generated_mappings(tree: dict[str, Plain], flow: bool | None, line_end: str) -> None:
    """A tree that PyYAML writes, in any style, is read as it was and as ruamel.yaml reads it."""
    # The width keeps a name of any length on one line, and the mark is no part of a text.
    written = yaml.safe_dump(tree, default_flow_style=flow, allow_unicode=True, width=1000, line_break=line_end)
    if "\ufeff" not in written and "\t" not in written:
        assert tree == texts(written) == read_by_ruamel(written)


PYYAML = "PyYAML==6.0.3"


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Get PyYAML's own test data, the examples of the specification among them, out of its source distribution."""
    folder = tmp_path_factory.mktemp("pyyaml")
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-binary", ":all:", "--no-deps", PYYAML]
    done = subprocess.run([*command, "--dest", str(folder)], capture_output=True, text=True, check=False, timeout=900)
    found = list(folder.glob("*.tar.gz"))
    if not found:
        pytest.skip(f"{PYYAML} could not be downloaded: {done.stderr.strip()[-200:]}")
    with tarfile.open(found[0]) as archive:
        archive.extractall(folder, filter="data")
    (legacy,) = folder.glob("*/tests/legacy_tests/data")
    return legacy


def compared(path: Path) -> str:
    """Say how our reading of a file compares with PyYAML's: `same`, `refused`, or a difference in words."""
    text = decode(path.name, path.read_bytes(), Limits())
    if isinstance(text, Trouble):
        return "refused"
    document = read_yaml(text, Limits())
    assert {trouble.kind for trouble in document.troubles} <= KINDS
    if document.troubles or document.root is None:
        return "refused"
    ours, theirs = plain(document.root), yaml.load(text.text, Loader=yaml.BaseLoader)
    return "same" if ours == theirs else f"{path.name}: {ours!r} is not {theirs!r}"


@pytest.mark.long
def test_data_of_pyyaml(data: Path) -> None:
    """Every data file of PyYAML's tests is refused for a reason that we name, or read as PyYAML reads it."""
    found = [compared(path) for path in sorted(data.glob("*.data"))]
    odd = [each for each in found if each not in {"same", "refused"}]
    print(f"{len(found)} files: {found.count('same')} the same, {found.count('refused')} refused, {len(odd)} unlike")
    assert [] == odd
    assert found.count("same") >= 50


@pytest.mark.long
def test_broken_files_of_pyyaml(data: Path) -> None:
    """Every file that PyYAML's tests hold to be broken is refused."""
    broken = [path for kind in ("loader-error", "single-loader-error", "stream-error") for path in sorted(data.glob(f"*.{kind}"))]
    read_all_the_same = [path.name for path in broken if compared(path) != "refused"]
    print(f"{len(broken)} broken files, {len(read_all_the_same)} read all the same")
    assert [] == read_all_the_same
