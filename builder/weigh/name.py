"""Read a zoological name into its parts and say where its shape breaks the Code.

In: a name as written, with or without its author. Out: a `Name` of plain parts, with whatever is amiss in it, or a
`NameFault` where no name can be read at all. Refused: nothing raises; text that is no name is a `NameFault`.

Source: *International Code of Zoological Nomenclature*, 4th edition 1999; the article stands beside each rule. The
shapes used for plants' names are told apart and only doubted, never called wrong. Whether a name is in use, or the
right one, no program can see from its letters.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

_DOUBTS = frozenset({"cf.", "cf", "aff.", "aff", "nr.", "nr", "prope", "?"})
_UNNAMED = frozenset({"sp.", "sp", "spp.", "spp", "spec.", "species", "indet.", "indet"})
_RANKS = frozenset({"subsp.", "ssp.", "var.", "subvar.", "f.", "forma", "morph", "ab."})
_USAGE = frozenset({"sensu", "auct.", "auctt."})
_PARTICLE_WORDS = (
    "'t af al auf av da dal das de deg degli dei del della delle dello dem den der des di do dos du e el et ex "
    "in la las le les lo los op st. te ten ter tho thoe to und van van't vander vom von vor y zu zum zur & and"
)
_PARTICLES = frozenset(_PARTICLE_WORDS.split())
_AFTER_AUTHOR = frozenset({"al.", "fil.", "f.", "jun.", "junior", "sen.", "senior", "litt."})
_PLACEHOLDERS = frozenset(
    {"none", "unknown", "unidentified", "undetermined", "unnamed", "various", "mixed", "not", "no", "nil", "null"}
)
_LETTERS = {"æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ß": "ss", "þ": "th", "ð": "d"}
# Art. 32.5.2.6: a number in a compound is written in words. Values from memory but for 4 and 13.
_NUMBERS = {
    2: "bi", 3: "tri", 4: "quadri", 5: "quinque", 6: "sex", 7: "septem", 8: "octo", 9: "novem", 10: "decem",
    11: "undecim", 12: "duodecim", 13: "tredecim", 14: "quatuordecim", 15: "quindecim", 16: "sedecim",
    17: "septendecim", 18: "octodecim", 19: "novemdecim", 20: "viginti", 22: "vigintiduo", 24: "vigintiquatuor",
}  # fmt: skip
# Art. 3 (value from memory): names begin in 1758; Clerck's spiders, deemed to be of 1758, are cited with 1757.
_FIRST_YEAR = 1757
_LONGEST = 1000
"""Characters of a name or its authority from which it is none (our choice); the longest lists of authors hold less."""


@dataclass(frozen=True)
class NameFault:
    """What is amiss in a name, in plain words; `certain` is False where it is only worth a second look."""

    message: str
    certain: bool = True


@dataclass(frozen=True)
class Name:
    """A name in parts; `authority` is the authors without year and parentheses, `usage` what follows *sensu*."""

    genus: str
    subgenus: str | None
    epithets: tuple[str, ...]
    authority: str | None
    year: int | None
    parentheses: bool
    qualifier: str | None
    usage: str | None
    faults: tuple[NameFault, ...]

    @property
    def bare(self) -> str:
        """The name alone: genus and epithets, without subgenus (Art. 6.1), author or qualifier (Art. 5.3)."""
        return " ".join((self.genus, *self.epithets))


@dataclass(frozen=True)
class _Authority:
    authors: str | None = None
    year: int | None = None
    parentheses: bool = False
    faults: tuple[NameFault, ...] = ()


def read_name(text: str) -> Name | NameFault:
    """Read `text` as a uninomen, binomen or trinomen with optional subgenus, qualifier and author (Arts 4–6, 51)."""
    text = _tidy(text)
    refused = _refusal(text)
    if refused is not None:
        return refused
    words = text.split(" ")
    genus, doubted = _without_query(words[0])
    faults = list(_spelling_faults(genus))
    qualifier = "?" if doubted else None
    subgenus: str | None = None
    epithets: list[str] = []
    position = 1
    if len(words) > 1 and (found := re.fullmatch(r"\(([^\s(),&]+)\)", words[1])):
        subgenus, position = found[1], 2
        if not subgenus[0].isupper():
            faults.append(NameFault(f"subgenus `{_clip(subgenus)}` starts with a small letter (Art. 6.1)", False))
        faults.extend(_spelling_faults(subgenus[0].upper() + subgenus[1:]))
    while position < len(words):
        word = words[position]
        following = words[position + 1 :]
        if word in _DOUBTS:
            qualifier = word
        elif word in _UNNAMED:
            qualifier = word
            if following and re.fullmatch(r"nov\.|n\.|[A-Z]|[0-9]+", following[0]):
                qualifier, position = f"{word} {following[0]}", position + 1
        elif word in _RANKS or word in {"×", "x"}:
            faults.append(NameFault(f"`{word}` stands in names of plants and hybrids, not of animals", False))
        elif word in _USAGE or _starts_authority(word, following):
            break
        else:
            word, doubted = _without_query(word)
            qualifier = "?" if doubted else qualifier
            if word.endswith(","):
                word = word.rstrip(",")
                faults.append(NameFault(f"a comma stands between `{_clip(word)}` and what follows (Art. 51.2)"))
            faults.extend(_spelling_faults(word))
            epithets.append(word)
        position += 1
    written, _, usage = _split_usage(" ".join(words[position:]))
    authority = _read_authority(written) if written else _Authority()
    if not epithets and qualifier is None and re.fullmatch(r"[A-Z][a-z]+", written):
        lower = written.lower()
        faults.append(NameFault(f"`{written}` is a species, written `{lower}` (Art. 28), or an author: add the year"))
    if len(epithets) > 2:
        faults.append(NameFault(f"{len(epithets) + 1} words: a name has three at most (Art. 5.2)"))
    if qualifier is not None:
        faults.append(NameFault(f"`{qualifier}` is no part of the name and leaves it uncertain (Art. 5.3)", False))
    faults.extend(authority.faults)
    return Name(genus, subgenus, tuple(epithets), authority.authors, authority.year, authority.parentheses,
                qualifier, usage or None, tuple(faults))  # fmt: skip


def authority_fault(authority: str) -> NameFault | None:
    """The gravest fault of an author's citation such as `(Linnaeus, 1758)`, or None (Arts 22A, 51; Rec. 51B)."""
    written, _, _ = _split_usage(_tidy(authority))
    if not written:
        return NameFault("the authority is empty")
    return next(iter(sorted(_read_authority(written).faults, key=lambda fault: not fault.certain)), None)


def scientific_name_faults(
    scientific: str, authority: str | None, *, described_as: str | None = None
) -> tuple[NameFault, ...]:
    """Every fault of a name and its author, both as a record has them.

    `described_as` is the original combination, with or without its author: parentheses are then held to Art. 51.3
    (the genus was changed, so they are needed; a changed subgenus alone needs none), author and year to the original.
    """
    name = read_name(scientific)
    if isinstance(name, NameFault):
        return (name,)
    faults = list(name.faults)
    cited = _Authority(name.authority, name.year, name.parentheses)
    if authority is not None and _tidy(authority):
        field = _read_authority(_split_usage(_tidy(authority))[0])
        faults.extend(field.faults)
        if name.authority and cited != _Authority(field.authors, field.year, field.parentheses):
            faults.append(NameFault(f"the name says `{_clip(name.authority)}`, the authority `{_clip(authority)}`"))
        cited = field
    if described_as is not None:
        faults.extend(_combination_faults(name.genus, cited, described_as))
    return tuple(dict.fromkeys(faults))


def abbreviated(scientific: str) -> str:
    """The name with its genus cut to a letter, `C. europaeus`; a genus alone, or what is no name, stays as it is."""
    name = read_name(scientific)
    if isinstance(name, NameFault) or not name.epithets:
        return scientific
    return " ".join((f"{name.genus[0]}.", *name.epithets))


def latin_spelling(word: str) -> str | None:
    """A word in the 26 letters of Art. 11.2, or None where the mend depends on the word's origin or is not known.

    Art. 32.5.2: ligatures are resolved, marks, apostrophes and hyphens dropped (the hyphen after a single descriptive
    letter stays, `c-album`), numbers written in words. An umlaut gives None: *ue* from a German word before 1985,
    else *u*.
    """
    word = unicodedata.normalize("NFC", word)
    numbered = re.match(r"([0-9]{1,2})-?(?=[^\W\d_])", word)
    if numbered:
        prefix = _NUMBERS.get(int(numbered[1]))
        if prefix is None:
            return None
        word = prefix + word[numbered.end() :]
    if re.search("[äöüÄÖÜ]", word):
        return None
    word = "".join(_LETTERS.get(letter, letter) for letter in word)
    word = "".join(letter for letter in unicodedata.normalize("NFD", word) if not unicodedata.combining(letter))
    word = re.sub("['’ʼ‘`]", "", word)
    if not re.fullmatch("[a-z]-[a-z]{2,}", word):
        word = word.replace("-", "")
    return word if re.fullmatch(r"[A-Za-z]+|[a-z]-[a-z]+", word) else None


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split())


def _clip(text: str) -> str:
    text = text.replace("`", "'")
    return text if len(text) <= 60 else f"{text[:57]}…"


def _without_query(word: str) -> tuple[str, bool]:
    return (word[:-1], True) if word.endswith("?") and len(word) > 1 else (word, False)


def _split_usage(text: str) -> tuple[str, str, str]:
    """Authority, mark and user of a usage cited after *sensu* (Art. 51.2.1)."""
    found = re.search(r"(?:^|[\s,])(sensu|auct{1,2}\.)(?:\s|$)", text)
    if not found:
        return text, "", ""
    return text[: found.start()].rstrip(" ,"), found[1], text[found.end() :].strip()


def _refusal(text: str) -> NameFault | None:
    """Why no name can be read from `text` at all."""
    if len(text) > _LONGEST:
        return NameFault(f"`{_clip(text)}` holds {len(text):,} characters: no name is that long")
    if not text:
        return NameFault("the scientific name is empty")
    first, *rest = text.split(" ")
    shown = _clip(text)
    if re.search(r"[<>{}*|\\]|&[a-z#]\w*;", text):
        return NameFault(f"`{shown}` holds markup: write the bare name")
    if any(unicodedata.category(letter)[0] == "C" for letter in text):
        return NameFault(f"`{_clip(''.join(c if c.isprintable() else '?' for c in text))}` holds a hidden character")
    if "_" in text:
        return NameFault(f"`{shown}` has an underscore: part the words with blanks")
    if re.fullmatch(r"[A-Z][a-z]{0,2}\.", first):
        return NameFault(f"`{shown}` shortens the genus: write it in full")
    if first.lower() in _PLACEHOLDERS or (rest and rest[0].lower() in _PLACEHOLDERS | {"recorded"}):
        return NameFault(f"`{shown}` is a remark, not a name")
    if first[0].islower():
        return NameFault(f"`{shown}` starts with a small letter: a genus has a capital (Art. 28)")
    if not first[0].isalpha() or re.search("[0-9]", first):
        return NameFault(f"`{_clip(first)}` is no genus: it holds something other than letters (Art. 11.2)")
    if len(first) > 1 and first.isupper():
        return NameFault(f"`{_clip(first)}` is all capitals: write `{_clip(first.capitalize())}` (Art. 28)")
    return None


def _spelling_faults(word: str) -> Iterator[NameFault]:
    """Faults in the letters of one word of a name (Arts 11, 28, 32.5)."""
    shown = _clip(word)
    if re.fullmatch(r"[A-Z]?[a-z]+|[a-z]-[a-z]{2,}", word):
        if len(word) < 2:
            yield NameFault(f"`{shown}` is a single letter: a name has two or more (Art. 11)")
        return
    if word.startswith("-") or word.endswith("-"):
        yield NameFault(f"`{shown}` has a hyphen at its end (Art. 32.5.2)")
    elif re.search("[äöüÄÖÜ]", word):
        yield NameFault(
            f"`{shown}` has an umlaut, which becomes `ae`, `oe` or `ue` in a name made from a German word before 1985 "
            "and a plain vowel in any other: look the name up (Art. 32.5.2.1)",
            False,
        )
    elif (mended := latin_spelling(word)) and mended != word:
        yield NameFault(f"`{shown}` goes beyond the 26 Latin letters: write `{_clip(mended)}` (Arts 11.2, 32.5.2)")
    elif len(word) == 1:
        yield NameFault(f"`{shown}` is a single letter: a name has two or more (Art. 11)")
    else:
        yield NameFault(f"`{shown}` holds something other than the 26 Latin letters, or a stray capital (Art. 11.2)")


def _starts_authority(word: str, following: list[str]) -> bool:
    """Whether the author begins here: a capital in the word, a bracket, a year, or a particle with a capital later."""
    if word[0] in "([" or re.fullmatch(r"[0-9]{4}[a-z]?[:,)]?", word):
        return True
    if any(letter.isupper() for letter in word):
        return True
    return word in _PARTICLES and any(letter.isupper() for letter in " ".join(following))


def _read_authority(text: str) -> _Authority:
    """Split a citation into authors, year and parentheses; `text` is tidy and not empty."""
    shown = _clip(text)
    if len(text) > _LONGEST:
        return _Authority(faults=(NameFault(f"`{shown}` holds {len(text):,} characters: no authority is that long"),))
    if text.count("(") != text.count(")"):
        return _Authority(faults=(NameFault(f"`{shown}` has a parenthesis without its partner"),))
    parentheses = False
    if whole := re.fullmatch(r"\(([^()]*)\)", text):
        text, parentheses = whole[1].strip(), True
    elif outside := re.fullmatch(r"\(([^()]*)\),? ?\[?([0-9]{4})\]?", text):
        mend = f"({outside[1].strip()}, {outside[2]})"
        fault = NameFault(f"`{shown}` leaves the year outside: write `{_clip(mend)}` (Art. 22A.3)")
        return _Authority(outside[1].strip(), int(outside[2]), True, (fault,))
    elif bracketed := re.fullmatch(r"([^()]+?),? ?\(([0-9]{4})\)", text):
        mend = f"{bracketed[1]}, {bracketed[2]}"
        fault = NameFault(f"`{shown}` brackets the year alone: write `{_clip(mend)}` (Art. 22A.2)")
        return _Authority(bracketed[1], int(bracketed[2]), False, (fault,))
    elif re.fullmatch(r"\([^()]+\) ?[^\W\d_][^()0-9]*", text):
        fault = NameFault(f"`{shown}` names an author after the parentheses, as plants' names do", False)
        return _Authority(text, None, False, (fault,))
    elif "(" in text:
        return _Authority(text, None, False, (NameFault(f"`{shown}` has parentheses in its middle"),))
    faults: list[NameFault] = []
    if page := re.fullmatch(r"(.*[0-9]{4}[a-z]?)(?:: ?| ?, ?p+\. ?)[0-9ivxlc–-]+", text):
        text = page[1]
        faults.append(NameFault(f"`{shown}` carries a page: stop after the year (Art. 22A.2)"))
    authors, year = text, None
    if dated := re.fullmatch(r"(.*?),? ?[\[\"“]*([0-9]{4})([a-z]?)[\]\"”]*(?: ?\[[\"“]?[0-9]{4}[\"”]?\])?", text):
        authors, year = dated[1].rstrip(), int(dated[2])
        if dated[3]:
            faults.append(NameFault(f"`{dated[2]}{dated[3]}` has a letter that belongs to a list of references", False))
        if not authors:
            faults.append(NameFault(f"the year {dated[2]} stands without an author"))
        if year < _FIRST_YEAR:
            faults.append(NameFault(f"{dated[2]} is before 1758, where names of animals begin (Art. 3)", False))
    faults.extend(_author_faults(authors))
    return _Authority(authors or None, year, parentheses, tuple(faults))


def _author_faults(authors: str) -> Iterator[NameFault]:
    if not authors:
        return
    for author in re.split(r",? ?& ?|,? (?:and|et|in|ex|y|e|und) |, ?", authors):
        words = author.strip("[]").split()
        if not words:
            yield NameFault(f"`{_clip(authors)}` has a comma or `&` with no author beside it")
        elif not all(re.fullmatch(r"[^\W\d_](?:[^\W\d_]|[.'’ʼ-])*|['’]t", word) for word in words):
            yield NameFault(f"`{_clip(author)}` is no author's name: it holds a digit or a sign")
        elif not any(word in _AFTER_AUTHOR for word in words) and not any(c.isupper() for c in author):
            # scripts without capitals do not occur here: authors are cited in Latin letters
            yield NameFault(f"author `{_clip(author)}` starts with a small letter")


def _combination_faults(genus: str, cited: _Authority, described_as: str) -> Iterator[NameFault]:
    """Hold parentheses, author and year to the original combination (Arts 22A.3, 51.2, 51.3)."""
    original = read_name(described_as)
    if isinstance(original, NameFault):
        yield NameFault(f"the name it was described under cannot be read: {original.message}")
        return
    if not cited.authors:
        return
    year = "" if cited.year is None else f", {cited.year}"
    bare = f"{cited.authors}{year}"
    if genus != original.genus and not cited.parentheses:
        yield NameFault(
            f"described in `{_clip(original.genus)}`, now `{_clip(genus)}`: write `({_clip(bare)})` (Art. 51.3)"
        )
    elif genus == original.genus and cited.parentheses:
        yield NameFault(f"described in `{_clip(genus)}`, where it still stands: write `{_clip(bare)}` (Art. 51.3)")
    if original.authority and original.authority != cited.authors:
        yield NameFault(f"described by `{_clip(original.authority)}`, not `{_clip(cited.authors)}` (Art. 51.2)")
    elif original.year and cited.year and original.year != cited.year:
        yield NameFault(f"described in {original.year}, not {cited.year}")
