"""The list of checks: one explicit tuple for each group, and what each check is.

A check is a module of `NAME`, `SEVERITY`, `WAIVABLE`, `SCOPE` and a function `check`, with a Markdown page of the same
name beside it. One that looks at single records and at what all records share has a function `check_shelf` besides.
Checks that an earlier or later stage reports say so in `REPORTED_BY`, and may have a function for what that stage
cannot see.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.resources import files
from typing import Any, Literal

from builder.problem import Problem, Severity

Scope = Literal["record", "piece", "library"]

GROUPS = ("files", "sources", "evidence", "wording", "fit", "showing", "privacy", "approval")
"""The groups in the order of the report's reference; each lists its checks in `CHECKS` of its own package."""

CHECKS: tuple[str, ...] = tuple(
    f"{group}/{name}" for group in GROUPS for name in import_module(f"builder.check.{group}").CHECKS
)
"""Every check as `group/name`."""

RENAMED: dict[str, str] = {}
"""Old name to new, so that waivers and `explain` keep working after a renaming."""


@dataclass(frozen=True)
class Check:
    """A check as the engine sees it: `function` looks at what `scope` says, `shelf_function` at what records share.

    Both are None where another stage, `reported_by`, says all there is to say.
    """

    name: str
    group: str
    severity: Severity
    waivable: bool
    scope: Scope
    function: Callable[..., Iterator[Problem]] | None
    shelf_function: Callable[..., Iterator[Problem]] | None
    reported_by: str

    @property
    def page(self) -> str:
        """The text of its Markdown page."""
        return files(f"builder.check.{self.group}").joinpath(f"{module_name(self.name)}.md").read_text("utf-8")


def module_name(name: str) -> str:
    """The module of a check: its name with underscores."""
    return name.replace("-", "_")


@cache
def all_checks() -> tuple[Check, ...]:
    """Every check, in the order of the list."""
    return tuple(_load(entry) for entry in CHECKS)


@cache
def checks_by_name() -> dict[str, Check]:
    """Name to check."""
    return {check.name: check for check in all_checks()}


def find_check(name: str) -> Check | None:
    """The check of that name, or of the name it once had."""
    return checks_by_name().get(RENAMED.get(name, name))


def why_it_matters(name: str) -> str:
    """The first sentence or paragraph under `Why it matters` on a check's page, in one line."""
    check = find_check(name)
    if check is None:
        return ""
    after = check.page.partition("## Why it matters")[2].strip()
    return " ".join(after.split("\n\n")[0].split())


def _load(entry: str) -> Check:
    group, name = entry.split("/")
    module: Any = import_module(f"builder.check.{group}.{module_name(name)}")
    scope: Scope = getattr(module, "SCOPE", "record")
    function = getattr(module, "check", None)
    return Check(
        module.NAME,
        group,
        module.SEVERITY,
        module.WAIVABLE,
        scope,
        None if scope == "library" else function,
        function if scope == "library" else getattr(module, "check_shelf", None),
        getattr(module, "REPORTED_BY", "check"),
    )
