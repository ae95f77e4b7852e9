"""too-few-questions: see too_few_questions.md"""

import re
from collections.abc import Iterator
from decimal import Decimal

from builder.check.case import Case
from builder.check.fit.length import spoken_sentences
from builder.check.fit.over_time import part_of
from builder.model.piece import Piece
from builder.problem import WARNING, Problem
from builder.weigh.slot import clock_seconds
from builder.weigh.utterance import is_instruction, is_question

NAME, SEVERITY, WAIVABLE, SCOPE = "too-few-questions", WARNING, True, "piece"
EVERY = 5
"""Minutes of a talk for each open question (from memory)."""
OPENING = re.compile(
    r"\b(?:what|why|where|which|how(?!\s+(?:many|much|old|long|big|often|far|heavy|tall|high|wide|deep|fast|large|small"
    r"|quickly|soon)\b))\b",
    re.IGNORECASE,
)
TELLING = re.compile(r"\b(?:tell|say|share|describe|discuss|explain|ask|show)\b", re.IGNORECASE)


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A talk that leaves its visitors less than one open question for every five minutes."""
    if piece.front.piece != "talk" or case.pieces.get(piece.id) is not piece:
        return
    slot = piece.front.slot
    minutes = slot if slot is not None else Decimal(_clock(case, piece)) / 60
    wanted = int(minutes // EVERY)
    asked = sum(is_open(sentence.text) for sentence in spoken_sentences(piece)) if wanted else 0
    if asked < wanted:
        found = {0: "no open question", 1: "1 open question"}.get(asked, f"{asked} open questions")
        message = f"{found} in {minutes:.0f} minutes; {wanted} {'is' if wanted == 1 else 'are'} the least"
        mend = "ask what visitors can answer by looking, such as “What do you notice about …?”, and wait"
        yield Problem(NAME, message, mend, path=("slot",) if slot is not None else ("title",))


def _clock(case: Case, piece: Piece) -> int:
    """Seconds on the clock of a talk that has no slot."""
    spoken = sum(part_of(piece, beat, case.rules).seconds for beat in piece.beats)
    return clock_seconds(spoken, share=case.rules.share_of("talk"))


def is_open(text: str) -> bool:
    """Whether a sentence asks for more than yes, no, a name or a number, or bids visitors tell what they see."""
    if is_question(text):
        return OPENING.search(text) is not None
    return TELLING.search(text) is not None and OPENING.search(text) is not None and is_instruction(text)
