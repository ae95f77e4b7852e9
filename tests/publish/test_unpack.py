"""What stands in a finished file is read, however it is packed; what cannot be opened is said to be sealed.

The files are made by other programs than the one that reads them: PDFs by a typesetter and by a browser's rules of
ISO 32000, archives by the standard library.
"""

from __future__ import annotations

import base64
import bz2
import gzip
import io
import lzma
import tarfile
import zipfile

import pikepdf
import pytest
import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.publish import unpack
from builder.publish.unpack import Sealed, words_of

NAME = "Percival Thistlewick"
SETTINGS = '#set document(title: "Ponds", author: "%s", date: none)\n#set text(font: "Libertinus Serif")\n'


def read(data: bytes) -> str:
    return "\n".join(words_of(data))


def pdf(body: str = "A pond.", author: str = "") -> bytes:
    return bytes(typst.compile((SETTINGS % author + body).encode()))


def opened_pdf(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(data))


def saved(file: pikepdf.Pdf, **options: object) -> bytes:
    out = io.BytesIO()
    file.save(out, **options)  # type: ignore[arg-type]
    return out.getvalue()


def zipped(**files: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as folder:
        for name, data in files.items():
            folder.writestr(name, data)
    return out.getvalue()


def tarred(name: str, data: bytes) -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as folder:
        entry = tarfile.TarInfo(name)
        entry.size = len(data)
        folder.addfile(entry, io.BytesIO(data))
    return out.getvalue()


def test_a_search_of_the_bytes_finds_no_word_of_a_typeset_page() -> None:
    """Why a library is needed: the text of the page is glyph numbers in packed streams."""
    data = pdf(f"Given by {NAME}.")
    assert NAME.encode() not in data and b"Thistlewick" not in data
    assert NAME in read(data)


def test_the_text_of_pages_and_all_that_a_pdf_says_of_itself() -> None:
    assert NAME in read(pdf(author=NAME))
    assert NAME in read(
        pdf(f"#image(bytes(\"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>\"), alt: \"{NAME}\")")
    )
    assert NAME in read(pdf(f"= Ponds of {NAME}"))
    assert NAME in read(pdf(f'#link("mailto:x@museum.example?subject={NAME}")[Write to us]'))


def test_what_is_written_beside_the_pages_of_a_pdf() -> None:
    file = opened_pdf(pdf())
    note = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 9, 9], Contents=f"by {NAME}"
    )
    file.pages[0].Annots = pikepdf.Array([file.make_indirect(note)])
    assert NAME in read(saved(file))
    file = opened_pdf(pdf())
    file.attachments["pond.txt"] = pikepdf.AttachedFileSpec(file, f"by {NAME}".encode(), filename="pond.txt")
    assert NAME in read(saved(file))
    file = opened_pdf(pdf())
    script = file.make_stream(f"app.alert('{NAME}')".encode())
    file.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS=script)
    assert NAME in read(saved(file, object_stream_mode=pikepdf.ObjectStreamMode.generate))


def test_an_earlier_state_of_a_pdf_is_read_too() -> None:
    """ISO 32000-1, 7.5.6: what is changed is added at the end; what it replaces stays in the file."""
    file = pikepdf.new()
    file.add_blank_page()
    file.docinfo["/Author"] = NAME
    first = saved(file, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    table = int(first.split(b"startxref")[-1].split()[0])
    info = int(first.split(b"/Info ")[1].split()[0])
    root, size = int(first.split(b"/Root ")[1].split()[0]), int(first.split(b"/Size ")[1].split()[0])
    body = b"\n%d 0 obj\n<< /Author (nobody) >>\nendobj\n" % info
    later = first + body + b"xref\n%d 1\n%010d 00000 n \n" % (info, len(first) + 1)
    later += b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R /Prev %d >>\n" % (size, root, info, table)
    later += b"startxref\n%d\n%%%%EOF\n" % (len(first) + len(body))
    latest = opened_pdf(later)
    assert str(latest.docinfo["/Author"]) == "nobody"
    assert "nobody" in read(later) and NAME in read(later)


def test_a_locked_or_broken_pdf_is_sealed() -> None:
    locked = saved(opened_pdf(pdf()), encryption=pikepdf.Encryption(owner="o", user="u"))
    with pytest.raises(Sealed, match="locked by a password"):
        read(locked)
    opened = saved(opened_pdf(pdf(f"by {NAME}")), encryption=pikepdf.Encryption(owner="o", user=""))
    assert NAME in read(opened)
    for data in (b"%PDF-1.4\n", b"%PDF-1.4\0\n/Author (x)", pdf()[:900], pdf().replace(b"/Pages", b"/Pxges")):
        with pytest.raises(Sealed, match="looks like a PDF, and cannot be read"):
            read(data)


DOCX = b"<w:p><w:r><w:t>by Percival Thistle</w:t></w:r><w:r><w:rPr><w:b/></w:rPr><w:t>wick</w:t></w:r></w:p>"


@pytest.mark.parametrize(
    "data",
    [
        gzip.compress(NAME.encode()),
        gzip.compress(b"first") + gzip.compress(NAME.encode()),
        bz2.compress(NAME.encode()),
        lzma.compress(NAME.encode()),
        zipped(**{"a.txt": NAME.encode()}),
        zipped(**{"Percival-Thistlewick.txt": b"x"}),
        zipped(**{"b.zip": zipped(**{"a.txt": NAME.encode()})}),
        tarred("a.txt", NAME.encode()),
        gzip.compress(tarred("a.txt", NAME.encode())),
        NAME.encode("utf-16"),
        b"\0\1\2" + NAME.encode() + b"\0",
        b"\0\1\2" + NAME.encode("utf-16-le") + b"\0",
        b"<img src='data:text/plain;base64," + base64.b64encode(f"a long text by {NAME}, and more".encode()) + b"'>",
    ],
    ids=range(13),
)
def test_whatever_is_packed(data: bytes) -> None:
    assert NAME in read(data)


def test_the_files_of_word_processors() -> None:
    text = read(zipped(**{"word/document.xml": DOCX, "docProps/core.xml": f"<dc:creator>{NAME}</dc:creator>".encode()}))
    assert DOCX.decode() in text and NAME in text


def test_what_cannot_be_unpacked_is_sealed(monkeypatch: pytest.MonkeyPatch) -> None:
    locked = bytearray(zipped(**{"a.txt": b"x"}))
    locked[locked.index(b"PK\1\2") + 8] |= 1
    deep = b"x"
    for _ in range(8):
        deep = zipped(a=deep)
    for data, words in (
        (b"PK\3\4nothing", "looks like a zip file"),
        (b"\x1f\x8b\x08nothing", "looks like gzip"),
        (b"\xfd7zXZ\0nothing", "looks like xz"),
        (b"7z\xbc\xaf\x27\x1c\0", "not read here"),
        (bytes(locked), "locked by a password"),
        (deep, "packed files more than 5 deep"),
    ):
        with pytest.raises(Sealed, match=words):
            read(data)
    monkeypatch.setattr(unpack, "UNPACKED", 2**20)
    for data in (gzip.compress(b"\0" * 2**21), zipped(a=b"\0" * 2**21), lzma.compress(b" " * 2**21)):
        with pytest.raises(Sealed, match="more than 1 MiB"):
            read(data)


@given(
    data=st.binary(max_size=300),
    sign=st.sampled_from([b"", b"%PDF-1.7\n", b"PK\3\4", b"\x1f\x8b\x08\0", b"BZh9", b"\xfd7zXZ\0"]),
)
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_read_or_sealed(data: bytes, sign: bytes) -> None:
    try:
        assert isinstance(read(sign + data), str)
    except Sealed as fault:
        assert str(fault)


@given(at=st.integers(0, 10**6), byte=st.integers(0, 255))
@settings(max_examples=60, deadline=None)
def test_a_pdf_with_a_wrong_byte_is_read_or_sealed(at: int, byte: int) -> None:
    data = bytearray(PLAIN)
    data[at % len(data)] = byte
    try:
        assert isinstance(read(bytes(data)), str)
    except Sealed as fault:
        assert str(fault)


PLAIN = pdf("= Ponds\nA pond with newts.")
