"""The digest of what stands in a record behind a piece of evidence: a diet table, an anatomy note, a calculation.

A label that rests on a table shows only what the table comes to, and a mark may lead into another record. The digest
binds the document to the whole of it, so that no change there goes unseen.
"""

from __future__ import annotations

import hashlib
from typing import Any

from builder.compose.document import canonical_json
from builder.load import Loaded
from builder.load.table import Table

KINDS = {"diet": "diet", "anatomy": "anatomy", "calculation": "calculations"}


def table_digest(table: Table | None) -> str:
    """SHA-256 of a table's cells, column by column; blanks around cells and the order of columns do not enter."""
    columns = {name: list(cells) for name, cells in table.columns.items()} if table else {}
    return hashlib.sha256(canonical_json(columns)).hexdigest()


def digest_behind(loaded: Loaded | None, kind: str, key: str) -> str:
    """SHA-256 of the entry `key` of that kind, with its table if it has one; of nothing where there is none."""
    entries: dict[str, Any] = getattr(loaded.record, KINDS[kind]) if loaded and loaded.record else {}
    entry = entries.get(key)
    plain = entry.model_dump(mode="json", by_alias=True, exclude_defaults=True) if entry else {}
    if loaded and kind == "diet" and entry:
        plain["table"] = table_digest(loaded.tables.get(key))
    return hashlib.sha256(canonical_json(plain)).hexdigest()
