"""What `import` adds: entries for `sources.yml`, leads for a record, as text at the end of what stands there.

In: the text of a file as it is, and what was read from elsewhere. Out: the text with the additions, what was added, and
what was left out with the reason. Nothing that a person wrote is moved or changed: not a comment, not a blank.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rapidfuzz import fuzz

from builder.load.entry import Entry, suggest_id
from builder.load.yamltext import read_yaml
from builder.model.source import Source
from builder.weigh.identifier import doi_key, to_isbn13

PLAIN = re.compile(r"[A-Za-z0-9À-ɏ(][^:#\n{}\[\],&*!|>%@`\"']*[^:#\s{}\[\],&*!|>%@`\"']|[A-Za-z0-9]")
COLUMNS = ("id", "statement", "belief", "source", "locator", "finds", "bears", "basis", "note")
STANDING = "popular"
"""What an imported source is taken for until a person says otherwise: the humblest standing that is not hearsay."""


@dataclass(frozen=True)
class Addition:
    """`text` is the whole new text of the file; `added` the ids; `skipped` (line, what and why) for the rest."""

    text: str
    added: tuple[str, ...]
    skipped: tuple[tuple[int, str], ...]


def add_sources(text: str, known: Mapping[str, Source], entries: Iterable[Entry], *, today: str) -> Addition:
    """Append entries to the text of `sources.yml`. A work that is there already, or twice in the import, is named."""
    taken: dict[str, Mapping[str, Any]] = {
        key: source.model_dump(by_alias=True, exclude_defaults=True) for key, source in known.items()
    }
    added: list[str] = []
    skipped: list[tuple[int, str]] = []
    blocks: list[str] = []
    for entry in entries:
        twin = find_twin(entry.fields, taken)
        if twin:
            other, why = twin
            skipped.append((entry.row, f"`{entry.key or 'this entry'}` is `{other}` already: {why}"))
            continue
        key = suggest_id(entry, taken)
        taken[key] = entry.fields
        added.append(key)
        blocks.append(_source_block(key, entry, today))
    return Addition(_append(text, blocks), tuple(added), tuple(skipped))


def find_twin(fields: Mapping[str, Any], known: Mapping[str, Mapping[str, Any]]) -> tuple[str, str] | None:
    """The known source that is the same work, and by what it is known: DOI, ISBN, or title and year."""
    doi = doi_key(str(fields.get("DOI", "")))
    isbn = _isbn(fields)
    for key, other in known.items():
        if doi and doi == doi_key(str(other.get("DOI", ""))):
            return key, f"the same DOI {fields['DOI']}"
        if isbn and isbn == _isbn(other) and fields.get("type") == other.get("type"):
            return key, f"the same ISBN {fields['ISBN']}"
        title, theirs = _folded(fields.get("title")), _folded(other.get("title"))
        if title and _year(fields) == _year(other) and fuzz.ratio(title, theirs, score_cutoff=95):
            return key, "the same title and year"
    return None


def add_leads(text: str, claims: Container[str], table: str) -> Addition:
    """Append the rows of a claims table (CSV) to the text of a `record.yml` as leads.

    Columns: `statement` or `belief` must be there; `id source locator finds bears basis note` may.
    """
    rows, faults = _read_rows(table)
    added: list[str] = []
    skipped = list(faults)
    blocks: list[str] = []
    for number, row in rows:
        statement, belief = row.get("statement", ""), row.get("belief", "")
        if not statement and not belief:
            skipped.append((number, "the row has neither a statement nor a belief"))
            continue
        key = _lead_id(row.get("id", "") or statement or belief)
        if key in claims or key in added:
            skipped.append((number, f"there is a claim `{key}` already"))
            continue
        added.append(key)
        blocks.append(_lead_block(key, row))
    if not blocks:
        return Addition(text, (), tuple(skipped))
    return Addition(_into_claims(text, blocks), tuple(added), tuple(skipped))


def _source_block(key: str, entry: Entry, today: str) -> str:
    rows = [f"{key}:"]
    for name, value in entry.fields.items():
        if isinstance(value, str):
            rows.append(f"  {name}: {scalar(value)}")
        else:
            people = ", ".join(
                "{" + ", ".join(f"{part}: {scalar(text, flow=True)}" for part, text in person.items()) + "}"
                for person in value
            )
            rows.append(f"  {name}: [{people}]")
    rows.append(f"  standing: {STANDING}  # imported {today}: first-hand, review, popular, historical or hearsay?")
    rows.append("  # draws_on: []  # what it drew on; [] = its own data")
    rows.append("  # seen: when you last had it in hand; read: full or abstract")
    return "\n".join(rows) + "\n"


def _lead_block(key: str, row: Mapping[str, str]) -> str:
    rows = [f"  {key}:"]
    rows += [f"    {name}: {scalar(row[name])}" for name in ("belief", "statement", "note") if row.get(name)]
    rows.append("    lead: true")
    if row.get("source") and row.get("finds"):
        parts = [f"{name}: {scalar(row[name], flow=True)}" for name in ("source", "locator", "finds") if row.get(name)]
        bears = row.get("bears") or "for"
        basis = row.get("basis") or "account"
        rows.append(
            f"    evidence: [{{{', '.join(parts)}, bears: {scalar(bears, flow=True)}, basis: {scalar(basis)}}}]"
        )
    return "\n".join(rows) + "\n"


def scalar(text: str, *, flow: bool = False) -> str:
    """A text as a YAML scalar on one line: plain where that is safe, else in double quotes."""
    text = " ".join(text.split())
    if PLAIN.fullmatch(text) and not (flow and "," in text):
        return text
    return json.dumps(text, ensure_ascii=False)


def _append(text: str, blocks: Sequence[str]) -> str:
    if not blocks:
        return text
    head = text if not text or text.endswith("\n") else text + "\n"
    if head.strip() == "{}":
        head = ""
    return head + "".join(("\n" if head or index else "") + block for index, block in enumerate(blocks))


def _into_claims(text: str, blocks: Sequence[str]) -> str:
    """The blocks as the last claims of the record: after the last line of `claims`, wherever that stands."""
    rows = (text if text.endswith("\n") or not text else text + "\n").split("\n")
    start = next((n for n, row in enumerate(rows) if re.match(r"claims:(?:\s*(?:\{\s*\}\s*)?(?:#.*)?)?$", row)), None)
    if start is None:
        if any(row.startswith("claims:") for row in rows):
            raise ValueError("`claims` is written on one line; put each claim on lines of its own first")
        return _append("\n".join(rows), ["claims:\n" + "".join(blocks)])
    rows[start] = re.sub(r"\{\s*\}", "", rows[start]).rstrip()
    end = start + 1
    last = start
    while end < len(rows) and (not rows[end].strip() or rows[end].startswith((" ", "#"))):
        if rows[end].startswith(" ") and rows[end].strip():
            last = end
        end += 1
    added = "".join(blocks).rstrip("\n").split("\n")
    made = "\n".join([*rows[: last + 1], *added, *rows[last + 1 :]])
    indent = _indent_of_claims(rows[start + 1 : last + 1])
    if indent not in (2, 0):
        made = made.replace("\n".join(added), "\n".join(" " * (indent - 2) + row for row in added))
    if read_yaml(made).value is None and read_yaml(text).value is not None:
        raise ValueError("`claims` is written in a way that nothing can be added to; add the leads by hand")
    return made


def _indent_of_claims(rows: Sequence[str]) -> int:
    first = next((row for row in rows if row.strip() and not row.strip().startswith("#")), "")
    return len(first) - len(first.lstrip())


def _read_rows(table: str) -> tuple[list[tuple[int, dict[str, str]]], list[tuple[int, str]]]:
    table = table.removeprefix("\ufeff")
    first = table.split("\n", 1)[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(table), delimiter=delimiter, strict=False)
    rows: list[tuple[int, dict[str, str]]] = []
    faults: list[tuple[int, str]] = []
    header: list[str] = []
    try:
        for cells in reader:
            line = reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if not header:
                header = [cell.strip().lower() for cell in cells]
                strange = [name for name in header if name not in COLUMNS]
                if strange:
                    faults.append(
                        (line, f"the column `{strange[0]}` is not taken over; known are {', '.join(COLUMNS)}")
                    )
                if "statement" not in header and "belief" not in header:
                    faults.append((line, "the table has neither a column `statement` nor a column `belief`"))
                    return [], faults
                continue
            if len(cells) > len(header):
                faults.append((line, f"the row has {len(cells)} cells, the header {len(header)}"))
                continue
            rows.append((line, dict(zip(header, (cell.strip() for cell in cells), strict=False))))
    except csv.Error as fault:
        faults.append((reader.line_num, f"the table cannot be read here: {fault}"))
    return rows, faults


def _lead_id(text: str) -> str:
    from builder.skeleton import make_id

    words = [word for word in make_id(text).split("-") if word not in ("the", "a", "an", "of", "that", "is", "are")]
    return "-".join(words[:5]) or "lead"


def _isbn(fields: Mapping[str, Any]) -> str:
    text = str(fields.get("ISBN", ""))
    try:
        return (to_isbn13(text) or "").replace("-", "") if text else ""
    except ValueError:
        return ""


def _folded(text: Any) -> str:
    return re.sub(r"\W+", " ", str(text or "")).casefold().strip()


def _year(fields: Mapping[str, Any]) -> str:
    found = re.search(r"-?\d{4}", str(fields.get("issued", "")))
    return found.group() if found else ""
