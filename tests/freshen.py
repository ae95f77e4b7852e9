"""Rewrite the generated parts of the documents: `python -m tests.freshen`.

A generated part stands between `<!-- generated: name -->` and `<!-- end -->`. In some tables one or two columns are
written by hand (what a field means, what a limit rests on): they are kept, row by row, when the rest is made anew.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from builder.check.fit.too_many_words import LIMITS
from builder.check.registry import GROUPS, all_checks, module_name
from builder.model.museum import RATES, HouseRules, Limit
from builder.model.record import Evidence
from builder.model.source import Names
from builder.model.value import Count, DateText, Flag, Id, Ids, Line, Moments, Number, Text, Texts, Whole
from builder.skeleton import MODELS

ROOT = Path(__file__).parent.parent
DOCUMENTS = ("DEVELOPERS.md", "docs/fields.md", "docs/house-rules.md", "docs/list-of-checks.md")
BLOCK = re.compile(r"(<!-- generated: ([\w ]+) -->\n)(.*?)(<!-- end -->)", re.DOTALL)
SENTENCE = re.compile(r"(?:`[^`]*`|[^`])*?[.:](?=\s|$)")
"""The first sentence of a paragraph, or what stands before its colon; a stop within code is none."""
FOLDERS = ("model", "load", "resolve", "weigh", "check", "compose", "render", "publish", "skeleton")
FORMS: tuple[tuple[Any, str], ...] = (
    (DateText, "date"),
    (Ids, "id, or list of ids"),
    (Texts, "line, or list of lines"),
    (Moments, "`2026-12-01` or `2026-12-01 11:00`, or list of those"),
    (Names, "[name](#name), or list of names"),
    (Limit, "`60`, or `60 / 100`"),
    (Evidence, "[evidence](#evidence)"),
    (Line, "line"),
    (Text, "text"),
    (Id, "id"),
    (Count, "whole number"),
    (Whole, "whole number"),
    (Number, "number"),
    (Flag, "`yes` or `no`"),
)
"""How each kind of value is told; a longer kind stands before the one that it is made of."""
TITLES = {
    "Taxon": "what it is about",
    "At": "point on a figure",
    "Citation": "source cited",
    "SourceEvidence": "evidence from a source",
    "DietEvidence": "evidence from a diet table",
    "AnatomyEvidence": "evidence from an object",
    "CalculationEvidence": "evidence from a calculation",
    "Telling": "step of a history",
    "Outcome": "result",
    "Front": "front matter",
    "StorageOrder": "storage order",
    "FormerKey": "former key",
    "Hanging": "place of a correction",
}


def first_line(path: Path) -> str:
    """The first paragraph of a module's docstring, in one line."""
    text = ast.get_docstring(ast.parse(path.read_text("utf-8"))) or ""
    return " ".join(text.split("\n\n")[0].split())


def tree() -> str:
    """The modules of `builder/` in the order of the road, each with what it does."""
    top = ROOT / "builder"
    rows = ["```text"]
    for path in sorted(top.glob("*.py")):
        if path.stem not in ("__init__", "__main__"):
            rows.append(f"{path.name:<22}{first_line(path)}")
    for folder in FOLDERS:
        rows.append(f"{folder + '/':<22}{first_line(top / folder / '__init__.py')}")
        for path in sorted((top / folder).glob("*.py")):
            if path.stem != "__init__":
                rows.append(f"  {path.name:<20}{first_line(path)}")
        for inner in sorted(p for p in (top / folder).iterdir() if p.is_dir() and (p / "__init__.py").is_file()):
            count = len(list(inner.glob("*.md")))
            rows.append(f"  {inner.name + '/':<20}{first_line(inner / '__init__.py')} ({count} pages)")
    return "\n".join((*rows, "```")) + "\n"


def models() -> dict[str, type[BaseModel]]:
    """Every model that an author's file is read by, except the house rules, which have a page of their own."""
    found: dict[str, type[BaseModel]] = {}

    def visit(hint: Any) -> None:
        if isinstance(hint, type) and issubclass(hint, BaseModel):
            if hint is HouseRules or hint.__name__ in found:
                return
            if "root" in hint.model_fields:
                visit(hint.model_fields["root"].annotation)
                return
            found[hint.__name__] = hint
            for inner in get_type_hints(hint, include_extras=True).values():
                visit(inner)
        for inner in get_args(hint):
            visit(inner)

    for model in MODELS.values():
        visit(model)
    return found


def anchor(model: type[BaseModel]) -> str:
    """The title of a model's table, as a link."""
    title = TITLES.get(model.__name__, model.__name__.lower())
    return f"[{title}](#{title.replace(' ', '-')})"


def form(hint: Any, field: FieldInfo | None = None) -> str:
    """A type in plain words; `field` has bounds of its own where the type stands alone."""
    kinds, parts = getattr(hint, "__metadata__", ()), get_args(hint)
    if get_origin(hint) is Annotated:
        for known, words in FORMS:
            if kinds[: len(known.__metadata__)] == known.__metadata__ and parts[0] == get_args(known)[0]:
                return words + bounds(*(kind for kind in kinds if isinstance(kind, FieldInfo)), *filter(None, [field]))
        return form(parts[0])
    if get_origin(hint) in (Union, UnionType):
        return " or ".join(form(part, field) for part in parts if part is not NoneType)
    if get_origin(hint) is Literal:
        *most, last = (f"`{part}`" for part in parts)
        return f"{', '.join(most)} or {last}"
    if get_origin(hint) is dict:
        return f"{form(parts[0])} → {form(parts[1])}"
    if get_origin(hint) is tuple:
        return f"list of {form(parts[0])}"
    return "[house rules](house-rules.md)" if hint is HouseRules else anchor(hint)


def bounds(*fields: FieldInfo) -> str:
    """The least and the greatest that a number may be: of several bounds the tightest."""
    found: dict[str, tuple[Any, str]] = {}
    for limit in (limit for field in fields for limit in field.metadata):
        for name, words, tighter in (
            ("ge", "at least", max),
            ("gt", "above", max),
            ("le", "at most", min),
            ("lt", "below", min),
        ):
            if hasattr(limit, name):
                new = (getattr(limit, name), words)
                found[name[0]] = tighter(found.get(name[0], new), new)
    return "".join(f", {words} {value}" for value, words in found.values())


def default(field: FieldInfo) -> str:
    """The value of a field that is left out."""
    if field.is_required():
        return "needed"
    value = field.default
    if isinstance(value, bool):
        return "`yes`" if value else "`no`"
    return f"`{value}`" if isinstance(value, str | int | Decimal) else ""


def field_rows(model: type[BaseModel]) -> Iterator[list[str]]:
    """Name, form and default of each field of a model."""
    hints = get_type_hints(model, include_extras=True)
    for name, field in model.model_fields.items():
        yield [f"`{field.alias or name}`", form(hints[name], field), default(field)]


def cells(row: str) -> list[str]:
    """The cells of one row of a Markdown table."""
    return [cell.strip() for cell in re.split(r"(?<!\\)\|", row.strip())[1:-1]]


def table(head: str, rows: Iterable[list[str]], old: str, by_hand: tuple[int, ...]) -> str:
    """A Markdown table; the columns `by_hand` keep what the old table has in the row of the same first cell."""
    names = head.split(" | ")
    stood = {row[0]: row for row in map(cells, old.splitlines()) if len(row) == len(names)}
    lines = [f"| {head} |", "|" + "---|" * len(names)]
    for made in rows:
        row, rest = [], iter(made)
        for index in range(len(names)):
            row.append(stood.get(made[0], [""] * len(names))[index] if index in by_hand else next(rest))
        lines.append(f"| {' | '.join(row)} |".replace("|  |", "| |"))
    return "\n".join(lines) + "\n"


def rule_rows() -> Iterator[list[str]]:
    """Name, form and default of each house rule."""
    usual = {"words": "see below", "words_per_minute": ", ".join(f"{use} `{rate}`" for use, rate in RATES.items())}
    usual["approving_roles"] = "any role"
    for name, said, value in field_rows(HouseRules):
        yield [name, said, value or usual[name.strip("`")]]


def check_rows() -> Iterator[list[str]]:
    """Every check by group, with its page, its severity, and the first sentence of what it checks."""
    for group in GROUPS:
        for check in (known for known in all_checks() if known.group == group):
            what = check.page.partition("## What it checks")[2].strip().split("\n\n")[0]
            first = SENTENCE.match(" ".join(what.split()))
            assert first, check.name
            page = f"../builder/check/{group}/{module_name(check.name)}.md"
            may = "yes" if check.waivable else "no"
            yield [
                f"[{check.name}]({page})",
                group,
                str(check.severity),
                may,
                first[0].rstrip(":.").replace("|", "\\|"),
            ]


MAKERS: dict[str, Callable[[str], str]] = {
    "tree": lambda old: tree(),
    "house rules": lambda old: table(
        "rule | what it limits | form | default | rests on", rule_rows(), old, by_hand=(1, 4)
    ),
    "kinds of text": lambda old: table(
        "kind | warns above | error above | what guides say",
        ([kind, str(warn), str(error)] for kind, (warn, error) in LIMITS.items()),
        old,
        by_hand=(3,),
    ),
    "checks": lambda old: table(
        "check | group | severity | may be waived | it holds that", check_rows(), old, by_hand=()
    ),
}


def make(name: str, old: str) -> str:
    """One generated part made anew. Raises KeyError where nothing is known by that name."""
    if name in MAKERS:
        return MAKERS[name](old)
    return table("field | what it is | form | default", field_rows(models()[name]), old, by_hand=(1,))


def fresh(text: str) -> str:
    """A document with its generated parts made anew."""
    return BLOCK.sub(lambda found: found[1] + make(found[2], found[3]) + found[4], text)


if __name__ == "__main__":
    for document in DOCUMENTS:
        path = ROOT / document
        path.write_text(fresh(path.read_text("utf-8")), "utf-8")
