"""Draft captions of a script, its chapters, and a track of data that ties each spoken second to its claims.

In: a script with its times. Out: captions in order, ready to be written. They are drafts: the times are worked out from
the words, and who cuts the film moves them. Figures: BBC Subtitle Guidelines, and Described and Captioned Media
Program, n.d. (shortest 2 s; 0.3 s a word a floor, 0.375 s the aim; no gap, or at least a second; 37 characters, two
lines).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from builder.compose.document import SpanData, canonical_json, text_of_sentence
from builder.compose.script import SceneData, ScriptData
from builder.model.caption import Caption
from builder.weigh.breaking import INSEPARABLE, SENTENCE, break_cost, cut_captions
from builder.weigh.timing import spoken_words

SHORTEST_MS, LEAST_GAP_MS, LONGEST_MS = 2000, 1000, 7000
"""The last is a streaming service's figure, at second hand."""
WORD_FLOOR_MS = 300
WORD_AIM_MS = 375
EACH = 8
"""What a further caption costs, so that there are not more than needed (our choice)."""
SHOT_CHANGE = 25
"""What it costs when a caption runs on over a change of shot (our choice)."""
RUN_ON = 60
"""What it costs when a caption holds the end of a sentence and a part of another (our choice)."""
BLANK = re.compile("[ \t\n\r\f\v]+")
"""Where words part; a no-break blank keeps a number with its unit."""


@dataclass(frozen=True, slots=True)
class _Word:
    """A written word on its way into captions, with the time in which it is said."""

    text: str
    start_ms: int
    end_ms: int
    spoken: int
    shot: int
    bound: int


def caption_track(script: ScriptData) -> list[Caption]:
    """The captions of all that is spoken."""
    drafted: list[tuple[int, int, int, tuple[str, ...]]] = []
    for scene in script["scenes"]:
        words = _words(scene)
        cuts = cut_captions([word.text for word in words], [word.bound for word in words], _judge(words))
        for first, end, lines in cuts:
            told = words[first:end]
            drafted.append((told[0].start_ms, told[-1].end_ms, sum(word.spoken for word in told), lines))
    return _time(drafted)


def chapter_track(script: ScriptData) -> list[Caption]:
    """One chapter for each beat that takes any time; the first starts at nought."""
    scenes = [scene for scene in script["scenes"] if scene["end_ms"] > scene["start_ms"]]
    return [
        Caption(scene["start_ms"], scene["end_ms"], (("", scene["title"] or script["title"]),), f"beat-{number}")
        for number, scene in enumerate(scenes, 1)
    ]


def metadata_track(script: ScriptData) -> list[Caption]:
    """For each spoken sentence that rests on something, JSON: claims, cues, objects and the number of the shot."""
    made: list[Caption] = []
    latest = 0
    for scene in script["scenes"]:
        for shot in scene["shots"]:
            for line in shot["spoken"]:
                if not (line["claims"] or line["cues"]):
                    continue
                data = {"shot": shot["number"]} | {
                    name: found
                    for name, found in (
                        ("claims", line["claims"]), ("cues", line["cues"]), ("objects", shot["objects"]),
                    )
                    if found
                }  # fmt: skip
                start = max(line["start_ms"], latest)
                end = max(line["end_ms"], start + 1)
                made.append(Caption(start, end, (("", canonical_json(data).decode()),), f"said-{len(made) + 1}"))
                latest = start
    return made


def _words(scene: SceneData) -> list[_Word]:
    """The spoken words of a scene; the time of a sentence is shared out by the words heard."""
    found: list[_Word] = []
    for shot in scene["shots"]:
        for line in shot["spoken"]:
            texts = [text for text in BLANK.split(text_of_sentence(line["sentence"])) if text]
            bounds = _bounds(line["sentence"]["spans"], texts)
            shares = [spoken_words(text) for text in texts]
            whole, length, said = sum(shares) or 1, line["end_ms"] - line["start_ms"], 0
            for place, (text, share) in enumerate(zip(texts, shares, strict=True)):
                start = line["start_ms"] + length * said // whole
                said += share
                end = line["start_ms"] + length * said // whole
                # the words of a sentence as heard may differ from those of its pieces: "12 mm" apart and together
                spoken = line["words"] * said // whole - line["words"] * (said - share) // whole
                found.append(_Word(text, start, end, spoken, shot["number"], bounds[place]))
    return found


def _bounds(spans: Sequence[SpanData], texts: Sequence[str]) -> list[int]:
    """What a break after each word costs; nothing is broken within a name in italics."""
    text = "".join(span["text"] for span in spans)
    italic = [on for span in spans for on in ["em" in span.get("style", "")] * len(span["text"])]
    costs, at = [], 0
    for place, word in enumerate(texts):
        at = text.index(word, at) + len(word)
        if place + 1 == len(texts):
            costs.append(SENTENCE)
            continue
        cost = break_cost(word, texts[place + 1])
        costs.append(max(cost, INSEPARABLE) if italic[at - 1] and italic[at] else cost)
    return costs


def _judge(words: Sequence[_Word]) -> Callable[[int, int], int]:
    """What a caption of those words costs beside its breaks: too short or too long a time, a change of shot within."""

    def cost(first: int, end: int) -> int:
        until = words[end].start_ms if end < len(words) else words[end - 1].end_ms
        if until - words[end - 1].end_ms >= LEAST_GAP_MS:
            until = words[end - 1].end_ms
        length = until - words[first].start_ms
        found = EACH + SHOT_CHANGE * (words[first].shot != words[end - 1].shot)
        found += max(SHORTEST_MS - length, 0) // 20 + max(length - LONGEST_MS, 0) // 50
        stops = sum(words[place].bound == SENTENCE for place in range(first, end - 1))
        whole = words[end - 1].bound == SENTENCE and (first == 0 or words[first - 1].bound == SENTENCE)
        # the end of one sentence and the beginning of another belong in captions of their own
        return found + 3 * stops + (0 if whole or not stops else RUN_ON)

    return cost


def _time(drafted: Sequence[tuple[int, int, int, tuple[str, ...]]]) -> list[Caption]:
    """Each caption from its first word to its last, but as long as it takes to read, and with no short gap after it."""
    made: list[Caption] = []
    ended = 0
    for place, (said_from, said_until, words, lines) in enumerate(drafted):
        start = max(said_from, ended)
        end = max(said_until, start + SHORTEST_MS, start + words * WORD_FLOOR_MS)
        following = drafted[place + 1][0] if place + 1 < len(drafted) else None
        if following is None:
            end = max(end, start + words * WORD_AIM_MS)
        elif end < following < end + LEAST_GAP_MS:
            end = following
        elif end < following:
            end = min(max(end, start + words * WORD_AIM_MS), following - LEAST_GAP_MS)
        made.append(Caption(start, end, (("", "\n".join(lines)),), str(place + 1)))
        ended = end
    return made
