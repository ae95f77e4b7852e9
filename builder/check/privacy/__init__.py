"""Checks of what must not reach the public."""

CHECKS: tuple[str, ...] = ()
