"""figure-without-rights: see figure_without_rights.md"""

import re
from collections.abc import Iterator
from functools import lru_cache

from packaging.licenses import InvalidLicenseExpression, canonicalize_license_expression

from builder.check.case import Case
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE = "figure-without-rights", ERROR, False
PHRASE = re.compile(
    r"all rights reserved|©|\(c\)|\bcopyright\b|\bpublic domain\b|\bpermission\b|\bpermitted\b"
    r"|\blicen[cs]ed (?:from|by)\b|\bno known (?:copyright|rights)\b|\bcrown copyright\b",
    re.IGNORECASE,
)
LONG_NAMES = (
    (re.compile(r"creative commons|\bcc\b", re.IGNORECASE), "cc"),
    (re.compile(r"attribution", re.IGNORECASE), "by"),
    (re.compile(r"non-?\s?commercial", re.IGNORECASE), "nc"),
    (re.compile(r"no-?\s?deriv(?:ative)?s?(?: works)?", re.IGNORECASE), "nd"),
    (re.compile(r"share-?\s?alike", re.IGNORECASE), "sa"),
    (re.compile(r"\b(?:international|unported|generic|licen[cs]e|public|the|a|intl)\b", re.IGNORECASE), ""),
    (re.compile(r"\bzero\b", re.IGNORECASE), "0"),
)
COMMONS = re.compile(
    r"cc-(by|by-sa|by-nd|by-nc|by-nc-sa|by-nc-nd)(?:-(1\.0|2\.0|2\.1|2\.5|3\.0|4\.0))?(?:-[a-z]{2,3})?"
)
DEED = re.compile(r"https?://creativecommons\.org/(?:licenses/([a-z-]+)/(\d\.\d)|publicdomain/(?:zero|mark)/1\.0)\b")


def check(case: Case) -> Iterator[Problem]:
    """Figures that do not say who made them, or on what terms they may be shown."""
    for key, figure in case.record.figures.items():
        path = ("figures", key)
        missing = [name for name in ("credit", "licence") if getattr(figure, name) is None]
        if missing:
            what = " and no ".join(f"`{name}`" for name in missing)
            mend = "add " + " and ".join(
                {"credit": "`credit: …`, who made it", "licence": "`licence: …`, such as CC-BY-4.0"}[n] for n in missing
            )
            yield Problem(NAME, f"the figure `{key}` has no {what}", mend, path=path, at_key=True)
        fault = licence_fault(figure.licence) if figure.licence else None
        if fault:
            yield Problem(
                NAME, f"`licence: {figure.licence}` {fault[0]}", fault[1], path=(*path, "licence"), severity=WARNING
            )


@lru_cache(maxsize=512)
def licence_fault(text: str) -> tuple[str, str] | None:
    """What keeps a reader from knowing the terms, and the mend; None where the licence is understood.

    Understood are SPDX licence expressions, the Creative Commons licences by their short or long names or their deeds,
    and plain words on rights and permission.
    """
    if PHRASE.search(text) or DEED.match(text):
        return None
    try:
        canonicalize_license_expression(text)
        return None
    except (InvalidLicenseExpression, ValueError, SyntaxError, RecursionError):
        pass
    short = text
    for words, sign in LONG_NAMES:
        short = words.sub(sign, short)
    short = re.sub(r"[\s,()/_-]+", "-", short.lower()).strip("-")
    if re.fullmatch(r"cc-?0(?:-1\.0)?|pdm?(?:-1\.0)?", short):
        return None
    found = COMMONS.fullmatch(short)
    if found and found.group(2):
        return None
    if found:
        return "does not say which version", f"write it with its number, such as CC-{found.group(1).upper()}-4.0"
    mend = "write a licence by its SPDX name, such as CC-BY-4.0, or who gave permission and for what"
    return "names no licence that we know", mend
