"""Places on grids, held to what others worked out, and found in texts only where they lead to what is withheld."""

from __future__ import annotations

import pytest
import utm
from hypothesis import assume, example, given
from hypothesis import strategies as st
from openlocationcode import openlocationcode

from builder.resolve.gridref import AIRY, _project, code_of, find_metres, find_squares
from tests.resolve.test_sieve import kinds


def test_the_projection_by_the_worked_example() -> None:
    """Ordnance Survey, A guide to coordinate systems in Great Britain, annexe C.1: the Caister water tower, to the
    millimetre; the numbers are from memory, and such a match is no chance."""
    latitude, longitude = 52 + 39 / 60 + 27.2531 / 3600, 1 + 43 / 60 + 4.5177 / 3600
    east, north = _project(latitude, longitude, AIRY, 0.9996012717, 49, -2, 400000, -100000)
    assert (round(east, 3), round(north, 3)) == (651409.903, 313177.270)


@pytest.mark.parametrize(
    "latitude, longitude, letters, east, north, within",
    [
        (52.657977, 1.716038, "TG", 51409, 13177, 10),  # the same tower in WGS 84
        (51.17882, -1.82623, "SU", 12245, 42190, 60),  # Stonehenge, SU 122 422 as usually given; from memory
        (48.85837, 2.294481, "31UDQ", 48251, 11952, 5),  # the Eiffel tower; from memory
        (-33.8568, 151.2153, "56HLH", 34900, 52288, 5),  # the Sydney opera house; from memory
    ],
)
def test_known_places(
    latitude: float, longitude: float, letters: str, east: float, north: float, within: float
) -> None:
    (square,) = [square for square in find_squares(latitude, longitude) if square.letters == letters]
    assert abs(square.east - east) <= within and abs(square.north - north) <= within


def reference(digits: int, gap: str = " ", letters: str = "SU", step: int = 0) -> str:
    """The withheld pond, 51.2345 N 1.2345 W, as a reference of so many digits, `step` cells further east."""
    (square,) = [square for square in find_squares(51.2345, -1.2345) if square.letters.endswith(letters)]
    cell = 10 ** (5 - digits // 2)
    half = digits // 2
    return f"{square.letters}{gap}{int(square.east // cell) + step:0{half}d}{gap}{int(square.north // cell):0{half}d}"


@pytest.mark.parametrize("digits", [4, 6, 8, 10])
@pytest.mark.parametrize("gap", ["", " "])
@pytest.mark.parametrize("letters", ["SU", "XB"])
@pytest.mark.parametrize("own", [True, False])
def test_a_withheld_point_as_a_grid_reference(digits: int, gap: str, letters: str, own: bool) -> None:
    text = f"by the pond at {reference(digits, gap, letters)}, in May"
    assert kinds(text, own=own) == {"coordinates"}
    assert kinds(f"at {reference(digits, gap, letters, 40)}.", own=own) == set()


def test_what_only_looks_like_one() -> None:
    for text in ("SU 1234", "Room SU 99 99", "catalogue number SU 530.12", "30U 12", "TQ 53 48", reference(6)[2:]):
        assert kinds(text) == set(), text


def test_a_square_as_wide_as_what_is_shown_may_stand() -> None:
    assert kinds(f"near {reference(4)}", show="0.01", step="0.01") == set()
    assert kinds(f"near {reference(6)}", show="0.01", step="0.001") == {"coordinates"}


@given(
    st.floats(-89.9, 89.9) | st.decimals(-90, 90, places=4).map(float),
    st.floats(-179.9, 179.9) | st.decimals(-180, 180, places=4).map(float),
)
@example(1.9999999999999858, 0.0)
def test_codes_are_those_of_the_reference_library(latitude: float, longitude: float) -> None:
    """The package `openlocationcode` of the authors of the specification, which a hair from the pole or the date line
    gives codes of nowhere."""
    assert code_of(latitude, longitude) == openlocationcode.encode(latitude, longitude, 10)[:8]


@given(st.floats(-79.9, 55.9).filter(lambda latitude: abs(latitude) > 1e-6), st.floats(-180, 179.9))
def test_metres_are_those_of_a_reference_library(latitude: float, longitude: float) -> None:
    """The package `utm`; north of 56 degrees its zones around Norway and Svalbard differ, which are not made here."""
    assume(abs(longitude / 6 - round(longitude / 6)) > 1e-9)  # on the border of two zones either will do
    east, north, _, _ = utm.from_latlon(latitude, longitude)
    found = find_metres(latitude, longitude)[-1]
    assert abs(found[0] - east) < 5 and abs(found[1] - north) < 5


@pytest.mark.parametrize(
    "text",
    [
        "30U 623255 5677384",
        "UTM zone 30, 623255 mE, 5677384 mN",
        "E 0623255 N 5677384.2",
        "northing 5677400, easting 623300",
        "E623000 N5677000",
        "eastings 453541, northings 148647",
        "453500 148600",
        "near 9C3W6QM8+RJ",
        "6QM8+RJ Hampstead Norreys",
        "https://maps.example/9c3w6qm8%2Brj",
    ],
)
@pytest.mark.parametrize("own", [True, False])
def test_the_withheld_point_in_metres_and_as_a_code(text: str, own: bool) -> None:
    """51.2345 N 1.2345 W; the British metres are those of the Ordnance Survey's series, tried above."""
    assert kinds(text, own=own) == {"coordinates"}


@pytest.mark.parametrize(
    "text",
    [
        "30U 624955 5677384",  # 1.7 km off
        "623255 newts and, much later in the same long sentence about them all, 5677384 more",
        "623255",
        "620000 5680000",  # ten kilometres
        "453541 153647",
        "9C3W6QM9+RJ",
        "8C3W6QM8+RJ",  # the same digits, in another part of the world
        "A6QM8+RJ",
        "C++ and 6QM8",
    ],
)
def test_other_numbers_and_codes_are_left_alone(text: str) -> None:
    assert kinds(text) == set()


def test_metres_and_codes_no_finer_than_what_is_shown_may_stand() -> None:
    assert kinds("E623000 N5677000", show="0.01", step="0.01") == set()
    assert kinds("E623300 N5677400", show="0.01", step="0.001") == {"coordinates"}
    assert kinds("6QM8+RJ", show="0.001", step="0.001") == set()
