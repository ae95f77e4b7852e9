"""Vouchered: public text about museum specimens in which every sentence is vouched for.

The names in `__all__` are the public surface, read when they are first asked for; nothing else is promised.

    from datetime import date
    from builder import Road
    verdict = Road(folder, today=date(2026, 11, 25)).walk()
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOMES = {
    "Outcome": "builder.outcome",
    "Place": "builder.problem",
    "Problem": "builder.problem",
    "Road": "builder.road",
    "Severity": "builder.problem",
    "Target": "builder.road",
    "Verdict": "builder.road",
}
__all__ = ["Outcome", "Place", "Problem", "Road", "Severity", "Target", "Verdict"]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'builder' has no attribute {name!r}")
