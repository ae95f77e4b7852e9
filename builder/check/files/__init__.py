"""Checks of the files themselves and of how their entries hang together."""

CHECKS: tuple[str, ...] = (
    "unreadable-file",
    "wrong-shape",
    "repeated-key",
    "unknown-reference",
    "unused-entry",
)
