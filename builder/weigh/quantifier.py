"""How much of a whole a sentence speaks of, or how often: some, many, most, nearly all; sometimes, often, usually.

In: the visible text of one English sentence. Out: its quantifiers with their strength, what they speak of and where
they stand. Refuses nothing; a wording that is not listed is none.

The order is that of the scales of Horn, as Levinson has them: all, most, many, some; always, often, sometimes
(L. R. Horn, 1972, On the Semantic Properties of Logical Operators in English, cited by S. C. Levinson, Pragmatics,
1983, pp. 133–134; seen in the SIL Glossary of Linguistic Terms, "implicational scale"). What stands higher says all
that stands lower, and more. "Nearly all" above "most" and "usually" above "often" are our own, and so is which words
count as which. "Few" belongs to another scale, that of "none", and is left alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.weigh.wordlist import heedless, word_set, words_in

SOME, MANY, MOST, NEARLY_ALL = 1, 2, 3, 4


@dataclass(frozen=True, slots=True)
class Quantifier:
    """A quantifier at text[start:end]: of the scale `time` (how often) or not (how much), how strong, from 1 to 4, and
    `near`, the stretch after it that holds what it speaks of."""

    time: bool
    strength: int
    near: str
    start: int
    end: int


_ALMOST = r"(?:almost|nearly|virtually|practically)\s+"
_NO_SUPERLATIVE = (
    "".join(rf"(?<!\b{word} )" for word in "the at its their our his her whose a".split()) + r"(?<![’']s )"
)
_NO_COMPARISON = "".join(rf"(?<!\b{word} )" for word in "how as so too not of the".split())
_WORDS = (
    (False, NEARLY_ALL, _ALMOST + r"(?:all|every|everything|everyone|everybody|each|entirely|exclusively|only|wholly)"
                        r"|(?:vast|great|overwhelming|large)\s+majority|overwhelmingly"),
    (True, NEARLY_ALL, _ALMOST + r"(?:always|invariably)"),
    (True, MOST, r"usually|normally|typically|as\s+a\s+rule|most\s+often"),
    (False, MOST, _NO_SUPERLATIVE + r"most(?!\s+(?:often|likely|of\s+all|recent\b|[a-z]+ly\b))"
                  r"|for\s+the\s+most\s+part|(?:the|a)\s+majority|mostly|mainly|chiefly|predominantly|primarily"
                  r"|principally|the\s+(?:bulk|greater\s+part|larger\s+part)\s+of"),
    (False, MANY, _NO_COMPARISON + r"many(?!\s+(?:a|an|as|thanks|times)\b)"
                  r"|numerous|a\s+lot\s+of|lots\s+of|plenty\s+of|a\s+great\s+(?:deal|many)(?:\s+of)?"),
    (True, MANY, r"often|frequently|commonly|(?<!\bas )many\s+times"),
    (False, SOME, r"some(?!\s+(?:\d|time\b|day\b|kinds?\b|sorts?\b|way\b|distance\b))|several|a\s+few|a\s+number\s+of"
                  r"|a\s+handful\s+of"),
    (True, SOME, r"sometimes|occasionally|at\s+times|now\s+and\s+then|from\s+time\s+to\s+time"),
)  # fmt: skip
_FINDER = heedless("|".join(rf"(?P<q{number}>\b(?:{words})\b)" for number, (_, _, words) in enumerate(_WORDS)))
_TELLING = word_set(
    "almost nearly virtually practically majority overwhelmingly usually normally typically rule most mostly mainly "
    "chiefly predominantly primarily principally bulk part many numerous lot lots plenty great often frequently "
    "commonly some several few number handful sometimes occasionally times now time"
)
"""Every wording holds one of these words; most sentences hold none."""
_DENIED = heedless(r"\b(?:not|never|no|hardly|scarcely|without|nor|cannot)\b|n['’]t\b")
_NEAR = 40
"""Characters after a quantifier in which stands what it speaks of."""


def find_quantifiers(text: str) -> tuple[Quantifier, ...]:
    """The quantifiers of a sentence, in order; those denied in the same breath ("not often") are left out."""
    if _TELLING.isdisjoint(words_in(text)):
        return ()
    found: list[Quantifier] = []
    for match in _FINDER.finditer(text):
        start, end = match.span()
        if _DENIED.search(text, max(0, start - 12), start):
            continue
        time, strength, _ = _WORDS[int(match.lastgroup[1:])]  # type: ignore[index]  # each alternative is a group
        found.append(Quantifier(time, strength, text[end : end + _NEAR], start, end))
    return tuple(found)
