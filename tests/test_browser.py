"""The site in a real browser: reachable by everybody, asking nothing of another host, running nothing an author wrote.

Without a browser these tests are skipped, unless VOUCHERED_BROWSER=required, as it is where changes are merged.
"""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from builder.build import build
from tests.conftest import TODAY, copy_demo

pytestmark = pytest.mark.browser
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
]
PAGES = (
    "index.html",
    "specimens/european-nightjar.html",
    "specimens/norway-lemming.html",
    "beliefs.html",
    "sources.html",
    "glossary.html",
    "specimens/index.html",
    "checks/claim-without-source.html",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    if CHROMIUM is None:
        if os.environ.get("VOUCHERED_BROWSER") == "required":
            pytest.fail("a browser is required here, and there is no chromium")
        pytest.skip("there is no chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        launched = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield launched
        launched.close()


def built(root: Path, today: date = TODAY) -> Path:
    result = build(root, today=today, draft=True)
    assert result.site is not None, [p.message for p in (*result.problems, *result.verdict.problems)]
    return result.site


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(copy_demo(tmp_path_factory.mktemp("demo") / "museum"))


def open_page(browser: Any, path: Path, **settings: Any) -> Any:
    """A page with a note of every request it made and every dialog it opened."""
    context = browser.new_context(**settings)
    page = context.new_page()
    page.asked = []
    page.dialogs = []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("dialog", lambda dialog: (page.dialogs.append(dialog.message), dialog.dismiss()))
    page.goto(path.as_uri())
    page.wait_for_load_state("load")
    return page


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(browser: Any, site: Path, name: str, scheme: str) -> None:
    """axe-core, as packaged by axe-playwright-python; rules for WCAG 2.2 A and AA and its best practices."""
    from axe_playwright_python.sync_playwright import Axe

    width = 1280 if scheme == "light" else 390
    page = open_page(browser, site / name, color_scheme=scheme, viewport={"width": width, "height": 900})
    results = Axe().run(page)
    told = [
        f"{found['id']}: {node['html'][:160]}: {node.get('failureSummary', '')[:200]}"
        for found in results.response["violations"]
        for node in found["nodes"]
    ]
    page.context.close()
    assert told == []


@pytest.mark.parametrize("name", PAGES)
def test_no_other_host_is_asked(browser: Any, site: Path, name: str) -> None:
    page = open_page(browser, site / name)
    page.wait_for_load_state("networkidle")
    outside = [url for url in page.asked if not url.startswith(("file://", "data:"))]
    page.context.close()
    assert outside == []


def test_reads_without_scripts(browser: Any, site: Path) -> None:
    page = open_page(browser, site / "specimens/european-nightjar.html", java_script_enabled=False)
    assert page.get_by_role("heading", name="What a nightjar eats").is_visible()
    assert page.get_by_role("heading", name="How we know").is_visible()
    page.locator("summary", has_text="How sure we are").first.click()
    page.context.close()


def test_a_mark_leads_to_its_claim_and_back(browser: Any, site: Path) -> None:
    page = open_page(browser, site / "specimens/european-nightjar.html")
    mark = page.locator("a.mark").first
    target = mark.get_attribute("href")
    mark.click()
    assert page.url.endswith(str(target))
    claim = page.locator(str(target))
    assert claim.is_visible()
    back = page.locator(f"{target} ~ .vouchers .back a").first
    back.click()
    assert page.url.endswith("#" + str(mark.get_attribute("id")))
    page.context.close()


@pytest.mark.parametrize("name", PAGES)
def test_nothing_runs_over_the_edge(browser: Any, site: Path, name: str) -> None:
    """WCAG 2.2, success criterion 1.4.10: no scrolling in two directions at a width of 320 CSS pixels."""
    page = open_page(browser, site / name)
    for width in (320, 390, 768, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width
    page.context.close()


def test_text_spacing_hides_nothing(browser: Any, site: Path) -> None:
    """WCAG 2.2, success criterion 1.4.12: the page bears wider spacing."""
    page = open_page(browser, site / "specimens/european-nightjar.html", viewport={"width": 390, "height": 800})
    page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }"
        " p { margin-bottom: 2em !important; }"
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.context.close()


def test_focus_can_be_seen(browser: Any, site: Path) -> None:
    page = open_page(browser, site / "specimens/european-nightjar.html")
    seen = 0
    for _ in range(14):
        page.keyboard.press("Tab")
        outline = page.evaluate(
            "(() => { const s = getComputedStyle(document.activeElement); return s.outlineStyle + s.outlineWidth })()"
        )
        seen += outline != "none0px"
    page.context.close()
    assert seen >= 12


HOSTILE = [
    "<script>window.hit=1</script>",
    "<img src=x onerror=window.hit=1>",
    "<img src=https://elsewhere.example/x.png>",
    "[x](javascript:window.hit=1)",
    "![x](https://elsewhere.example/y.png)",
    "<https://elsewhere.example/auto>",
    "{: onclick=window.hit=1 }",
    "*a* {: onmouseover=window.hit=1 }",
    '"><svg onload=window.hit=1>',
    "'onfocus='window.hit=1' autofocus='",
    "</title><script>window.hit=1</script>",
    "</h3></div><iframe srcdoc='<script>parent.hit=1</script>'>",
    "<!-- --> <b>bold</b>",
    "&lt;script&gt;window.hit=1&lt;/script&gt;",
    "{{ 7*7 }} {% raw %} ${7*7}",
    "[x]: javascript:window.hit=1",
    "[^1] and [^1]: note",
    "`code` ~~~ ``` | a | b |",
    "# heading ## {#id}",
    "<style>@import 'https://elsewhere.example/a.css';</style>",
    "<a href='java\tscript:window.hit=1'>x</a>",
    "\\<script>window.hit=1\\</script>",
    "<details open ontoggle=window.hit=1>",
    "::: admonition\n!!! note",
]


def hostile_workspace(root: Path) -> Path:
    """The stock workspace with a hostile text at the end of every text field that reaches a page."""
    shutil.copytree("builder/check/stock", root)
    shutil.copy("builder/skeleton/museum/mkdocs.yml", root / "mkdocs.yml")
    settings = (root / "mkdocs.yml").read_text("utf-8").replace("{name}", "Museum")
    (root / "mkdocs.yml").write_text(settings, "utf-8")
    shutil.copy("builder/skeleton/museum/content/how-we-check.md", root / "content")
    fields = re.compile(
        r"^(?P<head>\s*(?:- )?(?:title|belief|statement|why|term|look_for|common|alt|credit|finds|told|meaning|question|notice"
        r"|publisher|container-title|gape|means|family|store|preparation|catalogue_number|licence|method|note)"
        r": )(?P<text>.+)$"
    )
    count = 0
    for name in ("records/newt/record.yml", "records/sources.yml", "records/glossary.yml", "records/museum.yml"):
        path = root / name
        rows = []
        for row in path.read_text("utf-8").split("\n"):
            found = fields.match(row)
            if found and not found["text"].startswith(("{", "[", '"', ">")) and not row.endswith("}"):
                bad = HOSTILE[count % len(HOSTILE)]
                count += 1
                row = found["head"] + json.dumps(f"{found['text']} {bad}", ensure_ascii=False)
            rows.append(row)
        path.write_text("\n".join(rows), "utf-8")
    assert count > 15
    page = root / "records/newt/page.md"
    page.write_text(
        page.read_text("utf-8") + "".join(f"\n\nExample newts eat moths {bad}.[^moths]" for bad in HOSTILE), "utf-8"
    )
    return root


def test_nothing_an_author_writes_becomes_markup(browser: Any, tmp_path: Path) -> None:
    root = hostile_workspace(tmp_path / "hostile")
    result = build(root, today=TODAY, draft=True)
    assert result.site is not None, [p.message for p in result.problems]
    for name in (
        "specimens/newt.html",
        "specimens/index.html",
        "beliefs.html",
        "sources.html",
        "glossary.html",
        "index.html",
    ):
        page = open_page(browser, result.site / name)
        assert page.evaluate("window.hit") is None, name
        assert page.dialogs == [], name
        assert [url for url in page.asked if "elsewhere" in url] == [], name
        assert (
            page.locator("iframe, [onclick], [onerror], [onload], [onmouseover], [onfocus], [ontoggle]").count() == 0
        ), name
        assert page.locator("a[href^='javascript:' i], img[src*='elsewhere'], link[href*='elsewhere']").count() == 0, (
            name
        )
        page.context.close()
    page = open_page(browser, result.site / "specimens/newt.html")
    shown = " ".join(page.locator("article").inner_text().split())
    for bad in HOSTILE:
        if bad.startswith(
            ("[x](", "![x]", "<https", "*a*", "[^1]", "`code`", "# heading", "\\<", "&lt;", "::: ", "[x]:")
        ):
            continue  # these are Markdown in a piece: links to nowhere fall away, emphasis shows as such
        assert " ".join(bad.split()) in shown, bad
    page.context.close()
