"""No byte of what was approved, or of an approval, changes unseen; what is no change undoes nothing.

One byte at a time is changed at random in a piece, the record, a table, a figure, the sources and an approval, and the
whole road is walked anew. Either the document is byte for byte what was approved (the byte was a blank, a comment, a
note for staff), or the piece does not stand and it is said why.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from builder.approve.decision import decision_text
from builder.approve.standing import Standing, judge_piece
from builder.check.example import STOCK
from builder.compose.document import Document, fingerprint
from builder.compose.piece import compose
from builder.load.approvaltext import read_approval
from builder.load.workspace import Workspace, read_workspace
from builder.load.yamltext import read_yaml
from builder.model.approval import SignedApproval
from builder.problem import ERROR
from builder.road import Road
from tests.approve.signing import TODAY, signed, stock_documents, with_keys

PAGE = stock_documents()["page"]
APPROVAL = signed(PAGE)
NAME = f"approvals/{APPROVAL.name}"
TARGETS = ("page.md", "record.yml", "gut.csv", "head.svg", "sources.yml", NAME)
EACH, OF_APPROVAL = 130, 500
"""Flips of each of the five files behind the document, and of the approval, which are quick to judge: 1,150 in all."""


@cache
def base() -> Workspace:
    """The stock workspace with its page approved, in memory."""
    workspace = read_workspace(Path(str(STOCK)))
    files = {**workspace.folders["newt"], NAME: decision_text(APPROVAL.plain)}
    house = with_keys(workspace.shared["museum.yml"].decode()).encode()
    return replace(workspace, folders={"newt": files}, shared={**workspace.shared, "museum.yml": house})


def with_bytes(name: str, data: bytes) -> Workspace:
    workspace = base()
    if name in workspace.shared:
        return replace(workspace, shared={**workspace.shared, name: data}, digests={})
    files = {**workspace.folders["newt"], name: data}
    return replace(workspace, folders={"newt": files}, digests={})


def bytes_of(name: str) -> bytes:
    return base().shared.get(name) or base().folders["newt"][name]


def walked(workspace: Workspace, patch: pytest.MonkeyPatch) -> tuple[Document | None, Standing | None, list[str]]:
    """The page of a workspace composed and judged; where it cannot be composed, the errors that say why."""
    patch.setattr("builder.road.read_workspace", lambda root: workspace)
    patch.setattr("builder.load.read_approval", read_once)  # the same bytes are not parsed a thousand times
    road = Road(Path(str(STOCK)), today=TODAY, remember=False)
    case, problems = road._try("newt")
    problems = [*problems, *road.shared.problems]
    errors = [problem.message for problem in problems if problem.severity in (ERROR, None)]
    if case is None or "page" not in case.pieces:
        return None, None, errors
    document = compose(case, case.weighed, case.pieces["page"])
    return document, judge_piece(case, document), errors


@cache
def read_once(path: str, data: bytes) -> SignedApproval:
    return read_approval(path, data)


def times(name: str) -> int:
    return OF_APPROVAL if name == NAME else EACH


def flips(name: str) -> Iterator[bytes]:
    chance = random.Random(f"flips of {name.partition('--')[0]}")
    data = bytes_of(name)
    for turn in range(times(name)):
        at = chance.randrange(len(data))
        # by turns one bit, and a byte that a typist might put there
        new = data[at] ^ (1 << chance.randrange(8)) if turn % 2 else chance.choice(b"0123456789abcxyz .,:-'#\n")
        if new != data[at]:
            yield data[:at] + bytes([new]) + data[at + 1 :]


@pytest.mark.parametrize("name", TARGETS, ids=lambda name: name.partition("--")[0])
def test_no_flipped_byte_slips_through(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    whole, found = fingerprint(PAGE), Counter[str]()
    monkeypatch.setattr("builder.road.read_workspace", lambda root: base())
    road = Road(Path(str(STOCK)), today=TODAY, remember=False)
    case = road.case("newt")
    assert case
    for data in flips(name):
        if name == NAME:  # nothing of the document can change
            loaded = replace(case.subject.loaded, files={**case.subject.loaded.files, NAME: data})
            subject = replace(case.subject, loaded=loaded)
            document, standing, errors = PAGE, judge_piece(replace(case, subject=subject), PAGE), []
        else:
            document, standing, errors = walked(with_bytes(name, data), monkeypatch)
        if document is None or standing is None:
            assert errors, "it cannot be composed, and nothing says why"
            found["cannot be read"] += 1
            continue
        found[standing.state] += 1
        if standing.approved:
            assert fingerprint(document) == whole, "another document passes as approved"
            if name == NAME:
                assert read_yaml(data.decode()).value == APPROVAL.plain, "another approval passes as signed"
        elif standing.state == "bad signature":
            assert name == NAME and all(problem.message and problem.file for problem in standing.problems)
        elif standing.state == "out of date":
            assert standing.changes, "out of date, and nothing says what changed"
            assert all(
                change.was != change.now or change.small or change.kind == "moved" or change.marks
                for change in standing.changes
            )
        else:
            assert standing.problems, standing.state
    assert sum(found.values()) > times(name) * 0.8
    assert found["approved"] < times(name) * 0.6, found


def same(name: str, data: bytes, patch: pytest.MonkeyPatch) -> None:
    assert data != bytes_of(name), "nothing was tried"
    _, standing, errors = walked(with_bytes(name, data), patch)
    assert standing and standing.approved, (name, errors, standing and [str(c) for c in standing.changes])


@pytest.mark.parametrize(
    "name", ("page.md", "record.yml", "gut.csv", "sources.yml", NAME), ids=lambda n: n.partition("--")[0]
)
@pytest.mark.parametrize("ends", (b"\r\n", b"\r"), ids=("windows", "old"))
def test_other_line_ends_undo_nothing(name: str, ends: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    same(name, bytes_of(name).replace(b"\n", ends), monkeypatch)


@pytest.mark.parametrize("name", ("page.md", "record.yml", "sources.yml", NAME), ids=lambda n: n.partition("--")[0])
def test_a_byte_order_mark_undoes_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    same(name, b"\xef\xbb\xbf" + bytes_of(name), monkeypatch)


def turned(value: Any) -> Any:
    """The same entries, the keys of every mapping in the opposite order."""
    if isinstance(value, dict):
        return {key: turned(value[key]) for key in reversed(value)}
    return [turned(inner) for inner in value] if isinstance(value, list) else value


@pytest.mark.parametrize("name", ("record.yml", "sources.yml", NAME), ids=lambda n: n.partition("--")[0])
def test_another_order_of_keys_undoes_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    tree = read_yaml(bytes_of(name).decode()).value
    assert isinstance(tree, dict)
    same(name, decision_text(turned(tree)), monkeypatch)


HOUSEKEEPING = {
    "record.yml": {
        "objects/*/store", "objects/*/container", "objects/*/fluid", "objects/*/collector/name", "objects/*/donor/name",
        "title", "objects/*/locality/latitude", "objects/*/locality/longitude", "objects/*/locality/text", "objects/*/locality/county", "claims/guess/*", "claims/*/recheck",
    },
    "sources.yml": {"*/seen", "*/excerpt"},
}  # fmt: skip
"""What may change without a new approval, since no reader sees it and nothing rests on it: where things are kept, exact
places within the cell that is shown, private names, leads, the record's title (each piece has its own), the day a source
was last seen, the path of its excerpt."""


def leaves(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if isinstance(value, dict | list):
        for key in value if isinstance(value, dict) else range(len(value)):
            yield from leaves(value[key], (*path, key))
    else:
        yield path


def is_housekeeping(name: str, path: tuple[Any, ...]) -> bool:
    def fits(pattern: str) -> bool:
        wanted = pattern.split("/")
        return len(path) >= len(wanted) and all(w in ("*", str(p)) for w, p in zip(wanted, path, strict=False))

    return any(fits(pattern) for pattern in HOUSEKEEPING[name])


def changed_leaf(text: str) -> str:
    """Another value of the same kind."""
    if text and text[-1].isdigit():
        return text[:-1] + str((int(text[-1]) + 1) % 10)
    return {"yes": "no", "no": "yes"}.get(text, text + "x")


@pytest.mark.parametrize("name", ("record.yml", "sources.yml"))
def test_every_entry_is_under_the_approval_or_is_housekeeping(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    tree = read_yaml(bytes_of(name).decode()).value
    assert isinstance(tree, dict)
    slipped = []
    for path in leaves(tree):
        copy: Any = read_yaml(bytes_of(name).decode()).value
        here = copy
        for part in path[:-1]:
            here = here[part]
        here[path[-1]] = changed_leaf(here[path[-1]])
        _, standing, _ = walked(with_bytes(name, decision_text(copy)), monkeypatch)
        if standing and standing.approved and not is_housekeeping(name, path):
            slipped.append("/".join(map(str, path)))
    assert slipped == []


def test_truncated_approvals(monkeypatch: pytest.MonkeyPatch) -> None:
    data, chance = bytes_of(NAME), random.Random("truncated")
    for _ in range(60):
        cut = data[: chance.randrange(len(data) - 1)]
        _, standing, _ = walked(with_bytes(NAME, cut), monkeypatch)
        assert standing and standing.state == "bad signature", len(cut)
        assert all(problem.message for problem in standing.problems)
