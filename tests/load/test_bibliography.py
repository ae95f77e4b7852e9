"""Bibliographies as reference managers export them, and as they break on the way."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.load.bibliography import read_bibliography, suggest_id

BIB = r"""
% exported by hand
@string{bc = "Biological Conservation"}
@comment{nothing}
@article{sierro, title = {Habitat use and foraging ecology of the {Nightjar} (\emph{Caprimulgus europaeus})},
  author = {Sierro, A. and Arlettaz, Rapha{\"e}l and {de la Cruz}, M.}, journal = bc, volume = 98, number = 3,
  pages = {325--331}, year = 2001, month = apr, doi = {https://doi.org/10.1016/S0006-3207(00)00175-0}, keywords = {x}}
@book(handbook, title = "Bats", editor = "Wilson, Don E. and Mittermeier, R. A.", publisher = {Lynx}, address = {Barcelona},
  isbn = {978-84-16728-19-0}, year = "2019")
@inproceedings{talk, title = {A talk}, booktitle = {Proceedings}, author = {O'Neil, Jr, Pat}, year = {2003}}
"""

RIS = """TY  - JOUR
AU  - Bobrowiec, Paulo E. D.
AU  - Lemes, M. R.
TI  - Prey preference of the common vampire bat
T2  - Journal of Mammalogy
VL  - 96
IS  - 1
SP  - 54
EP  - 63
PY  - 2015
DO  - 10.1093/jmammal/gyu002
ER  -

TY  - BOOK
A1  - Darwin, Charles
TI  - Journal of Researches
PB  - Murray
PY  - 1845//
ER  -
"""


def test_bibtex() -> None:
    entries, faults = read_bibliography(BIB.encode())
    assert [entry.key for entry in entries] == ["sierro", "handbook", "talk"] and faults == ()
    first, second, third = (entry.fields for entry in entries)
    assert first["type"] == "article-journal" and first["container-title"] == "Biological Conservation"
    assert first["title"] == "Habitat use and foraging ecology of the Nightjar (Caprimulgus europaeus)"
    assert first["author"][1] == {"family": "Arlettaz", "given": "Raphaël"}
    assert (first["page"], first["issued"], first["DOI"]) == ("325–331", "2001-04", "10.1016/S0006-3207(00)00175-0")
    assert second["editor"][0] == {"family": "Wilson", "given": "Don E."} and second["publisher-place"] == "Barcelona"
    assert third["type"] == "paper-conference" and third["author"][0]["family"] == "O'Neil"


def test_ris_with_either_line_end() -> None:
    for text in (RIS, RIS.replace("\n", "\r\n")):
        entries, faults = read_bibliography(text.encode())
        assert faults == () and len(entries) == 2
        fields = entries[0].fields
        assert fields["author"][0] == {"family": "Bobrowiec", "given": "Paulo E. D."}
        assert (fields["page"], fields["issued"], fields["container-title"]) == (
            "54–63",
            "2015",
            "Journal of Mammalogy",
        )
        assert entries[1].fields["type"] == "book" and entries[1].fields["issued"] == "1845"


def test_csl_json() -> None:
    items = [
        {
            "id": "x",
            "type": "article-journal",
            "title": "A <i>title</i> &amp; more",
            "author": [{"family": "Doe", "given": "J."}, {"literal": "A Museum"}],
            "issued": {"date-parts": [[2001, 3, 2]]},
            "DOI": "10.1/X",
        },
        {"id": "y", "type": "book", "title": "B", "issued": {"raw": "spring 1990"}, "abstract": "long"},
    ]
    entries, faults = read_bibliography(json.dumps(items).encode())
    assert faults == ()
    assert entries[0].fields["title"] == "A title & more" and entries[0].fields["issued"] == "2001-03-02"
    assert entries[0].fields["author"] == [{"family": "Doe", "given": "J."}, {"literal": "A Museum"}]
    assert "abstract" in entries[1].left_out


def test_encodings() -> None:
    text = BIB.replace(r"Rapha{\"e}l", "Raphaël")
    assert read_bibliography(text.encode("utf-16"))[0][0].fields["author"][1]["given"] == "Raphaël"
    entries, faults = read_bibliography(text.encode("latin-1"))
    assert entries[0].fields["author"][1]["given"] == "Raphaël" and len(faults) == 1


@pytest.mark.parametrize(
    "text, row",
    [
        ("@article{a, title = {No end\n\n@book{b, title = {B}}", 1),
        ("@article{a title = {x}}\n@book{b, title={B}}", 1),
        ("TY  - JOUR\nTI  - A\nTY  - BOOK\nTI  - B\nER  -\n", 1),
        ('[{"id": "a", "type": "book"}]', 1),
        ("just words", 1),
        ("", 1),
    ],
)
def test_broken_ones_are_told_by_entry(text: str, row: int) -> None:
    _, faults = read_bibliography(text.encode())
    assert faults and faults[0].row >= row and faults[0].mend


def test_a_broken_entry_costs_only_itself() -> None:
    entries, _ = read_bibliography(b"@article{a, title = {No end\n\n@book{b, title = {B}, year=2001}")
    assert [entry.key for entry in entries][-1] == "b"


def test_ids() -> None:
    entries, _ = read_bibliography(BIB.encode())
    assert suggest_id(entries[0], {"sierro-2001"}) == "sierro-2001-2"
    assert suggest_id(entries[1], {}) == "wilson-mittermeier-2019"


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda t: t.encode("utf-8", "replace"))))
@settings(max_examples=100, deadline=None)
def test_any_bytes_give_entries_and_faults(data: bytes) -> None:
    entries, faults = read_bibliography(data)
    assert all(entry.fields["type"] for entry in entries) and all(fault.row >= 1 for fault in faults)


@given(
    st.lists(
        st.sampled_from(
            [
                "@book{",
                "a,",
                "title=",
                "{x}",
                "}",
                "{",
                '"',
                "\n",
                "@string{s=1}",
                "# s",
                "TY  - JOUR\n",
                "ER  -\n",
                "[{",
                '"id":',
                "\\'e",
                "%",
            ]
        ),
        max_size=30,
    )
)
@settings(max_examples=100, deadline=None)
def test_any_shuffle_of_signs(parts: list[str]) -> None:
    read_bibliography("".join(parts).encode())
