"""Read BibTeX and biblatex entries.

In: the text of a `.bib` file.  Out: drafts of entries with their faults, in order.  Handles nested braces, quoted and
joined values (`"a" # jan`), `@string`, `@comment`, `@preamble`, `crossref`, brackets round an entry, text between
entries.  An entry that is broken costs itself at most: reading goes on at the next `@` that begins a line.
"""

import re
from collections.abc import Mapping

from builder.load.entry import Draft, EntryFault, Name, join_date, join_pages, read_name
from builder.load.latex import read_latex

_TYPES = {
    "article": "article-journal",
    "book": "book",
    "booklet": "pamphlet",
    "inbook": "chapter",
    "incollection": "chapter",
    "suppbook": "chapter",
    "bookinbook": "chapter",
    "inproceedings": "paper-conference",
    "conference": "paper-conference",
    "proceedings": "book",
    "mvproceedings": "book",
    "collection": "book",
    "mvcollection": "book",
    "mvbook": "book",
    "reference": "book",
    "mvreference": "book",
    "inreference": "entry-encyclopedia",
    "manual": "report",
    "mastersthesis": "thesis",
    "phdthesis": "thesis",
    "thesis": "thesis",
    "techreport": "report",
    "report": "report",
    "unpublished": "manuscript",
    "misc": "document",
    "online": "webpage",
    "electronic": "webpage",
    "www": "webpage",
    "dataset": "dataset",
    "periodical": "periodical",
    "patent": "patent",
    "video": "motion_picture",
    "movie": "motion_picture",
    "audio": "song",
    "artwork": "graphic",
    "image": "graphic",
    "software": "software",
    "letter": "personal_communication",
    "review": "review",
    "newspaper": "article-newspaper",
}
_FIELDS = {
    "journal": "container-title",
    "journaltitle": "container-title",
    "booktitle": "container-title",
    "maintitle": "container-title",
    "shorttitle": "title-short",
    "series": "collection-title",
    "volume": "volume",
    "issue": "issue",
    "edition": "edition",
    "pages": "page",
    "chapter": "chapter-number",
    "publisher": "publisher",
    "organization": "publisher",
    "institution": "publisher",
    "school": "publisher",
    "address": "publisher-place",
    "location": "publisher-place",
    "eventtitle": "event-title",
    "venue": "event-place",
    "type": "genre",
    "version": "version",
    "language": "language",
    "langid": "language",
    "note": "note",
    "addendum": "note",
    "doi": "DOI",
    "isbn": "ISBN",
    "issn": "ISSN",
    "pmid": "PMID",
    "pmcid": "PMCID",
    "url": "URL",
    "urldate": "accessed",
    "origdate": "original-date",
    "howpublished": "medium",
}
_NAMES = {"author": "author", "editor": "editor", "translator": "translator", "bookauthor": "container-author"}
_HANDLED = frozenset("title subtitle year date month day number crossref entrytype entrysubtype".split())
_MONTHS = {
    name[:3]: name
    for name in "january february march april may june july august september october november december".split()
}

_START = re.compile(r"(?:^|(?<=[})]))[ \t]*@[ \t]*([A-Za-z]+)\s*([{(])", re.MULTILINE)
_KEY = re.compile(r"\s*([^\s,{}()=\"#%]+)\s*(?:,|(?=[})]))")
_FIELD = re.compile(r"[\s,]*([^\s,{}()=\"#]+)\s*=\s*")
_BARE = re.compile(r"[^\s,{}()=\"#]+")
_SPECIAL = {"{": re.compile(r"[{}]"), '"': re.compile(r'[{}"]')}
_JOIN = re.compile(r"\s*#\s*")
_END = re.compile(r"[\s,]*([})])?")
_AND = re.compile(r"[{}]|(?<!\s)\s+and(?=\s)", re.IGNORECASE)
_ADDRESS_MARKUP = re.compile(r"\\url|\\(?=[_%&#~{}])|[{}]")


class _Broken(Exception):
    """The entry cannot be read on: message, mend, and where."""

    def __init__(self, message: str, mend: str, at: int) -> None:
        super().__init__(message)
        self.message, self.mend, self.at = message, mend, at


def read_bibtex(text: str) -> tuple[list[Draft], list[EntryFault]]:
    """The entries in order, each with its own faults, and the faults that belong to no entry."""
    faults: list[EntryFault] = []
    macros = dict(_MONTHS)
    read: dict[str, tuple[Draft, dict[str, str]]] = {}  # the first entry of each key
    unfilled: list[tuple[Draft, dict[str, str]]] = []
    starts = list(_START.finditer(text))
    row, counted = 1, 0
    for index, start in enumerate(starts):
        begins = text.index("@", start.start())
        row, counted = row + text.count("\n", counted, begins), begins
        kind = start.group(1).lower()
        end = starts[index + 1].start() if index + 1 < len(starts) else len(text)
        if kind in ("comment", "preamble"):
            continue
        found = _KEY.match(text, start.end(), end) if kind != "string" else None
        key = found.group(1)[:80] if found else ""
        draft, fields = Draft(key, row), dict[str, str]()
        try:
            if kind != "string" and not found:
                raise _Broken("the entry has no key, or no comma behind it", f"write `@{kind}{{key, …}}`", start.end())
            _read_fields(text, found.end() if found else start.end(), end, macros, fields, draft)
        except _Broken as broken:
            draft.fault(broken.message, broken.mend, row=row + text.count("\n", begins, broken.at))
        if not found:
            macros |= fields if kind == "string" else {}
            faults += draft.faults
            continue
        if key in read:
            draft.fault(f"the key `{key}` is there twice, first on line {read[key][0].row}", "take out one of the two")
        unfilled.append((draft, {**fields, "entrytype": kind}))
        read.setdefault(key, unfilled[-1])
    for draft, fields in unfilled:
        parent = read.get(fields.get("crossref", "").strip())
        _fill(draft, _inherit(draft, fields, parent[1] if parent else None))
    return [draft for draft, _ in unfilled], faults


def _read_fields(text: str, at: int, end: int, macros: Mapping[str, str], fields: dict[str, str], draft: Draft) -> None:
    """Read `name = value` until the entry closes; raises `_Broken` where it cannot go on."""
    while True:
        closing = _END.match(text, at, end)
        if closing and closing.group(1):
            return
        found = _FIELD.match(text, at, end)
        if not found:
            rest = text[at:end].strip(" \t\r\n,")
            if not rest:
                raise _Broken("the entry is never closed", "add the closing `}`", at)
            raise _Broken(
                f"`{rest.split()[0][:40]}` is not followed by `=`",
                "write `name = {value},`",
                end - len(text[at:end].lstrip(" \t\r\n,")),
            )
        name, at = found.group(1).lower(), found.end()
        parts: list[str] = []
        while True:
            value, at = _read_value(text, at, end, macros, draft, name)
            parts.append(value)
            joined = _JOIN.match(text, at, end)
            if not joined:
                break
            at = joined.end()
        if name in fields:
            draft.fault(f"the field `{name}` is there twice; the first is taken", "take out one of the two")
        fields.setdefault(name, "".join(parts))


def _read_value(text: str, at: int, end: int, macros: Mapping[str, str], draft: Draft, name: str) -> tuple[str, int]:
    """One braced, quoted or bare value and the place behind it."""
    opening = text[at : at + 1] if at < end else ""
    if opening in _SPECIAL and opening:
        depth = 0
        for sign in _SPECIAL[opening].finditer(text, at + 1, end):
            if sign.group() == "{":
                depth += 1
            elif depth == 0 and sign.group() == ("}" if opening == "{" else '"'):
                return text[at + 1 : sign.start()], sign.end()
            elif sign.group() == "}":
                depth -= 1
                if depth < 0:
                    break
        closing = "}" if opening == "{" else '"'
        raise _Broken(f"the value of `{name}` is never closed", f"add the closing `{closing}`", at)
    bare = _BARE.match(text, at, end)
    if not bare:
        raise _Broken(f"`{name}` has no value", "write `name = {value},`", at)
    word = bare.group()
    if not word[0].isdigit() and word.lower() not in macros:
        draft.fault(f"`{word[:40]}` in `{name}` is no `@string` of this file; taken as it stands", "put it in braces")
    return macros.get(word.lower(), word), bare.end()


def _inherit(draft: Draft, fields: dict[str, str], parent: Mapping[str, str] | None) -> dict[str, str]:
    """The fields with those of the entry that `crossref` names; its title becomes that of the container."""
    if "crossref" not in fields:
        return fields
    if parent is None:
        named = fields["crossref"].strip()[:40]
        draft.fault(f"`crossref` names `{named}`, which is not in this file", "put that entry in as well")
        return fields
    inherited = {name: value for name, value in parent.items() if name not in ("title", "subtitle")}
    return {"booktitle": parent.get("title", ""), **inherited, **fields}


def _fill(draft: Draft, fields: dict[str, str]) -> None:
    """Fields of BibTeX to fields of CSL."""
    kind = fields["entrytype"]
    draft.set_type(kind, _TYPES)
    subtype = fields.get("entrysubtype", "").strip().lower()
    if kind == "article" and subtype in ("magazine", "newspaper"):
        draft.fields["type"] = f"article-{subtype}"

    def plain(name: str) -> str:
        value, unknown = read_latex(fields.get(name, ""))
        for command in unknown:
            draft.fault(f"`{name}` holds the command `\\{command[:40]}`, which was taken out", f"check `{name}`")
        return value

    for name, target in _NAMES.items():
        if name in fields:
            draft.put(target, _read_names(draft, name, fields[name]))
    title, subtitle = plain("title"), plain("subtitle")
    draft.put("title", f"{title}: {subtitle}" if title and subtitle else title or subtitle)
    date, year = plain("date"), plain("year")
    if date:
        draft.put("issued", date if "-" in date or "/" in date else join_date(date))
    elif year:
        day, month = _read_month(plain("month"))
        draft.put("issued", join_date(year, month, plain("day") or day))
    in_series = "collection-number" if "series" in fields else "number"
    draft.put("issue" if kind in ("article", "periodical") else in_series, plain("number"))
    for name in fields:
        if name in _HANDLED or name in _NAMES:
            continue
        target = _FIELDS.get(name, "")
        if not target:
            draft.leave(name)
        elif target in ("URL", "DOI"):
            draft.put(target, _ADDRESS_MARKUP.sub("", fields[name]))
        elif target == "page":
            draft.put("page", join_pages(plain(name)))
        else:
            draft.put(target, plain(name))
    if kind in ("mastersthesis", "phdthesis"):
        draft.put("genre", "PhD thesis" if kind == "phdthesis" else "Master's thesis")


def _read_month(text: str) -> tuple[str, str]:
    """Day and month from `may`, `5`, `3 May`, `May 3`."""
    words = text.replace(",", " ").replace(".", " ").split()
    numbers = [word for word in words if word.isascii() and word.isdigit()]
    names = [word for word in words if word[:3].lower() in _MONTHS]
    if names:
        return (numbers[0] if numbers else ""), names[0]
    return "", numbers[0] if numbers else ""


def _read_names(draft: Draft, field: str, text: str) -> list[Name]:
    names: list[Name] = []
    for written in _split_names(text):
        whole = written.startswith("{") and _closes_at_end(written)
        plain, unknown = read_latex(written)
        for command in unknown:
            draft.fault(f"`{field}` holds the command `\\{command[:40]}`, which was taken out", f"check `{field}`")
        if plain.lower() == "others":
            draft.fault(f"`{field}` ends in `others`", "name them all, as the work does")
        elif plain:
            names.append(read_name(plain, literal=whole))
    return names


def _split_names(text: str) -> list[str]:
    """Parts of `text` between `and`s that stand outside braces."""
    parts, depth, begins = [], 0, 0
    text = text.strip()
    for sign in _AND.finditer(text):
        if sign.group() == "{":
            depth += 1
        elif sign.group() == "}":
            depth -= 1
        elif depth <= 0:
            parts.append(text[begins : sign.start()].strip())
            begins = sign.end()
    parts.append(text[begins:].strip())
    return [part for part in parts if part]


def _closes_at_end(text: str) -> bool:
    """Whether the brace that opens `text` closes at its end."""
    depth = 0
    for sign in re.finditer(r"[{}]", text):
        depth += 1 if sign.group() == "{" else -1
        if depth == 0:
            return sign.end() == len(text)
    return False
