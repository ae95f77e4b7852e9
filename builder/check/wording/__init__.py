"""Checks of how the public text is worded."""

CHECKS: tuple[str, ...] = ("sentence-without-claim",)
