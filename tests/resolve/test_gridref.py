"""Places on grids, held to what others worked out, and found in texts only where they lead to what is withheld."""

from __future__ import annotations

import pytest

from builder.resolve.gridref import AIRY, _project, find_squares
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
