"""Sheets of labels as a PDF.

In: the data of labels. Out: the bytes. Square codes are drawn by segno: QR Code, ISO/IEC 18004, error correction M.
"""

from __future__ import annotations

import io
from collections.abc import Sequence

from builder.compose.label import LabelData
from builder.render.typeset import typeset


def print_labels(
    labels: Sequence[LabelData], *, title: str, language: str, draft: bool = False, notice: str = ""
) -> bytes:
    """The sheets, several labels to a page in the order given, papers of one size together."""
    pictures: dict[str, bytes] = {}
    rows = []
    for label in labels:
        name = f"code-{len(pictures)}.svg"
        if label["code"]:
            pictures[name] = code_picture(label["code"])
        rows.append({**label, "picture": name if label["code"] else ""})
    return typeset(
        "label", {"labels": rows}, title=title, language=language, draft=draft, notice=notice, pictures=pictures
    )


def code_picture(address: str) -> bytes:
    """A square code as SVG, with the quiet zone of four modules that the standard wants."""
    import segno

    made = io.BytesIO()
    segno.make_qr(address, error="m", boost_error=False).save(made, kind="svg", border=4, xmldecl=False, svgns=True)
    return made.getvalue()
