"""stronger-than-claim: see stronger_than_claim.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.ground import claim_place, grounds_of
from builder.model.piece import Piece
from builder.model.record import Claim
from builder.problem import ERROR, Problem
from builder.weigh.wording import absolute_words, carries

NAME, SEVERITY, WAIVABLE, SCOPE = "stronger-than-claim", ERROR, True, "piece"
DENIALS = frozenset({"no", "none", "never", "nobody", "no one", "nothing", "nowhere"})
REPORTED = re.compile(
    r"\b(?:reads?|tales?|stor(?:y|ies)|legends?|beliefs?|believed?|people|folk|rumours?|said|says?|told|tells?|wrote|writes|written|called"
    r"|claim(?:s|ed)?|held|holds|thought|supposed|blamed|accused|reports?|reported|according)\b",
    re.IGNORECASE,
)
"""Words that lay what is said at somebody else's door."""
LACK = re.compile(
    r"\b(?!unless|regardless|nevertheless|nonetheless)[a-z]{3,}less\b"
    r"|\babsen(?:t|ce)\b|\bextinct\b|\bempty\b|\bfree of\b"
)
"""A denial without a word of denial: toothless, absent."""
QUOTED = re.compile(r"“[^”]*”|\"[^\"]*\"")


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A word in a marked sentence that goes further than the claim it rests on."""
    for sentence in piece.sentences:
        if not sentence.marks:
            continue
        found = absolute_words(sentence.text)
        if not found:
            continue
        grounds = grounds_of(case, sentence)
        if not grounds:
            continue
        quoted = [match.span() for match in QUOTED.finditer(sentence.text)]
        reported = REPORTED.search(sentence.text) is not None
        texts = [text for ground in grounds for text in (ground.texts + ground.told if reported else ground.texts)]
        denied = any(_denies(claim) for _, claim in case.claims_of(sentence))
        for word, start, end in found:
            if any(low <= start and end <= high for low, high in quoted):
                continue
            if carries(word, texts) or (word in DENIALS and (denied or any(map(LACK.search, texts)))):
                continue
            names = " or ".join(f"`{mark.target}`" for mark in sentence.marks)
            yield Problem(
                NAME,
                f"“{sentence.text[start:end]}” goes further than {names}",
                "say only what the claim says, or put it into the claim's statement if its evidence bears that out",
                spot=sentence.spot_of(start, end),
                also=tuple(row for mark in sentence.marks for row in claim_place(case, mark.target)),
            )


def _denies(claim: Claim) -> bool:
    """Whether "no" and "nobody" are the claim's own answer: the belief fails, or the matter is open."""
    return claim.stands == "open" or (claim.stands == "fails" and claim.belief is not None)
