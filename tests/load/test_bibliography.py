"""Bibliographies: real works in three formats, broken files, properties of any text.

The works are real (Casaux 1998, Polar Biol. 19:283; Brysbaert 2019, J. Memory and Language 109, 104047; van der Bles et
al. 2020, PNAS 117(14), 7672; Ecker, Lewandowsky & Chadwick 2020, doi 10.1186/s41235-020-00241-6); their titles and
further details are written from memory, since only the reading is tested.
"""

import json
import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.load.bibliography import Entry, EntryFault, read_bibliography, suggest_id
from builder.load.entry import FIELDS, join_date, join_pages, read_name
from builder.load.latex import read_latex
from builder.model.source import Source
from builder.model.value import ID


def read(text: str) -> tuple[tuple[Entry, ...], tuple[EntryFault, ...]]:
    return read_bibliography(text.encode())


def clean(text: str) -> Entry:
    (entry,), faults = read(text)
    assert faults == ()
    return entry


CASAUX = {
    "type": "article-journal",
    "title": "The diet of the Antarctic shag “revisited” — a note",
    "author": [{"family": "Casaux", "given": "R."}, {"family": "Núñez", "given": "María"}],
    "issued": "1998-03",
    "container-title": "Polar Biology",
    "volume": "19",
    "issue": "4",
    "page": "283–289",
    "DOI": "10.1007/s003000050249",
}

BIBTEX = r"""
This line is no entry.
@string{pb = {Polar } # "Biology"}
@article{casaux98,
  author  = {Casaux, R. and Mar{\'\i}a N{\'u}{\~n}ez},
  title   = "The diet of the {Antarctic} shag ``revisited'' --- a note",
  journal = pb, volume = 19, number = {4},
  pages   = {283--289},
  year = 1998, month = mar,
  doi = {https://doi.org/10.1007/s003000050249},
}
"""
RIS = """TY  - JOUR\r
AU  - Casaux, R.\r
AU  - Núñez, María\r
TI  - The diet of the Antarctic shag “revisited” — a note\r
T2  - Polar Biology\r
VL  - 19\r
IS  - 4\r
SP  - 283\r
EP  - 289\r
PY  - 1998/03//\r
DO  - doi:10.1007/s003000050249\r
ER  - \r
"""
CSL = json.dumps(
    [
        {
            "id": "casaux98",
            "type": "journal-article",
            "title": "The diet of the <i>Antarctic</i> shag “revisited” — a note",
            "author": [{"family": "Casaux", "given": "R."}, {"family": "Núñez", "given": "María"}],
            "issued": {"date-parts": [[1998, 3]]},
            "container-title": ["Polar Biology"],
            "volume": 19,
            "issue": "4",
            "page": "283–289",
            "DOI": "https://doi.org/10.1007/s003000050249",
        }
    ],
    indent=1,
)


@pytest.mark.parametrize("text", [BIBTEX, RIS, CSL], ids=["BibTeX", "RIS", "CSL-JSON"])
def test_one_work_reads_the_same_from_three_formats(text: str) -> None:
    entry = clean(text)
    assert entry.fields == CASAUX and list(entry.fields) == [name for name in FIELDS if name in CASAUX]
    assert entry.left_out == ()
    Source.model_validate({**entry.fields, "standing": "first-hand"})


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_encodings_that_are_told_from_the_bytes(encoding: str) -> None:
    (entry,), faults = read_bibliography(RIS.encode(encoding))
    assert faults == () and entry.fields == CASAUX


def test_older_encodings_are_read_and_reported() -> None:
    (entry,), (fault,) = read_bibliography(RIS.encode("cp1252"))
    assert entry.fields == CASAUX
    assert (fault.row, fault.message) == (3, "the file is not UTF-8; it was read as Windows-1252")


def test_damaged_utf16_is_reported() -> None:
    entries, faults = read_bibliography(RIS.encode("utf-16") + b"\x00")
    assert entries[0].fields == CASAUX and "damaged UTF-16" in faults[0].message


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        (r"M{\"u}ller", "Müller"),
        (r"M\"uller", "Müller"),
        (r"M\"{u}ller", "Müller"),
        (r"{\'\i}", "í"),
        (r"\'{\i}", "í"),
        (r"Dvo\v{r}\'ak", "Dvořák"),
        (r"\c{c}a, \c c", "ça, ç"),
        (r"Erd\H{o}s", "Erdős"),
        (r"\AA ngstr{\"o}m", "Ångström"),
        (r"S{\o}ren {\AE}r{\o}", "Søren Ærø"),
        (r"Stra{\ss}e", "Straße"),
        (r"1998--99 --- ``so''", "1998–99 — “so”"),
        (r"fish \& chips, 5\,\%", "fish & chips, 5 %"),
        (r"\emph{Lemmus lemmus} in {N}orway", "Lemmus lemmus in Norway"),
        (r"a~b", "a b"),
        (r"$\alpha$", "α"),
        (r"\{a\}", "{a}"),
        (r"\url{https://x.example}", "https://x.example"),
        (r"30\textdegree{} N", "30° N"),
    ],
)
def test_latex(written: str, plain: str) -> None:
    assert read_latex(written)[0] == plain


def test_unknown_commands_are_named() -> None:
    assert read_latex(r"a \frob{b} \frob c \nix") == ("a b c", ("frob", "nix"))


@pytest.mark.parametrize(
    ("entry", "name", "value"),
    [
        ("@article{a, title={T}, author={de la Vall{\\'e}e Poussin, Charles}}", "author",
         [{"family": "Vallée Poussin", "given": "Charles", "non-dropping-particle": "de la"}]),
        ("@article{a, title={T}, author={Ludwig van Beethoven AND {Natural History Museum and Friends}}}", "author",
         [{"family": "Beethoven", "given": "Ludwig", "non-dropping-particle": "van"},
          {"literal": "Natural History Museum and Friends"}]),
        ("@article{a, title={T}, author={Smith, Jr, John}}", "author",
         [{"family": "Smith", "given": "John", "suffix": "Jr"}]),
        ("@article{a, title={T}, author=aristotle, year={-0350}}", "issued", "-0350"),
        ("@article{a, title={T}, year=2020, month={3 May}}", "issued", "2020-05-03"),
        ("@article{a, title={T}, year=2020, month=may # \"~3\"}", "issued", "2020-05-03"),
        ("@article{a, title={T}, year=2020, month=5}", "issued", "2020-05"),
        ("@article{a, title={T}, date={2010-05-03}}", "issued", "2010-05-03"),
        ("@article{a, title={T}, date={2010/2011}}", "issued", "2010/2011"),
        ("@article{a, title={T}, year={in press}}", "issued", "in press"),
        ("@book{a, title={T}, subtitle={S}}", "title", "T: S"),
        ("@book{a, title={T}, series={Q}, number=7}", "collection-number", "7"),
        ("@techreport{a, title={T}, number=7}", "number", "7"),
        ("@book(a, title={T (b)}, publisher={P})", "publisher", "P"),
        ("@phdthesis{a, title={T}, school={U}}", "genre", "PhD thesis"),
        ("@article{a, title={T}, entrysubtype={magazine}}", "type", "article-magazine"),
        ("@online{a, title={T}, url={https://x.example/a\\_b?c=1\\&d=\\%20}}", "URL", "https://x.example/a_b?c=1&d=%20"),
        ("@misc{a, title={T}, howpublished={\\url{https://x.example}}}", "medium", "https://x.example"),
        ("@ARTICLE{a, TITLE={T}, Journal={J}}", "container-title", "J"),
        ("@article{a, title={T}, journal={J},,}", "container-title", "J"),
        ("@article{a,\n title = {T {\"quoted\"} x}}", "title", 'T "quoted" x'),
        ("@article{a, title = \"T {\"}quoted{\"} x\"}", "title", 'T "quoted" x'),
    ],
)  # fmt: skip
def test_bibtex_fields(entry: str, name: str, value: Any) -> None:
    text = "@string{aristotle = {Aristotle}}\n" + entry
    assert clean(text).fields[name] == value


def test_crossref_takes_what_is_missing_from_the_container() -> None:
    text = "@incollection{c, title={Aves}, crossref={b}}\n@book{b, title={Natura}, year=1758, publisher={S}}"
    entries, faults = read(text)
    assert faults == ()
    assert entries[0].fields == {
        "type": "chapter", "title": "Aves", "container-title": "Natura", "issued": "1758", "publisher": "S",
    }  # fmt: skip


def test_what_has_no_place_is_named() -> None:
    assert clean("@article{a, title={T}, abstract={x}, file={y}}").left_out == ("abstract", "file")


@pytest.mark.parametrize(
    ("text", "row", "message"),
    [
        ("@article{a,\n title={T},\n year={2000\n}\n\n@book{b, title={U}}", 4, "the entry is never closed"),
        ("@article{a,\n title={T}\n\n@book{b, title={U}}", 2, "the entry is never closed"),
        ("@article{a,\n title={T},\n year 2000}\n@book{b, title={U}}", 3, "`year` is not followed by `=`"),
        ("@article{a,\n title={T},\n year=}\n@book{b, title={U}}", 3, "`year` has no value"),
        ('@article{a, title={T},\n year="2000}\n@book{b, title={U}}', 2, "the value of `year` is never closed"),
        ("@article{a, title={T}, month=foo}\n@book{b, title={U}}", 1, "`foo` in `month` is no `@string`"),
        ("@article{a, title={T}, title={V}}\n@book{b, title={U}}", 1, "the field `title` is there twice"),
        ("@article{a, title={T}, crossref={zz}}\n@book{b, title={U}}", 1, "`crossref` names `zz`"),
        ("@article{a, title={T}, author={A, B and others}}\n@book{b, title={U}}", 1, "`author` ends in `others`"),
        ("@gizmo{a, title={T}}\n@book{b, title={U}}", 1, "`gizmo` is no type of source we know"),
        ("@article{a, title={T}}\n@book{a, title={U}}", 2, "the key `a` is there twice, first on line 1"),
        ("@article{a, title={T \\frob{x}}}\n@book{b, title={U}}", 1, "`title` holds the command `\\frob`"),
    ],
)
def test_broken_bibtex_costs_one_entry_at_most(text: str, row: int, message: str) -> None:
    entries, (fault,) = read(text)
    assert [entry.fields["title"][0] for entry in entries] == ["T", "U"]
    assert fault.row == row and fault.message.startswith(message) and fault.mend


def test_entries_without_key_or_title() -> None:
    entries, faults = read("@article{, title={T}}\n@article{b title={T}}\n@book{c, title={U}}\n@book{d, year=2000}")
    assert [entry.key for entry in entries] == ["c", "d"]
    assert [(fault.row, fault.message) for fault in faults] == [
        (1, "the entry has no key, or no comma behind it"),
        (2, "the entry has no key, or no comma behind it"),
        (4, "the entry has no title"),
    ]


@pytest.mark.parametrize(
    ("lines", "name", "value"),
    [
        ("TY  - JOUR\nTI  - T\nAU  - World Birds Group", "author", [{"literal": "World Birds Group"}]),
        ("TY  - JOUR\nTI  - T\nA1  - Okafor, Ruth, Jr", "author",
         [{"family": "Okafor", "given": "Ruth", "suffix": "Jr"}]),
        ("TY  - BOOK\nTI  - T\nT2  - Series", "collection-title", "Series"),
        ("TY  - CHAP\nTI  - T\nT2  - Book", "container-title", "Book"),
        ("TY  - BOOK\nBT  - T", "title", "T"),
        ("TY  - BOOK\nTI  - T\nSN  - 978-0-306-40615-7", "ISBN", "978-0-306-40615-7"),
        ("TY  - JOUR\nTI  - T\nSN  - 0722-4060", "ISSN", "0722-4060"),
        ("TY  - JOUR\nTI  - T\nPY  - 1998", "issued", "1998"),
        ("TY  - JOUR\nTI  - T\nY1  - 1998/05/03/", "issued", "1998-05-03"),
        ("TY  - JOUR\nTI  - T\nDA  - 2020-06-01\nPY  - 2020", "issued", "2020-06-01"),
        ("TY  - JOUR\nTI  - T\nPY  - c. 1850", "issued", "c. 1850"),
        ("TY  - JOUR\nTI  - T\nSP  - e12", "page", "e12"),
        ("TY  - JOUR\nTI  - T\nC7  - 104047", "page", "104047"),
        ("TY  - JOUR\nTI  - A title\n  in two lines", "title", "A title in two lines"),
        ("TY  - WEB\nTI  - T\nUR  - https://a.example\nUR  - https://b.example", "URL", "https://a.example"),
    ],
)  # fmt: skip
def test_ris_fields(lines: str, name: str, value: Any) -> None:
    assert clean(lines + "\nER  - ").fields[name] == value


@pytest.mark.parametrize(
    ("text", "row", "message"),
    [
        ("TY  - JOUR\nTI  - T\nTY  - BOOK\nTI  - U\nER  -", 1, "the record has no end"),
        ("TY  - JOUR\nTI  - T\nER  - \nTY  - BOOK\nTI  - U\n", 4, "the record has no end"),
        ("junk\nTY  - JOUR\nTI  - T\nER  - \nTY  - BOOK\nTI  - U\nER  -", 1, "the line stands outside any record"),
        ("TY  - GIZMO\nTI  - T\nER  - \nTY  - BOOK\nTI  - U\nER  -", 1, "`GIZMO` is no type of source we know"),
    ],
)
def test_broken_ris(text: str, row: int, message: str) -> None:
    entries, (fault,) = read(text)
    assert [entry.fields["title"] for entry in entries] == ["T", "U"]
    assert fault.row == row and fault.message.startswith(message)


@pytest.mark.parametrize(
    ("field", "written", "value"),
    [
        ("issued", {"date-parts": [["1998", "5", "3"]]}, "1998-05-03"),
        ("issued", {"date-parts": [[-350]]}, "-0350"),
        ("issued", {"date-parts": [[1998], [2001]]}, "1998/2001"),
        ("issued", {"date-parts": [[1850]], "circa": True}, "1850~"),
        ("issued", {"raw": "May 1998"}, "May 1998"),
        ("issued", "1998-05", "1998-05"),
        ("author", [{"literal": "WBG"}, {"family": "Gogh", "non-dropping-particle": "van"}],
         [{"literal": "WBG"}, {"family": "Gogh", "non-dropping-particle": "van"}]),
        ("author", [{"name": "A Group"}], [{"literal": "A Group"}]),
        ("title", "Owls &amp; <b>bats</b>  at\nnight", "Owls & bats at night"),
        ("volume", 12, "12"),
        ("volume", 12.5, "12.5"),
    ],
)  # fmt: skip
def test_csl_fields(field: str, written: Any, value: Any) -> None:
    item = {"id": "a", "type": "book", "title": "T", field: written}
    assert clean(json.dumps([item])).fields[field] == value
    assert clean(json.dumps(item)).fields[field] == value
    assert clean(json.dumps({"items": [item]})).fields[field] == value


def test_csl_items_know_their_lines_and_what_was_left_out() -> None:
    entries, faults = read(
        '[\n {"id": "a", "type": "book", "title": "T", "abstract": "x"},\n\n {"id": 7, "title": "U"}]'
    )
    assert [(entry.key, entry.row) for entry in entries] == [("a", 2), ("7", 4)]
    assert entries[0].left_out == ("abstract",) and faults == ()


@pytest.mark.parametrize(
    ("text", "row", "message"),
    [
        ('[{"type": "book", "title": "T"},\n {"type": ]', 2, "the file is not JSON from here on"),
        ('[{"type": "book", "title": "T"}', 1, "the file is not JSON from here on"),
        ('[{"type": "book", "title": "T"},\n 5]', 2, "the list holds something that is no item"),
        ('[\n{"type": "gizmo", "title": "T"}]', 2, "`gizmo` is no type of source we know"),
        ('[{"type": "book", "title": "T", "author": [{"x": 1}]}]', 1, "a name in `author`"),
        ('[{"type": "book", "title": "T", "issued": {"date-parts": [["x"]]}}]', 1, "`issued` is no date we can read"),
        ('[{"type": "book", "title": "T", "publisher": {"a": 1}}]', 1, "`publisher` is no text"),
    ],
)
def test_broken_csl(text: str, row: int, message: str) -> None:
    (entry,), (fault,) = read(text)
    assert entry.fields["title"] == "T" and fault.row == row and fault.message.startswith(message)


def test_deep_nesting_and_long_numbers() -> None:
    assert "nested too deeply" in read("[" + "[" * 100_000)[1][0].message
    assert clean('[{"title": "T", "type": "book", "volume": ' + "9" * 6000 + "}]").fields["volume"] == "9" * 6000


@pytest.mark.parametrize("text", ["", " \n", "no bibliography at all", "\0\1\2"])
def test_what_is_no_bibliography(text: str) -> None:
    entries, (fault,) = read(text)
    assert entries == () and fault.row == 1


@pytest.mark.parametrize(
    ("fields", "taken", "wanted"),
    [
        (CASAUX, (), "casaux-nunez-1998"),
        (CASAUX, ("casaux-nunez-1998",), "casaux-nunez-1998-2"),
        (CASAUX, ("casaux-nunez-1998", "casaux-nunez-1998-2"), "casaux-nunez-1998-3"),
        ({"author": [{"family": "Bles", "given": "A. M.", "non-dropping-particle": "van der"}, {}, {}],
          "issued": "2020-04-07"}, (), "van-der-bles-2020"),
        ({"author": [{"literal": "The World Birds Group"}], "issued": "n.d."}, (), "world-birds-group"),
        ({"title": "The Øresund Æsel & Łoś"}, (), "oresund-aesel-los"),
        ({"author": [{"family": "李"}], "issued": "2001"}, (), "key-2001"),
        ({"author": [{"family": "O’Brien"}], "issued": "-0350"}, (), "obrien-0350"),
    ],
)  # fmt: skip
def test_suggested_ids(fields: dict[str, Any], taken: tuple[str, ...], wanted: str) -> None:
    assert suggest_id(Entry("Key", 1, fields), taken) == wanted


def test_parts() -> None:
    assert join_pages("283--289") == join_pages("283", "289") == "283–289" and join_pages("12", "12") == "12"
    assert join_date("1998", "Sept.", "3") == "1998-09-03" and join_date("1998", "13") == "1998"
    assert join_date("98") == "0098" and join_date("") == "" and join_date("199x") == "199x"
    assert read_name("Aristotle") == {"literal": "Aristotle"} and read_name("Ruth Okafor")["family"] == "Okafor"


PIECES = st.sampled_from(
    ["@article{", "@book(", "@string{", "a,", "title", "=", "{", "}", '"', "#", "and ", "\\'e", "\\", "TY  - JOUR", "ER  - ",
     "AU  - A, B", "PY  - 1998", "\n", "\r\n", "[", "]", ":", ",", '{"title": "T"}', "crossref={a}", " ", "é", "\0", "1998"]
)  # fmt: skip


@given(st.one_of(st.text(max_size=80), st.lists(PIECES, max_size=50).map("".join)))
def test_any_text_gives_entries_that_a_source_can_take_and_faults_in_place(text: str) -> None:
    entries, faults = read_bibliography(text.encode("utf-8", "surrogatepass"))
    rows = text.replace("\r\n", "\n").replace("\r", "\n").count("\n") + 1
    taken: set[str] = set()
    for entry in entries:
        assert set(entry.fields) <= set(FIELDS) and 1 <= entry.row <= rows
        Source.model_validate({**entry.fields, "standing": "first-hand"})
        taken.add(suggest_id(entry, taken))
    assert len(taken) == len(entries) and all(ID.fullmatch(name) and len(name) <= 80 for name in taken)
    assert all(1 <= fault.row <= rows and fault.message and fault.mend for fault in faults)


@given(st.binary(max_size=80))
def test_any_bytes_are_read(data: bytes) -> None:
    read_bibliography(data)


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from([*FIELDS, "id", "family", "date-parts", "items"]), inner, max_size=4)
        ),
        max_leaves=20,
    )
)
def test_any_json_is_read(value: object) -> None:
    entries, _ = read(json.dumps([value]))
    for entry in entries:
        Source.model_validate({**entry.fields, "standing": "first-hand"})


@pytest.mark.parametrize(
    "piece",
    [
        "@a{",
        "@a{b,c={\n",
        "\n@a{b,c={",
        "@a{b,author={" + " " * 50,
        "TY  - ",
        "\nTY  - JOUR\nAU",
        "[",
        "[{},",
        "{",
        "\\'",
        " and",
    ],
)
def test_hostile_repeats_stay_quick(piece: str) -> None:
    for text in (piece * 20_000, "@a{b, author = {" + piece * 20_000 + "}}", "@a{b, author={" + " " * 200_000 + "x}}"):
        begun = time.process_time()
        read(text)
        assert time.process_time() - begun < 3.0


@pytest.mark.parametrize("digits", ["9" * 5000, "0" * 5000, "001" + "9" * 5000])
def test_numbers_too_long_to_be_numbers(digits: str) -> None:
    """Python reads no more than 4,300 digits as a number; such a month or day is left out."""
    assert join_date("1998", digits) == "1998"
    assert join_date("1998", "5", digits) == "1998-05"
    (entry,), _ = read(f"@article{{a, title={{x}}, year={{1998}}, month={{{digits}}}}}")
    assert entry.fields["issued"] == "1998"
