"""Whether a sentence asks, bids or tells.

In: the visible text of one English sentence, as the splitter gives it.  Out: yes or no.  Refuses nothing; a text that
is neither question nor instruction is an assertion and must be vouched for.

The rules know words, not meaning.  Where they cannot tell, they answer so that nothing slips through: a doubtful
question or instruction counts as an assertion.  So does what tells in the shape of a question ("Did you know that…?",
"…, don't they?") and what asserts beside bidding ("Look at the bill: it is short").
"""

import re

from builder.weigh.wordlist import any_of, heedless, word_set

_TELLING = heedless(
    r"\A\W*(?:so\s+|and\s+|but\s+)?(?:(?:did|do)\s+you\s+(?:know|realise|realize)(?!\s+(?:wh\w+|how|if)\b)|"
    r"have\s+you\s+heard|"
    r"were\s+you\s+aware|"
    r"(?:isn['’]t|wasn['’]t|is|was)\s+it\s+(?:not\s+)?(?:\w+\s+)?(?:amazing|astonishing|curious|fascinating|funny|"
    r"odd|"
    r"remarkable|strange|surprising|wonderful))\s+(?:that|of)?\b(?!\s*\W*\Z)"
    r"|,\s*(?:(?:is|are|was|were|do|does|did|has|have|had|can|could|will|would|should)(?:n['’]t)?\s+(?:it|they|he|"
    r"she|we|"
    r"you|there)(?:\s+not)?|right|eh|no|innit)\W*\Z"
)
_PART = re.compile(r"[;:—]|\s[–-]\s")
_ASKS = heedless(
    r"\A\W*+(?:(?:and|but|so|now|well|then|or|in|on|at|for|from|to|by|with|of)\b\s*+,?\s*+)*+"
    + any_of(
        "who whom whose what when where which why how is isn['’]t are aren['’]t was were do don['’]t does did "
        "has have had "
        "can can['’]t could will would should shall may might must if"
    )
    + r"\b"
)


def is_question(text: str) -> bool:
    """Whether the sentence asks, and does not tell in the shape of a question."""
    text = text.strip()
    open_end = text.rstrip("\"'”’»)]")
    if "?" not in open_end[len(open_end.rstrip("?!…")) :] or _TELLING.search(text):
        return False
    if open_end != text and text[0] not in "\"'“‘«([":  # He wrote “Does it drink?”
        return False
    *before, _ = _PART.split(text)
    return all(len(part.split()) < 5 or _ASKS.match(part) or is_instruction(part) for part in before)


_LEAD = heedless(
    r"\W*+(?:(?:and|again|also|but|finally|first|here|just|lastly|next|now|ok|okay|once\s+more|please|second|so|"
    r"then|third|"
    r"everybody|everyone|well|"
    r"(?:after|as|before|if|once|when|while)\s+(?:you|we)\s[^,;:.]{1,50}(?=,)|"
    r"(?:above|at|behind|below|beside|by|from|in|inside|on|over|to|under|with)\s+[^,;:.]{1,40}(?=,)"
    r")\b(?:\s*+,)?+\s++)*+"
)
_LEADING = word_set(
    "and again also but finally first here just lastly next now ok okay once please second so then third "
    "everybody everyone "
    "well after as before if when while above at behind below beside by from in inside on over to under with"
)
_VERBS = word_set(
    "ask be bear beat begin bend beware bow breathe bring call check choose clap click close come compare "
    "consider copy count cover cross crouch describe dip discuss do don't don’t draw drop enjoy enter estimate "
    "examine explain explore feel fetch fill find flip fold follow form gather get give go greet guess have hear "
    "help hold imagine join keep kneel lean leave let let's let’s lie lift listen look make mark match measure "
    "mind move note notice observe open pass pause peek peer pick picture place point pour press pretend pull "
    "push put raise reach read remember repeat rest return roll rub run say scan scroll search see select send "
    "sense shade shake share shine show shut sit sketch skip slide smell sniff sort spell spin spot squint stand "
    "start stay step stoop stop strike stroke study suppose swap swing switch take tap tell think tilt tip "
    "touch trace try turn twist use visit vote wait walk wash watch wear whisper wonder write zoom"
)
_SUPPOSING = word_set("imagine picture pretend suppose let")
_SENSING = word_set("watch see hear feel listen help let make")
_ASKING = word_set(
    "ask check choose compare consider count describe discuss estimate explain explore find guess imagine "
    "measure say share "
    "show tell think try wonder write"
)
_FIRST_WORD = re.compile(r"\W*(\w+(?:['’]\w+)?)")
_ASKED_ABOUT = heedless(r"\A([^,]*?)\s(?:how|what|which|who|whose|why|where|whether|if|when)\b[^,]*")
_UNTIL = heedless(r"\s(?:until|till)\s[^,]*")
_NOUN_OF = heedless(r"\w+\s+(?:and\s+\w+\s+)?of\b")
_OF_VERBS = frozenset(("think", "be", "get", "let", "make", "take", "keep", "bear"))
_BUT_SAYS = heedless(
    r",\s*(?:which|who|whose|whom|where|when\s+(?!you)|for|as|yet)\b|\b(?:because|since|although|though|whereas|"
    r"as\s+(?:it|they|he|she)|so\s+that\s+(?!you|we))\b|\bso\s+(?:it|they|he|she|the|this|these|that)\s"
    r"|\b\w+ly\s+and\s+(?:the|a|an|it|they|you|its|their|this|these|that|those)\b|\band\s+(?:it|you|we|there)\s"
    r"|,\s*(?:it|this|these|those|there|that)\s+\w|\bit\s+(?!\w*(?:wards|ways)\b)\w{2,}(?:[^\Ws]s|ed)\b"
)
_NOTED = heedless(
    r"(?:note|notice|remember|see|observe|consider|know|find|mind|mark|look)\s+(?:that|how|why|where)\s|"
    r"(?:think|say|explain|write|find\s+out|repeat|share)\s+that\s"
)
_HOW_MUCH = heedless(
    r"\w+\s+(?:out\s+)?how\s+(?:many|much|long|often|far|old|big|small|wide|heavy|high|deep|quickly)\b"
)
_RELATIVE = heedless(r"\b(\w+),?\s+(that|which|who|whose|whom)\s+(\w+)")
_BEFORE_THIS = word_set(
    "about above across after against all along among and around at before behind below beside between beyond by "
    "down for "
    "from in inside into like near of off on onto or over past round than through to toward towards under up "
    "upon with"
)
_FINITE = heedless(
    r"\b(\w+)\s+("
    + any_of(
        "is isn['’]t are aren['’]t was wasn['’]t were weren['’]t has hasn['’]t have haven['’]t had hadn['’]t does "
        "doesn['’]t did didn['’]t will won['’]t would wouldn['’]t can can['’]t cannot could couldn['’]t may "
        "might must "
        "shall should "
        "ate became began belonged bore broke brought built came carried caught chose died drank drew fell fed "
        "fled flew "
        "found gave got grew held hid hunted kept killed knew laid lay led lived lost made meant met proved ran rose "
        "said sang sat saw slept sold stood stole sucked swam thought took told took used went were wore wrote "
        "appears asks becomes begins belongs bites breathes breeds brings carries catches changes climbs comes "
        "consists "
        "contains depends digs dives does drinks eats explains falls feeds fits flies forms gets gives goes "
        "grows happens "
        "has helps hides holds hunts keeps kills knows lacks lays leads lets lies lives looks loses makes means "
        "measures "
        "moves needs proves protects reaches remains runs says seems serves shows sings sits sleeps stays stops "
        "sucks "
        "suggests swims takes tells turns uses walks wants weighs works"
    )
    + r")\b"
)
_PLURAL_THEN = heedless(
    r"\b(?:\w*[^\Ws]s|people|birds|men|women|children|mice|teeth|feet|fish|sheep|they|both|these|those|all|most|"
    r"some|many)\s+"
    + any_of(
        "appear attack become begin belong bite breathe breed carry catch change come contain date depend die "
        "dig dive "
        "drink eat fall feed fly form get give go grow hunt keep kill know lack lay lead live make mean migrate "
        "move need "
        "nest prove reach remain run seem serve sing sleep stay suck suggest swim take turn use want weigh work"
    )
    + r"\b"
)
_SUBJECT = heedless(r"\b(?:they|he|she)\b")
_OWN_SUBJECT = word_set("you we i i'm to not they'd")


def is_instruction(text: str) -> bool:
    """Whether the sentence only bids the reader look, compare, come closer …, and asserts nothing beside."""
    opening = _FIRST_WORD.match(text)
    if opening is None or (opening.group(1).lower() not in _VERBS and opening.group(1).lower() not in _LEADING):
        return False
    return all(_is_bidding(part, first=index == 0) for index, part in enumerate(_PART.split(text)))


def _is_bidding(text: str, *, first: bool = True) -> bool:
    while True:
        lead = _LEAD.match(text)
        body = text[lead.end() :] if lead else text
        if (lead and lead.end() and _says(text[: lead.end()], "")) or body.rstrip(" \"'”’)]").endswith("?"):
            return not first and is_question(text)
        words = body.split(None, 2)
        verb = words[0].strip(".,!…\"'”’)]").lower() if words else ""
        if verb not in _VERBS or (verb not in _OF_VERBS and _NOUN_OF.match(body)):
            return False
        if not words[0].endswith(",") or len(words) == 1:
            break
        text = body.split(",", 1)[1]  # Stop, look and listen.
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
    body = _UNTIL.sub("", body)
    if verb in _ASKING or (verb and _HOW_MUCH.match(body)):  # what is asked about is not asserted
        body = _ASKED_ABOUT.sub(r"\1", body, count=1)
    for before, pronoun, after in _RELATIVE.findall(body.lower()):
        if supposing or before == verb or after in ("you", "we"):
            continue
        if pronoun != "that" or before not in _BEFORE_THIS:
            return True
    if _SUBJECT.search(body) or any(before.lower() not in _OWN_SUBJECT for before, _ in _FINITE.findall(body)):
        return True
    return verb not in _SENSING and bool(_PLURAL_THEN.search(body))
