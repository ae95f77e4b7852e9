"""Count the lines of our own that a call runs: a measure of its work that is the same on every machine."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

OURS = "/builder/"


def count_steps(work: Callable[[], object]) -> int:
    """How many lines of the program's own modules run while `work` runs; what C code does inside a line is not seen."""
    steps = 0

    def local(_frame: FrameType, event: str, _argument: Any) -> Any:
        nonlocal steps
        steps += event == "line"
        return local

    def told(frame: FrameType, _event: str, _argument: Any) -> Any:
        return local if OURS in frame.f_code.co_filename.replace("\\", "/") else None

    before = sys.gettrace()
    sys.settrace(told)
    try:
        work()
    finally:
        sys.settrace(before)
    return steps
