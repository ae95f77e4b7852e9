"""Scripts: shots with their times, captions by their rules, chapters, and the track that ties seconds to claims."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compose.captions import caption_track, chapter_track, metadata_track
from builder.compose.document import Document
from builder.compose.running import time_beats
from builder.compose.script import ScriptData, compose_script, spoken_lines
from builder.load.captions import read_captions
from builder.model.caption import Caption
from builder.model.museum import HouseRules
from builder.render.vtt import write_subrip, write_webvtt
from builder.road import Road
from builder.weigh.timing import spoken_words
from tests.conftest import ROOT, TODAY

SCRIPT = Path(__file__).parent.parent / "golden/script/script.md"


@pytest.fixture(scope="module")
def demo() -> Iterator[list[tuple[Document, ScriptData]]]:
    """Every script of the demo, composed."""
    road = Road(ROOT, today=TODAY, remember=False)
    found = []
    for record in road.workspace.folders:
        for document in road.documents(record).values():
            if document["kind"] == "script":
                found.append((document, compose_script(document, time_beats(document, road.library.rules))))
    assert len(found) >= 2
    yield found


@pytest.fixture
def newt(stock: Path) -> tuple[Document, ScriptData]:
    (stock / "records/newt/script.md").write_bytes(SCRIPT.read_bytes())
    road = Road(stock, today=TODAY, remember=False)
    document = road.documents("newt")["script"]
    return document, compose_script(document, time_beats(document, road.library.rules))


def test_shots_are_numbered_and_timed(newt: tuple[Document, ScriptData]) -> None:
    _, script = newt
    shots = [shot for scene in script["scenes"] for shot in scene["shots"]]
    assert [shot["number"] for shot in shots] == [1, 2, 3, 4, 5, 6]
    # 20 s are stated for the second beat; 21 words at 140 a minute take 9, and the silent shot gets what is left
    assert [(shot["start_ms"], shot["end_ms"]) for shot in shots[:3]] == [(0, 3000), (3000, 12_000), (12_000, 23_000)]
    assert [shot["objects"] for shot in shots] == [[], ["EX.A.1"], [], [], ["EX.A.2"], []]
    assert [bool(shot.get("silent")) for shot in shots] == [False, False, False, False, True, False]
    assert shots[1]["credits"] == ["Pond 2010, p. 12"] and shots[3]["credits"][-1] == "and 1 more, in the description"
    assert [cited["source"] for cited in script["cited"]] == ["field-2001", "pond-2010", "survey-2020"]
    assert script["end_ms"] == 50_000 == script["scenes"][-1]["end_ms"]
    assert script["pace"][0].startswith("140 words a minute for schools: too fast (120 to 130;")
    assert script["names"] == [["Exemplum primum", "ek-SEM-plum PREE-mum"], ["E. primum", "ek-SEM-plum PREE-mum"]]


def test_speech_on_the_first_row_needs_no_picture_to_be_kept(newt: tuple[Document, ScriptData]) -> None:
    document, _ = newt
    beat: Any = {"title": "", "keep": "always", "blocks": [_said("One.", "Two.")]}
    bare: Document = {**document, "beats": [beat]}
    script = compose_script(bare, time_beats(bare, HouseRules()))  # type: ignore[call-arg]
    (shot,) = script["scenes"][0]["shots"]
    assert shot["seen"] == [] and [line["opens"] for line in shot["spoken"]] == [True, False]
    assert chapter_track(script)[0].text == "A newt on film", "a beat without a title bears that of the film"


def _said(*sentences: str) -> dict[str, Any]:
    return {"kind": "paragraph", "sentences": [{"spans": [{"text": text}]} for text in sentences]}


def _held(track: list[Caption], script: ScriptData) -> None:
    """The rules of a caption track."""
    text = write_webvtt(track)
    assert not read_captions(text).faults and (not track or not read_captions(write_subrip(track)).faults)
    for place, caption in enumerate(track):
        following = track[place + 1] if place + 1 < len(track) else None
        length = caption.end_ms - caption.start_ms
        assert length >= 2000, "DCMP: no caption under 2 s"
        assert len(caption.text.split("\n")) <= 2
        if following:
            gap = following.start_ms - caption.end_ms
            assert gap == 0 or gap >= 1000, "BBC: none, or at least a second"
    said = " ".join(
        line["sentence"]["spans"][0]["text"] for line in spoken_lines(script) if len(line["sentence"]["spans"]) == 1
    )
    assert not said or set(said.split()) <= set(" ".join(caption.text for caption in track).split()), "verbatim"


def test_the_captions_of_the_demo_keep_the_rules(demo: list[tuple[Document, ScriptData]]) -> None:
    for _, script in demo:
        track = caption_track(script)
        _held(track, script)
        hasty = 0
        for caption in track:
            words, length = spoken_words(caption.text.replace("\n", " ")), caption.end_ms - caption.start_ms
            assert length >= 300 * words, f"BBC: 0.3 s a word is the floor: {caption}"
            hasty += length < 375 * words - 1
            for line in caption.text.split("\n"):
                assert len(line) <= 37
            first = caption.text.split("\n")[0].split()[-1].lower()
            assert first not in ("a", "an", "the", "of", "in", "with", "it", "they"), f"a bad break: {caption.text!r}"
        assert hasty <= 1, "0.375 s is the aim; a short caption before it may take a little of the next one's time"
        starts = [caption.start_ms for caption in track]
        lines = [line["start_ms"] for line in spoken_lines(script)]
        assert all(min(abs(start - line) for line in lines) < 8000 for start in starts)


def test_chapters_start_at_nought_and_follow_on(demo: list[tuple[Document, ScriptData]]) -> None:
    for document, script in demo:
        track = chapter_track(script)
        assert track[0].start_ms == 0 and [one.text for one in track] == [beat["title"] for beat in document["beats"]]
        assert all(a.end_ms == b.start_ms for a, b in pairwise(track))
        assert not read_captions(write_webvtt(track)).faults


def test_each_spoken_second_leads_to_its_claim(demo: list[tuple[Document, ScriptData]]) -> None:
    for document, script in demo:
        track = metadata_track(script)
        read = read_captions(write_webvtt(track, data=True), kind="metadata")
        assert not read.faults
        told = [json.loads(caption.text) for caption in read.captions]
        known = {
            claim["id"] if claim["record"] == document["record"] else f"{claim['record']}.{claim['id']}"
            for claim in document["claims"]
        }
        assert {name for row in told for name in row.get("claims", ())} <= known
        vouched = [line for line in spoken_lines(script) if line["claims"] or line["cues"]]
        assert [(one.start_ms, one.end_ms) for one in track] == [(line["start_ms"], line["end_ms"]) for line in vouched]


SENTENCES = st.lists(
    st.text(st.characters(codec="utf-8", exclude_characters="\r\n"), min_size=1, max_size=90), min_size=1, max_size=4
)


@given(st.lists(st.tuples(st.booleans(), SENTENCES), max_size=5), st.integers(40, 400), st.integers(0, 60))
def test_any_script_at_any_rate_gives_sound_tracks(rows: list[tuple[bool, list[str]]], rate: int, seconds: int) -> None:
    blocks = [{**_said(*texts), "kind": "quote" if seen else "paragraph"} for seen, texts in rows]
    beat = {"title": "A --> B", "keep": "always", "blocks": blocks, "seconds": seconds}
    document: Any = {
        "kind": "script", "record": "newt", "piece": "script", "title": "T", "language": "en-GB", "summary": "", "taxon": {},
        "blocks": [], "beats": [beat, {**beat, "seconds": 0}], "claims": [], "cues": [], "sources": [], "objects": [],
        "handling": [], "diets": [], "sums": [], "front": {},
    }  # fmt: skip
    rules = HouseRules.model_validate({"words_per_minute": {"script": str(rate)}})
    script = compose_script(document, time_beats(document, rules))
    at = 0
    for scene in script["scenes"]:
        assert scene["start_ms"] == at
        at = scene["end_ms"]
        for shot in scene["shots"]:
            assert scene["start_ms"] <= shot["start_ms"] <= shot["end_ms"] <= scene["end_ms"] + len(scene["shots"])
    _held(caption_track(script), script)
    for track in (chapter_track(script), metadata_track(script)):
        assert not read_captions(write_webvtt(track)).faults
