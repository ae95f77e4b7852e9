"""One bibliographic entry on its way into `sources.yml`: plain fields named as in CSL, and what was left out.

In: texts as a reference manager wrote them.  Out: names, dates, page ranges and identifiers in the plain form our
sources use: `[{family, given}]`, `1998-05-03`, `283–289`, a bare DOI.  Refuses nothing: what cannot be read as a name
or a date is handed on as it was written, for a check to judge.
"""

import html
import re
import unicodedata
from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from typing import Any

from builder.model.source import CSL_TYPES, OURS, Source
from builder.model.value import UNSEEN

Name = dict[str, str]

FIELDS = tuple(name for name in (info.alias or key for key, info in Source.model_fields.items()) if name not in OURS)
"""The CSL fields a source may have, in the order of the model."""
NAME_FIELDS = frozenset(("author", "editor", "translator", "director", "interviewer", "container-author"))
DATE_FIELDS = frozenset(("issued", "original-date", "accessed"))

_TAGS = re.compile(r"</?(?:i|b|em|strong|sub|sup|sc|scp|span|p|jats:\w+)(?:\s[^<>]{0,80})?/?>", re.IGNORECASE)
_DOI = re.compile(r"(?:https?://(?:dx\.)?doi\.org/|doi:?\s*)(?=10\.)", re.IGNORECASE)
_MONTHS = {name: n for n, name in enumerate("jan feb mar apr may jun jul aug sep oct nov dec".split(), 1)}
_PARTICLE = re.compile(r"((?:[a-zà-öø-ÿ'’]+\s+)+)(?=[A-ZÀ-ÖØ-Þ])")
_YEAR = re.compile(r"(?<![0-9])-?[0-9]{4}(?![0-9])")
_ID_PARTS = re.compile(r"[a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry as read: its key as written, its fields in CSL's names, the line it begins on, and what was left out.

    A field is text, or for names a list of `{family, given, …}` or `{literal}`; `type` is always there.
    """

    key: str
    row: int
    fields: Mapping[str, Any]
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class EntryFault:
    """A fault in the entry `key` (empty: in the file), at line `row` of the file, from 1."""

    key: str
    row: int
    message: str
    mend: str


@dataclass(slots=True)
class Draft:
    """An entry while it is read: `put` fields, `leave` what has no place here, `fault` what is wrong."""

    key: str
    row: int
    fields: dict[str, Any] = field(default_factory=dict)
    left_out: list[str] = field(default_factory=list)
    faults: list[EntryFault] = field(default_factory=list)

    def put(self, name: str, value: str | list[Name]) -> None:
        """Set a field that is not yet set; blank values count as none."""
        if isinstance(value, str):
            value = plain_text(value)
        if value and name not in self.fields:
            self.fields[name] = value

    def leave(self, name: str) -> None:
        if name not in self.left_out:
            self.left_out.append(name)

    def fault(self, message: str, mend: str, *, row: int | None = None) -> None:
        self.faults.append(EntryFault(self.key, row or self.row, message, mend))

    def set_type(self, written: str, known: Mapping[str, str]) -> None:
        """Take over the type, or say that it is not known and call it a document."""
        kind = known.get(written.lower(), written if written in CSL_TYPES else "")
        if not kind:
            self.fault(f"`{written[:40]}` is no type of source we know; taken as `document`", "choose the type by hand")
        self.fields["type"] = kind or "document"

    def finish(self) -> Entry:
        """The entry with its fields in the order of the model."""
        doi = self.fields.get("DOI")
        if isinstance(doi, str):
            self.fields["DOI"] = _DOI.sub("", doi)
        if "title" not in self.fields and not self.faults:
            self.fault("the entry has no title", "add the `title`, or one of your own in square brackets")
        ordered = {name: self.fields[name] for name in FIELDS if name in self.fields}
        return Entry(self.key, self.row, ordered, tuple(self.left_out))


def plain_text(text: str) -> str:
    """Text without tags, unseen characters and blanks too many; entities as the characters they stand for."""
    if "<" in text:
        text = _TAGS.sub("", text)
    if "&" in text:
        text = html.unescape(text)
    return unicodedata.normalize("NFC", " ".join(UNSEEN.sub("", " ".join(text.split())).split()))


def read_name(text: str, *, literal: bool = False) -> Name:
    """A person from `Family, Given`, `Family, Jr, Given` or `Given von Family`; one word or `literal` is a body."""
    text = plain_text(text)
    parts = [part.strip() for part in text.split(",")]
    if literal or not text or (len(parts) == 1 and " " not in text):
        return {"literal": text} if literal or len(parts) == 1 else {"family": parts[0]}
    if len(parts) == 1:
        words = text.split()
        first = next((n for n, word in enumerate(words[:-1]) if n and word[0].islower()), len(words) - 1)
        family, given, suffix = " ".join(words[first:]), " ".join(words[:first]), ""
    else:
        family, given, suffix = parts[0], parts[-1], ", ".join(parts[1:-1])
    name: Name = {}
    particle = _PARTICLE.match(family)
    if particle:
        family = family[particle.end() :]
    name |= {"family": family} if family else {}
    name |= {"given": given} if given else {}
    name |= {"non-dropping-particle": particle.group(1).strip()} if particle else {}
    name |= {"suffix": suffix} if suffix else {}
    return name


def join_date(year: str, month: str = "", day: str = "") -> str:
    """`1998`, `1998-05` or `1998-05-03` from its parts; months by number or English name; else what was written."""
    year, month, day = (plain_text(part).strip(".,") for part in (year, month, day))
    if not (year.isascii() and year.lstrip("-").isdigit() and len(year.lstrip("-")) <= 4):
        return year
    date = ("-" if year[0] == "-" else "") + year.lstrip("-").rjust(4, "0")
    number = _MONTHS.get(month[:3].lower(), 0) or (int(month) if re.fullmatch("[0-9]{1,4}", month) else 0)
    if not 1 <= number <= 12:
        return date
    date += f"-{number:02}"
    return f"{date}-{int(day):02}" if re.fullmatch("[0-9]{1,4}", day) and 1 <= int(day) <= 31 else date


def join_pages(first: str, last: str = "") -> str:
    """`283–289` from its ends or from `283--289`."""
    text = first if not last or last == first else f"{first}-{last}"
    return re.sub(r"(?<=\w)\s*[-–—]+\s*(?=\w)", "–", text)


def suggest_id(entry: Entry, taken: Container[str]) -> str:
    """An id for `sources.yml` not in `taken`: `crotch-1877`, or the first words of the title where nobody signs."""
    names = entry.fields.get("author") or entry.fields.get("editor") or []
    first = names[0] if names else {}
    who = " ".join((first.get("non-dropping-particle", ""), first.get("family") or first.get("literal", "")))
    if len(names) == 2:
        who += " " + (names[1].get("family") or names[1].get("literal", ""))
    words = _ascii_words(who)[:4] or _ascii_words(entry.fields.get("title", ""))[:4] or _ascii_words(entry.key)[:4]
    year = _YEAR.search(str(entry.fields.get("issued", "")))
    base = "-".join([word[:20] for word in words] or ["source"])[:60].strip("-")
    base += f"-{year.group().lstrip('-')}" if year else ""
    candidate, number = base, 1
    while candidate in taken:
        number += 1
        candidate = f"{base}-{number}"
    return candidate


def _ascii_words(text: str) -> list[str]:
    for written, plain in (
        ("ø", "o"),
        ("Ø", "O"),
        ("æ", "ae"),
        ("Æ", "Ae"),
        ("ß", "ss"),
        ("ł", "l"),
        ("Ł", "L"),
        ("đ", "d"),
    ):
        text = text.replace(written, plain)
    text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower().replace("'", "")
    return [word for word in _ID_PARTS.findall(text) if word not in ("the", "a", "an")]
