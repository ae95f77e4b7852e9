"""name-not-italic: see name_not_italic.md"""

import re
from collections.abc import Iterator
from functools import lru_cache

from builder.check.case import Case
from builder.model.piece import Piece, Sentence
from builder.model.record import Record, Taxon
from builder.problem import WARNING, Problem
from builder.weigh.name import Name, read_name

NAME, SEVERITY, WAIVABLE, SCOPE = "name-not-italic", WARNING, True, "piece"
ABOVE_GENUS = re.compile(r"\b[A-Z][a-z]+(?:idae|inae|oidea|iformes|aceae|ales)\b")
"""Endings of families, subfamilies, superfamilies (ICZN Art. 29.2), of orders of birds and fishes, and of plants."""
OPEN = re.compile(r"\b(?:spp?|cf|aff|nov|subsp)\.")


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A genus or species name set upright, or set in italics what stands above the genus or beside the name."""
    names = _names(case)
    for block in piece.blocks:
        for sentence in block.sentences:
            text = sentence.text
            for word, pattern in names:
                if word in text:
                    yield from _upright(sentence, pattern)
            if len(sentence.spans) > 1 or (sentence.spans and sentence.spans[0].style):
                yield from _slanted(sentence, case.record.name)


def _upright(sentence: Sentence, pattern: re.Pattern[str]) -> Iterator[Problem]:
    italic = _italic(sentence)
    for match in pattern.finditer(sentence.text):
        start, end = match.span()
        if not any(low <= start and end <= high for low, high in italic):
            yield Problem(
                NAME,
                f"`{match.group()}` stands upright",
                f"write `*{match.group()}*`: names of genera and species are set in italics",
                spot=sentence.spot_of(start, end),
            )


def _slanted(sentence: Sentence, name: Taxon) -> Iterator[Problem]:
    """Italics that cover a family, an author or "sp."."""
    authority = name.authority or ""
    author = re.split(r"[\s,]", authority.strip("()"))[0]
    for low, high in _italic(sentence):
        text = sentence.text[low:high]
        above = ABOVE_GENUS.search(text)
        if above is None and name.family and name.family in text:
            above = re.search(re.escape(name.family), text)
        beside = OPEN.search(text)
        if beside is None and author and name.scientific and name.scientific.split()[0] in text:
            beside = re.search(rf"\b{re.escape(author)}\b", text)
        for found, what in ((above, "names above the genus"), (beside, "authors, years, “sp.” and “cf.”")):
            if found:
                yield Problem(
                    NAME,
                    f"`{found.group()}` stands in italics",
                    f"take it out of the asterisks: {what} stand upright",
                    spot=sentence.spot_of(low + found.start(), low + found.end()),
                )


def _italic(sentence: Sentence) -> list[tuple[int, int]]:
    """The stretches of a sentence in italics, those that touch joined."""
    found: list[tuple[int, int]] = []
    at = 0
    for span in sentence.spans:
        end = at + len(span.text)
        if "em" in span.style.split():
            if found and found[-1][1] == at:
                found[-1] = (found[-1][0], end)
            else:
                found.append((at, end))
        at = end
    return found


def _names(case: Case) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """A word to look for first, and the pattern, for the names of this record and of those it refers to."""
    records = [case.record, *(_record(case, other) for other in sorted(case.subject.other_records))]
    texts = [
        text for record in records if record for text in (record.name.scientific, record.name.described_as) if text
    ]
    return tuple(pair for text in dict.fromkeys(texts) for pair in _patterns(text))


def _record(case: Case, other: str) -> Record | None:
    loaded = case.library.fetch(other)
    return loaded.record if loaded else None


@lru_cache(maxsize=1024)
def _patterns(scientific: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """The ways a name occurs in prose: whole, its genus shortened, and its genus alone, but not as a sentence's first
    word, where it may be the common name (Gorilla, Bison)."""
    name = read_name(scientific)
    if not isinstance(name, Name):
        return ()
    genus, rest = re.escape(name.genus), r"\s".join(map(re.escape, name.epithets))
    alone = (name.genus, re.compile(rf"(?<!^)(?<![.?!]\s)(?<!\w)(?<!“){genus}(?!\w)(?!\s{rest or '(?!)'})"))
    if not rest:
        return (alone,)
    whole = re.compile(rf"(?<!\w)(?:{genus}|{genus[0]}\.)\s{rest}(?!\w)")
    return (name.epithets[0], whole), alone
