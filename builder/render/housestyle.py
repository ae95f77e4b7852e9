"""The citations of a museum: by its own style where it names one that serves, else by ours.

In: what all records share, and the files of the workspace. Out: `Entries`, and the problem where the style named does
not serve.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from builder.load import Shared, Workspace
from builder.problem import ERROR, Place, Problem, Spot
from builder.render.citation import BadStyle, Entries, own_style


def house_entries(
    shared: Shared, workspace: Workspace, known: Mapping[str, Any] | None
) -> tuple[Entries, Problem | None]:
    """The entries by the style of the house; `known` are entries formatted before."""
    named = shared.museum.citation_style
    if not named:
        return Entries(own_style(), known), None
    path = f"{workspace.records}/museum.yml"
    tree = shared.trees.get(path)
    spot = tree.find_spot(("citation_style",)) if tree else Spot()
    file = Place(path, spot.line, spot.column, spot.length)
    style = workspace.shared.get(named)
    if style is None:
        mend = "put the `.csl` file beside museum.yml, or delete the line to use the style that comes along"
        problem = Problem("unknown-reference", f"there is no style `{named}`", mend, severity=ERROR, place=file)
        return Entries(own_style(), known), problem
    entries = Entries(style, known)
    try:
        entries.entry({"type": "book", "title": "A trial", "author": [{"family": "Writer"}], "issued": "2001"})
    except BadStyle as fault:
        mend = "choose another style, or delete the line to use the one that comes along"
        problem = Problem("wrong-shape", f"`{named}`: {fault}", mend, severity=ERROR, place=file)
        return Entries(own_style(), known), problem
    return entries, None
