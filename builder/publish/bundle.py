"""Pack a piece with all that it rests on and all that was decided on it, as an RO-Crate 1.2 in one zip file.

In: the finished files of a piece, its document, and the decisions on it. Out: the bytes of the zip: names in order, one
fixed time, nothing compressed, so that the same piece makes the same bytes on any machine. What the crate says of
itself is in `ro-crate-metadata.json` (RO-Crate Metadata Specification 1.2, https://w3id.org/ro/crate/1.2).

A bundle is for an archive: the decisions in it name the curators and hold their comments. What records keep back is in
no part of it, since all parts come from the document; the sieve is run over it nevertheless.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from builder.approve.fingerprint import parts_of, seal_of
from builder.compose.document import Document
from builder.load.table import MEASURES, NAMES, Table
from builder.model.museum import Museum
from builder.render.citation import csl_item
from builder.render.feed import site_of
from builder.render.linked import cited_work, described_taxon
from builder.weigh.licence import terms_address

METADATA = "ro-crate-metadata.json"
SPECIFICATION = "https://w3id.org/ro/crate/1.2"
FORMATS = {
    "csv": "text/csv", "gif": "image/gif", "jpeg": "image/jpeg", "jpg": "image/jpeg", "json": "application/json",
    "md": "text/markdown", "pdf": "application/pdf", "png": "image/png", "srt": "application/x-subrip",
    "svg": "image/svg+xml", "txt": "text/plain", "vtt": "text/vtt", "webp": "image/webp", "yml": "application/yaml",
}  # fmt: skip
EPOCH = (1980, 1, 1, 0, 0, 0)
"""The one time of every file: the earliest that a zip file can state."""


@dataclass(frozen=True)
class Packed:
    """One file of a bundle: its path in it, its bytes, and what it is."""

    path: str
    data: bytes
    title: str


def evidence_files(
    document: Document, tables: Mapping[str, tuple[str, Table, str]], decisions: Mapping[str, bytes]
) -> list[Packed]:
    """What a piece rests on, and what was decided on it.

    `tables` maps the id of a diet to its file, its table and the column that parts it into clusters (or nothing);
    `decisions` the name of each approval to its bytes as they stand.
    """
    parts = parts_of(document)
    marks = {"document": seal_of(parts), "parts": {name: part.fingerprint for name, part in parts.items()}}
    items = [csl_item(source["id"], source["fields"]) for source in document["sources"]]
    worth = [{key: value for key, value in source.items() if key != "fields"} for source in document["sources"]]
    files = [
        Packed("document.json", as_json(document), "The piece with everything it rests on, as it was fingerprinted"),
        Packed("fingerprints.json", as_json(marks), "SHA-256 of the document and of each of its parts"),
        Packed("sources.json", as_json(items), "The sources, as CSL-JSON"),
        Packed("sources-worth.json", as_json(worth), "What each source is worth, what it drew on, whether it was read"),
    ]
    for diet in document["diets"]:
        if diet["id"] in tables:
            file, table, cluster = tables[diet["id"]]
            data = table_csv(table, cluster)
            files.append(Packed(f"tables/{file}", data, f"Diet table {diet['id']}: the columns that are read"))
    files += [Packed(f"approvals/{name}", data, "A signed decision") for name, data in decisions.items()]
    return files


def table_csv(table: Table, cluster: str = "") -> bytes:
    """The columns of a diet table that the program reads; any further ones are the author's own and stay behind."""
    wanted = [name for name in (*NAMES, *MEASURES, cluster) if name and name in table.columns]
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\n")
    names = list(dict.fromkeys(wanted))
    writer.writerow(names)
    writer.writerows(zip(*(table.columns[name] for name in names), strict=True))
    return made.getvalue().encode()


def make_bundle(
    files: Iterable[Packed],
    document: Document,
    museum: Museum,
    *,
    day: str,
    reviews: Sequence[tuple[str, str]],
    draft: bool,
) -> bytes:
    """The zip file. `day` is that of its publication; `reviews` role and day of each approval that counts."""
    packed = [*files]
    about = {
        "piece": f"{document['record']}/{document['piece']}",
        "fingerprint": seal_of(parts_of(document)),
        "draft": draft,
        "files": [_measured(file) for file in sorted(packed, key=lambda file: file.path)],
    }
    packed.append(Packed("README.txt", _readme(document, museum, draft), "What this is"))
    packed.append(Packed("manifest.json", as_json(about), "Every file with its size and SHA-256"))
    packed.append(Packed(METADATA, as_json(_crate(packed, document, museum, day, reviews, draft)), ""))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as folder:
        for file in sorted(packed, key=lambda file: file.path):
            entry = zipfile.ZipInfo(file.path, EPOCH)
            entry.create_system = 3  # else the machine's own
            entry.external_attr = 0o644 << 16
            folder.writestr(entry, file.data)
    return made.getvalue()


def _readme(document: Document, museum: Museum, draft: bool) -> bytes:
    rows = [
        f"{'DRAFT: no curator has signed this piece as it stands. ' if draft else ''}{document['title']}",
        f"{museum.name}, {document['kind']} {document['record']}/{document['piece']}",
        document.get("notice", ""),
        "An RO-Crate (ro-crate-metadata.json): the piece as published (piece/), what it rests on (document.json, "
        "sources.json, tables/), who decided what on it (approvals/) and its fingerprints.",
        "For an archive: the decisions name curators and hold their comments.",
    ]
    return ("\n\n".join(row for row in rows if row) + "\n").encode()


def as_json(value: Any) -> bytes:
    """A readable JSON file, keys in order."""
    return (json.dumps(value, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def _measured(file: Packed) -> dict[str, Any]:
    return {"path": file.path, "bytes": len(file.data), "sha256": hashlib.sha256(file.data).hexdigest()}


def _crate(
    files: Sequence[Packed],
    document: Document,
    museum: Museum,
    day: str,
    reviews: Sequence[tuple[str, str]],
    draft: bool,
) -> dict[str, Any]:
    """The graph of the crate: its descriptor, its root, each file, and what they speak of."""
    site = site_of(museum)
    house = {"@id": site or "#museum", "@type": "Organization", "name": museum.name, "url": site}
    if museum.notice:
        house["description"] = museum.notice
    ask = f" Ask: {museum.contact}." if museum.contact else ""
    held = f"Rights in the words: {museum.licence}." if museum.licence else "The rights in the words are the museum's."
    rights = {
        "@id": terms_address(museum.licence) or "#rights", "@type": "CreativeWork", "name": museum.licence or "Rights",
        "description": f"{held}{ask} Pictures state a licence of their own.",
    }  # fmt: skip
    own = {
        "@id": "#identifier", "@type": "PropertyValue", "name": "Piece", "propertyID": "record/piece",
        "value": f"{document['record']}/{document['piece']}",
    }  # fmt: skip
    taxon = {"@id": "#taxon", **described_taxon(document["taxon"], above=False)}
    works = _works(document)
    roles = list(dict.fromkeys(role for role, _ in reviews))
    people = [{"@id": f"#reviewer-{number}", "@type": "Person", "name": f"the {role}", "jobTitle": role}
              for number, role in enumerate(roles, 1)]  # fmt: skip
    root: dict[str, Any] = {
        "@id": "./",
        "@type": "Dataset",
        "name": f"{'Draft: ' if draft else ''}{document['title']} ({document['kind']})",
        "description": document["summary"] or document["title"],
        "datePublished": day,
        "inLanguage": document["language"],
        "creativeWorkStatus": "Draft" if draft else "Approved",
        "identifier": {"@id": "#identifier"},
        "license": {"@id": rights["@id"]},
        "author": {"@id": house["@id"]},
        "publisher": {"@id": house["@id"]},
        "about": {"@id": "#taxon"},
        "citation": [{"@id": work["@id"]} for work in works if not work["@id"].startswith("#")],
        "mentions": [{"@id": work["@id"]} for work in works if work["@id"].startswith("#")],
        "contributor": [{"@id": person["@id"]} for person in people],
        "hasPart": [{"@id": quote(file.path)} for file in files if file.path != METADATA],
    }
    descriptor = {
        "@id": METADATA,
        "@type": "CreativeWork",
        "conformsTo": {"@id": SPECIFICATION},
        "about": {"@id": "./"},
    }
    parts = [_file_entry(file) for file in files if file.path != METADATA]
    graph = [descriptor, root, *parts, house, own, rights, taxon, *people, *works]
    return {"@context": f"{SPECIFICATION}/context", "@graph": [_compact(entity) for entity in graph]}


def _works(document: Document) -> list[dict[str, Any]]:
    """The sources. A citation of a crate wants an address; a work without one is only mentioned."""
    works: dict[str, dict[str, Any]] = {}
    for source in document["sources"]:
        work = cited_work(source["fields"], flat=True)
        address = quote(work.get("url", ""), safe="%/:=&?~#+!$,;'@()*[]")
        own = address if address and address not in works else f"#source-{source['id']}"
        works[own] = {**work, "@id": own}
    return list(works.values())


def _compact(entity: dict[str, Any]) -> dict[str, Any]:
    """A list of one is that one, and what is empty is left out, as the specification recommends."""
    made = {key: value[0] if isinstance(value, list) and len(value) == 1 else value for key, value in entity.items()}
    return {key: value for key, value in made.items() if value not in ([], "")}


def _file_entry(file: Packed) -> dict[str, Any]:
    ending = file.path.rpartition(".")[2].lower()
    return {
        "@id": quote(file.path),
        "@type": "File",
        "name": file.path.rpartition("/")[2],
        "description": file.title,
        "encodingFormat": FORMATS.get(ending, "application/octet-stream"),
        "contentSize": str(len(file.data)),
        "sha256": hashlib.sha256(file.data).hexdigest(),
    }
