"""What the headings of beats say in braces, and what of it nobody would heed.

In: a case. Out: problems of the check `wrong-shape`, which calls this.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.check.case import Case
from builder.load.shape import suggest
from builder.model.piece import KEEPS, WHOLE, Block
from builder.problem import Problem

NAME = "wrong-shape"
KNOWN = ("keep", "seconds", "value")


def beat_mark_faults(case: Case) -> Iterator[Problem]:
    """Words on the headings of talks and scripts that are not known, or that cannot be read."""
    for piece in case.pieces.values():
        if piece.front.piece not in ("talk", "script"):
            continue
        for block in piece.blocks:
            if block.kind == "heading":
                for message, mend in _faults(block):
                    yield Problem(NAME, message, mend, spot=block.spot, file=f"{piece.id}.md")


def _faults(block: Block) -> Iterator[tuple[str, str]]:
    if block.level > 2 and any(name in KNOWN for name, _ in block.attributes):
        yield (
            "a heading below the second level opens no beat, so what it says in braces is not heeded",
            "make it a heading of the second level, `## …`, or take the braces away",
        )
        return
    for name, value in block.attributes:
        if name not in KNOWN:
            yield f"a beat has no `{name}`{suggest(name, KNOWN)}", "write `keep=…`, `seconds=…` or `value=…`"
        elif name == "keep" and value not in KEEPS:
            yield f"`keep={value}` says nothing{suggest(value, KEEPS)}", "write `always`, `if-time` or `spare`"
        elif name != "keep" and not WHOLE.fullmatch(value):
            what = "the least seconds it takes" if name == "seconds" else "what it is worth beside the others"
            yield f"`{name}={value}` is no whole number from 1 to 99999", f"write {what}, such as `{name}=40`"
