"""A comment is tied to a sentence by the name of its part: the pages must name each part as the signature does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.approve.fingerprint import plain_parts
from builder.compose.document import text_of_sentence
from builder.review.desk import Desk
from builder.review.reading import read_document
from builder.review.vouching import Behind
from tests.conftest import TODAY, copy_demo


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The documents of every piece of the demo."""
    look = Desk(copy_demo(tmp_path_factory.mktemp("demo") / "museum"), today=lambda: TODAY).look()
    return {name: piece.document for name, piece in look.pieces.items()}


def signed(document: Any) -> dict[str, tuple[str, str]]:
    """Kind and words of each part of the running text that is a sentence, as the signature cuts it."""
    return {
        name: (row["kind"], text_of_sentence(row).strip())
        for name, row in plain_parts(document)
        if name.startswith(("text/", "questions/")) and "spans" in row
    }


def shown(document: Any) -> Iterator[tuple[str, tuple[str, str]]]:
    """The same, as the pages of the review show it."""
    for row in read_document(Behind(document, {}, {}))["sentences"]:
        assert row["anchor"] == row["part"].replace("/", "-")
        yield row["part"], (row["kind"], row["text"])


def headed(document: Any) -> dict[str, str]:
    """The parts of titled beats and of questions, as the pages name them."""
    groups = read_document(Behind(document, {}, {}))["groups"]
    return {group["part"]: group["text"] for group in groups if group["tag"] in ("beat", "question")}


def test_every_piece_of_the_demo_is_numbered_as_it_is_signed(documents: dict[str, Any]) -> None:
    assert {document["kind"] for document in documents.values()} == {"page", "label", "talk", "script"}
    for name, document in documents.items():
        rows = list(shown(document))
        assert dict(rows) == signed(document) and len(dict(rows)) == len(rows), name
        assert rows, name


WORDS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=12)
SENTENCE = st.builds(
    lambda texts, claims, aside: {
        "spans": [{"text": text} for text in texts], **({"claims": claims} if claims else {}),
        **({"aside": True} if aside else {}),
    },
    st.lists(WORDS, min_size=1, max_size=3), st.lists(st.integers(1, 4), max_size=2, unique=True), st.booleans(),
)  # fmt: skip
BLOCK = st.builds(
    lambda kind, number, sentences: {"kind": kind, "sentences": sentences,
        **({"level": 2} if kind == "heading" else {}), **({"number": number} if kind == "item" and number else {})},
    st.sampled_from(["paragraph", "item", "quote", "heading"]), st.integers(0, 3), st.lists(SENTENCE, max_size=3),
)  # fmt: skip
BLOCKS = st.lists(BLOCK, max_size=5)
BEAT = st.builds(
    lambda title, blocks: {"title": title, "keep": "always", "blocks": blocks}, st.just("") | WORDS, BLOCKS
)
QUESTION = st.builds(lambda ask, answer: {"ask": ask, "answer": answer}, WORDS, BLOCKS)


@settings(max_examples=300, deadline=None)
@given(blocks=BLOCKS, beats=st.lists(BEAT, max_size=3), questions=st.lists(QUESTION, max_size=3), data=st.data())
def test_any_document_is_numbered_as_it_is_signed(
    documents: dict[str, Any], blocks: list[Any], beats: list[Any], questions: list[Any], data: Any
) -> None:
    """Blocks without a sentence, beats without a title, questions without an answer: each takes its number."""
    base = documents[data.draw(st.sampled_from(["european-nightjar/page", *(n for n in documents if "script" in n)]))]
    document = {**base, "blocks": blocks, "beats": beats, "questions": questions}
    rows = list(shown(document))
    assert [name for name, _ in rows] == list(signed(document)) and dict(rows) == signed(document)
    parts = dict(plain_parts(document))  # type: ignore[arg-type]
    for name, text in headed(document).items():
        assert parts[name].get("title", parts[name].get("ask")) == text
