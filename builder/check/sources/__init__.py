"""Checks of sources and of how claims rest on them."""

CHECKS: tuple[str, ...] = (
    "claim-without-source",
    "source-without-locator",
    "incomplete-source",
    "bad-identifier",
    "circular-sources",
    "withdrawn-source",
    "stale-source",
    "quote-not-found",
    "locator-beyond-abstract",
    "recheck-due",
    "belief-without-holder",
)
