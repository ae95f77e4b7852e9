"""belief-repeated: see belief_repeated.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.retelling import beliefs_of, refutes, tells
from builder.model.piece import Piece
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "belief-repeated", WARNING, True, "piece"


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A belief told again in the same piece, in a sentence that does not refute it."""
    if case.pieces.get(piece.id) is not piece:  # an answer, which the question before it made necessary
        return
    marked = dict.fromkeys(m.target for s in piece.sentences for m in s.marks if "." in m.target)
    for belief in (*beliefs_of(case, case.record.claims), *beliefs_of(case, marked)):
        told = 0
        for sentence in (s for block in piece.blocks for s in block.sentences):
            if not tells(sentence.text, belief):
                continue
            told += 1
            if told > 1 and not refutes(sentence.text):
                message = f"the belief of `{belief.claim}` is told again: “{belief.text}”"
                mend = "leave it out here, or say in the same sentence what is so"
                yield Problem(NAME, message, mend, spot=sentence.spot)
