"""The reader of captions, held to the WebVTT standard (W3C), its public test suite, and a second reader.

Rows C1 to C6 are those of our own list of outside values. Cases named "wpt" are inputs and counts of the file-parsing
tests for WebVTT in web-platform-tests, retyped; what a second reader (webvtt-py) finds is compared only where the file
is sound, since it accepts much that is not.
"""

from __future__ import annotations

import json

import pytest
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from builder.load.captionfile import read_time, time_fault
from builder.load.captions import read_caption_file, read_captions
from builder.load.captiontext import line_starts, place_of, read_caption_text

# C1: WebVTT, W3C, "WebVTT timestamp", as an author may write it (seen)
VALID = {
    "00:00.000": 0,
    "00:59.999": 59_999,
    "01:50.100": 110_100,
    "00:03:33.000": 213_000,
    "100:00:00.000": 360_000_000,
}
INVALID = [
    "0:00.000", "00:60.000", "60:00.000", "00:00.00", "00:00.0000", "00:00,000", "00:00:00", "00.000", " 00:00.000",
    "٠٠:٠٠.٠٠٠", "00:00.000 ", "00:00.000\n", "", ":", "00:00:0.000", "1:00:00.000",
]  # fmt: skip


@pytest.mark.parametrize(("text", "ms"), VALID.items())
def test_times_an_author_may_write(text: str, ms: int) -> None:
    assert time_fault(text) is None
    assert read_time(text) == ms
    (caption,) = read_captions(f"WEBVTT\n\n{text} --> 200:00:00.000\nWords\n").captions
    assert caption.start_ms == ms and caption.shown


@pytest.mark.parametrize("text", INVALID)
def test_times_an_author_may_not_write(text: str) -> None:
    assert time_fault(text)


def test_an_hour_of_one_digit_is_read_and_reported() -> None:  # C2: WebVTT, W3C, reader against author (seen)
    read = read_captions("WEBVTT\n\n1:00:00.000 --> 1:00:02.000\nWords\n")
    assert [(c.start_ms, c.shown) for c in read.captions] == [(3_600_000, True)]
    assert [(f.row, f.column, f.grave) for f in read.faults] == [(3, 1, False), (3, 17, False)]


def test_sixty_hours() -> None:  # C3: wpt timings-60: 216000 s (seen)
    read = read_captions("WEBVTT\n\n60:00:00.000 --> 60:00:01.000\ntext2\n")
    assert not read.faults and read.captions[0].start_ms == 216_000_000


def test_times_that_go_back() -> None:  # C4: wpt timings-negative, and the standard's rules for authors (seen)
    rows = [("00:00:00.000", "00:00:00.000"), ("00:00:01.000", "00:00:00.999"), ("00:01:00.000", "00:00:59.999")]
    text = "WEBVTT\n\n" + "\n\n".join(f"{start} --> {end}\ntext" for start, end in rows) + "\n"
    read = read_captions(text)
    assert len(read.captions) == 3 and all(c.shown for c in read.captions), "a player keeps them"
    assert [f.row for f in read.faults] == [3, 6, 9] and all("ends no later" in f.message for f in read.faults)
    text = "WEBVTT\n\na\n00:02.000 --> 00:03.000\nx\n\na\n00:01.000 --> 00:05.000\ny\n\n"
    assert [(f.row, f.message.split(" ")[2]) for f in read_captions(text).faults] == [(7, "on"), (8, "starts")]
    arrow = read_captions("WEBVTT\n\na-->\n00:02.000 --> 00:03.000\nx\n")
    assert any("no times" in f.message for f in arrow.faults), "an identifier holds no arrow"
    over = read_captions("WEBVTT\n\n00:01.000 --> 00:09.000\nx\n\n00:02.000 --> 00:03.000\ny\n")
    assert not over.faults, "captions may overlap"


@pytest.mark.parametrize("first", ["WEBVTT", "\ufeffWEBVTT", "WEBVTT a film", "WEBVTT\ta film", "WEBVTT "])
def test_first_lines_that_hold(first: str) -> None:  # C5: WebVTT, W3C, "WebVTT file body" (seen)
    read = read_captions(f"{first}\n\n00:01.000 --> 00:02.000\nx\n")
    assert not read.faults and len(read.captions) == 1


@pytest.mark.parametrize("first", ["webvtt", "", "WEBVTTx", "WEBVT", " WEBVTT", "WEBVTT-"])
def test_first_lines_that_do_not(first: str) -> None:  # C5
    read = read_captions(f"{first}\n\n00:01.000 --> 00:02.000\nx\n")
    assert [(f.row, f.grave) for f in read.faults if "WEBVTT" in f.message] == [(1, True)]
    assert [c.text for c in read.captions] == ["x"], "what is plainly meant is read all the same"


def test_subrip() -> None:  # C6: SubRip as the Matroska documentation describes it (seen)
    read = read_captions(
        "1\n00:00:12,000 --> 00:00:15,123\nOne <i>newt</i>\nin a jar\n\n2\n00:00:16,000 --> 00:00:18,000\nTwo\n"
    )
    assert read.format == "subrip" and not read.faults
    assert [(c.start_ms, c.end_ms, c.text, c.id) for c in read.captions] == [
        (12_000, 15_123, "One newt\nin a jar", "1"),
        (16_000, 18_000, "Two", "2"),
    ]


def test_what_subrip_must_not_hold() -> None:
    text = "2\n0:00:01,5 --> 00:00:02.000 X1:1\nOne\n\nmore\n7\n00:00:01,000 --> 00:00:00,500\nTwo\n00:00:03,000 --> 00:00:04,000\nThree\n"
    read = read_captions(text)
    assert [c.text for c in read.captions] == ["One\nmore", "Two", "Three"]
    told = " | ".join(f"{f.row}:{f.column} {f.message}" for f in read.faults)
    for part in ("1:1 the caption is numbered 2 where 1 is due", "2:1 the time `0:00:01,5` has 1 decimals", "2:15 the time",
                 "2:28 `X1:1` stands", "2:1 a blank line stands", "6:1 no blank line parts", "7:1 the caption ends no later",
                 "9:1 the caption has no number"):  # fmt: skip
        assert part in told, told


def shown(text: str) -> list[str]:
    """What a player shows."""
    return [caption.text for caption in read_captions(text).captions if caption.shown]


def test_wpt_arrows() -> None:
    block = "\n00:00:00.000 --> 00:00:01.000\ntext{}\n"
    text = "WEBVTT\n\n" + "".join(
        f"{a}{block.format(i)}" for i, a in enumerate(["-->", "foo-->", "-->foo", "--->", "-->-->"], 1)
    )
    text += "00:00:00.000 --> 00:00:01.000\ntext6\n\n00:00:00.000 -a -->\n\n00:00:00.000 --a -->\n\n00:00:00.000 - -->\n\n00:00:00.000 -- -->\n"
    assert shown(text) == [f"text{n}" for n in range(1, 7)]


TOO_LONG = ["00::00:00.000", "00:000:00.000", "00:00::00.000", "00:00:000.000", "00:00:00..000", "00:00:00.0000", "00:00.0000",
            "000:00.000", "00::00.000", "00:000.000", "00:00..000"]  # fmt: skip
TOO_SHORT = ["0000:00.000", "00:0:00.000", "00:0000.000", "00:00:0.000", "00:00:00000", "00:00:00.00", "00:00:00.0", "00:00:00.",
             "00:00:00", "00:00:0", "00:00:", "00:00", "00:0", "00:", "00", "0", "", "0:00.000", "0000.000", "00:0.000",
             "00:00000", "00:00.00", "00:00.", "0:00.", ":00.", "00.", "."]  # fmt: skip


@pytest.mark.parametrize("time", TOO_LONG + TOO_SHORT)
def test_wpt_times_that_no_player_reads(time: str) -> None:
    for line in (f"{time} --> 00:00:01.000", f"00:00:00.000 --> {time}"):
        text = f"WEBVTT\n\n{line}\ninvalid\n"
        assert not shown(text)
        assert any(fault.grave for fault in read_captions(text).faults)


def test_wpt_times_that_a_player_reads() -> None:
    for time in ("000:00:00.000", "0:00:00.000"):
        assert shown(
            f"WEBVTT\n\n{time} --> 00:00:01.000\ntext1\n\n00:00:00.000 --> {time.replace('00.', '01.')}\ntext2\n"
        ) == ["text1", "text2"]


# wpt settings-line: which values a player takes; `1.5` is left out, as it takes it and an author may not write it
@pytest.mark.parametrize(
    "value", ["-1", "0", "-0", "1", "100", "101", "65536", "0%", "00%", "100%", "100%,start", "100%,center", "100%,end"]
)
def test_wpt_line_settings_that_hold(value: str) -> None:
    read = read_captions(f"WEBVTT\n\n00:00:00.000 --> 00:00:01.000 line:{value}\nx\n")
    assert not read.faults and read.captions[0].settings == (("line", value),)


@pytest.mark.parametrize(
    "value",
    [
        "65536%",
        "-0%",
        "101%",
        "1%-",
        "1-",
        "%1",
        "1%%",
        "0%0",
        " 0%",
        "0%x",
        "-",
        "%",
        "1..5",
        ".5",
        "5.",
        "100%,middle",
    ],
)
def test_wpt_line_settings_that_do_not(value: str) -> None:
    read = read_captions(f"WEBVTT\n\n00:00:00.000 --> 00:00:01.000 line:{value}\nx\n")
    assert read.faults and not read.captions[0].settings and read.captions[0].shown


# cue-text parsing of the standard, cases of wpt's entities and tags, retyped: what is seen of each
WORDS = {
    "&": "&", "&amp": "&", "&amp;": "&", "&lt;": "<", "&gt;": ">", "a&lrm;b": "a\u200eb", "a&rlm;b": "a\u200fb",
    "&quot;": '"', "&nbsp;": "\u00a0", "&copy;": "©", "&&": "&&", "&1": "&1", "&1;": "&1;", "&<": "&", "&<c": "&",
    "&#32;": " ", "&;": "&;", "&notit;": "¬it;", "<": "", "<<": "", "<.": "", "<c.": "", "</": "", "<c></>x": "x",
    "<c></\nc>x": "x", "<c>test": "test", "a<c.d e>b</c>c": "abc", "a<ruby.f g>b<rt.h j>c</rt>d</ruby>e": "abcde",
    "<rt>test": "test", "<v a b>test": "test", "<v.a>test": "test", "a<lang.d e>b</lang>c": "abc",
}  # fmt: skip


@pytest.mark.parametrize(("payload", "seen"), WORDS.items())
def test_wpt_words_of_a_caption(payload: str, seen: str) -> None:
    (caption,) = read_captions(f"WEBVTT\n\n00:00.000 --> 00:01.000\n{payload}\n").captions
    assert caption.text == seen


def test_voices() -> None:
    read = read_captions(
        "WEBVTT\n\n00:00.000 --> 00:01.000\n<v.loud Ada  Writer>Look.</v> <v Con &amp; Co>It\nis <i>small</i>.</v>\n"
    )
    (caption,) = read.captions
    assert caption.parts == (("Ada Writer", "Look."), ("", " "), ("Con & Co", "It\nis small."))
    assert caption.voices == ("Ada Writer", "Con & Co") and not read.faults
    assert not read_captions("WEBVTT\n\n00:00.000 --> 00:01.000\n<v Ada>Look.\n").faults, (
        "one voice throughout may stay open"
    )


@pytest.mark.parametrize(
    ("payload", "row", "column", "part"),
    [
        ("salt & water", 5, 6, "`&` stands for itself"),
        ("one\n2 < 3", 6, 3, "never closes"),
        ("<v>Who?", 5, 1, "who speaks"),
        ("<i>open", 5, 1, "never closed"),
        ("shut</i>", 5, 5, "closes nothing"),
        ("<blink>x", 5, 1, "no tag"),
        ("a <0:01>b", 5, 3, "no time"),
    ],
)
def test_faults_in_the_words(payload: str, row: int, column: int, part: str) -> None:
    (fault,) = read_captions(f"WEBVTT\n\nid\n00:00.000 --> 00:01.000\n{payload}\n").faults
    assert (fault.row, fault.column) == (row, column) and part in fault.message


def test_notes_styles_and_regions() -> None:
    head = "WEBVTT\n\nREGION\nid:fred width:40% lines:3\nregionanchor:0%,100%\nviewportanchor:10%,90%\nscroll:up\n\nSTYLE\n::cue { color: red }\n\nNOTE by hand\ntwo lines\n\nNOTE\n\n"
    read = read_captions(head + "00:00.000 --> 00:01.000 region:fred align:left\nx\n")
    assert not read.faults and len(read.captions) == 1
    late = read_captions(
        "WEBVTT\n\n00:00.000 --> 00:01.000 region:fred align:middle size:50 what:1\nx\n\nSTYLE\nx\n\nlost words\n"
    )
    told = [f"{f.row} {f.message}" for f in late.faults]
    assert [part.split(" ")[0] for part in told] == ["3", "3", "3", "3", "6", "9"]
    assert late.faults[-1].grave and "nobody sees" in late.faults[-1].message


def test_files_met_in_use() -> None:
    """Common practice, no source: head lines, commas, Windows line ends, a number without a blank line before it."""
    text = "\ufeffWEBVTT\r\nKind: captions\r\nLanguage: en\r\n\r\n1\r\n00:00:01,000 --> 00:00:02,000\r\nOne\r\n2\r\n00:00:02.000 --> 00:00:03.000\r\nTwo\r\n"
    read = read_caption_file(text.encode())
    assert [(c.text, c.start_ms, c.shown) for c in read.captions] == [("One", 1000, False), ("Two", 2000, True)]
    assert [f.row for f in read.faults] == [2, 6, 6, 9]
    assert read_captions(text).captions == read.captions
    assert read_caption_file("WEBVTT\n".encode("utf-16")).faults[0].message.startswith("the file is in UTF-16")
    assert read_caption_file(b"WEBVTT\n\n00:00.000 --> 00:01.000\na\0b\n").captions[0].text == "a\ufffdb"
    assert read_caption_file(b"\xe9t\xe9").faults[0].grave


def test_data_is_kept_as_it_stands() -> None:
    payload = json.dumps({"claims": ["milk & moths", "<v"]})
    read = read_captions(f"WEBVTT\n\n00:00.000 --> 00:01.000\n{payload}\n", kind="metadata")
    assert read.captions[0].text == payload and not read.faults


def test_a_second_reader_finds_the_same_in_a_sound_file() -> None:
    text = "WEBVTT\n\nNOTE one\n\nfirst\n00:01.000 --> 00:02.500 align:start\nOne\ntwo\n\n01:00:00.000 --> 01:00:02.000\nThree\n"
    ours, theirs = read_captions(text), webvtt.from_string(text)
    assert not ours.faults
    assert [(c.text, c.start_ms) for c in ours.captions] == [
        (
            c.text,
            (c.start_time.hours * 3600 + c.start_time.minutes * 60 + c.start_time.seconds) * 1000
            + c.start_time.milliseconds,
        )
        for c in theirs
    ]


PIECES = st.sampled_from(
    ["WEBVTT", "\n", "\n\n", "00:01.000", " --> ", "-->", "00:00:02,000", "1", "NOTE", "STYLE", "REGION\nid:a", "<v Ada>", "</v>", "&",
     "&amp;", "<", ">", "\0", "\ufeff", " line:50%", "words", "\r", "\t", "٣", "9" * 30, "{\\an8}", "\u2028", "\x0c"]
)  # fmt: skip


@given(st.one_of(st.text(), st.lists(PIECES).map("".join)))
def test_any_text_at_all_is_read(text: str) -> None:
    for read in (read_captions(text), read_captions("WEBVTT\n\n" + text), read_captions(text, kind="metadata")):
        rows = len(text.split("\n")) + text.count("\r") + 3
        for fault in read.faults:
            assert 1 <= fault.row <= rows and fault.column >= 1 and fault.message and fault.mend
        for caption in read.captions:
            assert caption.start_ms >= 0 and caption.row >= 1


@given(st.binary())
def test_any_bytes_at_all_are_read(data: bytes) -> None:
    read = read_caption_file(data)
    assert read.captions or read.faults or not data.strip() or data.startswith((b"WEBVTT", b"\xef\xbb\xbfWEBVTT"))


def test_faults_in_one_caption_are_placed() -> None:
    text = "a\n& b &\n &"
    _, faults = read_caption_text(text)
    starts = line_starts(text)  # found once for all faults, so that a caption of mere faults takes no longer for each
    assert [place_of(starts, fault.at) for fault in faults] == [(1, 0), (1, 4), (2, 1)]
