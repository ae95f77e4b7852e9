"""Checks of who has signed what."""

CHECKS: tuple[str, ...] = ("not-approved", "approval-out-of-date", "approver-not-entitled", "bad-signature")
