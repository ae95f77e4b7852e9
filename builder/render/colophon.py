"""What the foot of every page says of the whole site: on what terms its words may be used, whom to tell of a mistake.

In: the museum. Out: the few lines as plain data for the frame of the page, which escapes them. Nothing is refused.
"""

from __future__ import annotations

import re
from typing import TypedDict

from builder.model.museum import Museum
from builder.render.escape import to_plain
from builder.weigh.licence import terms_address

_MAIL = re.compile(r"[^\s@<>,;:]+@[^\s@<>,;:]+\.[a-z]{2,}", re.IGNORECASE)
_WEB = re.compile(r"https?://[^\s<>\"']+", re.IGNORECASE)


class Line(TypedDict):
    """A line at the foot of the page: its words, and the address that they lead to, or none."""

    words: str
    address: str


class Colophon(TypedDict):
    """`contact` and `licence` are None where museum.yml does not give them."""

    contact: Line | None
    licence: Line | None


def colophon_of(museum: Museum) -> Colophon:
    """What museum.yml says for the foot of the page. A contact that is no address in whole stays plain words."""
    contact, licence = museum.contact, museum.licence
    return {
        "contact": {"words": to_plain(contact), "address": _address(contact)} if contact else None,
        "licence": {"words": to_plain(licence), "address": terms_address(licence)} if licence else None,
    }


def _address(contact: str) -> str:
    if _MAIL.fullmatch(contact):
        return f"mailto:{contact}"
    return contact if _WEB.fullmatch(contact) else ""
