"""Checks of whether a text fits its use."""

CHECKS: tuple[str, ...] = (
    "too-many-words",
    "long-sentence",
    "hard-to-read",
    "over-time",
    "too-fast-to-follow",
    "no-single-theme",
    "too-many-points",
    "too-few-questions",
)
