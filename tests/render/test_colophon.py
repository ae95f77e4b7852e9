"""The foot of every page: the licence of the words, and whom to tell of a mistake."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builder.build import build
from builder.cli import main
from builder.model.museum import Museum
from builder.publish.site import stamp_of, write_config
from builder.render.colophon import colophon_of
from tests.conftest import TODAY

INJECTED = '"><script>alert(1)</script>{{ config.site_name }}'


def museum(**fields: str) -> Museum:
    return Museum.model_validate({"name": "Example", **fields})


@pytest.mark.parametrize(
    ("contact", "address"),
    [
        ("mistakes@museum.example", "mailto:mistakes@museum.example"),
        ("https://museum.example/tell-us?page=1", "https://museum.example/tell-us?page=1"),
        ("Write to the front desk", ""),
        ("ask@museum.example or the front desk", ""),
        ("javascript:alert(1)", ""),
        ("a@b.example?bcc=x@y.example", ""),
    ],
)
def test_a_contact_leads_somewhere_only_where_it_is_an_address(contact: str, address: str) -> None:
    assert colophon_of(museum(contact=contact))["contact"] == {"words": contact, "address": address}


def test_nothing_said_is_nothing_shown() -> None:
    assert colophon_of(museum()) == {"contact": None, "licence": None}


def test_the_foot_of_the_built_pages(tmp_path: Path) -> None:
    """On every page, escaped, and anew where it changes though no page of the tree did."""
    home = tmp_path / "museum"
    assert CliRunner().invoke(main, ["new", "museum", str(home)]).exit_code == 0
    file = home / "records/museum.yml"
    text = file.read_text("utf-8")
    file.write_text(f"{text}contact: {INJECTED!r}\nlicence: CC BY-SA 4.0\n", "utf-8")
    built = build(home, today=TODAY, draft=True)
    assert built.site is not None and built.generated
    pages = [*built.site.rglob("*.html")]
    assert len(pages) > 10
    for page in pages:
        shown = page.read_text("utf-8")
        assert '<a href="https://creativecommons.org/licenses/by-sa/4.0/" rel="license">CC BY-SA 4.0</a>' in shown
        assert "<script>alert" not in shown and "&lt;script&gt;alert(1)" in shown
    file.write_text(f"{text}contact: mistakes@museum.example\n", "utf-8")
    built = build(home, today=TODAY, draft=True)
    assert built.site is not None and built.generated
    shown = (built.site / "index.html").read_text("utf-8")
    assert 'href="mailto:mistakes@museum.example"' in shown and 'rel="license"' not in shown


def test_the_settings_and_the_stamp_heed_it(stock: Path) -> None:
    tree = stock / "build/drafts/docs"
    tree.mkdir(parents=True)
    plain, said = colophon_of(museum()), colophon_of(museum(licence="MIT"))
    assert stamp_of(stock, tree, plain) != stamp_of(stock, tree, said)
    texts: list[Any] = [write_config(stock, tree, one, draft=True).read_text("utf-8") for one in (plain, said)]
    assert "spdx.org/licenses/MIT.html" in texts[1] and "spdx.org" not in texts[0]
