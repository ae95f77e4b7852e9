"""The command `vouchered`: the only folder that prints or exits."""

from builder.cli import add, approve, build, bundle, check, correct, look, new, print_, pull, review, todo
from builder.cli.command import main

__all__ = [
    "add", "approve", "build", "bundle", "check", "correct", "look", "main", "new", "print_", "pull", "review", "todo",
]  # fmt: skip
