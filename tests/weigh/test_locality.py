"""Sensitive places: published metres and rules, then properties."""

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.locality import (
    CATEGORY_STEPS,
    STEPS,
    UNKNOWN_DATUM_M,
    coordinate_faults,
    diagonal_m,
    generalise,
    information_withheld,
    metres_per_degree,
    radius_m,
    round_to_step,
)

D = Decimal


def test_g1_steps_by_category() -> None:
    """Chapman 2020, Table 7."""
    assert {name: str(step) for name, step in CATEGORY_STEPS.items()} == {
        "extreme": "1", "high": "0.1", "medium": "0.01", "low": "0.001"}  # fmt: skip


@pytest.mark.parametrize(("step", "kilometres"), [(0.1, 10), (0.01, 1), (0.001, 0.1)])
def test_g2_steps_in_kilometres(step: float, kilometres: float) -> None:
    """Chapman 2020: about 10 km, 1 km, 100 m (a regional summary in it prints 0.01° as about 10 km: a misprint)."""
    north, _ = metres_per_degree(45)
    assert step * north / 1000 == pytest.approx(kilometres, rel=0.12)


def test_g3_g4_said_and_never_jittered() -> None:
    """Chapman 2020: never random; say what was done, that finer data are held, and that researchers may ask."""
    places = {generalise(D("51.2345"), D("-1.2345"), D("0.1"), D(30)) for _ in range(5)}
    (place,) = places
    assert (place.latitude, place.longitude) == (D("51.2"), D("-1.2"))
    assert "nearest 0.1°" in place.data_generalizations
    assert "researchers may ask" in information_withheld(place.step)
    assert "researchers may ask" in information_withheld(None)
    assert "not recorded" in generalise(D("51.2345"), D("-1.2345"), D("0.1")).data_generalizations


LATITUDES = (0, 30, 60, 85)


@pytest.mark.parametrize(
    ("step", "metres"),
    [
        (0.1, (15691, 14697, 12461, 11211)),  # G5
        (1, (156904, 146962, 124605, 112109)),  # G6 and on: five printed cells are 1 m low, hence the allowance
        (0.01, (1570, 1470, 1246, 1121)),
        (0.001, (157, 147, 125, 112)),
        (0.0001, (16, 15, 13, 12)),
        (1 / 60, (2615, 2450, 2077, 1869)),
        (0.1 / 60, (262, 245, 208, 187)),
        (1 / 3600, (44, 41, 35, 32)),
    ],
)
def test_g5_g6_diagonals(step: float, metres: tuple[int, ...]) -> None:
    """Chapman & Wieczorek 2020, uncertainty due to precision, WGS84."""
    for latitude, printed in zip(LATITUDES, metres, strict=True):
        assert math.ceil(diagonal_m(step, latitude)) - printed in ((0,) if step == 0.1 else (0, 1))


def test_g7_half_a_degree() -> None:
    """Chapman & Wieczorek 2020, worked example at 10°, good to half a degree: 77.87 km."""
    assert diagonal_m(0.5, 10) == pytest.approx(77870, abs=0.5)


@pytest.mark.parametrize(
    ("latitude", "north", "east"),
    [(0, 110574.276, 111319.491), (30, 110852.442, 96486.280), (60, 111412.287, 55800.002), (85, 111685.403, 9734.523)],
)
def test_g8_metres_per_degree(latitude: int, north: float, east: float) -> None:
    """WGS84, recomputed."""
    assert metres_per_degree(latitude) == pytest.approx((north, east), abs=0.001)
    assert metres_per_degree(-latitude) == pytest.approx((north, east), abs=0.001)


def test_g9_square_of_a_hundred_metres() -> None:
    """Darwin Core `coordinateUncertaintyInMeters`: 71 for a square of 100 m; zero is no value."""
    assert radius_m(100, 100) == 71
    assert radius_m(0, 0) == 1


@pytest.mark.parametrize(
    ("value", "step", "printed"),
    [("0.05", "0.1", "0.1"), ("-33.85", "0.1", "-33.9"), ("51.25", "0.1", "51.3"), ("-0.04", "0.1", "0.0"),
     ("-33.9", "0.01", "-33.90"), ("-33.895", "0.01", "-33.90"), ("0.5", "1", "1"), ("-0.5", "1", "-1"),
     ("179.96", "0.1", "180.0")],
)  # fmt: skip
def test_g10_rounding(value: str, step: str, printed: str) -> None:
    """Recomputed: half away from zero, trailing zeros kept, no −0.0."""
    assert str(round_to_step(D(value), D(step))) == printed


def test_g11_unknown_datum() -> None:
    """Chapman & Wieczorek 2020: 5,359 m at worst."""
    known = generalise(D("51.5"), D("-0.1"), D("0.1"), D(30))
    unknown = generalise(D("51.5"), D("-0.1"), D("0.1"), D(30), datum_known=False)
    assert unknown.uncertainty_m - known.uncertainty_m == UNKNOWN_DATUM_M == 5359


def test_g12_no_corner_is_named() -> None:
    """Chapman & Wieczorek 2020: a caption calls a south-west corner SE; we round to a centre, to no corner."""
    for latitude, longitude in (("51.24", "1.24"), ("51.16", "1.16"), ("51.24", "1.16")):
        place = generalise(D(latitude), D(longitude), D("0.1"))
        assert (place.latitude, place.longitude) == (D("51.2"), D("1.2"))


def test_g13_texts_are_plain_sentences() -> None:
    """Darwin Core: `dataGeneralizations` says from what to what, `informationWithheld` is never blank."""
    place = generalise(D("51.2345"), D("-1.2345"), D("1"), D(30))
    assert "nearest 1°," in place.data_generalizations
    assert information_withheld(place.step).endswith(".") and information_withheld(None).endswith(".")


def test_g14_ranges() -> None:
    """Both limits belong to the range."""
    assert coordinate_faults(D(90), D(180)) == coordinate_faults(D(-90), D(-180)) == ()
    assert "beyond 90°" in coordinate_faults(D("90.0001"), D(0))[0]
    assert "beyond 180°" in coordinate_faults(D(0), D("-180.0001"))[0]
    assert len(coordinate_faults(D("nan"), D("inf"))) == 2


@pytest.mark.parametrize(("step", "half"), [("1", 65575), ("0.1", 6558), ("0.01", 656), ("0.001", 66)])
def test_uncertainty_is_at_least_half_the_diagonal(step: str, half: int) -> None:
    """Ours: half the diagonal at 51.5° north, WGS84; the cell's wider edge adds little."""
    assert math.ceil(diagonal_m(float(step), 51.5) / 2) == half
    place = generalise(D("51.5"), D("-0.1"), D(step), D(30))
    at_centre = math.ceil(diagonal_m(float(step), float(place.latitude)) / 2)
    assert at_centre + 30 <= place.uncertainty_m <= at_centre * 1.01 + 31


def test_mistakes_of_a_programmer_raise() -> None:
    with pytest.raises(ValueError, match="latitude"):
        generalise(D(91), D(0), D("0.1"))
    with pytest.raises(ValueError, match="step"):
        generalise(D(1), D(0), D("0.5"))
    for uncertainty in (D(-1), D("nan")):
        with pytest.raises(ValueError, match="uncertainty"):
            generalise(D(1), D(0), D("0.1"), uncertainty)


LATITUDE = st.decimals(-90, 90, places=5)
LONGITUDE = st.decimals(-180, 180, places=5)
STEP = st.sampled_from(STEPS)


def earth_centred(latitude: Decimal, longitude: Decimal) -> tuple[float, float, float]:
    """A point of the WGS84 ellipsoid in metres from the centre of the earth: another road to a distance."""
    phi, lam = math.radians(float(latitude)), math.radians(float(longitude))
    e2 = 0.00669437999014
    n = 6378137.0 / math.sqrt(1 - e2 * math.sin(phi) ** 2)
    return n * math.cos(phi) * math.cos(lam), n * math.cos(phi) * math.sin(lam), n * (1 - e2) * math.sin(phi)


@settings(max_examples=100)
@given(LATITUDE, LONGITUDE, STEP)
def test_the_true_point_lies_within_the_uncertainty(latitude: Decimal, longitude: Decimal, step: Decimal) -> None:
    place = generalise(latitude, longitude, step, D(0))
    apart = math.dist(earth_centred(latitude, longitude), earth_centred(place.latitude, place.longitude))
    assert apart <= place.uncertainty_m
    assert place.uncertainty_m >= 1
    assert abs(place.latitude - latitude) <= step / 2 and abs(place.longitude - longitude) <= step / 2
    assert not str(place.latitude).startswith("-0.0" + "0" * 3) and str(place.latitude) != "-0"


@settings(max_examples=100)
@given(LATITUDE, LONGITUDE, LATITUDE, LONGITUDE, STEP)
def test_equal_cells_give_equal_places(
    latitude: Decimal, longitude: Decimal, other_latitude: Decimal, other_longitude: Decimal, step: Decimal
) -> None:
    """Nothing of the exact point is left: any two points of a cell are published alike, metres included."""
    place = generalise(latitude, longitude, step, D(30))
    moved = [
        centre + (other % step - step / 2) * D("0.9") if abs(centre) < 89 else centre
        for centre, other in ((place.latitude, abs(other_latitude)), (place.longitude, abs(other_longitude)))
    ]
    assert generalise(moved[0], moved[1], step, D(30)) == place
