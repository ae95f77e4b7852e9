"""What a record's evidence is worth, as a report for people and as JSON.

In: a record and what was weighed of it. Out: text, or plain data: shares are 0 to 1, FO is over samples with food, IRI
is in per cent times per cent, floats have six significant digits.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

from builder.compose.bibliography import csl_fields, short_citation
from builder.resolve import Subject
from builder.weigh.calculation import CalcFault
from builder.weigh.confidence import Weight, explain, name_improvements
from builder.weigh.diet import Composition, DietResult, Kind, weigh_overlap
from builder.weigh.diet_table import DietTable, read_table
from builder.weigh.resampling import Estimate
from builder.weigh.weighing import Weighed

MEASURES = (
    "FO",
    "FO_all",
    "N",
    "W",
    "V",
    "N_mean",
    "W_mean",
    "V_mean",
    "IRI",
    "IRI_share",
    "PSIRI",
    "abundance",
    "preponderance",
)
HEADINGS = {
    "FO": "FO",
    "N": "N",
    "W": "mass",
    "V": "volume",
    "abundance": "specific",
    "IRI_share": "IRI",
    "PSIRI": "PSIRI",
    "preponderance": "preponderance",
}


def as_plain(subject: Subject, weighed: Weighed) -> dict[str, Any]:
    """The weighed evidence as plain data."""
    return {
        "record": subject.id,
        "claims": {
            key: {
                "stands": subject.record.claims[key].stands,
                "stands_computed": weight.stands,
                "lines": len(weight.lines),
                "evidence": weight.evidence,
                "agreement": weight.agreement,
                "confidence": weight.confidence,
            }
            for key, weight in weighed.claims.items()
        },
        "diet": {key: _diet(result) for key, result in weighed.diets.items()},
        "calculations": {
            key: {"fault": result.fault, "message": result.message}
            if isinstance(result, CalcFault)
            else {"low": _short(float(result.low)), "high": _short(float(result.high)), "unit": result.unit}
            for key, result in weighed.calculations.items()
        },
    }


def _diet(result: DietResult) -> dict[str, Any]:
    return {
        "examined": result.examined,
        "empty": result.empty,
        "clusters": result.clusters,
        "log_base": result.log_base,
        "iri_measure": result.iri_measure,
        "levins_measure": result.levins_measure,
        **_spread("vacuity", result.vacuity),
        "groups": {kind.name: _kind(kind) for kind in result.groups.kinds},
        "prey": {kind.name: _kind(kind) for kind in result.prey.kinds},
        **_spread("levins_B", result.groups.levins_B),
        **_spread("levins_BA", result.groups.levins_BA),
        **_spread("shannon", result.groups.shannon),
        **_richness(result.prey),
        "curve": [[samples, _short(kinds)] for samples, kinds in result.prey.curve],
    }


def _richness(prey: Composition) -> dict[str, Any]:
    if prey.richness is None:
        return {"chao2": None}
    found = prey.richness
    return {
        "chao2": _short(found.estimate),
        "chao2_low": _short(found.interval.low),
        "chao2_high": _short(found.interval.high),
    }


def _kind(kind: Kind) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for name in MEASURES:
        if name in kind.measures:
            made |= _spread(name, kind.measures[name])
    return made


def _spread(name: str, found: Estimate | None) -> dict[str, Any]:
    if found is None:
        return {name: None}
    return {name: _short(found.value), f"{name}_low": _short(found.low), f"{name}_high": _short(found.high)}


def _short(number: float) -> float:
    """Six significant digits: beyond them machines may differ."""
    return float(f"{number:.6g}")


def as_report(subject: Subject, weighed: Weighed) -> str:
    """The report for people: claims in sentences, diet tables, calculations."""
    rows = [subject.record.title, "=" * len(subject.record.title), ""]
    for key, weight in weighed.claims.items():
        rows += _claim(subject, key, weight)
    for key, result in weighed.diets.items():
        rows += _table(key, result)
    for one, other in combinations(weighed.diets, 2):
        overlap = _overlap(subject, one, other)
        rows += [overlap, ""] if overlap else []
    for key, sum_ in weighed.calculations.items():
        calculation = subject.record.calculations[key]
        rows.append(f"{key}: {calculation.question}")
        rows.append(f"  no result: {sum_.message}" if isinstance(sum_, CalcFault) else f"  {sum_.working}")
        if calculation.result.says and not isinstance(sum_, CalcFault):
            rows.append(f"  the text says {calculation.result.says}")
        rows.append("")
    return "\n".join(rows).rstrip("\n") + "\n"


def _claim(subject: Subject, key: str, weight: Weight) -> Iterator[str]:
    claim = subject.record.claims[key]
    yield f"{key}{' (lead)' if claim.lead else ''}: {claim.belief or claim.statement or ''}"
    names = {line.root: _name(subject, line.root) for line in weight.lines}
    for words in explain(weight, about="belief" if claim.belief else "statement", names=names):
        yield f"  {words}"
    if claim.stands and claim.stands != weight.stands:
        yield f"  The record declares `{claim.stands}`."
    wanted = name_improvements(weight)
    if wanted:
        yield f"  Would raise it: {'; '.join(wanted)}."
    yield ""


def _name(subject: Subject, root: str) -> str:
    if root.startswith("object "):
        return root.removeprefix("object ").rpartition("/")[2]
    source = subject.library.sources.get(root)
    return short_citation(csl_fields(source)).removesuffix(" n.d.") if source else root


def _table(key: str, result: DietResult) -> Iterator[str]:
    full = result.examined - result.empty
    yield f"{key}: {result.examined} samples, {result.empty} empty ({_percent(result.vacuity)})"
    yield f"  Shares of the {full} with food, in per cent, the {100 * result.level:g} % interval below each"
    for side, composition in (("group", result.groups), ("prey", result.prey)):
        shown = [name for name in HEADINGS if any(name in kind.measures for kind in composition.kinds)]
        rows = [[side, *(HEADINGS[name] for name in shown)]]
        for kind in composition.kinds:
            found = [kind.measures.get(name) for name in shown]
            rows.append([kind.name, *(f"{100 * e.value:.1f}" if e else "" for e in found)])
            rows.append(["", *(f"{100 * e.low:.1f}–{100 * e.high:.1f}" if e else "" for e in found)])
        yield from _align(rows)
        if composition.levins_B and composition.levins_BA:
            breadth, standard = composition.levins_B.value, composition.levins_BA.value
            yield f"  Levins' B {breadth:.2f}, B_A {standard:.2f} ({result.levins_measure})"
        if composition.shannon:
            yield f"  Shannon's H {composition.shannon.value:.2f} (logarithm to base {result.log_base})"
    richness = result.prey.richness
    if richness:
        state = "the list of prey looks complete" if richness.complete else "the list of prey is not complete"
        yield f"  {richness.observed} kinds of prey seen, about {richness.estimate:.1f} expected (Chao2): {state}"
    if result.iri_measure:
        yield f"  IRI (its share) and PSIRI from numbers and {result.iri_measure}"
    if any("abundance" in kind.measures for kind in result.prey.kinds):
        yield f"  specific: share of the {result.levins_measure} in the samples that hold it"
    yield ""


def _overlap(subject: Subject, one: str, other: str) -> str:
    found = _find_overlap(subject, one, other)
    if found is None:
        return ""
    measure, schoener, pianka = found
    return f"{one} and {other}: overlap by {measure}, Schoener {schoener:.2f}, Pianka {pianka:.2f} (1 is the same diet)"


def _find_overlap(subject: Subject, one: str, other: str) -> tuple[str, float, float] | None:
    """Measure, Schoener's and Pianka's overlap of two diet tables of a record; None where they share no measure."""
    read: list[DietTable] = []
    for key in (one, other):
        diet, table = subject.record.diet[key], subject.loaded.tables[key]
        made, _ = read_table(
            table.columns, cluster=diet.cluster, examined=diet.examined, empty=diet.empty, row_numbers=table.rows
        )
        if made is None:
            return None
        read.append(made)
    found = weigh_overlap(read[0], read[1])
    return (found.measure, found.schoener.value, found.pianka.value) if found else None


def _align(rows: list[list[str]]) -> Iterator[str]:
    """A table in plain text: the first column to the left, the others to the right, two blanks between."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for first, *others in rows:
        cells = [first.ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(others, widths[1:], strict=True))]
        yield ("  " + "  ".join(cells)).rstrip()


def _percent(share: Estimate) -> str:
    return f"{100 * share.value:.1f} %"
