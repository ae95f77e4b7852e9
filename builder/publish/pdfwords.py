"""Every word in a PDF: the text of its pages, its metadata, what is written beside pages, and the files it carries.

In: the bytes of a PDF (ISO 32000). Out: texts, and the bytes of files and pictures in it, which may be anything. The
text of a page stands in a PDF as numbers of glyphs in packed streams, and what a glyph means in tables of their own, so
that no search of its bytes finds a word; hence a library (pypdf: plain Python, nothing else comes with it). Refused:
what is locked, or too broken to read (`Sealed`).
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from typing import Any

from pypdf import PdfReader
from pypdf.errors import PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, NameObject, StreamObject

from builder.publish.unpack import Sealed

REVISIONS = 8
"""A PDF that was changed keeps its earlier states; so many are read, the latest first."""
SCRIPTS = ("/JS", "/RV")
"""Keys whose text may stand in a stream: scripts, and marked-up text of notes."""
CAMERA = ("/DCTDecode", "/JPXDecode")
"""Pictures kept as the files that a camera wrote, remarks and all."""
BROKEN = (PyPdfError, ValueError, KeyError, TypeError, AttributeError, IndexError, OSError, RecursionError,
          NotImplementedError, AssertionError)  # fmt: skip
"""What the library raises over broken files; no such file is passed as read."""

logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # it remarks on every slip of a file


def read_pdf(data: bytes) -> Iterator[str | bytes]:
    """Every text in a PDF, and the bytes of what it carries. Raises `Sealed`."""
    try:
        yield from _read(data)
    except BROKEN as fault:
        raise Sealed(f"it looks like a PDF, and cannot be read: {fault or type(fault).__name__}") from fault
    for end in _earlier_ends(data):
        try:
            yield from list(_read(data[:end]))
        except (*BROKEN, Sealed):
            continue  # the first part of a file that was saved for reading page by page is no state of its own


def _read(data: bytes) -> Iterator[str | bytes]:
    reader = PdfReader(io.BytesIO(data), strict=False)
    if reader.is_encrypted and not reader.decrypt(""):
        raise Sealed("it is locked by a password")
    pages = [page.extract_text() for page in reader.pages]
    yield "\n".join(pages)
    words: list[str] = []
    carried: list[bytes] = []
    for number, generation in _numbers(reader):
        thing = reader.get_object(IndirectObject(number, generation, reader))
        _gather(thing, words, carried)
        if isinstance(thing, StreamObject):
            carried += _carried(thing)
    _gather(reader.trailer, words, carried)
    yield "\n".join(dict.fromkeys(words))  # most of them are names that every page repeats
    yield from carried


def _numbers(reader: PdfReader) -> list[tuple[int, int]]:
    """Number and generation of every object."""
    found = {(number, generation) for generation, table in reader.xref.items() for number in table}
    found = {(number, generation if generation != 65535 else 0) for number, generation in found}
    return sorted(found | {(number, 0) for number in reader.xref_objStm})


def _gather(thing: Any, words: list[str], carried: list[bytes], deep: int = 40) -> None:
    """The texts and scripts in an object; not those in the objects that it points at, whose turn comes anyway."""
    if isinstance(thing, IndirectObject) or not deep:
        return
    if isinstance(thing, DictionaryObject):
        for key, inner in thing.items():
            words.append(str(key)[1:])
            script = inner.get_object() if key in SCRIPTS else None
            if isinstance(script, StreamObject):
                carried.append(bytes(script.get_data()))
            _gather(inner, words, carried, deep - 1)
    elif isinstance(thing, ArrayObject):
        for inner in thing:
            _gather(inner, words, carried, deep - 1)
    elif isinstance(thing, NameObject):
        words.append(str(thing)[1:])
    elif isinstance(thing, str):
        words.append(thing)
    elif isinstance(thing, bytes):
        words.append(thing.decode("utf-8", "replace"))


def _carried(stream: StreamObject) -> Iterator[bytes]:
    """What a stream holds where it is a file, a picture or metadata, rather than part of how a page is drawn."""
    found = (stream.get(key, None) for key in ("/Type", "/Subtype", "/Filter"))
    kind, sort, filters = (value.get_object() if isinstance(value, IndirectObject) else value for value in found)
    if sort == "/Image":
        if (filters[-1] if isinstance(filters, ArrayObject) and filters else filters) in CAMERA:
            yield bytes(stream._data)
    elif kind in ("/Metadata", "/EmbeddedFile") or sort == "/XML":
        yield bytes(stream.get_data())


def _earlier_ends(data: bytes) -> list[int]:
    """Where earlier states of the file end."""
    ends, at = [], data.find(b"%%EOF")
    while at >= 0:
        ends.append(at + 5)
        at = data.find(b"%%EOF", at + 5)
    return ends[:-1][::-1][:REVISIONS]
