"""Judge the identifiers of sources and people: ISBN, ISSN, ORCID, DOI.

In: the text as a person wrote it. Out: a `Fault` in plain words, or None where nothing is wrong; plain digits from the
conversions. Refused: nothing raises; digits other than 0 to 9 never count as digits.

A right check digit is no proof of the right book: the sum behind ISBN-13 misses two neighbours that differ by five and
change places. Sums are done here, in place of a library's, because thousands of sources are read on every run.
"""

import re
from dataclasses import dataclass

_SEPARATORS = str.maketrans("", "", " -\u00a0\u2010\u2011\u2012\u2013")
_TEST_PREFIXES = frozenset({"10.5555", "10.50505", "10.88888"})  # Crossref community pages
_ASCII_LOWER = {upper: upper + 32 for upper in range(ord("A"), ord("Z") + 1)}


@dataclass(frozen=True)
class Fault:
    """What is amiss, in plain words; `certain` is False where the pattern misses some good identifiers."""

    message: str
    certain: bool = True


def isbn_fault(text: str) -> Fault | None:
    """Fault of an ISBN of 10 or 13 digits, hyphens and blanks ignored (ISO 2108; ISBN Users' Manual, §4.5)."""
    number, labelled = _without_label(text, "ISBN(?:-?1[03])?")
    digits = _compact(number)
    if re.fullmatch("[0-9]{13}", digits):
        if digits.startswith("9790"):
            return Fault(f"`{_clip(text)}` is an ISMN, the number of printed music, not of a book")
        if not digits.startswith(("978", "979")):
            return Fault(f"`{_clip(text)}` starts with neither 978 nor 979")
        if ean_check_digit(digits[:12]) != digits[12]:
            return Fault(f"check digit of `{_clip(text)}` is wrong: a digit is mistyped")
    elif re.fullmatch("[0-9]{9}[0-9X]", digits):
        if _isbn10_check(digits[:9]) != digits[9]:
            return Fault(f"check digit of `{_clip(text)}` is wrong: a digit is mistyped")
    elif re.fullmatch("M[0-9]{9}", digits):
        return Fault(f"`{_clip(text)}` is an ISMN, the number of printed music, not of a book")
    else:
        several = re.split(r"[\s,;]+", number.strip())
        if len(several) > 1 and all(re.fullmatch("[0-9]{9}[0-9X]|[0-9]{13}", _compact(s)) for s in several):
            many = Fault(f"`{_clip(text)}` holds {len(several)} ISBNs: keep that of the edition read", False)
            return next(filter(None, map(isbn_fault, several)), many)
        return Fault(f"`{_clip(text)}` has {len(digits)} characters: an ISBN has 10 or 13")
    return _labelled(text, number) if labelled else None


def to_isbn13(text: str) -> str | None:
    """The 13 digits of a good ISBN, so that two ways of writing one compare equal; None for a certain fault."""
    if (fault := isbn_fault(text)) is not None and fault.certain:
        return None
    digits = _compact(_without_label(text, "ISBN(?:-?1[03])?")[0])
    if len(digits) == 10:
        digits = f"978{digits[:9]}"
        return digits + ean_check_digit(digits)
    return digits if len(digits) == 13 else None


def to_isbn10(text: str) -> str | None:
    """The 10 characters of a good ISBN; None for a 979 number, which has no such form."""
    digits = to_isbn13(text)
    if digits is None or not digits.startswith("978"):
        return None
    return digits[3:12] + _isbn10_check(digits[3:12])


def issn_fault(text: str) -> Fault | None:
    """Fault of an ISSN such as `0378-5955`, its hyphen optional (ISO 3297; ISSN Manual)."""
    number, labelled = _without_label(text, "e?ISSN(?:-L)?")
    digits = _compact(number)
    if not re.fullmatch("[0-9]{7}[0-9X]", digits):
        return Fault(f"`{_clip(text)}` is not two groups of four: an ISSN looks like `0378-5955`")
    if issn_check_digit(digits[:7]) != digits[7]:
        return Fault(f"check digit of `{_clip(text)}` is wrong: a digit is mistyped")
    return _labelled(text, number) if labelled else None


def issn_check_digit(digits: str) -> str:
    """Check digit of seven ISSN digits: weights 8 to 2, modulus 11, ten written X (ISSN Manual)."""
    return _eleven(sum((8 - place) * int(digit) for place, digit in enumerate(digits)))


def issn_to_ean(text: str) -> str | None:
    """The 13-digit article number (prefix 977, variant 00) a good ISSN carries in its bar code."""
    if (fault := issn_fault(text)) is not None and fault.certain:
        return None
    digits = f"977{_compact(_without_label(text, 'e?ISSN(?:-L)?')[0])[:7]}00"
    return digits + ean_check_digit(digits)


def orcid_fault(text: str) -> Fault | None:
    """Fault of an ORCID iD such as `0000-0002-1825-0097` (16 characters, ISO 7064 MOD 11-2, upper-case X)."""
    number = re.sub(r"^https?://[^/\s]+/", "", text.strip())
    if not re.fullmatch("[0-9]{4}(?:-?[0-9]{4}){2}-?[0-9]{3}[0-9Xx]", number):
        return Fault(f"`{_clip(text)}` is not four groups of four: an ORCID iD looks like `0000-0002-1825-0097`")
    digits = number.replace("-", "")
    if digits.endswith("x"):
        return Fault(f"`{_clip(text)}` ends in a small x: its check character is a capital X")
    if mod_11_2_check(digits[:15]) != digits[15]:
        return Fault(f"check character of `{_clip(text)}` is wrong: a digit is mistyped")
    if number.count("-") != 3:
        grouped = "-".join(digits[place : place + 4] for place in range(0, 16, 4))
        return Fault(f"`{_clip(text)}` lacks its hyphens: write `{grouped}`", False)
    return None


def mod_11_2_check(digits: str) -> str:
    """Check character of ISO 7064 MOD 11-2 for any number of digits."""
    total = 0
    for digit in digits:
        total = (total + int(digit)) * 2
    return "0123456789X"[(12 - total % 11) % 11]


def doi_fault(text: str) -> Fault | None:
    """Fault of a DOI: `10.`, a prefix of digits that may be sub-divided, `/`, any suffix (ISO 26324; DOI Handbook).

    Certain only where the standard is broken. Published patterns miss some real DOIs (Gilmartin, Crossref blog, 2015),
    so an odd prefix or suffix is only doubted; so is a prefix that Crossref keeps for tests.
    """
    doi, wrapped = _bare_doi(text)
    shown = _clip(text)
    found = re.fullmatch(r"(10(?:\.[0-9]+)+)/(.+)", doi, re.DOTALL)
    if found is None:
        missing = "`/` and a suffix" if re.fullmatch(r"10(?:\.[0-9]+)+/?", doi) else "the form `10.1234/suffix`"
        return Fault(f"`{shown}` is no DOI: it lacks {missing}")
    prefix, suffix = found[1], found[2]
    if not suffix.isprintable():
        return Fault(f"`{shown}` holds a hidden character or a line break")
    if wrapped:
        return Fault(f"`{shown}` is more than the DOI: write `{_clip(doi)}`", False)
    if prefix in _TEST_PREFIXES:
        return Fault(f"`{shown}` has the prefix {prefix}, which is kept for tests: cite the real work", False)
    if not re.fullmatch(r"10\.[0-9]{4,9}(?:\.[0-9]+)*", prefix):
        return Fault(f"`{shown}` has an unusual prefix: compare it with the source", False)
    if suffix[-1] in ".,;:\"'" or suffix.count("(") != suffix.count(")"):
        return Fault(f"`{shown}` ends as if cut from a sentence: compare its last characters with the source", False)
    if not re.fullmatch(r"[-._;()/:A-Za-z0-9<>+\[\]#&=%~*@!$]+", suffix):
        return Fault(f"`{shown}` holds characters few DOIs have: compare it with the source", False)
    return None


def doi_key(text: str) -> str:
    """The DOI in the form in which two compare: alone, A to Z in lower case (DOI names ignore the case of ASCII)."""
    return _bare_doi(text)[0].translate(_ASCII_LOWER)


def ean_check_digit(digits: str) -> str:
    """Check digit of an article number less its last digit: weights 3, 1, 3 … from the right, modulus 10 (GS1)."""
    return str(-sum(int(digit) * (3 - place % 2 * 2) for place, digit in enumerate(reversed(digits))) % 10)


def _isbn10_check(digits: str) -> str:
    return _eleven(sum((10 - place) * int(digit) for place, digit in enumerate(digits)))


def _eleven(total: int) -> str:
    return "0123456789X"[-total % 11]


def _compact(text: str) -> str:
    return text.strip().translate(_SEPARATORS).upper()


def _without_label(text: str, label: str) -> tuple[str, bool]:
    found = re.match(rf"\s*{label}(?![0-9A-Za-z])\s*:?\s*", text, re.IGNORECASE)
    return (text[found.end() :], True) if found else (text, False)


def _labelled(text: str, number: str) -> Fault:
    return Fault(f"`{_clip(text)}` is more than the number: write `{_clip(number.strip())}`", False)


def _bare_doi(text: str) -> tuple[str, bool]:
    text = text.strip()
    found = re.match(r"(?:https?://[^/\s]+/|doi:?\s*(?:https?://[^/\s]+/)?)(?=10\.)", text, re.IGNORECASE)
    return (text[found.end() :], True) if found else (text, False)


def _clip(text: str) -> str:
    text = "".join(letter if letter.isprintable() else "?" for letter in text.replace("`", "'"))
    return text if len(text) <= 60 else f"{text[:57]}…"
