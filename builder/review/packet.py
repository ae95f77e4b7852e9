"""The packet: pieces for a curator who prefers paper, as one HTML file with everything inside it.

In: pieces as they lie on the desk. Out: the text of the file: pictures embedded, no script, no link to anywhere, boxes
to tick and a row for comments at each sentence, and the fingerprint of what was read, without which an "ok" by e-mail
says nothing.
"""

from __future__ import annotations

import base64
from typing import Any

from builder.review.desk import Look, PieceOnDesk
from builder.review.page import page
from builder.review.sheet import sheet_view


def make_packet(look: Look, pieces: list[PieceOnDesk]) -> str:
    """The packet of those pieces, in that order. The same pieces give the same text."""

    def picture(figure: dict[str, Any]) -> str:
        found = look.picture(figure["digest"])
        return f"data:{found[1]};base64,{base64.b64encode(found[0]).decode()}" if found else ""

    sheets = [sheet_view(look, piece) for piece in pieces]
    return page("packet", museum=look.road.shared.museum.name, sheets=sheets, picture=picture)
