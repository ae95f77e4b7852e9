"""The parts of a document in words: what each says, for approvals and for readers, and what it is called."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from builder.model.value import UNSEEN

SECTIONS = {
    "cues": "the thing to look at",
    "diets": "the diet table",
    "sums": "the calculation",
    "objects": "the object",
    "figures": "the figure",
    "sources": "the source",
    "handling": "the hazard",
    "terms": "the term",
}
PLAIN = {
    "name": "the name of the animal, plant or rock",
    "care": "the note on care",
    "notice": "the museum's notice",
    "summary": "the summary",
    "title": "the title",
}
INNER = {
    "evidence": "the evidence",
    "held_by": "who holds it:",
    "history": "who told it:",
    "weight": "what its evidence is worth",
}
UNSAID = ("id", "record", "kind", "key", "object", "hazard")
"""What the name of a part says already."""
SHORT = 12


def part_words(name: str, data: Any) -> str:
    """What a part says, one thing to a line; never blank."""
    section = name.partition("/")[0]
    rows = _sentence_rows(data) if section in ("text", "questions") else _rows(data)
    text = "\n".join(row.rstrip() for row in rows if row.strip()).strip()
    return UNSEEN.sub("\N{REPLACEMENT CHARACTER}", text) or "(nothing)"


def part_name(name: str) -> str:
    """What a part is called in a message."""
    section, _, rest = name.partition("/")
    if section == "text":
        return f"sentence {int(rest)}"
    if section == "questions":
        return f"sentence {int(rest)} of the questions and answers"
    if section == "front":
        return f"`{rest}` at the head of the piece"
    if section == "claims":
        claim, _, inner = rest.partition("/")
        kind, _, key = inner.partition("/")
        if not inner:
            return f"the claim `{claim}`"
        return f"{INNER.get(kind, f'`{kind}`')}{f' `{key}`' if key else ''} of the claim `{claim}`"
    if section in SECTIONS:
        head, _, inner = rest.partition("/")
        what = f"{SECTIONS[section]} `{head}`"
        return f"{what}, `{inner.partition('/')[2]}`" if inner else what
    return PLAIN.get(name, f"`{name}`")


def _sentence_rows(data: Any) -> Iterator[str]:
    if "spans" in data:
        yield " ".join("".join(span["text"] for span in data["spans"]).split())
        marks = [f"look at {span['cue']}" for span in data["spans"] if "cue" in span]
        marks += [f"leads to {span['target']}" for span in data["spans"] if "target" in span]
        marks += [f"rests on {claim}" for claim in data.get("claims", ())]
        marks += ["asserts nothing"] if data.get("aside") else []
        if marks:
            yield f"[{'; '.join(marks)}]"
    else:
        yield from _rows({key: value for key, value in data.items() if key not in ("kind", "empty", "value")})


def _rows(data: Any, *, set_in: str = "") -> Iterator[str]:
    """Plain data as `key: value`, inner ones set in."""
    if isinstance(data, dict):
        for key in sorted(data, key=_rank):
            value = data[key]
            if key in UNSAID or value in ("", [], {}, None):
                continue
            if key in ("digest", "behind") and isinstance(value, str):
                value = f"content {value[:SHORT]}"
            yield from _entry(key, value, set_in)
    elif isinstance(data, list):
        for value in data:
            yield from _entry("-", value, set_in)
    elif data not in ("", None):
        yield f"{set_in}{_plain(data)}"


def _entry(key: str, value: Any, set_in: str) -> Iterator[str]:
    head = f"{set_in}{key}" if key == "-" else f"{set_in}{key.replace('_', ' ')}:"
    if not isinstance(value, dict | list):
        yield f"{head} {_plain(value)}"
    elif all(not isinstance(inner, dict | list) for inner in _values(value)):
        yield f"{head} {_in_one(value)}"
    else:
        yield head
        yield from _rows(value, set_in=f"{set_in}  ")


def _values(value: Any) -> list[Any]:
    return list(value.values()) if isinstance(value, dict) else list(value)


def _in_one(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plain(inner)}" for key, inner in sorted(value.items()))
    return "; ".join(_plain(inner) for inner in value)


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return " ".join(str(value).split())


def _rank(key: str) -> tuple[int, str]:
    """What is read first stands first."""
    first = ("ask", "title", "statement", "term", "catalogue_number", "source", "locator", "finds", "quote", "told")
    return (first.index(key) if key in first else len(first), key)
