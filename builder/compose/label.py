"""A label as plain data: what hangs on the wall, and beside it what only staff read on the sheet.

In: the document of a label, the museum. Out: `LabelData`: text in spans without claim marks, the identification line
from the objects, credit, notice, sizes of type and paper, words and seconds. Refused: nothing; a kind that nobody knows
is set as an object label.

Sizes of type are in points. Published: no label under 16 pt and no panel under 30 (Association of Independent Museums,
n.d.); 24 pt the smallest (US National Park Service 2008); 75, 50, 35, 35 and 24 pt by level (Canadian Museum for Human
Rights, n.d.). So text is 24 pt on labels and 30 on panels, titles 35, 50 and 75, and only credit and notice are 16,
which nobody needs to read to know the object. A large-print label is half as large again: our choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, NotRequired, TypedDict

from builder.check.fit.length import count_words
from builder.check.fit.too_many_words import USUAL, limits_of
from builder.compose.document import BlockData, Document, ObjectData, SpanData, text_of_sentence
from builder.load.sentence import split_sentences
from builder.model.museum import Museum
from builder.weigh.date import parse_date
from builder.weigh.reading import SLOW_WPM, USUAL_WPM, silent_seconds


@dataclass(frozen=True, slots=True)
class Format:
    """How a kind of label is set: paper, width in millimetres, points of title, text and small print.

    `title` is 0 where the title is a name for staff alone; `text` is False where only the title hangs.
    """

    paper: str
    width: int
    title: int
    text: int
    small: int = 16
    body: bool = True
    identified: bool = True


FORMATS = {
    "title": Format("a4", 182, 50, 24, body=False, identified=False),
    "introductory panel": Format("a3", 265, 75, 30, identified=False),
    "section panel": Format("a3", 265, 50, 30, identified=False),
    "group label": Format("a4", 182, 35, 24),
    "object label": Format("a4", 182, 35, 24),
    "identification line": Format("a4", 182, 0, 24),
    "caption": Format("a4", 182, 0, 24, identified=False),
    "spoken description": Format("a4", 182, 35, 24),
}
LARGE = Decimal("1.5")
ADVISED = 24
"""The smallest type of a label, in points (US National Park Service, evaluation report, 2008)."""
LARGER = {"a4": "a3", "a3": "a2"}


class LineData(TypedDict):
    """A line that says what an object is; the parts that are not known are left out."""

    common: str
    scientific: NotRequired[str]
    details: list[str]


class LabelData(TypedDict):
    """One label. Sizes in points and millimetres, `seconds` at the two rates; `staff` stands outside the crop marks."""

    title: str
    blocks: list[dict[str, Any]]
    lines: list[LineData]
    credit: str
    care: str
    notice: str
    code: str
    paper: str
    width: int
    sizes: dict[str, int]
    staff: str


def label_data(document: Document, museum: Museum, *, large: bool = False, code: bool = False) -> LabelData:
    """The data of one label; `code` adds a square code that leads to the specimen's page, if the museum has a site."""
    kind, known = kind_of(document)
    form = _fit_house(FORMATS.get(kind, FORMATS[USUAL]), museum.house_rules.label_points)
    scale = LARGE if large else Decimal(1)
    shown = [_block(block) for block in document["blocks"]] if form.body else []
    return {
        "title": document["title"] if form.title else "",
        "blocks": shown,
        "lines": [identification(document, thing) for thing in document["objects"]] if form.identified else [],
        "credit": credit_of(document, museum) if form.identified else "",
        "care": document.get("care", ""),
        "notice": first_sentence(document.get("notice", "")),
        "code": page_address(museum, document["record"]) if code else "",
        "paper": LARGER[form.paper] if large else form.paper,
        "width": int(form.width * scale),
        "sizes": {name: int(getattr(form, name) * scale) for name in ("title", "text", "small")},
        "staff": _staff_line(document, museum, kind if known else f"{kind}, set as an {USUAL}", form, scale),
    }


def _fit_house(form: Format, points: int) -> Format:
    """The format at the house's size of type; panels, which are read from further off, keep theirs."""
    if form.paper != "a4" or points == form.text:
        return form
    return replace(form, text=points, title=form.title and max(points, form.title * points // form.text))


def kind_of(document: Document) -> tuple[str, bool]:
    """The kind of a label, an object label where it says none, and whether there is a format for it."""
    kind = " ".join(str(document["front"].get("kind", USUAL)).lower().replace("-", " ").replace("_", " ").split())
    return kind, kind in FORMATS


def identification(document: Document, thing: ObjectData) -> LineData:
    """What an object is, in one line: names, preparation, place as published, year, catalogue number."""
    taxon = document["taxon"]
    parts = [_short_place(thing.get("place", "")), _year(thing.get("collected", "")), thing["catalogue_number"]]
    preparation = thing["preparation"]
    made: LineData = {
        "common": taxon["common"],
        "details": [preparation[:1].upper() + preparation[1:], *filter(None, parts)],
    }
    if "scientific" in taxon:
        made["scientific"] = taxon["scientific"]
    return made


def credit_of(document: Document, museum: Museum) -> str:
    """The credit line: museum, collection, and those people whose names may be shown."""
    things = document["objects"]
    collections = dict.fromkeys(thing["collection"] for thing in things)
    people = dict.fromkeys(person for thing in things for person in thing.get("people", ()))
    said = [museum.name, *collections, *people]
    return ", ".join(said) + "."


def first_sentence(text: str) -> str:
    """The first sentence of a text: what a notice comes to on a card that has no room for it all."""
    spans = split_sentences(text)
    return text[spans[0][0] : spans[0][1]] if spans else ""


def page_address(museum: Museum, record: str) -> str:
    """Where a specimen's page stands on the site; empty where the museum has none."""
    return f"{museum.site.rstrip('/')}/specimens/{record}.html" if museum.site else ""


def _block(block: BlockData) -> dict[str, Any]:
    made: dict[str, Any] = {"kind": block["kind"], "sentences": [_spans(s["spans"]) for s in block["sentences"]]}
    for name in ("level", "number"):
        if name in block:
            made[name] = block[name]
    return made


def _spans(spans: Sequence[SpanData]) -> dict[str, list[dict[str, str]]]:
    """Text and style alone: paper has no links, and a wall no marks."""
    return {"spans": [{name: str(span[name]) for name in ("text", "style") if span.get(name)} for span in spans]}


def _short_place(place: str) -> str:
    """The place without how exactly it is known, which is for the page."""
    place = place.split(", to within ")[0].rstrip(".").removeprefix("From ")
    return place.replace("Near ", "near ", 1)


def _year(text: str) -> str:
    read = parse_date(text) if text else None
    if read is None or read.first is None:
        return text
    return str(read.first.year)


def _staff_line(document: Document, museum: Museum, kind: str, form: Format, scale: Decimal) -> str:
    """What stands outside the crop marks: which text this is, how long, how large, and where it hangs."""
    texts = [document["title"]] if not form.body else [
        text_of_sentence(sentence) for block in document["blocks"] for sentence in block["sentences"]
    ]  # fmt: skip
    words = sum(count_words(text) for text in texts)
    limits = limits_of(museum.house_rules, kind_of(document)[0])
    said = f"{words} words"
    if limits:
        warn, error = limits
        said += f" (warns above {warn}" + (f", stops above {error})" if error is not None else ")")
    usual, slow = (round(silent_seconds(words, rate_wpm=rate)) for rate in (USUAL_WPM, SLOW_WPM))
    rows = [
        f"{document['record']}/{document['piece']}",
        kind,
        said,
        f"read in {usual} s at {USUAL_WPM} words a minute, {slow} s at {SLOW_WPM}",
        f"text {int(form.text * scale)} pt{' (published advice: at least 24)' if form.text * scale < ADVISED else ''}, "
        f"credit {int(form.small * scale)} pt",
    ]
    hangs = document["front"].get("hangs_at") or ()
    return " · ".join([*rows, *(["hangs at: " + "; ".join(hangs)] if hangs else [])])
