"""unexplained-term: see unexplained_term.md"""

import re
from collections.abc import Iterator, Mapping, Sequence

from builder.check.case import Case
from builder.check.wording.gist import gist, stem
from builder.check.wording.jargon import JARGON
from builder.model.piece import Piece, Sentence
from builder.problem import WARNING, Problem
from builder.weigh.wordlist import words_in

NAME, SEVERITY, WAIVABLE, SCOPE = "unexplained-term", WARNING, True, "piece"
NAMED = re.compile(
    r"(?:\b(?:called|named|termed|known as|or|so-called|word|term|name)\s(?:an?\s|the\s|its\s|their\s)?"
    r"|\(\s*(?:the\s|an?\s)?|[“\"‘'])$"
)
"""Before the term: it is given as the name of what was just described."""
GLOSSED = re.compile(
    r"[”\"’']?\s?(?:\(|[–—:]|,\s(?:or|an?|the|that is|i\.e\.|which"
    r"|where|its?|their|made|used|shaped)\s|means?\b|(?:is|are)\s(?:an?|the)\b)"
)
"""After the term: what it is."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A word of the trade, in a text people read for themselves, that neither it nor the glossary explains."""
    if piece.front.piece not in ("label", "page") or case.pieces.get(piece.id) is not piece:
        return
    sentences = [sentence for block in piece.blocks for sentence in block.sentences]
    terms = _terms_in(case, [sentence.text for sentence in sentences])
    for term, plain in terms.items():
        pattern = re.compile(rf"\b{re.escape(term)}\b", re.IGNORECASE)
        for sentence in sentences:
            found = pattern.search(sentence.text)
            if found is None:
                continue
            if not _explained(sentence, found):
                mend = f"say “{plain}”" if plain else "say it in everyday words"
                yield Problem(
                    NAME,
                    f"`{found.group()}` is a word of the trade, and nothing here says what it is",
                    f"{mend}, explain it in the same sentence, or add `{term}` to glossary.yml",
                    spot=sentence.spot_of(*found.span()),
                )
            break  # told once, it is told


def _terms_in(case: Case, texts: Sequence[str]) -> Mapping[str, str]:
    """The terms that occur and that the glossary lacks: ours, and those of anatomy notes that need a sound-spelling."""
    terms: dict[str, str] = {}
    for text in texts:
        found = JARGON.keys() & words_in(text)
        terms.update((word, JARGON[word]) for word in sorted(found))
    for note in case.record.anatomy.values():
        if note.say and any(note.term.lower() in text.lower() for text in texts):
            terms.setdefault(note.term.lower(), "")
    if not terms:
        return terms
    known = {one for key in case.library.glossary for one in gist(key)}
    return {term: plain for term, plain in terms.items() if not any(stem(word) in known for word in term.split())}


def _explained(sentence: Sentence, found: re.Match[str]) -> bool:
    if NAMED.search(sentence.text[: found.start()]) or GLOSSED.match(sentence.text, found.end()):
        return True
    at = 0
    for span in sentence.spans:  # a cue shows what the word means
        end = at + len(span.text)
        if span.target.startswith("look:") and at <= found.start() < end:
            return True
        at = end
    return False
