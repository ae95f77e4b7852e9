"""A plain tree to a model, every fault at once, in the words of the record.

In: the tree of one YAML file and the model it should have. Out: the model, the problems, and the paths that had to be
left out. A faulty entry is cut out and the rest is read again, so that one slip does not hide the faults behind it.
"""

from __future__ import annotations

import types
from collections.abc import Iterator
from copy import deepcopy
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, RootModel, ValidationError
from rapidfuzz import process

from builder.model.record import evidence_kind
from builder.problem import Path, Problem

M = TypeVar("M", bound=BaseModel)
TAGS = frozenset({"source", "diet", "anatomy", "calculation"})
ROUNDS = 12
WANTED = {
    "dict_type": "wants a mapping: keys and values, each on its own line",
    "model_type": "wants a mapping: keys and values, each on its own line",
    "model_attributes_type": "wants a mapping: keys and values, each on its own line",
    "tuple_type": "wants a list: `[…]`, or a line starting with `- ` for each entry",
    "list_type": "wants a list: `[…]`, or a line starting with `- ` for each entry",
    "string_type": "wants text here",
}


def shape(tree: Any, model: type[M]) -> tuple[M | None, tuple[Problem, ...], frozenset[Path]]:
    """Read `tree` as `model`. Gives None only where nothing of it can be kept."""
    problems: list[Problem] = []
    broken: set[Path] = set()
    try:
        return model.model_validate(tree), (), frozenset()
    except ValidationError as first:
        fault = first
    if not isinstance(tree, dict):
        return None, tuple(_problem(error, model, tree) for error in fault.errors()[:1]), frozenset()
    tree = deepcopy(tree)
    for _ in range(ROUNDS):
        for error in fault.errors(include_url=False):
            path = _path(error["loc"])
            if any(path[: len(cut)] == cut for cut in broken):
                continue
            problems.append(_problem(error, model, tree))
            broken.add(_cut(tree, path, missing=error["type"] == "missing"))
        try:
            return model.model_validate(tree), tuple(problems), frozenset(broken)
        except ValidationError as again:
            fault = again
    return None, tuple(problems), frozenset(broken)


def suggest(word: str, choices: Any) -> str:
    """`; did you mean …?` where one of the choices is close, else nothing."""
    found = process.extractOne(str(word), sorted(map(str, choices)), score_cutoff=65)
    return f"; did you mean `{found[0]}`?" if found else ""


def _path(loc: tuple[int | str, ...]) -> Path:
    """A validator's location as a path of the file: without the tags of unions and the sign for a key."""
    path: list[int | str] = []
    for index, part in enumerate(loc):
        after_entry = index >= 2 and isinstance(loc[index - 1], int) and loc[index - 2] == "evidence"
        if (after_entry and part in TAGS) or part == "[key]":
            continue
        path.append(part)
    return tuple(path)


def _problem(error: Any, model: type[BaseModel], tree: Any) -> Problem:
    path = _path(error["loc"])
    key = path[-1] if path else "the file"
    kind, value = error["type"], error.get("input")
    parent = path[-2] if len(path) > 1 else "this file"
    mend, at_key = "write the value in that form", False
    if kind == "missing":
        message, mend = f"`{parent}` lacks `{key}`", f"add `{key}: …`"
        path, at_key = path[:-1], True
    elif kind == "extra_forbidden":
        allowed = sorted(_keys(_model_at(model, path[:-1], tree)))
        message = f"`{key}` is not a key that `{parent}` can have{suggest(str(key), allowed)}"
        mend, at_key = f"use one of: {', '.join(allowed)}", True
    elif kind == "literal_error":
        choices = [choice.strip(" '") for choice in error["ctx"]["expected"].replace(" or ", ",").split(",")]
        message = f"`{key}: {value}` says what is not foreseen{suggest(str(value), choices)}"
        mend = f"write one of: {', '.join(choices)}"
    elif kind in WANTED:
        message = f"`{key}` {WANTED[kind]}"
    elif kind == "value_error":
        message = f"`{key}` {str(error['ctx']['error'])}"
        at_key = error["loc"][-1:] == ("[key]",)
    elif "limit_value" in str(error.get("ctx")) or kind.startswith(("greater", "less")):
        bound = error["msg"].replace("Input should be ", "")
        message = f"`{key}: {value}` must be {bound}"
    else:
        message = f"`{key}`: {error['msg'].replace('Input should', 'it should')}"
    return Problem("wrong-shape", message, mend, path=path, at_key=at_key)


def _cut(tree: Any, path: Path, *, missing: bool) -> Path:
    """Take the faulty entry out of the tree; where a needed key is missing or spoilt, the entry that needs it."""
    if missing:
        path = path[:-1]
    for length in range(len(path), 0, -1):
        holder: Any = tree
        try:
            for part in path[: length - 1]:
                holder = holder[part]
            del holder[path[length - 1]]
            # later indices of a list have moved: nothing else of it is judged this round
            return path[: length - 1] if isinstance(holder, list) else path[:length]
        except (KeyError, IndexError, TypeError):
            continue
    return ()


def _model_at(model: Any, path: Path, tree: Any) -> type[BaseModel] | None:
    """The model that the entry at `path` is read as."""
    here: Any = model
    for part in path:
        tree = tree[part] if _has(tree, part) else None
        options = list(_models(here))
        found: Any = None
        for option in options:
            if isinstance(option, type) and issubclass(option, RootModel):
                option = option.model_fields["root"].annotation
            if isinstance(option, type) and issubclass(option, BaseModel):
                field = next((f for n, f in option.model_fields.items() if (f.alias or n) == part), None)
                found = field.annotation if field else None
            else:
                inner = get_args(option)
                found = inner[-1] if get_origin(option) is dict else inner[0] if inner else None
            if found is not None:
                break
        here = found
    candidates = [m for m in _models(here) if isinstance(m, type) and issubclass(m, BaseModel)]
    if len(candidates) > 1:
        wanted = evidence_kind(tree)
        candidates = [m for m in candidates if wanted in m.model_fields] or candidates
    return candidates[0] if candidates else None


def _has(tree: Any, part: Any) -> bool:
    if isinstance(tree, list):
        return isinstance(part, int) and part < len(tree)
    return isinstance(tree, dict) and part in tree


def _models(annotation: Any) -> Iterator[Any]:
    """What an annotation may stand for, without wrappers, None, and the choice of a union."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _models(get_args(annotation)[0])
    elif origin in (Union, types.UnionType):
        for inner in get_args(annotation):
            yield from _models(inner)
    elif annotation is not type(None) and annotation is not None:
        yield annotation


def _keys(model: type[BaseModel] | None) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()] if model else []
