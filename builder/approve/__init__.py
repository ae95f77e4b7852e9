"""Stage 7, approve: what was signed, by whom, and whether it still is what stands there; touches no files."""
