"""Stage 4, check: one small function and one page for each check, one engine that runs them all."""
