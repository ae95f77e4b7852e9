"""Checks of what can be shown, filmed and handled."""

CHECKS: tuple[str, ...] = (
    "not-visible-here",
    "no-filming-here",
    "nothing-seen-here",
    "missing-caution",
    "figure-without-text-alternative",
    "figure-without-rights",
)
