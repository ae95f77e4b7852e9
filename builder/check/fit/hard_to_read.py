"""hard-to-read: see hard_to_read.md"""

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from builder.check.case import Case
from builder.check.fit.length import is_spoken
from builder.model.piece import Piece, Sentence
from builder.problem import WARNING, Place, Problem
from builder.weigh.reading import LEAST_WORDS, flesch_kincaid_grade, measure_reading, split_words, syllables

NAME, SEVERITY, WAIVABLE, SCOPE = "hard-to-read", WARNING, True, "piece"
WORST = 3
"""How many sentences are named."""
LONG_WORDS = 6
"""How many long words are named."""
CAPITAL = re.compile(r"[^\W\d_a-z](?<=[\w,;:)’”] \w)(?<!I\b)\w*(?:[-’'.]\w+)*")
"""A capital inside a sentence: a person, a place, a title. It begins with the capital, to which a search leaps."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A text of a hundred words or more above the school grade, or below the ease, that the house allows."""
    sentences = [
        sentence
        for block in piece.blocks
        if block.kind != "heading" and (piece.front.piece in ("label", "page") or is_spoken(piece, block))
        for sentence in block.sentences
    ]
    if sum(sentence.text.count(" ") + 1 for sentence in sentences) < LEAST_WORDS:
        return
    names = tuple(_names(case, sentences))
    reading = measure_reading(tuple(sentence.text for sentence in sentences), strip=names)
    if reading.grade is None or reading.ease is None:
        return
    rules = case.rules
    faults = []
    if Decimal(reading.grade) > rules.reading_grade:
        faults.append(f"a school grade of {reading.grade:.1f}, with {rules.reading_grade:f} the most")
    if Decimal(reading.ease) < rules.reading_ease:
        faults.append(f"a reading ease of {reading.ease:.0f}, with {rules.reading_ease:f} the least")
    if not faults:
        return
    first, *others = _worst(sentences)
    file = f"{case.subject.loaded.folder}/{piece.id}.md"
    also = tuple((f"hard sentence {n}", Place(file, s.spot.line, s.spot.column)) for n, s in enumerate(others, 2))
    mend = "cut this sentence and those named below it"
    if reading.long_words:
        mend += f", and look for shorter words than {', '.join(f'“{word}”' for word in _longest(reading.long_words))}"
    yield Problem(NAME, f"the text has {' and '.join(faults)}", mend, spot=first.spot, also=also)


def _names(case: Case, sentences: Iterable[Sentence]) -> Iterator[str]:
    """Names of animals, people and places, which nobody can replace by a shorter word."""
    name = case.record.name
    for text in (name.scientific, name.authority, name.family, name.order):
        yield from (text or "").replace(",", " ").split()
    for sentence in sentences:
        yield from CAPITAL.findall(sentence.text)
        yield from (span.text for span in sentence.spans if span.style == "em")


def _worst(sentences: Iterable[Sentence]) -> list[Sentence]:
    """The sentences that would have the highest grade alone, the hardest first."""

    def grade(sentence: Sentence) -> float:
        words = split_words(sentence.text)
        return -flesch_kincaid_grade(len(words), 1, sum(map(syllables, words))) if words else 0.0

    return sorted(sentences, key=grade)[:WORST]


def _longest(words: Iterable[str]) -> list[str]:
    plain = dict.fromkeys(word.lower() for word in words if word.isalpha())
    return sorted(plain, key=lambda word: (-syllables(word), -len(word), word))[:LONG_WORDS]
