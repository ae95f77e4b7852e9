"""Stage 1, load: files to models, every value with its place.

`read_workspace` reads the bytes; `load_shared` and `load_record` make models of them. Nothing here looks anything up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import PurePosixPath

from pydantic import RootModel

from builder.load.approvaltext import FOLDER, read_approval
from builder.load.picture import picture_fault
from builder.load.piecetext import read_answer, read_piece
from builder.load.shape import shape
from builder.load.table import Table, read_table
from builder.load.workspace import Workspace, decode, find_root, read_workspace
from builder.load.yamltext import YamlTree, read_yaml
from builder.model.approval import SignedApproval
from builder.model.correction import Correction, Corrections
from builder.model.museum import Museum
from builder.model.piece import Block, Piece
from builder.model.record import Record
from builder.model.source import Source, Sources
from builder.model.value import Line, Text
from builder.problem import Path, Place, Problem

__all__ = ["Loaded", "Shared", "Workspace", "find_root", "load_record", "load_shared", "read_workspace"]


class Glossary(RootModel[dict[Line, Text]]):
    """`glossary.yml`: term to plain meaning."""


@dataclass(frozen=True)
class Shared:
    """What all records share. `trees` knows the places inside each file, by path in the workspace."""

    museum: Museum
    sources: Mapping[str, Source]
    glossary: Mapping[str, str]
    excerpts: Mapping[str, str]
    trees: Mapping[str, YamlTree]
    broken: frozenset[str]
    problems: tuple[Problem, ...]
    unreadable: frozenset[str] = frozenset()
    """Paths of files that are there and were refused, in records' folders too: nobody need be told that they lack."""
    corrections: Mapping[str, Correction] = field(default_factory=dict)


@dataclass(frozen=True)
class Loaded:
    """One record as read: models, the texts of answers, tables, where everything stands, and the problems.

    `record` is None where `record.yml` is beyond use. `broken` are the paths that were cut out of it.
    """

    id: str
    folder: str
    record: Record | None
    pieces: Mapping[str, Piece] = field(default_factory=dict)
    answers: tuple[tuple[Block, ...], ...] = ()
    tables: Mapping[str, Table] = field(default_factory=dict)
    files: Mapping[str, bytes] = field(default_factory=dict)
    trees: Mapping[str, YamlTree] = field(default_factory=dict)
    broken: frozenset[Path] = frozenset()
    problems: tuple[Problem, ...] = ()

    @cached_property
    def approvals(self) -> tuple[SignedApproval, ...]:
        """Every file of `approvals/`, read when first asked for. What is wrong with one is told where it is judged."""
        names = (file.removeprefix(FOLDER) for file in sorted(self.files) if file.startswith(FOLDER))
        return tuple(
            read_approval(f"{self.folder}/{FOLDER}{name}", self.files[FOLDER + name])
            for name in names
            if name.endswith(".yml") and "/" not in name
        )


def load_shared(workspace: Workspace) -> Shared:
    """Read `museum.yml`, `sources.yml`, `glossary.yml`, `corrections.yml` and the excerpts."""
    problems: list[Problem] = []
    trees: dict[str, YamlTree] = {}

    def read(name: str, model: type) -> tuple[object, frozenset[Path]]:
        path = f"{workspace.records}/{name}"
        if name not in workspace.shared:
            said = any(p.place and p.place.file == path for p in workspace.problems)
            if not said and name not in ("glossary.yml", "corrections.yml"):
                mend = "add it; `vouchered new museum DIR` shows what it holds"
                problems.append(Problem("unreadable-file", f"there is no `{name}`", mend, place=Place(path)))
            return None, frozenset()
        tree, found = _read_tree(path, workspace.shared[name])
        trees[path] = tree
        problems.extend(found)
        if tree.value is None:
            return None, frozenset()
        value, wrong, broken = shape(tree.value, model, said=tree.said)
        problems.extend(_placed(problem, path, tree) for problem in wrong)
        tree.close_ranks(broken)
        return value, broken

    museum, _ = read("museum.yml", Museum)
    sources, broken = read("sources.yml", Sources)
    glossary, _ = read("glossary.yml", Glossary)
    corrections, _ = read("corrections.yml", Corrections)
    excerpts: dict[str, str] = {}
    for name, data in workspace.shared.items():
        if name.startswith("excerpts/"):
            text, fault = decode(data)
            if fault:
                problems.append(_at(fault, f"{workspace.records}/{name}"))
            else:
                excerpts[name] = text
    return Shared(
        museum if isinstance(museum, Museum) else Museum(name="(no museum)"),
        sources.root if isinstance(sources, Sources) else {},
        glossary.root if isinstance(glossary, Glossary) else {},
        excerpts,
        trees,
        frozenset(str(path[0]) for path in broken if path),
        tuple(problems),
        frozenset(p.place.file for p in (*workspace.problems, *problems) if p.check == "unreadable-file" and p.place),
        corrections.root if isinstance(corrections, Corrections) else {},
    )


def load_record(folder: str, files: Mapping[str, bytes]) -> Loaded:
    """Read one record's folder; `folder` is its path in the workspace. Every fault is a problem of the result."""
    name = PurePosixPath(folder).name
    problems: list[Problem] = []
    path = f"{folder}/record.yml"
    if "record.yml" not in files:
        return Loaded(name, folder, None, files=files)
    tree, found = _read_tree(path, files["record.yml"])
    problems += found
    trees = {path: tree}
    record: Record | None = None
    broken: frozenset[Path] = frozenset()
    if tree.value is not None:
        record, wrong, broken = shape(tree.value, Record, said=tree.said)
        problems += [_placed(problem, path, tree) for problem in wrong]
        tree.close_ranks(broken)
    elif not found:
        mend = "write the record; `vouchered new record NAME` shows what it holds"
        problems.append(Problem("unreadable-file", "the file is empty", mend, place=Place(path)))
    pieces: dict[str, Piece] = {}
    for file in sorted(files):
        if not file.endswith(".md") or "/" in file:
            continue
        where = f"{folder}/{file}"
        text, fault = decode(files[file])
        if fault:
            problems.append(_at(fault, where))
            continue
        piece, wrong, front_tree = read_piece(file, text)
        trees[where] = front_tree
        problems += [_at(problem, where) for problem in wrong]
        if piece:
            pieces[piece.id] = piece
    answers: list[tuple[Block, ...]] = []
    tables: dict[str, Table] = {}
    if record:
        for index, question in enumerate(record.questions):
            spot = tree.find_spot(("questions", index, "answer"))
            blocks, wrong = read_answer(question.answer, spot)
            answers.append(blocks)
            problems += [_at(problem, path) for problem in wrong]
        for key, figure in record.figures.items():
            wanting = picture_fault(figure.file, files[figure.file]) if figure.file in files else None
            if wanting:
                problem = Problem("wrong-shape", *wanting, path=("figures", key, "file"))
                problems.append(_placed(problem, path, tree))
        for key, diet in record.diet.items():
            if diet.table in files:
                table, faults = _read_csv(f"{folder}/{diet.table}", files[diet.table])
                problems += faults
                if table:
                    tables[key] = table
    return Loaded(name, folder, record, pieces, tuple(answers), tables, files, trees, broken, tuple(problems))


def _read_csv(path: str, data: bytes) -> tuple[Table | None, list[Problem]]:
    text, fault = decode(data)
    if fault:
        return None, [_at(fault, path)]
    table, faults = read_table(text)
    return table, [Problem("bad-diet-table", f.message, f.mend, place=Place(path, f.row, f.column)) for f in faults]


def _read_tree(path: str, data: bytes) -> tuple[YamlTree, list[Problem]]:
    text, fault = decode(data)
    if fault:
        return YamlTree(), [_at(fault, path)]
    tree = read_yaml(text)
    problems = []
    for wrong in tree.faults:
        spot = wrong.spot
        also: tuple[tuple[str, Place], ...] = ()
        if wrong.also:
            label, first = wrong.also
            also = ((label, Place(path, first.line, first.column, first.length)),)
        place = Place(path, spot.line, spot.column, spot.length)
        problems.append(Problem(wrong.check, wrong.message, wrong.mend, place=place, also=also))
    return tree, problems


def _placed(problem: Problem, file: str, tree: YamlTree) -> Problem:
    spot = tree.find_spot(problem.path, at_key=problem.at_key)
    return replace(problem, place=Place(file, spot.line, spot.column, spot.length))


def _at(problem: Problem, file: str) -> Problem:
    spot = problem.spot
    if spot:
        return replace(problem, place=Place(file, spot.line, spot.column, spot.length))
    return replace(problem, place=replace(problem.place or Place(file), file=file))
