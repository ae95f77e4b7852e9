"""Which characters the packaged fonts can print, and text made fit for them.

In: any text. Out: the same text with every character that cannot be printed turned into its number, as `[U+4E2D]`, so
that nothing is lost unseen and no direction-changing character turns a sentence round. Refused: nothing.

The fonts are read here as far as their character maps go (OpenType 1.9, table `cmap`, formats 4 and 12).
"""

from __future__ import annotations

import re
import struct
import unicodedata
from functools import cache
from importlib.resources import files

FONTS = "fonts"
"""The folder of the fonts in this package: their licences stand beside them."""
SIGNS = "♀♂☿⚥⚠☐☑☒●○▲▼◆♯\u2011"
"""What the compiler's own fonts add to the packaged ones; `tests/render/test_glyph.py` prints each."""
JOINERS = re.compile("[\u200c\u200d\u2060\ufe00-\ufe0f\ufeff]")
"""What only shapes its neighbours: it shows as nothing and says nothing."""
BLANKS = re.compile("[\\s\x1c-\x1f\u2028\u2029]+")
KEPT_BLANKS = "\u00a0\u2009\u202f"
HIDDEN = frozenset(
    [*range(0x20), *range(0x7F, 0xA0), 0x061C, *range(0x200B, 0x2010), *range(0x2028, 0x202F), *range(0x2061, 0x2070)]
)
"""Control and direction-changing characters: they show as nothing and can turn a sentence round."""


@cache
def printable_characters() -> frozenset[int]:
    """The code points that can be printed."""
    found = set(map(ord, SIGNS + KEPT_BLANKS))
    folder = files("builder.render").joinpath(FONTS)
    for name in (entry.name for entry in folder.iterdir()):
        if name.endswith((".ttf", ".otf")):
            found |= _mapped(folder.joinpath(name).read_bytes())
    return frozenset(found - HIDDEN | {0xAD})  # a soft hyphen is the compiler's own business


def printable(text: str) -> str:
    """The text as it can be printed: composed, on one line, what cannot be printed as `[U+…]`."""
    known = printable_characters()
    if text.isascii() and text.isprintable():
        return text
    text = unicodedata.normalize("NFC", JOINERS.sub("", text))
    text = BLANKS.sub(lambda found: found[0] if found[0] in KEPT_BLANKS else " ", text)
    return "".join(c if ord(c) in known else f"[U+{ord(c):04X}]" for c in text)


def unprintable(text: str) -> tuple[str, ...]:
    """The characters of a text that the fonts lack, each once, in order."""
    known = printable_characters()
    text = unicodedata.normalize("NFC", JOINERS.sub("", text))
    return tuple(dict.fromkeys(c for c in BLANKS.sub(" ", text) if ord(c) not in known))


def _mapped(font: bytes) -> set[int]:
    """The code points in a font's character map."""
    tables = struct.unpack_from(">H", font, 4)[0]
    records = (struct.unpack_from(">4sIII", font, 12 + 16 * index) for index in range(tables))
    start = next(offset for name, _, offset, _ in records if name == b"cmap")
    found: set[int] = set()
    for index in range(struct.unpack_from(">H", font, start + 2)[0]):
        platform, encoding, offset = struct.unpack_from(">HHI", font, start + 4 + 8 * index)
        at = start + offset
        form = struct.unpack_from(">H", font, at)[0]
        if form == 12:
            for group in range(struct.unpack_from(">I", font, at + 12)[0]):
                first, last, _ = struct.unpack_from(">III", font, at + 16 + 12 * group)
                found.update(range(first, last + 1))
        elif form == 4 and (platform, encoding) in ((3, 1), (0, 3)):
            count = struct.unpack_from(">H", font, at + 6)[0] // 2
            lasts = struct.unpack_from(f">{count}H", font, at + 14)
            firsts = struct.unpack_from(f">{count}H", font, at + 16 + 2 * count)
            for first, last in zip(firsts, lasts, strict=True):
                found.update(range(first, last + 1))
    return found - {0xFFFF}
