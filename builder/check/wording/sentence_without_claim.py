"""sentence-without-claim: see sentence_without_claim.md"""

from collections.abc import Iterator

from rapidfuzz import fuzz, process, utils

from builder.check.case import Case
from builder.model.piece import Piece
from builder.problem import ERROR, Problem
from builder.weigh.wording import is_instruction, is_question

NAME, SEVERITY, WAIVABLE, SCOPE = "sentence-without-claim", ERROR, False, "piece"
CLOSE = 35
"""Below this likeness, of 100, a claim is not worth naming (our choice)."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A sentence that asserts something and that nothing vouches for."""
    for sentence in piece.sentences:
        if sentence.marks or sentence.cues or sentence.aside:
            continue
        if is_question(sentence.text) or is_instruction(sentence.text):
            continue
        yield Problem(
            NAME,
            f"nothing vouches for “{shorten(sentence.text)}”",
            _mend(case, sentence.text),
            spot=sentence.spot,
        )


def shorten(text: str, *, most: int = 60) -> str:
    """The text, cut at a word when it is longer than `most` characters."""
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + "…"


def _mend(case: Case, text: str) -> str:
    statements = {
        key: " ".join(filter(None, (claim.statement, claim.belief)))
        for key, claim in case.record.claims.items()
        if not claim.lead
    }
    close = process.extract(
        text, statements, scorer=fuzz.token_set_ratio, processor=utils.default_process, limit=3, score_cutoff=CLOSE
    )
    marks = " or ".join(f"`[^{key}]`" for _, _, key in close)
    if marks:
        return f"add {marks} after its stop if that claim says so; else write the claim, or mark it `[^aside]`"
    return "write the claim in record.yml and mark the sentence with it, or mark it `[^aside]` if it asserts nothing"
