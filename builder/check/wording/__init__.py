"""Checks of how the public text is worded."""

CHECKS: tuple[str, ...] = (
    "sentence-without-claim",
    "number-not-in-claim",
    "numbers-disagree",
    "stronger-than-claim",
    "needs-hedge",
    "belief-before-evidence",
    "belief-repeated",
    "lead-in-public-text",
    "unexplained-term",
    "name-not-italic",
    "bad-scientific-name",
)
