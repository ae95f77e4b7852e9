"""Pictures of a record: what they really are, whether they may be shown, and what to publish of them.

In: the name and bytes of a picture. Out: the fault that keeps it off the site, or the bytes to publish: a camera's
position, serial number and owner are cut out, the image itself is untouched. Refused: an ending that lies about the
content, drawings that run scripts or ask another host for a file.
"""

from __future__ import annotations

import re
import struct
from xml.etree import ElementTree

ENDINGS = (".svg", ".png", ".jpg", ".jpeg", ".webp")
SIGNS = {
    ".png": b"\x89PNG\r\n\x1a\n",
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".webp": b"RIFF",
}
ACTIVE = ("script", "foreignObject", "iframe", "embed", "object", "handler", "listener")
OUTSIDE = re.compile(r"(?:https?:|//|javascript:|file:|data:text)", re.IGNORECASE)
CSS_OUTSIDE = re.compile(r"@import|\\|image-set\(|url\((?!\s*['\"]?#)", re.IGNORECASE)
"""What a style asks another file with; a backslash could spell any of it otherwise (CSS Syntax Level 3, 4.3.7)."""
PAINTS = (
    "fill",
    "stroke",
    "filter",
    "mask",
    "clip-path",
    "marker-start",
    "marker-mid",
    "marker-end",
    "cursor",
    "style",
)
"""Attributes that are read as styles are, so that their `url(…)` asks for a file too (SVG 2, 6.6)."""
SETS = ("set", "animate")
ENCODING = re.compile(r"<\?xml[^>]*encoding\s*=\s*['\"](?!utf-8['\"]|us-ascii['\"])", re.IGNORECASE)
TELLING_PNG = frozenset({b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME"})
KEPT_JPEG = {0xE0: b"", 0xE2: b"ICC_PROFILE", 0xEE: b"Adobe"}


def picture_fault(name: str, data: bytes) -> tuple[str, str] | None:
    """What is wrong with a picture, and the mend; None where it can be shown."""
    ending = "." + name.rsplit(".", 1)[-1].lower()
    if ending not in ENDINGS:
        return f"`{name}` is no picture that can be shown", "save it as SVG, PNG, JPEG or WebP"
    if ending != ".svg":
        if not data.startswith(SIGNS[ending]):
            return f"`{name}` is not what its ending says", "save it again in that form, or correct the ending"
        return None
    text = data.decode("utf-8", "replace")
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        return f"`{name}` declares a document type", "take the `<!DOCTYPE …>` out; no drawing needs it"
    if "<?xml-stylesheet" in text:
        return f"`{name}` names a style sheet of its own", "take the `<?xml-stylesheet …?>` out, and put the style in"
    if ENCODING.match(text.lstrip("\ufeff")):
        return f"`{name}` says that it is in another encoding than UTF-8", "save it as UTF-8"
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as fault:
        line = fault.position[0]
        return f"`{name}` is no well-formed drawing: line {line}: {fault}", "save it again from the drawing program"
    if root.tag.rsplit("}", 1)[-1] != "svg":
        return f"`{name}` is no SVG drawing", "save it as SVG"
    for element in root.iter():
        tag = str(element.tag).rsplit("}", 1)[-1]
        if tag in ACTIVE:
            return f"`{name}` holds a `<{tag}>`, which can run or load things", "take it out; a drawing only shows"
        if tag == "style" and CSS_OUTSIDE.search(element.text or ""):
            return f"`{name}` has a style that asks for another file", "take the `@import` or `url(…)` out"
        for attribute, value in element.attrib.items():
            plain = attribute.rsplit("}", 1)[-1].lower()
            if plain.startswith("on"):
                return f"`{name}` holds `{plain}`, which runs a script", "take it out; a drawing only shows"
            address = "".join(value.split())  # a browser passes over line ends and tabs in an address
            if plain in ("href", "src") and OUTSIDE.match(address):
                return f"`{name}` asks for `{address[:60]}`", "embed the picture, or take the link out"
            if tag in SETS and plain == "attributename" and value.rpartition(":")[2].strip().lower() == "href":
                return f"`{name}` changes where a link leads", "take the animation out; a drawing only shows"
            if plain in PAINTS and CSS_OUTSIDE.search(value):
                return f"`{name}` has a style that asks for another file", "take the `url(…)` out"
    return None


def public_picture(name: str, data: bytes) -> bytes:
    """The bytes to publish: the same image without what a camera or program wrote beside it."""
    ending = name.rsplit(".", 1)[-1].lower()
    strip = {"png": _strip_png, "jpg": _strip_jpeg, "jpeg": _strip_jpeg, "webp": _strip_webp}.get(ending)
    return strip(data) if strip else data


def _strip_png(data: bytes) -> bytes:
    parts, at = [data[:8]], 8
    while at + 12 <= len(data):
        length = struct.unpack(">I", data[at : at + 4])[0]
        kind = data[at + 4 : at + 8]
        chunk = data[at : at + 12 + length]
        if kind not in TELLING_PNG:
            parts.append(chunk)
        at += 12 + length
        if kind == b"IEND":
            break
    return b"".join(parts)


def _strip_jpeg(data: bytes) -> bytes:
    parts, at = [data[:2]], 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xDA:  # the image itself runs from here to the end
            break
        length = struct.unpack(">H", data[at + 2 : at + 4])[0]
        body = data[at + 4 : at + 2 + length]
        telling = 0xE0 <= marker <= 0xEF or marker == 0xFE
        if not telling or (marker in KEPT_JPEG and body.startswith(KEPT_JPEG[marker])):
            parts.append(data[at : at + 2 + length])
        at += 2 + length
    end = data.rfind(b"\xff\xd9")
    return b"".join(parts) + (data[at : end + 2] if end >= at else data[at:])


def _strip_webp(data: bytes) -> bytes:
    parts, at = [], 12
    while at + 8 <= len(data):
        kind = data[at : at + 4]
        length = struct.unpack("<I", data[at + 4 : at + 8])[0]
        chunk = data[at : at + 8 + length + length % 2]
        if kind == b"VP8X" and len(chunk) >= 9:
            chunk = chunk[:8] + bytes([chunk[8] & ~0x0C]) + chunk[9:]  # no EXIF, no XMP
        if kind not in (b"EXIF", b"XMP "):
            parts.append(chunk)
        at += 8 + length + length % 2
    body = b"WEBP" + b"".join(parts)
    return b"RIFF" + struct.pack("<I", len(body)) + body
