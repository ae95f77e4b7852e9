"""What the words of one sentence do: ask, bid, go to extremes, hedge, deny.

In: the visible text of one English sentence, as the splitter gives it.  Out: yes or no, or the words with their places.
Refuses nothing; a text that is none of these is none of these.

The rules know words, not meaning.  Where they cannot tell, they answer so that nothing slips through: a doubtful
instruction is no instruction and must be vouched for, a doubtful extreme is reported.  A question that tells rather
than asks ("Did you know that…?", "…, don't they?") counts as an assertion.
"""

import re
from collections.abc import Iterable

Absolute = tuple[str, int, int]


def _any(words: str) -> str:
    return "(?:" + "|".join(words.split()) + ")"


def _rule(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)


# --- asking ---------------------------------------------------------------------------------------------------------

_ASKED = re.compile(r"[?!…]*\?[?!…]*([\"'”’»)\]]*)\s*\Z")
_TELLING = _rule(
    r"\A\W*(?:so\s+|and\s+|but\s+)?(?:(?:did|do)\s+you\s+(?:know|realise|realize)|have\s+you\s+heard|were\s+you\s+aware|"
    r"(?:isn['’]t|wasn['’]t|is|was)\s+it\s+(?:not\s+)?(?:\w+\s+)?(?:amazing|astonishing|curious|fascinating|funny|odd|"
    r"remarkable|strange|surprising|wonderful))\s+(?:that|of)?\b(?!\s*\W*\Z)"
    r"|,\s*(?:(?:is|are|was|were|do|does|did|has|have|had|can|could|will|would|should)(?:n['’]t)?\s+(?:it|they|he|she|we|"
    r"you|there)(?:\s+not)?|right|eh|no|innit)\W*\Z"
)
_PART = re.compile(r"\s*[;:—]\s*|\s+[–-]\s+")
_ASKS = _rule(
    r"\A\W*(?:(?:and|but|so|now|well|then|or|in|on|at|for|from|to|by|with|of)\s*,?\s*)*"
    + _any(
        "who whom whose what when where which why how is isn['’]t are aren['’]t was were do don['’]t does did has have had "
        "can can['’]t could will would should shall may might must if"
    )
    + r"\b"
)


def is_question(text: str) -> bool:
    """Whether the sentence asks, and does not tell in the shape of a question."""
    asked = _ASKED.search(text)
    if asked is None or _TELLING.search(text):
        return False
    if asked.group(1) and text.lstrip()[:1] not in "\"'“‘«([":  # He wrote “Does it drink?”
        return False
    *before, _ = _PART.split(text)
    return all(len(part.split()) < 5 or _ASKS.match(part) or is_instruction(part) for part in before)


# --- bidding --------------------------------------------------------------------------------------------------------

_LEAD = _rule(
    r"\W*(?:(?:and|again|also|but|finally|first|here|just|lastly|next|now|ok|okay|once\s+more|please|second|so|then|third|"
    r"everybody|everyone|well|"
    r"(?:after|as|before|if|once|when|while)\s+(?:you|we)\s[^,;:.]{1,50},|"
    r"(?:above|at|behind|below|beside|by|from|in|inside|on|over|to|under|with)\s+[^,;:.]{1,40},"
    r")\s*,?\s+)*"
)
_LEADING = frozenset(
    "and again also but finally first here just lastly next now ok okay once please second so then third everybody everyone "
    "well after as before if when while above at behind below beside by from in inside on over to under with".split()
)
_VERBS = frozenset(
    "ask be bear beat begin bend breathe bring call check choose clap click close come compare consider count cover cross "
    "describe discuss do don't don’t draw enjoy enter estimate examine explain explore feel find flip follow form gather "
    "get give go guess have hear help hold imagine join keep kneel leave lean let let's let’s lie lift listen look make "
    "mark match measure mind move note notice observe open pass pause peek peer pick picture place point press pretend "
    "pull push put raise read remember repeat return rub run say scan scroll search see send sense share show shut sit "
    "slide smell sniff spot stand start stay step stoop stop stroke study suppose switch take tap tell think touch trace "
    "try turn use visit wait walk wash watch wear whisper wonder write".split()
)
_SUPPOSING = frozenset("imagine picture pretend suppose let".split())
_SENSING = frozenset("watch see hear feel listen help let make".split())
_ASKING = frozenset(
    "ask check choose compare consider count describe discuss estimate explain explore find guess imagine measure say share "
    "show tell think try wonder write".split()
)
_FIRST_WORD = re.compile(r"\W*(\w+(?:['’]\w+)?)")
_ASKED_ABOUT = _rule(r"\A([^,]*?)\s(?:how|what|which|who|whose|why|where|whether|if|when)\b[^,]*")
_NOUN_OF = _rule(r"\w+\s+(?:and\s+\w+\s+)?of\b")
_OF_VERBS = frozenset(("think", "be", "get", "let", "make", "take", "keep", "bear"))
_BUT_SAYS = _rule(
    r",\s*(?:which|who|whose|whom|where|when\s+(?!you)|for|as|yet)\b|\b(?:because|since|although|though|whereas|"
    r"as\s+(?:it|they|he|she)|so\s+that\s+(?!you|we))\b|\bso\s+(?:it|they|he|she|the|this|these|that)\s"
    r"|\w+ly\s+and\s+(?:the|a|an|it|they|you|its|their|this|these|that|those)\b|\band\s+(?:it|they|he|she|you|we|there)\s"
)
_NOTED = _rule(
    r"(?:note|notice|remember|see|observe|consider|know|find|mind|mark|look)\s+(?:that|how|why|where)\s|"
    r"(?:think|say|explain|write|find\s+out|repeat|share)\s+that\s"
)
_HOW_MUCH = _rule(r"\w+\s+(?:out\s+)?how\s+(?:many|much|long|often|far|old|big|small|wide|heavy|high|deep|quickly)\b")
_RELATIVE = _rule(r"(\w+),?\s+(that|which|who|whose|whom)\s+(\w+)")
_BEFORE_THIS = frozenset(
    "about above across after against all along among and around at before behind below beside between beyond by down for "
    "from in inside into like near of off on onto or over past round than through to toward towards under up upon with".split()
)
_FINITE = _rule(
    r"(\w+)\s+("
    + _any(
        "is isn['’]t are aren['’]t was wasn['’]t were weren['’]t has hasn['’]t have haven['’]t had hadn['’]t does "
        "doesn['’]t did didn['’]t will won['’]t would wouldn['’]t can can['’]t cannot could couldn['’]t may might must "
        "shall should "
        "ate became began belonged bore broke brought built came carried caught chose died drank drew fell fed fled flew "
        "found gave got grew held hid hunted kept killed knew laid lay led lived lost made meant met proved ran rose "
        "said sang sat saw slept sold stood stole sucked swam thought took told took used went were wore wrote "
        "appears asks becomes begins belongs bites breathes breeds brings carries catches changes climbs comes consists "
        "contains depends digs dives does drinks eats explains falls feeds fits flies forms gets gives goes grows happens "
        "has helps hides holds hunts keeps kills knows lacks lays leads lets lies lives looks loses makes means measures "
        "moves needs proves protects reaches remains runs says seems serves shows sings sits sleeps stays stops sucks "
        "suggests swims takes tells turns uses walks wants weighs works"
    )
    + r")\b"
)
_PLURAL_THEN = _rule(
    r"(?:\w*[^\Ws]s|people|birds|men|women|children|mice|teeth|feet|fish|sheep|they|both|these|those|all|most|some|many)\s+"
    + _any(
        "appear attack become begin belong bite breathe breed carry catch change come contain date depend die dig dive "
        "drink eat fall feed fly form get give go grow hunt keep kill know lack lay lead live make mean migrate move need "
        "nest prove reach remain run seem serve sing sleep stay suck suggest swim take turn use want weigh work"
    )
    + r"\b"
)
_OWN_SUBJECT = frozenset("you we i i'm to not they'd".split())


def is_instruction(text: str) -> bool:
    """Whether the sentence only bids the reader look, compare, come closer …, and asserts nothing beside."""
    opening = _FIRST_WORD.match(text)
    if opening is None or (opening.group(1).lower() not in _VERBS and opening.group(1).lower() not in _LEADING):
        return False
    return all(_is_bidding(part, first=index == 0) for index, part in enumerate(_PART.split(text)))


def _is_bidding(text: str, *, first: bool = True) -> bool:
    lead = _LEAD.match(text)
    body = text[lead.end() :] if lead else text
    if (lead and lead.end() and _says(text[: lead.end()], "")) or body.rstrip(" \"'”’)]").endswith("?"):
        return not first and is_question(text)
    words = body.split(None, 2)
    verb = words[0].strip(".,!…\"'”’)]").lower() if words else ""
    if verb not in _VERBS or (verb not in _OF_VERBS and _NOUN_OF.match(body)):
        return False
    if words[0].endswith(",") and len(words) > 1:  # Stop, look and listen.
        return _is_bidding(body.split(",", 1)[1])
    if (
        verb in ("be", "have", "do", "use", "form", "mark")
        and len(words) > 1
        and words[1].lower() in ("it", "they", "you")
    ):
        return False
    return not _says(body, verb)


def _says(body: str, verb: str) -> bool:
    """Whether something is asserted in what follows the bidding verb."""
    if _BUT_SAYS.search(body) or (_NOTED.match(body) and not _HOW_MUCH.match(body)):
        return True
    supposing = verb in _SUPPOSING
    if supposing and "," not in body:
        return False
    if verb in _ASKING or (verb and _HOW_MUCH.match(body)):  # what is asked about is not asserted
        body = _ASKED_ABOUT.sub(r"\1", body, count=1)
    for before, pronoun, after in _RELATIVE.findall(body.lower()):
        if supposing or before == verb or after in ("you", "we"):
            continue
        if pronoun != "that" or before not in _BEFORE_THIS:
            return True
    if any(before.lower() not in _OWN_SUBJECT for before, _ in _FINITE.findall(body)):
        return True
    return verb not in _SENSING and bool(_PLURAL_THEN.search(body))


# --- going to extremes ----------------------------------------------------------------------------------------------

_NOT_SUPERLATIVE = frozenset(
    "afforest armrest arrest attest backrest behest bequest blest chest congest conquest contest crest deforest detest "
    "digest dishonest disinterest divest est fest firecrest footrest forest goldcrest guest harvest headrest honest "
    "immodest incest infest ingest inquest interest invest jest lest manifest midwest modest molest nest northwest pest "
    "pretest priest protest quest rainforest reforest reinvest request rest retest southwest suggest tempest test unrest "
    "vest west wrest zest".split()
)
_ABSOLUTE = _rule(
    r"\b(?:always|never|all|every|everything|everyone|everybody|everywhere|only|solely|exclusively|sole|none|no\s+doubt|"
    r"no\s+one|no|nobody|nothing|nowhere|prove|proves|proved|proven|proving|proof|first|impossible|must|certain|certainly|"
    r"undoubtedly|definitely|definitive|definitively|unquestionably|indisputably|undeniably|conclusively|invariably|"
    r"inevitably|inevitable|infallible|infallibly|entirely|completely|totally|wholly|absolutely|unique|uniquely|forever|"
    r"guarantee[sd]?|(?:without|beyond)\s+(?:a\s+|any\s+)?doubt|without\s+exception|for\s+(?:sure|certain)|"
    r"(?:the|its|their|our|his|her|whose|’s|'s)\s+most\s+(?!of\b|part\b|people\b|recent\b)[a-z]+|best|worst|[a-z]{2,}est)\b(?!['’]|-)"
    r"|\b100\s?(?:%|per\s?cent\b)"
)
_FIRST_WORDS = frozenset(
    "always never all every everything everyone everybody everywhere only solely exclusively sole none no nobody nothing "
    "nowhere prove proves proved proven proving proof first impossible must certain certainly undoubtedly definitely "
    "definitive definitively unquestionably indisputably undeniably conclusively invariably inevitably inevitable "
    "infallible infallibly entirely completely totally wholly absolutely unique uniquely forever guarantee guarantees "
    "guaranteed without beyond sure most best worst 100".split()
)
_WORD = re.compile(r"[a-z]+|100")
_SOFTENED = _rule(
    r"(?:\b(?:almost|nearly|practically|virtually|hardly|scarcely|probably|possibly|perhaps|maybe|arguably|not|cannot|seldom|"
    r"may\s+be|might\s+be|could\s+be|far\s+from|less\s+than|(?:one|some|two|three|many|few|several)\s+of|among|not\s+necessarily|"
    r"not\s+quite|not\s+yet|no|never\s+been|not\s+been|not\s+be)|n['’]t)(?:\s+(?:the|its|their|our|a|an|been|be|yet))*\s+\Z"
)
_IDIOM_BEFORE = {
    "all": _rule(r"\b(?:at|above|after|in|of|for|all\s+in|once\s+and\s+for|most|mostly|with\s+it)\s+\Z"),
    "first": _rule(r"\bat\s+\Z|\bthe\s+(?=first\s+(?:and|or)\b)"),
    "best": _rule(r"\b(?:at|second)\W+\Z"),
    "worst": _rule(r"\bat\s+\Z"),
    "latest": _rule(r"\bat\s+the\s+\Z"),
    "earliest": _rule(r"\bat\s+the\s+\Z"),
    "only": _rule(r"\bif\s+\Z"),
    "none": _rule(r"\bsecond\s+to\s+\Z"),
    "proof": _rule(r"\b(?:printer['’]s|galley|page|%|°)\s*\Z"),
}
_IDIOM_AFTER = {
    "all": _rule(r"\s+(?:but|told|right|in\s+all|the\s+same|along|sorts\s+of|kinds\s+of|four|fours|three|two|five)\b"),
    "every": _rule(
        r"\s+(?:second|third|fourth|other|few|now|so\s+often|two|three|four|five|six|seven|eight|nine|ten|twelve|"
        r"twenty|thirty|\d+)\b"
    ),
    "no": _rule(
        r"(?:\s*[,.!;:—–?]|\s+(?:more|fewer|less|later|sooner|earlier|bigger|longer|larger|smaller|heavier|lighter|faster|slower|"
        r"greater|higher|lower|better|worse|wider|taller|older)\b|\s*\Z)"
    ),
    "first": _rule(
        r"\s*(?:,|\s(?:of\s+all|of\s+(?:january|february|march|april|may|june|july|august|september|october|november|december)|"
        r"word|letter|row|line|floor|column|page|half|part|step|case|drawer|shelf|name|aid|few|two|three|four|five|ten|glance|"
        r"sight|hand|place|century|edition|volume|world\s+war|lady|minister|class|and\s+second|or\s+second)\b)"
    ),
    "best": _rule(r"\s+(?:seen|known|kept|viewed|read|left|done|told|avoided|compared)\b"),
    "never": _rule(r"\s+mind\b"),
    "proof": _rule(r"\s+(?:spirit|reading|copy|sheet|print)s?\b"),
    "must": _rule(r"\s*\Z"),
}
_TURNED_OUT = _rule(r"\s+(?:to\s+be|difficult|hard|useful|useless|too|popular|fatal|wrong|right)\b")
_IS_CERTAIN = _rule(r"\b(?:is|are|was|were|be|been|it|quite|fairly|we|absolutely|feel|seem|seems|almost)\s+\Z")
_NEGATED_PROOF = _rule(r"(?:\b(?:not|nothing|never|nobody|cannot|no\s+\w+|neither\s+\w+)|n['’]t)\s+(?:\w+\s+){0,2}\Z")
_NEAR = 40  # characters before a word in which a softening word may stand


def absolute_words(text: str) -> tuple[Absolute, ...]:
    """The absolute, proving and superlative words as (lower-case word, start, end); those softened are left out.

    "Almost all", "not only", "one of the largest", "perhaps the first" are softened; "at all", "no more than", "every
    two hours", "No, …" are idioms.
    """
    words = _WORD.findall(text.lower())
    if _FIRST_WORDS.isdisjoint(words) and not any(word.endswith("est") for word in words):
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
        if word.startswith("prov") and (_TURNED_OUT.match(text, end) or _NEGATED_PROOF.search(before)):
            continue
        found.append((word, start, end))
    return tuple(found)


def _is_superlative(text: str, word: str, start: int) -> bool:
    if word in _NOT_SUPERLATIVE:
        return False
    return text[start].islower() or not text[:start].strip("\"'“‘( ")  # Everest, Budapest


# --- denying and hedging --------------------------------------------------------------------------------------------

_NEGATION = _rule(
    r"\b(?:not(?!\s+only\b)|cannot|never|none|nobody|nothing|nowhere|neither|nor|without|lack|lacks|lacked|lacking|no\s+one|"
    r"no(?!\s*\.?\s*\d)(?!\s+(?:doubt|more|fewer|less|later|sooner|earlier)\b))\b|n['’]t\b"
)
_WORKS = _any(
    "account article author authority book excavator handbook guide observer paper record report review source study survey test trial writer"
)
_HEDGE = re.compile(
    r"\b(?:may(?!\s*(?:\d|\.))|(?<!its )(?<!their )(?<!his )(?<!her )might|[Mm]ay\s+(?:be|have|well)|could\s+(?:be|have|well|mean)|"
    r"[Pp]erhaps|[Mm]aybe|[Pp]ossibly|[Pp]robably|[Pp]robable|[Pp]resumably|[Aa]pparently|[Ss]eemingly|[Ss]upposedly|[Rr]eportedly|"
    r"[Aa]llegedly|[Cc]onceivably|[Aa]rguably|[Pp]lausibl[ey]|(?:un)?likely|[Ll]ikely|[Uu]nlikely|[Uu]ncertain|[Uu]nclear|[Uu]nsure|"
    r"suggest(?:s|ed|ing)?|hint(?:s|ed)?\s+(?:at|that)|point(?:s|ed)?\s+to(?:wards)?|seem(?:s|ed)?|appear(?:s|ed)?\s+(?:to|that|likely|as)|"
    r"[Ii]t\s+(?:appears|appeared)|tend(?:s|ed)?\s+to|not\s+(?:\w+\s+)?(?:sure|certain|settled)|(?:cannot|can['’]t)\s+be\s+(?:sure|certain)|"
    r"(?:is|are|was|were|been)\s+(?:\w+ly\s+)?(?:thought|believed|said|held|reported|reckoned|assumed|presumed|supposed|suspected)\s+(?:to|that)|"
    r"[Ii]t\s+is\s+(?:\w+ly\s+)?(?:thought|believed|said|held|reckoned|assumed|presumed|supposed|suspected|possible|conceivable)|"
    r"[Ww]e\s+(?:think|believe|suspect|assume|guess|suppose)|[Aa]s\s+far\s+as\s+(?:we|is|anyone)|[Ss]o\s+far\s+as|[Tt]o\s+our\s+knowledge|[Ii]n\s+our\s+view|"
    r"[Aa]ccording\s+to|[Oo]ne\s+(?:\w+\s+){0,2}?" + _WORKS + r"|(?:[Aa]|the)\s+single\s+(?:\w+\s+)?" + _WORKS + "|"
    r"[Ss]ome\s+(?:authors|studies|people|observers|writers|sources|handbooks|researchers)\s+(?:say|think|hold|report|suggest|believe|claim|find|found)"
    r")\b"
)


def has_negation(text: str) -> bool:
    """Whether something is denied: not, no, never, none, without, lacks …"""
    return _NEGATION.search(text) is not None


def has_hedge(text: str) -> bool:
    """Whether the truth of the sentence is hedged; `about`, `nearly`, `often` hedge a number or a time, not the truth."""
    return _HEDGE.search(text) is not None


# --- what a claim bears ---------------------------------------------------------------------------------------------

_FAMILIES: tuple[tuple[frozenset[str], re.Pattern[str]], ...] = tuple(
    (frozenset(re.split(r",\s*", words)), _rule(rf"\b(?:{also})\b"))
    for words, also in (
        (
            "always, all, every, everything, everyone, everybody, everywhere, invariably, entirely, completely, totally, wholly, "
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
            "must, certain, certainly, undoubtedly, definitely, unquestionably, indisputably, undeniably, inevitably, inevitable, "
            "no doubt, without doubt, without a doubt, without any doubt, beyond doubt, beyond a doubt, for sure, for certain, "
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
        also = _rule(rf"\b{re.escape(stem)}e?r\s+than\s+(?:any|all|every)\b")
    most = word.split("most ", 1)[-1] if "most " in word else None
    for text in texts:
        said = {name for name, _, _ in absolute_words(text)}
        if said & family or (also and also.search(text)):
            return True
        if most and any(name.endswith("most " + most) for name in said):
            return True
    return False
