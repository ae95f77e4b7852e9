"""The pages for educators and presenters: what stands where, and nothing that an author wrote becomes markup."""

from __future__ import annotations

from typing import Any

import pytest

from builder.compose.card import UseCard
from builder.render.audience import Download, render_educators, render_presenters


def card(kind: str, title: str, **more: Any) -> UseCard:
    made: dict[str, Any] = {
        "record": "newt", "piece": kind, "kind": kind, "title": title, "common": "Example newt", "audience": "families",
        "minutes": "", "theme": "", "words": 47, "summary": "", "hangs_at": [],
    }  # fmt: skip
    return {**made, **more}  # type: ignore[typeddict-item]


TALKS = [
    (card("talk", "Long", minutes="25"), ()),
    (card("talk", "Middling", minutes="7.5", audience="adults"), ()),
    (card("talk", "Of any length"), ()),
    (card("talk", "Short", minutes="5"), (Download("documents/newt--talk-a6.pdf", "Cue cards, A6 (PDF)"),)),
    (card("talk", "Middling too", minutes="10"), ()),
]


def test_talks_stand_by_length_then_minutes() -> None:
    text = render_educators(TALKS, frozenset({"newt"}), notice="", draft=False)
    wanted = ["Talks: up to 5 minutes", "**Short**", "Talks: up to 10 minutes", "**Middling**", "**Middling too**",
              "Talks: longer", "**Long**", "Talks: no set length", "**Of any length**"]  # fmt: skip
    places = [text.index(words) for words in wanted]
    assert places == sorted(places)
    assert "up to 20" not in text, "no heading without a talk under it"
    assert '[Cue cards, A6 (PDF)](documents/newt--talk-a6.pdf){: aria-label="Cue cards, A6 (PDF): Short" }' in text
    assert (
        "[Example newt](specimens/newt.md)</small>" not in text
        and "[Example newt](specimens/newt.md): 5\u00a0min" in text
    )


def test_a_record_without_a_page_is_named_without_a_link() -> None:
    text = render_educators([(card("label", "A newt"), ())], frozenset(), notice="", draft=False)
    assert "specimens/newt.md" not in text
    # 47 words at 238 words a minute: 11.85 s (Brysbaert 2019, J. Memory and Language 109, 104047)
    assert "Example newt: families, 47 words, 12\u00a0seconds to read" in text


def test_scripts_are_for_presenters_and_nothing_else_is() -> None:
    script = (card("script", "The newt on film"), (Download("documents/newt--script.vtt", "Captions"),))
    shelf = [*TALKS, script]
    assert "The newt on film" not in render_educators(shelf, frozenset(), notice="", draft=False)
    text = render_presenters(shelf, frozenset(), notice="Invented.", draft=True)
    assert "**The newt on film**" in text and "Middling" not in text
    assert "Invented." in text and "No curator has signed these pages" in text


@pytest.mark.parametrize("render", [render_educators, render_presenters])
def test_empty_shelves_say_so(render: Any) -> None:
    assert "has been approved yet." in render((), frozenset(), notice="", draft=False)


def test_no_text_of_a_card_becomes_markup() -> None:
    evil = '<script>x</script> [a](b) "quoted" {: #id } *em*'
    row = (
        card("talk", evil, theme=evil, audience=evil, common=evil, hangs_at=[evil]),
        (Download("documents/a.pdf", "Cards"),),
    )
    text = render_educators([row], frozenset(), notice="", draft=False)
    body = text.partition("## Talks")[2]
    assert "<script" not in body and "[a](b)" not in body and "*em*" not in body and "{: #id" not in body
    assert 'aria-label="Cards: &#60;script' in body


def test_what_a_link_is_called_reaches_the_reader_as_it_was_written() -> None:
    from markdown import markdown  # the generator's own parser
    from selectolax.lexbor import LexborHTMLParser

    name = 'A } brace, a "quote", an [x] & a *star* {: #id }'
    row = (card("talk", name), (Download("documents/a.pdf", "Cards"),))
    text = render_educators([row], frozenset(), notice="", draft=False)
    html = markdown(text.partition("## Talks")[2], extensions=["attr_list", "md_in_html"])
    link = LexborHTMLParser(html).css_first('a[href="documents/a.pdf"]')
    assert link is not None and link.attributes["aria-label"] == f"Cards: {name}"
    assert not LexborHTMLParser(html).css("#id, em")
