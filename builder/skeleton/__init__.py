"""What `new` writes: skeletons that explain themselves and pass `check` but for what only a person can supply.

In: a name. Out: files by path, as text. Nothing is written here.
"""

from __future__ import annotations

import json
import re
import unicodedata
from importlib.resources import files
from typing import Any

from builder.load import Glossary
from builder.model.correction import Corrections
from builder.model.museum import Museum
from builder.model.piece import Front
from builder.model.record import Record
from builder.model.source import Sources

MODELS: dict[str, Any] = {
    "museum": Museum,
    "sources": Sources,
    "glossary": Glossary,
    "corrections": Corrections,
    "record": Record,
    "piece": Front,
}
PIECES = ("page", "label", "talk", "script")


def make_schema(name: str) -> str:
    """The JSON Schema (draft 2020-12) of a file of that name, or of the front matter of a `piece`."""
    schema = MODELS[name].model_json_schema(by_alias=True)
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": name, **schema}
    return json.dumps(schema, ensure_ascii=False, indent=2, sort_keys=True) + "\n"


def make_id(name: str) -> str:
    """An id from a name: `European nightjar` gives `european-nightjar`; empty where nothing serves."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:80].rstrip("-")


def new_museum(name: str) -> dict[str, str]:
    """A whole workspace, by path."""
    top = files("builder.skeleton").joinpath("museum")
    paths = ["mkdocs.yml"]
    for folder in ("records", "content"):
        paths += [f"{folder}/{entry.name}" for entry in top.joinpath(folder).iterdir()]
    made = {
        path: top.joinpath(path).read_text("utf-8").replace("{name}", _quoted(path, name)) for path in sorted(paths)
    }
    made |= {f"schema/{model}.json": make_schema(model) for model in MODELS}
    made[".gitignore"] = "build/\nsite/\n"
    return made


def new_record(name: str) -> dict[str, str]:
    """The files of a record, by name."""
    return {file: _fill(file, name) for file in ("record.yml", "page.md")}


def new_piece(use: str, common: str) -> str:
    """The text of a piece for that use."""
    return _fill(f"{use}.md", common)


def _fill(file: str, name: str) -> str:
    text = files("builder.skeleton").joinpath("record", file).read_text("utf-8")
    return text.replace("{common}", _plain(name.replace("-", " ")))


def _quoted(path: str, name: str) -> str:
    return json.dumps(name, ensure_ascii=False) if path.endswith(".yml") else _plain(name)


def _plain(name: str) -> str:
    """The name without what YAML or Markdown would read as a sign."""
    return re.sub(r"[^\w\s'’.,()-]", "", " ".join(name.split())).strip() or "specimen"
