"""A plain tree to a model, every fault at once, in the words of the record.

In: the tree of one YAML file and the model it should have. Out: the model, the problems, and the paths that had to be
left out. A faulty entry is cut out and the rest is read again, so that one slip does not hide the faults behind it.
"""

from __future__ import annotations

import re
import types
from collections.abc import Collection, Iterator
from copy import deepcopy
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, RootModel, ValidationError
from rapidfuzz import process

from builder.load.yamltext import path_in_file
from builder.model.record import evidence_kind
from builder.problem import Path, Problem

M = TypeVar("M", bound=BaseModel)
TAGS = frozenset({"source", "diet", "anatomy", "calculation"})
ROUNDS = 12
MAPPING = ("wants keys and values", "write `key: value` on lines of their own, indented below it")
LIST = ("wants a list", "write each entry on a line of its own that starts with `- `, or all of them in `[…]`")
WORDS = ("wants plain words", "write words; put them in quotes where they start with `[` or `{`")
WANTED = {
    "dict_type": MAPPING,
    "model_type": MAPPING,
    "model_attributes_type": MAPPING,
    "tuple_type": LIST,
    "list_type": LIST,
    "string_type": WORDS,
    "too_long": ("holds too many entries", "keep those that are meant"),
    "too_short": ("holds too few entries", "add what is missing"),
}


def shape(
    tree: Any, model: type[M], *, said: Collection[Path] = frozenset()
) -> tuple[M | None, tuple[Problem, ...], frozenset[Path]]:
    """Read `tree` as `model`. Gives None only where nothing of it can be kept.

    `said` are the paths of entries whose fault was reported before, such as one without a value: they count as broken
    and are not spoken of again. Where an entry of a list had to go, the list counts as broken too, and the model's
    entries behind it have moved up. Paths given back, of problems and of what is broken, are those of the file.
    """
    try:
        return model.model_validate(tree), (), frozenset(said)
    except ValidationError as first:
        fault = first
    if not isinstance(tree, dict):
        return None, tuple(_problem(error, (), (), model, tree) for error in fault.errors()[:1]), frozenset()
    tree = deepcopy(tree)
    problems: list[Problem] = []
    gone, broken = set(said), set(said)
    taken: dict[Path, list[int]] = {}
    for _ in range(ROUNDS):
        errors = [(error, _path(error["loc"])) for error in fault.errors(include_url=False)]
        mistyped = {(*path[:-1], _closest(path, model, tree)) for e, path in errors if e["type"] == "extra_forbidden"}
        cuts: set[Path] = set()
        for error, path in errors:
            missing = error["type"] == "missing"
            here = _existing(tree, path)
            holder = _existing(tree, path[:-1])
            place = path_in_file((*holder, path[-1]) if missing else here, taken)
            if place not in gone and not (missing and path in mistyped):
                problems.append(_problem(error, path, place, model, tree))
            cuts.add(holder if missing else here)
        if () in cuts:
            return None, tuple(problems), frozenset(broken)
        for cut in sorted(cuts, key=lambda path: [(0, -p, "") if isinstance(p, int) else (1, 0, p) for p in path]):
            if any(cut[:length] in cuts for length in range(1, len(cut))):
                continue
            place = path_in_file(cut, taken)
            gone.add(place)
            entries = _value(tree, cut[:-1])
            del entries[cut[-1]]
            if isinstance(entries, list):
                taken.setdefault(place[:-1], []).append(place[-1])  # type: ignore[arg-type]
                broken.add(place[:-1])
            broken.add(place)
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


def _value(tree: Any, path: Path) -> Any:
    for part in path:
        tree = tree[part]
    return tree


def _existing(tree: Any, path: Path) -> Path:
    """As much of a path as the file holds: one word may stand for a list of one, or for an entry of several keys."""
    found: list[int | str] = []
    for part in path:
        if isinstance(part, int) and not isinstance(tree, list):
            continue
        if not isinstance(tree, dict | list) or not _has(tree, part):
            break
        tree = _value(tree, (part,))
        found.append(part)
    return tuple(found)


def _problem(error: Any, path: Path, place: Path, model: type[BaseModel], tree: Any) -> Problem:
    """One fault in the words of the record; `path` is in the model, `place` in the file."""
    kind, here = error["type"], _existing(tree, path)
    value = _value(tree, here) if here else error.get("input")
    name, parent = _named(place), _named(place[:-1])
    if isinstance(value, str) and value.strip() and place and isinstance(place[-1], str):
        name = f"`{place[-1]}: {_shown(value)}`"
    at_key = False
    if kind == "missing":
        message, mend = f"{parent} lacks `{place[-1]}`", f"add `{place[-1]}: …`"
        place, at_key = place[:-1], True
    elif kind == "extra_forbidden":
        allowed = sorted(_keys(_model_at(model, path[:-1], tree)))
        close = _closest(path, model, tree)
        message = f"`{place[-1]}` is not a key that {parent} can have{f'; did you mean `{close}`?' if close else ''}"
        mend, at_key = f"write `{close}`" if close else f"use one of: {', '.join(allowed)}", True
    elif kind == "literal_error":
        choices = [choice.strip(" '") for choice in error["ctx"]["expected"].replace(" or ", ",").split(",")]
        message = f"{name} says what is not foreseen{suggest(str(value), choices)}"
        mend = f"write one of: {', '.join(choices)}"
    elif error["loc"][-1:] == ("[key]",):
        message, at_key = f"`{_shown(str(place[-1]))}` cannot serve here: it {error['ctx']['error']}", True
        slug = re.sub("[^a-z0-9]+", "-", str(place[-1]).lower()).strip("-")
        mend = f"rename it, for instance to `{slug}`" if slug else "give it another name"
    elif kind in WANTED or not isinstance(value, str):
        wanted, mend = WANTED.get(kind, WORDS)
        message = f"{name} {wanted}"
    elif kind == "value_error":
        message, mend = f"{name} {error['ctx']['error']}", "write it that way"
    elif kind.startswith(("greater", "less")):
        message = f"{name} must be {error['msg'].replace('Input should be ', '')}"
        mend = "write a number that is"
    else:
        message, mend = f"{name}: {error['msg'].replace('Input should', 'it should')}", "write it that way"
    return Problem("wrong-shape", message, mend, path=place, at_key=at_key)


def _named(place: Path) -> str:
    """What a report calls the entry at that place."""
    if not place:
        return "this file"
    if isinstance(place[-1], str):
        return f"`{_shown(place[-1])}`"
    return f"entry {place[-1] + 1} of {_named(place[:-1])}"


def _shown(text: str) -> str:
    text = " ".join("".join(c if c.isprintable() or c.isspace() else "?" for c in text.replace("`", "'")).split())
    return text if len(text) <= 60 else text[:59] + "…"


def _closest(path: Path, model: type[BaseModel], tree: Any) -> str:
    """The key that was meant by one that is not foreseen; empty where none is near."""
    found = process.extractOne(str(path[-1]), sorted(_keys(_model_at(model, path[:-1], tree))), score_cutoff=65)
    return found[0] if found else ""


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
