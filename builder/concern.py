"""Which problems concern one piece: those of its own file, of its record, and of what all records share.

In: the problems of a walk. Out: those that must be mended, or answered for, before the piece goes out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from builder.check.registry import find_check
from builder.compose.document import Document
from builder.load import Workspace
from builder.problem import WARNING, Problem


def problems_of_document(workspace: Workspace, document: Document, problems: Iterable[Problem]) -> list[Problem]:
    """The problems of the piece that a document was composed from."""
    sources = [source["id"] for source in document["sources"]]
    return problems_of_piece(workspace, document["record"], document["piece"], sources, problems)


def problems_of_piece(
    workspace: Workspace, record: str, piece: str, sources: Collection[str], problems: Iterable[Problem]
) -> list[Problem]:
    """The problems that a piece has, alone or with others of its record; what approvals lack is told elsewhere.

    A warning about a source is its own only if that is among the `sources` it rests on.
    """
    folder = f"{workspace.records}/{record}"
    texts = {f"{folder}/{name}" for name in workspace.folders[record] if name.endswith(".md") and "/" not in name}
    others = texts - {f"{folder}/{piece}.md"}
    found = []
    for problem in problems:
        check = find_check(problem.check)
        file = problem.place.file if problem.place else ""
        if (check and check.group == "approval") or file in others or file.startswith(f"{workspace.prose_folder}/"):
            continue
        if file == f"{workspace.records}/sources.yml" and problem.severity == WARNING and problem.path:
            if problem.path[0] in sources:
                found.append(problem)
        elif file.startswith(f"{folder}/") or file.count("/") == workspace.records.count("/") + 1:
            found.append(problem)
    return found
