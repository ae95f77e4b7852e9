"""Shapes of zoological names: the Code's own examples, those of the gnparser tests, then properties."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.name import (
    Name,
    NameFault,
    abbreviated,
    authority_fault,
    latin_spelling,
    read_name,
    scientific_name_faults,
)


def read(text: str) -> Name:
    name = read_name(text)
    assert isinstance(name, Name), name
    return name


def certain(text: str) -> list[str]:
    name = read_name(text)
    faults = (name,) if isinstance(name, NameFault) else name.faults
    return [fault.message for fault in faults if fault.certain]


def test_n1_genus_capital_species_small() -> None:
    """ICZN Code, 4th ed., Arts 5.1 and 28."""
    assert read("Arion ater") == Name("Arion", None, ("ater",), None, None, False, None, None, ())
    assert "small letter" in certain("arion ater")[0]
    assert "`ater`" in certain("Arion Ater")[0]


def test_n2_trinomen_is_the_longest() -> None:
    """ICZN Code, Art. 5.2."""
    assert read("Myotis fimbriatus taiwanensis").epithets == ("fimbriatus", "taiwanensis")
    assert not certain("Myotis fimbriatus taiwanensis")
    assert "three at most" in certain("Myotis fimbriatus taiwanensis minor")[0]


@pytest.mark.parametrize(
    ("text", "bare", "qualifier"),
    [
        ("Acarinina aff. pentacamerata", "Acarinina pentacamerata", "aff."),
        ("X cf. y", "X y", "cf."),
        ("Ferganoconcha? oblonga", "Ferganoconcha oblonga", "?"),
        ("Ctenotus sp. 2", "Ctenotus", "sp. 2"),
    ],
)
def test_n3_qualifier_is_no_part_of_the_name(text: str, bare: str, qualifier: str) -> None:
    """ICZN Code, Art. 5.3 (the fourth is ours)."""
    name = read(text)
    assert (name.bare, name.qualifier) == (bare, qualifier)
    assert any("leaves it uncertain" in fault.message and not fault.certain for fault in name.faults)


def test_n4_subgenus() -> None:
    """ICZN Code, Art. 6.1; the second from the gnparser tests."""
    name = read("Hegeter (Hegeter) tenuipunctatus Brullé, 1838")
    assert (name.genus, name.subgenus, name.epithets) == ("Hegeter", "Hegeter", ("tenuipunctatus",))
    assert (name.authority, name.year, name.parentheses, name.faults) == ("Brullé", 1838, False, ())
    (fault,) = read("Acanthoderes (acanthoderes) satanas").faults
    assert "small letter" in fault.message and not fault.certain


@pytest.mark.parametrize(
    ("text", "parentheses"),
    [("Arion ater (Linnaeus, 1758)", True), ("Limax ater Linnaeus, 1758", False), ("Limax ater Linnaeus 1758", False)],
)
def test_n5_author_and_date(text: str, parentheses: bool) -> None:
    """ICZN Code, Art. 22A.2.1."""
    name = read(text)
    assert (name.authority, name.year, name.parentheses, name.faults) == ("Linnaeus", 1758, parentheses, ())


def test_n6_changed_genus_needs_parentheses() -> None:
    """ICZN Code, Arts 22A.3 and 51.3: the Code's own example, *Limax ater* moved to *Arion*."""
    original = "Limax ater Linnaeus, 1758"
    assert scientific_name_faults("Arion ater", "(Linnaeus, 1758)", described_as=original) == ()
    (bare,) = scientific_name_faults("Arion ater", "Linnaeus, 1758", described_as=original)
    assert bare.certain and "`(Linnaeus, 1758)`" in bare.message
    (outside,) = scientific_name_faults("Arion ater", "(Linnaeus), 1758", described_as=original)
    assert outside.certain and "`(Linnaeus, 1758)`" in outside.message
    (needless,) = scientific_name_faults("Limax ater", "(Linnaeus, 1758)", described_as=original)
    assert "`Linnaeus, 1758`" in needless.message
    assert scientific_name_faults("Arion ater", "Linnaeus, 1758") == ()  # nothing known of the original: no complaint


def test_n7_changed_subgenus_needs_none() -> None:
    """ICZN Code, Art. 51.3.2 (second hand)."""
    original = "Hegeter (Alter) tenuipunctatus Brullé, 1838"
    assert scientific_name_faults("Hegeter (Hegeter) tenuipunctatus", "Brullé, 1838", described_as=original) == ()


def test_n8_citing_a_usage() -> None:
    """ICZN Code, Arts 51.2 and 51.2.1."""
    name = read("Cancer pagurus Linnaeus sensu Latreille")
    assert (name.authority, name.usage, name.faults) == ("Linnaeus", "Latreille", ())
    original = "Cancer pagurus Linnaeus, 1758"
    for wrong in ("Latreille", "(Latreille)"):
        faults = scientific_name_faults("Cancer pagurus", wrong, described_as=original)
        assert any("described by `Linnaeus`" in fault.message for fault in faults)
    assert "comma stands between" in certain("Cancer pagurus, Linnaeus, 1758")[0]


def test_n9_author_is_optional() -> None:
    """ICZN Code, Art. 51.1."""
    assert scientific_name_faults("Arion ater", None) == ()


@pytest.mark.parametrize(
    ("text", "mended"),
    [
        ("Trophon d'orbignyi", "dorbignyi"),
        ("Cerambyx thomæ", "thomae"),
        ("Acanthoderes 4-gibbus", "quadrigibbus"),
        ("Rhynchophorus 13punctatus", "tredecimpunctatus"),
        ("Seleuca chûjôi", "chujoi"),
    ],
)
def test_n10_only_the_latin_letters(text: str, mended: str) -> None:
    """ICZN Code, Arts 11.2, 27 and 32.5.2 (ICZN FAQ; gnparser tests)."""
    assert latin_spelling(text.split()[1]) == mended
    assert f"`{mended}`" in certain(text)[0]


def test_n11_umlaut_is_flagged_never_corrected() -> None:
    """ICZN Code, Art. 32.5.2.1: value from memory."""
    assert latin_spelling("fülleborni") is None
    (fault,) = read("Lethrinops fülleborni").faults
    assert "umlaut" in fault.message and not fault.certain


def test_n12_hyphens() -> None:
    """ICZN Code, Art. 32.5.2.4.3: article from memory, examples from the gnparser tests."""
    for good in ("Polygonia c-album", "Aedes w-albus", "Sanogasta x-signata"):
        assert read(good).faults == ()
        assert latin_spelling(good.split()[1]) == good.split()[1]
    for bad in ("Abryna -petri", "Abryna petri-"):
        assert "hyphen at its end" in certain(bad)[0]


@pytest.mark.parametrize(
    ("text", "authority", "year"),
    [
        ("Tremoctopus violaceus delle Chiaje, 1830", "delle Chiaje", 1830),
        ("Protis hydrothermica ten Hove & Zibrowius, 1986", "ten Hove & Zibrowius", 1986),
        ("Glis wagneri Đulić & Tortić, 1960", "Đulić & Tortić", 1960),
        ("Myotis fimbriatus taiwanensis Ärnbäck-Christie-Linde, 1908", "Ärnbäck-Christie-Linde", 1908),
        ("Roptrocerus typographi (Györfi, 1952)", "Györfi", 1952),
    ],
)
def test_n13_authors_keep_their_letters(text: str, authority: str, year: int) -> None:
    """ICZN Code, Rec. 51B; gnparser tests; Darwin Core example."""
    name = read(text)
    assert (name.authority, name.year, name.faults) == (authority, year, ())
    assert authority_fault(f"{authority}, {year}") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Ocydromus dalmatinus dalmatinus Dejean, 1831)", "without its partner"),
        ("Goggia gemmula 1996", "without an author"),
        ("Recilia truncatus Dash & Viraktamath, 1998: 29", "carries a page"),
        ("Hypochrys0des", "other than letters"),
        ("Oxalis_barrelieri", "underscore"),
        ("<i>Velutina halioides</i> (Linnaeus, 1758)", "markup"),
        ("None recorded", "a remark"),
        ("M. alpium", "shortens the genus"),
    ],
)
def test_n14_poor_names_are_refused(text: str, says: str) -> None:
    """gnparser tests, poor quality."""
    assert says in certain(text)[0]


def test_n14_undetermined_species_is_doubted() -> None:
    """gnparser tests, poor quality."""
    (fault,) = read("Ctenotus spec.").faults
    assert not fault.certain


def test_n15_two_letters_make_a_genus() -> None:
    """gnparser tests."""
    assert (read("Ia Thomas, 1902").genus, read("Ia Thomas, 1902").faults) == ("Ia", ())
    assert (read("Io Lea 1831").authority, read("Io Lea 1831").faults) == ("Lea", ())


@pytest.mark.parametrize(
    "authority",
    ["Linnaeus, 1758", "(Linnaeus, 1758)", "É. Geoffroy Saint-Hilaire, 1810", "Quoy & Gaimard in Freycinet, 1824",
     "d'Orbigny, 1835", "Erxleben, 1777", "[Lightfoot], 1786", "Smith, Jones & Brown, 2001", "Smith et al., 2001",
     'Smith, 1940 ["1939"]', "L.", "Clerck, 1757"],
)  # fmt: skip
def test_good_authorities(authority: str) -> None:
    assert authority_fault(authority) is None


@pytest.mark.parametrize(
    ("authority", "says", "sure"),
    [
        ("", "empty", True),
        ("Linnaeus (1758)", "`Linnaeus, 1758`", True),
        ("linnaeus, 1758", "small letter", True),
        ("Smith,, 1758", "no author beside it", True),
        ("Linna3us, 1758", "digit", True),
        ("Smith, 1998a", "letter that belongs", False),
        ("Ray, 1713", "before 1758", False),
        ("(L.) Mill.", "plants", False),
    ],
)
def test_bad_authorities(authority: str, says: str, sure: bool) -> None:
    fault = authority_fault(authority)
    assert fault is not None and says in fault.message and fault.certain is sure


def test_name_and_authority_disagree() -> None:
    (fault,) = scientific_name_faults("Arion ater Linnaeus, 1758", "(Linnaeus, 1758)")
    assert "the authority" in fault.message
    assert scientific_name_faults("Arion ater (Linnaeus, 1758)", "(Linnaeus, 1758)") == ()


def test_abbreviated() -> None:
    assert abbreviated("Caprimulgus europaeus") == "C. europaeus"
    assert abbreviated("Hegeter (Hegeter) tenuipunctatus Brullé, 1838") == "H. tenuipunctatus"
    assert abbreviated("Myotis fimbriatus taiwanensis") == "M. fimbriatus taiwanensis"
    assert abbreviated("Caprimulgidae") == "Caprimulgidae"
    assert abbreviated("") == ""


LATIN = st.from_regex(r"[a-z]{1,10}(us|ensis)", fullmatch=True)
AUTHORITY = st.sampled_from(["", "Linnaeus, 1758", "(Linnaeus, 1758)", "van der Zee & Ó Móráin, 1901"])


@settings(max_examples=100)
@given(LATIN, LATIN, st.none() | LATIN, AUTHORITY)
def test_well_made_names_read_back(genus: str, species: str, subspecies: str | None, authority: str) -> None:
    parts = [genus.capitalize(), species, *([subspecies] if subspecies else [])]
    name = read(" ".join([*parts, authority]).strip())
    assert name.faults == ()
    assert name.bare == " ".join(parts)
    assert name.parentheses == authority.startswith("(")
    assert (name.year is None) == (authority == "")


@settings(max_examples=100)
@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    assert isinstance(read_name(text), Name | NameFault)
    assert all(fault.message for fault in scientific_name_faults(text, text, described_as=text))
    assert isinstance(abbreviated(text), str)
    latin_spelling(text)


def test_what_is_far_too_long_is_no_name() -> None:
    """It is refused before it is taken apart, which would take ever longer; the limit is our choice."""
    for text in ("Aus bus " * 1000, "[" * 5000, '"' * 5000):
        refused = read_name(text)
        assert isinstance(refused, NameFault) and "no name is that long" in refused.message
        fault = authority_fault(text)
        assert fault is not None and "no authority is that long" in fault.message
