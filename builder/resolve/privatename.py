"""How the name of a private person may be written.

In: the name as a record has it, `Percival Quillfeather`, `Quillfeather, P.`, `Mr and Mrs van der Berg`. Out: patterns
for the full name, initials with surname, the surname alone where it is no ordinary word, the initials alone. Nothing is
refused; words that name nobody (`a private collector`) give no pattern.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from builder.resolve.fold import fold
from builder.resolve.pattern import GAP, WORD, Pattern, bounded, joined, sequence, telling


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


TITLES = _words(
    "mr mrs ms miss mx dr prof professor sir dame lady lord rev reverend capt captain major colonel col the late"
)
TITLED = "Mr|Mrs|Ms|Miss|Dr|Prof|Professor|Sir|Lady|Lord|Rev"
SUFFIXES = _words("jr jun junior sr sen senior ii iii iv esq phd obe mbe frs")
PARTICLES = _words("van von der den de di da du la le del della dos das af av zu ten ter al el bin ibn st")
BODIES = _words(
    "museum society club ltd limited trust university expedition estate college school department survey institute "
    "company association office gallery zoo garden gardens service union council family collection"
)
NOBODY = _words("anonymous anon unknown private nobody none unnamed unrecorded not various")
OTHERS = _words("UK US USA AD BC CE AM PM NB PS DC EU SE NW NE SW")
SPELT = (
    ("ä", "ae"),
    ("ö", "oe"),
    ("ü", "ue"),
    ("å", "aa"),
    ("ø", "oe"),
    ("Ä", "Ae"),
    ("Ö", "Oe"),
    ("Ü", "Ue"),
    ("Å", "Aa"),
)
ORDINARY = _words(
    "ash baker banks bear beck bird bishop black bloom bond bone bones boots bridges brook brooks brown burns "
    "bush butcher butler cage carpenter carter case church clay close cole constable cook cooper crane cross "
    "dale dam dawn day dean drake drew duck dunes eagle east egg farmer fell fern field fields finch fish "
    "fisher fisherman flint flood flower flowers ford forest fox france frank freeman frost gale game "
    "gardener glass good grant grass gray green grey grove gull hall hammer hand hare hart hawk hay head "
    "heath heather hedges hill hills hive holly holmes hood hook horn house hunt hunter ice island jay keeper "
    "keys king kite knight lake lamb land lane lark law lawn leaf lily lion little long love low major man "
    "march mark marsh martin mason may meadow meadows miller mills mole monk moon moor moore moss mountain "
    "mouse newt nightjar north oak page paint park parrot parsons peacock pearl penny perch pike plant poet "
    "pond pool porter post potter price prince quill rain ray reed rice rich ridge river rivers robin rock "
    "roe root rose rush sage salmon sands scales seal sharp shell shepherd short silver singer skull small "
    "smart smith snow south sparrow spring star steel stone storm street strong summer swallow swan sweet "
    "swift tailor tanner taylor teal temple thorn tiger tree turner walker wall ward waters weaver webb weeks "
    "well wells west wheat white wild winter winters wise wolf wood woods wren wright young"
)
"""Surnames that are also ordinary words, or as common; alone they name nobody (our choice)."""

ORDINARY_GIVEN = _words(
    "april art august autumn basil bill bob buck chance charity clay constance crystal daisy dick dawn drew earl "
    "faith felicity gale gene grace guy hazel heather herb hope ivy iris jack jasmine jay jet joy june lance "
    "laurel lily mark max may mercy miles myrtle olive opal pansy pat patience pearl pearce penny peter poppy "
    "prudence ray rich rob robin rod rose ruby rusty sandy skip sky summer sunny tad victor violet virginia "
    "ward will willow woody"
)
"""Given names that are also ordinary words."""


def known_surnames(names: Iterable[str]) -> frozenset[str]:
    """The surnames in names that are public, such as those of cited authors; alone they give nobody away."""
    return frozenset(words[-1] for name in names if (words := WORD.findall(fold(name).lower())))


def name_patterns(name: str, known: frozenset[str]) -> Iterator[Pattern]:
    """Every person in the name: in full, by initials and surname, by surname where that tells, by initials alone."""
    name = re.sub(r"\([^()]*\)", " ", name)
    spelt = name
    for one, two in SPELT:
        spelt = spelt.replace(one, two)
    for written in dict.fromkeys((fold(name), fold(spelt))):
        for person in re.split(r"\s+(?:and|with)\s+|\s*[&;]\s*", written):
            yield from _person(person, known)


def _person(person: str, known: frozenset[str]) -> Iterator[Pattern]:
    surname, given = _parts(person)
    if (
        not surname
        or surname[0].lower() in NOBODY
        or all(word.islower() or word in ("A", "An", "The") for word in (*given, *surname))
    ):
        return
    if any(word.lower() in BODIES for word in surname):
        yield sequence(word.lower() for chunk in (*given, *surname) for word in WORD.findall(chunk))
        return
    words = [word for chunk in surname for word in WORD.findall(chunk.lower())]
    core = [word for word in words if word not in PARTICLES] or words
    first = next((word for chunk in given for word in WORD.findall(chunk)), "")
    whole = "".join(core)
    if not whole:
        return
    if len(first) > 1 and whole.isalpha():
        yield sequence([first.lower() + whole])  # as the name of a file
    tells = whole not in ORDINARY and core[-1] not in known and len(whole) > 3
    if tells or not (first or whole in ORDINARY):
        plain = sequence(core, gap=r"[\W_]{0,3}")
        for ending in ("", "s"):  # the Quillfeathers
            yield Pattern(telling([*core[:-1], core[-1] + ending]), bounded(joined(core, r"[\W_]{0,3}") + ending))
        if len(core) > 1:
            yield sequence([whole])
        if not plain.signs:
            yield plain
    else:
        yield from _ordinary(first, core)
    yield from _half(first, core)
    before = [word for chunk in given for word in WORD.findall(chunk)]
    for surnames in dict.fromkeys(((core[-1],), tuple(core))):
        letters = "".join(word[0].upper() for word in (*before, *surnames))
        if 1 < len(letters) < 6 and letters.isascii() and letters.isalpha() and letters not in OTHERS:
            # after a surname, or before one, they are somebody else's
            spelt = r"\.[ -]?".join(letters)
            expression = rf"(?<![\w.])(?<![a-z] )(?<![a-z], ){spelt}\.(?!\s?[A-Z])"
            yield Pattern(frozenset({letters}), expression, cased=True, weak=True)


def _ordinary(first: str, core: list[str]) -> Iterator[Pattern]:
    """Ways to write a person whose surname says nothing alone: with the given name, an initial or a title."""
    need, plain, given = telling(core), joined(core, r"[\W_]{0,3}"), first.lower()
    capital = r"[\W_]{0,3}".join(map(_capital, core))
    yield Pattern(need | {f"@{core[0]}"}, rf"\b(?:{TITLED})\b\.? {capital}\b", cased=True)
    if not first:
        return
    initial = first[0].upper()
    if given in ORDINARY | ORDINARY_GIVEN:  # "a rose on the hill" is not Rose Hill, nor "will they in May" Will May
        named = _capital(given)
        yield Pattern(need | {given}, bounded(rf"{named}{GAP}(?:[A-Z]\w*{GAP}){{0,3}}?{capital}"), cased=True)
        yield Pattern(need | {given}, bounded(rf"{capital}, ?{named}"), cased=True)
    elif len(given) > 1:
        yield Pattern(need | {given}, bounded(rf"{given}{GAP}(?:\w+{GAP}){{0,3}}?{plain}"))
        yield Pattern(need | {given}, bounded(rf"{plain}{GAP}{given}"))
    led, followed = f"{given[0]}.{core[0]}", f"{given[0]}.{core[-1]}"
    yield Pattern(need | {led}, rf"\b{initial}\. ?(?:[A-Z]\.?[ -]?){{0,3}}{capital}\b", cased=True)
    yield Pattern(need | {followed}, rf"\b{capital}, {initial}\.", cased=True)


def _half(first: str, core: list[str]) -> Iterator[Pattern]:
    """Ways to write a person by half a name: one part of a double surname, or the given name and an initial."""
    given = _capital(first.lower()) if len(first) > 1 else ""
    for part in core if len(core) > 1 else ():
        if len(part) > 2 and part.isalpha():
            yield Pattern(frozenset({part, f"@{part}"}), rf"\b(?:{TITLED})\b\.? {_capital(part)}\b", cased=True)
            if given:
                yield Pattern(frozenset({first.lower(), part}), bounded(rf"{given} {_capital(part)}"), cased=True)
    if given and first.lower() not in ORDINARY | ORDINARY_GIVEN:
        initial = core[0][0].upper()
        expression = rf"(?<![\w.-]){given} {initial}\.(?! ?[A-Z][\w.])"
        yield Pattern(frozenset({first.lower()}), expression, cased=True, weak=True)


def _capital(word: str) -> str:
    """An expression for a name written as a name: with a capital, or all in capitals."""
    return rf"(?:{word.capitalize()}|{word.upper()})"


def _parts(person: str) -> tuple[list[str], list[str]]:
    """Surname (with its particles) and given names, titles and suffixes left out."""
    family, comma, given = person.partition(",")
    if comma and given.strip().lower().rstrip(".") in SUFFIXES:
        comma, given = "", ""
    surname, before = _chunks(family), _chunks(given)
    if comma:
        return surname, before
    start = len(surname) - 1
    while start > 0 and surname[start - 1].lower() in PARTICLES:
        start -= 1
    if any(word.lower() in BODIES for word in surname):
        start = 0
    return surname[max(start, 0) :], surname[: max(start, 0)]


def _chunks(text: str) -> list[str]:
    chunks = [chunk.strip(".,()\"'") for chunk in text.split()]
    return [chunk for chunk in chunks if chunk and chunk.lower() not in SUFFIXES | TITLES and WORD.search(chunk)]
