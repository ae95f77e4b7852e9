"""A script as plain text: the prompter copy, the descriptive transcript, and the text of the description box.

In: a composed script and its document. Out: text, line ends as "\\n". The prompter copy is for staff; transcript and
description are public, and hold nothing of what is for staff alone.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import TypedDict

from builder.compose.bibliography import short_citation
from builder.compose.document import Document, SentenceData, text_of_sentence
from builder.compose.script import CitedData, ScriptData, ShotData
from builder.render.citation import Run
from builder.render.unbroken import keep_together
from builder.render.vtt import clock_time
from builder.weigh.slot import minutes
from builder.weigh.timing import spoken_form

PROMPTER_CHARACTERS = 36
"""A line of the prompter copy, short enough to be read without moving the eyes (our choice)."""
PAUSE = "[PAUSE]"
HANDLED = "Objects are handled by trained staff."
LANGUAGES = {
    "cy": "Welsh", "da": "Danish", "de": "German", "en": "English", "es": "Spanish", "fi": "Finnish", "fr": "French",
    "ga": "Irish", "gd": "Scottish Gaelic", "it": "Italian", "nl": "Dutch", "no": "Norwegian", "pl": "Polish",
    "pt": "Portuguese", "sv": "Swedish",
}  # fmt: skip
BRACKETS = str.maketrans("[]", "()")


class HouseData(TypedDict):
    """What the public may know of the museum itself; empty where it says nothing."""

    name: str
    contact: str


def prompter_text(script: ScriptData, *, notice: str = "", draft: bool = False) -> str:
    """The spoken words alone: a sentence to a paragraph, short lines, numbers in words, names as they are said.

    What stands in square brackets is not read out, but for the way to say a name.
    """
    length = f"{script['words']} words, {minutes(script['end_ms'] / 1000)} at {script['rate_wpm']} words a minute"
    about = f"{script['title']}. {length}."
    head = " ".join(filter(None, ("DRAFT: not approved." if draft else "", about, notice)))
    parts = [_wrap(f"[NOT READ OUT: {head.translate(BRACKETS)}]")]
    shots = [shot for scene in script["scenes"] for shot in scene["shots"] if shot["spoken"]]
    for place, shot in enumerate(shots):
        parts += [_wrap(say_aloud(text_of_sentence(line["sentence"]), script["names"])) for line in shot["spoken"]]
        if place + 1 < len(shots):
            parts.append(PAUSE)
    return "\n\n".join(parts) + "\n"


def say_aloud(text: str, names: Sequence[Sequence[str]]) -> str:
    """A sentence as it is read out, each hard name followed by the way to say it, a genus cut short written whole."""
    spoken = spoken_form(text.translate(BRACKETS))
    if not names:
        return spoken
    said = {row[0]: row[1] for row in names}
    forms = sorted(said, key=len, reverse=True)
    found = re.compile("|".join(rf"(?<!\w){re.escape(form)}(?!\w)" for form in forms))

    def put(match: re.Match[str]) -> str:
        whole = names[0][0] if re.match(r"\w\. ", match[0]) else match[0]
        return f"{whole} [{said[match[0]].translate(BRACKETS)}]"

    return found.sub(put, spoken)


def transcript_text(document: Document, script: ScriptData, *, draft: bool = False) -> str:
    """What is seen woven with what is spoken, with the times of the beats: for whoever cannot see, or hear, the film.

    A transcript of the speech alone would leave out what is shown (WCAG 2.2, 1.2.3).
    """
    rows = [script["title"], "Descriptive transcript: what is seen, and what is spoken."]
    rows += _notices(document, draft)
    for scene in script["scenes"]:
        rows += ["", " ".join(filter(None, (clock_time(scene["start_ms"]), scene["title"])))]
        for shot in scene["shots"]:
            rows.append("")
            rows += _shot_rows(shot)
    return _joined(rows)


def description_text(
    document: Document,
    script: ScriptData,
    house: HouseData,
    entries: Mapping[str, Sequence[Run]],
    *,
    draft: bool = False,
) -> str:
    """The text that goes below a film: the fact, chapters from 0:00, what is shown, sources, credits, whom to write to.

    `entries` are the full citations of sources by id; one that is missing is cited in short.
    """
    rows = [document["summary"], *_notices(document, draft)]
    scenes = [scene for scene in script["scenes"] if scene["end_ms"] // 1000 > scene["start_ms"] // 1000]
    if scenes:
        rows += ["", "Chapters"]
        rows += [f"{clock_time(scene['start_ms'])} {scene['title'] or script['title']}" for scene in scenes]
    if document["objects"]:
        rows += ["", "Objects shown"]
        rows += [f"{one['catalogue_number']}, {one['preparation']}, {one['collection']}" for one in document["objects"]]
        rows.append(HANDLED)
    if script["cited"]:
        rows += ["", "Sources"]
        rows += source_rows(document, script, entries)
    credits = list(_credits(document, house))
    if credits:
        rows += ["", "Credits", *credits]
    rows += ["", f"Captions: {language_name(document['language'])}"]
    if house["contact"]:
        rows.append(f"Found a mistake? Write to {house['contact']}")
    return _joined(rows)


def source_rows(document: Document, script: ScriptData, entries: Mapping[str, Sequence[Run]]) -> list[str]:
    """The sources that what is said and shown rests on, each in full with its locators, in the order of the film."""
    return [_source_row(document, one, entries) for one in script["cited"]]


def language_name(tag: str) -> str:
    """A language in English, with its tag: `English (en-GB)`; the tag alone where we have no name for it."""
    name = LANGUAGES.get(tag.split("-")[0].lower())
    return f"{name} ({tag})" if name else tag


def _shot_rows(shot: ShotData) -> Iterable[str]:
    if shot["seen"]:
        yield f"Seen: {_text(shot['seen'])}"
    if shot["spoken"]:
        yield f"Spoken: {_text(line['sentence'] for line in shot['spoken'])}"
    if shot["credits"]:
        yield f"On screen: {'; '.join(shot['credits'])}"


def _notices(document: Document, draft: bool) -> list[str]:
    said = ["Draft: not approved for the public."] if draft else []
    return said + [document[name] for name in ("notice", "care") if name in document]


def _source_row(document: Document, cited: CitedData, entries: Mapping[str, Sequence[Run]]) -> str:
    source = next(one for one in document["sources"] if one["id"] == cited["source"])
    entry = "".join(text for text, _ in entries.get(source["id"], ()))
    if not entry:
        entry = f"{short_citation(source['fields'])}. {source['fields'].get('title', '')}".strip()
    if cited["locators"]:
        entry = f"{entry.rstrip('.')} ({'; '.join(cited['locators'])})"
    if "withdrawn" in source:
        entry += f". Withdrawn: {source['withdrawn']}"
    return entry


def _credits(document: Document, house: HouseData) -> Iterable[str]:
    authors = document["front"].get("author", [])
    if authors:
        yield f"Words: {', '.join(authors)}"
    rights = (", ".join(one[name] for name in ("credit", "licence") if name in one) for one in document["figures"])
    yield from (f"Picture: {said}" for said in dict.fromkeys(rights) if said)
    if house["name"]:
        yield house["name"]


def _text(sentences: Iterable[SentenceData]) -> str:
    return " ".join(text_of_sentence(sentence) for sentence in sentences)


def _wrap(text: str) -> str:
    rows = textwrap.fill(keep_together(text), PROMPTER_CHARACTERS, break_long_words=False, break_on_hyphens=False)
    return rows.replace("\u00a0", " ")


def _joined(rows: Iterable[str]) -> str:
    """Rows as lines: what an author wrote cannot start a row of its own, nor turn the text round."""
    return "\n".join(" ".join(row.split()) for row in rows) + "\n"
