"""stronger-than-claim: see stronger_than_claim.md"""

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from builder.check.case import Case
from builder.check.wording.gist import gist
from builder.check.wording.ground import Ground, claim_place, grounds_of
from builder.model.piece import Piece
from builder.model.record import Claim
from builder.problem import ERROR, Problem
from builder.weigh.number import Quantity
from builder.weigh.quantifier import MANY, MOST, NEARLY_ALL, Quantifier, find_quantifiers
from builder.weigh.wording import absolute_words, carries

NAME, SEVERITY, WAIVABLE, SCOPE = "stronger-than-claim", ERROR, True, "piece"
DENIALS = frozenset({"no", "none", "never", "nobody", "no one", "nothing", "nowhere"})
WHOLE = ("all", "always", "only")
"""What bears out every quantifier."""
LEAST = {MOST: Decimal("0.5"), NEARLY_ALL: Decimal("0.9")}
"""The share above which a quantifier is true, of the thing or of what is left; for "nearly all" our choice."""
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
    """A word in a sentence that goes further than what it rests on."""
    for sentence in piece.sentences:
        if not (sentence.marks or sentence.cues):
            continue
        absolute = absolute_words(sentence.text) if sentence.marks else ()
        measured = [found for found in find_quantifiers(sentence.text) if found.strength >= MANY]
        if not (absolute or measured):
            continue
        grounds = grounds_of(case, sentence)
        if not grounds:
            continue
        quoted = [match.span() for match in QUOTED.finditer(sentence.text)]
        reported = REPORTED.search(sentence.text) is not None
        texts = [text for ground in grounds for text in (ground.texts + ground.told if reported else ground.texts)]
        denied = any(_denies(claim) for _, claim in case.claims_of(sentence))
        too_far = [
            (start, end)
            for word, start, end in absolute
            if not (carries(word, texts) or (word in DENIALS and (denied or any(map(LACK.search, texts)))))
        ]
        too_far += [(found.start, found.end) for found in measured if _says_more(found, texts, grounds)]
        for start, end in sorted(too_far):
            if any(low <= start and end <= high for low, high in quoted):
                continue
            names = [f"`{mark.target}`" for mark in sentence.marks] or [
                f"the anatomy note `{c}`" for c in sentence.cues
            ]
            yield Problem(
                NAME,
                f"“{sentence.text[start:end]}” goes further than {' or '.join(names)}",
                "say only what the claim says, or put it into the claim's statement if its evidence bears that out",
                spot=sentence.spot_of(start, end),
                also=tuple(row for mark in sentence.marks for row in claim_place(case, mark.target)),
            )


def _says_more(said: Quantifier, texts: Iterable[str], grounds: tuple[Ground, ...]) -> bool:
    """Whether a quantifier is stronger than those that the grounds have of the same thing, and nothing bears it out."""
    texts = tuple(texts)
    known = [found for text in texts for found in find_quantifiers(text)]
    if any(found.strength >= said.strength for found in known) or any(carries(word, texts) for word in WHOLE):
        return False
    about = frozenset(gist(said.near))
    weaker = any(found.time == said.time and not about.isdisjoint(gist(found.near)) for found in known)
    if said.time or said.strength < MOST:
        return weaker
    shares = [share for ground in grounds for _, number in ground.numbers for share in _shares(number)]
    if any(share > LEAST[said.strength] or 1 - share > LEAST[said.strength] for share in shares):
        return False
    return weaker or (said.strength == NEARLY_ALL and bool(shares))


def _shares(number: Quantity) -> tuple[Decimal, ...]:
    """Both ends of a share, from 0 to 1; none of any other number."""
    if number.kind != "share":
        return ()
    parts = {"%": 100, "‰": 1000}.get(number.unit, 1)
    return number.low / parts, number.high / parts


def _denies(claim: Claim) -> bool:
    """Whether "no" and "nobody" are the claim's own answer: the belief fails, or the matter is open."""
    return claim.stands == "open" or (claim.stands == "fails" and claim.belief is not None)
