"""`python -m builder` is `vouchered`."""

from builder.cli import main

main(prog_name="vouchered")
