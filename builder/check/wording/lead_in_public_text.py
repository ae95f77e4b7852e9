"""lead-in-public-text: see lead_in_public_text.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.ground import claim_place
from builder.model.piece import Piece
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "lead-in-public-text", ERROR, False, "piece"


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A mark, in a heading or a sentence, that names a lead."""
    for block in piece.blocks:
        for sentence in block.sentences:
            for mark in sentence.marks:
                claim = case.subject.claim(mark.target)
                if claim is not None and claim.lead:
                    yield Problem(
                        NAME,
                        f"`{mark.target}` is a lead: nobody has vouched for it yet",
                        f"give `{mark.target}` a source and take `lead` off it, or take the sentence out",
                        spot=mark.spot,
                        also=claim_place(case, mark.target),
                    )
