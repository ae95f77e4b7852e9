"""Every word in a finished file, whatever kind of file it is.

In: the bytes of a file. Out: its words as texts: text as text; what is packed (gzip, bzip2, xz, zip and with it the
files of word processors, tar) unpacked, file by file and with the names inside; of PDFs the text, the metadata and what
is embedded; of pictures and other binary files the words that stand in them in the clear. Refused (`Sealed`): what
cannot be opened; nobody can say what it holds, so it must not be published unread.
"""

from __future__ import annotations

import base64
import binascii
import bz2
import codecs
import io
import lzma
import re
import tarfile
import zipfile
import zlib
from collections.abc import Iterator

UNPACKED = 256 * 1024 * 1024
"""Bytes read of what one packed file holds, all together: eight times the largest file that a workspace may have."""
DEEP = 5
"""Packed files within packed files."""
IN_THE_CLEAR = re.compile(rb"[\x20-\x7e\xc3][\x20-\x7e\x80-\xbf\xc3]{9,}")
"""Words in a binary file: long enough not to be chance, in ASCII or the UTF-8 of western Europe."""
IN_WIDE_LETTERS = re.compile(rb"(?:[\x20-\x7e]\0){6,}")
"""The same in UTF-16, as older word processors and some cameras write it."""
EMBEDDED = re.compile(r"base64,((?:[A-Za-z0-9+/]|\s|%2B|%2F|\\/){40,})")
FONTS = (b"wOFF", b"wOF2", b"\0\1\0\0", b"OTTO")
STREAMS = {b"\x1f\x8b": "gzip", b"BZh": "bzip2", b"\xfd7zXZ\0": "xz"}
LOCKED = (b"7z\xbc\xaf\x27\x1c", b"Rar!")


class Sealed(Exception):
    """A file that cannot be opened; the message says why."""


class _Budget:
    """How much may still be unpacked."""

    def __init__(self) -> None:
        self.left = UNPACKED

    def spend(self, count: int) -> None:
        self.left -= count
        if self.left < 0:
            raise Sealed(f"unpacked it holds more than {UNPACKED // 2**20} MiB")


def words_of(data: bytes) -> Iterator[str]:
    """The texts in a file. Raises `Sealed`."""
    yield from _words(data, _Budget(), DEEP)


def _words(data: bytes, budget: _Budget, deep: int) -> Iterator[str]:
    packed = next((name for sign, name in STREAMS.items() if data.startswith(sign)), "")
    is_pdf = data.startswith(b"%PDF-") or (b"%PDF-" in data[:1024] and b"startxref" in data)
    is_zip = data.startswith((b"PK\3\4", b"PK\5\6"))
    is_tar = data[257:262] == b"ustar"
    if not deep and (packed or is_pdf or is_zip or is_tar):
        raise Sealed(f"it holds packed files more than {DEEP} deep")
    if data.startswith(LOCKED):
        raise Sealed("it is packed in a form that is not read here; pack it as .zip")
    if packed:
        yield from _words(_unpacked(data, packed, budget), budget, deep - 1)
    elif is_zip:
        for inner in _of_zip(data, budget):
            yield from _words(inner, budget, deep - 1)
    elif is_tar:
        for inner in _of_tar(data, budget):
            yield from _words(inner, budget, deep - 1)
    elif is_pdf:
        from builder.publish.pdfwords import read_pdf

        for found in read_pdf(data):
            if isinstance(found, str):
                yield found
            else:
                budget.spend(len(found))
                yield from _words(found, budget, deep - 1)
    elif data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        yield data.decode("utf-16", "replace")
    elif b"\0" not in data[:4096]:
        text = data.decode("utf-8", "replace")
        yield text
        if "base64," in text and deep:
            yield from _of_addresses(text, budget, deep)
    elif not data.startswith(FONTS):
        clear = [words.decode("utf-8", "replace") for words in IN_THE_CLEAR.findall(data)]
        clear += [words.decode("utf-16-le") for words in IN_WIDE_LETTERS.findall(data)]
        yield "\n".join(clear)


def _unpacked(data: bytes, packed: str, budget: _Budget) -> bytes:
    most = budget.left + 1
    try:
        if packed == "gzip":
            found = _gunzip(data, most)
        elif packed == "bzip2":
            found = bz2.BZ2Decompressor().decompress(data, most)
        else:
            found = lzma.LZMADecompressor().decompress(data, most)
    except (zlib.error, OSError, EOFError, lzma.LZMAError) as fault:
        raise Sealed(f"it looks like {packed}, and cannot be unpacked: {fault}") from fault
    budget.spend(len(found))
    return found


def _gunzip(data: bytes, most: int) -> bytes:
    """All members of a gzip file, one after the other (RFC 1952, 2.2)."""
    parts: list[bytes] = []
    while data.startswith(b"\x1f\x8b") and most > 0:
        member = zlib.decompressobj(wbits=31)
        parts.append(member.decompress(data, most))
        most -= len(parts[-1])
        data = member.unused_data
    return b"".join(parts)


def _of_zip(data: bytes, budget: _Budget) -> Iterator[bytes]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as folder:
            yield folder.comment
            for entry in folder.infolist():
                yield f"{_spaced(entry.filename)}\n".encode() + entry.comment
                if entry.flag_bits & 1:
                    raise Sealed(f"`{entry.filename}` in it is locked by a password")
                with folder.open(entry) as stream:
                    inner = stream.read(budget.left + 1)
                budget.spend(len(inner))
                yield inner
    except (
        zipfile.BadZipFile,
        NotImplementedError,
        zlib.error,
        EOFError,
        OSError,
        ValueError,
        lzma.LZMAError,
    ) as fault:
        raise Sealed(f"it looks like a zip file, and cannot be unpacked: {fault}") from fault


def _of_tar(data: bytes, budget: _Budget) -> Iterator[bytes]:
    try:
        with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as folder:
            for entry in folder:
                yield _spaced(f"{entry.name}\n{entry.uname}\n{entry.linkname}").encode("utf-8", "replace")
                stream = folder.extractfile(entry) if entry.isreg() else None
                if stream:
                    inner = stream.read(budget.left + 1)
                    budget.spend(len(inner))
                    yield inner
    except (tarfile.TarError, OSError, EOFError) as fault:
        raise Sealed(f"it looks like a tar file, and cannot be unpacked: {fault}") from fault


def _of_addresses(text: str, budget: _Budget, deep: int) -> Iterator[str]:
    """What is embedded as a `data:` address (RFC 2397)."""
    for found in EMBEDDED.finditer(text):
        letters = re.sub(r"\s|\\", "", found[1].replace("%2B", "+").replace("%2F", "/"))
        try:
            inner = base64.b64decode(letters[: len(letters) // 4 * 4])
        except binascii.Error:
            continue
        budget.spend(len(inner))
        yield from _words(inner, budget, deep - 1)


def _spaced(name: str) -> str:
    """The name of a file so that its words stand apart."""
    return name.replace("/", " / ").replace("-", " ")
