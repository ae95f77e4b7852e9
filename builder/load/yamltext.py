"""YAML text to a plain tree in which every scalar is still text, with the place of every entry.

In: the text of one file. Out: dicts, lists and strings; a map from path to the spots of key and value; the faults.
Refused: repeated keys, anchors, aliases, tags, several documents, nesting deeper than `DEPTH`, keys without a value.
Built on the events of PyYAML's C library where it is there (a tenth of the time), else on its Python loader, so that
no `no` becomes false and no `12:30` becomes 750 before a model has had its say.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from builder.problem import Path, Spot

Plain = str | list["Plain"] | dict[str, "Plain"]
DEPTH = 24
TOO_DEEP = (f"nested more than {DEPTH} deep", "flatten it; no record needs such depth")
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class YamlFault:
    """A fault of the text itself: `check` names it, `also` is the spot it quarrels with."""

    check: str
    message: str
    mend: str
    spot: Spot
    also: tuple[str, Spot] | None = None


@dataclass(slots=True)
class YamlTree:
    """A file read: its value (None when unreadable or empty), events of its entries, which know their spots, faults."""

    value: Plain | None = None
    keys: dict[Path, Any] = field(default_factory=dict)
    values: dict[Path, Any] = field(default_factory=dict)
    faults: list[YamlFault] = field(default_factory=list)
    said: set[Path] = field(default_factory=set)
    """Entries without a value, and those whose value was refused: their fault is among the faults."""
    taken: dict[Path, list[int]] = field(default_factory=dict)
    """Numbers of the entries that the model of this file lacks, by list, so that the others are still found."""

    def close_ranks(self, broken: Collection[Path]) -> None:
        """From now on `find_spot` is given paths of the model, from which these paths of the file were cut out."""
        for path in broken:
            if path and isinstance(path[-1], int):
                self.taken.setdefault(path[:-1], []).append(path[-1])

    def find_spot(self, path: Path, *, at_key: bool = False) -> Spot:
        """The spot of an entry; of its nearest parent where the entry itself is missing."""
        path = path_in_file(path, self.taken)
        while path:
            first, second = (self.keys, self.values) if at_key else (self.values, self.keys)
            event = first.get(path) or second.get(path)
            if event is not None:
                return spot_of(event)
            path, at_key = path[:-1], True
        return Spot(1, 1, 1)


def path_in_file(path: Path, taken: Mapping[Path, list[int]]) -> Path:
    """A path of a tree that lacks the entries `taken` as a path of the file, whose lists still have them."""
    place: list[int | str] = []
    for part in path:
        if isinstance(part, int):
            for number in sorted(taken.get(tuple(place), ())):
                part += number <= part
        place.append(part)
    return tuple(place)


def spot_of(event: Any) -> Spot:
    """Where a parser's event starts, and how long it is when it is a scalar on one line."""
    start, end = event.start_mark, event.end_mark
    length = 1
    if type(event) is yaml.ScalarEvent:
        length = end.column - start.column if end.line == start.line else len(event.value.split("\n")[0])
    return Spot(start.line + 1, start.column + 1, max(length, 1))


class _Stop(Exception):
    """Nothing after this point of the file can be trusted."""


def read_yaml(text: str, *, tags: bool = False) -> YamlTree:
    """Read one YAML text. With `tags` true, tags are passed over (the site's own settings file may hold some)."""
    tree = YamlTree()
    try:
        events: Iterator[Any] = iter(LOADER(text).get_event, None)
        for event in events:
            kind = type(event)
            if kind is yaml.DocumentStartEvent:
                tree.value = _read_node(next(events), events, (), tree, tags)
                break
            if kind is yaml.StreamEndEvent:
                return tree
        _refuse_second_document(events, tree)
    except _Stop:
        tree.value = None
    except yaml.MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        message, mend, at = explain_syntax(fault)
        mark = at or mark
        spot = Spot(mark.line + 1, mark.column + 1) if mark else Spot()
        tree.value = None
        tree.faults.append(YamlFault("unreadable-file", message, mend, spot))
    except (yaml.YAMLError, ValueError) as fault:  # a character that YAML does not allow
        position = getattr(fault, "position", None)
        line = text.count("\n", 0, position) + 1 if isinstance(position, int) else 1
        tree.value = None
        tree.faults.append(
            YamlFault(
                "unreadable-file",
                "the text holds a character that YAML does not allow",
                "delete the control character; save the file as plain UTF-8 text",
                Spot(line, 1),
            )
        )
    return tree


def explain_syntax(fault: yaml.MarkedYAMLError) -> tuple[str, str, Any]:
    """What is wrong with the YAML, the mend, and the mark to point at where that is not the one of the fault."""
    context, problem = str(fault.context or ""), str(fault.problem or "")
    if "tab" in problem or "\\t" in problem:
        return "a tab stands where YAML wants blanks", "set the line in with blanks", None
    if "mapping values are not allowed" in problem:
        mend = "put the whole value in quotes if it holds `: `; else set the line in as far as its neighbours"
        return "a second `: ` stands on this line, or the line is set in too far", mend, None
    if "nesting depth" in problem:
        return TOO_DEEP[0], TOO_DEEP[1], None
    if "flow node" in context:
        return "a bracket opened before here is not closed, or a value lacks after a comma", "add what is missing", None
    if "quoted scalar" in context:
        return (
            "a quotation mark that opens here is not closed",
            "close it, or double one that is meant",
            fault.context_mark,
        )
    if "flow mapping" in context or "flow sequence" in context:
        bracket = "`}`" if "mapping" in context else "`]`"
        mend = f"add the comma or the {bracket}; quote a value that holds one of `, [ ] {{ }}`"
        return f"the bracket that opens here lacks a comma or its {bracket}", mend, fault.context_mark
    if "block mapping" in context or "could not find expected ':'" in problem:
        mend = "give it a colon and a blank after the key, and set it in as far as its neighbours"
        at = fault.context_mark if "simple key" in context else None
        return "this line is no `key: value`, or is set in otherwise than its neighbours", mend, at
    if "block sequence" in context or "block collection" in context:
        return (
            "this line does not start with `- ` as its neighbours do",
            "set it in as far as the line it belongs to",
            None,
        )
    if "cannot start any token" in problem:
        return "a value cannot start with this character", "put the whole value in quotes", None
    what = " ".join(part for part in (context, problem) if part)
    mend = 'mend the line; quote a value that holds `: ` or starts with one of `[ { & * ! | > % @ "`'
    return f"the YAML cannot be read here: {what}", mend, None


def _refuse_second_document(events: Iterator[Any], tree: YamlTree) -> None:
    for event in events:
        if isinstance(event, yaml.StreamEndEvent):
            return
        if isinstance(event, yaml.DocumentStartEvent):
            tree.faults.append(
                YamlFault(
                    "unreadable-file",
                    "a second document starts here; only the first is read",
                    "keep one document to a file: delete the `---` line or move what follows to a file of its own",
                    Spot(event.start_mark.line + 1, event.start_mark.column + 1, 3),
                )
            )
            return


def _read_node(event: Any, events: Iterator[Any], path: Path, tree: YamlTree, tags: bool) -> Plain:
    kind = type(event)
    if kind is yaml.AliasEvent:
        _refuse(tree, f"`*{event.anchor}` is an alias", "write the value out; an alias hides what a record says", event)
        tree.values[path] = event
        tree.said.add(path)
        return ""
    if event.anchor:
        _refuse(tree, f"`&{event.anchor}` is an anchor", "take it out and write values where they belong", event)
    if event.tag and not tags:
        tag = event.tag.replace("tag:yaml.org,2002:", "!!")
        _refuse(tree, f"`{tag}` is a tag", "take it out; every value is plain text", event)
    tree.values[path] = event
    if kind is yaml.ScalarEvent:
        value: str = event.value
        if not value and not event.style:
            tree.said.add(path)
        return value
    if len(path) >= DEPTH:
        _refuse(tree, *TOO_DEEP, event)
        raise _Stop
    if kind is yaml.MappingStartEvent:
        return _read_mapping(events, path, tree, tags)
    items: list[Plain] = []
    for inner in events:
        if type(inner) is yaml.SequenceEndEvent:
            break
        place = (*path, len(items))
        items.append(_read_node(inner, events, place, tree, tags))
        if place in tree.said and type(inner) is yaml.ScalarEvent:
            message, mend = "an entry of this list has no value", "write one, or delete the line"
            tree.faults.append(YamlFault("wrong-shape", message, mend, spot_of(inner)))
    return items


def _read_mapping(events: Iterator[Any], path: Path, tree: YamlTree, tags: bool) -> dict[str, Plain]:
    mapping: dict[str, Plain] = {}
    for event in events:
        if type(event) is yaml.MappingEndEvent:
            break
        if type(event) is not yaml.ScalarEvent:
            _refuse(tree, "a key here is not plain text", "write the key as one word followed by a colon", event)
            raise _Stop
        key: str = event.value
        if event.anchor or (event.tag and not tags):
            _refuse(tree, f"the key `{key}` carries an anchor or a tag", "write the plain key", event)
        inner = (*path, key)
        if key in mapping or inner in tree.said:
            message = f"the key `{key}` stands here twice; the first was kept"
            mend = "give the two entries different keys, or delete one"
            first = spot_of(tree.keys[inner])
            tree.faults.append(YamlFault("repeated-key", message, mend, spot_of(event), ("first given here", first)))
            _read_node(next(events), events, inner, YamlTree(), tags)
            continue
        tree.keys[inner] = event
        value = _read_node(next(events), events, inner, tree, tags)
        if value == "" and inner in tree.said and type(tree.values[inner]) is yaml.ScalarEvent:
            message, mend = f"`{key}` has no value", "write one, or delete the key"
            tree.faults.append(YamlFault("wrong-shape", message, mend, spot_of(event)))
        else:
            mapping[key] = value
    return mapping


def _refuse(tree: YamlTree, message: str, mend: str, event: Any) -> None:
    tree.faults.append(YamlFault("unreadable-file", message, mend, spot_of(event)))


def read_settings(text: str) -> Mapping[str, Any]:
    """The site's settings file as a tree of text; an unreadable one is an empty tree."""
    value = read_yaml(text, tags=True).value
    return value if isinstance(value, dict) else {}
