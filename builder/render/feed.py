"""Render the feed of corrections: Atom (RFC 4287), so that whoever quoted us learns what we have put right.

In: corrections as plain data, newest first, and the museum's address. Out: the bytes of one file. All its times come
from the corrections, so that the same corrections make the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlsplit

from feedgen.feed import FeedGenerator

from builder.compose.correction import CorrectionData, is_day
from builder.model.museum import Museum
from builder.render.correction import FEED, heading_of, tell_kind, tell_place, tell_role
from builder.render.escape import to_plain

START = "1970-01-01"
"""The day of a feed without entries: the format wants one, and a clock would make each build differ."""


def site_of(museum: Museum) -> str:
    """The address of the museum's site with a slash at its end; empty where museum.yml gives none that serves."""
    site = museum.site or ""
    try:
        parts = urlsplit(site)
    except ValueError:
        return ""
    return site.rstrip("/") + "/" if parts.scheme in ("http", "https") and parts.netloc else ""


def render_feed(rows: Sequence[CorrectionData], museum: Museum, *, draft: bool) -> bytes | None:
    """The feed, or None where the museum has no site: ids and addresses of a feed must be whole.

    A correction whose day cannot be read is left out, for an entry must have one.
    """
    site = site_of(museum)
    if not site:
        return None
    rows = [row for row in rows if is_day(row["date"])]
    feed = FeedGenerator()
    feed.id(site + FEED)
    feed.title(to_plain(f"{'Draft: ' if draft else ''}Corrections of {museum.name}"))
    feed.subtitle(to_plain(" ".join(filter(None, ("What we said, what we say now, and why.", museum.notice)))))
    feed.author({"name": to_plain(museum.name)})
    feed.language(museum.language)
    if museum.licence:
        feed.rights(to_plain(museum.licence))
    feed.link(href=site + FEED, rel="self", type="application/atom+xml")
    feed.link(href=f"{site}corrections.html", rel="alternate", type="text/html")
    feed.generator("Vouchered")
    feed.updated(_moment(max((row["changed"] for row in rows), default=START)))
    for row in rows:
        entry = feed.add_entry(order="append")
        address = f"{site}corrections.html#{row['id']}"
        entry.id(address)
        entry.title(to_plain(f"{'Draft: ' if draft else ''}{heading_of(row)}"))
        entry.link(href=address, rel="alternate", type="text/html")
        entry.published(_moment(row["date"]))
        entry.updated(_moment(row["changed"]))
        entry.content(to_plain(_words(row)), type="text")
    data: bytes = feed.atom_str(pretty=True)
    return data


def _moment(day: str) -> str:
    return f"{day}T00:00:00Z"


def _words(row: CorrectionData) -> str:
    places = "; ".join(tell_place(place["where"], place.get("done", "")) for place in row["places"])
    return (
        f"We said: {row['was']}\nWe say now: {row['now']}\n{tell_kind(row)}: {row['why']}\n"
        f"Decided by {tell_role(row)}.\nWhere it hung: {places}."
    )
