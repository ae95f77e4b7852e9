"""Read a licence as a person wrote it: whether a reader can know its terms, and where these stand.

In: a line of text. Out: the licence with its address, or why it is not understood and the mend. Nothing raises.

Understood are SPDX licence expressions (the SPDX licence list, as the `packaging` library carries it), the Creative
Commons licences by their short or long names or the addresses of their deeds, and plain words on rights and permission.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from packaging.licenses import InvalidLicenseExpression, canonicalize_license_expression

_PHRASE = re.compile(
    r"all rights reserved|©|\(c\)|\bcopyright\b|\bpublic domain\b|\bpermission\b|\bpermitted\b"
    r"|\blicen[cs]ed (?:from|by)\b|\bno known (?:copyright|rights)\b|\bcrown copyright\b",
    re.IGNORECASE,
)
_LONG_NAMES = (
    (re.compile(r"creative commons|\bcc\b", re.IGNORECASE), "cc"),
    (re.compile(r"attribution", re.IGNORECASE), "by"),
    (re.compile(r"non-?\s?commercial", re.IGNORECASE), "nc"),
    (re.compile(r"no-?\s?deriv(?:ative)?s?(?: works)?", re.IGNORECASE), "nd"),
    (re.compile(r"share-?\s?alike", re.IGNORECASE), "sa"),
    (re.compile(r"\b(?:international|unported|generic|licen[cs]e|public|the|a|intl)\b", re.IGNORECASE), ""),
    (re.compile(r"\bzero\b", re.IGNORECASE), "0"),
)
_COMMONS = re.compile(
    r"cc-(by|by-sa|by-nd|by-nc|by-nc-sa|by-nc-nd)(?:-(1\.0|2\.0|2\.1|2\.5|3\.0|4\.0))?(?:-[a-z]{2,3})?"
)
_DEED = re.compile(r"https?://creativecommons\.org/(?:licenses/([a-z-]+)/(\d\.\d)|publicdomain/(?:zero|mark)/1\.0)\b")
_WEB = re.compile(r"https?://[^\s<>\"']+", re.IGNORECASE)
_DEEDS = "https://creativecommons.org"


class Licence(NamedTuple):
    """A licence that is understood: what it is called, and where its terms stand (empty where plain words say them)."""

    name: str
    address: str = ""


class LicenceFault(NamedTuple):
    """What keeps a reader from knowing the terms, and the mend."""

    message: str
    mend: str


def terms_address(text: str | None) -> str:
    """Where the terms of a licence stand: of one that is understood, or the text itself where it is a web address."""
    licence = read_licence(text) if text else None
    if isinstance(licence, Licence) and licence.address:
        return licence.address
    return text if text and _WEB.fullmatch(text) else ""


@lru_cache(maxsize=512)
def read_licence(text: str) -> Licence | LicenceFault:
    """The licence that a text names, called as the text has it."""
    if _DEED.match(text):
        return Licence(text, text)
    short = text
    for words, sign in _LONG_NAMES:
        short = words.sub(sign, short)
    short = re.sub(r"[\s,()/_-]+", "-", short.lower()).strip("-")
    if re.fullmatch(r"cc-?0(?:-1\.0)?", short):
        return Licence(text, f"{_DEEDS}/publicdomain/zero/1.0/")
    if re.fullmatch(r"pdm(?:-1\.0)?", short):
        return Licence(text, f"{_DEEDS}/publicdomain/mark/1.0/")
    found = _COMMONS.fullmatch(short)
    if found and found[2]:
        return Licence(text, f"{_DEEDS}/licenses/{found[1]}/{found[2]}/")
    if _PHRASE.search(text) or short == "pd":
        return Licence(text)
    try:
        name = canonicalize_license_expression(text)
    except (InvalidLicenseExpression, ValueError, SyntaxError, RecursionError):
        pass
    else:
        alone = re.fullmatch(r"(?!LicenseRef-)[A-Za-z0-9.-]+", name)
        return Licence(text, f"https://spdx.org/licenses/{name}.html" if alone else "")
    if found:
        return LicenceFault(
            "does not say which version", f"write it with its number, such as CC-{found[1].upper()}-4.0"
        )
    mend = "write a licence by its SPDX name, such as CC-BY-4.0, or who gave permission and for what"
    return LicenceFault("names no licence that we know", mend)
