"""Checks of sources and of how claims rest on them."""

CHECKS: tuple[str, ...] = ("claim-without-source",)
