"""References on national and military grids and codes of places, which tell a place as well as coordinates do.

In: a point in degrees (WGS 84). Out: the squares of a hundred kilometres in which it lies, on the British National Grid
and on the Military Grid Reference System, with metres east and north in each; its metres on the British grid and on the
Universal Transverse Mercator grid; its Open Location Code; and whether what is found in a text means a cell with the
point in it. Nothing is refused; a point off a grid has no square on it.

Projection: the transverse Mercator series and the ellipsoids of Ordnance Survey, *A guide to coordinate systems in
Great Britain*, annexes A to C, and its seven-parameter change from WGS 84, good to about five metres. The exceptions of
the military grid around Norway and Svalbard are not made.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from math import atan2, cos, degrees, floor, hypot, pi, radians, sin, sqrt, tan

AIRY = (6377563.396, 6356256.909)
WGS84 = (6378137.0, 6356752.3142)
LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZ"
COLUMNS = ("ABCDEFGH", "JKLMNPQR", "STUVWXYZ")
ROWS = "ABCDEFGHJKLMNPQRSTUV"
BANDS = "CDEFGHJKLMNPQRSTUVWXX"
DIGITS = r"[\s_-]?(\d{2,5}[\s_-]\d{2,5}|\d{4}|\d{6}|\d{8}|\d{10})(?!\d)"
"""Two numbers of the same length, with or without a gap; from four digits on, which is a square kilometre."""
METRES = re.compile(r"(?<![\d.,])0?([1-9]\d{5,6})(?:\.\d{1,3})?(?!\d)")
"""A number that may be metres east or north on a whole grid."""
COARSEST_M = 1_000
"""Metres rounded further than this are mostly other round numbers."""
CODE_DIGITS = "23456789CFGHJMPQRVWX"
CODE = re.compile(
    rf"(?<![^\W_])([{CODE_DIGITS}]{{4}})?([{CODE_DIGITS}]{{4}})\+([{CODE_DIGITS}]{{0,7}})(?![^\W_])", re.IGNORECASE
)
"""An Open Location Code, whole or without its first four digits, as maps show it beside the name of a town."""
FINEST_UP, FINEST_ACROSS = 8_000 * 5**5, 8_000 * 4**5
"""Parts of a degree of latitude and of longitude that the longest code can tell."""
CODE_CELL = 0.0025
"""Degrees that a code of eight digits is wide and high."""
SLACK_M = 15
"""What the change of datum may be out by, and a little."""


@dataclass(frozen=True, slots=True)
class Square:
    """A square of a hundred kilometres with a point in it: its letters, and metres east and north within it."""

    letters: str
    east: float
    north: float

    def holds(self, numbers: str) -> bool:
        """Whether these digits, cut or rounded, name a cell of the square in which the point lies."""
        digits = re.sub(r"\D", "", numbers)
        parts = re.split(r"\D+", numbers)
        half = len(digits) // 2
        if len(digits) % 2 or (len(parts) == 2 and len(parts[0]) != len(parts[1])):
            return False
        size = size_of(numbers)
        slack = max(SLACK_M, size / 2)
        corner = (int(digits[:half]) * size, int(digits[half:]) * size)
        pairs = zip((self.east, self.north), corner, strict=True)
        return all(low - slack <= value < low + size + slack for value, low in pairs)


def size_of(numbers: str) -> float:
    """The side in metres of the cell that the digits name."""
    return 10.0 ** (5 - len(re.sub(r"\D", "", numbers)) // 2)


def find_squares(latitude: float, longitude: float) -> list[Square]:
    """The squares with a point in them, by grid."""
    found = []
    british = _on_british_grid(latitude, longitude)
    if british:
        east, north = british
        across, down = floor(east / 100000), 19 - floor(north / 100000)
        first = down - down % 5 + (across + 10) // 5
        second = down * 5 % 25 + across % 5
        found.append(Square(LETTERS[first] + LETTERS[second], east % 100000, north % 100000))
    if -80 < latitude < 84:
        zone, east, north = _on_universal_grid(latitude, longitude)
        column = COLUMNS[(zone - 1) % 3][floor(east / 100000) - 1]
        row = ROWS[(floor(north / 100000) + (0 if zone % 2 else 5)) % 20]
        band = BANDS[floor((latitude + 80) / 8)]
        found.append(Square(f"{zone}{band}{column}{row}", east % 100000, north % 100000))
    return found


def find_metres(latitude: float, longitude: float) -> list[tuple[float, float]]:
    """Metres east and north on the British grid, and on the universal one with its false northing in the south."""
    found = [british] if (british := _on_british_grid(latitude, longitude)) else []
    if -80 < latitude < 84:
        _, east, north = _on_universal_grid(latitude, longitude)
        found.append((east, north if latitude >= 0 else north + 10_000_000))
    return found


def metres_step(number: str) -> int:
    """To how many metres a number of metres is given, by the noughts at its end, at most ten kilometres."""
    noughts = len(number) - len(number.rstrip("0"))
    return int(10 ** min(noughts, 4))


def is_at(value: float, number: str, size: int) -> bool:
    """Whether a number of metres, cut or rounded to `size`, is that value."""
    slack = max(SLACK_M, size / 2)
    return int(number) - slack <= value < int(number) + size + slack


def code_of(latitude: float, longitude: float) -> str:
    """The first eight digits of the Open Location Code of a point (Open Location Code specification, "Encoding").

    The steps are 20, 1, 1/20 and 1/400 of a degree, latitude and longitude by turns. Rounded as the specification's own
    code does, since places given to few decimals lie on the border of a cell: to six decimals of its finest step.
    """
    up = min(int(round((latitude + 90) * FINEST_UP, 6)) // (FINEST_UP // 400), 180 * 400 - 1)
    across = int(round((longitude + 180) * FINEST_ACROSS, 6)) // (FINEST_ACROSS // 400) % (360 * 400)
    digits = ""
    for _ in range(4):
        up, second = divmod(up, 20)
        across, fourth = divmod(across, 20)
        digits = CODE_DIGITS[second] + CODE_DIGITS[fourth] + digits
    return digits


def grid_finder(letters: Collection[str]) -> re.Pattern[str]:
    """Finds references in these squares: group 1 the letters, group 2 the digits."""
    spelt = sorted(
        re.sub(r"(?<=\d)([A-Z])([A-Z]{2})$", r"\\s?\1\\s?\2", one) if one[0].isdigit() else one for one in letters
    )
    return re.compile(rf"(?<![^\W_])(?:0(?=\d[A-Z]))?({'|'.join(spelt)}){DIGITS}")


def _on_british_grid(latitude: float, longitude: float) -> tuple[float, float] | None:
    """Metres east and north, or None off the grid."""
    if not (49 < latitude < 61.5 and -9.5 < longitude < 2.5):
        return None
    east, north = _project(*_to_airy(latitude, longitude), AIRY, 0.9996012717, 49, -2, 400000, -100000)
    return (east, north) if 0 <= east < 700000 and 0 <= north < 1300000 else None


def _on_universal_grid(latitude: float, longitude: float) -> tuple[int, float, float]:
    """The zone, and metres east and north in it; south of the equator these are below nought."""
    zone = floor((longitude + 180) / 6) % 60 + 1
    return zone, *_project(latitude, longitude, WGS84, 0.9996, 0, zone * 6 - 183, 500000, 0)


def _project(
    latitude: float, longitude: float, ellipsoid: tuple[float, float], scale: float,
    from_latitude: float, from_longitude: float, east: float, north: float,
) -> tuple[float, float]:  # fmt: skip
    """Metres east and north by the transverse Mercator projection (OS guide, annexe C.1)."""
    a, b = ellipsoid
    e2 = 1 - (b / a) ** 2
    n = (a - b) / (a + b)
    at, start = radians(latitude), radians(from_latitude)
    nu = a * scale / sqrt(1 - e2 * sin(at) ** 2)
    rho = a * scale * (1 - e2) / (1 - e2 * sin(at) ** 2) ** 1.5
    eta2 = nu / rho - 1
    less, more = at - start, at + start
    arc = b * scale * (
        (1 + n + 5 / 4 * n**2 + 5 / 4 * n**3) * less
        - (3 * n + 3 * n**2 + 21 / 8 * n**3) * sin(less) * cos(more)
        + (15 / 8 * n**2 + 15 / 8 * n**3) * sin(2 * less) * cos(2 * more)
        - 35 / 24 * n**3 * sin(3 * less) * cos(3 * more)
    )  # fmt: skip
    t, c, s = tan(at), cos(at), sin(at)
    p = radians(longitude - from_longitude)
    up = (
        arc + north + nu / 2 * s * c * p**2
        + nu / 24 * s * c**3 * (5 - t**2 + 9 * eta2) * p**4
        + nu / 720 * s * c**5 * (61 - 58 * t**2 + t**4) * p**6
    )  # fmt: skip
    right = (
        east + nu * c * p + nu / 6 * c**3 * (nu / rho - t**2) * p**3
        + nu / 120 * c**5 * (5 - 18 * t**2 + t**4 + 14 * eta2 - 58 * t**2 * eta2) * p**5
    )  # fmt: skip
    return right, up


def _to_airy(latitude: float, longitude: float) -> tuple[float, float]:
    """A point of WGS 84 on the ellipsoid of the British grid (OS guide, annexe B, and 6.6)."""
    a, b = WGS84
    e2 = 1 - (b / a) ** 2
    lat, lon = radians(latitude), radians(longitude)
    nu = a / sqrt(1 - e2 * sin(lat) ** 2)
    x, y, z = nu * cos(lat) * cos(lon), nu * cos(lat) * sin(lon), nu * (1 - e2) * sin(lat)
    rx, ry, rz = (angle * pi / 648000 for angle in (-0.1502, -0.2470, -0.8421))
    grow = 1 + 20.4894e-6
    x, y, z = (
        -446.448 + grow * x - rz * y + ry * z,
        125.157 + rz * x + grow * y - rx * z,
        -542.060 - ry * x + rx * y + grow * z,
    )
    a, b = AIRY
    e2 = 1 - (b / a) ** 2
    flat = hypot(x, y)
    lat = atan2(z, flat * (1 - e2))
    for _ in range(8):
        nu = a / sqrt(1 - e2 * sin(lat) ** 2)
        lat = atan2(z + e2 * nu * sin(lat), flat)
    return degrees(lat), degrees(atan2(y, x))
