"""The site in a real browser: reachable by everybody, asking nothing of another host, running nothing an author wrote.

Without a browser these tests are skipped, unless VOUCHERED_BROWSER=required, as it is where changes are merged.
"""

from __future__ import annotations

import csv
import functools
import json
import shutil
import threading
from collections.abc import Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.build import build
from tests.conftest import TODAY, copy_demo

pytestmark = pytest.mark.browser
NIGHTJAR = "specimens/european-nightjar.html"
PAGES = (
    "index.html",
    NIGHTJAR,
    "beliefs.html",
    "sources.html",
    "glossary.html",
    "corrections.html",
    "educators.html",
    "presenters.html",
    "specimens/index.html",
    "checks/claim-without-source.html",
    "checks/index.html",
    "how-we-check.html",
)


def built(root: Path) -> Path:
    result = build(root, today=TODAY, draft=True)
    assert result.site is not None, [p.message for p in (*result.problems, *result.verdict.problems)]
    return result.site


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(copy_demo(tmp_path_factory.mktemp("demo") / "museum"))


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        pass


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The address of a server of the site."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()


def open_page(browser: Any, path: Path | str, **settings: Any) -> Any:
    """A page with a note of every request it made, every dialog it opened, every error its scripts met."""
    context = browser.new_context(**settings)
    page = context.new_page()
    page.asked, page.dialogs, page.errors = [], [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("dialog", lambda dialog: (page.dialogs.append(dialog.message), dialog.dismiss()))
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.goto(path.as_uri() if isinstance(path, Path) else path)
    return page


def axe_faults(page: Any) -> list[str]:
    """What axe-core, as packaged by axe-playwright-python, says against a page, best practices included: every rule in
    the light, then in the dark those that colours decide."""
    from axe_playwright_python.sync_playwright import Axe

    told = []
    for scheme, options in (("light", {}), ("dark", {"runOnly": ["color-contrast", "link-in-text-block"]})):
        page.emulate_media(color_scheme=scheme)
        told += [
            f"{scheme}: {found['id']}: {node['html'][:160]}: {node.get('failureSummary', '')[:200]}"
            for found in Axe().run(page, options={"resultTypes": ["violations"], **options}).response["violations"]
            for node in found["nodes"]
        ]
    return told


@pytest.mark.parametrize("width", [1280, 390])
def test_axe_finds_nothing(browser: Any, site: Path, width: int) -> None:
    page = open_page(browser, site / PAGES[0], viewport={"width": width, "height": 900}, reduced_motion="reduce")
    faults = {}
    for name in PAGES:
        page.goto((site / name).as_uri())
        page.evaluate("document.querySelectorAll('details').forEach(details => { details.open = true })")
        faults[name] = axe_faults(page)
    page.fill("#sought", "check")
    page.wait_for_selector("#found a")
    faults["search"] = axe_faults(page)
    page.context.close()
    assert {name: told for name, told in faults.items() if told} == {}


def test_axe_has_teeth(browser: Any, site: Path) -> None:
    """A page with faults planted in it is found out, in the light and in the dark."""
    page = open_page(browser, site / "glossary.html", reduced_motion="reduce")
    page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=\"../assets/mark.svg\">')")
    page.add_style_tag(content="h1 { color: var(--rule) !important }")
    told = axe_faults(page)
    page.context.close()
    assert {row.split(": <")[0] for row in told} == {
        "light: image-alt", "light: color-contrast", "dark: color-contrast"
    }  # fmt: skip


def test_no_other_host_is_asked(browser: Any, site: Path, served: str) -> None:
    for top in (site.as_uri(), served):
        page = open_page(browser, f"{top}/{PAGES[0]}")
        for name in PAGES:
            page.goto(f"{top}/{name}")
        page.fill("#sought", "moth")
        page.wait_for_selector("#found a")
        page.locator("#found a").first.click()
        outside = [url for url in page.asked if not url.startswith(top + "/")]
        page.context.close()
        assert (outside, page.errors) == ([], [])


@pytest.mark.parametrize("over", ["file", "http"])
def test_search_finds_titles_and_claims(browser: Any, site: Path, served: str, over: str) -> None:
    page = open_page(browser, f"{site.as_uri() if over == 'file' else served}/sources.html")
    page.fill("#sought", "nightjar éats")
    page.wait_for_selector("#found a")
    assert "What a nightjar eats" in page.locator("#found li").first.inner_text()
    page.fill("#sought", "milk of goats")
    page.wait_for_selector("#found a[href*='beliefs.html#']")
    page.fill("#sought", "6.80 kg")  # held together by a no-break space
    page.wait_for_function("document.querySelector('#found a')?.textContent.includes('6.80')")
    page.fill("#sought", "zzyzx")
    page.wait_for_function(
        "document.querySelector('#found [role=status]').textContent.startsWith('Nothing found in titles')"
    )
    page.keyboard.press("Escape")
    assert page.locator("#found").is_hidden()
    page.context.close()


def test_the_search_index_holds_no_bodies(site: Path) -> None:
    """Titles, summaries and claims: a sentence from the middle of a page, evidence or a source is not in it."""
    index = (site / "search/search_index.json").read_text("utf-8")
    docs = json.loads(index)["docs"]
    assert any(doc["title"].endswith("Gilbert White blamed a fly maggot for puckeridge, not the bird.") for doc in docs)
    shown = (site / NIGHTJAR).read_text("utf-8")
    for words in (
        "Start at the face",
        "over-represented",
        "No curator has signed",
        "Scarrowmouth Museum of Natural History, an",
    ):
        assert words in shown and words not in index, words
    script = (site / "search/search_index.js").read_text("utf-8")
    assert json.loads(script.removeprefix("window.voucheredIndex = ").removesuffix(";\n"))["docs"] == docs


def test_reads_without_scripts(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR, java_script_enabled=False)
    assert page.get_by_role("heading", name="What a nightjar eats", exact=True).is_visible()
    assert page.get_by_role("heading", name="How we know").is_visible()
    assert page.get_by_role("link", name="Beliefs", exact=True).is_visible()
    assert page.locator("#search").is_hidden() and page.locator("#scheme").is_hidden()
    page.locator("summary", has_text="How sure we are").first.click()
    assert page.get_by_text("independent lines of evidence:").first.is_visible()
    page.context.close()


def test_a_mark_leads_to_its_claim_and_back(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR, reduced_motion="reduce")
    marks = page.locator("a.mark")
    for at in range(marks.count()):
        mark = marks.nth(at)
        target = str(mark.get_attribute("href"))
        mark.click()
        assert page.url.endswith(target)
        assert page.locator(target).is_visible()
        page.locator(f"{target} ~ .vouchers").first.locator(f".back a[href='#{mark.get_attribute('id')}']").click()
        assert page.url.endswith(f"#{mark.get_attribute('id')}")
    assert marks.count() > 10
    page.context.close()


def test_dots_on_a_figure_match_the_list(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR)
    listed = page.locator("#look + ol > li").count()
    dots = [int(text) for text in page.locator(".cue-dot").all_inner_texts()]
    assert dots and all(1 <= number <= listed for number in dots)
    for dot in page.locator(".cue-dot").all():
        inside, frame = dot.bounding_box(), dot.locator("xpath=..").bounding_box()
        assert frame["x"] <= inside["x"] and inside["x"] + inside["width"] <= frame["x"] + frame["width"]
        assert frame["y"] <= inside["y"] and inside["y"] + inside["height"] <= frame["y"] + frame["height"]
    page.context.close()


def test_figures_are_of_sensible_size(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR, viewport={"width": 1280, "height": 900})
    boxes = [plate.bounding_box() for plate in page.locator(".plate").all()]
    assert all(280 <= box["width"] <= 430 for box in boxes)
    assert boxes[0]["y"] == boxes[1]["y"], "side by side where there is room"
    page.context.close()


def test_nothing_runs_over_the_edge(browser: Any, site: Path) -> None:
    """WCAG 2.2, success criterion 1.4.10: no scrolling in two directions at a width of 320 CSS pixels."""
    page = open_page(browser, site / PAGES[0])
    wide = []
    for name in PAGES:
        page.goto((site / name).as_uri())
        for width in (320, 390, 768, 1000, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wide.append((name, width))
    page.context.close()
    assert wide == []


def test_text_spacing_hides_nothing(browser: Any, site: Path) -> None:
    """WCAG 2.2, success criterion 1.4.12: the page bears wider spacing of lines, paragraphs, letters and words."""
    page = open_page(browser, site / NIGHTJAR, viewport={"width": 390, "height": 800})
    page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }"
        " p { margin-bottom: 2em !important; }"
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    clipped = page.evaluate(
        "[...document.querySelectorAll('body *')].filter(e => getComputedStyle(e).overflow === 'hidden'"
        " && (e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1)).map(e => e.outerHTML.slice(0, 90))"
    )
    page.context.close()
    assert clipped == []


LINE_LENGTHS = """() => [...document.querySelectorAll('main p, main li')].flatMap(block => {
    const range = document.createRange(), lines = new Map();
    const walker = document.createTreeWalker(block, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        for (let at = 0; at < node.length; at += 1) {
            range.setStart(node, at); range.setEnd(node, at + 1);
            const box = range.getBoundingClientRect();
            if (box.width) { const row = Math.round(box.bottom / 12); lines.set(row, (lines.get(row) || 0) + 1); }
        }
    }
    return [...lines.values()];
})"""


def test_lines_are_short_enough_to_read(browser: Any, site: Path) -> None:
    """WCAG 2.2, success criterion 1.4.8 (AAA): no more than 80 characters. Small type of notes is not prose."""
    page = open_page(browser, site / "how-we-check.html", viewport={"width": 1600, "height": 900})
    lengths = sorted(page.evaluate(LINE_LENGTHS))
    page.context.close()
    assert len(lengths) > 40 and lengths[-1] <= 80


def test_targets_are_large_enough(browser: Any, site: Path) -> None:
    """WCAG 2.2, success criterion 2.5.8 (AA): 24 by 24 pixels for what is pressed; links in running text are exempt."""
    page = open_page(browser, site / NIGHTJAR, viewport={"width": 390, "height": 900}, reduced_motion="reduce")
    small = page.evaluate(
        """() => [...document.querySelectorAll('.back a, summary, .places a, .contents a, button, input')].filter(e => {
            const box = e.getBoundingClientRect(); return box.height < 24 || box.width < 24;
        }).map(e => e.outerHTML.slice(0, 90))"""
    )
    missed = page.evaluate(
        """() => [...document.querySelectorAll('a.mark')].filter(mark => {
            mark.scrollIntoView({block: 'center'});
            const box = mark.getBoundingClientRect(), x = box.x + box.width / 2, y = box.y + box.height / 2;
            return [[-11, 0], [11, 0], [0, -11], [0, 11]].some(([dx, dy]) =>
                x + dx > 0 && x + dx < innerWidth && !mark.contains(document.elementFromPoint(x + dx, y + dy)));
        }).map(mark => mark.outerHTML.slice(0, 90))"""
    )
    page.context.close()
    assert (small, missed) == ([], [])


def test_focus_can_be_seen(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR)
    unseen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        style, html = page.evaluate(
            "(() => { const e = document.activeElement, s = getComputedStyle(e);"
            " return [s.outlineStyle === 'none' ? 0 : parseFloat(s.outlineWidth), e.outerHTML.slice(0, 90)] })()"
        )
        if style < 2:
            unseen.append(html)
    page.context.close()
    assert unseen == []


def test_the_first_tab_skips_to_the_text(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR)
    page.keyboard.press("Tab")
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    assert page.url.endswith("#text")
    assert page.evaluate("document.activeElement.id") == "text"
    page.context.close()


def test_the_reader_chooses_light_or_dark(browser: Any, served: str) -> None:
    page = open_page(browser, f"{served}/index.html", color_scheme="light")
    ground = "getComputedStyle(document.body).backgroundColor"
    light = page.evaluate(ground)
    page.click("#scheme")
    dark = page.evaluate(ground)
    assert light != dark
    page.goto(f"{served}/beliefs.html")
    assert page.evaluate(ground) == dark, "the choice holds on the next page"
    page.click("#scheme")
    assert page.evaluate(ground) == light
    page.context.close()
    page = open_page(browser, f"{served}/index.html", color_scheme="dark")
    assert page.evaluate(ground) == dark, "without a choice the reader's system decides"
    page.context.close()


def test_nothing_moves_for_those_who_asked(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR, reduced_motion="reduce")
    assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
    page.context.close()


def test_print_shows_marks_sources_and_addresses_only(browser: Any, site: Path) -> None:
    page = open_page(browser, site / NIGHTJAR, color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.locator("a.mark").first.is_visible()
    assert page.locator("#sources").is_visible()
    assert (
        page.locator(".colophon a[rel=license]").is_visible() and page.locator(".colophon a[href^=mailto]").is_visible()
    )
    for gone in (".places", ".tools", ".contents", ".back"):
        assert page.locator(gone).first.is_hidden(), gone
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    link = "document.querySelector('#sources ~ ul a[href^=http]')"
    assert "http" in page.evaluate(f"getComputedStyle({link}, '::after').content + {link}.href")
    page.context.close()


HOSTILE = [
    "<script>window.hit=1</script>",
    "<img src=x onerror=window.hit=1>",
    "<img src=https://elsewhere.example/x.png>",
    "[x](javascript:window.hit=1)",
    "![x](https://elsewhere.example/y.png)",
    "<https://elsewhere.example/auto>",
    "https://elsewhere.example/bare",
    "{: onclick=window.hit=1 }",
    "*a*{: onmouseover=window.hit=1 }",
    '"><svg onload=window.hit=1>',
    "'onfocus='window.hit=1' autofocus='",
    "</title><script>window.hit=1</script>",
    "</h3></div><iframe srcdoc='<script>parent.hit=1</script>'>",
    "<!-- hidden -->",
    "&lt;script&gt;window.hit=1&lt;/script&gt;",
    "{{ 7*7 }} {% raw %} ${7*7}",
    "[x]: javascript:window.hit=1",
    "[^1] and [^1]: note",
    "`code` ~~~ ``` | a | b |",
    "# heading ## {#id}",
    "<style>@import 'https://elsewhere.example/a.css';</style>",
    "<a href='java&#x73;cript:window.hit=1'>x</a>",
    "<a href=jav&Tab;ascript:window.hit=1>x</a>",
    "\\<script>window.hit=1\\</script>",
    "<details open ontoggle=window.hit=1>",
    "</details></article></main><h2>other</h2>",
    "::: admonition !!! note",
    "<div markdown='1'>*inside*</div>",
    "<base href=https://elsewhere.example/>",
    "<meta http-equiv=refresh content='0;url=https://elsewhere.example/'>",
    "\uff1cscript\uff1ewindow.hit=1\uff1c/script\uff1e",
    "<scr\u200bipt>window.hit=1</scr\u200bipt>",
    "]]><![CDATA[ <script>window.hit=1</script>",
    "\u2028<script>window.hit=1</script>",
    "\u202e<script>window.hit=1</script>",
]
ALL = " ".join(bad for bad in HOSTILE if "\u202e" not in bad and "\u2028" not in bad)  # those are refused as such
NOT_PROSE = frozenset(
    "source collection show latitude longitude hazards visible_on figure x y file table examined empty stands bears basis n"
    " diet group measure at_least calculation year lead value unit is type issued volume page DOI ISBN standing draws_on"
    " seen excerpt language invented filming may_approve date store collector answer scientific".split()
)
"""Keys whose values are ids, numbers, dates, names of files or of grades, or are kept back: not text that is shown."""


def spoil(value: Any, key: str = "") -> Any:
    """The same data with every hostile string at the end of every text."""
    if key in NOT_PROSE:
        return value
    if isinstance(value, dict):
        return {name: spoil(inner, str(name)) for name, inner in value.items()}
    if isinstance(value, list):
        return [spoil(inner, key) for inner in value]
    return f"{value} {ALL}"


def hostile_workspace(root: Path) -> Path:
    """The stock workspace with every hostile string in every text field that can reach a page."""
    shutil.copytree("builder/check/stock", root)
    shutil.copy("builder/skeleton/museum/content/how-we-check.md", root / "content")
    settings = Path("builder/skeleton/museum/mkdocs.yml").read_text("utf-8")
    (root / "mkdocs.yml").write_text(settings.replace("{name}", json.dumps(f"Museum {ALL}")), "utf-8")
    records = root / "records"
    for name in ("newt/record.yml", "sources.yml", "glossary.yml", "museum.yml"):
        data = yaml.load((records / name).read_text("utf-8"), yaml.BaseLoader)
        if name == "newt/record.yml":
            data["summary"] = "A newt."
            data["notice"] = "A notice."
            data["figures"]["head"]["caption"] = "A newt."
            data["objects"]["jar"]["note"] = "A note."
            data["anatomy"]["crest"]["say"] = "krest"
            data["calculations"]["nightly"]["means"] = "A handful."
            data["diet"]["gut"]["note"] = "A note."
            data["claims"]["moths"]["evidence"][0]["reports"] = {"share": "81 %", "of": "130"}
            data["claims"]["moths"]["evidence"][2]["finds"] = "mostly moths"
            data["name"]["order"] = "Caudata"
            shares = data["claims"]["moths"]["evidence"][0].pop("reports")
            data = spoil(data)
            data["claims"]["moths"]["evidence"][0]["reports"] = shares
            data["questions"][0]["answer"] = f"It eats mainly moths, {ALL}.[^moths]"
        else:
            data = spoil(data)
        if name == "sources.yml":
            data["pond-2010"]["withdrawn"] = f"By the journal. {ALL}"
            data["tales-1890"]["URL"] = "javascript:window.hit=1"
            data["field-2001"]["URL"] = 'https://example.org/"><script>window.hit=1</script>'
        text = yaml.safe_dump(data, allow_unicode=True, default_style='"', width=10**9, sort_keys=False)
        (records / name).write_text(text, "utf-8")
    table = list(csv.reader((records / "newt/gut.csv").read_text("utf-8").splitlines()))
    with (records / "newt/gut.csv").open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(
            [row if number == 0 or row[2] == "insects" or not row[1] else [row[0], f"{row[1]} {ALL}", f"{row[2]} {ALL}", *row[3:]]
             for number, row in enumerate(table)]
        )  # fmt: skip
    page = records / "newt/page.md"
    text = page.read_text("utf-8").replace(
        "title: What an example newt eats", f"title: {json.dumps(ALL, ensure_ascii=False)}"
    )
    text += "".join(
        f"\n\nExample newts eat moths {bad}.[^moths]\n\n## Part {bad}\n\n- {bad}[^moths]" for bad in HOSTILE
    )
    page.write_text(text, "utf-8")
    return root


def words(text: str) -> str:
    return " ".join(text.split())


def test_nothing_an_author_writes_becomes_markup(browser: Any, tmp_path: Path) -> None:
    site = built(hostile_workspace(tmp_path / "hostile"))
    names = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*.html")) if "checks" not in path.parts]
    assert len(names) >= 8
    told: dict[str, str] = {}
    for name in names:
        page = open_page(browser, site / name)
        page.evaluate("document.querySelectorAll('details').forEach(details => { details.open = true })")
        if name == "index.html":
            for asked in ("newt", "script", "onerror"):
                page.fill("#sought", asked)
                page.wait_for_selector("#found a")
        assert page.evaluate("window.hit") is None, name
        assert (page.dialogs, page.errors) == ([], []), name
        assert [url for url in page.asked if not url.startswith("file://")] == [], name
        made = page.evaluate(
            """() => [...document.querySelectorAll('*')].filter(e =>
                ['IFRAME', 'STYLE', 'BASE', 'OBJECT', 'EMBED'].includes(e.tagName) && e.ownerDocument === document
                || e.tagName === 'META' && e.httpEquiv
                || e.tagName === 'SCRIPT' && !/(vouchered|search_index)[.]js$/.test(e.src)
                || [...e.attributes].some(a => a.name.startsWith('on') || a.name === 'autofocus' || a.name === 'srcdoc')
                || /^\\s*(javascript|data|vbscript):/i.test(e.getAttribute('href') || e.getAttribute('src') || '')
            ).map(e => e.outerHTML.slice(0, 160))"""
        )
        assert made == [], name
        told[name] = words(page.locator("body").text_content())
        if name == "specimens/newt.html":
            title, alt = page.title(), page.locator(".plate img").get_attribute("alt")
        page.context.close()
    shown = [bad for bad in HOSTILE if "\u202e" not in bad and "\u2028" not in bad]
    for bad in shown:
        assert told["specimens/newt.html"].count(words(bad)) >= 15, bad
        assert words(bad) in words(title) and words(bad) in words(alt), bad
        for name in ("specimens/index.html", "beliefs.html", "sources.html", "glossary.html", "index.html"):
            assert words(bad) in told[name], (name, bad)
