"""Stage 3, weigh: pure functions over plain values; lines of evidence, numbers, names, dates, diet, calculations."""
