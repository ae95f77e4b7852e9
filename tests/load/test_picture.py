"""Pictures: what keeps one off the site, and that publishing cuts out what a camera wrote beside the image."""

from __future__ import annotations

import struct
import zlib

import pytest

from builder.load.picture import picture_fault, public_picture


def chunk(kind: bytes, body: bytes) -> bytes:
    """One chunk of a PNG file (ISO/IEC 15948:2004, clause 5.3)."""
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


HEADER = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
IMAGE = chunk(b"IDAT", zlib.compress(b"\0\x7f"))
END = chunk(b"IEND", b"")
SIGN = b"\x89PNG\r\n\x1a\n"


def segment(marker: int, body: bytes) -> bytes:
    """One marker segment of a JPEG file (ITU-T T.81, B.1.1.4)."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(body) + 2) + body


def test_png_loses_its_texts_and_keeps_its_image() -> None:
    whole = (
        SIGN + HEADER + chunk(b"tEXt", b"Author\0Josiah Pellowe") + chunk(b"eXIf", b"51.2345") + IMAGE + END + b"tail"
    )
    assert public_picture("a.png", whole) == SIGN + HEADER + IMAGE + END


def test_jpeg_loses_exif_and_comments_and_keeps_jfif_and_colour_profile() -> None:
    frame = segment(0xE0, b"JFIF\0\1\1\0\0\1\0\1\0\0")
    profile = segment(0xE2, b"ICC_PROFILE\0\1\1profile")
    tables, scan = segment(0xDB, b"\0" * 65), segment(0xDA, b"\1\1\0\0\x3f\0") + b"\x12\x34\xff\x00\x56\xff\xd9"
    exif = segment(0xE1, b"Exif\0\0GPS 51.2345 -1.2345 serial 998877")
    whole = b"\xff\xd8" + frame + exif + profile + segment(0xFE, b"owner: H. Quillfeather") + tables + scan
    shown = public_picture("a.JPG", whole)
    assert shown == b"\xff\xd8" + frame + profile + tables + scan
    assert b"GPS" not in shown and b"Quillfeather" not in shown


def test_webp_loses_exif() -> None:
    def part(kind: bytes, body: bytes) -> bytes:
        return kind + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)

    body = b"WEBP" + part(b"VP8X", bytes([0x0C]) + b"\0" * 9) + part(b"VP8L", b"\x2f123") + part(b"EXIF", b"GPS51")
    shown = public_picture("a.webp", b"RIFF" + struct.pack("<I", len(body)) + body)
    assert b"GPS" not in shown and b"VP8L" in shown
    assert struct.unpack("<I", shown[4:8])[0] == len(shown) - 8
    assert shown[20] & 0x0C == 0


@pytest.mark.parametrize("data", [b"", b"\xff\xd8", b"\xff\xd8\xff\xe1\xff", SIGN, SIGN + b"\0\0", b"RIFF", b"\0" * 40])
@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.webp", "a.svg"])
def test_broken_pictures_are_no_crash(name: str, data: bytes) -> None:
    picture_fault(name, data)
    assert isinstance(public_picture(name, data), bytes)


GOOD = '<svg xmlns="http://www.w3.org/2000/svg"><title>t</title><path d="M0 0" fill="url(#a)"/><a href="#x"/></svg>'


@pytest.mark.parametrize(
    "inside, word",
    [
        ("<script>alert(1)</script>", "script"),
        ('<rect onload="alert(1)"/>', "onload"),
        ('<image href="https://elsewhere.example/x.png"/>', "asks for"),
        ('<a xmlns:x="http://www.w3.org/1999/xlink" x:href="javascript:alert(1)"/>', "asks for"),
        ("<foreignObject/>", "foreignObject"),
        ("<style>@import 'https://elsewhere.example/a.css';</style>", "style"),
        ('<rect style="fill:url(//elsewhere.example/a)"/>', "style"),
        ('<rect fill="url(https://elsewhere.example/a.svg#b)"/>', "style"),
        ('<rect filter="url( //elsewhere.example/a.svg#b )"/>', "style"),
        (r'<rect style="fill:u\72l(//elsewhere.example/a)"/>', "style"),
        ("<style>a { background: image-set('//elsewhere.example/a.png' 1x) }</style>", "style"),
        ('<a href="java&#10;script:alert(1)"/>', "asks for"),
        ('<a href="#x"><set attributeName="href" to="javascript:alert(1)"/></a>', "changes where a link leads"),
        ('<a href="#x"><animate attributeName="xlink:href" values="javascript:alert(1)"/></a>', "changes where"),
        ("<g>", "well-formed"),
    ],
)
def test_drawings_that_do_more_than_show(inside: str, word: str) -> None:
    fault = picture_fault("a.svg", GOOD.replace("</svg>", inside + "</svg>").encode())
    assert fault is not None and word in fault[0]


def test_plain_drawings_pass() -> None:
    assert picture_fault("a.svg", GOOD.encode()) is None
    assert picture_fault("a.svg", b'<!DOCTYPE svg [<!ENTITY a "b">]><svg/>') is not None
    assert picture_fault("a.png", SIGN + HEADER + IMAGE + END) is None
    assert picture_fault("a.png", GOOD.encode()) is not None
    assert picture_fault("a.gif", b"GIF89a") is not None


@pytest.mark.parametrize(
    ("before", "word"),
    [
        ('<?xml-stylesheet href="https://elsewhere.example/a.css"?>', "style sheet"),
        ('<?xml version="1.0"?><?xml-stylesheet href="a.css"?>', "style sheet"),
        ('<?xml version="1.0" encoding="UTF-16"?>', "another encoding"),
        ("\ufeff<?xml version='1.0' encoding='shift_jis'?>", "another encoding"),
    ],
)
def test_what_stands_before_a_drawing(before: str, word: str) -> None:
    """A browser heeds both (Associating Style Sheets with XML documents, W3C 2010; XML 1.0, 4.3.3), our parser neither."""
    found = picture_fault("a.svg", (before + GOOD).encode())
    assert found and word in found[0]
    assert picture_fault("a.svg", ('<?xml version="1.0" encoding="UTF-8"?>' + GOOD).encode()) is None
