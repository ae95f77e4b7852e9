"""numbers-disagree: see numbers_disagree.md"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from builder.check.case import Case
from builder.check.wording.gist import gist, stem
from builder.check.wording.ground import claim_place, grounds_of
from builder.model.piece import Sentence
from builder.problem import ERROR, Place, Problem, Spot
from builder.resolve import Node, claim_node
from builder.weigh.number import Quantity, are_alike, find_quantities, is_borne_out

NAME, SEVERITY, WAIVABLE = "numbers-disagree", ERROR, True
SHARE = 0.6
"""From this share of content words in common two sentences tell the same thing (our choice)."""
NEXT_WORDS = re.compile(r"[\s-]*((?:[^\W\d_]+[\s-]*){1,3})")


@dataclass(frozen=True, eq=False)
class _Telling:
    """One sentence that a claim vouches for; `own` are the stems that name what the record is about."""

    file: str
    piece: str
    sentence: Sentence
    own: frozenset[str]

    @cached_property
    def quantities(self) -> tuple[Quantity, ...]:
        found = find_quantities(self.sentence.text)
        return tuple(quantity for quantity in found if quantity.kind not in ("weak", "ordinal"))

    @cached_property
    def stems(self) -> frozenset[str]:
        """Its content words without the numbers."""
        text = self.sentence.text
        for quantity in sorted(self.quantities, key=lambda quantity: -quantity.start):
            text = f"{text[: quantity.start]} {text[quantity.end :]}"
        return frozenset(gist(text)) - self.own

    def counted(self, quantity: Quantity) -> frozenset[str]:
        """The stems of the words after a bare number: what it counts."""
        found = NEXT_WORDS.match(self.sentence.text, quantity.end)
        return frozenset(map(stem, found[1].lower().replace("-", " ").split())) if found else frozenset()


_Side = tuple[_Telling, Quantity]
"""A number, and the sentence that states it."""


def check(case: Case) -> Iterator[Problem]:
    """Two texts that state different numbers for the same thing, by the same claim."""
    said: set[tuple[str, Spot]] = set()
    for node, tellings in _tellings(case).items():
        pairs = list(_pairs(case, tellings))
        while pairs:
            # one mistake is one problem: the number that nothing bears out, else that which most others are against
            sides = {side: None for pair in pairs for side in pair if _is_here(case, side[0])}
            if not sides:
                break
            against = Counter(side for pair in pairs for side in pair)
            guilty = max(enumerate(sides), key=lambda row: (not _is_known(case, *row[1]), against[row[1]], row[0]))[1]
            others = [one if other == guilty else other for one, other in pairs if guilty in (one, other)]
            pairs = [pair for pair in pairs if guilty not in pair]
            spot = _spot(guilty)
            if (guilty[0].file, spot) not in said:
                said.add((guilty[0].file, spot))
                yield _problem(case, node, guilty, others)


def _pairs(case: Case, tellings: list[_Telling]) -> Iterator[tuple[_Side, _Side]]:
    for first, second in combinations(tellings, 2):
        if first.piece == second.piece or not (first.quantities and second.quantities):
            continue
        if not first.stems & second.stems:
            continue
        pair = _disagreement(first, second, tellings)
        if pair is None:
            continue
        mine, theirs = (first, pair[0]), (second, pair[1])
        if _tell_the_same(first, second) or not (_is_known(case, *mine) and _is_known(case, *theirs)):
            yield mine, theirs


def _tellings(case: Case) -> dict[Node, list[_Telling]]:
    """Every sentence with a number, by the claims that vouch for it, those of the record that owns a claim too."""
    record = case.record
    own = frozenset(gist(" ".join(filter(None, (record.name.common, record.name.scientific)))))
    found: dict[Node, list[_Telling]] = {}

    def add(home: str, folder: str, file: str, piece: str, sentences: tuple[Sentence, ...]) -> None:
        for sentence in sentences:
            telling = _Telling(f"{folder}/{file}", f"{folder}/{piece}", sentence, own)
            for target in dict.fromkeys(mark.target for mark in sentence.marks):
                found.setdefault(claim_node(home, target), []).append(telling)

    for index, (file, piece) in enumerate(case.texts):
        add(case.subject.id, case.subject.loaded.folder, file, f"{index}", piece.sentences)
    for other in sorted({node.record for node in found} - {case.subject.id}):
        loaded = case.library.fetch(other)
        for piece in loaded.pieces.values() if loaded else ():
            add(other, loaded.folder if loaded else "", f"{piece.id}.md", piece.id, piece.sentences)
    return {node: tellings for node, tellings in found.items() if any(_is_here(case, one) for one in tellings)}


def _is_here(case: Case, telling: _Telling) -> bool:
    return telling.file.startswith(f"{case.subject.loaded.folder}/")


def _disagreement(first: _Telling, second: _Telling, tellings: list[_Telling]) -> tuple[Quantity, Quantity] | None:
    """The one number in which two sentences differ that speak of the same; None where they do not."""
    alone = [one for one in first.quantities if _differs(one, first, second)]
    other = [one for one in second.quantities if _differs(one, second, first)]
    if len(alone) != 1 or len(other) != 1:
        return None  # where two numbers differ, one of them may be what the other depends on
    mine, theirs = alone[0], other[0]
    if not _comparable(mine, first, theirs, second):
        return None
    for quantity, piece in ((mine, second.piece), (theirs, first.piece)):
        there = [known for telling in tellings if telling.piece == piece for known in telling.quantities]
        if any(_agrees(quantity, known) for known in there):
            return None  # the other text states this number too, in another sentence
    return mine, theirs


def _tell_the_same(first: _Telling, second: _Telling) -> bool:
    return len(first.stems & second.stems) >= SHARE * min(len(first.stems), len(second.stems))


def _differs(quantity: Quantity, here: _Telling, there: _Telling) -> bool:
    rivals = [other for other in there.quantities if _comparable(quantity, here, other, there)]
    return bool(rivals) and not any(_agrees(quantity, other) for other in rivals)


def _comparable(one: Quantity, here: _Telling, other: Quantity, there: _Telling) -> bool:
    """Whether two numbers measure the same: in kind, and where they are bare, in what they count."""
    if (one.kind == "year") != (other.kind == "year") or not are_alike(one, other):
        return False
    if one.unit or one.kind in ("year", "share"):
        return True
    return bool(here.counted(one) & there.counted(other))


def _agrees(one: Quantity, other: Quantity) -> bool:
    return is_borne_out(one, [other]) or is_borne_out(other, [one])


def _is_known(case: Case, telling: _Telling, quantity: Quantity) -> bool:
    """Whether what vouches for a sentence bears the number out; what stands in another record is taken at its word."""
    if not _is_here(case, telling):
        return True
    known = [number for ground in grounds_of(case, telling.sentence) for _, number in ground.numbers]
    return is_borne_out(quantity, known)


def _spot(side: _Side) -> Spot:
    return side[0].sentence.spot_of(side[1].start, side[1].end)


def _words(side: _Side) -> str:
    return side[0].sentence.text[side[1].start : side[1].end]


def _problem(case: Case, node: Node, guilty: _Side, others: list[_Side]) -> Problem:
    """The number at its place, and every number that it disagrees with at theirs."""
    name = node.id if node.record == case.subject.id else f"{node.record}.{node.id}"
    also = []
    for side in others:
        spot = _spot(side)
        also.append((f"`{_words(side)}`", Place(side[0].file, spot.line, spot.column, spot.length)))
    files: dict[str, dict[str, None]] = {}
    for side in others:
        files.setdefault(_words(side), {})[side[0].file.rsplit("/", 1)[-1]] = None
    there = ", ".join(f"`{words}` in {' and '.join(names)}" for words, names in files.items())
    return Problem(
        NAME,
        f"`{_words(guilty)}` here and {there}, by the same claim `{name}`",
        "look up which is so and write that in all of them, or say in each what its number is of",
        spot=_spot(guilty),
        file=guilty[0].file.removeprefix(f"{case.subject.loaded.folder}/"),
        also=(*dict.fromkeys(also), *claim_place(case, name)),
    )
