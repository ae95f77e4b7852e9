"""Checks of what the evidence is worth."""

CHECKS: tuple[str, ...] = ()
