"""Whether a text tells a belief over again, and whether it tells it to deny it.

In: the beliefs of a record's claims, and a text. Out: yes or no. The measure is the share of the belief's content words
that the text holds, those left out that name the animal or thing itself, which a text may replace by "it". No meaning
is understood, so a retelling in quite other words passes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from builder.check.case import Case
from builder.check.wording.gist import count_shared, gist
from builder.model.record import Record
from builder.weigh.wording import has_negation

SHARE = 0.75
"""From this share of a belief's content words a text tells it (our choice)."""
KINDS = frozenset(["animal", "beast", "bird", "creatur", "fish", "insect", "plant", "snak"])
"""Stems of the words that stand for the animal in the text about it."""
_ERROR = re.compile(
    r"\b(?:wrong(?:ly)?|false(?:ly)?|untrue|mistake|mistaken(?:ly)?|unjust|absurd|myth|disproved?|refute[sd]?|ruled out"
    r"|unfounded|misle[da]\w*|misread\w*|mis(?:took|taken|heard)|confus\w+|hardly|instead|rather than|far from"
    r"|innocent)\b",
    re.IGNORECASE,
)
_TURN = re.compile(r"\b(?:but|yet|however|though|although|whereas|in fact|in truth)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Belief:
    """A belief that does not simply hold: its claim, its words, the stems to look for, the words it may do without."""

    claim: str
    text: str
    stems: tuple[str, ...]
    own: frozenset[str]
    denies: bool


def beliefs_of(case: Case, targets: Iterable[str]) -> tuple[Belief, ...]:
    """The beliefs of those claims, as marks name them; a lead answers none, and a belief that holds may be told."""
    known = case.subject.remembered
    found = []
    for target in targets:
        key = f"belief {target}"
        if key not in known:
            known[key] = _read_belief(case, target)
        belief = known[key]
        if isinstance(belief, Belief):
            found.append(belief)
    return tuple(found)


def _read_belief(case: Case, target: str) -> Belief | None:
    claim, record = case.subject.claim(target), case.subject.owner(target)
    if claim is None or record is None or not claim.belief or claim.lead or claim.stands == "holds":
        return None
    stems, own = tuple(dict.fromkeys(gist(claim.belief))), _own_words(record)
    short = tuple(stem for stem in stems if stem not in own)
    if len(short) > 2:
        stems = short
    elif len(short) < 2:
        own = frozenset()
    return Belief(target, claim.belief, stems, own, denies(claim.belief)) if len(stems) > 1 else None


def _own_words(record: Record) -> frozenset[str]:
    """The stems that name what the record is about."""
    return KINDS | set(gist(" ".join(filter(None, (record.name.common, record.name.scientific)))))


def tells(text: str, belief: Belief, *, brief: bool = False) -> bool:
    """Whether `text` says what people believe. With `brief`, words lifted out of the belief in its order do as well."""
    said = gist(text)
    shared = count_shared(belief.stems, said)
    if shared < 2:
        return False
    told = shared >= SHARE * len(belief.stems)
    if not told and brief:
        rest = list(dict.fromkeys(stem for stem in said if stem not in belief.own))
        told = len(rest) > 1 and rest == [stem for stem in belief.stems if stem in rest]
    return told and denies(text) == belief.denies


def denies(text: str) -> bool:
    """Whether a text denies something: it holds a word of negation or of error."""
    return has_negation(text) or _ERROR.search(text) is not None


def refutes(text: str) -> bool:
    """Whether a sentence turns against what it tells: it denies something or sets a "but" beside it."""
    return denies(text) or _TURN.search(text) is not None
