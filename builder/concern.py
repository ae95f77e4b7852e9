"""Which problems concern one piece: those of its own file, of its record, and of what all records share.

In: the problems of a walk. Out: those that must be mended, or answered for, before the piece goes out.
"""

from __future__ import annotations

from collections.abc import Iterable

from builder.check.registry import find_check
from builder.load import Workspace
from builder.problem import Problem


def problems_of_piece(workspace: Workspace, record: str, piece: str, problems: Iterable[Problem]) -> list[Problem]:
    """The problems that a piece has, alone or with others of its record; what approvals lack is told elsewhere."""
    folder = f"{workspace.records}/{record}"
    texts = {f"{folder}/{name}" for name in workspace.folders[record] if name.endswith(".md") and "/" not in name}
    others = texts - {f"{folder}/{piece}.md"}
    found = []
    for problem in problems:
        check = find_check(problem.check)
        file = problem.place.file if problem.place else ""
        if (check and check.group == "approval") or file in others or file.startswith(f"{workspace.prose_folder}/"):
            continue
        if file.startswith(f"{folder}/") or file.count("/") == workspace.records.count("/") + 1:
            found.append(problem)
    return found
