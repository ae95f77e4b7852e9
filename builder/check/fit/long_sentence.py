"""long-sentence: see long_sentence.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.fit.length import count_words, is_spoken
from builder.model.piece import Piece
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "long-sentence", WARNING, True, "piece"
RATIO = (7, 5)
"""The error stands to the warning as 35 to 25 (our choice)."""
JOINT = re.compile(
    r"[;:]\s|\s[–—]\s|,?\s(?=(?:and|but|so|yet|or|which|who|whose|where|when|while|because|since|although|though"
    r"|whereas|after|before|until|if)\s)"
)
"""Where a sentence can be cut in two."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A sentence of more words than a reader, or a listener, holds together."""
    written = case.rules.sentence_words
    error = (written * RATIO[0] * 2 + RATIO[1]) // (RATIO[1] * 2)
    for block in piece.blocks:
        if block.kind == "heading":
            continue
        spoken = is_spoken(piece, block)
        warn = case.rules.spoken_sentence_words if spoken else written
        for sentence in block.sentences:
            if sentence.text.count(" ") < warn:
                continue
            words = count_words(sentence.text)
            if words > warn:
                severity = ERROR if words > max(error, warn) else WARNING
                limit = max(error, warn) if severity is ERROR else warn
                said = "a spoken sentence" if spoken else "a sentence"
                message = f"{said} of {words} words; {limit} is the most"
                yield Problem(NAME, message, _mend(sentence.text), spot=sentence.spot, severity=severity)


def _mend(text: str) -> str:
    """Cut it at the joint nearest to its middle."""
    joints = [found.end() for found in JOINT.finditer(text)]
    if not joints:
        return "cut it in two, one idea in each"
    at = min(joints, key=lambda place: (abs(2 * place - len(text)), place))
    return f"cut it in two, perhaps before “{' '.join(text[at:].split()[:4])}…”"
