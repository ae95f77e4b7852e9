"""What a curator is shown before a decision, as text: the words with what each rests on, what changed, what is open.

In: a document, how it stands, and the open problems in one line each. Out: text. A page of the review says the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.approve.fingerprint import parts_of
from builder.approve.partwords import part_name
from builder.approve.standing import Standing
from builder.compose.document import ClaimData, Document
from builder.model.approval import ApprovedPart

UNSAID = ("kind", "record", "piece", "title", "language", "summary")
"""Parts that the head of the text shows."""


def show_piece(document: Document, standing: Standing, *, shown: Sequence[str], people: Sequence[str]) -> str:
    """Everything that would be signed, the grave things first; `people` are the changes among those entitled."""
    parts = parts_of(document)
    rows = [
        f"{document['title']}",
        f"{document['kind']} {standing.piece}, {document['language']}; fingerprint {standing.fingerprint[:16]}",
        *_changed(standing),
        *_listed("Who may approve has changed", people),
        *_listed("Open problems, and waivers", shown),
        *_listed("Asked for", [problem.message for problem in standing.problems if standing.requests]),
        "",
        "What the public will read",
        *_text(parts),
        "",
        "What it rests on",
        *(
            [row for claim in document["claims"] for row in _claim(claim)]
            or ["  (nothing: no sentence has the mark of a claim)"]
        ),
        "",
        "The rest of what is signed",
        *_rest(parts),
    ]
    return "\n".join(rows) + "\n"


def _changed(standing: Standing) -> Iterator[str]:
    if standing.latest is None or standing.latest.approval is None:
        yield from ("", "Nobody has decided on it before.")
        return
    approval = standing.latest.approval
    when = f"`{approval.person}` {approval.decision} on {approval.date}"
    if not standing.changes:
        yield from ("", f"Nothing has changed since {when}.")
        return
    ordered = sorted(standing.changes, key=lambda change: (not change.serious, change.small))
    yield from _listed(f"What changed since {when}, [-out-] and {{+in+}}", [str(change) for change in ordered])


def _listed(title: str, rows: Sequence[str]) -> Iterator[str]:
    if rows:
        yield from ("", title)
        for row in rows:
            first, *more = row.split("\n")
            yield f"  - {first}"
            yield from (f"    {line}" for line in more)


def _text(parts: dict[str, ApprovedPart]) -> Iterator[str]:
    """The sentences by their numbers, which a comment can name."""
    for section, lead in (("text", ""), ("questions", "q")):
        for name, part in sorted(parts.items()):
            if name.partition("/")[0] == section:
                number = f"{lead}{int(name.partition('/')[2])}"
                first, *more = part.text.split("\n")
                yield f"{number:>5}  {first}"
                yield from (f"       {row}" for row in more)


def _claim(claim: ClaimData) -> Iterator[str]:
    yield f"  {claim['record']}.{claim['id']}"
    if "belief" in claim:
        yield f"    belief: {claim['belief']}"
    yield f"    statement: {claim['statement']}"
    if "why" in claim:
        yield f"    why: {claim['why']}"
    weight = claim["weight"]
    sure = f"; {weight['confidence']} confidence, {weight['evidence']} evidence" if weight else ""
    yield f"    stands: {claim['stands']}{sure}"
    for row in claim["evidence"]:
        where = f", {row['locator']}" if "locator" in row else ""
        says = row.get("finds") or row.get("test") or ""
        yield f"    {row['bears']}: {row['kind']} {row['key']}{where}{f': {says}' if says else ''}"
        if "quote" in row:
            yield f"      quoted: “{row['quote']}”"


def _rest(parts: dict[str, ApprovedPart]) -> Iterator[str]:
    for name, part in parts.items():
        section = name.partition("/")[0]
        if section in ("text", "questions", "claims") or name in UNSAID:
            continue
        yield f"  {part_name(name)}"
        yield from (f"    {row}" for row in part.text.split("\n"))
