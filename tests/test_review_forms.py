"""A review reads the same as text, Markdown and HTML, and nothing that a stranger wrote is obeyed in any of them."""

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256
from html.parser import HTMLParser

import pytest
from markdown_it import MarkdownIt

from proclint.apps.rule_set import known_rules
from proclint.engine import Input
from proclint.render.review.as_html import html_review
from proclint.render.review.as_markdown import MOST, code, escaped, inert, markdown_review
from proclint.render.review.as_text import text_review
from proclint.render.review.drawing import lines_at, width_of
from proclint.render.review.folio import folio_of
from proclint.render.review.lanes import lanes_of
from proclint.render.review.leaf import Arrow, Folio, Items, Leaf, Place, Prose, Section
from proclint.render.review.style import CSS, DARK, LIGHT
from proclint.review import Edition, review
from tests import hostile_procedure as hostile

ON = "2026-06-15"
RULES = known_rules()


def edition(text: str) -> Edition:
    """Lay one procedure out."""
    return Edition.of([Input("halyard-add-key.yaml", "steps", text.encode())], RULES, ON)


@cache
def folio(text: str, before: str = "") -> Folio:
    """Lay the review of one procedure out, against one that stood there before."""
    old = edition(before) if before else None
    return folio_of(review(edition(text), old, RULES, ["halyard-add-key.yaml"], against="before" if before else ""))


def hostile_folio() -> Folio:
    """Give the review of a contribution that means harm."""
    return folio(hostile.procedure(), hostile.procedure(f"{hostile.TEXT} once more"))


class Page(HTMLParser):
    """What a browser finds on a page: tags with their attributes, and texts."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag."""
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        """Keep a text."""
        self.texts.append(data)


def words(text: str) -> frozenset[str]:
    """Give the words of a text."""
    return frozenset(re.findall(r"\S+", text))


MARKDOWN_TAGS = words("h2 h3 p strong ul ol li details summary table thead tbody tr th td code pre span")
HTML_TAGS = words(
    "html head meta title style body header h1 h2 h3 h4 p main article section div strong b i dl dt dd ul ol "
    "li table caption thead tbody tr th td footer svg line path rect text span"
)
HTML_ATTRIBUTES = words(
    "charset http-equiv content name lang class id role scope data-label aria-label aria-hidden width height x "
    "y x1 x2 y1 y2 d text-anchor overflow"
)


def test_html_obeys_nothing() -> None:
    """On the page of a contribution that means harm stand only our own tags and attributes, and its texts as they are."""
    page = Page(html_review(hostile_folio()))
    assert set() == {tag for tag, _ in page.tags} - HTML_TAGS
    assert set() == {name for _, attributes in page.tags for name in attributes} - HTML_ATTRIBUTES
    assert any("<script>alert(1)</script>" in text for text in page.texts)
    assert not any("\u202e" in text for text in page.texts)


def test_policy_names_the_style_and_nothing_else() -> None:
    """The page may use its one style by its digest (Content Security Policy Level 3, W3C), and load nothing."""
    page = Page(html_review(hostile_folio()))
    policies = [
        given["content"] for tag, given in page.tags if tag == "meta" and given.get("http-equiv") == "Content-Security-Policy"
    ]
    digest = b64encode(sha256(CSS.encode()).digest()).decode()
    assert [f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"] == policies
    assert "url(" not in CSS
    assert "@import" not in CSS


def of_markdown(text: str) -> Page:
    """Give what an independent renderer makes of Markdown: markdown-it-py, CommonMark with tables and bare links."""
    return Page(MarkdownIt("commonmark", {"html": True, "linkify": False}).enable("table").render(text))


def test_markdown_obeys_nothing() -> None:
    """An independent renderer of CommonMark finds no link, picture, script or tag of a stranger's, and no name that is called."""
    page = of_markdown(markdown_review(hostile_folio()))
    assert set() == {tag for tag, _ in page.tags} - MARKDOWN_TAGS
    assert set() == {name for _, given in page.tags for name in given}
    # In one run of text an at sign calls a name, and an address becomes a link (GitHub, from memory).
    assert not any(re.search(r"@\w|www\.|https?://\w", text) for text in _outside_code(markdown_review(hostile_folio())))
    assert any("alert(1)" in text for text in page.texts)


def _outside_code(text: str) -> list[str]:
    html = MarkdownIt("commonmark", {"html": True}).enable("table").render(text)
    return Page(re.sub(r"<code>.*?</code>", "", html, flags=re.DOTALL)).texts


@pytest.mark.parametrize(
    "text",
    [
        hostile.TEXT,
        "# not a heading",
        "- not a list",
        "1. not a list",
        "    not code",
        "> not a quotation",
        "```not a fence",
        "~~~",
        "a\n\nb",
        "| a | b |",
        "[x]: http://evil.example",
        "</details>",
        "&amp;",
        "a\\",
        "trailing\\\\",
        "***",
        "$x$",
    ],
)
def test_inert_text_is_itself(text: str) -> None:
    """A text written for Markdown reads as itself in an independent renderer, as do texts in HTML and in code inside of it."""
    expected = " ".join(text.replace("\u202e", "?").split())
    for written in (f"x {inert(text)}", f"- {inert(text)}", f"x {code(text)}"):
        shown = "".join(of_markdown(written).texts)
        assert expected == " ".join(shown.split()).removeprefix("x ")
    page = of_markdown(f"<details><summary>{escaped(text)}</summary>\n\nx\n\n</details>")
    assert expected in " ".join("".join(page.texts).split()) or "\n\n" in text


def test_text_obeys_nothing() -> None:
    """On a terminal no control character of a stranger's arrives, and no line begins with what a CI system would obey."""
    shown = text_review(hostile_folio())
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", shown)
    assert not re.search(r"^\s*::", shown, re.MULTILINE)


def test_forms_say_the_same() -> None:
    """What stands in one form stands in each: verdict, results, differences, endings, and what was not checked."""
    before = hostile.procedure("Look").replace("n <= 4: learn", "n < 4: learn")
    found = folio(hostile.procedure("Look"), before)
    plain = [re.sub(r"\W+", "", text_review(found))]
    plain.append(re.sub(r"\W+", "", "".join(of_markdown(markdown_review(found)).texts)))
    plain.append(re.sub(r"\W+", "", "".join(Page(html_review(found)).texts)))
    said = (
        found.leaves[0].verdict,
        "Nobody is warned that low voltage during writing can destroy the control unit.",
        "From 'before', 'n <= 4' leads to 'learn'; before, 'n < 4' did.",
        "half (not-as-found)",
        "Whether the vehicle does what the file says: that is for a person at a vehicle.",
        "A clean result is not a field test",
    )
    for sentence in said:
        wanted = re.sub(r"\W+", "", sentence)
        assert all(wanted in text for text in plain), sentence


def test_the_rest_stands_apart() -> None:
    """What is said of other files stands under a heading of its own, and not as if it were of the last file."""
    leaf = hostile_folio().leaves[0]
    rest = Section("Other files", "1 file differs", (Prose("b.yaml: it differs."),))
    for sections, is_there in (((rest,), True), ((), False)):
        whole = Folio("Review", "1 file.", (leaf,), sections, ())
        assert is_there == ("THE REST OF THE LIBRARY" in text_review(whole))
        assert is_there == ("### The rest of the library" in markdown_review(whole))
        assert is_there == ("<h2>The rest of the library</h2>" in html_review(whole))


def test_sections_in_order() -> None:
    """A page has its sections in one order, and says in each what it holds in short."""
    titles = [section.title for section in hostile_folio().leaves[0].sections]
    assert [
        "Results",
        "Difference in meaning",
        "Course of the work",
        "Ways",
        "Windows",
        "Slots",
        "Cautions",
        "Neighbours",
        "What was not checked",
    ] == titles
    assert all(section.in_short for section in hostile_folio().leaves[0].sections)


def test_comment_has_room() -> None:
    """However much there is to say, a comment is within its size, and names what is left out."""
    leaf = hostile_folio().leaves[0]
    long = Folio("Review", "Many files.", (leaf,) * 12, (), ("The end.",))
    text = markdown_review(long)
    assert len(text.encode()) <= MOST
    assert "No room here" in text
    assert "The end" in text
    many = markdown_review(Folio("Review", "Many files.", (leaf,) * 40, (), ("The end.",)), most=1500)
    assert len(many.encode()) <= 1500
    assert re.search(r"- \d+ more", many)
    assert text_review(long) != text_review(hostile_folio())


def test_what_is_left_out_stands_in_short() -> None:
    """A section without room is one line that says what it holds, and all others are there whole."""
    big = Section("Neighbours", "900 things", (Items(("word " * 20,) * 900),))
    small = Section("What was not checked", "1 thing", (Items(("The vehicle.",)),))
    leaf = Leaf(
        "Add a key", "a.yaml", (("id", "a"),), is_blocked=False, verdict="Nothing was found.", lost="", sections=(big, small)
    )
    text = markdown_review(Folio("Review", "1 file.", (leaf,), (), ()))
    assert "Neighbours: 900 things" in text
    assert "The vehicle" in text
    assert "in full in the other forms of this review: Neighbours." in text
    others = Section("Other files", "1 file differs", (Items(("word " * 20,) * 900),))
    text = markdown_review(Folio("Review", "1 file.", (leaf,), (others,), ()))
    assert "Other files: 1 file differs" in text
    assert "The vehicle" in text


def _place(*rows: int) -> Place:
    arrows = tuple(Arrow("fails", f"row {row}", row, "") for row in rows)
    return Place("1", "step", "words", (), (), "done", arrows, is_fallback=False)


def test_lanes_do_not_touch() -> None:
    """Two lines with one lane share no row, whatever leads where; short ones run next to the rows."""
    places = [_place(3), _place(), _place(0), _place(5), _place(3, 1), _place()]
    lanes = lanes_of(places)
    assert {0, 1, 3, 5} == {lane.target for lane in lanes}
    for one in lanes:
        for other in lanes:
            if one is not other and one.number == other.number:
                assert one.bottom < other.top or other.bottom < one.top
    assert 0 == next(lane.number for lane in lanes if lane.target == 5)
    assert width_of(()) < width_of(lanes)


def test_lines_join_from_row_to_row() -> None:
    """Between two rows each line leaves the upper one at its lower edge and enters the lower one at its upper."""
    places = [_place(3), _place(), _place(0), _place(5), _place(3, 1), _place()]
    lanes = lanes_of(places)
    for row in range(len(places) - 1):
        crossing = {12 + 8 * lane.number for lane in lanes if lane.top <= row < lane.bottom}
        leaving = {int(x) for x in re.findall(r'x1="(\d+)" y1="[^"]*" x2="\1" y2="100%"', lines_at(row, lanes))}
        entering = {int(x) for x in re.findall(r'x1="(\d+)" y1="0" x2="\1"', lines_at(row + 1, lanes))}
        assert crossing == leaving == entering
    assert "" == lines_at(0, ())


def luminance(colour: str) -> float:
    """Give the relative luminance of a colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[index : index + 2], 16) / 255 for index in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula() -> None:
    """Black on white is 21 to 1 (WCAG 2.2); grey #767676 is the last that passes for text (common practice, no source)."""
    assert 21 == pytest.approx(contrast("#000000", "#ffffff"))
    assert contrast("#777777", "#ffffff") < 4.5 <= contrast("#767676", "#ffffff")


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_contrast(colours: dict[str, str]) -> None:
    """Texts have 4.5 to 1 on what they stand on (WCAG 2.2, 1.4.3 AA) and lines 3 to 1 (1.4.11)."""
    for ground in ("paper", "field"):
        for name in ("ink", "faint", "grave"):
            assert contrast(colours[name], colours[ground]) >= 4.5, (name, ground)
        assert contrast(colours["rule"], colours[ground]) >= 3, ("rule", ground)
