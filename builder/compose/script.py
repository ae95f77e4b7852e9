"""A script as it is shot: numbered shots with what is seen and what is spoken side by side, and the time of each.

In: a script's document and its running time. Out: plain data, public but for `cautions`, which are for staff. A quote
opens a shot; the paragraphs below it are spoken over it. Speech takes the beat's words at its rate; what a beat states
beyond that goes to its shots in which nobody speaks, or where there are none, follows its last word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, NotRequired, TypedDict

from builder.compose.bibliography import short_citation
from builder.compose.caution import CautionData, cautions_of
from builder.compose.document import (
    BeatData,
    BlockData,
    ClaimData,
    Document,
    ObjectData,
    SentenceData,
    text_of_sentence,
)
from builder.compose.running import Running, TimedBeat
from builder.model.piece import is_said_aloud
from builder.weigh.pace import PACES, Pace, judge_pace, pace_of
from builder.weigh.timing import speaking_seconds, spoken_words

ON_SCREEN = 2
"""How many sources a caption on the picture names; more cannot be read in passing (our choice)."""


class LineData(TypedDict):
    """A spoken sentence: its place in the film in milliseconds, its words as heard, its claims and cues by id.

    `opens` says that it begins a paragraph.
    """

    sentence: SentenceData
    start_ms: int
    end_ms: int
    words: int
    claims: list[str]
    cues: list[str]
    opens: bool


class ShotData(TypedDict):
    """One shot: what is seen, what is spoken over it, when, and what must be at hand.

    `objects` are the catalogue numbers of what it shows, as far as text or cues name them. `credits` are the sources
    to show on the picture, in short. `silent` is true where nobody speaks and no time is stated for it either.
    """

    number: int
    seen: list[SentenceData]
    spoken: list[LineData]
    start_ms: int
    end_ms: int
    words: int
    objects: list[str]
    cues: list[int]
    credits: list[str]
    silent: NotRequired[bool]


class SceneData(TypedDict):
    """One beat of a script with its shots and its time in milliseconds."""

    title: str
    keep: str
    start_ms: int
    end_ms: int
    words: int
    shots: list[ShotData]


class CitedData(TypedDict):
    """A source that the spoken or shown text rests on, and where in it."""

    source: str
    locators: list[str]


class ScriptData(TypedDict):
    """A whole script. `pace` says in words how its rate stands to its audience; `names` are (written, said aloud).

    `cautions` are for staff; everything else is public.
    """

    title: str
    scenes: list[SceneData]
    rate_wpm: int
    words: int
    end_ms: int
    audience: str
    pace: list[str]
    names: list[list[str]]
    cited: list[CitedData]
    cautions: list[CautionData]


def compose_script(document: Document, running: Running) -> ScriptData:
    """The script of a document whose beats are timed."""
    return _Scriptwriter(document, running).script()


def spoken_lines(script: ScriptData) -> Iterator[LineData]:
    """Every spoken sentence, in order."""
    for scene in script["scenes"]:
        for shot in scene["shots"]:
            yield from shot["spoken"]


class _Scriptwriter:
    def __init__(self, document: Document, running: Running) -> None:
        self.document, self.running = document, running
        self.claims: dict[int, ClaimData] = {claim["number"]: claim for claim in document["claims"]}
        self.cues = {cue["number"]: cue for cue in document["cues"]}
        self.fields = {source["id"]: source["fields"] for source in document["sources"]}
        self.cited: dict[str, dict[str, None]] = {}
        self.shots = 0

    def script(self) -> ScriptData:
        beats = self.document.get("beats", [])
        scenes, at = [], 0
        for beat, timed in zip(beats, self.running.beats, strict=True):
            scenes.append(self._scene(beat, timed, at))
            at += timed.seconds * 1000
        audience = self.document["front"].get("audience", "")
        return {
            "title": self.document["title"],
            "scenes": scenes,
            "rate_wpm": self.running.rate_wpm,
            "words": sum(scene["words"] for scene in scenes),
            "end_ms": at,
            "audience": audience,
            "pace": pace_words(self.running.rate_wpm, audience),
            "names": hard_names(self.document),
            "cited": [{"source": key, "locators": list(found)} for key, found in self.cited.items()],
            "cautions": cautions_of(self.document["handling"]),
        }

    def _scene(self, beat: BeatData, timed: TimedBeat, start: int) -> SceneData:
        rows = list(_rows(beat["blocks"]))
        end = start + timed.seconds * 1000
        speech = round(speaking_seconds(timed.words, rate_wpm=self.running.rate_wpm) * 1000)
        spare = max(end - start - speech, 0)
        mute = [index for index, (_, spoken) in enumerate(rows) if not spoken]
        shots, at = [], start
        for index, (seen, spoken) in enumerate(rows):
            shot = self._shot(seen, spoken, at)
            if index in mute:
                shot["end_ms"] = at + spare // len(mute)
                if shot["end_ms"] - at < 1000:
                    shot["silent"] = True
            at = shot["end_ms"]
            shots.append(shot)
        if shots:
            shots[-1]["end_ms"] = end
        return {
            "title": beat["title"], "keep": beat["keep"], "start_ms": start, "end_ms": end, "words": timed.words,
            "shots": shots,
        }  # fmt: skip

    def _shot(self, seen: list[SentenceData], spoken: list[BlockData], start: int) -> ShotData:
        self.shots += 1
        lines, said = [], 0
        for block in spoken:
            for place, sentence in enumerate(block["sentences"]):
                words = spoken_words(text_of_sentence(sentence))
                lines.append(self._line(sentence, start, said, words, opens=place == 0))
                said += words
        sentences = [*seen, *(line["sentence"] for line in lines)]
        pointed = dict.fromkeys(span["cue"] for one in sentences for span in one["spans"] if "cue" in span)
        cues = [number for number in pointed if number in self.cues]
        return {
            "number": self.shots, "seen": seen, "spoken": lines, "start_ms": start, "end_ms": self._at(start, said),
            "words": said, "objects": self._objects(sentences, cues), "cues": cues,
            "credits": self._credits(sentences, cues),
        }  # fmt: skip

    def _at(self, start: int, words: int) -> int:
        return start + round(speaking_seconds(words, rate_wpm=self.running.rate_wpm) * 1000)

    def _line(self, sentence: SentenceData, start: int, said: int, words: int, *, opens: bool) -> LineData:
        cues = [self.cues[span["cue"]]["id"] for span in sentence["spans"] if span.get("cue") in self.cues]
        claims = [self.claims[number] for number in sentence.get("claims", ()) if number in self.claims]
        here = self.document["record"]
        return {
            "sentence": sentence,
            "start_ms": self._at(start, said),
            "end_ms": self._at(start, said + words),
            "words": words,
            "claims": [one["id"] if one["record"] == here else f"{one['record']}.{one['id']}" for one in claims],
            "cues": list(dict.fromkeys(cues)),
            "opens": opens,
        }

    def _objects(self, sentences: Iterable[SentenceData], cues: Iterable[int]) -> list[str]:
        """Catalogue numbers of what a shot shows: named in its words, or bearing what it points at.

        A script of one object shows that one wherever it names none.
        """
        text = " ".join(text_of_sentence(sentence) for sentence in sentences)
        things = self.document["objects"]
        seen_on = {name for number in cues for name in self.cues[number]["visible_on"]}
        found = [thing for thing in things if _is_named(thing, text)]
        found = found or [thing for thing in things if f"{thing['preparation']} {thing['catalogue_number']}" in seen_on]
        found = found or (things if len(things) == 1 else [])
        return [thing["catalogue_number"] for thing in found]

    def _cite(self, source: str, locator: str) -> bool:
        if source not in self.fields:
            return False
        self.cited.setdefault(source, {}).update({locator: None} if locator else {})
        return True

    def _credits(self, sentences: Iterable[SentenceData], cues: Iterable[int]) -> list[str]:
        """The sources to show on the picture, in short; every one is kept for the list at the end."""
        shown: dict[str, None] = {}
        for number in cues:
            for citation in self.cues[number]["sources"]:
                self._cite(citation["source"], citation.get("locator", ""))
        numbers = dict.fromkeys(number for sentence in sentences for number in sentence.get("claims", ()))
        for number in numbers:
            if number not in self.claims:
                continue
            for source, locator in self._behind(self.claims[number]):
                if self._cite(source, locator):
                    short = short_citation(self.fields[source])
                    shown.setdefault(f"{short}, {locator}" if locator else short)
        named = list(shown)
        if len(named) > ON_SCREEN:
            return [*named[:ON_SCREEN], f"and {len(named) - ON_SCREEN} more, in the description"]
        return named

    def _behind(self, claim: ClaimData) -> Iterator[tuple[str, str]]:
        """Source and locator of each piece of evidence, those behind tables, sums and anatomy too."""
        own = claim["record"] == self.document["record"]
        for row in claim["evidence"]:
            kind, key = row["kind"], row["key"]
            rows: list[Any] = []
            if kind == "source":
                rows = [{"source": key, **row}]
            elif own and kind == "diet":
                rows = [diet for diet in self.document["diets"] if diet["id"] == key]
            elif own and kind == "calculation":
                rows = [part for one in self.document["sums"] if one["id"] == key for part in one["inputs"]]
            elif own and kind == "anatomy":
                rows = [part for cue in self.document["cues"] if cue["id"] == key for part in cue["sources"]]
            yield from ((one["source"], one.get("locator", "")) for one in rows if "source" in one)


def pace_words(rate_wpm: int, audience: str) -> list[str]:
    """How the rate stands to the film's own audience, and then to the others, in sentences."""
    own = pace_of(audience)
    whom = f"for {audience}" if audience else "for an audience it does not name"
    taken = "" if audience.lower() == own.audience else f", taken as {own.audience}"
    said = [f"{rate_wpm} words a minute {whom}{taken}: {judge_pace(rate_wpm, own)} ({_figures(own)})."]
    for pace in PACES:
        if pace is not own:
            said.append(f"For {pace.audience} it is {judge_pace(rate_wpm, pace)} ({_figures(pace)}).")
    return said


def _figures(pace: Pace) -> str:
    return f"{pace.low} to {pace.high}; {pace.source}"


def hard_names(document: Document) -> list[list[str]]:
    """Names with the way to say them: the animal's, whole and with its genus cut short, and those of what is shown."""
    taxon, found = document["taxon"], []
    scientific, say = taxon.get("scientific", ""), taxon.get("say", "")
    if scientific and say:
        found.append([scientific, say])
        genus, _, rest = scientific.partition(" ")
        if rest:
            found.append([f"{genus[0]}. {rest}", say])
    found += [[cue["term"], cue["say"]] for cue in document["cues"] if "say" in cue]
    return found


def _is_named(thing: ObjectData, text: str) -> bool:
    number = re.escape(thing["catalogue_number"])
    return re.search(rf"(?<![\w./-]){number}(?![\w/-]|\.\w)", text) is not None


def _rows(blocks: Iterable[BlockData]) -> Iterator[tuple[list[SentenceData], list[BlockData]]]:
    """What is seen with what is spoken over it: each quote opens a row of its own, as does speech before any."""
    seen: list[SentenceData] = []
    spoken: list[BlockData] = []
    for block in blocks:
        if block["kind"] == "quote":
            if seen or spoken:
                yield seen, spoken
            seen, spoken = block["sentences"], []
        elif is_said_aloud("script", block["kind"]):
            spoken.append(block)
    if seen or spoken:
        yield seen, spoken
