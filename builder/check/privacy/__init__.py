"""Checks of what must not reach the public."""

CHECKS: tuple[str, ...] = (
    "store-location-shown",
    "locality-too-precise",
    "private-name-shown",
)
