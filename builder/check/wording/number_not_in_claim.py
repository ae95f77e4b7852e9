"""number-not-in-claim: see number_not_in_claim.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.wording.ground import Ground, claim_place, grounds_of
from builder.model.piece import Piece, Sentence
from builder.problem import ERROR, Problem
from builder.weigh.number import Quantity, find_quantities, is_borne_out

NAME, SEVERITY, WAIVABLE, SCOPE = "number-not-in-claim", ERROR, False, "piece"
SHOWN = 4
"""How many of the known numbers the mend names."""
SOURCES = re.compile(
    r"\s(?:\w+\s){0,2}?(?:accounts?|articles?|authors?|books?|handbooks?|magazines?|naturalists?|observers?|pages|papers?"
    r"|reports?|reviews?|sources?|studies|surveys?|texts|travellers|witnesses|works|writers?|zoologists?)\b"
)

COUNTED = re.compile(r"\s[a-z]{3,}")
JOINED, CARRIED_ON = ".,-–−/±^", "-–−/±²³^"
"""Signs before and after a stretch of digits that make another number of it."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A number in a sentence that nothing that vouches for the sentence bears out."""
    for sentence in piece.sentences:
        if not (sentence.marks or sentence.cues):
            continue
        said = [quantity for quantity in find_quantities(sentence.text) if quantity.kind != "weak"]
        grounds = grounds_of(case, sentence) if said else ()
        if not grounds:
            continue
        for quantity in said:
            if quantity.kind == "ordinal":
                if _is_another_in_order(quantity, sentence.text, grounds):
                    yield _problem(case, sentence, quantity, grounds)
                continue
            if _is_quoted(quantity, sentence.text, grounds) or _counts_sources(quantity, sentence.text, grounds):
                continue
            known = [number for ground in grounds for _, number in ground.numbers]
            if quantity.low != quantity.high:
                known += [interval for ground in grounds for interval in ground.intervals]
            if not is_borne_out(quantity, known):
                yield _problem(case, sentence, quantity, grounds)


def _is_another_in_order(quantity: Quantity, text: str, grounds: tuple[Ground, ...]) -> bool:
    """Whether what vouches for "the second day" tells of other days in order, but not of that one."""
    after = COUNTED.match(text, quantity.end)
    if after is None:
        return False
    known = {
        other.low
        for ground in grounds
        for words in (*ground.texts, *ground.told)
        for other in find_quantities(words)
        if other.kind == "ordinal" and words.startswith(after[0], other.end)
    }
    return bool(known) and quantity.low not in known


def _is_quoted(quantity: Quantity, text: str, grounds: tuple[Ground, ...]) -> bool:
    """Whether the very words of a number stand in what vouches for it: the usual case, and quickly seen.

    A bare number must count the same thing, the word after it; a hedged one is left to be worked out.
    """
    end = quantity.end
    if quantity.hedge or (quantity.kind == "share" and not quantity.unit):
        return False
    if not quantity.unit and quantity.kind != "year":
        after = COUNTED.match(text, end)
        if after is None:
            return False
        end = after.end()
    words = text[quantity.start : end]
    for ground in grounds:
        for known in (*ground.texts, *ground.told):
            at = known.find(words)
            if at < 0 or (at and (known[at - 1].isalnum() or known[at - 1] in JOINED)):
                continue
            rest = known[at + len(words) : at + len(words) + 2]
            if not rest[:1].isalnum() and rest[:1] not in CARRIED_ON and not rest[1:].isdigit():
                return True
    return False


def _counts_sources(quantity: Quantity, text: str, grounds: tuple[Ground, ...]) -> bool:
    """“Three studies” is borne out where the claims name three sources or more: nobody need speak of all of them."""
    if quantity.unit or quantity.kind != "plain" or not SOURCES.match(text, quantity.end):
        return False
    return 1 < quantity.low <= quantity.high <= len(frozenset().union(*(ground.sources for ground in grounds)))


def _problem(case: Case, sentence: Sentence, quantity: Quantity, grounds: tuple[Ground, ...]) -> Problem:
    said = sentence.text[quantity.start : quantity.end]
    names = [f"`{mark.target}`" for mark in sentence.marks] or [f"the anatomy note `{cue}`" for cue in sentence.cues]
    numbers = [number for ground in grounds for number in ground.numbers]
    near = [text for text, known in numbers if text and known.unit == quantity.unit and known.kind != "weak"]
    if near:
        choice = ", ".join(f"`{text}`" for text in list(dict.fromkeys(near))[:SHOWN])
        mend = f"give a number that is there ({choice}), or add this one with the source that found it"
    else:
        mend = "leave the number out, or add it to what the sentence rests on with the source that found it"
    also = tuple(row for mark in sentence.marks for row in claim_place(case, mark.target))
    message = f"nothing in {' or '.join(names)} bears out `{said}`"
    return Problem(NAME, message, mend, spot=sentence.spot_of(quantity.start, quantity.end), also=also)
