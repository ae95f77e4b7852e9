"""needs-hedge: see needs_hedge.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.sentence_without_claim import shorten
from builder.model.piece import Piece
from builder.model.record import CalculationEvidence, Claim
from builder.problem import ERROR, Problem
from builder.resolve import claim_node
from builder.weigh.wording import has_hedge

NAME, SEVERITY, WAIVABLE, SCOPE = "needs-hedge", ERROR, True, "piece"
LOW = ("low", "very low")


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A flat sentence all of whose claims have low confidence."""
    for sentence in piece.sentences:
        claims = case.claims_of(sentence)
        if not claims or any(claim.lead for _, claim in claims):  # a lead is told of by lead-in-public-text
            continue
        levels = [(target, _confidence(case, target)) for target, claim in claims if not _is_sum(claim)]
        if levels and all(level in LOW for _, level in levels) and not has_hedge(sentence.text):
            named = ", ".join(f"`{target}` ({level})" for target, level in levels)
            message = f"“{shorten(sentence.text)}” says flatly what rests on low confidence: {named}"
            mend = "say that it may be so, seems so, or who says so; or add evidence to the claim"
            yield Problem(NAME, message, mend, spot=sentence.spot)


def _confidence(case: Case, target: str) -> str:
    node = claim_node(case.subject.id, target)
    here = node.record == case.subject.id
    weight = case.weighed.claims.get(node.id) if here else case.weighed.others.get((node.record, node.id))
    return weight.confidence if weight else ""


def _is_sum(claim: Claim) -> bool:
    """A claim that says only what a calculation comes to: decision 0011."""
    return bool(claim.evidence) and all(isinstance(e, CalculationEvidence) for e in claim.evidence)
