"""How grave a change of words is: what no easier sentence may change unseen.

In: a part's name, its words then and now. Out: the marks of what the change touches: number, unit, negation, certainty,
name, source, evidence, place, image, hazard, date, person; none for a change of other words. A doubtful one is marked.

The list is that of what always re-opens an approval (common practice, no published source).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from builder.weigh.quantity import Quantity, find_quantities
from builder.weigh.unitword import read_unit
from builder.weigh.wording import absolute_words, has_hedge, has_negation

TOKEN = re.compile(r"\w+(?:[.,:/’'\u2010\u2011-]\w+)*|\s+|[^\w\s]")
DENIALS = frozenset(
    "no not never none nobody nothing nowhere neither nor without cannot lack lacks lacked lacking".split()
)
MONTHS = frozenset("january february march april may june july august september october november december".split())
PLAIN_STARTS = frozenset(
    "a an the this that these those it its in on at of and but or so if when while where as for with from by to we our "
    "you your they their he she his her there here then most some many few all no not".split()
)
WHOLE = {
    "name": "name",
    "care": "hazard",
    "handling": "hazard",
    "figures": "image",
    "sources": "source",
    "diets": "number",
    "sums": "number",
    "front/author": "person",
    "front/date": "date",
}
"""Parts of which every change is grave, by the start of their name."""
IN_CLAIM = {"evidence": "evidence", "held_by": "source", "history": "source", "weight": "evidence"}
IN_OBJECT = {
    "place": "place", "withheld": "place", "identified": "person", "people": "person", "catalogue number": "name",
    "preparation": "name", "collection": "name", "caution": "hazard",
}  # fmt: skip


def gravity(name: str, then: str, now: str, *, names: Collection[str] = ()) -> tuple[str, ...]:
    """The marks of what a change of one part touches; `names` are words that are names though they look plain."""
    section, _, rest = name.partition("/")
    found = {mark for start, mark in WHOLE.items() if name == start or section == start}
    if section == "claims":
        _, _, inner = rest.partition("/")
        found |= {IN_CLAIM[kind] for kind in (inner.partition("/")[0],) if kind in IN_CLAIM}
        if not inner and _row(then, "stands") != _row(now, "stands"):
            found.add("evidence")
    elif section == "cues" and "/sources/" in name:
        found.add("source")
    elif section == "cues" and any(_row(then, key) != _row(now, key) for key in ("figure", "x", "y")):
        found.add("image")
    elif section == "objects":
        found |= {mark for key, mark in IN_OBJECT.items() if _row(then, key) != _row(now, key)}
    elif section in ("text", "questions") and _marks(then) != _marks(now):
        found.add("evidence")
    return tuple(sorted(found | words_gravity(then, now, names=names)))


def words_gravity(then: str, now: str, *, names: Collection[str] = ()) -> set[str]:
    """What the change of words touches, whatever part they stand in."""
    found = set()
    before, after = find_quantities(then), find_quantities(now)
    if [_amount(q) for q in before] != [_amount(q) for q in after]:
        found.add("number")
    if sorted(q.unit for q in before) != sorted(q.unit for q in after):
        found.add("unit")
    if has_negation(then) != has_negation(now):
        found.add("negation")
    if has_hedge(then) != has_hedge(now) or _absolutes(then) != _absolutes(now):
        found.add("certainty")
    was, becomes = tokens(then), tokens(now)
    changed = [(word, was) for word in _lost(was, becomes)] + [(word, becomes) for word in _lost(becomes, was)]
    for word, text in changed:
        found |= _word_gravity(word, text, names)
    return found


def tokens(text: str) -> list[str]:
    """Words, signs and blanks of a text, in order, nothing lost."""
    return TOKEN.findall(text)


def _word_gravity(word: str, text: Sequence[str], names: Collection[str]) -> set[str]:
    lower = word.lower()
    found = set()
    if any(character.isnumeric() for character in word):
        found.add("date" if re.fullmatch("1[0-9]{3}|20[0-9]{2}", word) else "number")
        found.add("number")
    if read_unit(f" {word}", 0)[0] or word in "%‰°µ£$€":
        found.add("unit")
    if lower in DENIALS or lower.endswith(("n't", "n’t")):
        found.add("negation")
    if lower in MONTHS and word[:1].isupper():
        found.add("date")
    if lower in names or (word[:1].isupper() and not (lower in PLAIN_STARTS and _opens(word, text))):
        found.add("name")
    return found


def _opens(word: str, text: Sequence[str]) -> bool:
    """Whether the word is the first of its sentence."""
    before = [token for token in text[: text.index(word)] if not token.isspace()]
    return not before or before[-1] in ".!?:“‘\"'"


def _lost(then: Sequence[str], now: Sequence[str]) -> list[str]:
    """The words of the one that the other has fewer times."""
    left = list(now)
    lost = []
    for word in then:
        if word in left:
            left.remove(word)
        elif not word.isspace():
            lost.append(word)
    return lost


def _amount(quantity: Quantity) -> tuple[object, ...]:
    return (quantity.low, quantity.high, quantity.hedge)


def _absolutes(text: str) -> list[str]:
    return sorted(word for word, _, _ in absolute_words(text))


def _row(text: str, key: str) -> str:
    """What stands under a key in the words of a part, inner rows with it."""
    found = re.search(rf"^{re.escape(key)}:(.*(?:\n .*)*)", text, re.MULTILINE)
    return found[1] if found else ""


def _marks(text: str) -> list[str]:
    """What a sentence rests on."""
    found = re.search(r"^\[(.*)\]$", text, re.MULTILINE)
    return sorted(mark for mark in found[1].split("; ") if not mark.startswith("leads to")) if found else []
