"""Cue cards for a talk as plain data: what a presenter takes in at a glance, card by card.

In: the document of a talk, the running time of its beats, the beats left out. Out: `CueCards`: for each card its head
and small items that a layout may put on as many cards as they need. Refused: nothing; what is long is cut into items,
never left out, but for spoken sentences, which are there in short.

In short: the first sentence of a paragraph, questions, and sentences with numbers stand whole; of others the first
words. A card says what is worth a look while one talks: the time, where to point, how a name is spoken (our choice).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, NotRequired, TypedDict

from builder.compose.bibliography import short_citation
from builder.compose.caution import DEFERRAL, cautions_of
from builder.compose.document import BeatData, CueData, Document, SentenceData, SpanData, text_of_sentence
from builder.compose.label import first_sentence
from builder.compose.running import Running, TimedBeat
from builder.weigh.slot import minutes
from builder.weigh.utterance import is_instruction, is_question

SHORT_WORDS = 8
"""So many words of a sentence that stands in short; one that is little longer stands whole."""
WHOLE_WORDS = 12
LONGEST_WORDS = 40
ITEM = 260
"""Characters of one item at most: a layout can then always find room for it on the smallest card."""


CLOCKS = "Left: on the clock when a beat begins. Spoken: its words alone; the rest is for questions and walking."
"""What the two times of a beat mean."""


class CardData(TypedDict):
    """One card's head and items. `kind` is front, care, beat or questions; each item's `kind` says how it is set."""

    kind: str
    title: str
    items: list[dict[str, Any]]
    number: NotRequired[int]
    keep: NotRequired[str]
    time: NotRequired[str]
    left: NotRequired[str]


class CueCards(TypedDict):
    """A set of cards. `notice` and `name` stand small on each."""

    name: str
    notice: str
    beats: int
    cards: list[CardData]


def cue_cards(document: Document, running: Running, *, left_out: Sequence[TimedBeat] = ()) -> CueCards:
    """The cards of a talk: the plan, the care its objects need, each beat, the questions."""
    pairs = list(zip(document.get("beats", ()), running.beats, strict=True))
    cards = [_front_card(document, running, left_out)]
    care = list(_care(document))
    if care:
        cards.append({"kind": "care", "title": "Handle with care", "items": care})
    cards += [_beat_card(document, beat, timed, place) for place, (beat, timed) in enumerate(pairs, start=1)]
    questions = list(_questions(document))
    if questions:
        cards.append({"kind": "questions", "title": "If they ask", "items": questions})
    return {
        "name": document["title"],
        "notice": first_sentence(document.get("notice", "")),
        "beats": len(pairs),
        "cards": cards,
    }


def clock(seconds: int) -> str:
    """A time as on a clock: `1:30`; below zero `−0:20`."""
    minutes, rest = divmod(abs(seconds), 60)
    return f"{'−' if seconds < 0 else ''}{minutes}:{rest:02d}"


def _front_card(document: Document, running: Running, left_out: Sequence[TimedBeat]) -> CardData:
    front, taxon = document["front"], document["taxon"]
    items: list[dict[str, Any]] = []
    facts = [front.get("audience", ""), minutes(running.beats[0].left) if running.beats else ""]
    items.append({"kind": "facts", "text": " · ".join(filter(None, facts))})
    if front.get("theme"):
        items += [{"kind": "theme", "text": text} for text in _pieces(front["theme"])]
    items.append({"kind": "name", **_name(taxon)})
    rows = [[clock(beat.left), beat.title or "Opening", clock(beat.seconds)] for beat in running.beats]
    if rows:
        items += [{"kind": "plan", "rows": rows[at : at + 6], "first": at == 0} for at in range(0, len(rows), 6)]
    if rows:
        items.append({"kind": "sources", "text": CLOCKS, "first": False})
    if left_out:
        items += [{"kind": "note", "head": "Left out today", "text": text}
                  for text in _pieces("; ".join(beat.title or "Opening" for beat in left_out))]  # fmt: skip
    items += [{"kind": "note", "head": "Bring", "text": text}
              for text in _pieces("; ".join(_things(document).values()))]  # fmt: skip
    return {"kind": "front", "title": document["title"], "items": items}


def _things(document: Document) -> dict[str, str]:
    return {thing["id"]: f"{thing['preparation']} {thing['catalogue_number']}" for thing in document["objects"]}


def _care(document: Document) -> Iterator[dict[str, Any]]:
    """Cautions object by object; those that ask for the same care stand together. Empty where no hazard is stated."""
    things = _things(document)
    grouped: dict[tuple[str, str, str], list[str]] = {}
    for made in cautions_of(document["handling"]):
        grouped.setdefault((made.get("object", ""), made["who"], made["stage"]), []).append(made["what"])
    told = ""
    for (thing, who, stage), whats in grouped.items():
        if thing != told:
            told = thing
            yield from ({"kind": "head", "text": text} for text in _pieces(things.get(thing, thing)))
        for said in (*whats, who, stage):
            yield from ({"kind": "caution", "text": text} for text in _pieces(said))
    if grouped:
        yield {"kind": "caution", "text": DEFERRAL}
        return
    for row in document["objects"]:  # cards for everybody tell no hazard, only the neutral line
        if "caution" in row:
            yield {"kind": "head", "text": things[row["id"]]}
            yield {"kind": "caution", "text": row["caution"]}


def _beat_card(document: Document, beat: BeatData, timed: TimedBeat, number: int) -> CardData:
    items: list[dict[str, Any]] = []
    for block in beat["blocks"]:
        if block["kind"] == "heading":
            items += [{"kind": "head", "text": _cut(" ".join(map(text_of_sentence, block["sentences"])))}]
            continue
        for place, sentence in enumerate(block["sentences"]):
            items.append(
                {"kind": "ask" if _asks(sentence) else "say", "first": place == 0, **_in_short(sentence, place)}
            )
    sentences = [sentence for block in beat["blocks"] for sentence in block["sentences"]]
    named = {span["cue"] for sentence in sentences for span in sentence["spans"] if "cue" in span}
    cues = [cue for cue in document["cues"] if cue["number"] in named]
    for cue in cues:
        for place, text in enumerate(_pieces(cue["look_for"])):
            items.append({"kind": "point", "number": cue["number"], "term": _cut(cue["term"]) if place == 0 else "",
                          "text": text})  # fmt: skip
    items += _figures(document, cues)
    items += _names(document, sentences, cues)
    cited = list(_sources(document, sentences))
    if cited:
        items += [{"kind": "sources", "text": text, "first": place == 0}
                  for place, text in enumerate(_pieces("; ".join(cited)))]  # fmt: skip
    return {
        "kind": "beat",
        "title": _cut(beat["title"] or "Opening"),
        "number": number,
        "keep": timed.keep,
        "time": clock(timed.seconds),
        "left": clock(timed.left),
        "items": items,
    }


def _asks(sentence: SentenceData) -> bool:
    return text_of_sentence(sentence).rstrip(" \"'”’)").endswith("?")


def _in_short(sentence: SentenceData, place: int) -> dict[str, Any]:
    """The spans of a sentence as a card has them, and whether anything was cut off."""
    text = text_of_sentence(sentence)
    words = text.split()
    whole = (
        place == 0
        or len(words) <= WHOLE_WORDS
        or re.search(r"\d", text) is not None
        or is_question(text)
        or is_instruction(text)
    )
    room = LONGEST_WORDS if whole else SHORT_WORDS
    spans: list[dict[str, Any]] = []
    left, letters = room, ITEM
    for span in sentence["spans"]:
        kept = _first_words(span["text"], left, letters)
        made: dict[str, Any] = {"text": kept}
        made |= {name: span[name] for name in ("style", "cue") if name in span}
        spans.append(made)
        left -= len(kept.split())
        letters -= len(kept)
        if len(kept) < len(span["text"]):
            spans.append({"text": " …"})
            break
        if left <= 0 and span is not sentence["spans"][-1]:
            spans.append({"text": " …"})
            break
    return {"spans": spans}


def _first_words(text: str, words: int, letters: int) -> str:
    """So many words from the start of a text, with the blanks between and before them, and at most so many letters."""
    found = re.match(rf"\s*(?:\S+\s*){{0,{max(words, 0)}}}", text)
    kept = found[0] if found else ""
    if len(kept) > letters:
        kept = kept[: max(letters, 0)]
    return kept if len(kept) == len(text) else kept.rstrip(" ,;:–—")


def _cut(text: str, most: int = 90) -> str:
    return text if len(text) <= most else text[: most - 2].rsplit(" ", 1)[0] + " …"


def _pieces(text: str, most: int = ITEM) -> Iterator[str]:
    """A text in pieces of at most so many characters, parted at blanks where there are any."""
    while len(text) > most:
        at = text.rfind(" ", 1, most)
        at = at if at > 0 else most
        yield text[:at]
        text = text[at:].lstrip()
    if text:
        yield text


def _figures(document: Document, cues: Sequence[CueData]) -> list[dict[str, Any]]:
    """The pictures that the cues of a beat point into, with a numbered pin for each."""
    made = []
    for figure in document["figures"]:
        pins = [
            {"number": cue["number"], "x": cue["x"], "y": cue["y"]} for cue in cues if cue.get("figure") == figure["id"]
        ]
        if pins:
            rights = " · ".join(filter(None, (figure.get("credit"), figure.get("licence"))))
            made.append({"kind": "figure", "file": figure["file"], "alt": figure["alt"], "pins": pins,
                         "rights": _cut(rights, 120)})  # fmt: skip
    return made


def _name(taxon: dict[str, str]) -> dict[str, str]:
    made = {"common": _cut(taxon["common"])}
    made |= {name: _cut(taxon[name]) for name in ("scientific", "say") if name in taxon}
    return made


def _names(document: Document, sentences: Sequence[SentenceData], cues: Sequence[CueData]) -> list[dict[str, Any]]:
    """Hard names that a beat speaks, with how they sound."""
    text = " ".join(map(text_of_sentence, sentences))
    taxon = document["taxon"]
    made = []
    scientific = taxon.get("scientific", "")
    if "say" in taxon and scientific and (scientific in text or scientific.split()[0] in text):
        made.append({"kind": "name", "scientific": _cut(scientific), "say": _cut(taxon["say"])})
    made += [{"kind": "name", "common": _cut(cue["term"]), "say": _cut(cue["say"])} for cue in cues if "say" in cue]
    return made


def _sources(document: Document, sentences: Sequence[SentenceData]) -> Iterator[str]:
    """The sources behind the sentences of a beat, each once: author, year and where in it."""
    wanted = {number for sentence in sentences for number in sentence.get("claims", ())}
    fields = {source["id"]: source["fields"] for source in document["sources"]}
    told = set()
    for claim in document["claims"]:
        for row in claim["evidence"] if claim["number"] in wanted else ():
            if row["kind"] == "source" and row["key"] in fields:
                said = ", ".join(filter(None, (short_citation(fields[row["key"]]), row.get("locator", ""))))
                if said not in told:
                    told.add(said)
                    yield said


def _questions(document: Document) -> Iterator[dict[str, Any]]:
    for question in document["questions"]:
        for place, text in enumerate(_pieces(question["ask"])):
            yield {"kind": "question", "text": text, "first": place == 0}
        for block in question["answer"]:
            for sentence in block["sentences"]:
                for spans in _span_pieces(sentence["spans"]):
                    yield {"kind": "answer", "spans": spans}


def _span_pieces(spans: Sequence[SpanData]) -> Iterator[list[dict[str, str]]]:
    """A sentence's spans in runs of at most an item's length, style kept."""
    run: list[dict[str, str]] = []
    room = ITEM
    for span in spans:
        for text in _pieces(span["text"]):
            if len(text) > room and run:
                yield run
                run, room = [], ITEM
            run.append({"text": text, "style": span.get("style", "")})
            room -= len(text)
    if run:
        yield run
