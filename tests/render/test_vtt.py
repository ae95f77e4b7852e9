"""What the writer of captions writes, the strict reader accepts with no fault, and a second reader reads alike."""

from __future__ import annotations

from html import unescape

import pytest
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from builder.load.captionfile import time_fault
from builder.load.captions import read_captions
from builder.model.caption import Caption
from builder.render.vtt import clock_time, subrip_time, webvtt_time, write_subrip, write_webvtt

WORDS = st.text(st.one_of(st.characters(codec="utf-8"), st.sampled_from("<>&-\n \r\0")), max_size=40)


@st.composite
def tracks(draw: st.DrawFn) -> list[Caption]:
    """Captions in order, with any words whatever."""
    at, made = 0, []
    for index in range(draw(st.integers(0, 5))):
        at += draw(st.integers(0, 5_000_000))
        parts = tuple(draw(st.lists(st.tuples(WORDS, WORDS), max_size=3)))
        made.append(
            Caption(
                at,
                at + draw(st.integers(1, 90_000)),
                parts,
                draw(st.sampled_from(["", f"{index} --> x", f"no {index}"])),
            )
        )
    return made


@given(tracks(), WORDS)
def test_what_is_written_is_read_without_fault(track: list[Caption], note: str) -> None:
    read = read_captions(write_webvtt(track, note=note))
    assert not read.faults
    assert [(c.start_ms, c.end_ms, c.shown) for c in read.captions] == [(c.start_ms, c.end_ms, True) for c in track]
    for ours, back in zip(track, read.captions, strict=True):
        assert "".join(back.text.split()) == "".join(ours.text.replace("\0", "\ufffd").split())
    assert not read_captions(write_webvtt(track, data=True), kind="metadata").faults
    again = read_captions(write_subrip(track)) if track else None
    assert again is None or (again.format == "subrip" and not again.faults and len(again.captions) == len(track))


@given(st.integers(0, 999 * 3_600_000))
def test_times(ms: int) -> None:
    assert time_fault(webvtt_time(ms)) is None and time_fault(subrip_time(ms), "subrip") is None


def test_one_track_by_hand() -> None:
    track = [
        Caption(0, 2500, (("Ada", "A newt & a jar\n\nx < y"),), "one", (("align", "start"),)),
        Caption(3_600_000, 3_601_000, (("", "End -->"),)),
    ]
    text = write_webvtt(track, note="A draft.\n\nTwo --> lines.")
    assert text == (
        "WEBVTT\n\nNOTE\nA draft.\nTwo → lines.\n\none\n00:00:00.000 --> 00:00:02.500 align:start\n"
        "<v Ada>A newt &amp; a jar\nx &lt; y</v>\n\n01:00:00.000 --> 01:00:01.000\nEnd --&gt;\n"
    )
    assert [unescape(c.text) for c in webvtt.from_string(text)] == ["A newt & a jar\nx < y", "End -->"]
    assert write_subrip(track).startswith(
        "1\n00:00:00,000 --> 00:00:02,500\nAda: A newt & a jar\nx ‹ y\n\n2\n01:00:00,000"
    )
    assert [clock_time(ms) for ms in (0, 59_999, 725_000, 3_723_000)] == ["0:00", "0:59", "12:05", "1:02:03"]


@pytest.mark.parametrize(
    "track",
    [
        [Caption(5, 5, ())],
        [Caption(-1, 5, ())],
        [Caption(5, 6, ()), Caption(4, 9, ())],
        [Caption(0, 1, (), "a"), Caption(2, 3, (), "a")],
    ],
)
def test_what_no_program_may_ask_for(track: list[Caption]) -> None:
    with pytest.raises(ValueError):
        write_webvtt(track)
    with pytest.raises(ValueError):
        write_subrip(track)
