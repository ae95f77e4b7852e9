"""Withheld values are found however they are written, and ordinary prose is left alone."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.model.record import Record, Taxon
from builder.resolve.pattern import roman_numeral
from builder.resolve.privatename import NOBODY, ORDINARY, PARTICLES, TITLES
from builder.resolve.sieve import Sieve
from builder.resolve.withheld import shown_points, withheld_values


def record(show: str = "withheld", collector: str = "Percival Thistlewick", **locality: object) -> Record:
    place = {
        "text": "a garden pond at 4 Mill Lane",
        "latitude": "51.2345",
        "longitude": "-1.2345",
        "show": show,
        **locality,
    }
    thing = {
        "catalogue_number": "A1",
        "preparation": "study skin",
        "collection": "birds",
        "store": "Store 2, row 14, shelf 3",
        "locality": place,
        "collector": {"name": collector, "show": "no"},
    }
    return Record.model_validate({"name": {"common": "newt"}, "title": "t", "objects": {"jar": thing}})


def kinds(text: str, *, own: bool = True, step: str = "0.1", **settings: object) -> set[str]:
    made = record(**settings)  # type: ignore[arg-type]
    values = withheld_values(made, "newt", step=Decimal(step))
    sieve = Sieve(values, own=own, shown=shown_points(made, step=Decimal(step)))
    return {hit.withheld.kind for hit in (sieve.scan(text) if own else sieve.scan_file(text))}


@pytest.mark.parametrize(
    "text",
    [
        "It stands in Store 2, row 14, shelf 3.",
        "STORE 2 – ROW 14 – SHELF 3",
        "row fourteen, shelf three",
        "shelf 3 of row 14",
        "Row no. 14,&nbsp;Shelf 3",
        "Store&#32;2 / row&#32;14",
        "in row 14, by shelf 3",
        "Row XIV, Shelf III",
        "Store II (row fourteen)",
    ],
)
def test_stores(text: str) -> None:
    assert kinds(text) == {"store"}


def test_a_store_in_roman_numerals() -> None:
    for text in ("Store II, row xiv", "store 2 / Row 14", "row fourteen in Store Two"):
        thing = record().objects["jar"].model_copy(update={"store": "Store II, row XIV"})
        values = withheld_values(record().model_copy(update={"objects": {"jar": thing}}), "newt")
        assert {hit.withheld.kind for hit in Sieve(values, own=True).scan(text)} == {"store"}, text
        assert {hit.withheld.kind for hit in Sieve(values).scan_file(text)} == {"store"}, text
    assert kinds("In store I stood at row V and wrote chapter XIV.") == set()


# the numerals themselves: common practice, no source
@pytest.mark.parametrize(
    "number, roman", [(2, "ii"), (4, "iv"), (9, "ix"), (14, "xiv"), (40, "xl"), (49, "xlix"), (99, "xcix")]
)
def test_roman_numerals(number: int, roman: str) -> None:
    assert roman_numeral(number) == roman


@pytest.mark.parametrize(
    "text",
    [
        "51.2345, -1.2345",
        "51.2345° N, 1.2345° W",
        "51,2345; -1,2345",
        "51.234 / −1.235",
        "N 51.23450 W 1.23450",
        "51° 14' 4.2\" N 1° 14' 4.2\" W",
        "51° 14.07' N, 1° 14.07' W",
        "51 14.07' N, 1 14.07' W",
        "51°14′04″N 1°14′04″W",
        "51.2345 N",
        "latitude 51.2345",
        "51&#46;2345, &minus;1&#46;2345",
        "-1.2345,51.2345",
        "51.2345,1.2345",
        '{"type": "Point", "coordinates": [-1.2345,51.2345]}',
        "<coordinates>-1.2345,51.2345,0</coordinates>",
        "POINT(-1.2345 51.2345)",
        "geo:51.2345,-1.2345",
        "?lat=51.2345&amp;lon=-1.2345",
        "51·2345, 1·2345",
        "511404N 0011404W",
        "N511404 W0011404",
        "511404.2N, 0011404.2W",
        "5114N 00114W",
        "+511404-0011404/",
        "+51.2345-001.2345/",
    ],
)
@pytest.mark.parametrize("own", [True, False])
def test_coordinates_in_usual_notations(text: str, own: bool) -> None:
    """Notations as in Chapman & Wieczorek 2020, Georeferencing Best Practices, GBIF: decimal, minutes, seconds.

    Those of files are as GeoJSON (RFC 7946), KML 2.2 (OGC 07-147r2), well-known text (OGC 06-103r4) and the geo scheme
    (RFC 5870) have them. Those without anything between degrees, minutes and seconds: ISO 6709:2008, annex H, and as
    pilots write them (ICAO annex 15); both from memory.
    """
    if own or text not in ("51.2345 N", "latitude 51.2345"):  # one number alone tells only in the record's own text
        assert "coordinates" in kinds(text, own=own)


@pytest.mark.parametrize(
    "text",
    ["1.234,51 euros", "51.2345.1", "1,234.5", "751.2345, 12.2345", "No. 511404", "511404 newts", "7N 0011404 W0"],
)
def test_numbers_that_are_no_coordinates(text: str) -> None:
    assert kinds(text) == set()


@pytest.mark.parametrize("text", ["51.2° N, 1.2° W", "Near 51.2, -1.2, to within 6,558 m"])
def test_what_is_shown_may_stand(text: str) -> None:
    assert kinds(text, show="0.1") == set()
    assert "coordinates" in kinds("51.23° N, 1.23° W", show="0.1")


@pytest.mark.parametrize(
    "text", ["behind 4 Mill Lane", "at Mill Lane", "A GARDEN POND AT 4 MILL LANE", "4, Mill&nbsp;Lane"]
)
def test_places_in_words(text: str) -> None:
    assert kinds(text) == {"place"}


@pytest.mark.parametrize(
    "text",
    [
        "Percival Thistlewick",
        "P. Thistlewick",
        "Thistlewick, P.",
        "THISTLEWICK",
        "the Thistlewicks",
        "Thistle­wick",
        "given by P. Thistle-\nwick",
        "Percival Thistle- wick",
        "Perci-\n  val Thistlewick",
        "Thistlewíck",
    ],
)
def test_names(text: str) -> None:
    assert kinds(text) == {"name"}


@pytest.mark.parametrize(
    "show, step, found", [("0.001", "0.1", {"place"}), ("0.001", "0.001", set()), ("0.01", "0.001", {"place"})]
)
def test_a_place_is_never_told_finer_than_the_house_rule(show: str, step: str, found: set[str]) -> None:
    assert kinds("behind 4 Mill Lane", show=show, step=step) == found
    shown = {"coordinates"} if found and step == "0.1" else set()
    assert kinds("at 51.23, -1.23", show=show, step=step) & {"coordinates"} == shown


@pytest.mark.parametrize("text", ["images/percivalthistlewick.jpg", "PercivalThistlewick@museum.example"])
def test_names_run_together(text: str) -> None:
    assert kinds(text, own=False) == {"name"}


def test_who_named_the_animal_may_stand() -> None:
    """The authority of a scientific name is printed with it, whoever else bears that name."""
    made = record().model_copy(update={"name": Taxon(common="newt", authority="(Thistlewick, 1901)")})
    for text, found in (("(Thistlewick, 1901)", 0), ("P. Thistlewick", 1), ("Percival Thistlewick", 1)):
        assert len(Sieve(withheld_values(made, "newt"), own=True).scan(text)) == found


LETTERS = "abcdefghijklmnopqrstuvwxyz"


@given(
    surname=st.text(LETTERS, min_size=5, max_size=12).filter(lambda word: word not in ORDINARY),
    given_name=st.text(LETTERS, min_size=2, max_size=10).filter(lambda word: word not in TITLES | NOBODY | PARTICLES),
    form=st.sampled_from(["{g} {s}", "{s}, {i}.", "{i}. {s}", "{G} {S}", "<b>{g}</b>&nbsp;{s}", "{g}-{s}", "the {s}s"]),
    row=st.integers(1, 99),
    shelf=st.integers(1, 99),
)
@settings(max_examples=100, deadline=None)
def test_the_quick_look_passes_nothing_over(surname: str, given_name: str, form: str, row: int, shelf: int) -> None:
    """A record's own sieve, which asks each pattern first, and one of many records, which asks the text, agree."""
    one, other = given_name.title(), surname.title()
    text = form.format(g=one, s=other, i=one[0], G=one.upper(), S=other.upper())
    text += f" and row {row}, shelf {shelf} and 51.2345,-1.2345"
    made = record(collector=f"{one} {other}")
    thing = made.objects["jar"].model_copy(update={"store": f"Store 2, row {row}, shelf {shelf}"})
    made = made.model_copy(update={"objects": {"jar": thing}})
    few = withheld_values(made, "newt", step=Decimal("0.1"))
    many = [
        value
        for index in range(12)
        for value in withheld_values(record(collector=f"Xavier Yz{LETTERS[index] * 4}"), f"r{index}")
    ]
    found = {hit.withheld.kind for hit in Sieve(few, own=True).scan(text)}
    assert found == {"name", "store", "coordinates"}
    bulk = {hit.withheld.kind for hit in Sieve([*few, *many]).scan_file(text) if hit.withheld.record == "newt"}
    assert bulk == found


def test_surnames_that_are_ordinary_words() -> None:
    for text in ("In May the newts come out.", "A may bush stands there.", "Look at May and June."):
        assert kinds(text, collector="Theodora May") == set()
    for text in ("Theodora May", "T. May found it", "Mrs May gave it", "May, T."):
        assert kinds(text, collector="Theodora May") == {"name"}


@pytest.mark.parametrize("own", [True, False])
@pytest.mark.parametrize(
    "collector, clean, telling",
    [
        ("May", ("Some may eat moths.", "It will be in May."), ("Mrs May gave it", "Given by Mr MAY")),
        ("Mrs May", ("Some may eat moths.", "In May, they do."), ("Mrs May gave it",)),
        (
            "Will May",
            ("It will, they may say.", "It will be in May."),
            ("Will May", "WILL MAY", "May, Will", "Will J. May"),
        ),
        ("Rose Hill", ("A rose on the hill", "The Rose on a hill"), ("Rose Hill", "Rose Mary Hill", "R. Hill")),
        ("Mark Young", ("The young mark it.", "to mark young birds"), ("by Mark Young", "Young, Mark")),
    ],
)
def test_names_of_ordinary_words_are_names_only_with_their_capitals(
    collector: str, clean: tuple[str, ...], telling: tuple[str, ...], own: bool
) -> None:
    for text in clean:
        assert kinds(text, collector=collector, own=own) == set(), text
    for text in telling:
        assert kinds(text, collector=collector, own=own) == {"name"}, text


def test_ordinary_prose_is_left_alone() -> None:
    """The corpus of clean museum prose holds nothing of this record, nor of one with other common names."""
    rows = (Path(__file__).parents[1] / "prose/clean.md").read_text("utf-8").splitlines()
    text = "\n".join(row[2:] for row in rows if row[1:2] == "|")
    assert len(text) > 10_000
    for collector in ("Percival Thistlewick", "Theodora May", "Edgar Brown", "A private collector"):
        assert kinds(text, collector=collector) == set()


@pytest.mark.parametrize(
    "text",
    [
        "<p>Store 2, <b>row 14</b>, shelf 3</p>",
        '<img alt="by Percival Thistlewick">',
        '{"text": "51.2345, -1.2345"}',
        "<desc>a garden pond at 4 Mill Lane</desc>",
        '"Percival\\u0020Thistlewick"',
        "https://museum.example/Percival%20Thistlewick",
        "<i>Percival</i> <i>Thistlewick</i>",
    ],
)
def test_finished_files(text: str) -> None:
    assert kinds(text, own=False)


def test_drawings_and_numbers_are_no_coordinates() -> None:
    drawing = '<path d="M51.2345 1.2345 L52.1 1.3"/><circle cx="51.2345" cy="1.2345"/><p>81 % of 130, mean 51.2 mm</p>'
    assert kinds(drawing, own=False) == set()


@pytest.mark.parametrize(
    "text",
    [
        "Thank you, Mr Quarrendon.",
        "Mrs Thistlewick had it from a cousin.",
        "Percival Quarrendon brought it in.",
        "The label reads: J. Q.-T.",
        "In pencil: P. Q. T. and a line.",
        "In pencil: P.T. and a line.",
        "Percival Q. gave it.",
    ],
)
def test_half_a_name_names_its_bearer(text: str) -> None:
    """One part of a double surname after a title or a given name, and a given name with an initial (our choice)."""
    given = "Jasper" if "J." in text else "Percival"
    assert kinds(text, collector=f"{given} Quarrendon-Thistlewick") == {"name"}


@pytest.mark.parametrize(
    "text",
    [
        "A quarrendon is an apple.",
        "Percival Q. R. Smith wrote it.",
        "Percival Qualmwood wrote it.",
        "The label reads: Q. T.",
        "Thistlewick Hall stands by the road.",
    ],
)
def test_half_a_name_names_nobody_else(text: str) -> None:
    assert kinds(text, collector="Percival Quarrendon-Thistlewick") == set()


@pytest.mark.parametrize("number", ["1234567890", "4006381333931", "9" * 5000])
def test_a_store_by_a_long_number_is_found(number: str) -> None:
    """A barcode has 13 digits (GS1 General Specifications, from memory); Python reads no more than 4,300 as a number."""
    thing = record().objects["jar"].model_copy(update={"store": f"Box {number}"})
    values = withheld_values(record().model_copy(update={"objects": {"jar": thing}}), "newt")
    for sieve in (Sieve(values, own=True), Sieve(values)):
        assert {hit.withheld.kind for hit in sieve.scan(f"It stands in box {number} now.")} == {"store"}
        assert sieve.scan(f"It stands in box {number}0 now.") == ()


def test_a_name_of_digits_is_no_crash() -> None:
    assert kinds("nothing", collector="Percival " + "9" * 5000) == set()
