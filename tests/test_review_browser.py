"""A whole review in a real browser, by keyboard alone, on a desk and on a phone: an edit, what changed, refused, signed."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
import uvicorn

from tests.conftest import ROOT, copy_demo
from tests.review.review_case import Reviewed
from tests.sign_demo import PASSPHRASE
from tests.test_browser import axe_faults

pytestmark = pytest.mark.browser
EDITS = {  # width: a piece, the words taken out of it and those put in, and the person who decides
    1280: ("european-nightjar/page", "most of them", "many of them", "Ines Brackwater"),
    390: ("common-vampire-bat/page", "chickens came first", "hens came first", "Tobias Oakshott"),
}
STEPS = 400
"""Presses of the Tab key after which a thing counts as out of reach (our choice)."""


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Reviewed, str]]:
    """The demo with its published keys, and where it is served."""
    case = Reviewed(copy_demo(tmp_path_factory.mktemp("demo") / "museum"), ROOT / "docs/demo-keys")
    settings = uvicorn.Config(case.application, port=0, log_level="error", lifespan="off")  # type: ignore[arg-type]
    server = uvicorn.Server(settings)
    running = threading.Thread(target=server.run, daemon=True)
    running.start()
    end = time.monotonic() + 20
    while not server.started:
        assert time.monotonic() < end
        time.sleep(0.02)
    yield case, f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}/"
    server.should_exit = True
    running.join(20)


def tab_to(page: Any, selector: str) -> None:
    """Go there by the Tab key alone, from wherever the focus is."""
    for _ in range(STEPS):
        page.keyboard.press("Tab")
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            assert page.evaluate(SEEN), f"the focus on {selector} cannot be seen"
            return
    raise AssertionError(f"{selector} is out of reach of the keyboard")


SEEN = """() => {
  const focused = document.activeElement, style = getComputedStyle(focused), box = focused.getBoundingClientRect();
  return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0
    && box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
}"""


@pytest.mark.parametrize("width", EDITS)
def test_a_whole_review_by_keyboard(browser: Any, served: tuple[Reviewed, str], width: int) -> None:
    case, home = served
    name, out, put_in, person = EDITS[width]
    file = case.root / f"demo_specimens/{name}.md"
    text = file.read_text("utf-8")
    assert out in text
    file.write_text(text.replace(out, put_in, 1), "utf-8")
    before = len(case.decisions)
    context = browser.new_context(viewport={"width": width, "height": 844}, reduced_motion="reduce")
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    faults = {}

    def look(state: str) -> None:
        faults[state] = axe_faults(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{state} scrolls sideways"
        page.emulate_media(color_scheme="light")

    def decide() -> None:
        tab_to(page, "a[href='#decide']")
        page.keyboard.press("Enter")
        page.wait_for_function("location.hash === '#decide'")

    page.goto(home)
    look("list")
    tab_to(page, f"a[href='/piece/{name}']")
    page.keyboard.press("Enter")
    page.wait_for_url(f"{home}piece/{name}")
    changes = page.locator("#changes + p + .changes")
    words = changes.locator("li").filter(has=page.locator("ins")).first
    assert put_in.split()[0] in words.locator("ins").first.inner_text()
    assert out.split()[0] in words.locator("del").first.inner_text()
    page.evaluate("document.querySelectorAll('details').forEach(details => { details.open = true })")
    look("piece")

    page.reload()
    tab_to(page, "details > summary")
    page.keyboard.press("Enter")
    tab_to(page, "details[open] > textarea")
    page.keyboard.type("Is that the better word?")
    remarked = page.evaluate("document.activeElement.name").removeprefix("remark ")
    tab_to(page, "#person")
    page.keyboard.type(person)
    tab_to(page, "[name='decision']")
    page.keyboard.press("Space")
    tab_to(page, "#passphrase")
    page.keyboard.type("wrong words all")
    page.keyboard.press("Enter")
    page.get_by_role("alert").wait_for()
    assert "does not open this key" in page.get_by_role("alert").inner_text() and len(case.decisions) == before
    look("refused")
    decide()
    tab_to(page, "#passphrase")
    page.keyboard.type(PASSPHRASE)
    page.keyboard.press("Enter")
    page.wait_for_url("**/decision/*")
    look("decided")
    digest = page.url.rsplit("/", 1)[1]
    made = [path.read_text("utf-8") for path in case.decisions if digest in path.name]
    assert len(case.decisions) == before + 1 and len(made) == 1
    assert "decision: approved" in made[0] and "Is that the better word?" in made[0] and remarked in made[0]
    for state, path in {"not there": "nothing", "no such piece": "piece/ostrich/none"}.items():
        page.goto(home + path)
        look(state)
    page.goto(home)
    assert page.locator(f".plain a[href='/piece/{name}']").count() == 1, "it stands among the approved again"
    context.close()
    assert {state: told for state, told in faults.items() if told} == {}
    assert [url for url in asked if not url.startswith(home)] == []
    told = [text for text in said if not text.startswith("Failed to load resource")]  # so it tells of 403 and 404
    assert told == []
