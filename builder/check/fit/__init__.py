"""Checks of whether a text fits its use."""

CHECKS: tuple[str, ...] = ()
