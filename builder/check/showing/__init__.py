"""Checks of what can be shown, filmed and handled."""

CHECKS: tuple[str, ...] = ()
