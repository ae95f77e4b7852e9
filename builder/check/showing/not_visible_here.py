"""not-visible-here: see not_visible_here.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.gist import gist
from builder.model.piece import Piece, Sentence
from builder.model.record import Anatomy
from builder.problem import ERROR, Problem, Spot
from builder.weigh.utterance import is_instruction
from builder.weigh.wording import has_negation

NAME, SEVERITY, WAIVABLE, SCOPE = "not-visible-here", ERROR, True, "piece"
LOOKING = re.compile(
    r"\b(?:(?:look|peer)(?:\s+\w+)?\s+(?:at|for|into)|see|watch|notice|note|find|spot|count|examine|observe|compare)\s+"
    r"(?:the|its|his|her|their|these|those)\s+((?:[\w-]+\s*){1,3})",
    re.IGNORECASE,
)
"""Bidding people look at something: the words after it name what."""
INSTRUMENTS = {"x-ray": "an X-ray", "ct": "a CT scan", "literature": "the literature"}
"""Ways of seeing that a visitor before the object does not have."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """Cues to what cannot be seen on the objects that the piece shows."""
    readable = piece.front.piece in ("page", "answer")
    asked = False
    for sentence in piece.sentences:
        for cue in sentence.cues:
            note = case.record.anatomy.get(cue)
            if note is None:
                continue
            if readable:
                fault = _on_page(case, cue, note)
            elif piece.front.objects:
                fault = _before_objects(case, piece, cue, note)
            elif asked:
                continue
            else:
                asked = True
                seen = _ids(objects_showing(case, cue, note))
                fault = (
                    f"the {piece.front.piece} points at `{cue}` but names no object to see it on",
                    f"add `objects: [{seen or '…'}]` to the front matter",
                )
            if fault:
                yield Problem(NAME, *fault, spot=_spot(sentence, cue))
        if not readable:
            yield from _in_plain_words(case, piece, sentence)


def _in_plain_words(case: Case, piece: Piece, sentence: Sentence) -> Iterator[Problem]:
    """A sentence that bids people look at what the piece's objects hide, with no cue on the words."""
    here = tuple(key for key in piece.front.objects if key in case.record.objects)
    parts = dict.fromkeys(part for key in here for part in case.record.objects[key].hides)
    bidden = LOOKING.search(sentence.text) if parts and not sentence.cues else None
    if bidden is None or not is_instruction(sentence.text) or has_negation(sentence.text):  # Do not look for the teeth
        return
    said = frozenset(gist(bidden[1]))
    for part in parts:
        note = case.record.anatomy.get(part)
        words = gist(note.term if note else part.replace("-", " ").replace("_", " "))
        if not words or not said.issuperset(words):
            continue
        shows = objects_showing(case, part, note) if note else ()
        if not set(here) & set(shows):
            yield Problem(NAME, *_unseen(case, piece, part, here, shows), spot=sentence.spot)


def _on_page(case: Case, cue: str, note: Anatomy) -> tuple[str, str] | None:
    """A page may show a note on any object of the record, or on a figure."""
    if note.at or note.seen_by in INSTRUMENTS or objects_showing(case, cue, note):
        return None
    hidden = _hidden(case, cue, tuple(case.record.objects))
    return (
        f"`{cue}` shows on no object and on no figure" + (f": {hidden}" if hidden else ""),
        f"give `{cue}` a place with `at: {{figure: …, x: …, y: …}}` or an object in `visible_on`, or drop the cue",
    )


def _before_objects(case: Case, piece: Piece, cue: str, note: Anatomy) -> tuple[str, str] | None:
    known = tuple(key for key in piece.front.objects if key in case.record.objects)
    shows = objects_showing(case, cue, note)
    if not known:
        return None
    here = _ids(known)
    if any(key in shows for key in known):
        if note.seen_by not in INSTRUMENTS:
            return None
        how = INSTRUMENTS[note.seen_by]
        return (
            f"`{cue}` is known from {how}; nobody sees it by looking at {here}",
            "point at something that the eye can see, and tell this without a cue",
        )
    return _unseen(case, piece, cue, known, shows)


def _unseen(case: Case, piece: Piece, cue: str, known: tuple[str, ...], shows: tuple[str, ...]) -> tuple[str, str]:
    """What is wrong with pointing at it before these objects, and which object of the record to fetch instead."""
    here, hidden = _ids(known), _hidden(case, cue, known)
    message = f"`{cue}` does not show on {here}" + (f": {hidden}" if hidden else "")
    instead = [key for key, other in case.record.anatomy.items() if set(known) & set(objects_showing(case, key, other))]
    change = f"point at what shows on {here} ({_ids(instead)})" if instead else "drop the cue"
    if not shows:
        return message, change
    objects = case.record.objects
    message += f"; it shows on {', '.join(f'`{key}` ({objects[key].catalogue_number})' for key in shows)}"
    barred = [key for key in shows if piece.front.piece == "script" and _is_barred(case, key)]
    free = [key for key in shows if key not in barred]
    if free:
        return message, f"add {_ids(free[:1])} to `objects`, or {change}"
    return f"{message}, where filming is forbidden", change


def _is_barred(case: Case, key: str) -> bool:
    collection = case.museum.collections.get(case.record.objects[key].collection)
    return collection is not None and collection.filming == "forbidden"


def objects_showing(case: Case, cue: str, note: Anatomy) -> tuple[str, ...]:
    """The objects on which a note shows; one that says itself that it hides it does not."""
    objects = case.record.objects
    return tuple(key for key in note.visible_on if key in objects and cue not in objects[key].hides)


def _hidden(case: Case, cue: str, keys: tuple[str, ...]) -> str:
    """`key` hides it (reason), for the first of the objects that says so."""
    for key in keys:
        reason = case.record.objects[key].hides.get(cue)
        if reason:
            return f"`{key}` hides it ({reason})"
    return ""


def _ids(keys: tuple[str, ...] | list[str]) -> str:
    return ", ".join(f"`{key}`" for key in keys)


def _spot(sentence: Sentence, cue: str) -> Spot:
    """Where the words of the cue stand."""
    start = 0
    for span in sentence.spans:
        if span.target == f"look:{cue}":
            return sentence.spot_of(start, start + len(span.text))
        start += len(span.text)
    return sentence.spot
