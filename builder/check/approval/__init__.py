"""Checks of who has signed what."""

CHECKS: tuple[str, ...] = ()
