"""belief-before-evidence: see belief_before_evidence.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.retelling import Belief, beliefs_of, tells
from builder.model.piece import Piece
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "belief-before-evidence", ERROR, True
MEND = "say what is so; tell the belief once, further down, beside what refutes it"


def check(case: Case) -> Iterator[Problem]:
    """A belief in a place that is read before, or without, the evidence."""
    beliefs = beliefs_of(case, case.record.claims)
    for where, text in (("title", case.record.title), ("summary", case.record.summary)):
        for belief in _told(text, beliefs, brief=where == "title"):
            yield Problem(NAME, _message(f"the record's {where}", belief), MEND, path=(where,))
    for piece in case.pieces.values():
        marked = dict.fromkeys(m.target for s in piece.sentences for m in s.marks if "." in m.target)
        yield from _in_piece(piece, (*beliefs, *beliefs_of(case, marked)))


def _in_piece(piece: Piece, beliefs: tuple[Belief, ...]) -> Iterator[Problem]:
    if not beliefs:
        return
    file = f"{piece.id}.md"
    front = piece.front
    for where, text in (("title", front.title), ("theme", front.theme), ("description", front.description)):
        for belief in _told(text, beliefs, brief=where == "title"):
            yield Problem(NAME, _message(f"the {where}", belief), MEND, path=(where,), file=file)
    for belief in _told(piece.id.replace("-", " ").replace("_", " "), beliefs, brief=True):
        yield Problem(NAME, _message(f"the file name `{file}`", belief), "rename the file", path=("title",), file=file)
    heading = next((block for block in piece.blocks if block.kind == "heading"), None)
    for belief in _told(heading.text if heading else None, beliefs, brief=True):
        assert heading
        yield Problem(NAME, _message("the first heading", belief), MEND, spot=heading.spot, file=file)
    if piece.front.piece == "script":  # its headings are the chapters in the text below the film
        for block in (block for block in piece.blocks if block.kind == "heading" and block is not heading):
            for belief in _told(block.text, beliefs, brief=True):
                yield Problem(NAME, _message("a chapter’s title", belief), MEND, spot=block.spot, file=file)
    for sentence in piece.sentences[:1]:
        for belief in _told(sentence.text, beliefs):
            yield Problem(NAME, _message("the first sentence", belief), MEND, spot=sentence.spot, file=file)


def _told(text: str | None, beliefs: tuple[Belief, ...], *, brief: bool = False) -> list[Belief]:
    return [belief for belief in beliefs if text and tells(text, belief, brief=brief)][:1]


def _message(where: str, belief: Belief) -> str:
    return f"{where} tells the belief of `{belief.claim}`: “{belief.text}”"
