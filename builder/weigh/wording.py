"""How far the words of a sentence go: to extremes, under a hedge, into denial.

In: the visible text of one English sentence.  Out: yes or no, or the words with their places.  Refuses nothing.

The rules know words, not meaning; a doubtful extreme is reported.
"""

import re
from collections.abc import Iterable

from builder.weigh.utterance import is_instruction, is_question
from builder.weigh.wordlist import any_of, heedless, word_set, words_in

__all__ = ["Absolute", "absolute_words", "carries", "has_hedge", "has_negation", "is_instruction", "is_question"]

Absolute = tuple[str, int, int]


_NOT_SUPERLATIVE = word_set(
    "afforest armrest arrest attest backrest behest bequest blest chest congest conquest contest crest deforest "
    "detest "
    "digest dishonest disinterest divest est fest firecrest footrest forest goldcrest guest harvest headrest honest "
    "immodest incest infest ingest inquest interest invest jest lest manifest midwest modest molest nest "
    "northwest pest "
    "pretest priest protest quest rainforest reforest reinvest request rest retest southwest suggest tempest "
    "test unrest "
    "vest west wrest zest"
)
_ABSOLUTE = heedless(
    r"\b(?:always|never|all|every|everything|everyone|everybody|everywhere|only|solely|exclusively|sole|none|"
    r"no\s+doubt|"
    r"no\s+one|no|nobody|nothing|nowhere|prove|proves|proved|proven|proving|proof|first|impossible|must|certain|"
    r"certainly|"
    r"undoubtedly|definitely|definitive|definitively|unquestionably|indisputably|undeniably|conclusively|invariably|"
    r"inevitably|inevitable|infallible|infallibly|entirely|completely|totally|wholly|absolutely|unique|uniquely|"
    r"forever|"
    r"guarantee[sd]?|(?:without|beyond)\s+(?:a\s+|any\s+)?doubt|without\s+exception|for\s+(?:sure|certain)|"
    r"(?:the|its|their|our|his|her|whose|’s|'s)\s+most\s+(?!of\b|part\b|people\b|recent\b)[a-z]+|best|worst|"
    r"[a-z]{2,}est)\b(?!['’]|-)"
    r"|\b100\s?(?:%|per\s?cent\b)"
)
_FIRST_WORDS = word_set(
    "always never all every everything everyone everybody everywhere only solely exclusively sole none no nobody "
    "nothing "
    "nowhere prove proves proved proven proving proof first impossible must certain certainly undoubtedly definitely "
    "definitive definitively unquestionably indisputably undeniably conclusively invariably inevitably inevitable "
    "infallible infallibly entirely completely totally wholly absolutely unique uniquely forever guarantee "
    "guarantees "
    "guaranteed without beyond sure most best worst"
)
_SOFTENED = heedless(
    r"(?:\b(?:almost|nearly|practically|virtually|hardly|scarcely|probably|possibly|perhaps|maybe|arguably|not|"
    r"cannot|seldom|"
    r"may\s+be|might\s+be|could\s+be|far\s+from|less\s+than|(?:one|some|two|three|many|few|several)\s+of|among|"
    r"not\s+necessarily|"
    r"not\s+quite|not\s+yet|no|never\s+been|not\s+been|not\s+be)|n['’]t)(?:\s+(?:the|its|their|our|a|an|been|be|"
    r"yet))*\s+\Z"
)
_IDIOM_BEFORE = {
    "all": heedless(r"\b(?:at|above|after|in|of|for|all\s+in|once\s+and\s+for|most|mostly|with\s+it)\s+\Z"),
    "first": heedless(r"\bat\s+\Z|\bthe\s+(?=first\s+(?:and|or)\b)"),
    "best": heedless(r"\b(?:at|second)\W+\Z"),
    "worst": heedless(r"\bat\s+\Z"),
    "latest": heedless(r"\bat\s+the\s+\Z"),
    "earliest": heedless(r"\bat\s+the\s+\Z"),
    "only": heedless(r"\bif\s+\Z"),
    "none": heedless(r"\bsecond\s+to\s+\Z"),
    "proof": heedless(r"\b(?:printer['’]s|galley|page|%|°)\s*\Z"),
}
_IDIOM_AFTER = {
    "only": heedless(r"\s+(?:(?:about|around|some|roughly)\s+)?[\d.]+(?:\s?(?:%|‰)|\s+(?:per\s?cent|percent)\b)"),
    "all": heedless(
        r"\s+(?:but|told|right|in\s+all|the\s+same|along|sorts\s+of|kinds\s+of|four|fours|three|two|"
        "five)\b"
    ),
    "every": heedless(
        r"\s+(?:second|third|fourth|other|few|now|so\s+often|two|three|four|five|six|seven|eight|nine|ten|twelve|"
        r"twenty|thirty|\d+)\b"
    ),
    "no": heedless(
        r"(?:\s*[,.!;:—–?]|\s+(?:more|fewer|less|later|sooner|earlier|bigger|longer|larger|smaller|heavier|"
        r"lighter|faster|slower|"
        r"greater|higher|lower|better|worse|wider|taller|older)\b|\s*\Z)"
    ),
    "first": heedless(
        r"\s*(?:,|\s(?:of\s+all|of\s+(?:january|february|march|april|may|june|july|august|september|october|"
        r"november|december)|"
        r"word|year|letter|row|line|floor|column|page|half|part|step|case|drawer|shelf|name|aid|few|two|three|four|"
        r"five|ten|glance|"
        r"sight|hand|place|century|edition|volume|world\s+war|lady|minister|class|and\s+second|or\s+second)\b)"
    ),
    "best": heedless(r"\s+(?:seen|known|kept|viewed|read|left|done|told|avoided|compared)\b"),
    "never": heedless(r"\s+mind\b"),
    "proof": heedless(r"\s+(?:spirit|reading|copy|sheet|print)s?\b"),
    "must": heedless(r"\s*\Z"),
}
_TURNED_OUT = heedless(r"\s+(?:to\s+be|difficult|hard|useful|useless|too|popular|fatal|wrong|right)\b")
_IS_CERTAIN = heedless(r"\b(?:is|are|was|were|be|been|it|quite|fairly|we|absolutely|feel|seem|seems|almost)\s+\Z")
_NEGATED_PROOF = heedless(
    r"(?:\b(?:not|nothing|never|nobody|cannot|no\s+\w+|neither\s+\w+)|n['’]t)\s+(?:\w+\s+){0,2}\Z"
)
_NEAR = 40  # characters before a word in which a softening word may stand


def absolute_words(text: str) -> tuple[Absolute, ...]:
    """The absolute, proving and superlative words as (lower-case word, start, end); those softened are left out.

    "Almost all", "not only", "one of the largest", "perhaps the first" are softened; "at all", "no more than", "every
    two hours", "No, …" are idioms.
    """
    words = words_in(text)
    superlative = "est" in text.lower() and any(word.endswith("est") for word in words)
    if not superlative and "100" not in text and _FIRST_WORDS.isdisjoint(words):
        return ()
    found: list[Absolute] = []
    for match in _ABSOLUTE.finditer(text):
        start, end = match.span()
        word = " ".join(match.group().lower().split())
        if word.endswith("est") and not _is_superlative(text, word, start):
            continue
        before = text[max(0, start - _NEAR) : start]
        key = "first" if word == "first" else word.split()[-1] if word in ("best", "worst") else word
        before_idiom, after_idiom = _IDIOM_BEFORE.get(key), _IDIOM_AFTER.get(key)
        if (before_idiom and before_idiom.search(before)) or (after_idiom and after_idiom.match(text, end)):
            continue
        if _SOFTENED.search(before):
            continue
        if word == "certain" and not _IS_CERTAIN.search(before):
            continue
        if word.startswith("for ") and _NEGATED_PROOF.search(before):  # nobody knows for sure
            continue
        if word.startswith("prov") and (_TURNED_OUT.match(text, end) or _NEGATED_PROOF.search(before)):
            continue
        found.append((word, start, end))
    return tuple(found)


def _is_superlative(text: str, word: str, start: int) -> bool:
    if word in _NOT_SUPERLATIVE:
        return False
    return text[start].islower() or not text[:start].strip("\"'“‘( ")  # Everest, Budapest


_NEGATION = heedless(
    r"\b(?:not(?!\s+only\b)|cannot|never|none|nobody|nothing|nowhere|neither|nor|without|lack|lacks|lacked|"
    r"lacking|no\s+one|"
    r"no(?!\s*\.?\s*\d)(?!\s+(?:doubt|more|fewer|less|later|sooner|earlier)\b))\b|n['’]t\b"
)
_WORKS = any_of(
    "account article author authority book excavator handbook guide observer paper record report review source "
    "study survey test trial writer"
)
_HEDGE = re.compile(
    r"\b(?:may(?!\s*(?:\d|\.))|(?<!its )(?<!their )(?<!his )(?<!her )might|[Mm]ay\s+(?:be|have|well)|"
    r"could\s+(?:be|have|well|mean)|"
    r"[Pp]erhaps|[Mm]aybe|[Pp]ossibly|[Pp]robably|[Pp]robable|[Pp]resumably|[Aa]pparently|[Ss]eemingly|"
    r"[Ss]upposedly|[Rr]eportedly|"
    r"[Aa]llegedly|[Cc]onceivably|[Aa]rguably|[Pp]lausibl[ey]|(?:un)?likely|[Ll]ikely|[Uu]nlikely|[Uu]ncertain|"
    r"[Uu]nclear|[Uu]nsure|"
    r"suggest(?:s|ed|ing)?|hint(?:s|ed)?\s+(?:at|that)|point(?:s|ed)?\s+to(?:wards)?|seem(?:s|ed)?|appear(?:s|"
    r"ed)?\s+(?:to|that|likely|as)|"
    r"[Ii]t\s+(?:appears|appeared)|tend(?:s|ed)?\s+to|not\s+(?:\w+\s+)?(?:sure|certain|settled)|(?:cannot|"
    r"can['’]t)\s+be\s+(?:sure|certain)|"
    r"(?:is|are|was|were|been)\s+(?:\w+ly\s+)?(?:thought|believed|said|held|reported|reckoned|assumed|presumed|"
    r"supposed|suspected)\s+(?:to|that)|"
    r"[Ii]t\s+is\s+(?:\w+ly\s+)?(?:thought|believed|said|held|reckoned|assumed|presumed|supposed|suspected|"
    r"possible|conceivable)|"
    r"[Ww]e\s+(?:think|believe|suspect|assume|guess|suppose)|[Aa]s\s+far\s+as\s+(?:we|is|anyone)|[Ss]o\s+far\s+as|"
    r"[Tt]o\s+our\s+knowledge|[Ii]n\s+our\s+view|"
    r"[Aa]ccording\s+to|[Oo]ne\s+(?:\w+\s+){0,2}?" + _WORKS + r"|(?:[Aa]|the)\s+single\s+(?:\w+\s+)?" + _WORKS + "|"
    r"[Ss]ome\s+(?:authors|studies|people|observers|writers|sources|handbooks|researchers)\s+(?:say|think|hold|"
    r"report|suggest|believe|claim|find|found)"
    r")\b"
)


def has_negation(text: str) -> bool:
    """Whether something is denied: not, no, never, none, without, lacks …"""
    return _NEGATION.search(text) is not None


def has_hedge(text: str) -> bool:
    """Whether the truth of the sentence is hedged; `about`, `nearly`, `often` hedge a number or a time instead."""
    return _HEDGE.search(text) is not None


_FAMILIES: tuple[tuple[frozenset[str], re.Pattern[str]], ...] = tuple(
    (frozenset(re.split(r",\s*", words)), heedless(rf"\b(?:{also})\b"))
    for words, also in (
        (
            "always, all, every, everything, everyone, everybody, everywhere, invariably, entirely, completely, "
            "totally, wholly, "
            "without exception, forever, 100 %, 100%, 100 per cent",
            r"each|whole|throughout|any|both",
        ),
        (
            "only, solely, exclusively, sole, unique, uniquely",
            r"alone|nothing\s+(?:but|else)|no\s+other|nowhere\s+else|none\s+but",
        ),
        (
            "prove, proves, proved, proven, proving, proof, conclusively, definitive, definitively",
            r"demonstrat\w+|settle[sd]?",
        ),
        (
            "must, certain, certainly, undoubtedly, definitely, unquestionably, indisputably, undeniably, "
            "inevitably, inevitable, "
            "no doubt, without doubt, without a doubt, without any doubt, beyond doubt, beyond a doubt, for "
            "sure, for certain, "
            "guarantee, guarantees, guaranteed, infallible, infallibly, absolutely",
            r"ha(?:s|ve|d)\s+to|necessarily|required|cannot\s+but",
        ),
        ("impossible", r"cannot|can['’]t|could\s+not|not\s+possible|unable"),
        ("first, earliest, oldest", r"before\s+any|nobody\s+before|priority"),
        ("largest, biggest, greatest, hugest", r"(?:larger|bigger|greater)\s+than\s+(?:any|all|every)"),
        ("smallest, tiniest, littlest", r"(?:smaller|tinier)\s+than\s+(?:any|all|every)"),
        ("fastest, quickest, swiftest", r"(?:faster|quicker|swifter)\s+than\s+(?:any|all|every)"),
        ("highest, tallest", r"(?:higher|taller)\s+than\s+(?:any|all|every)"),
    )
)
_DENYING = frozenset(("no", "none", "never", "nobody", "no one", "nothing", "nowhere"))


def carries(absolute_word: str, claim_texts: Iterable[str]) -> bool:
    """Whether any of a claim's own texts goes as far as `absolute_word`, a word as `absolute_words` returns it.

    The same word carries itself, and so does a word of its family ("each" for "every"), unless the claim softens it.
    "No", "never", "none" … are carried by any denial; "largest" by "larger than any".
    """
    word = " ".join(absolute_word.lower().split())
    texts = tuple(claim_texts)
    if word in _DENYING:
        return any(map(has_negation, texts))
    family, also = next(((names, also) for names, also in _FAMILIES if word in names), (frozenset((word,)), None))
    if also is None and word.endswith("est"):
        stem = word[:-3]
        also = heedless(rf"\b{re.escape(stem)}e?r\s+than\s+(?:any|all|every)\b")
    most = word.split("most ", 1)[-1] if "most " in word else None
    for text in texts:
        said = {name for name, _, _ in absolute_words(text)}
        if said & family or (also and also.search(text)):
            return True
        if most and any(name.endswith("most " + most) for name in said):
            return True
    return False
