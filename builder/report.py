"""Problems as text for people, as JSON, and as SARIF 2.1.0 for editors and services.

In: sorted problems and the counts of the run. Out: one string. Nothing is printed here.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from builder.check.registry import find_check, why_it_matters
from builder.problem import ERROR, WARNING, Place, Problem


@dataclass(frozen=True)
class Summary:
    """Counts of one run."""

    records: int = 0
    claims: int = 0
    sentences: int = 0
    asides: int = 0
    errors: int = 0
    warnings: int = 0


def summarise(problems: Iterable[Problem], *, records: int, claims: int, sentences: int, asides: int) -> Summary:
    """Count errors and warnings beside what was read."""
    grades = [problem.severity for problem in problems]
    return Summary(records, claims, sentences, asides, grades.count(ERROR), grades.count(WARNING))


def as_text(
    problems: Iterable[Problem],
    summary: Summary,
    read_line: Callable[[str, int], str | None],
    titles: Mapping[str, str],
    *,
    style: Callable[[str, str], str] = lambda text, _: text,
) -> str:
    """A paragraph for each problem, with the line and a caret, then the counts.

    `read_line(file, line)` gives a line of a file of the workspace; `titles` the title of a record by its folder;
    `style(text, name)` colours for a terminal.
    """
    parts = []
    for problem in problems:
        grade = str(problem.severity)
        rows = [f"{style(grade, grade)}: {style(problem.check, 'name')}: {problem.message}"]
        place = problem.place
        if place:
            title = titles.get(place.file.rsplit("/", 1)[0], "")
            rows.append(f"  --> {place.file}:{place.line}:{place.column}" + (f"  ({title})" if title else ""))
            rows += _excerpt(place, read_line, style)
        for label, other in problem.also:
            rows.append(f"  {label}: {other.file}:{other.line}:{other.column}")
            rows += _excerpt(other, read_line, style)
        why = why_it_matters(problem.check)
        if why:
            rows.append(f"  why:  {why}")
        rows.append(f"  mend: {problem.mend}")
        parts.append("\n".join(rows) + "\n")
    parts.append(closing_line(summary))
    return "\n".join(parts) + "\n"


def closing_line(summary: Summary) -> str:
    """`2 errors, 1 warning in 41 records (312 claims, 1,204 sentences, 9 asides)`."""

    def many(count: int, word: str) -> str:
        return f"{count:,} {word}" + ("" if count == 1 else "s")

    found = f"{many(summary.errors, 'error')}, {many(summary.warnings, 'warning')}"
    read = ", ".join(
        (many(summary.claims, "claim"), many(summary.sentences, "sentence"), many(summary.asides, "aside"))
    )
    return f"{found} in {many(summary.records, 'record')} ({read})"


def _excerpt(place: Place, read_line: Callable[[str, int], str | None], style: Callable[[str, str], str]) -> list[str]:
    line = read_line(place.file, place.line)
    if line is None:
        return []
    line, start = _window(line.replace("\t", " "), place.column - 1)
    number = f"{place.line:>5}"
    before = _width(line[: place.column - 1 - start])
    length = max(1, min(place.length, len(line) - (place.column - 1 - start)))
    caret = " " * before + "^" * max(1, _width(line[place.column - 1 - start :][:length]))
    return [f"{number} | {line}", f"{'':>5} | {style(caret, 'caret')}"]


def _window(line: str, column: int, *, most: int = 110) -> tuple[str, int]:
    """The part of a long line that shows the column, and where it starts; unseen characters made visible."""
    start = max(0, column - most // 3) if len(line) > most else 0
    part = line[start : start + most]
    return "".join("\ufffd" if unicodedata.category(c) in ("Cc", "Cf", "Cs") else c for c in part), start


def _width(text: str) -> int:
    """Columns that a terminal gives the text."""
    wide = sum(unicodedata.east_asian_width(c) in "WF" for c in text)
    return len(text) + wide - sum(unicodedata.combining(c) != 0 for c in text)


def as_json(problems: Iterable[Problem], summary: Summary) -> str:
    """The problems and the counts, as the reference of commands describes."""
    rows = [
        {
            "check": problem.check,
            "severity": str(problem.severity),
            "file": problem.place.file if problem.place else "",
            "line": problem.place.line if problem.place else 1,
            "column": problem.place.column if problem.place else 1,
            "message": problem.message,
            "mend": problem.mend,
        }
        for problem in problems
    ]
    return json.dumps({"problems": rows, "summary": asdict(summary)}, ensure_ascii=False, indent=2) + "\n"


def as_sarif(problems: Iterable[Problem], version: str) -> str:
    """A SARIF log (OASIS, Static Analysis Results Interchange Format 2.1.0) of one run."""
    problems = list(problems)
    names = sorted({problem.check for problem in problems})
    rules = [_rule(name) for name in names]
    results = [_result(problem, names.index(problem.check)) for problem in problems]
    driver = {"name": "vouchered", "version": version, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {"WORKSPACE": {"description": {"text": "the folder that holds mkdocs.yml"}}},
        "results": results,
    }
    log = {
        "version": "2.1.0",
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "runs": [run],
    }
    return json.dumps(log, ensure_ascii=False, indent=2) + "\n"


def _rule(name: str) -> dict[str, Any]:
    check = find_check(name)
    page = check.page if check else ""
    what = page.partition("## What it checks")[2].partition("##")[0].strip()
    rule: dict[str, Any] = {"id": name}
    if what:
        rule["shortDescription"] = {"text": " ".join(what.split("\n\n")[0].split())}
    if why_it_matters(name):
        rule["fullDescription"] = {"text": why_it_matters(name)}
    if check:
        rule["defaultConfiguration"] = {"level": str(check.severity)}
    return rule


def _result(problem: Problem, rule: int) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": problem.check,
        "ruleIndex": rule,
        "level": str(problem.severity),
        "message": {"text": f"{problem.message}. To mend it: {problem.mend}."},
        "locations": [_location(problem.place)] if problem.place else [],
    }
    if problem.also:
        result["relatedLocations"] = [{**_location(place), "message": {"text": label}} for label, place in problem.also]
    return result


def _location(place: Place) -> dict[str, Any]:
    from urllib.parse import quote

    region = {"startLine": place.line, "startColumn": place.column, "endColumn": place.column + place.length}
    where = {"uri": quote(place.file), "uriBaseId": "WORKSPACE"}
    return {"physicalLocation": {"artifactLocation": where, "region": region}}
