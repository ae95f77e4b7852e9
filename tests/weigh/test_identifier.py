"""Identifiers: published examples with their check digits, then properties, then python-stdnum as a second judge."""

import pytest
import stdnum.isbn
import stdnum.ismn
import stdnum.issn
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2

from builder.weigh.identifier import (
    Fault,
    doi_fault,
    doi_key,
    ean_check_digit,
    isbn_fault,
    issn_check_digit,
    issn_fault,
    issn_to_ean,
    mod_11_2_check,
    orcid_fault,
    to_isbn10,
    to_isbn13,
)


def certain(fault: Fault | None) -> bool:
    return fault is not None and fault.certain


def doubted(fault: Fault | None) -> bool:
    return fault is not None and not fault.certain


def test_i1_isbn_check_digit() -> None:
    """ISBN Users' Manual, §4.5: weighted sum 56, check digit 4."""
    assert ean_check_digit("978011000222") == "4"
    assert isbn_fault("978-0-11-000222-4") is None


def test_i2_isbn_check_digit_zero() -> None:
    """ISO 2108's example: sum 100, check digit 0."""
    assert isbn_fault("978-3-16-148410-0") is None


def test_i3_both_forms_convert() -> None:
    """GBIF names guide 2013, colophon."""
    assert isbn_fault("87-92020-44-5") is None and isbn_fault("978-87-92020-44-4") is None
    assert to_isbn13("87-92020-44-5") == "9788792020444"
    assert to_isbn10("978-87-92020-44-4") == "8792020445"


def test_i4_blanks() -> None:
    """ICZN Code, 4th ed., imprint page."""
    assert isbn_fault("0 85301 006 4") is None
    assert to_isbn13("0 85301 006 4") == "978-0-85301-006-7".replace("-", "")


def test_i5_stdnum_examples() -> None:
    """python-stdnum documentation."""
    assert to_isbn13("1-85798-218-5") == "9781857982183"
    assert certain(isbn_fault("9789024538271"))
    assert isbn_fault("0-8044-2957-X") is None and isbn_fault("0-8044-2957-x") is None
    assert to_isbn13("0-8044-2957-X") == "9780804429573"


def test_i6_blind_spot_of_the_sum() -> None:
    """Neighbours that differ by five may change places unseen (blind spot published, example ours)."""
    assert isbn_fault("978-1-85798-218-3") is None
    assert isbn_fault("978-1-85798-213-8") is None


def test_i7_979_has_no_short_form_and_music_is_no_book() -> None:
    """Recomputed; `stdnum.isbn` accepts the music number."""
    assert isbn_fault("979-10-90636-07-1") is None
    assert to_isbn10("979-10-90636-07-1") is None
    assert stdnum.isbn.is_valid("9790260000438") and stdnum.ismn.is_valid("9790260000438")
    fault = isbn_fault("9790260000438")
    assert certain(fault) and fault is not None and "music" in fault.message
    assert to_isbn13("9790260000438") is None


def test_i8_issn_check_digit() -> None:
    """ISSN Manual, Library of Congress page: sum 120, remainder 10, check digit 1."""
    assert issn_check_digit("0317847") == "1"
    assert issn_fault("0317-8471") is None


def test_i9_issn_of_a_journal() -> None:
    """*Hearing Research*: 160 mod 11 = 6, check digit 5."""
    assert issn_check_digit("0378595") == "5"
    assert issn_fault("0378-5955") is None


def test_i10_more_issns() -> None:
    """python-stdnum and others."""
    assert issn_fault("2434-561X") is None and issn_fault("2434-561x") is None
    assert issn_fault("2049-3630") is None
    assert certain(issn_fault("0032-147X"))
    assert issn_to_ean("0264-3596") == "9770264359008"
    assert issn_to_ean("0264-3597") is None


def test_i11_orcid_worked_sheet() -> None:
    """ORCID's worked sheet: total 1356, remainder 3, check character 9."""
    assert mod_11_2_check("000000031415926") == "9"
    assert orcid_fault("0000-0003-1415-9269") is None


@pytest.mark.parametrize(
    "orcid", ["0000-0002-1825-0097", "0000-0002-1694-233X", "0000-0001-5109-3700", "0000-0002-9079-593X"]
)
def test_i12_orcid_examples(orcid: str) -> None:
    """ORCID's examples (the third recomputed)."""
    assert orcid_fault(orcid) is None


def test_i12_orcid_faults() -> None:
    """ORCID's examples; the check character is a capital X."""
    assert certain(orcid_fault("0000-0002-1825-0098"))
    assert certain(orcid_fault("0000-0002-1694-233x"))
    assert doubted(orcid_fault("0000000218250097"))
    assert certain(orcid_fault("0000-0002-1825"))


def test_i13_iso_7064() -> None:
    """ISO 7064 MOD 11-2, as in the stdnum documentation."""
    assert mod_11_2_check("079") == "X"
    assert mod_11_2_check("0794") == "0"
    assert mod_11_2.checksum("07940") == 1


@pytest.mark.parametrize("number", ["73513537", "98412345678908", "036000291452"])
def test_i14_article_numbers(number: str) -> None:
    """EAN-8, GTIN-14 and UPC examples of the stdnum documentation."""
    assert ean_check_digit(number[:-1]) == number[-1]


@pytest.mark.parametrize("doi", ["10.1000/xyz-123", "10.1109/5.771073", "10.1000/182", "10.1000.10/123"])
def test_i15_dois_of_the_handbook(doi: str) -> None:
    """DOI Handbook; ISO 26324 as quoted."""
    assert doi_fault(doi) is None


def test_i15_dois_compare_without_case() -> None:
    """DOI Handbook: names are compared without regard to case."""
    assert doi_key("10.1000/ABC-é") == doi_key("10.1000/abc-é") == doi_key("https://resolver.example/10.1000/aBc-é")
    assert doi_key("10.1000/É") != doi_key("10.1000/é")  # only ASCII letters are folded


def test_i16_an_odd_doi_is_only_doubted() -> None:
    """Gilmartin, Crossref blog, 2015: the published pattern misses some real DOIs."""
    assert doubted(doi_fault("10.1000/größe"))
    assert doubted(doi_fault("10.12/x"))
    assert doubted(doi_fault("10.1098/rspb.2012.2573."))
    assert doi_fault("10.1002/(SICI)1097-0258(19980430)17:8<857::AID-SIM777>3.0.CO;2-E") is None


@pytest.mark.parametrize("prefix", ["10.5555", "10.50505", "10.88888"])
def test_i17_test_prefixes(prefix: str) -> None:
    """Crossref community pages."""
    fault = doi_fault(f"{prefix}/12345678")
    assert doubted(fault) and fault is not None and "tests" in fault.message


@pytest.mark.parametrize("text", ["", "11.1000/182", "10.1000", "10.1000/", "10.x/1", "doi", "10.1000/a\nb", "10/x"])
def test_broken_dois(text: str) -> None:
    assert certain(doi_fault(text))


def test_a_doi_in_its_wrapping_says_what_to_write() -> None:
    for text in ("https://resolver.example/10.1000/182", "doi:10.1000/182", "DOI: 10.1000/182"):
        fault = doi_fault(text)
        assert doubted(fault) and fault is not None and "write `10.1000/182`" in fault.message


def test_labels_and_lists() -> None:
    fault = isbn_fault("ISBN 978-3-16-148410-0")
    assert doubted(fault) and fault is not None and "write `978-3-16-148410-0`" in fault.message
    assert to_isbn13("ISBN 978-3-16-148410-0") == "9783161484100"
    assert doubted(isbn_fault("9780853010067 0853010064"))
    assert certain(isbn_fault("9780853010067 0853010065"))
    assert doubted(issn_fault("ISSN 0378-5955"))
    assert certain(isbn_fault("12345")) and certain(isbn_fault("")) and certain(issn_fault(""))
    assert certain(isbn_fault("٩٧٨٣١٦١٤٨٤١٠٠"))  # digits of another script are no digits here


BOOK = st.sampled_from(["978", "9791"]).flatmap(
    lambda prefix: st.text("0123456789", min_size=12 - len(prefix), max_size=12 - len(prefix)).map(prefix.__add__)
)


@settings(max_examples=100)
@given(BOOK, st.integers(0, 12), st.integers(1, 9))
def test_every_changed_digit_breaks_an_isbn(body: str, place: int, by: int) -> None:
    number = body + ean_check_digit(body)
    assert isbn_fault(number) is None and stdnum.isbn.is_valid(number)
    changed = number[:place] + str((int(number[place]) + by) % 10) + number[place + 1 :]
    assert certain(isbn_fault(changed))


@settings(max_examples=100)
@given(st.text("0123456789", min_size=9, max_size=9))
def test_isbn_round_trip(body: str) -> None:
    isbn10 = to_isbn10("978" + body + ean_check_digit("978" + body))
    assert isbn10 is not None and stdnum.isbn.is_valid(isbn10)
    assert to_isbn13(isbn10) == stdnum.isbn.to_isbn13(isbn10)


@settings(max_examples=100)
@given(st.text("0123456789", min_size=7, max_size=7), st.integers(0, 6), st.integers(1, 9))
def test_every_changed_digit_breaks_an_issn(body: str, place: int, by: int) -> None:
    number = body + issn_check_digit(body)
    assert issn_fault(number) is None and stdnum.issn.is_valid(number)
    assert certain(issn_fault(number[:place] + str((int(number[place]) + by) % 10) + number[place + 1 :]))


@settings(max_examples=100)
@given(st.text("0123456789", min_size=15, max_size=15), st.integers(0, 14), st.integers(1, 9))
def test_every_changed_digit_breaks_an_orcid(body: str, place: int, by: int) -> None:
    number = body + mod_11_2_check(body)
    assert mod_11_2.is_valid(number) and not certain(orcid_fault(number))
    assert certain(orcid_fault(number[:place] + str((int(number[place]) + by) % 10) + number[place + 1 :]))


@settings(max_examples=100)
@given(st.text(max_size=40))
def test_any_text_gives_an_answer(text: str) -> None:
    for judge in (isbn_fault, issn_fault, orcid_fault, doi_fault):
        fault = judge(text)
        assert fault is None or fault.message.isprintable()
    to_isbn13(text), to_isbn10(text), issn_to_ean(text), doi_key(text)
