"""What `correct` writes: a correction at the end of `corrections.yml`, or the tick of one of its places.

In: the text of the file as it is, line ends and all. Out: the whole new text. Not a byte of what stands there moves; a
text to which nothing can be added that way is refused with a ValueError, and the person adds it by hand.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import yaml

from builder.load.yamltext import read_yaml
from builder.model.correction import Correction
from builder.resolve.hang import Hang
from builder.skeleton.addition import scalar

HEAD = """\
# Corrections, oldest first. Each stays open until every place is ticked: `vouchered correct --tick ID/PLACE`, or by
# hand with `done: 2026-11-25` below the place.
"""
TO_DO = {
    "page": "mend the page, have it approved, publish",
    "label": "cover it up at once; reprint, and hang the new one",
    "talk": "replace the cue cards; tell everybody who gives the talk",
    "script": "mend captions and description; add a note, or cut the film anew",
}
"""What must be done at a place, by the use of the piece that hangs there."""


def write_correction(text: str, key: str, correction: Correction) -> str:
    """The text of `corrections.yml` with one more correction at its end. Raises ValueError."""
    end = _line_end(text)
    rows = [f"{key}:"]
    for name in ("piece", "claim", "kind", "was", "now", "why", "who", "date"):
        value = getattr(correction, name)
        if value and (name, value) != ("kind", "mistake"):
            rows.append(f"  {name}: {scalar(value)}")
    rows.append("  places:")
    for place in correction.places:
        given = [(name, getattr(place, name)) for name in ("where", "of", "do", "done")]
        lines = [f"{name}: {scalar(value)}" for name, value in given if value]
        rows += [f"    - {lines[0]}", *(f"      {line}" for line in lines[1:])]
    block = end.join(rows) + end
    before = read_yaml(text).value if text.strip() else {}
    if before is None:
        if any(row.strip() and not row.lstrip().startswith("#") for row in text.split("\n")):
            raise ValueError("`corrections.yml` cannot be read; mend it first")
        before = {}
    if text.strip() == "{}":
        text = ""
    head = text or HEAD.replace("\n", end)
    head += "" if head.endswith("\n") else end
    made = head + end + block
    _hold(made, {**_mapping(before), key: _plain(correction)})
    return made


def tick_place(text: str, key: str, number: int, day: str) -> str:
    """The text with the place of that number (from 1) of a correction ticked. Raises ValueError."""
    before = read_yaml(text).value
    bom = "\ufeff" if text.startswith("\ufeff") else ""
    body = text.removeprefix("\ufeff")
    node = _child(_child(yaml.compose(body, Loader=yaml.SafeLoader), key), "places")
    items = node.value if isinstance(node, yaml.SequenceNode) else []
    if not 1 <= number <= len(items) or not isinstance(items[number - 1], yaml.MappingNode):
        raise ValueError(f"`{key}` has no place {number} that can be ticked; add `done: {day}` by hand")
    item = items[number - 1]
    if item.flow_style:
        at = item.value[-1][1].end_mark.index
        made = f"{body[:at]}, done: {day}{body[at:]}"
    else:
        last = item.value[-1][1]
        stop = body.find("\n", max(last.start_mark.index, last.end_mark.index - 1))
        end = _line_end(body)
        blanks = " " * item.value[0][0].start_mark.column
        if stop < 0:
            made = f"{body}{end}{blanks}done: {day}{end}"
        else:
            made = f"{body[: stop + 1]}{blanks}done: {day}{end}{body[stop + 1 :]}"
    wanted = _mapping(before)
    entry = _mapping(wanted.get(key))
    places = list(entry["places"])
    places[number - 1] = {**places[number - 1], "done": day}
    _hold(made, {**wanted, key: {**entry, "places": places}})
    return bom + made


def place_of(correction: Correction, words: str) -> int:
    """The number of the place that was meant, by its number or its words. Raises ValueError."""
    if words.isdigit() and 1 <= int(words) <= len(correction.places):
        return int(words)
    wanted = words.strip().casefold()
    for exact in (True, False):
        found = [
            number
            for number, place in enumerate(correction.places, 1)
            if (place.where.casefold() == wanted if exact else wanted in place.where.casefold())
        ]
        waiting = [number for number, _ in correction.unticked if number in found]
        if len(found) == 1 or len(waiting) == 1:
            return found[0] if len(found) == 1 else waiting[0]
    listed = "; ".join(f"{number} {place.where}" for number, place in enumerate(correction.places, 1))
    raise ValueError(f"`{words}` names no single place; there are: {listed}")


def make_places(hangs: Iterable[Hang]) -> list[dict[str, str]]:
    """The places of a new correction, none of them ticked, as plain data."""
    return [{"where": h.where, "of": f"{h.record}/{h.piece}", "do": TO_DO[h.use]} for h in hangs]


def suggest_key(date: str, record: str, piece: str, taken: Iterable[str]) -> str:
    """An id for a new correction: its day, its record and its piece, numbered where that is taken."""
    known = set(taken)
    stem = f"{date}-{record}-{piece}"[:72].rstrip("-_")
    return next(key for key in (stem, *(f"{stem}-{n}" for n in range(2, 10**6))) if key not in known)


def _plain(correction: Correction) -> dict[str, Any]:
    made: dict[str, Any] = correction.model_dump(exclude_none=True, mode="json")
    if made["kind"] == "mistake":
        del made["kind"]
    return made


def _hold(text: str, wanted: dict[str, Any]) -> None:
    """Refuse a text that does not read as what stood there with nothing but the change."""
    tree = read_yaml(text)
    if _evened(tree.value) != _evened(wanted) or tree.faults:
        raise ValueError("the file is written in a way that nothing can be added to; add the lines by hand")


def _evened(value: Any) -> Any:
    """Texts with their blanks evened out, as the models read them."""
    if isinstance(value, dict):
        return {key: _evened(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_evened(inner) for inner in value]
    return " ".join(str(value).split())


def _mapping(value: Any) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise ValueError("`corrections.yml` is no mapping of ids to corrections; mend it first")
    return value


def _child(node: Any, key: str) -> Any:
    pairs = node.value if isinstance(node, yaml.MappingNode) else []
    return next((value for name, value in pairs if name.value == key), None)


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"
