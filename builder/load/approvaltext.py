"""Read an approval: the bytes of one file to a decision with every value as it was signed.

Anything wrong in the file is a problem of the check `bad-signature`: an approval that cannot be read whole is none.
"""

from __future__ import annotations

from dataclasses import replace

from builder.load.shape import shape
from builder.load.workspace import decode
from builder.load.yamltext import read_yaml
from builder.model.approval import Approval, SignedApproval
from builder.problem import Place, Problem

FOLDER = "approvals/"
RESTORE = "bring the file back as it was from the history of the records; a new decision is a file of its own"


def read_approval(path: str, data: bytes) -> SignedApproval:
    """The approval in a file at `path` of the workspace. Raises nothing."""
    name = path.rpartition("/")[2]
    text, fault = decode(data)
    if fault:
        where = replace(fault.place or Place(path), file=path)
        return SignedApproval(name, None, problems=(_bad(fault.message, where),))
    tree = read_yaml(text)
    found = [_bad(f.message, Place(path, f.spot.line, f.spot.column, f.spot.length)) for f in tree.faults]
    if not isinstance(tree.value, dict):
        found = found or [_bad("the file holds no approval", Place(path))]
        return SignedApproval(name, None, problems=tuple(found))
    approval, wrong, _ = shape(tree.value, Approval, said=tree.said)
    for problem in wrong:
        spot = tree.find_spot(problem.path, at_key=problem.at_key)
        found.append(_bad(problem.message, Place(path, spot.line, spot.column, spot.length)))
    return SignedApproval(name, None if found else approval, tree.value, tuple(found))


def _bad(message: str, place: Place) -> Problem:
    return Problem("bad-signature", f"this approval cannot be read: {message}", RESTORE, place=place)
