"""Plain YAML becomes a tree of texts with places; what is not plain is refused in words for its author."""

import pytest
import yaml

from proclint.source import Document, Limits, Mapping, Node, Scalar, Sequence, SourceText, plain, read_yaml
from proclint.source.tree import Plain


@pytest.fixture(params=["libyaml", "python"])
def _reader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run a test with libyaml and with its twin in Python."""
    if request.param == "python":
        monkeypatch.delattr(yaml, "CBaseLoader")


pytestmark = pytest.mark.usefixtures("_reader")


def read(text: str) -> Document:
    """Read a text."""
    return read_yaml(SourceText("x.yaml", text), Limits())


def tree(text: str) -> Plain:
    """Read what must be plain."""
    document = read(text)
    assert () == document.troubles
    assert document.root is not None
    assert document.is_readable
    return plain(document.root)


def told(document: Document) -> list[tuple[str, str, str]]:
    """Give kind, text shown and message of each trouble."""
    text = document.text.text
    return [(each.kind, text[each.at.start : each.at.end], each.message) for each in document.troubles]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # YAML 1.1 would make booleans, numbers, a time, a date and nothing of these.
        ("[on, off, no, y]", ["on", "off", "no", "y"]),
        ("[012, 0o14, 1e3, 1_0, 12:30:00]", ["012", "0o14", "1e3", "1_0", "12:30:00"]),
        ("[2026-03-01, ~, null, .inf, =]", ["2026-03-01", "~", "null", ".inf", "="]),
        ("true: {1: 2}", {"true": {"1": "2"}}),
        ("a:\nb: ''\nc: \"\"", {"a": "", "b": "", "c": ""}),
        ("--- # note\na: b\n...\n# note", {"a": "b"}),
        ("a: b\r\nc:\r\n  - d\r\n", {"a": "b", "c": ["d"]}),
        ("a: b\rc:\r  - d\r", {"a": "b", "c": ["d"]}),
        ("? a\n: b\n? c", {"a": "b", "c": ""}),
        ("{a, b: , ? c}", {"a": "", "b": "", "c": ""}),
        ("[a: b, ? c : d]", [{"a": "b"}, {"c": "d"}]),
        ("🔑é: [😀]", {"🔑é": ["😀"]}),
        ('"<<": a', {"<<": "a"}),
        ("a: '*b'\nc: '&d'\ne: '!f'", {"a": "*b", "c": "&d", "e": "!f"}),
        ('"a\\u2028\\N\\0\\x1b"', "a\u2028\x85\0\x1b"),
        ("a: " + "x" * 100_000, {"a": "x" * 100_000}),
    ],
)
def test_values_are_texts(text: str, expected: Plain) -> None:
    """Every value is the text that its author wrote, whatever it looks like."""
    assert expected == tree(text)


def scalars(node: Node) -> list[Scalar]:
    """Give keys and scalar values in file order."""
    if isinstance(node, Scalar):
        return [node]
    if isinstance(node, Sequence):
        return [each for item in node.items for each in scalars(item)]
    return [each for key, value in node.pairs.values() for each in (key, *scalars(value))]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: b # c", ["a", "b"]),
        ("🔑: [😀 x, 'y', \"z\" ]", ["🔑", "😀 x", "'y'", '"z"']),
        ("{a: b c , d : e}", ["a", "b c", "d", "e"]),
        ("a: 'it''s'\nb: \"\\x41\\\n  c\"", ["a", "'it''s'", "b", '"\\x41\\\n  c"']),
        ("a: one\n  two\n\n  three\nb: c", ["a", "one\n  two\n\n  three", "b", "c"]),
        ("a: 'one\n\n  two'", ["a", "'one\n\n  two'"]),
        ("a: |\n  x\n\n  y\n\n\nb: c", ["a", "|\n  x\n\n  y", "b", "c"]),
        ("a: >2-\n    x\r\n\r\n# c\r\nb: c", ["a", ">2-\n    x", "b", "c"]),
        ("a: |+\n\n\nb: |", ["a", "|+", "b", "|"]),
        ("- |\n x \t\n \n- y", ["|\n x", "y"]),
        ("a:\nb: ''", ["a", "", "b", "''"]),
        ("a\r: b\r", None),
    ],
)
def test_spans_cut_out_what_is_written(text: str, expected: list[str] | None) -> None:
    """A scalar's span holds its quotes and escapes, that of a block not the blank lines after it."""
    root = read(text).root
    assert expected == (None if root is None else [text[each.start : each.end] for each in scalars(root)])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: {b: c} # d", "{b: c}"),
        ("a: [b,\n c ]\n", "[b,\n c ]"),
        ("a:\n- b\n- c: d\n\n# e\nf: g", "- b\n- c: d"),
        ("a:\n  b: c\n  d:\n    e: f\n# g\n\nh: i", "b: c\n  d:\n    e: f"),
        ("a:\n  b: |\n    c\n\n\nd: e", "b: |\n    c"),
        ("a: [b: c , d]", "[b: c , d]"),
        ("a:\n  b:\n\n# c\nd: e", "b:"),
    ],
)
def test_containers_end_where_their_last_value_does(text: str, expected: str) -> None:
    """A list or mapping ends at its bracket or its last value, not at the comment or key that follows."""
    root = read(text).root
    assert isinstance(root, Mapping)
    value = root.pairs["a"][1]
    assert expected == text[value.start : value.end]


def test_a_single_pair_in_a_list() -> None:
    """A pair written straight into a flow list ends with its value."""
    root = read("[a: b , c]").root
    assert isinstance(root, Sequence)
    assert (1, 5) == (root.items[0].start, root.items[0].end)


TWICE = "'{}' stands here a second time; only one of the two would count."


@pytest.mark.parametrize(
    ("text", "name", "path", "spans"),
    [
        ("a: 1\nb: 2\na: 3\n", "a", ("a",), ((10, 11), (0, 1))),
        ("{a: 1, 'a': 2}", "a", ("a",), ((7, 10), (1, 2))),
        ("x:\n- {b: {c: 1, c: 2}}", "c", ("x", 0, "b", "c"), ((16, 17), (10, 11))),
        ("? a\n: 1\n? a\n", "a", ("a",), ((10, 11), (2, 3))),
        ("{'': 1, \"\": 2}", "", ("",), ((8, 10), (1, 3))),
    ],
)
def test_a_name_twice(text: str, name: str, path: tuple[str | int, ...], spans: tuple[tuple[int, int], tuple[int, int]]) -> None:
    """The second of two equal names is told with both places, and the first one counts."""
    document = read(text)
    (trouble,) = document.troubles
    assert trouble.other is not None
    assert ("duplicate-key", TWICE.format(name), path) == (trouble.kind, trouble.message, trouble.at.path)
    assert spans == ((trouble.at.start, trouble.at.end), (trouble.other.start, trouble.other.end))
    assert document.is_readable


def test_a_name_three_times() -> None:
    """The second and the third are told each, with the place of the first."""
    troubles = read("{a: 1, a: 2, a: 3}").troubles
    assert [(7, 1), (13, 1)] == [(each.at.start, each.other.start) for each in troubles if each.other]


NAMED = "'&{}' names this value for use elsewhere."
ELSEWHERE = "'*{}' stands for a value that is written elsewhere."
MERGE = "'<<' would merge in values that are written elsewhere."
TAG = "A tag ({}) stands before this value."
PYTHON = "!!python/"
ODD_KEY = "A list or a mapping stands where a name belongs."


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "a: &x 1\nb: *x",
            [("not-plain", "&", NAMED.format("x")), ("not-plain", "*x", ELSEWHERE.format("x"))],
        ),
        # An alias inside its own anchor: a tree without end for who follows it.
        ("a: &x [*x]", [("not-plain", "&", NAMED.format("x")), ("not-plain", "*x", ELSEWHERE.format("x"))]),
        ("a: *nowhere", [("not-plain", "*nowhere", ELSEWHERE.format("nowhere"))]),
        (
            "*x : 1\n*y : 2",
            [("not-plain", "*x", ELSEWHERE.format("x")), ("not-plain", "*y", ELSEWHERE.format("y"))],
        ),
        ("<<: {a: b}", [("not-plain", "<<", MERGE)]),
        ("a: !!python/name:os.sep x", [("not-plain", "!", TAG.format(PYTHON + "name:os.sep"))]),
        ("a: !!python/object/apply:f [x]", [("not-plain", "!", TAG.format(PYTHON + "object/apply:f"))]),
        ("!own {a: b}", [("not-plain", "!", TAG.format("!own"))]),
        ("a: ! b", [("not-plain", "!", TAG.format("!"))]),
        ("a: !!str b", [("not-plain", "!", TAG.format("!!str"))]),
        ("[!!int 1, !!map {}]", [("not-plain", "!", TAG.format("!!int")), ("not-plain", "!", TAG.format("!!map"))]),
        ("a: !<tag:example.org,2026:x> b", [("not-plain", "!", TAG.format("!<tag:example.org,2026:x>"))]),
        ("a: &x # y\n  !own b", [("not-plain", "&", NAMED.format("x")), ("not-plain", "&", TAG.format("!own"))]),
        ("&x !own a", [("not-plain", "&", NAMED.format("x")), ("not-plain", "&", TAG.format("!own"))]),
        ("? [a, b]\n: c", [("key-not-text", "[", ODD_KEY)]),
        ("{{a: b}: c, ? d}", [("key-not-text", "{", ODD_KEY)]),
        (
            "'?': a\n? [b]\n: c\n? {d: e}\n: f",
            [("key-not-text", "[", ODD_KEY), ("key-not-text", "{", ODD_KEY)],
        ),
    ],
)
def test_what_is_not_plain(text: str, expected: list[tuple[str, str, str]]) -> None:
    """Anchors, aliases, merge keys, tags and keys that are no texts are told, and nothing is followed."""
    document = read(text)
    assert expected == told(document)
    assert not document.is_readable


DIRECTIVE = "A line that begins with % gives orders to the reader of the file."


@pytest.mark.parametrize("line", ["%YAML 1.2", "# c\n%YAML 1.1", "%TAG ! tag:example.org,2026:"])
def test_directives_are_refused(line: str) -> None:
    """A line for the reader of the file has no place in a plain file."""
    assert [("not-plain", "%", DIRECTIVE)] == told(read(line + "\n---\na: b\n"))


@pytest.mark.parametrize("line", ["%YAML 3.0", "%YAML 1", "%NEW x"])
def test_unknown_directives_are_refused(line: str) -> None:
    """A directive that nobody knows is refused too, if only as broken YAML."""
    document = read(line + "\n---\na: b\n")
    assert document.root is None
    assert document.troubles


EMPTY = [("syntax", "", "This file is empty.")]


@pytest.mark.parametrize("text", ["", "\n \n", "# only a note\n", "---\n", "--- # note\n...\n", "\r\n"])
def test_empty_files(text: str) -> None:
    """A file of nothing but blank lines, notes and marks is empty."""
    assert EMPTY == told(read(text))


@pytest.mark.parametrize("text", ["a: b\n---\nc: d\n", "--- a\n--- b", "a\n...\n---\n"])
def test_a_second_document(text: str) -> None:
    """A second document in a file is refused where it begins."""
    assert [("syntax", "---", "A second document begins here.")] == told(read(text))


A_TAB = "A tab stands where only spaces may."


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("\ta: b", 0),
        ("a:\n\tb: c", 3),
        ("a:\n  \tb: c", 5),
        ("a: b\n  \tc: d", 7),
        ("a: b\r\tc: d", 5),
        ("a:\n  b: c\n\td: e", 10),
        ("a:\r  b: c\r \td: e", 11),
        ("a:\n  - b\n \t- c", 10),
        ("- a\n\t- b", 4),
        ("a: |\n\tb", 5),
        ("a: |\n  b\n\tc", 9),
        ("-\t- a", 1),
        ("?\ta", 1),
    ],
)
def test_a_tab_as_indent(text: str, at: int) -> None:
    """Where a line is indented by a tab, the tab is what is told and where."""
    document = read(text)
    assert [("syntax", "\t", A_TAB)] == told(document)
    assert at == document.troubles[0].at.start


COLON = ("A colon stands where no second one may.", "Put the value in quotes, or check the indent.")
KEPT = ("A character that YAML keeps for itself begins this value.", "Put the value in quotes.")
NO_COLON = ("A line here has no colon after its name.", "Write 'name: value', and check the indent.")
INDENT = ("The indent changes here, or a quote or bracket is left over.", "Line the names up.")
OPEN = ("A bracket that was opened is not closed here.", "Close it, or put a comma between the values.")
DASH = ("A dash begins a list where none may begin.", "Begin the list on a line of its own.")
QUOTE = ("A quotation mark that opens here is never closed.", "Close the quotation mark.")
LINE = (
    "A line of dashes or dots stands inside a text in quotes.",
    "Close the quotation mark, or indent the line.",
)
ESCAPE = (
    "A backslash in double quotes begins what YAML does not know.",
    "Write it twice, or use single quotes.",
)
STAR = ("A value without quotes begins with * or &.", "Put the value in quotes.")
NO_VALUE = ("A value is missing here, or a bracket is left over.", "Write the value, or delete the bracket.")
LEFT_OVER = ("Text is left over after the end of what the file holds.", "Check the indent, or delete it.")


@pytest.mark.parametrize(
    ("text", "span", "words"),
    [
        ("a: b: c", (4, 5), COLON),
        ("a: @b", (3, 4), KEPT),
        ("a: `b`", (3, 4), KEPT),
        ("a: %b", (3, 4), KEPT),
        ("a: b\nfoo\nc: d", (9, 10), NO_COLON),
        ("a: |\n  b\n c\n", (10, 11), INDENT),
        ("a: 'b' c", (7, 8), INDENT),
        ("a: [b, c\nd: e\n", (10, 11), OPEN),
        ("a: {b: c", (8, 8), OPEN),
        ("a: - b", (3, 4), DASH),
        ("a: 'b", (3, 4), QUOTE),
        ("é🔑: 'x\n", (4, 5), QUOTE),
        ('a: "b\n---\n', (6, 7), LINE),
        ('a: "\\u12"', (6, 7), ESCAPE),
        ('a: "\\UFFFFFFFF"', (6, 7), ESCAPE),
        ("a: *", (4, 4), STAR),
        ("a: &! b", (4, 5), STAR),
        ("a: ]", (3, 4), NO_VALUE),
        ("'a' b", (4, 5), LEFT_OVER),
    ],
)
def test_broken_yaml_in_plain_words(text: str, span: tuple[int, int], words: tuple[str, str]) -> None:
    """Where the reader loses the thread, the author is told what stands there and what to do."""
    document = read(text)
    (trouble,) = document.troubles
    assert ("syntax", *words) == (trouble.kind, trouble.message, trouble.change)
    assert span == (trouble.at.start, trouble.at.end)
    assert document.root is None


RUNS_ON = (
    "A text in quotes begins here, and ends lines below with more behind it.",
    "Close the quotation mark where the text ends.",
)


@pytest.mark.parametrize(("before", "label"), [("", " HEAD"), ("title: it's\n", ""), ('steps:\n  a: {do: "x\n', " ours")])
def test_a_conflict_that_nobody_resolved(before: str, label: str) -> None:
    """Marks that git left in a file are told as a conflict where they begin, whatever else is broken by them."""
    text = f"{before}<<<<<<<{label}\nversion: 2\n=======\nversion: 3\n>>>>>>> theirs\n"
    (trouble,) = read(text).troubles
    assert ("syntax", len(before), len(before) + 7) == (trouble.kind, trouble.at.start, trouble.at.end)
    assert "Two versions of this file were not put together: a conflict begins here." == trouble.message
    assert () == read("text: |\n  <<<<<<< no mark, being text\n").troubles


@pytest.mark.parametrize(
    ("text", "opens", "ends"),
    [
        ('says: "NEW LIST? Y/N\nb: 3\ntell: "done here"\nc: 4\n', 6, 32),
        ("says: 'NEW LIST? Y/N\nb: open the driver's door\n", 6, 39),
        ('x: {says: "NEW LIST, b: 3}\ny: {says: "other", z: 3}\n', 10, 37),
        ("- 'one\r- two\r- 'three'\r", 2, 15),
        ('"a: 1\nb: "x"\n', 0, 9),
        ('a: "b\n  c" d\n', 3, 9),
        ('a: "b\nc: "d: e\n', 3, 9),
    ],
)
def test_a_lost_quotation_mark(text: str, opens: int, ends: int) -> None:
    """A text in quotes that swallows lines below is told where it opens, with the mark at which it ends."""
    (trouble,) = read(text).troubles
    assert trouble.other is not None
    assert RUNS_ON == (trouble.message, trouble.change)
    assert (opens, ends) == (trouble.at.start, trouble.other.start)


@pytest.mark.parametrize("text", ['a: "b\n  c"\nd: e: f\n', 'a: "b\n  c"\n d: e\n', 'a: "b" c\n'])
def test_a_text_over_several_lines_is_not_to_blame(text: str) -> None:
    """A text in quotes that ends on an earlier line, or on its own, has nothing to do with what is broken."""
    (trouble,) = read(text).troubles
    assert trouble.other is None
    assert "quotes begins" not in trouble.message


def test_a_dash_that_does_not_line_up() -> None:
    """What stands beside a list without a dash is told, by the twin in Python in more general words."""
    (trouble,) = read("- a\nb: c").troubles
    assert (4, trouble.message) in [
        (trouble.at.start, m) for m in (INDENT[0], "This line does not line up with the list above it.")
    ]


def test_a_backslash_at_its_place() -> None:
    """An unknown escape is told at or beside its backslash."""
    document = read('a: "\\q"')
    assert ESCAPE[0] == document.troubles[0].message
    assert document.troubles[0].at.start in (4, 5)


def test_half_a_character_by_escape() -> None:
    """An escape that names half of a pair of surrogates is refused: no text holds it."""
    (trouble,) = read('a: "\\ud83d"').troubles
    assert ESCAPE[0] == trouble.message


def test_what_has_no_plain_words() -> None:
    """What we have no words for is told in the reader's own, with a hint where to look."""
    (trouble,) = read("a: >-1x\n").troubles
    assert trouble.message.startswith("From here on this is not YAML (")
    assert "Check the lines just above: indent, colons, quotes, brackets." == trouble.change


@pytest.mark.parametrize("character", ["\x07", "\x1b", "\x7f", "\x9b", "\ufffe", "\ud83d", "\0"])
def test_control_characters(character: str) -> None:
    """A character that YAML 1.2.2, section 5.1, keeps out of a file is told alone and at its place."""
    for before in ("a: ", "a: &x b\nc: *x\n# " + "c" * 100_000):
        document = read(before + character)
        assert [("syntax", character, "A control character stands in this file.")] == told(document)


@pytest.mark.parametrize(
    ("character", "name"),
    [
        ("\x85", "A next-line character (U+0085)"),
        ("\u2028", "A line separator (U+2028)"),
        ("\u2029", "A paragraph separator (U+2029)"),
        ("\ufeff", "A byte-order mark (U+FEFF)"),
    ],
)
@pytest.mark.parametrize("around", ["é: b{}c: d\ufeff", '"{}"', "# a{}b: c\n", "{}a: b"])
def test_invisible_characters(character: str, name: str, around: str) -> None:
    """A line end that most programs do not show is refused, as the file would be read other than it looks."""
    document = read(around.format(character))
    assert [("syntax", character, f"{name} stands here, and most programs do not show it.")] == told(document)


def nested(depth: int) -> str:
    """Write lists in lists."""
    return "[" * depth + "]" * depth


TOO_DEEP = "This is nested more than 64 deep."


@pytest.mark.parametrize(
    "text",
    [
        nested(65),
        "- " * 65 + "a",
        "{a: " * 65,
        "\n".join(" " * level + "a:" for level in range(66)) + " b",
        "? " * 65,
        "{{" * 40,
        nested(100_000),
        "- " * 100_000,
        "{a: " * 100_000,
        "? " * 100_000,
        "[" * 100_000,
    ],
    ids=range(11),
)
def test_depth_is_limited(text: str) -> None:
    """What is nested more than 64 deep is refused, a hundred thousand deep as well."""
    document = read(text)
    assert [("limit", TOO_DEEP)] == [(each.kind, each.message) for each in document.troubles]
    assert document.root is None


def test_depth_of_the_limit() -> None:
    """What is nested 64 deep is read."""
    document = read(nested(64))
    assert () == document.troubles
    assert (0, 128) == (document.at.start, document.at.end)


def test_values_are_limited() -> None:
    """As many keys, values and items as the limit says are read, and one more refused; it is 50,000."""
    assert 50_000 == Limits().nodes
    few, message = Limits(nodes=8), "This file holds more than 8 values."
    for most, more in (("- a\n" * 8, "- b"), ("{a: [c, d], e: {f: g}", ", b: h}")):
        assert [] == told(read_yaml(SourceText("x.yaml", most + "}" * most.count("[")), few))
        assert [("limit", "b", message)] == told(read_yaml(SourceText("x.yaml", most + more), few))


def test_aliases_of_aliases() -> None:
    """Ten aliases of ten aliases and so on, nine times, cost no more than their length: none is followed."""
    lines = ["a0: &a0 [x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 10)]
    document = read("\n".join(lines))
    assert 100 == len(document.troubles)
    assert {"not-plain"} == {trouble.kind for trouble in document.troubles}
