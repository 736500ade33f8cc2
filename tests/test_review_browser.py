"""The page of a review in a real browser: it loads nothing, fits a phone, can be read by everyone, and prints."""

from collections.abc import Iterator
from pathlib import Path
from shutil import which

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, sync_playwright

from proclint.apps.files import gather
from proclint.apps.rule_set import known_rules
from proclint.engine import Input
from proclint.render.review.as_html import html_review
from proclint.render.review.folio import folio_of
from proclint.review import Edition, review
from tests import hostile_procedure as hostile

pytestmark = pytest.mark.needs_browser
LIBRARY = Path(__file__).parents[1] / "procedures"
LARGEST = max(LIBRARY.glob("*/*.yaml"), key=lambda path: path.stat().st_size)
ON = "2026-06-15"
# 11 pt at 96 px to the inch (CSS Values and Units Level 4, W3C).
LEAST_PX = 11 * 96 / 72
# WCAG 2.2 level A and AA, as axe-core names its groups of rules.
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start the browser that is on the PATH."""
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=which("chromium"), args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(scope="module", params=["largest", "hostile"])
def page_file(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the page of the largest procedure, held against one that differs, and that of a contribution that means harm."""
    rules = known_rules()
    if request.param == "hostile":
        inputs = [Input("hostile.yaml", "steps", hostile.procedure().encode())]
        now, before, name = inputs, [Input("hostile.yaml", "steps", hostile.procedure("Look").encode())], "hostile.yaml"
    else:
        now, name = gather((LARGEST,)), LARGEST.as_posix()
        before = [
            Input(each.name, each.kind, (each.data or b"").replace(b"tries: 1", b"tries: 2"), each.is_context) for each in now
        ]
    found = review(Edition.of(now, rules, ON), Edition.of(before, rules, ON), rules, [name], against="before")
    path = tmp_path_factory.mktemp(request.param) / "review.html"
    path.write_text(html_review(folio_of(found)), encoding="utf-8")
    return path


def test_size(page_file: Path) -> None:
    """The page of the largest procedure is far below 500 kB."""
    assert page_file.stat().st_size < 500_000


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_page(browser: Browser, page_file: Path, width: int, scheme: str) -> None:
    """It asks for nothing, is silent, scrolls not sideways, has no text under 11 pt, and is clean by axe-core."""
    context = browser.new_context(viewport={"width": width, "height": 844}, color_scheme="dark" if scheme == "dark" else "light")
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("dialog", lambda dialog: said.append(dialog.message))
    page.goto(page_file.as_uri())
    assert [page_file.as_uri()] == asked
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    sizes = page.evaluate(
        "[...document.querySelectorAll('body *')].filter(e => [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim()))"
        ".map(e => parseFloat(getComputedStyle(e).fontSize))"
    )
    assert len(sizes) > 100
    assert min(sizes) >= LEAST_PX
    assert [] == said
    context.close()
    # The checker is a script, which the page's own policy refuses: the policy is set aside for it.
    checked = browser.new_context(viewport={"width": width, "height": 844}, color_scheme="dark" if scheme == "dark" else "light")
    checked.route("**/*", lambda route: route.continue_())
    free = checked.new_page()
    free.set_content(page_file.read_text(encoding="utf-8").replace('http-equiv="Content-Security-Policy"', 'name="policy"'))
    found = Axe().run(free, options={"runOnly": WCAG, "resultTypes": ["violations"]}).response
    assert [] == [(each["id"], [node["html"] for node in each["nodes"]][:2]) for each in found["violations"]]
    assert len(found["passes"]) > 10
    checked.close()


def test_marks_are_whole(browser: Browser, tmp_path: Path) -> None:
    """On a phone the mark of results at a step stands in one piece, however narrow the step is."""
    rules = known_rules()
    name = "procedures/brindlow/marrow-add-key.yaml"
    given = [
        each._replace(data=(each.data or b"").replace(b"    tries: 1\n", b"").replace(b"steering-lock-turning", b"coin-cell"))
        for each in gather((LIBRARY / "brindlow/marrow-add-key.yaml",))
    ]
    path = tmp_path / "marks.html"
    files = [each.name for each in given if each.name.endswith(name)]
    path.write_text(html_review(folio_of(review(Edition.of(given, rules, ON), None, rules, files))), encoding="utf-8")
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(path.as_uri())
    marks = page.evaluate("[...document.querySelectorAll('.at')].map(e => [e.textContent, e.getClientRects().length])")
    assert len(marks) > 2
    assert {1} == {pieces for _, pieces in marks}
    page.close()


def test_print(browser: Browser, page_file: Path) -> None:
    """On paper the page is ink on white whatever the screen, no text is under 11 pt, and nothing is wider than A4 or Letter."""
    context = browser.new_context(viewport={"width": 680, "height": 900}, color_scheme="dark")
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.emulate_media(media="print")
    colour = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert "rgb(253, 252, 248)" == colour
    assert page.evaluate("document.documentElement.scrollWidth") <= 680
    least = page.evaluate(
        "Math.min(...[...document.querySelectorAll('body *')].filter(e => [...e.childNodes].some(n => n.nodeType == 3 && "
        "n.data.trim())).map(e => parseFloat(getComputedStyle(e).fontSize)))"
    )
    assert least >= LEAST_PX - 0.01
    for size in ("A4", "Letter"):
        assert page.pdf(format=size).startswith(b"%PDF")
    context.close()


def test_the_drawing_has_its_lines(browser: Browser, page_file: Path) -> None:
    """Every row of the chart is as high as its lines: what leaves a row below arrives in the next one above."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(page_file.as_uri())
    gaps = page.evaluate(
        "[...document.querySelectorAll('.chart>li')].map(e => [e.getBoundingClientRect().height, "
        "e.querySelector('svg.lines') ? e.querySelector('svg.lines').getBoundingClientRect().height : null])"
    )
    drawn = [(row, lines) for row, lines in gaps if lines is not None]
    assert drawn
    assert all(abs(row - lines) < 1 for row, lines in drawn)
    page.close()
