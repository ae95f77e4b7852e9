"""Whether a text tells a belief over again, and whether it tells it to deny it.

In: a belief, a text, and the words that name the animal or thing itself, which a text may leave out or replace. Out:
yes or no. The measure is the share of the belief's content words that the text holds; no meaning is understood, so a
retelling in quite other words passes.
"""

from __future__ import annotations

import re

from builder.check.wording.gist import gist, holds
from builder.model.record import Claim, Record

SHARE = 0.75
"""From this share of a belief's content words a text tells it (our choice)."""
_DENIAL = re.compile(
    r"\b(?:no|not|never|none|nor|neither|nobody|nothing|without|cannot|hardly|instead|rather than|far from|wrong(?:ly)?"
    r"|false(?:ly)?|untrue|mistake|mistaken(?:ly)?|unjust|absurd|myth|disproved?|refuted?|ruled out|unfounded"
    r"|no longer)\b|n['’]t\b",
    re.IGNORECASE,
)
_TURN = re.compile(
    r"\b(?:but|yet|however|though|although|whereas|in fact|in truth|really|only a|a tale|a mistake)\b", re.IGNORECASE
)


def own_words(record: Record) -> frozenset[str]:
    """The stems that name what the record is about: its common and scientific name, and the general words for it."""
    name = record.name
    text = " ".join(filter(None, (name.common, name.scientific)))
    return frozenset(gist(text)) | {"bird", "animal", "creatur", "beast", "insect", "plant", "fish", "snak"}


def tells(text: str, belief: str, *, own: frozenset[str] = frozenset(), brief: bool = False) -> bool:
    """Whether `text` says what `belief` says. With `brief`, words lifted out of the belief in its order do as well."""
    wanted = tuple(dict.fromkeys(gist(belief)))
    said = gist(text)
    if not said or not wanted or denies(text) != denies(belief):
        return False
    short = tuple(word for word in wanted if word not in own)
    if len(short) > 1:
        wanted = short
        if brief:
            said = tuple(word for word in said if word not in own)
    found = [word for word in wanted if holds(said, word)]
    if len(wanted) > 1 and len(found) >= SHARE * len(wanted):
        return True
    return brief and len(said) > 1 and set(said) <= set(wanted) and list(dict.fromkeys(said)) == found


def denies(text: str) -> bool:
    """Whether a text denies something: it holds a word of negation or of error."""
    return _DENIAL.search(text) is not None


def refutes(text: str) -> bool:
    """Whether a sentence turns against what it tells: it denies something or sets a "but" beside it."""
    return denies(text) or _TURN.search(text) is not None


def is_popular_error(claim: Claim) -> bool:
    """Whether a claim answers a belief that does not simply hold; leads are no answers."""
    return claim.belief is not None and not claim.lead and claim.stands != "holds"
