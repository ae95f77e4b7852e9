"""sentence-without-claim: see sentence_without_claim.md"""

from collections import Counter
from collections.abc import Iterator

from rapidfuzz import fuzz

from builder.check.case import Case
from builder.check.wording.gist import gist
from builder.model.piece import Piece, Sentence
from builder.model.record import Claim, SourceEvidence
from builder.problem import ERROR, Problem
from builder.weigh.wording import is_instruction, is_question

NAME, SEVERITY, WAIVABLE, SCOPE = "sentence-without-claim", ERROR, False, "piece"
NAMED = 3
"""How many claims a mend names."""
CLOSE = 0.25
"""Share of a sentence's content words, weighed, from which a claim is worth naming (our choice)."""
NEAR = 0.25
"""What is added to that share for a claim that a sentence beside it rests on (our choice)."""
_SHORT = """
yes|no|perhaps|maybe|partly|in part|yes and no|not quite|not really|not at all|not exactly|not always|no longer|probably
|probably not|perhaps not|we do not know|nobody knows
"""
SHORT_ANSWERS = frozenset(_SHORT.replace("\n", "").split("|"))
"""What may stand before the sentence that bears it out, without a mark of its own."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A sentence that asserts something and that nothing vouches for."""
    for block in piece.blocks:
        if block.kind == "heading":
            continue
        for index, sentence in enumerate(block.sentences):
            if sentence.marks or sentence.cues or sentence.aside:
                continue
            if is_question(sentence.text) or is_instruction(sentence.text):
                continue
            following = block.sentences[index + 1 : index + 2]
            if leans_on_next(sentence, following):
                continue
            beside = (*block.sentences[max(index - 1, 0) : index], *following)
            near = frozenset(mark.target for other in beside for mark in other.marks)
            message = f"nothing vouches for “{shorten(sentence.text)}”"
            yield Problem(NAME, message, _mend(case, sentence.text, near), spot=sentence.spot)


def leans_on_next(sentence: Sentence, following: tuple[Sentence, ...]) -> bool:
    """Whether a sentence is a bare yes or no, and the next of its paragraph, which bears it out, is vouched for."""
    if not following or not (following[0].marks or following[0].cues):
        return False
    return sentence.text.lower().strip(" .,!:;—–…").replace(",", "") in SHORT_ANSWERS


def shorten(text: str, *, most: int = 60) -> str:
    """The text, cut at a word when it is longer than `most` characters."""
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + "…"


def _mend(case: Case, text: str, near: frozenset[str]) -> str:
    marks = " or ".join(f"`[^{key}]`" for key in closest_claims(case, text, near=near))
    if marks:
        return f"add {marks} after its stop if that claim says so; else write the claim, or mark it `[^aside]`"
    return "write the claim in record.yml and mark the sentence with it, or mark it `[^aside]` if it asserts nothing"


def closest_claims(case: Case, text: str, *, near: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """The claims of the record that come closest to a sentence, best first.

    A claim is measured by the share it holds of the sentence's content words, each weighed by how few of the record's
    claims have it, with something added for those `near`, which the sentences beside it rest on; the likeness of the
    wording settles what is left.
    """
    words = _words_of_claims(case)
    wanted = frozenset(gist(text))
    spread = Counter(stem for stems in words.values() for stem in wanted & stems)
    weights = {stem: 1 / spread[stem] if spread[stem] else 0.5 for stem in wanted}
    whole = sum(weights.values()) or 1.0
    ranked = []
    for order, (key, stems) in enumerate(words.items()):
        share = sum(weights[stem] for stem in wanted & stems) / whole + NEAR * (key in near)
        if share >= CLOSE:
            likeness = fuzz.token_set_ratio(text, case.record.claims[key].statement or "")
            ranked.append((-share, -likeness, order, key))
    return tuple(key for *_, key in sorted(ranked)[:NAMED])


def _words_of_claims(case: Case) -> dict[str, frozenset[str]]:
    known = case.subject.remembered.get("words of claims")
    if isinstance(known, dict):
        return known
    words = {key: frozenset(gist(_text_of(claim))) for key, claim in case.record.claims.items() if not claim.lead}
    case.subject.remembered["words of claims"] = words
    return words


def _text_of(claim: Claim) -> str:
    parts = [claim.statement, claim.belief, claim.why]
    for evidence in claim.evidence:
        parts += [evidence.finds, evidence.quote if isinstance(evidence, SourceEvidence) else None]
    parts += [telling.told for telling in claim.history]
    return " ".join(filter(None, parts))
