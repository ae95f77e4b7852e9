"""Checks of what the evidence is worth."""

CHECKS: tuple[str, ...] = (
    "stands-not-borne-out",
    "one-line-only",
    "sample-too-small",
    "absence-from-too-few",
    "diet-test-fails",
    "bad-diet-table",
    "impossible-share",
    "calculation-disagrees",
    "units-do-not-fit",
    "ambiguous-unit",
)
