"""Regular expressions that cannot be made to take long: what they are built of is looked at, no time is taken.

The rules are common practice against what is known as catastrophic backtracking (OWASP, "Regular expression Denial of
Service", from memory): no repeat inside a repeat that can match the same text, and no line start before a repeat that
runs over line ends, since every line would then be tried with all that follow it.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Iterator
from re import _constants as op  # type: ignore[attr-defined]  # how Python itself reads a pattern
from re import _parser as parser  # type: ignore[attr-defined]
from typing import Any

import pytest

import builder

LONG = 50
"""A repeat that may go on for longer than this is one without an end."""


def patterns() -> Iterator[tuple[str, re.Pattern[str]]]:
    for module in pkgutil.walk_packages(builder.__path__, "builder."):
        if module.name.endswith("__main__"):
            continue
        for name, value in vars(importlib.import_module(module.name)).items():
            if isinstance(value, re.Pattern) and isinstance(value.pattern, str):
                yield f"{module.name}.{name}", value


def repeats(tree: Any) -> Iterator[Any]:
    """Every repeat that may go on and on and may be taken back, as what it repeats."""
    for code, value in tree:
        if code in (op.MAX_REPEAT, op.MIN_REPEAT):
            if value[1] > LONG:
                yield value[2]
            yield from repeats(value[2])
        elif code is op.SUBPATTERN:
            yield from repeats(value[3])
        elif code is op.BRANCH:
            for branch in value[1]:
                yield from repeats(branch)
        elif code in (op.ASSERT, op.ASSERT_NOT):
            yield from repeats(value[1])


def is_all_repeat(tree: Any) -> bool:
    """Whether a text is matched by a repeat alone, so that a repeat of it can share it out in many ways."""
    items = list(tree)
    if len(items) != 1:
        return False
    code, value = items[0]
    if code is op.SUBPATTERN:
        return is_all_repeat(value[3])
    if code is op.BRANCH:
        return any(map(is_all_repeat, value[1]))
    return code in (op.MAX_REPEAT, op.MIN_REPEAT) and value[1] > LONG


def test_there_are_patterns() -> None:
    assert len(dict(patterns())) > 100


@pytest.mark.parametrize("hostile", [r"(?:a+)*", r"(a*|b)+", r"(?:(?:\s*)+)*"])
def test_a_repeat_of_a_repeat_is_seen(hostile: str) -> None:
    assert any(map(is_all_repeat, repeats(parser.parse(hostile))))


def test_no_repeat_of_a_repeat() -> None:
    bad = [
        name for name, found in patterns() if any(map(is_all_repeat, repeats(parser.parse(found.pattern, found.flags))))
    ]
    assert bad == []


def test_no_line_start_before_blanks_that_run_over_line_ends() -> None:
    crosses = re.compile(r"\^\(?\\s[*+]")
    bad = [name for name, found in patterns() if found.flags & re.MULTILINE and crosses.search(found.pattern)]
    assert bad == []
