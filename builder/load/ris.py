"""Read RIS records.

In: the text of a `.ris` file, any line ends.  Out: drafts of entries with their faults, in order.  A record runs from
`TY` to `ER`; a line without a tag continues the one before.  A record without its end, or lines outside any record, are
faults; the rest is still read.
"""

import re

from builder.load.entry import Draft, EntryFault, join_date, join_pages, read_name

_TYPES = {
    "jour": "article-journal",
    "jfull": "periodical",
    "ejour": "article-journal",
    "inpr": "article-journal",
    "abst": "article-journal",
    "mgzn": "article-magazine",
    "news": "article-newspaper",
    "book": "book",
    "ebook": "book",
    "edbook": "book",
    "chap": "chapter",
    "echap": "chapter",
    "conf": "book",
    "cpaper": "paper-conference",
    "rprt": "report",
    "govdoc": "report",
    "thes": "thesis",
    "unpb": "manuscript",
    "manscpt": "manuscript",
    "elec": "webpage",
    "web": "webpage",
    "blog": "post-weblog",
    "data": "dataset",
    "dbase": "dataset",
    "map": "map",
    "gen": "document",
    "misc": "document",
    "pamp": "pamphlet",
    "pat": "patent",
    "stand": "standard",
    "video": "motion_picture",
    "mpct": "motion_picture",
    "sound": "song",
    "music": "musical_score",
    "art": "graphic",
    "fig": "figure",
    "dict": "entry-dictionary",
    "ency": "entry-encyclopedia",
    "pcomm": "personal_communication",
    "comp": "software",
    "slide": "speech",
    "hear": "hearing",
    "bill": "bill",
    "case": "legal_case",
    "stat": "legislation",
    "ser": "book",
    "clswk": "classic",
    "ancient": "classic",
    "aggr": "dataset",
    "icomm": "personal_communication",
    "advs": "motion_picture",
}
_FIELDS = {
    "TI": "title",
    "T1": "title",
    "CT": "title",
    "ST": "title-short",
    "T3": "collection-title",
    "VL": "volume",
    "ET": "edition",
    "PB": "publisher",
    "CY": "publisher-place",
    "PP": "publisher-place",
    "LA": "language",
    "N1": "note",
    "DO": "DOI",
    "SE": "section",
    "AV": "archive_location",
}
_NAMES = {"AU": "author", "A1": "author", "ED": "editor", "A2": "editor", "A4": "translator"}
_CONTAINERS = ("T2", "JF", "JO", "BT", "JA", "J2", "J1")
_HANDLED = frozenset(("PY", "Y1", "DA", "Y2", "IS", "SP", "EP", "SN", "UR", "M1", "M3", "C7", *_CONTAINERS))
_WHOLE_WORKS = frozenset(("book", "ebook", "edbook", "conf", "ser", "clswk", "rprt", "thes"))
_LINE = re.compile(r"([A-Z][A-Z0-9])[ \t]{1,3}-(?:[ \t]+(.*)|[ \t]*)")


def read_ris(text: str) -> tuple[list[Draft], list[EntryFault]]:
    """The entries in order, each with its own faults, and the faults that belong to no entry."""
    drafts: list[Draft] = []
    faults: list[EntryFault] = []
    tags: list[tuple[str, str]] = []
    draft: Draft | None = None
    outside = False

    def close(*, ended: bool) -> None:
        if draft is not None:
            if not ended:
                draft.fault("the record has no end", "add a line `ER  - ` behind it")
            _fill(draft, tags)
            drafts.append(draft)
        tags.clear()

    for row, line in enumerate(text.split("\n"), 1):
        found = _LINE.fullmatch(line.strip())
        if found:
            tag, value = found.group(1), found.group(2) or ""
            if tag == "TY":
                close(ended=False)
                draft = Draft("", row)
            elif tag == "ER":
                close(ended=True)
                draft = None
                continue
            if draft is not None:
                if tag == "ID" and not draft.key:
                    draft.key = value.strip()[:80]
                tags.append((tag, value))
                continue
        elif not line.strip():
            continue
        elif draft is not None and tags:
            tags[-1] = (tags[-1][0], f"{tags[-1][1]} {line.strip()}")
            continue
        if not outside:
            faults.append(EntryFault("", row, "the line stands outside any record", "begin each record with `TY  - `"))
            outside = True
    close(ended=False)
    return drafts, faults


def _fill(draft: Draft, tags: list[tuple[str, str]]) -> None:
    """Tags of RIS to fields of CSL."""
    first: dict[str, str] = {}
    for tag, value in tags:
        first.setdefault(tag, value.strip())
    kind = first.get("TY", "").lower()
    draft.set_type(kind.upper(), _TYPES)
    names: dict[str, list[dict[str, str]]] = {}
    for tag, value in tags:
        if tag in _NAMES and value.strip():
            parts = value.split(",")
            if len(parts) == 3:  # family, given, suffix
                value = f"{parts[0]},{parts[2]},{parts[1]}"
            names.setdefault(_NAMES[tag], []).append(read_name(value, literal=len(parts) == 1))
    for target, read in names.items():
        draft.put(target, read)
    for tag, value in tags:
        if tag in _FIELDS:
            draft.put(_FIELDS[tag], value)
        elif tag not in _HANDLED and tag not in _NAMES and tag not in ("TY", "ID"):
            draft.leave(tag)
    whole = kind in _WHOLE_WORKS
    for tag in _CONTAINERS:
        if tag in first:
            target = ("title" if tag == "BT" else "collection-title") if whole else "container-title"
            draft.put(target, first[tag])
    draft.put("issued", _read_date(first.get("DA") or first.get("PY") or first.get("Y1", "")))
    draft.put("issued", _read_date(first.get("PY") or first.get("Y1", "")))
    draft.put("accessed", _read_date(first.get("Y2", "")))
    draft.put("issue" if not whole else "collection-number", first.get("IS", ""))
    draft.put("page", join_pages(first.get("SP", ""), first.get("EP", "")) or first.get("C7", ""))
    draft.put("number", first.get("M1", ""))
    draft.put("genre", first.get("M3", ""))
    draft.put("URL", first.get("UR", ""))
    number = first.get("SN", "")
    draft.put("ISBN" if whole or len(re.sub(r"[^0-9Xx]", "", number)) >= 10 else "ISSN", number)


def _read_date(text: str) -> str:
    """`1998/05/03/spring` or `1998-05-03` to `1998-05-03`; anything else as it stands."""
    parts = text.strip().replace("-", "/").split("/")
    if len(parts) > 1 and parts[0]:
        return join_date(*(part.strip() for part in parts[:3]))
    return join_date(text.strip().strip("/"))
