"""Every file of a script: the two-column sheet, the shot list, the prompter copy, the tracks, the public texts.

In: a script's document, its running time, what the public may know of the museum, full citations. Out: bytes by file
name. `STAFF_FILES` are for staff alone and never belong among public documents; all others are public once approved.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from builder.compose.captions import caption_track, chapter_track, metadata_track
from builder.compose.caution import DEFERRAL, NOTHING_KNOWN
from builder.compose.document import Document
from builder.compose.running import Running
from builder.compose.script import SceneData, ScriptData, ShotData, compose_script
from builder.render.citation import Run
from builder.render.script import HouseData, description_text, prompter_text, source_rows, transcript_text
from builder.render.typeset import typeset
from builder.render.vtt import clock_time, write_subrip, write_webvtt
from builder.weigh.slot import minutes

STAFF_FILES = frozenset({"shots.pdf", "prompter.txt"})
TITLES = {
    "sheet.pdf": "Script in two columns (PDF)",
    "captions.vtt": "Captions (WebVTT)",
    "captions.srt": "Captions (SubRip)",
    "chapters.vtt": "Chapters (WebVTT)",
    "metadata.vtt": "Claims by time (WebVTT)",
    "transcript.txt": "Descriptive transcript (text)",
    "description.txt": "Description text",
    "shots.pdf": "Shot list (PDF)",
    "prompter.txt": "Prompter copy (text)",
}
"""What each file is, in the words of a link."""
KEEPS = {"always": "always stays", "if-time": "stays if there is time", "spare": "the first to go"}
REST_SECONDS = 3
"""From here on a rest after the last word is named (our choice)."""
FILMING = (  # common practice, no source
    "While filming: no hot lamp near fluid, no tripod, cable or drink over a jar, no mains socket below one.",
    "Tape down cables. Mind glare on glass. Keep the time in strong light short, and switch lamps off between takes.",
)


def script_outputs(
    document: Document,
    running: Running,
    *,
    house: HouseData,
    entries: Mapping[str, Sequence[Run]],
    draft: bool = False,
) -> dict[str, bytes]:
    """All files of a script by name, those of `STAFF_FILES` among them."""
    script = compose_script(document, running)
    notice = document.get("notice", "")
    about: dict[str, Any] = {"language": document["language"], "draft": draft, "notice": notice}
    sheet = sheet_data(document, script, entries)
    note = " ".join(filter(None, ("Draft, worked out from the script: correct it to what was said.", notice)))
    captions = caption_track(script)
    texts = {
        "captions.vtt": write_webvtt(captions, note=note),
        "captions.srt": write_subrip(captions),
        "chapters.vtt": write_webvtt(chapter_track(script), note=notice),
        "metadata.vtt": write_webvtt(metadata_track(script), note=notice, data=True),
        "transcript.txt": transcript_text(document, script, draft=draft),
        "description.txt": description_text(document, script, house, entries, draft=draft),
        "prompter.txt": prompter_text(script, notice=notice, draft=draft),
    }
    return {
        "sheet.pdf": typeset("script", sheet, title=f"{document['title']}: script", **about),
        "shots.pdf": typeset(
            "shots", shots_data(document, script, sheet), title=f"{document['title']}: shot list", staff=True, **about
        ),
        **{name: text.encode() for name, text in texts.items()},
    }


def sheet_data(document: Document, script: ScriptData, entries: Mapping[str, Sequence[Run]]) -> dict[str, Any]:
    """What the two-column sheet shows: public, no caution in it."""
    objects = [one["catalogue_number"] for one in document["objects"]]
    facts = [document["taxon"].get("common", ""), *_facts(document, script), ", ".join(objects)]
    several = len(objects) > 1
    return {
        "title": script["title"],
        "facts": [fact for fact in facts if fact],
        "theme": document["front"].get("theme", ""),
        "pace": script["pace"],
        "names": [row for row in script["names"] if not row[0].startswith(f"{row[0][0]}. ")],
        "care": document.get("care", ""),
        "scenes": [_scene(scene, several=several) for scene in script["scenes"]],
        "cues": [
            {"number": cue["number"], "term": cue["term"], "look": cue["look_for"], "say": cue.get("say", "")}
            for cue in document["cues"]
        ],
        "sources": source_rows(document, script, entries),
    }


def shots_data(document: Document, script: ScriptData, sheet: Mapping[str, Any]) -> dict[str, Any]:
    """What the shot list shows, to staff alone: the shots of a sheet, and what to mind."""
    numbers = {one["id"]: one["catalogue_number"] for one in document["objects"]}
    terms = {cue["number"]: cue["term"] for cue in document["cues"]}
    shots = [shot for scene in script["scenes"] for shot in scene["shots"]]
    rows = [row for scene in sheet["scenes"] for row in scene["shots"]]
    return {
        "title": script["title"],
        "facts": [*_facts(document, script), ", ".join(numbers.values())],
        "shots": [
            {
                **row,
                "objects": shot["objects"],
                "cues": [{"number": number, "term": terms[number]} for number in shot["cues"]],
            }
            for row, shot in zip(rows, shots, strict=True)
        ],
        "cautions": [
            {
                "object": numbers.get(row.get("object", ""), ""),
                "what": row["what"],
                "who": row["who"],
                "stage": row["stage"],
            }
            for row in script["cautions"]
        ],
        "unknown": NOTHING_KNOWN,
        "filming": list(FILMING),
        "deferral": DEFERRAL,
    }


def _facts(document: Document, script: ScriptData) -> list[str]:
    shots = sum(len(scene["shots"]) for scene in script["scenes"])
    slot = document["front"].get("slot")
    return [
        f"{script['words']} words as spoken",
        minutes(script["end_ms"] / 1000) + (f" of a slot of {slot} min" if slot else ""),
        f"{shots} shots" if shots != 1 else "1 shot",
    ]


def _scene(scene: SceneData, *, several: bool) -> dict[str, Any]:
    length = minutes((scene["end_ms"] - scene["start_ms"]) / 1000)
    words = f"{scene['words']} words"
    return {
        "title": scene["title"] or "Opening",
        "facts": [clock_time(scene["start_ms"]), length, words, KEEPS[scene["keep"]]],
        "shots": [_shot(shot, several=several) for shot in scene["shots"]],
    }


def _shot(shot: ShotData, *, several: bool) -> dict[str, Any]:
    """A row of the sheet; where the script shows one object throughout, its number stands at the top alone."""
    parts: list[list[Any]] = []
    for line in shot["spoken"]:
        if line["opens"] or not parts:
            parts.append([])
        parts[-1].append(line["sentence"])
    seconds = round((shot["end_ms"] - shot["start_ms"]) / 1000)
    return {
        "number": str(shot["number"]),
        "at": clock_time(shot["start_ms"]),
        "length": "no time stated" if shot.get("silent") else f"{seconds} s",
        "seen": shot["seen"],
        "spoken": parts,
        "rest": _rest(shot),
        "objects": shot["objects"] if several else [],
        "credits": shot["credits"],
    }


def _rest(shot: ShotData) -> str:
    """The time of a shot in which nobody speaks, where it is long enough to be planned for."""
    if not shot["spoken"]:
        return "(nobody speaks)"
    seconds = round((shot["end_ms"] - shot["spoken"][-1]["end_ms"]) / 1000)
    return f"(then {seconds} s without words)" if seconds >= REST_SECONDS else ""
