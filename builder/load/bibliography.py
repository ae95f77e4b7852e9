"""Read a bibliography: BibTeX, CSL-JSON or RIS.

In: the bytes of a file as a reference manager exports it.  Out: entries with the fields of CSL in the plain form of
`sources.yml`, and faults by entry with line numbers.  The format is told by the content.  UTF-8 is expected, UTF-16
with its mark is read, anything else is read as Windows-1252 and reported.  Refuses, as a fault, what is none of the
three; whatever can be read of a broken file is read.
"""

import codecs
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from builder.load.bibtex import read_bibtex
from builder.load.entry import DATE_FIELDS, FIELDS, NAME_FIELDS, Draft, Entry, EntryFault, Name, plain_text, suggest_id
from builder.load.ris import read_ris

__all__ = ["Entry", "EntryFault", "read_bibliography", "suggest_id"]

_TYPES = {  # names the DOI registries use in place of CSL's
    "journal-article": "article-journal",
    "magazine-article": "article-magazine",
    "newspaper-article": "article-newspaper",
    "book-chapter": "chapter",
    "book-section": "chapter",
    "monograph": "book",
    "edited-book": "book",
    "reference-book": "book",
    "proceedings-article": "paper-conference",
    "dissertation": "thesis",
    "posted-content": "article",
    "report-component": "report",
    "web-page": "webpage",
    "film": "motion_picture",
}
_NAME_PARTS = ("family", "given", "non-dropping-particle", "dropping-particle", "suffix", "literal")
_RIS = re.compile(r"^[^\S\n]*+TY[ \t]{1,3}-", re.MULTILINE)
_BIBTEX = re.compile(r"@[ \t]*[A-Za-z]+\s*[{(]")
_GAP = re.compile(r"[\s,]*")
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def read_bibliography(data: bytes) -> tuple[tuple[Entry, ...], tuple[EntryFault, ...]]:
    """Return the entries in order, and the faults in order of line."""
    text, faults = _decode(data)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.lstrip()[:1] in ("[", "{"):
        drafts, more = _read_csl(text)
    elif _RIS.search(text):
        drafts, more = read_ris(text)
    elif _BIBTEX.search(text):
        drafts, more = read_bibtex(text)
    else:
        drafts = []
        what = "the file is neither BibTeX, CSL-JSON nor RIS" if text.strip() else "the file is empty"
        more = [EntryFault("", 1, what, "export it from your reference manager in one of the three")]
    entries = tuple(draft.finish() for draft in drafts)
    faults += more
    for draft in drafts:
        faults += draft.faults
    return entries, tuple(sorted(faults, key=lambda fault: fault.row))


def _decode(data: bytes) -> tuple[str, list[EntryFault]]:
    for mark, encoding in _MARKS:  # noqa: B007 # used below
        if data.startswith(mark):
            break
    else:
        # Text in Latin letters without a mark has every second byte zero in UTF-16.
        head = data[:200]
        encoding = "utf-8"
        if len(head) > 3 and head[1::2].count(0) > len(head) // 3:
            encoding = "utf-16-le"
        elif len(head) > 3 and head[::2].count(0) > len(head) // 3:
            encoding = "utf-16-be"
    try:
        return data.decode(encoding), []
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        message = "the file is not UTF-8; it was read as Windows-1252"
        if encoding.startswith("utf-16"):
            message = "the file is damaged UTF-16; what could not be read is marked `\ufffd`"
            return data.decode(encoding, "replace"), [EntryFault("", row, message, "export it again as UTF-8")]
        text = data.decode("cp1252", "replace")
        return text, [EntryFault("", row, message, "check accents and dashes, or export it again as UTF-8")]


def _read_csl(text: str) -> tuple[list[Draft], list[EntryFault]]:
    """Drafts from a list of items, one item, or `{"items": [...]}`."""
    drafts: list[Draft] = []
    faults: list[EntryFault] = []
    decoder = json.JSONDecoder(parse_int=str, parse_float=str, parse_constant=str)
    try:
        for row, item in _find_items(text, decoder):
            if isinstance(item, dict):
                drafts.append(_read_item(item, row))
            else:
                faults.append(EntryFault("", row, "the list holds something that is no item", "take it out"))
    except json.JSONDecodeError as error:
        message = f"the file is not JSON from here on: {error.msg[:1].lower()}{error.msg[1:]} (column {error.colno})"
        faults.append(EntryFault("", error.lineno, message, "export it again, or mend it by hand"))
    except RecursionError:
        faults.append(EntryFault("", 1, "the file is nested too deeply to be a bibliography", "export it again"))
    return drafts, faults


def _find_items(text: str, decoder: json.JSONDecoder) -> Iterator[tuple[int, Any]]:
    """Items with the line each begins on, one by one, so that a fault costs only what follows it."""
    at = len(text) - len(text.lstrip())
    if text[at] == "{":
        whole, end = decoder.raw_decode(text, at)
        if text[end:].strip():
            raise json.JSONDecodeError("something follows the end", text, end)
        items = whole.get("items", whole.get("references"))
        row = text.count("\n", 0, at) + 1
        yield from ((row, item) for item in (items if isinstance(items, list) else [whole]))
        return
    row, counted = 1, 0
    at = _GAP.match(text, at + 1).end()  # type: ignore[union-attr]  # matches the empty string too
    while text[at : at + 1] != "]":
        row, counted = row + text.count("\n", counted, at), at
        item, end = decoder.raw_decode(text, at)
        yield row, item
        at = _GAP.match(text, end).end()  # type: ignore[union-attr]


def _read_item(item: Mapping[str, Any], row: int) -> Draft:
    draft = Draft(_as_text(item.get("id"))[:80], row)
    draft.set_type(_as_text(item.get("type")) or "document", _TYPES)
    for name, value in item.items():
        if name in ("id", "type"):
            continue
        if name not in FIELDS:
            draft.leave(plain_text(name)[:80])
        elif name in NAME_FIELDS:
            draft.put(name, [read for one in _as_list(value) if (read := _read_name(one, name, draft))])
        elif name in DATE_FIELDS:
            draft.put(name, _read_date(value, name, draft))
        else:
            draft.put(name, _as_text(value))
            if name not in draft.fields and value not in (None, "", [], {}):
                draft.fault(f"`{name}` is no text", f"write `{name}` by hand")
    return draft


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [] if value is None else [value]


def _as_text(value: Any) -> str:
    """Text of a value or of the first of a list, as the DOI registries give titles."""
    if isinstance(value, list):
        value = value[0] if value else ""
    return value if isinstance(value, str) else ""


def _read_name(value: Any, field: str, draft: Draft) -> Name:
    if isinstance(value, str):
        return {"literal": plain_text(value)} if value.strip() else {}
    parts = value if isinstance(value, dict) else {}
    name = {part: plain_text(_as_text(parts.get(part))) for part in _NAME_PARTS}
    name = {part: text for part, text in name.items() if text}
    if not name and parts.get("name"):
        name = {"literal": plain_text(_as_text(parts["name"]))}
    if not name:
        draft.fault(f"a name in `{field}` has neither `family` nor `literal`", f"write `{field}` by hand")
    return name


def _read_date(value: Any, field: str, draft: Draft) -> str:
    """`{"date-parts": [[1998, 5, 3]]}` and its kin to `1998-05-03`, a range to `1998/2001`, circa to `1998~`."""
    if isinstance(value, str):
        return value
    parts = value.get("date-parts") if isinstance(value, dict) else None
    dates = []
    for one in parts if isinstance(parts, list) else []:
        numbers = [_as_text(part).strip() for part in one] if isinstance(one, list) else []
        if numbers and all(re.fullmatch(r"-?[0-9]{1,4}", part) for part in numbers) and len(numbers) <= 3:
            sign = "-" if numbers[0].startswith("-") else ""
            dates.append(
                "-".join([sign + numbers[0].lstrip("-").rjust(4, "0"), *(part.rjust(2, "0") for part in numbers[1:])])
            )
    if dates:
        circa = isinstance(value, dict) and value.get("circa") not in (None, False, "", "0", "false")
        return "/".join(dates[:2]) + ("~" if circa and len(dates) == 1 else "")
    written = (
        next((_as_text(value.get(key)) for key in ("raw", "literal") if value.get(key)), "")
        if isinstance(value, dict)
        else ""
    )
    if not written and value:
        draft.fault(f"`{field}` is no date we can read", f"write `{field}` by hand, such as `1998-05-03`")
    return written
