"""Generalise a place to a stated step and enlarge its uncertainty, so that it can be shown.

In: WGS84 latitude and longitude in decimal degrees as `Decimal`, a step of 1, 0.1, 0.01 or 0.001 degrees. Out: rounded
coordinates with their trailing zeros, metres of uncertainty, the texts that say what was done. Refused: a point off the
globe, another step, a negative uncertainty raise `ValueError`; `coordinate_faults` says beforehand what is amiss.

Rule of rounding: half away from zero, in decimal. Points are never moved at random, which would make false data. All
that is published is worked out from the rounded point: metres worked out at the exact latitude would give it away.

Sources: Chapman 2020, *Current Best Practices for Generalizing Sensitive Species Occurrence Data*, GBIF, Table 7
(steps); Chapman & Wieczorek 2020, *Georeferencing Best Practices*, GBIF, uncertainty due to precision (metres);
Darwin Core terms `coordinateUncertaintyInMeters`, `dataGeneralizations`, `informationWithheld`.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from types import MappingProxyType

STEPS = (Decimal("1"), Decimal("0.1"), Decimal("0.01"), Decimal("0.001"))
# Chapman 2020, Table 7; extreme may also mean no coordinates at all
_CATEGORIES = ("extreme", "high", "medium", "low")
CATEGORY_STEPS: Mapping[str, Decimal] = MappingProxyType(dict(zip(_CATEGORIES, STEPS, strict=True)))
UNKNOWN_DATUM_M = 5359  # Chapman & Wieczorek 2020: the worst case where the datum is not recorded
_SEMI_MAJOR_M = 6378137.0  # WGS84
_FLATTENING = 1 / 298.257223563
_ECCENTRICITY_2 = _FLATTENING * (2 - _FLATTENING)


@dataclass(frozen=True)
class GeneralisedPlace:
    """A place as the public may know it; the texts go into the Darwin Core terms of the same names."""

    latitude: Decimal
    longitude: Decimal
    step: Decimal
    uncertainty_m: int
    data_generalizations: str


def coordinate_faults(latitude: Decimal, longitude: Decimal) -> tuple[str, ...]:
    """What is amiss with a point: latitude beyond ±90, longitude beyond ±180, or no number (both limits belong)."""
    faults = []
    for word, value, limit in (("latitude", latitude, 90), ("longitude", longitude, 180)):
        if not value.is_finite():
            faults.append(f"{word} `{value}` is no number")
        elif abs(value) > limit:
            faults.append(f"{word} `{value}` lies beyond {limit}° of the {'equator' if limit == 90 else 'meridian'}")
    return tuple(faults)


def round_to_step(value: Decimal, step: Decimal) -> Decimal:
    """`value` rounded to the step, half away from zero, trailing zeros kept, never −0.0 (51.25 to 0.1 is 51.3)."""
    rounded = value.quantize(_known_step(step), rounding=ROUND_HALF_UP)
    return rounded.copy_abs() if rounded.is_zero() else rounded


def metres_per_degree(latitude: float) -> tuple[float, float]:
    """Length in metres of a degree of latitude and of longitude at `latitude`, on the WGS84 ellipsoid."""
    phi = math.radians(latitude)
    squash = 1 - _ECCENTRICITY_2 * math.sin(phi) ** 2
    meridian = _SEMI_MAJOR_M * (1 - _ECCENTRICITY_2) / squash**1.5
    parallel = _SEMI_MAJOR_M * math.cos(phi) / math.sqrt(squash)
    return math.radians(meridian), math.radians(parallel)


def diagonal_m(step: float, latitude: float) -> float:
    """Diagonal in metres of a cell of `step` degrees: step × √(M² + (N cos φ)²), not rounded."""
    return step * math.hypot(*metres_per_degree(latitude))


def radius_m(height_m: float, width_m: float) -> int:
    """Whole metres from the centre of a cell to its corners: half the diagonal, rounded up, never zero."""
    return max(1, math.ceil(math.hypot(height_m, width_m) / 2))


def generalise(
    latitude: Decimal,
    longitude: Decimal,
    step: Decimal,
    uncertainty_m: Decimal | None = None,
    *,
    datum_known: bool = True,
) -> GeneralisedPlace:
    """Round a point to `step` and enlarge its uncertainty by half a cell's diagonal, rounded up.

    The diagonal is that of the cell's edge nearest the equator, where it is widest, so that the true point lies within.
    `uncertainty_m` is that of the original (for a satellite reading, twice the error it printed), None where it is not
    recorded, which the text then says. A datum that is not recorded adds 5,359 m.
    """
    if faults := coordinate_faults(latitude, longitude):
        raise ValueError("; ".join(faults))
    if uncertainty_m is not None and not (uncertainty_m.is_finite() and uncertainty_m >= 0):
        raise ValueError("the uncertainty must be a number of metres, zero or more")
    step = _known_step(step)
    rounded_latitude, rounded_longitude = round_to_step(latitude, step), round_to_step(longitude, step)
    half = Fraction(_half_diagonal(rounded_latitude, step))
    known = Fraction(uncertainty_m or 0) + (0 if datum_known else UNKNOWN_DATUM_M)
    included = "" if uncertainty_m is not None else "; the uncertainty of the original is not recorded and not included"
    return GeneralisedPlace(
        latitude=rounded_latitude,
        longitude=rounded_longitude,
        step=step,
        uncertainty_m=math.ceil(known + half),
        data_generalizations=(
            f"Coordinates rounded to the nearest {step}°, half away from zero; "
            f"uncertainty enlarged by half the diagonal of a cell of that size{included}."
        ),
    )


def information_withheld(step: Decimal | None, because: str = "") -> str:
    """What is kept back, why, and who may ask for it; a step of None means that no coordinates are given.

    `because` is a reason as an author gives it, a clause or a name for it.
    """
    held = "Coordinates are withheld" if step is None else "Finer coordinates are held, and withheld"
    reason = f" ({because.strip().rstrip('.')})" if because.strip() else ""
    return f"{held} to protect the place{reason}; researchers may ask the museum for them."


def _known_step(step: Decimal) -> Decimal:
    for known in STEPS:
        if step == known:
            return known
    raise ValueError("the step must be 1, 0.1, 0.01 or 0.001 degrees")


def _half_diagonal(latitude: Decimal, step: Decimal) -> float:
    middle, reach = abs(float(latitude)), float(step) / 2
    edges = (max(0.0, middle - reach), middle, min(90.0, middle + reach))
    return max(diagonal_m(float(step), edge) for edge in edges) / 2
